//! JSON text to a tree in which every key and value knows its place.
//!
//! A reader of its own because faults need places, repeated keys must be found, and hostile input must end in a fault: depth and size are limited.
//! Grammar: RFC 8259; a byte order mark at the start is passed over, as that standard allows.

use std::ops::Range;

/// Deeper nesting than any scenario has; keeps the reader from running out of stack.
pub(crate) const DEEPEST: usize = 32;
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
    Bool,
    /// The text of the number, which is finite.
    Number(String, f64),
    Text(String),
    List(Vec<Node>),
    Object(Vec<Member>),
}

#[derive(Debug, Clone)]
pub(crate) struct Member {
    pub(crate) key: String,
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

    pub(crate) fn text(&self) -> Option<&str> {
        match &self.value {
            Value::Text(text) => Some(text),
            _ => None,
        }
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
            Value::Bool => "true or false",
            Value::Number(..) => "a number",
            Value::Text(_) => "text",
            Value::List(_) => "a list",
            Value::Object(_) => "an object",
        }
    }
}

/// Reads the whole text as one JSON value.
pub(crate) fn read(text: &str) -> Result<Node, NotJson> {
    if text.len() > LARGEST_BYTES {
        return Err(NotJson {
            span: 0..0,
            message: format!("The file has {} bytes; a scenario has a few thousand.", text.len()),
            help: "Check that this is the scenario. Weather by the hour belongs in a file of its own beside it.".to_owned(),
        });
    }
    let start = if text.starts_with('\u{feff}') {
        '\u{feff}'.len_utf8()
    } else {
        0
    };
    let mut reader = Reader {
        text,
        bytes: text.as_bytes(),
        at: start,
    };
    reader.blank();
    if reader.at == text.len() {
        return Err(NotJson {
            span: start..start,
            message: "The file is empty.".to_owned(),
            help: "Write a starter scenario with `coatday new`.".to_owned(),
        });
    }
    let node = reader.value(0)?;
    reader.blank();
    if reader.at < text.len() {
        return Err(reader.fault(
            reader.at,
            "There is text after the end of the scenario.",
            "Remove it, or check for a brace closed too early.",
        ));
    }
    Ok(node)
}

struct Reader<'a> {
    text: &'a str,
    bytes: &'a [u8],
    at: usize,
}

