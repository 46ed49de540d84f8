//! A table of values as coloured cells, with the number or a sign in each so that a grey print still reads.

use super::Chart;
use super::axis::{self, Axis, Tick};
use super::backend::inside;
use super::canvas::{Anchor, Canvas, Fill, Type};
use super::element::{Element, Ink, place, sure};
use super::frame::{self, Around, Grid, Sheet, Size, TICK_GAP, say_empty};
use super::geometry::{drawable, extent};
use super::labels::Rect;
use super::measure::{self, Weight};
use super::style::{ASCENT, BLANK, LEADING, LEAST_TYPE, Look, MIDDLE, SOFT_INK, diverging};

/// Cells of `rows` by `columns`, coloured by how far each lies from `centre`.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct HeatMap {
    /// States the finding.
    pub title: String,
    /// What is shown, with the unit.
    pub subtitle: String,
    /// Names of the rows, such as the months.
    pub rows: Vec<String>,
    /// Names of the columns, such as the hours.
    pub columns: Vec<String>,
    /// What the columns are: "Hour of the day".
    pub column_label: String,
    /// Values by row, then column; short rows and None leave cells blank.
    pub values: Vec<Vec<Option<f64>>>,
    /// Rows that are shown without colour, because they do not matter to the finding; short lists stand for false.
    pub muted: Vec<bool>,
    /// Value without colour, usually 0.
    pub centre: f64,
    /// Decimals of the numbers in the cells.
    pub decimals: usize,
    /// Words at the low end of the scale: "outside air wets".
    pub low_label: String,
    /// Words at the high end: "outside air dries".
    pub high_label: String,
    /// Lines below the chart.
    pub footer: Vec<String>,
}

/// Most cells a side; more would be finer than pixels.
const MOST_CELLS: usize = 400;
/// Cells nearer to the centre than this share of the reach get a dot instead of a plus or minus sign.
const NEAR_CENTRE: f64 = 0.1;
/// Highest cell \[px\].
const MOST_HIGH: f64 = 30.0;

/// One cell: its value, and whether its row is muted.
type Cell = (Option<f64>, bool);

/// Rows and columns as drawn.
struct Table {
    rows: Vec<String>,
    columns: Vec<String>,
    cells: Vec<Vec<Cell>>,
    turned: bool,
}

impl HeatMap {
    /// The table as drawn: the longer side runs down on a narrow page.
    fn table(&self, look: &Look) -> Table {
        let rows: Vec<String> = self.rows.iter().take(MOST_CELLS).cloned().collect();
        let columns: Vec<String> = self.columns.iter().take(MOST_CELLS).cloned().collect();
        let cell = |row: usize, column: usize| {
            let value = self.values.get(row).and_then(|line| line.get(column));
            let muted = self.muted.get(row).copied().unwrap_or_default();
            (value.copied().flatten().filter(|&v| drawable(v)), muted)
        };
        let (across, down) = (columns.len(), rows.len());
        if look.narrow && across > down {
            let turn = |c: usize| (0..down).map(|r| cell(r, c)).collect();
            Table {
                cells: (0..across).map(turn).collect(),
                rows: columns,
                columns: rows,
                turned: true,
            }
        } else {
            let row = |r: usize| (0..across).map(|c| cell(r, c)).collect();
            Table {
                cells: (0..down).map(row).collect(),
                rows,
                columns,
                turned: false,
            }
        }
    }
}

