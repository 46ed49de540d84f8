//! Other views of what a dehumidifier gives where its map is carried by the coil model: published pairs of ratings, the surfaces carried
//! on as they are, the coil built otherwise. Their scatter about the model is the spread that the odds draw from.

use coatday::gear::coil::{Coil, Design};
use coatday::gear::refrigerant::{CapacityMap, Defrost, Rating, way};

/// One view of one output.
pub(super) struct View {
    /// What it is.
    pub(super) source: &'static str,
    /// Temperature, degC, and relative humidity.
    pub(super) state: (f64, f64),
    /// What the machine gives there by the map.
    pub(super) map: f64,
    /// What it gives by this view.
    pub(super) gives: f64,
    /// What it gives where the map starts from; all three are shares of one rating.
    pub(super) from: f64,
}

impl View {
    /// Logarithm of the view over the map.
    pub(super) fn difference(&self) -> f64 {
        (self.gives / self.map).ln()
    }

    /// The way carried.
    pub(super) fn way(&self) -> f64 {
        way(self.map / self.from)
    }
}

/// How unsure an output is over the way that it is carried, one standard deviation: the differences over the ways.
pub(super) fn spread(views: &[View]) -> f64 {
    let sum = |f: fn(&View) -> f64| views.iter().map(|v| f(v).powi(2)).sum::<f64>();
    (sum(View::difference) / sum(View::way)).sqrt()
}

/// States in which drying jobs run, outside of the published range.
const STATES: [(f64, f64); 9] = [
    (20.0, 0.30),
    (20.0, 0.35),
    (20.0, 0.40),
    (26.7, 0.30),
    (15.0, 0.40),
    (15.0, 0.50),
    (15.0, 0.60),
    (10.0, 0.50),
    (10.0, 0.60),
];

/// Rated at 80 degF and tested again at another state: share of the rating (trade pages). 30, 50 and 70 pints a day became 20, 30 and 50
/// with the U.S. test of 2019; one small unit gives 45, 20 and 6 pints a day at 80, 60 and 40 degF.
pub(super) const PAIRS: [(&str, f64, f64, f64); 5] = [
    ("label 30 to 20 pints, 65 degF", 18.33, 0.6, 20.0 / 30.0),
    ("label 50 to 30 pints, 65 degF", 18.33, 0.6, 30.0 / 50.0),
    ("label 70 to 50 pints, 65 degF", 18.33, 0.6, 50.0 / 70.0),
    ("small unit, 60 degF", 15.56, 0.6, 20.0 / 45.0),
    ("small unit, 40 degF", 4.44, 0.6, 6.0 / 45.0),
];

/// Rated at 30 degC and 80 %: share of that at 27 degC and 60 % (trade page, basic compressor units of 10, 16 and 50 L a day).
pub(super) const WARM_PAIRS: [(&str, f64); 3] = [
    ("10 L at 30 degC, 80 %", 5.6 / 10.0),
    ("16 L at 30 degC, 80 %", 8.0 / 16.0),
    ("50 L at 30 degC, 80 %", 30.0 / 50.0),
];

/// By the map, with the frost of the tested machines.
fn by_map(map: CapacityMap, (t, r): (f64, f64)) -> f64 {
    map.performance(t, r, 1.0, 0.0).removal
}

fn coil(design: Design) -> Coil {
    let rating = Rating::AT_80F_60;
    Coil::new(design, rating.temperature, rating.relative_humidity)
}

/// Views of ordinary machines.
pub(super) fn ordinary() -> Vec<View> {
    let map = CapacityMap::SixUnits;
    let edge = |(t, r): (f64, f64)| (t.clamp(21.0, 32.22), r.clamp(0.4, 0.8));
    let view = |source, state, view| View {
        source,
        state,
        map: by_map(map, state),
        gives: view,
        from: by_map(map, edge(state)),
    };
    let mut views: Vec<View> = PAIRS
        .iter()
        .map(|(source, t, r, share)| view(source, (*t, *r), *share))
        .collect();
    let (warm, high) = (Rating::AT_27C_60, Rating::AT_30C_80);
    let at = |point: Rating| by_map(map, (point.temperature, point.relative_humidity));
    views.extend(WARM_PAIRS.iter().map(|(source, share)| View {
        source,
        state: (warm.temperature, warm.relative_humidity),
        map: at(warm),
        gives: share * at(high),
        from: at(high),
    }));
    let coil = coil(Design::SIX_UNITS);
    let unfrosted = |(t, r): (f64, f64)| coil.removal(&coil.state(t, r));
    for state in STATES {
        let surface = map.by_surfaces(state.0, state.1);
        views.extend(surface.map(|s| view("surface carried on", state, s.removal)));
        let carried = by_map(map, edge(state)) * unfrosted(state) / unfrosted(edge(state));
        views.push(view(
            "frost by the inlet alone",
            state,
            carried * Defrost::HotGas.derate(state.0),
        ));
    }
    views
}

/// Views of low-grain machines, of which no measurements are published.
pub(super) fn low_grain() -> Vec<View> {
    let low_grain = coil(Design::LOW_GRAIN);
    let exchanger = |exchanger_effectiveness| {
        coil(Design {
            exchanger_effectiveness,
            ..Design::LOW_GRAIN
        })
    };
    let (small, large) = (exchanger(0.3), exchanger(0.7));
    let mut views = Vec::new();
    for (t, r) in STATES {
        let state = (t, r);
        let map = by_map(CapacityMap::LowGrain, state);
        let mut add = |source, view| {
            views.push(View {
                source,
                state,
                map,
                gives: view,
                from: 1.0,
            });
        };
        add("ordinary machine", by_map(CapacityMap::SixUnits, state));
        // What was assumed before there was a coil: the surface read in damper air, and frost by the inlet.
        let derate = Defrost::HotGas.derate(t);
        if let Some((here, rated)) = CapacityMap::SixUnits
            .by_surfaces(t, r + 0.08)
            .zip(CapacityMap::SixUnits.by_surfaces(26.7, 0.68))
        {
            add(
                "surface, 8 points damper",
                derate * here.removal / rated.removal,
            );
        }
        add(
            "frost by the inlet alone",
            derate * low_grain.removal(&low_grain.state(t, r)),
        );
        for (source, coil) in [("exchanger of 0.3", &small), ("exchanger of 0.7", &large)] {
            let at = coil.state(t, r);
            add(source, coil.removal(&at) * coil.frost_share(&at));
        }
    }
    views
}
