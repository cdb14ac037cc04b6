//! JSON in and out, as small as the core's few messages allow.
//!
//! A general library would be a quarter of what a phone has to fetch: it brings number tables and a copy of its parser
//! for every type. What is read here is texts, lists, whole numbers and objects of them; what is written may also hold
//! any finite number, to 15 significant digits, which is what a quantity of the core carries.

use crate::text::figures::plain_digits;

/// Deepest nesting that is read: a question's option is three deep.
const DEEPEST: usize = 16;

/// A JSON value.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// `null`.
    Null,
    /// `true` or `false`.
    Bool(bool),
    /// A number; one that is not finite is written as `null`.
    Number(f64),
    /// A text.
    Text(String),
    /// A list.
    List(Vec<Value>),
    /// An object, in its order.
    Map(Vec<(String, Value)>),
}

impl From<&str> for Value {
    fn from(text: &str) -> Value {
        Value::Text(text.to_owned())
    }
}

impl From<String> for Value {
    fn from(text: String) -> Value {
        Value::Text(text)
    }
}

/// An object of these members.
pub fn map(members: Vec<(&str, Value)>) -> Value {
    Value::Map(members.into_iter().map(|(key, value)| (key.to_owned(), value)).collect())
}

/// A list of pairs of texts.
pub fn pairs_of(value: &Value) -> Option<Vec<(String, String)>> {
    let pair = |pair: &Value| match pair.list()? {
        [name, text] => Some((name.text()?.to_owned(), text.text()?.to_owned())),
        _ => None,
    };
    value.list()?.iter().map(pair).collect()
}

/// A list of pairs of texts as JSON.
pub fn pairs_json(pairs: &[(String, String)]) -> Value {
    let pair = |(name, text): &(String, String)| Value::List(vec![name.clone().into(), text.clone().into()]);
    Value::List(pairs.iter().map(pair).collect())
}

impl Value {
    /// The member with this name, or `Null`.
    pub fn get(&self, key: &str) -> &Value {
        match self {
            Value::Map(members) => {
                members.iter().find(|(name, _)| name == key).map_or(&Value::Null, |(_, value)| value)
            }
            _ => &Value::Null,
        }
    }