impl Chart for HeatMap {
    fn draw(&self, size: Size) -> String {
        let sheet = Sheet::new(size, &self.title, &self.subtitle).with_footer(&self.footer);
        let look = sheet.look;
        let table = self.table(&look);
        let centre = Some(self.centre).filter(|c| drawable(*c)).unwrap_or(0.0);
        let present = || table.cells.iter().flatten().filter_map(|cell| cell.0);
        let reach =
            extent(present().map(|value| (value - centre).abs())).map_or(0.0, |range| range.1);
        let share = |value: f64| {
            if reach > 0.0 {
                (value - centre) / reach
            } else {
                0.0
            }
        };
        let step = 0.1f64.powi(i32::try_from(self.decimals.min(6)).unwrap_or(6));
        let number = |value: f64| axis::number((value / step).round() * step, step);

        let fit = |name: &String| measure::fit(name, look.tick, Weight::Regular, sheet.width * 0.2);
        let names: Vec<String> = table.rows.iter().map(fit).collect();
        let name_width = names
            .iter()
            .map(|name| measure::width(name, look.tick, Weight::Regular))
            .fold(0.0, f64::max);
        let left = look.margin + name_width + TICK_GAP;
        let right = sheet.right();
        let cell_width = (right - left) / table.columns.len().max(1) as f64;

        // One type size for all numbers, or signs if the widest would not fit.
        let widest = present()
            .map(|value| measure::width(&number(value), 1.0, Weight::Regular))
            .fold(0.0, f64::max);
        let type_size = if widest > 0.0 {
            ((cell_width - 2.0) / widest).min(look.tick - 1.0)
        } else {
            look.tick
        };
        let numbers = type_size >= LEAST_TYPE;
        let type_size = if numbers { type_size } else { look.tick };

        let line = look.tick * LEADING;
        let label_left = if table.turned { look.margin } else { left };
        let room = right - label_left;
        let label = measure::fit(&self.column_label, look.tick, Weight::Regular, room);
        let label_row = if label.is_empty() { 0.0 } else { line };
        let over = label_row + line + TICK_GAP;
        let scale = 2.0 * line + 14.0;
        let count = table.rows.len().max(1) as f64;
        let least = type_size.max(look.tick) * LEADING;
        let spare = sheet.body(0.0, size) - over - scale;
        let cell_height = (spare / count).clamp(least, MOST_HIGH.max(least));
        let high = if table.rows.is_empty() {
            60.0
        } else {
            cell_height * count
        };
        let top = sheet.above() + over;
        let plot = Rect {
            left,
            top,
            right,
            bottom: top + high,
        };
        let across = table.columns.len().max(1) as f64;
        let axes = (
            Axis::new(
                (0.0, across),
                column_ticks(&table.columns, &look, &plot, sheet.width),
            ),
            Axis::new((count, 0.0), row_ticks(names)),
        );
        let empty = table.columns.is_empty() || present().next().is_none();
        let mut elements = Vec::new();
        for (row, cells) in table.cells.iter().enumerate() {
            for (column, (value, muted)) in cells.iter().enumerate() {
                let colour = match value {
                    Some(value) if !muted => diverging(share(*value)),
                    _ => BLANK,
                };
                // A hairline of ground between cells; none once cells are so small that it would wash them out.
                let gap = if cell_width > 8.0 { -0.5 } else { 0.0 };
                let (x, y) = (column as f64, row as f64);
                elements.push(Element::new(
                    [(x, y), (x + 1.0, y + 1.0)],
                    Ink::Cell(Fill::even(colour), None, gap),
                ));
                let text = match value {
                    Some(value) if numbers => number(*value),
                    Some(value) if share(*value).abs() < NEAR_CENTRE => "·".to_string(),
                    Some(value) => if share(*value) < 0.0 { "−" } else { "+" }.to_string(),
                    None => continue,
                };
                if measure::width(&text, type_size, Weight::Regular) <= cell_width {
                    let words = if *muted { SOFT_INK } else { colour.words_on() };
                    let kind = Type::new(type_size).colour(words).anchor(Anchor::Middle);
                    let ink = Ink::Words {
                        text,
                        kind,
                        shift: (0.0, MIDDLE * type_size),
                        patch: false,
                    };
                    elements.push(Element::new([(x + 0.5, y + 0.5)], ink));
                }
            }
        }
        let ends = [centre - reach, centre, centre + reach].map(number);
        let around = Around {
            plot,
            names_above: true,
            grid: Grid::Off,
        };
        sheet.draw(over + high + scale, |body| {
            place(body, |canvas, _| {
                let soft = Type::new(look.tick).colour(SOFT_INK);
                canvas.words(label_left, sheet.above() + ASCENT * look.tick, &label, soft);
                if empty {
                    say_empty(canvas, &plot, &[], &look);
                } else {
                    let strip = (look.margin, right);
                    self.draw_scale(canvas, &look, strip, plot.bottom + 12.0, (&ends, numbers));
                }
            });
            if !empty && let Some(mut chart) = frame::axes(body, &look, around, axes) {
                sure(chart.draw_series(elements).map(drop));
            }
        })
    }
}

