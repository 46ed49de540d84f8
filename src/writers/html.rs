//! A document as one HTML file: no scripts, no fonts or pictures from elsewhere, nothing to ask any address for.
//!
//! Reads on a phone (tables become cards, charts change to their narrow layout), in dark mode (charts keep their white ground) and prints in
//! black and white. Contrast of words is 6.7:1 at least (WCAG 2.1 asks for 4.5:1).

use crate::charts::canvas::escape;
use crate::charts::measure::is_unsafe;
use crate::results::{Block, Document, Figure, FirstPage, ISOLATE, ISOLATE_END, Side, TextTable};
use std::fmt::Write as _;

/// The look. The hues are those of the charts.
pub(crate) const LOOK: &str = "
:root{color-scheme:light dark;--ground:#fff;--ink:#262a2e;--soft:#565d65;--rule:#c9ced3}
@media screen and (prefers-color-scheme:dark){:root{--ground:#16191c;--ink:#eceef0;--soft:#b4bbc2;--rule:#4a5158}}
*{box-sizing:border-box}
body{margin:0;background:var(--ground);color:var(--ink);font:16px/1.5 system-ui,'Segoe UI','Helvetica Neue',Arial,'Noto Sans',sans-serif;overflow-wrap:anywhere}
main{max-width:820px;margin:0 auto;padding:20px 16px 48px}
h1{font-size:1.35rem;line-height:1.25;margin:.8rem 0 0}
h2{font-size:1.2rem;margin:2.2rem 0 .6rem;padding-top:.8rem;border-top:2px solid var(--ink)}
p{margin:.6rem 0}
ul,ol{margin:.6rem 0;padding-left:1.3rem}
li{margin:.3rem 0}
.soft{color:var(--soft);margin:.2rem 0 0}
.head{display:flex;gap:1rem;justify-content:space-between;align-items:flex-start;padding-bottom:.6rem;border-bottom:2px solid var(--ink)}
.head p{margin:0}
.head img{max-width:180px;max-height:56px;background:#fff;padding:2px}
.facts{display:flex;flex-wrap:wrap;gap:.1rem 1.4rem;margin:.4rem 0 0;font-size:.9rem}
.facts span{color:var(--soft)}
.date{font-size:2rem;line-height:1.15;font-weight:700;margin:1rem 0 .2rem}
.key{margin:.7rem 0;padding:.1rem 0 .1rem .8rem;border-left:4px solid var(--ink)}
.key b{display:block}
.key p{margin:0 0 .15rem}
.caution{margin:.7rem 0;padding:.5rem .8rem;border:2px solid var(--ink)}
.release{font-size:.9rem;color:var(--soft)}
figure{margin:1rem 0;break-inside:avoid}
figure svg{display:block;max-width:100%;height:auto;background:#fff;border:1px solid var(--rule);forced-color-adjust:none}
figure svg.narrow{display:none}
table{border-collapse:collapse;width:100%;margin:.8rem 0;font-size:.9rem;line-height:1.35}
th,td{text-align:left;vertical-align:top;padding:.3rem .5rem .3rem 0;border-bottom:1px solid var(--rule)}
th{border-bottom:2px solid var(--ink)}
.r{text-align:right;font-variant-numeric:tabular-nums}
.n{white-space:nowrap}
tr{break-inside:avoid}
.strong td{font-weight:700}
@media screen and (max-width:600px){
figure svg.wide{display:none}
figure svg.narrow{display:block}
.date{font-size:1.6rem}
table,tbody,tr,td{display:block}
thead{display:none}
tr{padding:.5rem 0;border-bottom:2px solid var(--rule)}
td{border:0;padding:.1rem 0;display:flex;gap:.8rem;justify-content:space-between;text-align:right}
td::before{content:attr(data-head);flex:none;max-width:45%;text-align:left;color:var(--soft);font-weight:400}
td:first-child{display:block;text-align:left;font-weight:700}
td:first-child::before,td:empty{display:none}
}
@page{margin:15mm}
@media print{
body{font-size:10pt;line-height:1.4}
main{max-width:none;padding:0}
h2{break-after:avoid;margin-top:1.2rem}
p,li{orphans:2;widows:2}
figure svg{max-height:105mm;margin:0 auto;border:0}
.first{break-after:page;height:245mm;display:flex;flex-direction:column;font-size:9pt;line-height:1.35}
.first>*{flex:none}
.first p,.first .key,.first h1{margin-top:3pt;margin-bottom:2pt}
.first .facts,.first .release{font-size:8.5pt}
.first .date{font-size:20pt}
.first .key{padding-top:0;padding-bottom:0}
.first .key p{margin:0}
.first figure{flex:0 1 90mm;min-height:0;margin:.3rem 0}
.first figure svg{height:100%;max-height:100%}
}
";

/// Cells of one word up to this many characters stay on one line.
const WHOLE: usize = 12;

/// Words as character data. Of the marks of direction only the isolates stay, and every one that opens is closed.
fn words(out: &mut String, text: &str) {
    let mut open = 0_usize;
    let mut run = String::new();
    for c in text.chars() {
        match c {
            ISOLATE => open += 1,
            ISOLATE_END if open > 0 => open -= 1,
            c if is_unsafe(c) => continue,
            c if c.is_control() => {
                run.push(' ');
                continue;
            }
            _ => {}
        }
        run.push(c);
    }
    run.extend(std::iter::repeat_n(ISOLATE_END, open));
    escape(out, &run);
}

fn element(out: &mut String, tag: &str, class: &str, text: &str) {
    if class.is_empty() {
        let _ = write!(out, "<{tag}>");
    } else {
        let _ = write!(out, "<{tag} class=\"{class}\">");
    }
    words(out, text);
    let _ = writeln!(out, "</{tag}>");
}

/// The whole file.
#[must_use]
pub fn html(document: &Document) -> String {
    let mut out = String::from(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; img-src data:\">\n\
         <link rel=\"icon\" href=\"data:,\">\n<title>",
    );
    words(&mut out, &document.title);
    let _ = write!(
        out,
        "</title>\n<style>{LOOK}</style>\n</head>\n<body>\n<main>\n"
    );
    out.push_str(&body(document, Shown::Usual));
    out.push_str("</main>\n</body>\n</html>\n");
    out
}

/// How much of a document is shown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shown {
    /// What everybody reads.
    Usual,
    /// What those who ask for more read, too.
    All,
}

/// What stands between the head and the end of the file, to be set into another page.
#[must_use]
pub fn body(document: &Document, shown: Shown) -> String {
    let mut out = String::new();
    let mut charts = 0;
    if let Some(page) = &document.first {
        first(&mut out, document, page, &mut charts);
    }
    for section in &document.sections {
        out.push_str("<section>\n");
        if !section.heading.is_empty() {
            element(&mut out, "h2", "", &section.heading);
        }
        for block in &section.blocks {
            match block {
                Block::Text(text) => element(&mut out, "p", "", text),
                Block::Caution { about, text } => {
                    let line = Block::caution_line(about.as_deref(), text);
                    element(&mut out, "p", "caution", &line);
                }
                Block::Details(items) if shown == Shown::All => list(&mut out, items),
                Block::DetailTable(rows) if shown == Shown::All => table(&mut out, rows),
                Block::Hints(_) | Block::Details(_) | Block::DetailTable(_) => {}
                Block::List(items) | Block::Notes(items) => list(&mut out, items),
                Block::Table(rows) => table(&mut out, rows),
                Block::Figure(chart) => figure(&mut out, chart, &mut charts),
            }
        }
        out.push_str("</section>\n");
    }
    out
}

fn list(out: &mut String, items: &[String]) {
    out.push_str("<ul>\n");
    for item in items {
        element(out, "li", "", item);
    }
    out.push_str("</ul>\n");
}

/// The page that stands alone.
fn first(out: &mut String, document: &Document, page: &FirstPage, charts: &mut usize) {
    out.push_str("<div class=\"first\">\n");
    let head = &page.head;
    if head.company.is_some() || head.address.is_some() || head.logo.is_some() {
        out.push_str("<div class=\"head\"><div>");
        for (tag, text) in [("b", &head.company), ("p", &head.address)] {
            if let Some(text) = text {
                element(out, tag, "", text);
            }
        }
        out.push_str("</div>");
        if let Some(logo) = &head.logo {
            let _ = write!(out, "<img alt=\"\" src=\"{}\"/>", logo.address);
        }
        out.push_str("</div>\n");
    }
    element(out, "h1", "", &document.title);
    element(out, "p", "soft", &document.subtitle);
    out.push_str("<p class=\"facts\">");
    for (name, text) in head.lines() {
        let _ = write!(out, "<span>{name}: ");
        words(out, text);
        out.push_str("</span> ");
    }
    out.push_str("</p>\n");
    element(out, "p", "date", &page.date);
    element(out, "p", "", &page.meaning);
    for part in &page.parts {
        let _ = writeln!(out, "<div class=\"key\"><b>{}</b>", part.name);
        for line in &part.lines {
            element(out, "p", "", line);
        }
        out.push_str("</div>\n");
    }
    if let Some(chart) = &page.chart {
        figure(out, chart, charts);
    }
    element(out, "p", "release", &page.release);
    out.push_str("</div>\n");
}

fn table(out: &mut String, table: &TextTable) {
    let class = |side: Side, text: &str| {
        // A figure or a date is not broken; long words must be, or the page would scroll sideways.
        let whole = text.chars().count() <= WHOLE && !text.contains(' ');
        match (side, whole) {
            (Side::Right, true) => " class=\"r n\"",
            (Side::Right, false) => " class=\"r\"",
            (Side::Left, true) => " class=\"n\"",
            (Side::Left, false) => "",
        }
    };
    out.push_str("<table>\n<thead><tr>");
    for (head, side) in &table.columns {
        let _ = write!(out, "<th{}>", class(*side, head));
        words(out, head);
        out.push_str("</th>");
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for (place, row) in table.rows.iter().enumerate() {
        out.push_str(if table.strong_row == Some(place) {
            "<tr class=\"strong\">"
        } else {
            "<tr>"
        });
        for (column, (head, side)) in table.columns.iter().enumerate() {
            let text = row.get(column).map_or("", String::as_str);
            let _ = write!(out, "<td{} data-head=\"", class(*side, text));
            words(out, head);
            out.push_str("\">");
            words(out, text);
            out.push_str("</td>");
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody>\n</table>\n");
}

/// Both layouts; the style shows one of them. Textures get names of their own, since a browser looks for a name in the first drawing
/// that has it, shown or not.
fn figure(out: &mut String, figure: &Figure, charts: &mut usize) {
    out.push_str("<figure>\n");
    for (class, svg) in [("wide", figure.wide()), ("narrow", figure.narrow())] {
        *charts += 1;
        // Quotation marks never occur in the words of a drawing, so only its own attributes are met.
        let svg = svg
            .replace("id=\"fill-", &format!("id=\"c{charts}-fill-"))
            .replace("=\"url(#fill-", &format!("=\"url(#c{charts}-fill-"))
            .replacen("<svg ", &format!("<svg class=\"{class}\" "), 1);
        out.push_str(&svg);
    }
    out.push_str("</figure>\n");
}