    /// The text, if it is one.
    pub fn text(&self) -> Option<&str> {
        match self {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The whole number from 0 up, if it is one.
    pub fn whole(&self) -> Option<usize> {
        match self {
            Value::Number(number) if number.fract() == 0.0 && (0.0..=4_294_967_295.0).contains(number) => {
                Some(*number as usize)
            }
            _ => None,
        }
    }

    /// The items, if it is a list.
    pub fn list(&self) -> Option<&[Value]> {
        match self {
            Value::List(items) => Some(items),
            _ => None,
        }
    }

    /// As JSON text on one line.
    pub fn line(&self) -> String {
        let mut out = String::new();
        self.write(&mut out, None);
        out
    }

    /// As JSON text that a person can read, indented, with a line's end.
    pub fn pretty(&self) -> String {
        let mut out = String::new();
        self.write(&mut out, Some(0));
        out.push('\n');
        out
    }

    fn write(&self, out: &mut String, depth: Option<usize>) {
        let inner = depth.map(|depth| depth + 1);
        match self {
            Value::Null => out.push_str("null"),
            Value::Bool(yes) => out.push_str(if *yes { "true" } else { "false" }),
            Value::Number(number) if number.is_finite() => out.push_str(&plain_digits(*number)),
            Value::Number(_) => out.push_str("null"),
            Value::Text(text) => quoted(text, out),
            Value::List(items) => {
                out.push('[');
                for (index, item) in items.iter().enumerate() {
                    between(index, inner, out);
                    item.write(out, inner);
                }
                end(items.is_empty(), depth, out);
                out.push(']');
            }
            Value::Map(members) => {
                out.push('{');
                for (index, (key, value)) in members.iter().enumerate() {
                    between(index, inner, out);
                    quoted(key, out);
                    out.push_str(if depth.is_some() { ": " } else { ":" });
                    value.write(out, inner);
                }
                end(members.is_empty(), depth, out);
                out.push('}');
            }
        }
    }

    /// Reads JSON text; `None` if it is not JSON, or nested deeper than any message of the core.
    pub fn read(text: &str) -> Option<Value> {
        let mut reader = Reader { text, at: 0 };
        let value = reader.value(0)?;
        reader.space();
        (reader.at == text.len()).then_some(value)
    }
}

fn between(index: usize, inner: Option<usize>, out: &mut String) {
    if index > 0 {
        out.push(',');
    }
    new_line(inner, out);
}

fn end(empty: bool, depth: Option<usize>, out: &mut String) {
    if !empty {
        new_line(depth, out);
    }
}

fn new_line(depth: Option<usize>, out: &mut String) {
    if let Some(depth) = depth {
        out.push('\n');
        (0..depth).for_each(|_| out.push_str("  "));
    }
}

fn quoted(text: &str, out: &mut String) {
    let bytes = text.as_bytes();
    out.reserve(bytes.len() + 2);
    out.push('"');
    let (mut rest, mut at) = (0, 0);
    while at < bytes.len() {
        // Most text is long, and eight bytes at once have nothing to escape.
        if let Some(word) = bytes[at..].first_chunk() {
            let clean = clean_at_front(u64::from_le_bytes(*word));
            at += clean;
            if clean == 8 {
                continue;
            }
        }
        let byte = bytes[at];
        at += 1;
        if byte >= b' ' && byte != b'"' && byte != b'\\' {
            continue;
        }
        out.push_str(&text[rest..at - 1]);
        rest = at;
        match byte {
            b'"' => out.push_str("\\\""),
            b'\\' => out.push_str("\\\\"),
            b'\n' => out.push_str("\\n"),
            // The rest of the control characters have no short form worth its bytes.
            byte => {
                out.push_str("\\u00");
                out.push(hex(u32::from(byte) >> 4));
                out.push(hex(u32::from(byte) & 15));
            }
        }
    }
    out.push_str(&text[rest..]);
    out.push('"');
}

/// How many of eight bytes, from the lowest up, come before one that a JSON text must not hold as it is: a quotation mark,
/// a backslash, a control character.
fn clean_at_front(word: u64) -> usize {
    const ONES: u64 = u64::MAX / 255;
    const HIGH: u64 = ONES * 128;
    // The lowest byte whose high bit is set is one to escape; those above it may be false.
    let below = word.wrapping_sub(ONES * 0x20);
    let (quote, slash) = (word ^ (ONES * 0x22), word ^ (ONES * 0x5c));
    let found = (below & !word) | (quote.wrapping_sub(ONES) & !quote) | (slash.wrapping_sub(ONES) & !slash);
    (found & HIGH).trailing_zeros() as usize / 8
}

fn hex(digit: u32) -> char {
    char::from_digit(digit, 16).unwrap_or('0')
}

struct Reader<'t> {
    text: &'t str,
    at: usize,
}

impl Reader<'_> {
    fn byte(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }

    fn space(&mut self) {
        while matches!(self.byte(), Some(b' ' | b'\n' | b'\r' | b'\t')) {
            self.at += 1;
        }
    }

    /// Steps over `wanted`, if it is what comes next.
    fn take(&mut self, wanted: &str) -> bool {
        let found = self.text.as_bytes()[self.at..].starts_with(wanted.as_bytes());
        self.at += if found { wanted.len() } else { 0 };
        found
    }

    fn value(&mut self, depth: usize) -> Option<Value> {
        self.space();
        match self.byte()? {
            _ if depth > DEEPEST => None,
            b'"' => self.string().map(Value::Text),
            b'[' => {
                let mut items = Vec::new();
                self.items(b']', |reader| {
                    items.push(reader.value(depth + 1)?);
                    Some(())
                })?;
                Some(Value::List(items))
            }
            b'{' => {
                let mut members = Vec::new();
                self.items(b'}', |reader| {
                    reader.space();
                    let key = if reader.byte() == Some(b'"') { reader.string()? } else { return None };
                    reader.space();
                    if !reader.take(":") {
                        return None;
                    }
                    members.push((key, reader.value(depth + 1)?));
                    Some(())
                })?;
                Some(Value::Map(members))
            }
            b'n' => self.take("null").then_some(Value::Null),
            b't' => self.take("true").then_some(Value::Bool(true)),
            b'f' => self.take("false").then_some(Value::Bool(false)),
            _ => self.number(),
        }
    }

    fn items(&mut self, close: u8, mut one: impl FnMut(&mut Self) -> Option<()>) -> Option<()> {
        self.at += 1;
        self.space();
        if self.byte() == Some(close) {
            self.at += 1;
            return Some(());
        }
        loop {
            one(self)?;
            self.space();
            let next = self.byte()?;
            self.at += 1;
            match next {
                b',' => {}
                _ if next == close => return Some(()),
                _ => return None,
            }
        }
    }

