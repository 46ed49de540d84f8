//! The floor as a plan, to scale, with numbered findings.

use super::Chart;
use super::axis::{self, Axis, Scale};
use super::canvas::{Fill, Stroke, Type, words_area};
use super::element::{Element, Ink, place, sure};
use super::frame::{self, Around, Entry, Grid, Key, Sheet, Size, say_empty};
use super::geometry::{drawable, extent};
use super::labels::Rect;
use super::measure::{self, Weight};
use super::style::{AXIS, BLANK, Colour, INK, LEADING, Look, MIDDLE, Marker, SIGNS, SOFT_INK};
use super::style::{HUES, LEAST_TYPE};

/// An area with its corners.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Outline {
    /// Written in it.
    pub name: String,
    /// In the unit of the plan, y upward.
    pub corners: Vec<(f64, f64)>,
}

/// A numbered spot.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Spot {
    /// Written beside it.
    pub number: usize,
    /// Place.
    pub at: (f64, f64),
    /// Index of its kind.
    pub kind: usize,
}

/// A plan.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SitePlan {
    /// States the finding.
    pub title: String,
    /// What is shown.
    pub subtitle: String,
    /// Areas.
    pub outlines: Vec<Outline>,
    /// Kinds of spots, for the key.
    pub kinds: Vec<String>,
    /// Spots.
    pub spots: Vec<Spot>,
    /// Unit of the plan, for the bar of its scale.
    pub unit: String,
    /// Lines below the plan.
    pub footer: Vec<String>,
}

/// Tallest plan over its width.
const TALLEST: f64 = 1.0;
/// Room round the outlines \[px\], for numbers at the edge.
const EDGE: f64 = 22.0;
/// Spots that get a number; more could not be told apart, and the list of findings has them all.
const MOST_NUMBERED: usize = 400;
/// Distances from a spot at which room for its number is sought \[px\]; from the second on a line leads there.
const REACH: [f64; 9] = [0.0, 10.0, 20.0, 32.0, 46.0, 62.0, 80.0, 105.0, 140.0];

/// Sign and colour of a kind: kinds differ without colour up to the number of signs.
fn sign(kind: usize) -> (Marker, Colour) {
    (
        SIGNS[kind % SIGNS.len()],
        HUES[kind % HUES.len()].readable(),
    )
}

/// Numbers as people list them: "1, 2, 5 to 9".
fn listed(numbers: &[usize]) -> String {
    let runs = numbers.chunk_by(|a, b| a + 1 == *b);
    let runs = runs.map(|run| match run {
        [first, _, .., last] => format!("{first} to {last}"),
        _ => run
            .iter()
            .map(usize::to_string)
            .collect::<Vec<_>>()
            .join(", "),
    });
    runs.collect::<Vec<_>>().join(", ")
}

impl SitePlan {
    fn ends(&self) -> Option<((f64, f64), (f64, f64))> {
        let points = || {
            self.outlines
                .iter()
                .flat_map(|o| o.corners.iter().copied())
                .chain(self.spots.iter().map(|s| s.at))
                .filter(sound)
        };
        Some((
            axis::widened(extent(points().map(|p| p.0))?),
            axis::widened(extent(points().map(|p| p.1))?),
        ))
    }

    /// A line for each kind: its sign, its name and the numbers of its spots.
    fn key(&self) -> Vec<Entry> {
        let entry = |(kind, name): (usize, &String)| {
            let of_kind = self.spots.iter().filter(|spot| spot.kind == kind);
            let mut numbers: Vec<usize> = of_kind.map(|spot| spot.number).collect();
            numbers.sort_unstable();
            let (marker, colour) = sign(kind);
            (!numbers.is_empty()).then(|| Entry {
                key: Key::Sign(marker, colour),
                text: format!("{name}: {}", listed(&numbers)),
                strong: false,
            })
        };
        self.kinds.iter().enumerate().filter_map(entry).collect()
    }
}

fn sound(p: &(f64, f64)) -> bool {
    drawable(p.0) && drawable(p.1)
}

/// A number beside its spot, and the line that leads to it.
struct Number {
    left: f64,
    baseline: f64,
    text: String,
    leader: Option<[(f64, f64); 2]>,
}

