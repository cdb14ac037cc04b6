//! How a language writes numbers: its decimal mark, and what groups three digits.

use crate::text::texts::{is_letter_or_number, parted};

/// The marks of a language's numbers. The core itself writes and reads 12,345.6.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Notation(Option<Marks>);

#[derive(Clone, Debug, PartialEq, Eq)]
struct Marks {
    thousands: String,
    decimal: String,
}

impl Notation {
    /// The notation in which 12345.6 is written as `sample`: `12,345.6`, `12.345,6`, `12 345,6`; `None` where it is
    /// another number or none.
    pub fn of(sample: &str) -> Option<Notation> {
        let rest = sample.strip_prefix("12")?;
        let (thousands, rest) = parted(rest, "345")?;
        let decimal = rest.strip_suffix('6')?;
        let plain = |mark: &str| mark.chars().nth(2).is_none() && !mark.contains(is_letter_or_number);
        if decimal.is_empty() || thousands == decimal || !plain(thousands) || !plain(decimal) {
            return None;
        }
        if (thousands, decimal) == (",", ".") {
            return Some(Notation(None));
        }
        Some(Notation(Some(Marks { thousands: thousands.to_owned(), decimal: decimal.to_owned() })))
    }

    /// Whether numbers are written otherwise than by the core.
    pub(crate) fn is_own(&self) -> bool {
        self.0.is_some()
    }

    /// `text`, whose numbers the core has written, with this notation's marks.
    pub fn written(&self, text: String) -> String {
        match &self.0 {
            None => text,
            Some(marks) => marked(&text, [(",", &marks.thousands), (".", &marks.decimal)]),
        }
    }

    /// `text`, whose numbers somebody has typed with this notation's marks, as the core reads it. What is a mark of the
    /// core's but none of these stays, and is then refused or read as the core reads it.
    pub fn read(&self, text: &str) -> String {
        match &self.0 {
            None => text.to_owned(),
            Some(marks) => marked(text, [(&marks.thousands, ","), (&marks.decimal, ".")]),
        }
    }
}

/// `text` with the mark that groups and the decimal one changed inside numbers; only the decimal mark may begin one
/// (".5").
fn marked(text: &str, changes: [(&str, &str); 2]) -> String {
    let mut out = String::with_capacity(text.len() + 4);
    let mut rest = text;
    let mut before = ' ';
    'letters: while let Some(letter) = rest.chars().next() {
        if before.is_ascii_digit() || !is_letter_or_number(before) {
            for (index, (from, to)) in changes.iter().enumerate().filter(|(_, (from, _))| !from.is_empty()) {
                let Some(after) = rest.strip_prefix(from) else { continue };
                if after.starts_with(|next: char| next.is_ascii_digit()) && (before.is_ascii_digit() || index == 1) {
                    out.push_str(to);
                    rest = after;
                    before = '.';
                    continue 'letters;
                }
            }
        }
        out.push(letter);
        before = letter;
        rest = &rest[letter.len_utf8()..];
    }
    out
}

#[cfg(test)]
mod tests {
    use super::Notation;

    #[test]
    fn numbers_are_written_and_read_in_a_languages_own_notation() {
        for (sample, written) in [
            ("12,345.6", "43,560.25 ft² in 1,234,567 parts, 0.5 to 10 gal/1000 ft²."),
            ("12.345,6", "43.560,25 ft² in 1.234.567 parts, 0,5 to 10 gal/1000 ft²."),
            ("12\u{202f}345,6", "43\u{202f}560,25 ft² in 1\u{202f}234\u{202f}567 parts, 0,5 to 10 gal/1000 ft²."),
            ("12345,6", "43560,25 ft² in 1234567 parts, 0,5 to 10 gal/1000 ft²."),
        ] {
            let notation = Notation::of(sample).expect(sample);
            let core = "43,560.25 ft² in 1,234,567 parts, 0.5 to 10 gal/1000 ft².";
            assert_eq!(notation.written(core.to_owned()), written, "{sample}");
        }
        let comma = Notation::of("12.345,6").expect("a notation");
        assert_eq!(
            (&*comma.read("1,5 gal"), &*comma.read("1.250,5 ft²"), &*comma.read(",5 gal")),
            ("1.5 gal", "1,250.5 ft²", ".5 gal")
        );
        assert_eq!(&*comma.read("1.5 gal"), "1,5 gal", "which the core refuses: a point groups three digits here");
        for none in ["", "12345", "1234.5", "12a345.6", "12,345,6", "12,345.60"] {
            assert_eq!(Notation::of(none), None, "{none}");
        }
    }
}
