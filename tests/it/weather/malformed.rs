//! No input makes a reader panic or hang.

use coatday::weather::{
    MonthlyHumidity, MonthlyNormals, monthly_normals, read, read_epw, read_hourly_csv, read_tmy3,
};
use proptest::prelude::*;

use super::{QUIRKS_EPW, THREE_DAYS_CSV, TYPICAL_YEAR, moment, shown};

#[test]
fn regress_hopeless_input_is_a_clear_fault() {
    let big = 50_000_000;
    let inputs: Vec<(Vec<u8>, &str)> = vec![
        (vec![], "empty"),
        (b" \n\r\n\t".to_vec(), "empty"),
        (b"\xEF\xBB\xBF".to_vec(), "empty"),
        (vec![0x50, 0x4B, 3, 4, 0, 0, 9], "not plain text"),
        ((0..=255).cycle().take(100_000).collect(), "not plain text"),
        ((128..=255).cycle().take(100_000).collect(), ""),
        (vec![b'['; big], ""),
        (vec![b','; big], ""),
        (vec![b'"'; big], ""),
        (b"[\n".repeat(big / 2), ""),
        (b",\n".repeat(big / 2), ""),
        (b"\"\",".repeat(big / 3), ""),
        (QUIRKS_EPW[..600].to_vec(), ""),
    ];
    let clock = std::time::Instant::now();
    for (bytes, part) in &inputs {
        for result in [
            read("x", bytes),
            read_epw("x", bytes),
            read_tmy3("x", bytes),
            read_hourly_csv("x", bytes),
        ] {
            // A beginning of a file may hold whole rows.
            if let Err(list) = result {
                let text = shown(&list);
                assert!(
                    !list.is_empty() && list.len() <= 21 && text.len() < 20_000,
                    "{text}"
                );
                assert!(text.contains(part), "{text}");
            } else {
                assert!(bytes.len() < 1000);
            }
        }
    }
    // Rows below a good header that never become rows.
    for row in ["[\n", ",,,\n", "\n", "2026-01-01 00:00,1,1\n"] {
        let bytes = ("time,temperature_c,dew_point_c\n".to_owned()
            + &row.repeat(big / row.len() / 4))
            .into_bytes();
        let _ = read("x", &bytes);
    }
    // Linear time: this is over in a few seconds; quadratic would take days.
    assert!(clock.elapsed().as_secs() < 120, "{:?}", clock.elapsed());
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]
    #[test]
    fn regress_no_bytes_make_a_reader_panic(
        bytes in proptest::collection::vec(any::<u8>(), 0..300),
        at in 0_usize..9000,
        which in 0..3,
    ) {
        let _ = read("x", &bytes);
        let source = [QUIRKS_EPW, THREE_DAYS_CSV, &TYPICAL_YEAR[..9000]][which as usize];
        let at = at.min(source.len());
        let mut spliced = source[..at].to_vec();
        spliced.extend(&bytes);
        spliced.extend(&source[at..]);
        for (reading, _) in [
            read("x", &spliced),
            read("x", &source[..at]),
            read_epw("x", &spliced),
            read_hourly_csv("x", &spliced),
        ]
        .into_iter()
        .flatten()
        {
            let _ = reading.season(moment(2026, 12, 31, 0), moment(2027, 1, 2, 0), None);
        }
    }

    #[test]
    fn regress_no_normals_make_the_reader_panic(
        temperature in any::<[f64; 12]>(), swing in proptest::array::uniform12(0.0..40.0), rh in proptest::array::uniform12(0.0..=1.0),
        mild in proptest::array::uniform12(-40.0..40.0),
    ) {
        for temperature in [temperature, mild] {
            let given = MonthlyNormals {
                temperature, daily_swing: swing, humidity: MonthlyHumidity::RelativeHumidity(rh), wind_speed: None,
            };
            if let Ok((reading, _)) = monthly_normals("x", &given) {
                let season = reading.season(moment(2026, 1, 1, 0), moment(2026, 2, 1, 0), None);
                prop_assert!(season.is_ok(), "{season:?}");
            }
        }
    }
}
