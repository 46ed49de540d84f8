//! A table of values as coloured cells, with the number or a sign in each so that a grey print still reads.

use super::Chart;
use super::axis;
use super::canvas::{Anchor, Canvas, Type};
use super::frame::{self, Size, say_empty};
use super::geometry::{drawable, extent};
use super::labels::Rect;
use super::measure::{self, Weight};
use super::style::{ASCENT, BLANK, LEADING, Look, MIDDLE, SOFT_INK, diverging};

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

/// Smallest type in a cell that still reads.
const LEAST_CELL_TYPE: f64 = 8.5;
/// Most cells a side; more would be finer than pixels.
const MOST_CELLS: usize = 400;
/// Cells nearer to the centre than this share of the reach get a dot instead of a plus or minus sign.
const NEAR_CENTRE: f64 = 0.1;

struct Grid {
    rows: Vec<String>,
    columns: Vec<String>,
    values: Vec<Vec<Option<f64>>>,
    turned: bool,
}

impl HeatMap {
    /// Rows and columns as drawn: the longer side runs down on a narrow page.
    fn grid(&self, look: &Look) -> Grid {
        let rows = self.rows.len().min(MOST_CELLS);
        let columns = self.columns.len().min(MOST_CELLS);
        let cell = |row: usize, column: usize| {
            self.values
                .get(row)
                .and_then(|line| line.get(column))
                .copied()
                .flatten()
                .filter(|&v| drawable(v))
        };
        if look.narrow && columns > rows {
            Grid {
                rows: self.columns.iter().take(columns).cloned().collect(),
                columns: self.rows.iter().take(rows).cloned().collect(),
                values: (0..columns)
                    .map(|c| (0..rows).map(|r| cell(r, c)).collect())
                    .collect(),
                turned: true,
            }
        } else {
            Grid {
                rows: self.rows.iter().take(rows).cloned().collect(),
                columns: self.columns.iter().take(columns).cloned().collect(),
                values: (0..rows)
                    .map(|r| (0..columns).map(|c| cell(r, c)).collect())
                    .collect(),
                turned: false,
            }
        }
    }
}

