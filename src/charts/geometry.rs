//! Points made fit for drawing: what cannot be drawn is left out, what cannot be seen is thinned.

use super::labels::Rect;

/// Beyond this a number is a fault of its maker, and the step between neighbouring pixels gets lost in rounding.
pub(crate) const MOST_DRAWABLE: f64 = 1e12;

/// Whether a value can stand on an axis.
pub(crate) fn drawable(value: f64) -> bool {
    value.is_finite() && value.abs() <= MOST_DRAWABLE
}

/// Unbroken runs of points: a missing value leaves a gap, since a line across it would claim something.
pub(crate) fn runs(points: &[(f64, f64)]) -> Vec<Vec<(f64, f64)>> {
    points
        .split(|&(x, y)| !drawable(x) || !drawable(y))
        .filter(|run| !run.is_empty())
        .map(<[(f64, f64)]>::to_vec)
        .collect()
}

/// Lowest and highest of the drawable values.
pub(crate) fn extent(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    values
        .filter(|&value| drawable(value))
        .fold(None, |range, value| match range {
            None => Some((value, value)),
            Some((low, high)) => Some((low.min(value), high.max(value))),
        })
}

/// At most four pixel points per pixel column: first, lowest, highest, last (the M4 reduction; Jugel, Jerzak,
/// Hackenbroich and Markl 2014), which draws the same line.
pub(crate) fn thin(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut out: Vec<(f64, f64)> = Vec::new();
    for column in points.chunk_by(|a, b| a.0.floor() == b.0.floor()) {
        if column.len() <= 4 {
            out.extend_from_slice(column);
            continue;
        }
        let last = column.len() - 1;
        let (mut low, mut high) = (0, 0);
        for (index, point) in column.iter().enumerate() {
            if point.1 < column[low].1 {
                low = index;
            }
            if point.1 > column[high].1 {
                high = index;
            }
        }
        let mut keep = [0, low, high, last];
        keep.sort_unstable();
        for (place, &index) in keep.iter().enumerate() {
            if place == 0 || keep[place - 1] != index {
                out.push(column[index]);
            }
        }
    }
    out
}

/// The parts of a line inside a rectangle (Liang and Barsky 1984, segment by segment).
pub(crate) fn clip_line(points: &[(f64, f64)], area: &Rect) -> Vec<Vec<(f64, f64)>> {
    let mut out: Vec<Vec<(f64, f64)>> = Vec::new();
    for pair in points.windows(2) {
        let [from, to] = [pair[0], pair[1]];
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let (mut enter, mut leave) = (0.0_f64, 1.0_f64);
        let sides = [
            (-dx, from.0 - area.left),
            (dx, area.right - from.0),
            (-dy, from.1 - area.top),
            (dy, area.bottom - from.1),
        ];
        let mut outside = false;
        for (toward, distance) in sides {
            if toward == 0.0 {
                outside |= distance < 0.0;
            } else if toward < 0.0 {
                enter = enter.max(distance / toward);
            } else {
                leave = leave.min(distance / toward);
            }
        }
        if outside || enter > leave {
            continue;
        }
        let at = |t: f64| (from.0 + t * dx, from.1 + t * dy);
        let (start, end) = (at(enter), at(leave));
        match out.last_mut() {
            Some(run) if enter == 0.0 && run.last() == Some(&start) => run.push(end),
            _ => out.push(vec![start, end]),
        }
    }
    out
}

/// The part of an area inside a rectangle (Sutherland and Hodgman 1974).
pub(crate) fn clip_area(points: &[(f64, f64)], area: &Rect) -> Vec<(f64, f64)> {
    type Inside<'a> = Box<dyn Fn((f64, f64)) -> f64 + 'a>;
    let sides: [Inside; 4] = [
        Box::new(|p| p.0 - area.left),
        Box::new(|p| area.right - p.0),
        Box::new(|p| p.1 - area.top),
        Box::new(|p| area.bottom - p.1),
    ];
    let mut shape = points.to_vec();
    for depth in &sides {
        let mut next = Vec::with_capacity(shape.len() + 4);
        for (index, &to) in shape.iter().enumerate() {
            let from = shape[(index + shape.len() - 1) % shape.len()];
            let (before, after) = (depth(from), depth(to));
            if (before < 0.0) != (after < 0.0) {
                let t = before / (before - after);
                next.push((from.0 + t * (to.0 - from.0), from.1 + t * (to.1 - from.1)));
            }
            if after >= 0.0 {
                next.push(to);
            }
        }
        shape = next;
    }
    shape
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const UNIT: Rect = Rect {
        left: 0.0,
        top: 0.0,
        right: 1.0,
        bottom: 1.0,
    };

    #[test]
    fn a_missing_value_leaves_a_gap() {
        let runs = runs(&[
            (0.0, 1.0),
            (1.0, f64::NAN),
            (2.0, 1.0),
            (3.0, 1.0),
            (4.0, f64::INFINITY),
        ]);
        assert_eq!(runs, vec![vec![(0.0, 1.0)], vec![(2.0, 1.0), (3.0, 1.0)]]);
    }

    #[test]
    fn thinning_keeps_the_extremes_of_each_column() {
        let points: Vec<(f64, f64)> = (0..10_000)
            .map(|i| (f64::from(i) / 100.0, f64::from(i * 7919 % 1000)))
            .collect();
        let thinned = thin(&points);
        assert!(thinned.len() <= 400);
        for column in 0..100 {
            let highest = |set: &[(f64, f64)]| {
                set.iter()
                    .filter(|p| p.0.floor() == f64::from(column))
                    .map(|p| p.1)
                    .fold(f64::MIN, f64::max)
            };
            assert_eq!(highest(&points), highest(&thinned));
        }
    }

    #[test]
    fn analytic_diagonal_is_cut_at_the_edges() {
        assert_eq!(clip_line(&[(-1.0, -1.0), (2.0, 2.0)], &UNIT).len(), 1);
        let cut = clip_line(&[(-1.0, 0.5), (0.5, 0.5), (3.0, 0.5)], &UNIT);
        assert_eq!(cut, vec![vec![(0.0, 0.5), (0.5, 0.5), (1.0, 0.5)]]);
    }

    proptest! {
        #[test]
        fn clipped_shapes_stay_inside(points in proptest::collection::vec((-3.0..3.0f64, -3.0..3.0f64), 0..12)) {
            let room = UNIT.grown(1e-9, 1e-9);
            for run in clip_line(&points, &UNIT) {
                prop_assert!(run.iter().all(|&p| room.holds(p)));
            }
            prop_assert!(clip_area(&points, &UNIT).iter().all(|&p| room.holds(p)));
        }
    }
}
