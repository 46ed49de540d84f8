//! The local page: the whole job in a browser, from the same calls as the commands.
//!
//! | file | what it holds |
//! |---|---|
//! | `server` | listening, connections, routes, the files of the page |
//! | `guard` | who may ask: token, `Host`, `Origin`, sizes; what every answer carries |
//! | `folder` | the jobs of one folder by name, saved whole or not at all |
//! | `draft` | a text that is not saved yet: edits, form, faults |
//! | `form_html`, `answer` | form and answer as HTML |
//! | `pages`, `walk`, `slab`, `new_job` | the other pages: compare, plan, report; walk; readings, today; a new job |
//! | `small_form` | a few questions with their faults |
//! | `pocket` | one file for the phone |
//! | `shared`, `refusal` | what all requests share; why one is refused |
//! | `web` | HTML, style and scripts as the browser gets them |
//!
//! The page computes nothing: what it shows comes from the crate's public functions, [`crate::scenario`] and [`crate::results`]. Scripts hold the text
//! of the draft, nothing else; each change goes to the server and comes back as text and HTML.

mod answer;
mod draft;
mod folder;
mod form_html;
mod guard;
mod new_job;
mod pages;
pub mod pocket;
mod refusal;
mod server;
mod shared;
mod slab;
mod small_form;
mod walk;

/// The QR code of an address as lines of a terminal; none if it is too long for one. With styles it is black on white whatever the ground
/// of the terminal; without, it is light on dark, as most terminals are.
pub(crate) fn qr(address: &str, styled: bool) -> Option<String> {
    use qrcode::render::unicode::Dense1x2::{self, Dark, Light};
    let code = qrcode::QrCode::new(address).ok()?;
    let mut picture = code.render::<Dense1x2>();
    if !styled {
        return Some(picture.dark_color(Light).light_color(Dark).build());
    }
    let lines = picture.build();
    let lines = lines
        .lines()
        .map(|line| format!("\u{1b}[30;107m{line}\u{1b}[0m"));
    Some(lines.collect::<Vec<_>>().join("\n"))
}

pub(crate) use server::{Options, Served, serve};