/// Room that signs take.
fn signs(spots: &[(usize, (f64, f64))], half: f64) -> Vec<Rect> {
    let room = |(x, y): (f64, f64)| Rect {
        left: x - half,
        top: y - half,
        right: x + half,
        bottom: y + half,
    };
    spots.iter().map(|(_, at)| room(*at)).collect()
}

/// The name of an area where it stands.
struct Name {
    left: f64,
    baseline: f64,
    text: String,
    room: Rect,
}

/// Numbers where no other number and no sign stands, as near to their spots as can be; and how many found no place.
fn numbers(
    spots: &[(usize, (f64, f64))],
    inner: &Rect,
    look: &Look,
    names: &[Name],
) -> (Vec<Number>, usize) {
    let kind = Type::new(look.note).weight(Weight::Bold);
    let half = look.marker * 1.25 + 1.5;
    let mut taken = signs(spots, half);
    taken.extend(names.iter().map(|name| name.room));
    let mut found = Vec::new();
    for (number, (x, y)) in spots.iter().take(MOST_NUMBERED) {
        let text = number.to_string();
        let wide = measure::width(&text, kind.size, kind.weight);
        let tall = kind.size;
        let middles = REACH.iter().flat_map(|reach| {
            let turns = if *reach == 0.0 { 4 } else { 16 };
            (0..turns).map(move |turn| {
                let angle = std::f64::consts::TAU * f64::from(turn) / f64::from(turns);
                let out = (
                    wide / 2.0 + half + 1.5 + reach,
                    tall / 2.0 + half + 0.5 + reach,
                );
                (*reach, x + out.0 * angle.cos(), y + out.1 * angle.sin())
            })
        });
        let place = middles
            .map(|(reach, cx, cy)| {
                let (left, baseline) = (cx - wide / 2.0, cy + MIDDLE * tall);
                (
                    reach,
                    (cx, cy),
                    left,
                    baseline,
                    words_area(left, baseline, &text, kind),
                )
            })
            .find(|(.., room)| inner.covers(room) && taken.iter().all(|other| !other.meets(room)));
        if let Some((reach, middle, left, baseline, room)) = place {
            taken.push(room);
            found.push(Number {
                left,
                baseline,
                text,
                leader: (reach > 0.0).then_some([(*x, *y), middle]),
            });
        }
    }
    let missing = spots.len() - found.len();
    (found, missing)
}