impl Chart for HeatMap {
    fn draw(&self, size: Size) -> String {
        let (width, wished_height) = size.sound();
        let look = Look::for_width(width);
        let room = width - 2.0 * look.margin;
        let mut canvas = Canvas::default();
        let header = frame::header(&self.title, &self.subtitle, &look, room);
        let footer = frame::footer(&self.footer, &look, room);
        let grid = self.grid(&look);
        let centre = if drawable(self.centre) {
            self.centre
        } else {
            0.0
        };
        let present = || grid.values.iter().flatten().flatten().copied();
        let reach =
            extent(present().map(|value| (value - centre).abs())).map_or(0.0, |range| range.1);
        let place = |value: f64| {
            if reach > 0.0 {
                (value - centre) / reach
            } else {
                0.0
            }
        };
        let step = 0.1f64.powi(i32::try_from(self.decimals.min(6)).unwrap_or(6));
        let number = |value: f64| axis::number((value / step).round() * step, step);

        let names: Vec<String> = grid
            .rows
            .iter()
            .map(|name| measure::fit(name, look.tick, Weight::Regular, width * 0.2))
            .collect();
        let name_width = names
            .iter()
            .map(|name| measure::width(name, look.tick, Weight::Regular))
            .fold(0.0, f64::max);
        let left = look.margin + name_width + 8.0;
        let right = width - look.margin;
        let cell_width = (right - left) / grid.columns.len().max(1) as f64;

        // One type size for all numbers, or signs if the widest would not fit.
        let widest = present()
            .map(|value| measure::width(&number(value), 1.0, Weight::Regular))
            .fold(0.0, f64::max);
        let type_size = if widest > 0.0 {
            ((cell_width - 4.0) / widest).min(look.tick - 1.0)
        } else {
            look.tick
        };
        let numbers = type_size >= LEAST_CELL_TYPE;
        let type_size = if numbers {
            type_size
        } else {
            (cell_width * 0.9).clamp(3.0, look.tick)
        };

        let column_label = if grid.turned {
            ""
        } else {
            self.column_label.as_str()
        };
        let column_label = measure::fit(column_label, look.tick, Weight::Regular, right - left);
        let row_label = if grid.turned {
            self.column_label.as_str()
        } else {
            ""
        };
        let row_label = measure::fit(row_label, look.tick, Weight::Regular, room);
        let line = look.tick * LEADING;
        let mut top = look.margin + header.height() + 14.0;
        let label_top = top;
        if !column_label.is_empty() || !row_label.is_empty() {
            top += line;
        }
        let names_top = top;
        top += line + 3.0;
        let scale_height = 2.0 * line + 14.0;
        let below = scale_height
            + if footer.height() > 0.0 {
                footer.height() + 10.0
            } else {
                0.0
            }
            + look.margin * 0.8;
        let count = grid.rows.len().max(1) as f64;
        let least = (type_size * 1.3).max(look.tick * LEADING);
        let cell_height = ((wished_height - top - below) / count).clamp(least, 30.0_f64.max(least));
        let bottom = top
            + if grid.rows.is_empty() {
                60.0
            } else {
                cell_height * count
            };
        let height = bottom + below;

        header.draw(&mut canvas, look.margin, look.margin);
        let soft = Type::new(look.tick).colour(SOFT_INK);
        canvas.words(left, label_top + ASCENT * look.tick, &column_label, soft);
        canvas.words(
            look.margin,
            label_top + ASCENT * look.tick,
            &row_label,
            soft,
        );
        if grid.rows.is_empty() || grid.columns.is_empty() || present().next().is_none() {
            say_empty(
                &mut canvas,
                &Rect {
                    left: look.margin,
                    top,
                    right,
                    bottom,
                },
                &[],
                &look,
            );
        } else {
            column_names(
                &mut canvas,
                &grid.columns,
                &look,
                (left, right, cell_width),
                names_top,
            );
            for (row, (name, values)) in names.iter().zip(&grid.values).enumerate() {
                let y = top + row as f64 * cell_height;
                let middle = y + cell_height / 2.0;
                canvas.words(
                    left - 8.0,
                    middle + MIDDLE * look.tick,
                    name,
                    soft.anchor(Anchor::End),
                );
                for (column, value) in values.iter().enumerate() {
                    let x = left + column as f64 * cell_width;
                    let area = Rect {
                        left: x,
                        top: y,
                        right: x + cell_width,
                        bottom: y + cell_height,
                    };
                    let fill = value.map_or(BLANK, |value| diverging(place(value)));
                    // A hairline of ground between cells; none once cells are so small that it would wash them out.
                    let gap = if cell_width > 8.0 { 0.5 } else { 0.0 };
                    canvas.rect(area.grown(-gap, -gap), &fill.hex(), 1.0, None);
                    let text = match value {
                        Some(value) if numbers => number(*value),
                        Some(value) if place(*value).abs() < NEAR_CENTRE => "·".to_string(),
                        Some(value) => if place(*value) < 0.0 { "−" } else { "+" }.to_string(),
                        None => String::new(),
                    };
                    if measure::width(&text, type_size, Weight::Regular) <= cell_width {
                        let kind = Type::new(type_size)
                            .colour(fill.words_on())
                            .anchor(Anchor::Middle);
                        canvas.words(
                            x + cell_width / 2.0,
                            middle + MIDDLE * type_size,
                            &text,
                            kind,
                        );
                    }
                }
            }
            let ends = [
                number(centre - reach),
                number(centre),
                number(centre + reach),
            ];
            self.draw_scale(
                &mut canvas,
                &look,
                (look.margin, right),
                bottom + 12.0,
                &ends,
                numbers,
            );
        }
        footer.draw(
            &mut canvas,
            look.margin,
            height - look.margin * 0.8 - footer.height(),
        );
        canvas.finish(width, height, &measure::clean(&self.title))
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
        ends: &[String; 3],
        numbers: bool,
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
        let sign = |text: &str, sign: &str| {
            if numbers || text.is_empty() {
                text.to_string()
            } else {
                format!("{sign} {text}")
            }
        };
        let baseline = top + height / 2.0 + MIDDLE * look.tick;
        let kind = Type::new(look.tick);
        let low = measure::fit(
            &sign(&self.low_label, "−"),
            look.tick,
            Weight::Regular,
            side,
        );
        let high = measure::fit(
            &sign(&self.high_label, "+"),
            look.tick,
            Weight::Regular,
            side,
        );
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

/// Names over the columns: every one that fits, else every second, third and so on.
fn column_names(
    canvas: &mut Canvas,
    names: &[String],
    look: &Look,
    (left, right, cell): (f64, f64, f64),
    top: f64,
) {
    let names: Vec<String> = names.iter().map(|name| measure::clean(name)).collect();
    let every = [1, 2, 3, 4, 6, 12, 24, 50, 100].into_iter().find(|&every| {
        let shown = names.iter().step_by(every);
        shown
            .map(|name| measure::width(name, look.tick, Weight::Regular))
            .fold(0.0, f64::max)
            + 5.0
            <= cell * every as f64
    });
    let step = every.unwrap_or(names.len().max(1));
    let mut free_from = left;
    for (index, name) in names.iter().enumerate().step_by(step) {
        let middle = left + (index as f64 + 0.5) * cell;
        let most = (cell * step as f64 - 4.0).min(right - left);
        let text = measure::fit(name, look.tick, Weight::Regular, most);
        let half = measure::width(&text, look.tick, Weight::Regular) / 2.0;
        let middle = middle.clamp(left + half, (right - half).max(left + half));
        // A wide name at the edge moves inward and may reach its neighbour, which then gives way.
        if middle - half < free_from - 0.01 {
            continue;
        }
        free_from = middle + half + 4.0;
        let kind = Type::new(look.tick).colour(SOFT_INK).anchor(Anchor::Middle);
        canvas.words(middle, top + ASCENT * look.tick, &text, kind);
    }
}
