//! Places for labels: none overlaps another, none leaves its room.

use super::canvas::{Type, words_area};
use super::geometry::clip_line;
use super::measure;
use super::style::MIDDLE;

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

/// Words with their left end and baseline.
#[derive(Debug, Clone)]
pub(crate) struct Label {
    pub(crate) left: f64,
    pub(crate) baseline: f64,
    pub(crate) text: String,
    pub(crate) kind: Type,
}

/// Lines and words in a plotting area, in pixels, among which a label looks for a free place.
#[derive(Debug, Clone)]
pub(crate) struct Crowd {
    area: Rect,
    /// Each with the number of the curve that it belongs to.
    lines: Vec<(usize, Vec<(f64, f64)>)>,
    taken: Vec<Rect>,
}

/// Owner of lines that belong to no curve.
pub(crate) const NOBODY: usize = usize::MAX;
/// Lines that may run behind a label: its own and half of another.
const MOST_BEHIND: f64 = 2.0;
/// A label as near to its wish as this costs as much as a line behind it [px].
const FAR: f64 = 400.0;

impl Crowd {
    pub(crate) fn new(area: Rect) -> Crowd {
        Crowd {
            area,
            lines: Vec::new(),
            taken: Vec::new(),
        }
    }

    /// With a line that labels should not cover.
    pub(crate) fn line(&mut self, owner: usize, points: Vec<(f64, f64)>) {
        self.lines.push((owner, points));
    }

    /// With room that is taken.
    pub(crate) fn take(&mut self, room: Rect) {
        self.taken.push(room);
    }

    /// Room that words take.
    pub(crate) fn taken(&self) -> &[Rect] {
        &self.taken
    }

    fn cost(&self, room: &Rect, own: usize) -> f64 {
        let room = room.grown(2.0, 0.0);
        // Most lines run elsewhere: a look at the ends of each piece is enough to say so.
        let near = |pair: &[(f64, f64)]| {
            let [(ax, ay), (bx, by)] = [pair[0], pair[1]];
            ax.min(bx) <= room.right
                && ax.max(bx) >= room.left
                && ay.min(by) <= room.bottom
                && ay.max(by) >= room.top
        };
        let behind = |(owner, line): &(usize, Vec<(f64, f64)>)| {
            if !line.windows(2).any(near) {
                return 0.0;
            }
            let weight = if *owner == own { 0.8 } else { 1.0 };
            weight * clip_line(line, &room).len() as f64
        };
        self.lines.iter().map(behind).sum()
    }

    /// Words exactly here, if the room is free.
    pub(crate) fn put(
        &mut self,
        (left, baseline): (f64, f64),
        text: &str,
        kind: Type,
    ) -> Option<Label> {
        let room = words_area(left, baseline, text, kind);
        let free = self.area.covers(&room) && self.taken.iter().all(|other| !room.meets(other));
        (free && !text.is_empty()).then(|| {
            self.take(room.grown(2.0, 0.0));
            Label {
                left,
                baseline,
                text: text.to_owned(),
                kind,
            }
        })
    }

    /// The best free place beside one of these points, the first being wished most; the room is then taken.
    pub(crate) fn place(
        &mut self,
        own: usize,
        text: &str,
        kind: Type,
        points: &[(f64, f64)],
    ) -> Option<Label> {
        self.find(own, text, kind, points, MOST_BEHIND)
    }

    /// The same beside one point, whatever lines run there.
    pub(crate) fn place_anyhow(
        &mut self,
        own: usize,
        text: &str,
        kind: Type,
        point: (f64, f64),
    ) -> Option<Label> {
        self.find(own, text, kind, &[point], f64::INFINITY)
    }

    fn find(
        &mut self,
        own: usize,
        text: &str,
        kind: Type,
        points: &[(f64, f64)],
        most: f64,
    ) -> Option<Label> {
        let width = measure::width(text, kind.size, kind.weight);
        let wish = *points.first()?;
        let up = 0.8 * kind.size;
        let best = points
            .iter()
            .flat_map(|&(x, y)| {
                let baseline = y + MIDDLE * kind.size;
                // Beside the point, else a little above or below where the line runs flat, else over and under it.
                let beside = [0.0, -up, up].into_iter().flat_map(move |shift| {
                    [
                        (x + 7.0, baseline + shift),
                        (x - 7.0 - width, baseline + shift),
                    ]
                });
                let over = [-1.35 * kind.size, 1.35 * kind.size]
                    .map(move |shift| (x - width / 2.0, baseline + shift));
                beside.chain(over).map(move |place| (place, (x, y)))
            })
            .map(|((left, baseline), at)| {
                (left, baseline, words_area(left, baseline, text, kind), at)
            })
            .filter(|(_, _, room, _)| {
                self.area.covers(room) && self.taken.iter().all(|other| !room.meets(other))
            })
            .map(|(left, baseline, room, at)| {
                let behind = self.cost(&room, own);
                let far = (at.0 - wish.0).hypot(at.1 - wish.1) / FAR;
                (behind, behind + far, left, baseline, room)
            })
            .filter(|(behind, ..)| *behind < most)
            .min_by(|a, b| a.1.total_cmp(&b.1));
        let (_, _, left, baseline, room) = best.filter(|_| !text.is_empty())?;
        self.take(room.grown(3.0, 1.0));
        Some(Label {
            left,
            baseline,
            text: text.to_owned(),
            kind,
        })
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