impl Reader<'_> {
    fn peek(&self) -> Option<u8> {
        self.bytes.get(self.at).copied()
    }

    fn blank(&mut self) {
        while matches!(self.peek(), Some(b' ' | b'\t' | b'\n' | b'\r')) {
            self.at += 1;
        }
    }

    /// One whole character from `at` as the faulty place.
    fn fault(&self, at: usize, message: &str, help: &str) -> NotJson {
        let width = self
            .text
            .get(at..)
            .and_then(|rest| rest.chars().next())
            .map_or(0, char::len_utf8);
        NotJson {
            span: at..at + width,
            message: message.to_owned(),
            help: help.to_owned(),
        }
    }

    fn cut_short(&self, opened: usize, what: &str) -> NotJson {
        let line = self
            .text
            .get(..opened)
            .map_or(1, |before| before.matches('\n').count() + 1);
        self.fault(
            self.text.len(),
            &format!("The file ends inside {what} that begins on line {line}."),
            "Close it, or fetch the whole file again if it was cut short.",
        )
    }

    fn value(&mut self, depth: usize) -> Result<Node, NotJson> {
        let start = self.at;
        let value = match self.peek() {
            Some(b'{' | b'[') if depth >= DEEPEST => {
                let message = format!("Objects and lists are nested more than {DEEPEST} deep.");
                return Err(self.fault(
                    start,
                    &message,
                    "A scenario is at most ten deep. Check the brackets.",
                ));
            }
            Some(b'{') => self.object(depth)?,
            Some(b'[') => self.list(depth)?,
            Some(b'"') => Value::Text(self.string()?),
            Some(b'-' | b'0'..=b'9') => self.number()?,
            Some(b'\'') => {
                return Err(self.fault(
                    start,
                    "Text stands in single quotes.",
                    "Use double quotes: \"5 in\".",
                ));
            }
            Some(b'/' | b'#') => return Err(self.comment(start)),
            Some(_) => self.word()?,
            None => {
                return Err(self.fault(
                    start,
                    "The file ends where a value should be.",
                    "Write the value, or fetch the whole file again if it was cut short.",
                ));
            }
        };
        Ok(Node {
            span: start..self.at,
            value,
        })
    }

    fn comment(&self, at: usize) -> NotJson {
        self.fault(at, "JSON has no comments.", "Put the remark in a \"note\".")
    }

    fn word(&mut self) -> Result<Value, NotJson> {
        let start = self.at;
        while self
            .peek()
            .is_some_and(|byte| byte.is_ascii_alphanumeric() || byte == b'_')
        {
            self.at += 1;
        }
        match self.text.get(start..self.at) {
            Some("true" | "false") => Ok(Value::Bool),
            Some("null") => Ok(Value::Null),
            Some("") | None => Err(self.fault(
                start,
                "A value should stand here.",
                "Write text in double quotes, a number, a list or an object.",
            )),
            Some(_) => Err(NotJson {
                span: start..self.at,
                message: "A word stands here without quotes.".to_owned(),
                help: "Put text in double quotes. NaN and Infinity are not allowed.".to_owned(),
            }),
        }
    }

    fn number(&mut self) -> Result<Value, NotJson> {
        let start = self.at;
        while matches!(
            self.peek(),
            Some(b'-' | b'+' | b'.' | b'e' | b'E' | b'0'..=b'9')
        ) {
            self.at += 1;
        }
        let text = self.text.get(start..self.at).unwrap_or_default();
        let not_json = |message: &str, help: &str| NotJson {
            span: start..self.at,
            message: message.to_owned(),
            help: help.to_owned(),
        };
        if !is_json_number(text) {
            return Err(not_json(
                "This is not a number.",
                "Write it like 12, 0.5 or 1e6.",
            ));
        }
        match text.parse::<f64>() {
            Ok(number) if number.is_finite() => Ok(Value::Number(text.to_owned(), number)),
            _ => Err(not_json(
                "This number is too large.",
                "Write it like 12, 0.5 or 1e6.",
            )),
        }
    }

    fn string(&mut self) -> Result<String, NotJson> {
        let start = self.at;
        self.at += 1;
        let mut out = String::new();
        loop {
            let run = self.at;
            while self
                .peek()
                .is_some_and(|byte| byte != b'"' && byte != b'\\' && byte >= 0x20)
            {
                self.at += 1;
            }
            out.push_str(self.text.get(run..self.at).unwrap_or_default());
            match self.peek() {
                Some(b'"') => {
                    self.at += 1;
                    return Ok(out);
                }
                Some(b'\\') => out.push(self.escape()?),
                Some(b'\n' | b'\r') => {
                    return Err(self.fault(
                        start,
                        "This text has no closing quote on its line.",
                        "Close it with a double quote.",
                    ));
                }
                Some(_) => {
                    return Err(self.fault(
                        self.at,
                        "A control character stands in the text.",
                        "Remove it; write a tab as \\t.",
                    ));
                }
                None => return Err(self.cut_short(start, "text")),
            }
        }
    }

    fn escape(&mut self) -> Result<char, NotJson> {
        let start = self.at;
        self.at += 1;
        let letter = self.peek();
        self.at += usize::from(letter.is_some());
        let c = match letter {
            Some(b'"') => '"',
            Some(b'\\') => '\\',
            Some(b'/') => '/',
            Some(b'b') => '\u{8}',
            Some(b'f') => '\u{c}',
            Some(b'n') => '\n',
            Some(b'r') => '\r',
            Some(b't') => '\t',
            Some(b'u') => {
                let first = self.hex();
                let code = match first {
                    Some(high @ 0xd800..=0xdbff)
                        if self.text.get(self.at..self.at + 2) == Some("\\u") =>
                    {
                        self.at += 2;
                        self.hex()
                            .filter(|low| (0xdc00..=0xdfff).contains(low))
                            .map(|low| 0x1_0000 + ((high - 0xd800) << 10) + (low - 0xdc00))
                    }
                    other => other,
                };
                match code.and_then(char::from_u32) {
                    Some(c) => c,
                    None => {
                        return Err(self.fault(
                            start,
                            "This \\u code is not a character.",
                            "Write the character itself.",
                        ));
                    }
                }
            }
            _ => {
                return Err(self.fault(
                    start,
                    "A backslash stands before something it cannot change.",
                    "Write a backslash as \\\\, or paths with /.",
                ));
            }
        };
        Ok(c)
    }

    fn hex(&mut self) -> Option<u32> {
        let digits = self
            .text
            .get(self.at..self.at + 4)
            .filter(|digits| digits.bytes().all(|byte| byte.is_ascii_hexdigit()))?;
        self.at += 4;
        u32::from_str_radix(digits, 16).ok()
    }

    fn list(&mut self, depth: usize) -> Result<Value, NotJson> {
        let start = self.at;
        self.at += 1;
        let mut items = Vec::new();
        loop {
            self.blank();
            match self.peek() {
                None => return Err(self.cut_short(start, "a list")),
                Some(b']') if items.is_empty() => break,
                Some(b']') => {
                    return Err(self.fault(
                        self.at,
                        "A comma stands before the end of a list.",
                        "Remove the comma.",
                    ));
                }
                Some(_) => items.push(self.value(depth + 1)?),
            }
            if self.ends(start, b']', "a list")? {
                break;
            }
        }
        self.at += 1;
        Ok(Value::List(items))
    }

    fn object(&mut self, depth: usize) -> Result<Value, NotJson> {
        let start = self.at;
        self.at += 1;
        let mut members = Vec::new();
        loop {
            self.blank();
            match self.peek() {
                None => return Err(self.cut_short(start, "an object")),
                Some(b'}') if members.is_empty() => break,
                Some(b'}') => {
                    return Err(self.fault(
                        self.at,
                        "A comma stands before the end of an object.",
                        "Remove the comma.",
                    ));
                }
                Some(b'"') => {}
                Some(b'/' | b'#') => return Err(self.comment(self.at)),
                Some(_) => {
                    return Err(self.fault(
                        self.at,
                        "A key should stand here.",
                        "Write keys in double quotes, like \"name\".",
                    ));
                }
            }
            let key_start = self.at;
            let key = self.string()?;
            let key_span = key_start..self.at;
            self.blank();
            match self.peek() {
                Some(b':') => self.at += 1,
                None => return Err(self.cut_short(start, "an object")),
                Some(_) => {
                    return Err(self.fault(
                        self.at,
                        "A colon should stand between a key and its value.",
                        "Write \"key\": value.",
                    ));
                }
            }
            self.blank();
            if self.peek().is_none() {
                return Err(self.cut_short(start, "an object"));
            }
            let value = self.value(depth + 1)?;
            members.push(Member {
                key,
                key_span,
                value,
            });
            if self.ends(start, b'}', "an object")? {
                break;
            }
        }
        self.at += 1;
        Ok(Value::Object(members))
    }

    /// After an item: true at the closing bracket, false past a comma.
    fn ends(&mut self, start: usize, close: u8, what: &str) -> Result<bool, NotJson> {
        self.blank();
        match self.peek() {
            Some(b',') => {
                self.at += 1;
                Ok(false)
            }
            Some(byte) if byte == close => Ok(true),
            None => Err(self.cut_short(start, what)),
            Some(b'/' | b'#') => Err(self.comment(self.at)),
            Some(_) => {
                let message = format!("A comma or \"{}\" should stand here.", char::from(close));
                Err(self.fault(
                    self.at,
                    &message,
                    "Separate entries by commas and close every bracket.",
                ))
            }
        }
    }
}

/// The number grammar of RFC 8259: no leading zeros, no bare points.
fn is_json_number(text: &str) -> bool {
    let all_digits =
        |digits: &str| !digits.is_empty() && digits.bytes().all(|byte| byte.is_ascii_digit());
    let text = text.strip_prefix('-').unwrap_or(text);
    let (mantissa, exponent) = text
        .split_once(['e', 'E'])
        .map_or((text, None), |(mantissa, exponent)| {
            (mantissa, Some(exponent))
        });
    let (whole, fraction) = mantissa
        .split_once('.')
        .map_or((mantissa, None), |(whole, fraction)| {
            (whole, Some(fraction))
        });
    all_digits(whole)
        && (whole == "0" || !whole.starts_with('0'))
        && fraction.is_none_or(all_digits)
        && exponent.is_none_or(|exponent| {
            all_digits(exponent.strip_prefix(['+', '-']).unwrap_or(exponent))
        })
}
