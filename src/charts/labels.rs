//! Places for labels: none overlaps another, none leaves its room.

/// Upright rectangle in pixels, y downward.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Rect {
    pub(crate) left: f64,
    pub(crate) top: f64,
    pub(crate) right: f64,
    pub(crate) bottom: f64,
}

impl Rect {
    pub(crate) fn width(&self) -> f64 {
        self.right - self.left
    }

    pub(crate) fn height(&self) -> f64 {
        self.bottom - self.top
    }

    /// Larger by `x` and `y` on each side.
    pub(crate) fn grown(&self, x: f64, y: f64) -> Rect {
        Rect {
            left: self.left - x,
            top: self.top - y,
            right: self.right + x,
            bottom: self.bottom + y,
        }
    }

    pub(crate) fn meets(&self, other: &Rect) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    pub(crate) fn holds(&self, (x, y): (f64, f64)) -> bool {
        x >= self.left && x <= self.right && y >= self.top && y <= self.bottom
    }

    pub(crate) fn covers(&self, other: &Rect) -> bool {
        self.left <= other.left
            && self.right >= other.right
            && self.top <= other.top
            && self.bottom >= other.bottom
    }
}

/// Middles of labels in one column, as near to their wishes as they can be without touching (least squares by pooling
/// adjacent violators; Barlow, Bartholomew, Bremner and Brunk 1972). `wishes` are (middle, height).
/// None if they do not fit between `low` and `high`.
pub(crate) fn push_apart(wishes: &[(f64, f64)], low: f64, high: f64) -> Option<Vec<f64>> {
    let total: f64 = wishes.iter().map(|(_, height)| height).sum();
    if total > high - low {
        return None;
    }
    let mut order: Vec<usize> = (0..wishes.len()).collect();
    order.sort_by(|&a, &b| wishes[a].0.total_cmp(&wishes[b].0));
    // Shifting each wish up by all heights above it turns "no overlap" into "not decreasing".
    let mut above = 0.0;
    let mut offsets = Vec::with_capacity(order.len());
    let mut pools: Vec<(f64, usize)> = Vec::new();
    for &index in &order {
        let (middle, height) = wishes[index];
        let offset = above + height / 2.0;
        above += height;
        offsets.push(offset);
        let (mut sum, mut count) = (middle - offset, 1);
        while let Some(&(before, members)) = pools.last() {
            if before / members as f64 <= sum / count as f64 {
                break;
            }
            sum += before;
            count += members;
            pools.pop();
        }
        pools.push((sum, count));
    }
    let mut places = vec![0.0; wishes.len()];
    let shifted = pools
        .iter()
        .flat_map(|&(sum, count)| std::iter::repeat_n(sum / count as f64, count));
    for ((&index, offset), shift) in order.iter().zip(&offsets).zip(shifted) {
        places[index] = shift.clamp(low, high - total) + offset;
    }
    Some(places)
}

/// Left ends and rows of labels that each stand over a place on a line; None where no row has room.
/// `wishes` are (middle, width). Row 0 is tried first.
pub(crate) fn pack_rows(
    wishes: &[(f64, f64)],
    low: f64,
    high: f64,
    gap: f64,
    rows: usize,
) -> Vec<Option<(usize, f64)>> {
    let mut taken: Vec<Vec<(f64, f64)>> = vec![Vec::new(); rows];
    wishes
        .iter()
        .map(|&(middle, width)| {
            if width > high - low {
                return None;
            }
            let left = (middle - width / 2.0).clamp(low, high - width);
            let free = taken.iter().position(|row| {
                row.iter()
                    .all(|&(l, r)| left >= r + gap || left + width + gap <= l)
            })?;
            taken[free].push((left, left + width));
            Some((free, left))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn free_labels_stay_where_they_wish() {
        let places = push_apart(&[(50.0, 10.0), (20.0, 10.0)], 0.0, 100.0);
        assert_eq!(places, Some(vec![50.0, 20.0]));
    }

    #[test]
    fn two_equal_wishes_part_evenly() {
        let places = push_apart(&[(50.0, 10.0), (50.0, 10.0)], 0.0, 100.0);
        assert_eq!(places, Some(vec![45.0, 55.0]));
        assert_eq!(push_apart(&[(5.0, 10.0), (5.0, 10.0)], 0.0, 19.0), None);
    }

    proptest! {
        #[test]
        fn pushed_labels_never_touch(wishes in proptest::collection::vec((-50.0..250.0f64, 5.0..20.0f64), 0..9)) {
            if let Some(places) = push_apart(&wishes, 0.0, 200.0) {
                for (i, a) in places.iter().enumerate() {
                    prop_assert!(a - wishes[i].1 / 2.0 >= -1e-9 && a + wishes[i].1 / 2.0 <= 200.0 + 1e-9);
                    for (j, b) in places.iter().enumerate().skip(i + 1) {
                        prop_assert!((a - b).abs() >= f64::midpoint(wishes[i].1, wishes[j].1) - 1e-9);
                    }
                }
            }
        }

        #[test]
        fn packed_labels_never_touch(wishes in proptest::collection::vec((-50.0..450.0f64, 5.0..90.0f64), 0..20)) {
            let places = pack_rows(&wishes, 0.0, 400.0, 4.0, 3);
            for (i, a) in places.iter().enumerate() {
                let Some((row, left)) = *a else { continue };
                prop_assert!(left >= 0.0 && left + wishes[i].1 <= 400.0 + 1e-9);
                for (j, b) in places.iter().enumerate().skip(i + 1) {
                    let Some((other_row, other)) = *b else { continue };
                    prop_assert!(row != other_row || left >= other + wishes[j].1 || other >= left + wishes[i].1);
                }
            }
        }
    }
}