    fn number(&mut self) -> Option<Value> {
        let negative = self.take("-");
        let begin = self.at;
        while matches!(self.byte(), Some(b'0'..=b'9' | b'.')) {
            self.at += 1;
        }
        let size = crate::text::figures::read_decimal(&self.text[begin..self.at])?;
        Some(Value::Number(if negative { -size } else { size }))
    }

    fn string(&mut self) -> Option<String> {
        self.at += 1;
        let mut out = String::new();
        loop {
            let rest = &self.text[self.at..];
            let end = rest.bytes().position(|byte| matches!(byte, b'"' | b'\\'))?;
            out.push_str(&rest[..end]);
            self.at += end + 1;
            if rest.as_bytes()[end] == b'"' {
                return Some(out);
            }
            out.push(self.escaped()?);
        }
    }

    fn escaped(&mut self) -> Option<char> {
        let letter = self.byte()?;
        self.at += 1;
        Some(match letter {
            b'n' => '\n',
            b't' => '\t',
            b'r' => '\r',
            b'b' => '\u{8}',
            b'f' => '\u{c}',
            b'"' | b'\\' | b'/' => char::from(letter),
            b'u' => {
                let high = self.four()?;
                if !(0xd800..0xdc00).contains(&high) {
                    return Some(char::from_u32(high).unwrap_or('\u{fffd}'));
                }
                // A letter beyond the first plane comes as a pair; half a pair is not a letter.
                let low = if self.take("\\u") { self.four()? } else { 0 };
                let pair = (0x10000 + ((high - 0xd800) << 10)).wrapping_add(low.wrapping_sub(0xdc00));
                if (0xdc00..0xe000).contains(&low) { char::from_u32(pair)? } else { '\u{fffd}' }
            }
            _ => return None,
        })
    }

    fn four(&mut self) -> Option<u32> {
        let digits = self.text.get(self.at..self.at + 4)?;
        self.at += 4;
        digits.bytes().try_fold(0, |number, digit| Some(number * 16 + char::from(digit).to_digit(16)?))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_reads_back() {
        let value = map(vec![
            ("text", Value::from("a \"quoted\" \\ line\nbreak \u{1} ½ 😀")),
            ("numbers", Value::List(vec![Value::Number(1.453_125), Value::Number(-2.0), Value::Number(0.000_012_5)])),
            ("none", Value::Null),
            ("yes", Value::Bool(true)),
            ("empty", Value::List(Vec::new())),
            ("inner", map(vec![("a", Value::from("b"))])),
        ]);
        assert_eq!(Value::read(&value.line()), Some(value.clone()));
        assert_eq!(Value::read(&value.pretty()), Some(value));
        assert_eq!(Value::Number(f64::NAN).line(), "null");
        assert_eq!(map(vec![("a", Value::List(vec![Value::Number(1.0)]))]).pretty(), "{\n  \"a\": [\n    1\n  ]\n}\n");
    }

    #[test]
    fn every_byte_is_escaped_wherever_it_is() {
        for letter in (0_u8..=127).map(char::from).chain("é²½😀".chars()) {
            for before in 0..20 {
                let text = format!("{}{letter}{letter}x", "a½".repeat(before));
                let quoted = Value::from(text.as_str()).line();
                assert!(quoted.bytes().all(|byte| byte >= b' '), "{text:?}");
                assert_eq!(Value::read(&quoted), Some(Value::from(text)), "{quoted}");
            }
        }
    }

    #[test]
    fn escapes_are_read_as_the_standard_says() {
        // ECMA-404, section 9.
        let read = Value::read(r#" "\u00bd \ud83d\ude00 \ud83d \/ \t" "#);
        assert_eq!(read, Some(Value::from("½ 😀 \u{fffd} / \t")));
    }

    #[test]
    fn what_is_no_message_is_refused() {
        let deep = format!("{}{}", "[".repeat(1000), "]".repeat(1000));
        for text in
            ["", "[", "[1,]", "{\"a\"}", "{a:1}", "\"", "\"\\u12\"", "\"\\x\"", "tru", "1 2", "1e5", deep.as_str()]
        {
            assert_eq!(Value::read(text), None, "{text}");
        }
    }
}
