//! The two ways to spell English.

/// UK spelling with US spelling.
pub(super) const UK_AND_US: [(&str, &str); 8] = [
    ("vapour", "vapor"),
    ("labour", "labor"),
    ("colour", "color"),
    ("mould", "mold"),
    ("neutralis", "neutraliz"),
    ("trowelled", "troweled"),
    ("metre", "meter"),
    ("litre", "liter"),
];

/// A text in US spelling.
pub(super) fn american(text: &str) -> String {
    let pairs = UK_AND_US.iter();
    pairs.fold(text.to_owned(), |text, (uk, us)| text.replace(uk, us))
}
