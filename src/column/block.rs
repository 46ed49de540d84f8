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
    /// Inverse pivot times the block above the diagonal.
    carried: Vec<Matrix2<f64>>,
}

impl BlockTridiagonal {
    pub(super) fn new(blocks: usize) -> Self {
        let zero = vec![Matrix2::zeros(); blocks];
        Self {
            lower: zero.clone(),
            diagonal: zero.clone(),
            upper: zero.clone(),
            inverse: zero.clone(),
            carried: zero,
        }
    }

    /// Eliminates below the diagonal. `None` when a pivot block is singular or not finite.
    pub(super) fn factor(&mut self) -> Option<()> {
        let rows = self
            .lower
            .iter()
            .zip(&self.diagonal)
            .zip(&self.upper)
            .zip(self.inverse.iter_mut().zip(&mut self.carried));
        let mut before = Matrix2::zeros();
        for (((lower, diagonal), upper), (inverse, carried)) in rows {
            let pivot = diagonal - lower * before;
            let determinant = pivot.determinant();
            if !determinant.is_finite() || determinant == 0.0 {
                return None;
            }
            let per_determinant = 1.0 / determinant;
            *inverse = Matrix2::new(pivot[(1, 1)], -pivot[(0, 1)], -pivot[(1, 0)], pivot[(0, 0)])
                * per_determinant;
            before = *inverse * upper;
            *carried = before;
        }
        Some(())
    }

    /// Inverse of the last block's pivot: what the last unknowns answer to a right side that is zero in all other blocks.
    pub(super) fn last_inverse(&self) -> Matrix2<f64> {
        self.inverse
            .last()
            .copied()
            .unwrap_or_else(Matrix2::identity)
    }

    /// Solves in place with the factors at hand.
    pub(super) fn solve(&self, right: &mut [Vector2<f64>]) {
        self.eliminate(right);
        self.substitute(right);
    }

    /// First half of [`Self::solve`], after which the last block holds its solution.
    pub(super) fn eliminate(&self, right: &mut [Vector2<f64>]) {
        let mut before = Vector2::zeros();
        for ((right, lower), inverse) in right.iter_mut().zip(&self.lower).zip(&self.inverse) {
            before = inverse * (*right - lower * before);
            *right = before;
        }
    }

    /// Second half: all other blocks, whatever the last one holds by now.
    pub(super) fn substitute(&self, right: &mut [Vector2<f64>]) {
        let Some((last, others)) = right.split_last_mut() else {
            return;
        };
        let mut after = *last;
        for (right, carried) in others.iter_mut().zip(&self.carried).rev() {
            after = *right - carried * after;
            *right = after;
        }
    }
}
