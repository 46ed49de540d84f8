//! From one day to another, cause by cause: rows that each start where the one before ended.

use super::Chart;
use super::axis::XAxis;
use super::frame::Size;
use super::geometry::drawable;
use super::marks::Mark;
use super::plot::Limit;
use super::row_chart::{BarLook, Row, RowBar, RowChart};

/// One bar.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Step {
    /// Left of the bar, or above it when narrow.
    pub name: String,
    /// Second line under the name, in grey.
    pub note: String,
    /// Days added; negative days are won. A value that is not finite draws no bar.
    pub days: f64,
    /// Words beside the bar.
    pub label: String,
    /// Not one cause but several together: dotted.
    pub together: bool,
}

/// Bars from a first to a last day.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Waterfall {
    /// States the finding.
    pub title: String,
    /// What is shown.
    pub subtitle: String,
    /// Name and date of the first day.
    pub first: (String, String),
    /// Bars in the order in which they are drawn.
    pub steps: Vec<Step>,
    /// Name and date of the last day.
    pub last: (String, String),
    /// Calendar of the axis, day 0 being the first day; plain numbers without.
    pub x_axis: XAxis,
    /// An upright dashed line, such as the day that was asked for.
    pub mark: Option<Mark>,
    /// The last day is only the horizon: an arrow shows that it goes on.
    pub open_end: bool,
    /// Lines below the chart.
    pub footer: Vec<String>,
}

/// Most bars; more say nothing, and their sum would not be seen. The rest is summed up by the caller.
const MOST_STEPS: usize = 40;

impl Waterfall {
    fn rows(&self) -> Vec<Row> {
        let end = |(name, label): &(String, String), bar: RowBar| Row {
            name: name.clone(),
            label: label.clone(),
            bar,
            ..Row::default()
        };
        let mut day = 0.0;
        let mut rows = vec![end(&self.first, RowBar::Point(day))];
        for step in self.steps.iter().take(MOST_STEPS) {
            let days = if drawable(step.days) { step.days } else { 0.0 };
            let look = match (step.together, days < 0.0) {
                (true, _) => BarLook::Dotted,
                (false, true) => BarLook::Won,
                (false, false) => BarLook::Lost,
            };
            rows.push(Row {
                name: step.name.clone(),
                note: step.note.clone(),
                label: step.label.clone(),
                bar: RowBar::Bar(day, day + days, look),
                range: None,
            });
            day += days;
        }
        let last = if self.open_end {
            RowBar::Onward(day)
        } else {
            RowBar::Point(day)
        };
        rows.push(end(&self.last, last));
        rows
    }
}

impl Chart for Waterfall {
    fn draw(&self, size: Size) -> String {
        let looks = [
            (BarLook::Lost, "days lost"),
            (BarLook::Won, "days won"),
            (BarLook::Dotted, "causes together, beyond one by one"),
        ];
        let rows = RowChart {
            title: self.title.clone(),
            subtitle: self.subtitle.clone(),
            rows: self.rows(),
            x_axis: self.x_axis,
            limit: self
                .mark
                .clone()
                .map(|Mark { x, label }| Limit { value: x, label }),
            looks: looks.map(|(look, words)| (look, words.to_owned())).into(),
            joined: true,
            footer: self.footer.clone(),
            ..RowChart::default()
        };
        rows.draw(size)
    }
}
