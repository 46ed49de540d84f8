//! Places for words among lines and other words of a plotting area.

use super::canvas::{Type, words_area};
use super::geometry::clip_line;
use super::labels::Rect;
use super::measure;
use super::style::MIDDLE;

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
