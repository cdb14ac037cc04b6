//! What the files of an author have in common: names and the two systems of units.

mod curved;

pub use curved::curved;

use schemars::JsonSchema;
use serde::Deserialize;

/// The units that a course or an example shows first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Units {
    /// Gallons, feet, acres.
    #[default]
    Us,
    /// Litres, meters, hectares.
    Metric,
}

/// Whether a name works in a file name, a link and an identifier on every system.
pub fn is_name(name: &str) -> bool {
    let good = |byte: u8| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-';
    let ends = |byte: Option<&u8>| byte.is_some_and(|byte| *byte != b'-');
    let bytes = name.as_bytes();
    bytes.len() <= LONGEST_NAME && bytes.iter().copied().all(good) && ends(bytes.first()) && ends(bytes.last())
}

/// What [`is_name`] takes, as a pattern for the schemas; their length is given separately.
pub const NAME_PATTERN: &str = "^[a-z0-9]([a-z0-9-]*[a-z0-9])?$";
/// A text that says something.
pub const SAYS_SOMETHING: &str = "\\S";

/// The longest name, in bytes.
const LONGEST_NAME: usize = 80;

/// The name probably meant by a text that is not one; an accented letter becomes the plain one: `gún` is `gun`.
pub fn as_name(text: &str) -> String {
    let mut out = String::new();
    for letter in text.chars() {
        let letter = without_accent(letter).to_ascii_lowercase();
        if letter.is_ascii_alphanumeric() {
            out.push(letter);
        } else if !out.is_empty() && !out.ends_with('-') {
            out.push('-');
        }
        if out.len() == LONGEST_NAME {
            break;
        }
    }
    let out = out.trim_end_matches('-');
    if out.is_empty() { "a-name".to_owned() } else { out.to_owned() }
}

/// The letter below the accent, for the letters of western European languages.
fn without_accent(letter: char) -> char {
    const PLAIN: &[(&str, char)] = &[
        ("ÀÁÂÃÄÅàáâãäåāăą", 'a'),
        ("ÇçćčĆČ", 'c'),
        ("ÈÉÊËèéêëēęě", 'e'),
        ("ÌÍÎÏìíîïī", 'i'),
        ("ÑñńňŃŇ", 'n'),
        ("ÒÓÔÕÖØòóôõöøō", 'o'),
        ("ÙÚÛÜùúûüūů", 'u'),
        ("ÝýÿŸ", 'y'),
        ("ŚśšŠ", 's'),
        ("ŹźżŻžŽ", 'z'),
        ("Łł", 'l'),
    ];
    PLAIN.iter().find(|(letters, _)| letters.contains(letter)).map_or(letter, |(_, plain)| *plain)
}

/// `80`, `0.8`, `80,5` and `4 of 5` as a percentage above 0 and up to 100 %; `usual` where nothing of the kind can be made out.
pub fn percent_meant(written: &str, usual: &str) -> String {
    let plain = written.trim().trim_end_matches(['%', ' ']).trim_end_matches(" percent").replace(',', ".");
    let above_zero = |text: &str| text.trim().parse::<f64>().ok().filter(|number| *number > 0.0);
    let number = above_zero(&plain).map(|number| if number < 1.0 { number * 100.0 } else { number });
    // `7 of 10` and `7/10`; rounded down, so that as many are enough.
    let parts = plain.split_once(" of ").or_else(|| plain.split_once('/'));
    let share = parts.and_then(|(right, all)| Some((above_zero(right)? / above_zero(all)? * 1000.0).floor() / 10.0));
    let percent = number.or(share).map(tankside_calc::text::figures::without_noise);
    let percent = percent.filter(|percent| *percent > 0.0 && *percent <= 100.0);
    percent.map_or_else(|| usual.to_owned(), |percent| format!("{percent} %"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_apostrophe_is_curved_and_a_foot_or_a_quotation_stays_as_typed() {
        for (typed, shown) in [
            ("What's in the tank?", "What’s in the tank?"),
            ("the managers' rule", "the managers’ rule"),
            ("a hose of 30' and a step of 2'6", "a hose of 30' and a step of 2'6"),
            ("it says 'Stop', and that's all", "it says 'Stop', and that’s all"),
            ("the 5' boom's tips", "the 5' boom’s tips"),
            ("l'été d’hier", "l’été d’hier"),
        ] {
            assert_eq!(curved(typed.to_owned()), shown);
        }
    }

    #[test]
    fn a_name_is_lower_case_letters_digits_and_hyphens() {
        assert!(is_name("first-week-2"));
        for bad in ["", "-a", "a-", "A", "a b", "a/b", "..", "ä", "a_b"] {
            assert!(!is_name(bad), "{bad}");
        }
    }

    #[test]
    fn a_share_that_was_meant_is_a_percentage() {
        for (written, percent) in [
            ("0.8", "80 %"),
            ("80,5", "80.5 %"),
            ("3 of 4", "75 %"),
            ("2/3", "66.6 %"),
            ("5 of 4", "70 %"),
            ("a/b", "70 %"),
        ] {
            assert_eq!(percent_meant(written, "70 %"), percent, "{written}");
        }
    }

    #[test]
    fn the_name_that_was_meant_is_a_name() {
        for (text, name) in
            [("First Week!", "first-week"), ("gún", "gun"), ("²", "a-name"), ("Gun and legs", "gun-and-legs")]
        {
            assert_eq!(as_name(text), name);
        }
        for text in ["a b ".repeat(60), "-".repeat(99), "é".repeat(200)] {
            assert!(is_name(&as_name(&text)), "{text}");
        }
    }
}
