//! Elimination of a block-tridiagonal system with 2 x 2 blocks (block Thomas algorithm).
//!
//! Rows are those of an implicit diffusion step, so the blocks on the diagonal dominate and no pivoting
//! between blocks is needed; inside a block the inverse is exact.

use nalgebra::{Matrix2, Vector2};

/// A block-tridiagonal matrix, and after [`BlockTridiagonal::factor`] its elimination.
#[derive(Clone, Debug, Default)]
pub(super) struct BlockTridiagonal {
    pub(super) lower: Vec<Matrix2<f64>>,
    pub(super) diagonal: Vec<Matrix2<f64>>,
    pub(super) upper: Vec<Matrix2<f64>>,
    inverse: Vec<Matrix2<f64>>,
}

impl BlockTridiagonal {
    pub(super) fn new(blocks: usize) -> Self {
        let zero = vec![Matrix2::zeros(); blocks];
        Self {
            lower: zero.clone(),
            diagonal: zero.clone(),
            upper: zero.clone(),
            inverse: zero,
        }
    }

    /// Eliminates below the diagonal. `None` when a pivot block is singular or not finite.
    pub(super) fn factor(&mut self) -> Option<()> {
        for i in 0..self.diagonal.len() {
            let mut pivot = self.diagonal[i];
            if i > 0 {
                pivot -= self.lower[i] * self.inverse[i - 1] * self.upper[i - 1];
            }
            let determinant = pivot.determinant();
            if !determinant.is_finite() || determinant == 0.0 {
                return None;
            }
            self.inverse[i] =
                Matrix2::new(pivot[(1, 1)], -pivot[(0, 1)], -pivot[(1, 0)], pivot[(0, 0)])
                    / determinant;
        }
        Some(())
    }

    /// Solves in place with the factors at hand.
    pub(super) fn solve(&self, right: &mut [Vector2<f64>]) {
        let n = right.len();
        for i in 1..n {
            let below = self.inverse[i - 1] * right[i - 1];
            right[i] -= self.lower[i] * below;
        }
        for i in (0..n).rev() {
            if i + 1 < n {
                let above = right[i + 1];
                right[i] -= self.upper[i] * above;
            }
            right[i] = self.inverse[i] * right[i];
        }
    }
}
