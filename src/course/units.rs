//! A unit that does not exist: the one a letter away from it.

use crate::problem::nearest;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed;
use tankside_calc::quantity::unit::Unit;

/// How many letters of a unit allow one wrong letter.
const LETTERS_A_SLIP: usize = 5;

/// What to write in place of a unit that does not exist, where one of the same kind is a slip away: `gal` for `gall`.
pub(crate) fn unit_meant(typed: &str, kind: Kind) -> Option<String> {
    let (us, metric) = kind.offered();
    let units: Vec<String> = us.iter().chain(metric).map(Unit::plain).collect();
    let near = nearest(typed, units.iter().map(String::as_str))?;
    let slips = strsim::osa_distance(&typed.to_lowercase(), &near.to_lowercase());
    (slips <= 1 + typed.chars().count() / LETTERS_A_SLIP).then(|| near.to_owned())
}

/// What to write for an amount with a slip in its number: a comma for the decimal point, the letters O and l for digits;
/// or in a list of amounts, `or` and spaces for commas. Only what is then read is offered.
pub(crate) fn amount_meant(written: &str, kind: Kind) -> Option<String> {
    let reads = |text: &str| typed::read(text, kind, None).is_ok();
    if let Some(list) = written.trim().strip_prefix("one of ") {
        let list = list.replace(" or ", " ").replace(" and ", " ");
        let number = |word: &&str| word.trim_matches(',').parse::<f64>().is_ok();
        let words: Vec<&str> = list.split_whitespace().collect();
        let numbers: Vec<&str> = words.iter().copied().take_while(number).map(|word| word.trim_matches(',')).collect();
        let unit = words[numbers.len()..].join(" ");
        let last = numbers.last().filter(|_| numbers.len() > 1)?;
        return reads(&format!("{last} {unit}")).then(|| format!("one of {} {unit}", numbers.join(", ")));
    }
    if let Some(meant) = squared(written, kind).filter(|meant| reads(meant)) {
        return Some(meant);
    }
    let end = written.find(' ').unwrap_or(written.len());
    let (number, unit) = written.split_at(end);
    // In `1.350,5` the points group thousands.
    let decimal = match number.rsplit_once(',') {
        Some((whole, rest)) if whole.contains('.') => format!("{}.{rest}", whole.replace('.', "")),
        _ => number.replace(',', "."),
    };
    let digits = number.replace(['O', 'o'], "0").replace(['l', 'I'], "1");
    [decimal, digits]
        .into_iter()
        .filter(|meant| meant != number && meant.starts_with(|first: char| first.is_ascii_digit()))
        .map(|meant| format!("{meant}{unit}"))
        .find(|meant| reads(meant))
}

/// `9000 ft` for `9000 ft2`, `2 gal/1000 ft` for `2 gal/1000 ft2`: an area without its square.
fn squared(written: &str, kind: Kind) -> Option<String> {
    const AREAS: &[Kind] = &[Kind::Area, Kind::VolumePerArea, Kind::MassPerArea, Kind::LabelRate, Kind::TimePerArea];
    let text = written.trim_end();
    let bare = ["ft", "feet", "yd", "m"].into_iter().find(|unit| {
        text.strip_suffix(unit).is_some_and(|before| before.ends_with([' ', '/']) || before.ends_with(char::is_numeric))
    })?;
    let unit = if bare == "feet" { "ft" } else { bare };
    AREAS.contains(&kind).then(|| format!("{}{unit}2", text.strip_suffix(bare).unwrap_or(text)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_unit_a_slip_away_is_found_and_a_far_one_is_not() {
        let meant = |typed, kind| unit_meant(typed, kind);
        assert_eq!(meant("gall", Kind::Volume).as_deref(), Some("gal"));
        assert_eq!(meant("fl ozz", Kind::Volume).as_deref(), Some("fl oz"));
        assert_eq!(meant("bushel", Kind::Volume), None);
        assert_eq!(meant("gall", Kind::Time), None);
    }

    #[test]
    fn a_slip_in_a_number_is_put_right_where_the_rest_can_be_read() {
        let volume = |text| amount_meant(text, Kind::Volume);
        assert_eq!(volume("200,5 gal").as_deref(), Some("200.5 gal"));
        assert_eq!(volume("1OO gal").as_deref(), Some("100 gal"));
        assert_eq!(volume("1.350,5 gal").as_deref(), Some("1350.5 gal"));
        assert_eq!(volume("half a gal"), None);
        assert_eq!(amount_meant("9000 ft", Kind::Area).as_deref(), Some("9000 ft2"));
        assert_eq!(amount_meant("2 gal/1000 ft", Kind::VolumePerArea).as_deref(), Some("2 gal/1000 ft2"));
        assert_eq!(amount_meant("9000 ft", Kind::Length), None);
        assert_eq!(volume("200,5 mph"), None);
        let time = |text| amount_meant(text, Kind::Time);
        assert_eq!(time("one of 20, 30 or 40 s").as_deref(), Some("one of 20, 30, 40 s"));
        assert_eq!(time("one of 20 30 40 s").as_deref(), Some("one of 20, 30, 40 s"));
        assert_eq!(time("one of 20 or more s"), None);
    }
}
