//! JSON text to a tree in which every key and value knows its place, and every key stands as often as it was written.
//!
//! The grammar is read by the crate `jsonc-parser`: RFC 8259 with comments, `//` and `/* */`. What it passes over is looked for here, since
//! a text without its closing quote would swallow the lines below it. Hostile input ends in a fault: size and depth are limited.

use std::ops::Range;

use jsonc_parser::errors::{ParseError, ParseErrorKind as Kind};
use jsonc_parser::{CollectOptions, ParseOptions, ParseStringErrorKind, ast, parse_to_ast};
use serde_json::Value as Json;

use crate::units;

/// Deeper nesting than any scenario has.
const DEEPEST: usize = 32;
/// Larger than any scenario; weather belongs in a file beside it.
pub(crate) const LARGEST_BYTES: usize = 2_000_000;

/// A value and where it stands, in bytes.
#[derive(Debug, Clone)]
pub(crate) struct Node {
    pub(crate) span: Range<usize>,
    pub(crate) value: Value,
}

#[derive(Debug, Clone)]
pub(crate) enum Value {
    Null,
    Bool(bool),
    /// The text of the number, which is finite.
    Number(String, f64),
    Text(String),
    List(Vec<Node>),
    Object(Vec<Member>),
}

#[derive(Debug, Clone)]
pub(crate) struct Member {
    /// In the one spelling, once [`super::spelling::canonical`] went over it.
    pub(crate) key: String,
    /// As it stands in the text.
    pub(crate) typed: String,
    pub(crate) key_span: Range<usize>,
    pub(crate) value: Node,
}

/// The first place where the text is not JSON.
#[derive(Debug)]
pub(crate) struct NotJson {
    pub(crate) span: Range<usize>,
    pub(crate) message: String,
    pub(crate) help: String,
}

impl Node {
    /// The value under a key, the first if it is repeated. Null counts as not given.
    pub(crate) fn get(&self, key: &str) -> Option<&Node> {
        match &self.value {
            Value::Object(members) => members
                .iter()
                .find(|member| member.key == key)
                .map(|member| &member.value)
                .filter(|node| !matches!(node.value, Value::Null)),
            _ => None,
        }
    }

    /// The same, to change it.
    pub(crate) fn get_mut(&mut self, key: &str) -> Option<&mut Node> {
        match &mut self.value {
            Value::Object(members) => members
                .iter_mut()
                .find(|member| member.key == key)
                .map(|member| &mut member.value),
            _ => None,
        }
    }

    pub(crate) fn text(&self) -> Option<&str> {
        match &self.value {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }

    pub(crate) fn number(&self) -> Option<f64> {
        match &self.value {
            Value::Number(_, number) => Some(*number),
            _ => None,
        }
    }

    /// A quantity in SI, if it can be read as one of this kind.
    pub(crate) fn amount(&self, kind: units::Kind) -> Option<f64> {
        Some(units::parse(kind, self.text()?).ok()?.si())
    }

    pub(crate) fn items(&self) -> &[Node] {
        match &self.value {
            Value::List(items) => items,
            _ => &[],
        }
    }

    pub(crate) fn kind(&self) -> &'static str {
        match self.value {
            Value::Null => "null",
            Value::Bool(_) => "true or false",
            Value::Number(..) => "a number",
            Value::Text(_) => "text",
            Value::List(_) => "a list",
            Value::Object(_) => "an object",
        }
    }

    /// The same without places.
    pub(crate) fn to_json(&self) -> Json {
        match &self.value {
            Value::Null => Json::Null,
            Value::Bool(value) => Json::Bool(*value),
            Value::Number(text, number) => text
                .parse::<u64>()
                .map_or_else(|_| serde_json::json!(number), Json::from),
            Value::Text(text) => Json::from(text.as_str()),
            Value::List(items) => items.iter().map(Self::to_json).collect(),
            Value::Object(members) => members
                .iter()
                .map(|member| (member.key.clone(), member.value.to_json()))
                .collect(),
        }
    }
}

/// Reads the whole text as one JSON value.
pub(crate) fn read(text: &str) -> Result<Node, NotJson> {
    let fault = |span: Range<usize>, message: String, help: &str| NotJson {
        span,
        message,
        help: help.to_owned(),
    };
    if text.len() > LARGEST_BYTES {
        let message = format!(
            "The file has {} bytes. A scenario has a few thousand.",
            text.len()
        );
        return Err(fault(
            0..0,
            message,
            "Check that this is the scenario. Weather by the hour goes into its own file beside it.",
        ));
    }
    // A byte order mark at the start is passed over, as RFC 8259 allows.
    let start = text.len() - text.trim_start_matches('\u{feff}').len();
    let body = &text[start..];
    let read = Reader { text, start };
    read.quotes()?;
    let options = ParseOptions {
        allow_comments: true,
        allow_loose_object_property_names: false,
        allow_trailing_commas: false,
        allow_missing_commas: false,
        allow_single_quoted_strings: false,
        allow_hexadecimal_numbers: false,
        allow_unary_plus_numbers: false,
        allow_bare_decimal_point_numbers: false,
        allow_non_finite_numbers: false,
        allow_extended_string_escapes: false,
    };
    let tree = parse_to_ast(body, &CollectOptions::default(), &options)
        .map_err(|error| read.not_json(&error))?;
    match tree.value {
        Some(value) => read.node(&value, 0),
        None => Err(fault(
            start..start,
            "The file is empty.".to_owned(),
            "Write a starter scenario: coatday new job.json",
        )),
    }
}

