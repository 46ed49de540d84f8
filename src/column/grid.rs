//! Cell thicknesses, refined toward the faces that dry.

/// Which ends of a layer get thin cells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refinement {
    /// Thin cells at the upper face.
    Top,
    /// Thin cells at both faces.
    BothFaces,
}

/// Thicknesses of the cells of one layer, from the bottom up \[m\].
#[derive(Clone, Debug, PartialEq)]
pub struct Grid {
    thicknesses: Vec<f64>,
}

impl Grid {
    /// A layer of `thickness` metres in `cells` cells, at least two for each refined face. `first` is the thickness of the cell at a refined
    /// face \[m\]; the others grow from there in geometric progression.
    #[must_use]
    pub fn new(thickness: f64, cells: usize, first: f64, refinement: Refinement) -> Self {
        let thicknesses = match refinement {
            Refinement::Top => {
                let mut t = geometric(thickness, cells.max(2), first);
                t.reverse();
                t
            }
            Refinement::BothFaces => {
                let cells = cells.max(4);
                let lower = geometric(thickness / 2.0, cells / 2, first);
                let mut upper = geometric(thickness / 2.0, cells - cells / 2, first);
                upper.reverse();
                lower.into_iter().chain(upper).collect()
            }
        };
        Self { thicknesses }
    }

    /// Cell thicknesses from the bottom up \[m\].
    #[must_use]
    pub fn thicknesses(&self) -> &[f64] {
        &self.thicknesses
    }
}

/// `cells` thicknesses that start at `first` and add up to `total`.
fn geometric(total: f64, cells: usize, first: f64) -> Vec<f64> {
    let even = total / cells as f64;
    if first >= even {
        return vec![even; cells];
    }
    let sum = |ratio: f64| (0..cells).fold(0.0, |s, i| s + first * ratio.powi(i as i32));
    let (mut low, mut high) = (1.0, 2.0);
    while sum(high) < total {
        high *= 2.0;
    }
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if sum(middle) < total {
            low = middle;
        } else {
            high = middle;
        }
    }
    let mut t: Vec<f64> = (0..cells).map(|i| first * low.powi(i as i32)).collect();
    let scale = total / t.iter().sum::<f64>();
    for x in &mut t {
        *x *= scale;
    }
    t
}