impl Chart for SitePlan {
    fn draw(&self, size: Size) -> String {
        let mut sheet = Sheet::new(size, &self.title, &self.subtitle).with_legend(self.key());
        let look = sheet.look;
        let room = sheet.room();
        let Some((xs, ys)) = self.ends() else {
            let area = Rect {
                left: look.margin,
                top: sheet.above(),
                right: sheet.right(),
                bottom: sheet.above() + 120.0,
            };
            return sheet.draw(120.0, |body| {
                place(body, |canvas, _| say_empty(canvas, &area, &[], &look));
            });
        };
        let inner = room - 2.0 * EDGE;
        let scale = (inner / (xs.1 - xs.0)).min(inner * TALLEST / (ys.1 - ys.0));
        let drawn = ((xs.1 - xs.0) * scale, (ys.1 - ys.0) * scale);
        let left = look.margin + EDGE + (inner - drawn.0) / 2.0;
        let plot = Rect {
            left,
            top: sheet.above() + EDGE,
            right: left + drawn.0,
            bottom: sheet.above() + EDGE + drawn.1,
        };
        let x = Scale::new(xs, plot.left, plot.right);
        let y = Scale::new(ys, plot.bottom, plot.top);
        let spots: Vec<&Spot> = self.spots.iter().filter(|spot| sound(&spot.at)).collect();
        let pixels: Vec<(usize, (f64, f64))> = spots
            .iter()
            .map(|spot| (spot.number, (x.at(spot.at.0), y.at(spot.at.1))))
            .collect();
        let edge = Rect {
            left: look.margin,
            top: sheet.above(),
            right: sheet.right(),
            bottom: plot.bottom + EDGE,
        };
        let mut taken = signs(&pixels, look.marker * 1.25 + 1.5);
        let names: Vec<Name> = self
            .outlines
            .iter()
            .filter_map(|outline| {
                let corners = || outline.corners.iter().filter(|p| sound(p));
                let across = extent(corners().map(|p| x.at(p.0)))?;
                let down = extent(corners().map(|p| y.at(p.1)))?;
                let width = (across.1 - across.0 - 12.0).max(0.0);
                let text = measure::fit(&outline.name, look.label, Weight::Bold, width);
                let kind = Type::new(look.label).weight(Weight::Bold);
                let left = across.0 + 6.0;
                // At the top left, else lower, wherever no sign stands.
                let (baseline, room) = (0..60)
                    .map(|step| down.0 + look.label * (1.3 + 0.5 * f64::from(step)))
                    .take_while(|baseline| *baseline < down.1 - 4.0)
                    .map(|baseline| (baseline, words_area(left, baseline, &text, kind)))
                    .find(|(_, room)| taken.iter().all(|other| !other.meets(room)))?;
                taken.push(room);
                Some(Name {
                    left,
                    baseline,
                    text,
                    room,
                })
            })
            .collect();
        let (found, missing) = numbers(&pixels, &edge, &look, &names);
        let mut notes = self.footer.clone();
        if missing > 0 {
            notes.push(format!(
                "{missing} numbers have no room on the plan. The list of findings has them all."
            ));
        }
        sheet = sheet.with_footer(&notes);

        let mut elements = Vec::new();
        for outline in &self.outlines {
            let mut corners: Vec<(f64, f64)> =
                outline.corners.iter().copied().filter(sound).collect();
            elements.push(Element::new(
                corners.clone(),
                Ink::Area(Fill::even(BLANK), 1.0),
            ));
            corners.extend(corners.first().copied());
            elements.push(Element::new(corners, Ink::Line(Stroke::solid(AXIS, 1.6))));
        }
        for spot in &spots {
            let (marker, colour) = sign(spot.kind);
            let ink = Ink::Marker(marker, look.marker * 1.25, colour);
            elements.push(Element::new([spot.at], ink));
        }
        let axes = (Axis::new(xs, Vec::new()), Axis::new(ys, Vec::new()));
        let around = Around {
            plot,
            names_above: true,
            grid: Grid::Off,
        };
        let bar_row = (look.tick.max(LEAST_TYPE)) * LEADING + 6.0;
        let bar_top = plot.bottom + EDGE + bar_row / 2.0;
        sheet.draw(drawn.1 + 2.0 * EDGE + bar_row, |body| {
            if let Some(mut chart) = frame::axes(body, &look, around, axes) {
                sure(chart.draw_series(elements).map(drop));
            }
            place(body, |canvas, _| {
                let bold = Type::new(look.label).weight(Weight::Bold).colour(SOFT_INK);
                for name in &names {
                    canvas.words(name.left, name.baseline, &name.text, bold);
                }
                for [from, to] in found.iter().filter_map(|number| number.leader) {
                    canvas.line(from, to, Stroke::solid(SOFT_INK, 0.7));
                }
                let kind = Type::new(look.note).weight(Weight::Bold).colour(INK);
                for number in &found {
                    canvas.words_on_patch(number.left, number.baseline, &number.text, kind);
                }
                // Bar of the scale.
                let length = axis::nice_step(xs.1 - xs.0, 5.0);
                let (start, end) = (look.margin, look.margin + length * scale);
                let ink = Stroke::solid(INK, 1.6);
                canvas.line((start, bar_top), (end, bar_top), ink);
                for at in [start, end] {
                    canvas.line((at, bar_top - 4.0), (at, bar_top + 4.0), ink);
                }
                let label = format!("{} {}", axis::number(length, length), self.unit);
                let label = measure::fit(
                    &label,
                    look.tick,
                    Weight::Regular,
                    sheet.right() - end - 8.0,
                );
                let soft = Type::new(look.tick).colour(SOFT_INK);
                canvas.words(end + 8.0, bar_top + MIDDLE * look.tick, &label, soft);
            });
        })
    }
}