struct Reader<'a> {
    text: &'a str,
    /// Where the JSON begins.
    start: usize,
}

impl Reader<'_> {
    fn place(&self, range: jsonc_parser::common::Range) -> Range<usize> {
        range.start + self.start..range.end + self.start
    }

    fn fault(span: Range<usize>, message: impl Into<String>, help: &str) -> NotJson {
        NotJson {
            span,
            message: message.into(),
            help: help.to_owned(),
        }
    }

    fn cut_short(&self, opened: usize, what: &str) -> NotJson {
        let before = self.text.get(..opened).unwrap_or_default();
        let line = before.matches('\n').count() + 1;
        Self::fault(
            self.text.len()..self.text.len(),
            format!("The file ends before {what} from line {line} is closed."),
            "Close it, or fetch the whole file again if it was cut short.",
        )
    }

    /// Every text ends on its line and holds no control characters.
    fn quotes(&self) -> Result<(), NotJson> {
        let bytes = self.text.as_bytes();
        let rest = |at: usize| bytes.get(at..).unwrap_or_default();
        let find = |at: usize, end: &[u8]| {
            let place = rest(at).windows(end.len()).position(|part| part == end);
            place.map_or(bytes.len(), |place| at + place + end.len())
        };
        let mut at = self.start;
        while let Some(byte) = bytes.get(at) {
            at = match byte {
                b'/' if rest(at).starts_with(b"//") => find(at, b"\n"),
                b'/' if rest(at).starts_with(b"/*") => find(at + 2, b"*/"),
                b'"' => self.quote(at)?,
                _ => at + 1,
            };
        }
        Ok(())
    }

    /// The place after a text.
    fn quote(&self, opened: usize) -> Result<usize, NotJson> {
        let bytes = self.text.as_bytes();
        let mut at = opened + 1;
        loop {
            match bytes.get(at) {
                Some(b'"') => return Ok(at + 1),
                Some(b'\\') => at += 2,
                Some(b'\n' | b'\r') => {
                    let before = bytes.get(..opened).unwrap_or_default();
                    let inches = matches!(before, [.., digit, b'"'] if digit.is_ascii_digit());
                    return Err(Self::fault(
                        opened..opened + 1,
                        "This text has no closing quote on its line.",
                        if inches {
                            "A quote mark ends the text. Write inches as \"5-1/2 in\" or \"6'-2 in\"."
                        } else {
                            "Close it with a double quote."
                        },
                    ));
                }
                Some(byte) if *byte < b' ' => {
                    return Err(Self::fault(
                        at..at + 1,
                        "There is a control character in the text.",
                        "Remove it; write a tab as \\t.",
                    ));
                }
                Some(_) => at += 1,
                None => return Err(self.cut_short(opened, "the text")),
            }
        }
    }

    fn node(&self, value: &ast::Value<'_>, depth: usize) -> Result<Node, NotJson> {
        use jsonc_parser::common::Ranged;
        let span = self.place(value.range());
        let value = match value {
            ast::Value::NullKeyword(_) => Value::Null,
            ast::Value::BooleanLit(literal) => Value::Bool(literal.value),
            ast::Value::StringLit(literal) => Value::Text(literal.value.to_string()),
            ast::Value::NumberLit(literal) => match literal.value.parse::<f64>() {
                Ok(number) if number.is_finite() => Value::Number(literal.value.to_owned(), number),
                _ => return Err(Self::fault(span, "This number is too large.", NUMBER)),
            },
            ast::Value::Array(_) | ast::Value::Object(_) if depth >= DEEPEST => {
                return Err(too_deep(span));
            }
            ast::Value::Array(array) => {
                let items = array.elements.iter();
                Value::List(
                    items
                        .map(|item| self.node(item, depth + 1))
                        .collect::<Result<_, _>>()?,
                )
            }
            ast::Value::Object(object) => {
                let members = object.properties.iter().map(|property| {
                    Ok(Member {
                        key: property.name.as_str().to_owned(),
                        typed: property.name.as_str().to_owned(),
                        key_span: self.place(property.name.range()),
                        value: self.node(&property.value, depth + 1)?,
                    })
                });
                Value::Object(members.collect::<Result<_, _>>()?)
            }
        };
        Ok(Node { span, value })
    }

    /// What the grammar finds, and what to do.
    fn not_json(&self, error: &ParseError) -> NotJson {
        let span = self.place(error.range());
        let next = self.text.get(span.end..).unwrap_or_default().trim_start();
        let here = self
            .text
            .get(span.start..)
            .and_then(|rest| rest.chars().next());
        let in_number = || {
            let bytes = self.text.as_bytes();
            let digit = |at: Option<usize>| {
                at.and_then(|at| bytes.get(at))
                    .is_some_and(u8::is_ascii_digit)
            };
            digit(span.start.checked_sub(1)) && digit(Some(span.start))
        };
        let (message, help) = match error.kind() {
            Kind::NestingDepthExceeded => return too_deep(span),
            Kind::UnterminatedObject => return self.cut_short(span.start, "the \"{\""),
            Kind::UnterminatedArray => return self.cut_short(span.start, "the \"[\""),
            Kind::UnterminatedCommentBlock => return self.cut_short(span.start, "the comment"),
            Kind::ExpectedObjectValue => (
                "The file ends where a value should be.",
                "Write the value, or fetch the whole file again if it was cut short.",
            ),
            Kind::TrailingCommasNotAllowed if next.starts_with(']') => (
                "There is a comma before the closing bracket.",
                "Remove the comma.",
            ),
            Kind::TrailingCommasNotAllowed => (
                "There is a comma before the closing brace.",
                "Remove the comma.",
            ),
            Kind::MultipleRootJsonValues => (
                "There is text after the end of the scenario.",
                "Remove it, or check for a brace closed too early.",
            ),
            Kind::SingleQuotedStringsNotAllowed => (
                "This text is in single quotes.",
                "Use double quotes: \"5 in\".",
            ),
            Kind::ExpectedColonAfterObjectKey => (
                "A colon is missing between a key and its value.",
                "Write \"key\": value.",
            ),
            Kind::UnexpectedTokenInObject if here == Some(']') => {
                ("A comma or \"}\" is missing here.", SEPARATE)
            }
            Kind::UnexpectedCloseBrace => ("A comma or \"]\" is missing here.", SEPARATE),
            Kind::UnexpectedComma | Kind::UnexpectedCloseBracket | Kind::UnexpectedColon => (
                "A value is missing here.",
                "Write text in double quotes, a number, a list or an object.",
            ),
            Kind::ExpectedStringObjectProperty | Kind::UnexpectedTokenInObject => (
                "A key is missing here.",
                "Write keys in double quotes, such as \"name\".",
            ),
            Kind::ExpectedComma if in_number() => ("This is not a number.", NUMBER),
            Kind::ExpectedComma => ("A comma is missing here.", SEPARATE),
            Kind::UnexpectedWord | Kind::NonFiniteNumbersNotAllowed => WORD,
            // A word that runs into a bracket.
            Kind::UnexpectedToken if here.is_some_and(char::is_alphabetic) => WORD,
            Kind::UnexpectedToken if matches!(here, Some('#' | '/')) => (
                "A comment starts with //.",
                "Write // before it, or put it in a \"note\".",
            ),
            Kind::String(
                ParseStringErrorKind::ExpectedFourHexDigits
                | ParseStringErrorKind::InvalidUnicodeEscapeSequence(_),
            ) => (
                "This \\u code is not a character.",
                "Write the character itself.",
            ),
            Kind::String(_) => (
                "This backslash changes nothing.",
                "Write a backslash as \\\\, or paths with /.",
            ),
            Kind::BareDecimalPointNumbersNotAllowed
            | Kind::ExpectedDigit
            | Kind::ExpectedDigitFollowingNegativeSign
            | Kind::ExpectedPlusMinusOrDigitInNumberLiteral
            | Kind::HexadecimalNumbersNotAllowed
            | Kind::UnaryPlusNumbersNotAllowed => ("This is not a number.", NUMBER),
            _ => ("This does not belong here.", SEPARATE),
        };
        Self::fault(span, message, help)
    }
}

const SEPARATE: &str = "Separate entries by commas and close every bracket.";
const WORD: (&str, &str) = (
    "This word has no quotes.",
    "Put text in double quotes. NaN and Infinity are not allowed.",
);
const NUMBER: &str = "Write it such as 12, 0.5 or 1e6.";

fn too_deep(span: Range<usize>) -> NotJson {
    Reader::fault(
        span.start..span.start + 1,
        format!("Objects and lists are nested more than {DEEPEST} deep."),
        "A scenario is at most ten deep. Check the brackets.",
    )
}
