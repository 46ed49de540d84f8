//! Functions of one variable, tabulated.
//!
//! Between equally spaced points a function is replaced by the cubic that has its values and slopes at both ends
//! (Hermite). The interpolant has a continuous slope, and that slope, not the function's own, is what the table gives as
//! derivative: Newton's method then sees one and the same function in residual and matrix. The error is at most
//! `d^4 max|f''''| / 384` for points a distance `d` apart.
//!
//! Proof of accuracy: `analytic_tables_follow_the_functions` in `tests/it/concrete.rs`.

/// `N` functions of the same variable.
#[derive(Clone, Debug)]
pub(super) struct Table<const N: usize> {
    from: f64,
    per_unit: f64,
    /// Coefficients of each interval, for the fraction of it gone by.
    cubics: Vec<[[f64; 4]; N]>,
}

impl<const N: usize> Table<N> {
    /// Tabulates `function`, which gives each function's value and slope, over a range in equal intervals.
    pub(super) fn new(
        (from, to): (f64, f64),
        intervals: usize,
        function: impl Fn(f64) -> [(f64, f64); N],
    ) -> Self {
        let d = (to - from) / intervals as f64;
        let points = (0..=intervals).map(|i| function(from + i as f64 * d));
        Self::through((from, to), points)
    }

    /// The table through values and slopes at equally spaced points, both ends of the range included.
    pub(super) fn through(
        (from, to): (f64, f64),
        points: impl Iterator<Item = [(f64, f64); N]>,
    ) -> Self {
        let points: Vec<_> = points.collect();
        let d = (to - from) / points.len().saturating_sub(1).max(1) as f64;
        let cubics = points
            .windows(2)
            .map(|ends| {
                std::array::from_fn(|k| {
                    let ((v, s), (w, t)) = (ends[0][k], ends[1][k]);
                    let (s, t) = (s * d, t * d);
                    [v, s, 3.0 * (w - v) - 2.0 * s - t, 2.0 * (v - w) + s + t]
                })
            })
            .collect();
        Self {
            from,
            per_unit: 1.0 / d,
            cubics,
        }
    }

    /// Values and slopes. Outside the range the outermost cubic goes on; see to it that none is asked there.
    #[inline]
    pub(super) fn at(&self, x: f64) -> [(f64, f64); N] {
        let place = (x - self.from) * self.per_unit;
        let index = (place as usize).min(self.cubics.len().saturating_sub(1));
        let u = place - index as f64;
        match self.cubics.get(index) {
            Some(cubics) => std::array::from_fn(|k| {
                let [a, b, c, d] = cubics[k];
                (
                    a + u * (b + u * (c + u * d)),
                    (b + u * (2.0 * c + u * 3.0 * d)) * self.per_unit,
                )
            }),
            None => [(0.0, 0.0); N],
        }
    }
}
