//! Root of a continuous function inside a bracket.
//!
//! Chandrupatla's method: inverse quadratic interpolation where it is safe, bisection elsewhere, so it always ends.
//!
//! | symbol | meaning |
//! |---|---|
//! | a, b | ends of the bracket; b is the newest |
//! | c | the end that was dropped last |
//! | `f_a`, `f_b`, `f_c` | values there |
//!
//! Source: T. R. Chandrupatla, A new hybrid quadratic/bisection algorithm for finding the zero of a nonlinear function without
//! using derivatives, Advances in Engineering Software 28 (1997) 145-149. Proof: `analytic_root_*` below.

/// More steps than bisection needs to split any two finite numbers of this room down to neighbouring floats.
const MOST_STEPS: usize = 200;

/// Root of `f` between `low` and `high`, to `tolerance` in the argument, or `None` when `f` does not change sign
/// there or a value is not a number.
pub(crate) fn bracketed_root(
    f: impl Fn(f64) -> f64,
    low: f64,
    high: f64,
    tolerance: f64,
) -> Option<f64> {
    let (mut a, mut b) = (low, high);
    let (mut f_a, mut f_b) = (f(a), f(b));
    if f_a == 0.0 {
        return Some(a);
    }
    if f_b == 0.0 {
        return Some(b);
    }
    if f_a.is_nan() || f_b.is_nan() || (f_a > 0.0) == (f_b > 0.0) {
        return None;
    }
    let mut fraction = 0.5;
    for _ in 0..MOST_STEPS {
        let x = a + fraction * (b - a);
        let f_x = f(x);
        if f_x.is_nan() {
            return None;
        }
        let (c, f_c);
        if (f_x > 0.0) == (f_a > 0.0) {
            (c, f_c) = (a, f_a);
        } else {
            (c, f_c) = (b, f_b);
            (b, f_b) = (a, f_a);
        }
        (a, f_a) = (x, f_x);
        let best = if f_a.abs() < f_b.abs() { a } else { b };
        let smallest = 2.0 * f64::EPSILON * best.abs() + 0.5 * tolerance;
        let limit = smallest / (b - a).abs();
        if limit > 0.5 || f_a == 0.0 {
            return Some(best);
        }
        let along = (a - b) / (c - b);
        let down = (f_a - f_b) / (f_c - f_b);
        fraction = if down * down < along && (1.0 - down) * (1.0 - down) < 1.0 - along {
            let from_b = f_a / (f_b - f_a) * f_c / (f_b - f_c);
            let from_c = (c - a) / (b - a) * f_a / (f_c - f_a) * f_b / (f_c - f_b);
            from_b + from_c
        } else {
            0.5
        };
        fraction = if fraction.is_finite() {
            fraction.clamp(limit, 1.0 - limit)
        } else {
            0.5
        };
    }
    Some(if f_a.abs() < f_b.abs() { a } else { b })
}

#[cfg(test)]
mod tests {
    use super::bracketed_root;

    #[test]
    fn analytic_root_of_known_functions() {
        let root = bracketed_root(|x| x * x - 2.0, 0.0, 2.0, 1e-14).unwrap();
        assert!((root - std::f64::consts::SQRT_2).abs() < 1e-14);
        let root = bracketed_root(|x| x.exp() - 1e-3, -100.0, 100.0, 1e-12).unwrap();
        assert!((root - 1e-3_f64.ln()).abs() < 1e-12);
        // A step has no zero, but it has a place where the sign changes.
        let root = bracketed_root(|x| if x < 0.3 { -1.0 } else { 1e9 }, -1.0, 1.0, 1e-12).unwrap();
        assert!((root - 0.3).abs() < 1e-11);
    }

    #[test]
    fn analytic_root_is_refused_without_a_change_of_sign() {
        assert_eq!(bracketed_root(|x| x * x + 1.0, -1.0, 1.0, 1e-9), None);
        assert_eq!(bracketed_root(|_| f64::NAN, -1.0, 1.0, 1e-9), None);
    }

    #[test]
    fn analytic_root_at_an_end_is_exact() {
        assert_eq!(bracketed_root(|x| x, 0.0, 1.0, 1e-9), Some(0.0));
        assert_eq!(bracketed_root(|x| x - 1.0, 0.0, 1.0, 1e-9), Some(1.0));
    }
}
