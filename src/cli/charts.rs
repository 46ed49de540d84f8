//! Chart files: a folder that can take them, and each chart as SVG and PNG, whole or not at all.

use super::printer::Printer;
use crate::charts::png;
use crate::computer::files;
use crate::results::Document;
use std::path::Path;

/// Pixels per unit of the drawing in PNG files: sharp on common screens.
const PIXELS: f64 = 2.0;

/// Makes a folder for charts, or says that none can be written.
pub(super) fn folder(path: &Path) -> Result<(), String> {
    std::fs::create_dir_all(path)
        .and_then(|()| tempfile::tempfile_in(path).map(drop))
        .inspect(|()| files::tidy(path))
        .map_err(|e| {
            format!(
                "{}: charts cannot be written here: {} Give a folder with --out.",
                files::shown(path),
                files::reason(&e)
            )
        })
}

/// Writes the charts of a document, each wide and narrow, named after the scenario's file.
pub(super) fn write(
    scenario: &Path,
    folder: &Path,
    document: &Document,
    printer: &Printer,
) -> Result<(), String> {
    let stem = files::chart_stem(scenario);
    for figure in document.figures() {
        for (svg, layout) in [(figure.wide(), ""), (figure.narrow(), "-narrow")] {
            let path = |end: &str| folder.join(format!("{stem}-{}{layout}.{end}", figure.name));
            files::write(&path("svg"), svg.as_bytes(), files::Existing::Replace)?;
            let pixels =
                png(&svg, PIXELS).map_err(|e| format!("{}: {e}", files::shown(&path("png"))))?;
            files::write(&path("png"), &pixels, files::Existing::Replace)?;
        }
    }
    printer.note(&format!(
        "Charts: {}-*.svg and .png",
        files::shown(&folder.join(stem))
    ));
    Ok(())
}