impl HeatMap {
    /// Colour scale: a strip with its ends named.
    fn draw_scale(
        &self,
        canvas: &mut Canvas,
        look: &Look,
        (left, right): (f64, f64),
        top: f64,
        (ends, numbers): (&[String; 3], bool),
    ) {
        const PATCHES: u32 = 21;
        let strip = ((right - left) * 0.34).min(220.0);
        let side = (right - left - strip) / 2.0 - 10.0;
        let start = f64::midpoint(left, right) - strip / 2.0;
        let patch = strip / f64::from(PATCHES);
        let height = look.tick;
        for index in 0..PATCHES {
            let place = f64::from(index) / f64::from(PATCHES - 1) * 2.0 - 1.0;
            let x = start + f64::from(index) * patch;
            // A little overlap hides the seams that smoothing of edges leaves.
            let area = Rect {
                left: x,
                top,
                right: (x + patch + 0.4).min(start + strip),
                bottom: top + height,
            };
            canvas.rect(area, &diverging(place).hex(), 1.0, None);
        }
        let named = |text: &str, sign: &str| {
            let text = if numbers || text.is_empty() {
                text.to_string()
            } else {
                format!("{sign} {text}")
            };
            measure::fit(&text, look.tick, Weight::Regular, side)
        };
        let baseline = top + height / 2.0 + MIDDLE * look.tick;
        let kind = Type::new(look.tick);
        let (low, high) = (named(&self.low_label, "−"), named(&self.high_label, "+"));
        canvas.words(start - 8.0, baseline, &low, kind.anchor(Anchor::End));
        canvas.words(start + strip + 8.0, baseline, &high, kind);
        let below = top + height + 4.0 + ASCENT * look.tick;
        let soft = kind.colour(SOFT_INK).anchor(Anchor::Middle);
        let widths = ends
            .iter()
            .map(|end| measure::width(end, look.tick, Weight::Regular))
            .fold(0.0, f64::max);
        let roomy = widths + 6.0 <= strip / 2.0;
        for (index, end) in ends.iter().enumerate() {
            if roomy || index == 1 {
                canvas.words(start + strip * index as f64 / 2.0, below, end, soft);
            }
        }
    }
}

fn tick(value: f64, label: String) -> Tick {
    Tick {
        value,
        label,
        second: None,
    }
}

fn row_ticks(names: Vec<String>) -> Vec<Tick> {
    let ticks = names.into_iter().enumerate();
    ticks
        .map(|(row, name)| tick(row as f64 + 0.5, name))
        .collect()
}

/// Names over the columns: every one that fits, else every second, third and so on.
fn column_ticks(names: &[String], look: &Look, plot: &Rect, width: f64) -> Vec<Tick> {
    let names: Vec<String> = names.iter().map(|name| measure::clean(name)).collect();
    let cell = plot.width() / names.len().max(1) as f64;
    let every = [1, 2, 3, 4, 6, 12, 24, 50, 100].into_iter().find(|&every| {
        let shown = names.iter().step_by(every);
        shown
            .map(|name| measure::width(name, look.tick, Weight::Regular))
            .fold(0.0, f64::max)
            + 5.0
            <= cell * every as f64
    });
    let step = every.unwrap_or(names.len().max(1));
    let mut free_from = 0.0;
    let mut ticks = Vec::new();
    for (index, name) in names.iter().enumerate().step_by(step) {
        let most = (cell * step as f64 - 4.0).min(plot.width());
        let text = measure::fit(name, look.tick, Weight::Regular, most);
        let wide = measure::width(&text, look.tick, Weight::Regular);
        let middle = plot.left + (index as f64 + 0.5) * cell;
        // A wide name at the edge moves inward and may reach its neighbour, which then gives way.
        let start = inside(middle - wide / 2.0, wide, width);
        if start >= free_from {
            free_from = start + wide + 4.0;
            ticks.push(tick(index as f64 + 0.5, text));
        }
    }
    ticks
}
