//! Labels of dates and events over a chart.

use super::axis::{self, Scale, XAxis};
use super::frame::{Entry, Key};
use super::geometry::drawable;
use super::labels::pack_rows;
use super::measure::{self, Weight};
use super::style::Look;
use crate::units::format::short_date;

/// Rows of mark labels over the chart.
const MARK_ROWS: usize = 3;
/// Mark labels that found no row and are listed below.
const MOST_LISTED_MARKS: usize = 8;
/// Repeated mark labels that are tried at all.
const MOST_REPEATS: usize = 60;

/// A place on the horizontal axis, drawn as a labelled thin upright line.
#[derive(Debug, Clone, PartialEq)]
pub struct Mark {
    /// In the unit of the axis (days for dates).
    pub x: f64,
    /// For example "needed by 12 Jan".
    pub label: String,
}

/// Marks with their places.
pub(crate) struct Marks {
    /// Row, left end and words of the labels over the chart.
    pub(crate) packed: Vec<(usize, f64, String)>,
    /// Pixel of each line, and the highest row it leads to.
    pub(crate) lines: Vec<(f64, Option<usize>)>,
    /// Legend entries for labels that found no row.
    pub(crate) unplaced: Vec<Entry>,
}

/// Packs the labels into rows between `left` and `right`.
pub(crate) fn place_marks(
    marks: &[Mark],
    x_axis: XAxis,
    x: &Scale,
    look: &Look,
    (left, right): (f64, f64),
) -> Marks {
    let mut marks: Vec<&Mark> = marks.iter().filter(|mark| drawable(mark.x)).collect();
    marks.sort_by(|a, b| a.x.total_cmp(&b.x));
    // Lines nearer than two pixels merge. A label that repeats (several rain events) is asked for again last, and
    // dropped where it has no room: its line speaks for itself by then.
    let mut lines: Vec<(f64, Option<usize>)> = Vec::new();
    let mut labelled: Vec<(&Mark, f64, String)> = Vec::new();
    let mut repeats: Vec<(&Mark, f64, String)> = Vec::new();
    for mark in marks {
        let at = x.at(mark.x).clamp(left, right);
        if lines.last().is_none_or(|&(before, _)| at - before >= 2.0) {
            lines.push((at, None));
        }
        let label = measure::fit(
            &mark.label,
            look.tick,
            Weight::Regular,
            (right - left) * 0.6,
        );
        if label.is_empty() {
            continue;
        }
        let repeat = labelled.iter().any(|(_, _, before)| *before == label);
        if !repeat {
            labelled.push((mark, at, label));
        } else if repeats.len() < MOST_REPEATS {
            repeats.push((mark, at, label));
        }
    }
    let first_repeat = labelled.len();
    labelled.extend(repeats);
    let wishes: Vec<(f64, f64)> = labelled
        .iter()
        .map(|(_, at, label)| (*at, measure::width(label, look.tick, Weight::Regular)))
        .collect();
    let places = pack_rows(&wishes, left, right, 10.0, MARK_ROWS);
    let mut packed = Vec::new();
    let mut unplaced = Vec::new();
    for (index, ((mark, at, label), place)) in labelled.into_iter().zip(places).enumerate() {
        if place.is_none() && index >= first_repeat {
            continue;
        }
        if let Some((row, start)) = place {
            packed.push((row, start, label));
            if let Some(line) = lines.iter_mut().rev().find(|line| line.0 <= at + 1e-9) {
                line.1 = Some(line.1.map_or(row, |before| before.max(row)));
            }
        } else {
            let place = match x_axis {
                XAxis::Dates { start, system } => {
                    axis::day_after(start, mark.x).map(|date| short_date(date, system))
                }
                XAxis::Numbers => None,
            };
            let place = place.unwrap_or_else(|| axis::number(mark.x, 0.1));
            unplaced.push(Entry {
                key: Key::Mark,
                text: format!("{place}: {label}"),
                strong: false,
            });
        }
    }
    let left_out = unplaced.len().saturating_sub(MOST_LISTED_MARKS);
    if left_out > 0 {
        unplaced.truncate(MOST_LISTED_MARKS);
        unplaced.push(Entry {
            key: Key::Mark,
            text: format!("and {left_out} more"),
            strong: false,
        });
    }
    Marks {
        packed,
        lines,
        unplaced,
    }
}
