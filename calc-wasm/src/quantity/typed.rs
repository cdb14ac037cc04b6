//! Reading a quantity as people type it: `1.45 gal`, `1 gal 58 fl oz`, `1:15`, `186 floz`.

use crate::quantity::kind::Kind;
use crate::quantity::unit::Unit;
use crate::text::figures::read_decimal;

/// Longest text that is read; nobody types more into a field.
const LONGEST: usize = 80;

/// A quantity as it was typed: its value in SI base units, and the unit to show it in.
#[derive(Clone, Debug, PartialEq)]
pub struct Typed {
    /// Value in SI base units; finite.
    pub si: f64,
    /// The unit it was typed in; of a compound (`1 gal 58 fl oz`), the last one.
    pub unit: Unit,
}

impl Typed {
    /// The value in its own unit.
    pub fn value(&self) -> f64 {
        crate::text::figures::without_noise(self.si / self.unit.size())
    }
}

/// Why a text is not the quantity asked for. The core names the fault; a phrase catalogue says it.
#[derive(Clone, Debug, PartialEq)]
pub enum Misread {
    /// Nothing was typed.
    Empty,
    /// There is no number where one is needed.
    NotANumber,
    /// A comma that groups nothing: `1,45`.
    Comma,
    /// A number without a unit, where a unit decides the answer.
    UnitMissing,
    /// `oz` where it could mean volume or weight.
    Ounces,
    /// Letters that are no unit we know.
    UnitUnknown(String),
    /// A known unit of another kind.
    WrongKind(Unit),
    /// The parts of a compound do not belong together: `1 gal 5 ft`.
    MixedParts,
    /// Not a whole number where one is counted.
    NotWhole,
}

/// Reads `text` as a quantity of `kind`; a number without a unit takes `bare`, if there is one.
pub fn read(text: &str, kind: Kind, bare: Option<&Unit>) -> Result<Typed, Misread> {
    let text = text.trim();
    if text.is_empty() {
        return Err(Misread::Empty);
    }
    if text.len() > LONGEST {
        return Err(Misread::NotANumber);
    }
    if kind == Kind::Time
        && let Some(seconds) = stopwatch(text)
    {
        return Ok(Typed { si: seconds, unit: Unit::of("s") });
    }
    let mut total: Option<Typed> = None;
    for (number, unit_text) in parts(text)? {
        let unit = unit_for(unit_text, kind, bare)?;
        let si = number * unit.size();
        total = Some(match total {
            None => Typed { si, unit },
            Some(_) if unit.parts().len() != 1 => return Err(Misread::MixedParts),
            Some(sum) if sum.unit.dim() != unit.dim() || sum.unit.size() <= unit.size() => {
                return Err(Misread::MixedParts);
            }
            Some(sum) => Typed { si: sum.si + si, unit },
        });
    }
    total.filter(|sum| sum.si.is_finite()).ok_or(Misread::NotANumber)
}

fn unit_for(text: &str, kind: Kind, bare: Option<&Unit>) -> Result<Unit, Misread> {
    if text.is_empty() {
        return match (kind, bare) {
            (Kind::Number, _) => Ok(Unit::none()),
            (_, Some(unit)) => Ok(unit.clone()),
            (_, None) => Err(Misread::UnitMissing),
        };
    }
    let weight = Unit::parse(text).ok_or_else(|| Misread::UnitUnknown(text.to_owned()))?;
    let Some(liquid) = as_fluid_ounces(text) else {
        return if kind.takes(&weight) { Ok(weight) } else { Err(Misread::WrongKind(weight)) };
    };
    match (kind.takes(&weight), kind.takes(&liquid)) {
        (true, true) => Err(Misread::Ounces),
        (true, false) => Ok(weight),
        (false, true) => Ok(liquid),
        (false, false) => Err(Misread::WrongKind(weight)),
    }
}

/// A unit as a form or a switched input writes it, so that [`read`] takes it for itself: beside a label rate, ounces by
/// weight say so.
pub fn unit_text(unit: &Unit, kind: Kind) -> String {
    let plain = unit.plain();
    // Only a bare ounce can be read in two ways.
    if plain.starts_with("oz") && unit_for(&plain, kind, None) == Err(Misread::Ounces) { unit.shown() } else { plain }
}

/// The fluid reading of a unit that begins with a bare `oz`; `None` for any other.
fn as_fluid_ounces(text: &str) -> Option<Unit> {
    let lower = text.trim().to_ascii_lowercase();
    let rest = ["ounces", "ounce", "oz.", "oz"].iter().find_map(|word| lower.strip_prefix(word))?;
    if rest.is_empty() || rest.trim_start().starts_with(['/', 'p']) {
        Unit::parse(&format!("fl oz{rest}"))
    } else {
        None
    }
}

/// The number in front of the smaller unit of a quantity given in two: 15 of `1 min 15 s` or `1:15`.
pub fn small_part(text: &str) -> Option<f64> {
    let text = text.trim();
    if let Some(seconds) = stopwatch(text) {
        return Some(seconds % 60.0);
    }
    let parts = parts(text).ok()?;
    let (number, _) = parts.get(1..)?.last()?;
    Some(*number)
}

/// Whether a text gives one quantity in two units: `1 min 15 s`, `1:15`, `5 ft 9 in`.
pub fn is_compound(text: &str) -> bool {
    small_part(text).is_some()
}

/// `1:15` as a stopwatch shows it.
fn stopwatch(text: &str) -> Option<f64> {
    let (minutes, seconds) = text.split_once(':')?;
    // A form adds the unit chosen beside the field.
    let seconds = seconds.trim_end_matches(['s', 'm', 'i', 'n', 'h']).trim_end();
    let whole = minutes.parse::<u32>().ok()?;
    let part = read_decimal(seconds).filter(|part| (0.0..60.0).contains(part))?;
    (seconds.split('.').next()?.len() == 2).then_some(f64::from(whole) * 60.0 + part)
}

/// Splits `1 gal 58 fl oz` into numbers with their unit texts.
fn parts(text: &str) -> Result<Vec<(f64, &str)>, Misread> {
    let mut found = Vec::new();
    let mut rest = text;
    while !rest.is_empty() {
        let (number, after) = number(rest)?;
        let end = next_number(after);
        found.push((number, after[..end].trim()));
        rest = after[end..].trim_start();
        if found.len() > 4 {
            return Err(Misread::MixedParts);
        }
    }
    Ok(found)
}

/// Where the next part begins: a digit after a space that is not part of a unit such as `/1000 ft2`.
fn next_number(text: &str) -> usize {
    let bytes = text.as_bytes();
    for index in 1..bytes.len() {
        if bytes[index].is_ascii_digit() && bytes[index - 1] == b' ' {
            let before = text[..index].trim_end();
            let inside = before.is_empty() || before.ends_with('/') || before.to_ascii_lowercase().ends_with(" per");
            if !inside {
                return index;
            }
        }
    }
    text.len()
}

/// A number at the start: `1,250.5`, `.5`, `3/4`, `1 1/2`, `½`.
fn number(text: &str) -> Result<(f64, &str), Misread> {
    let text = text.trim_start();
    let (sign, text) = match text.strip_prefix(['-', '−']) {
        Some(rest) => (-1.0, rest.trim_start()),
        None => (1.0, text),
    };
    let (whole, rest) = plain_number(text)?;
    if let Some(whole) = whole {
        if let Some((bottom, after)) = rest.strip_prefix('/').and_then(digits) {
            return if bottom > 0.0 { Ok((sign * whole / bottom, after)) } else { Err(Misread::NotANumber) };
        }
        if let Some((share, after)) = fraction(rest.trim_start()) {
            return Ok((sign * (whole + share), after));
        }
        return Ok((sign * whole, rest));
    }
    fraction(text).map(|(share, after)| (sign * share, after)).ok_or(Misread::NotANumber)
}

fn digits(text: &str) -> Option<(f64, &str)> {
    let end = text.bytes().take_while(u8::is_ascii_digit).count();
    Some((read_decimal(&text[..end])?, &text[end..]))
}

fn fraction(text: &str) -> Option<(f64, &str)> {
    for (glyph, share) in [('½', 0.5), ('¼', 0.25), ('¾', 0.75), ('⅓', 1.0 / 3.0), ('⅔', 2.0 / 3.0), ('⅛', 0.125)]
    {
        if let Some(after) = text.strip_prefix(glyph) {
            return Some((share, after));
        }
    }
    let (top, rest) = digits(text)?;
    let (bottom, after) = digits(rest.strip_prefix('/')?)?;
    (bottom > 0.0).then_some((top / bottom, after))
}

fn plain_number(text: &str) -> Result<(Option<f64>, &str), Misread> {
    let end = text.bytes().take_while(|byte| byte.is_ascii_digit() || matches!(byte, b'.' | b',')).count();
    let (written, rest) = text.split_at(end);
    let written = written.trim_end_matches(',');
    if written.is_empty() {
        return Ok((None, rest));
    }
    if written.contains(',') && !commas_group(written) {
        return Err(Misread::Comma);
    }
    let value = read_decimal(&written.replace(',', "")).ok_or(Misread::NotANumber)?;
    Ok((Some(value), rest))
}

fn commas_group(written: &str) -> bool {
    let whole = written.split('.').next().unwrap_or(written);
    let mut groups = whole.split(',');
    let first = groups.next().is_some_and(|group| (1..=3).contains(&group.len()));
    first && groups.all(|group| group.len() == 3) && !written.split('.').skip(1).any(|part| part.contains(','))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn value(text: &str, kind: Kind, unit: &str) -> f64 {
        let typed = read(text, kind, None).unwrap_or_else(|fault| panic!("{text}: {fault:?}"));
        crate::text::figures::without_noise(typed.si / Unit::of(unit).size())
    }

    #[test]
    fn quantities_are_read_as_people_type_them() {
        assert_eq!(value("1 gal 58 fl oz", Kind::Volume, "fl oz"), 186.0);
        assert_eq!(value("1gal 58oz", Kind::Volume, "fl oz"), 186.0);
        assert_eq!(value("186 OZ", Kind::Volume, "fl oz"), 186.0);
        assert_eq!(value("1.453125 gal", Kind::Volume, "fl oz"), 186.0);
        assert_eq!(value("1:15", Kind::Time, "s"), 75.0);
        assert_eq!(value("1:15 s", Kind::Time, "s"), 75.0);
        assert_eq!(value("1 min 15 s", Kind::Time, "s"), 75.0);
        assert_eq!(value("5 ft 9 in", Kind::Length, "in"), 69.0);
        assert_eq!(value("5' 9\"", Kind::Length, "in"), 69.0);
        assert_eq!(value("1,250.5 ft²", Kind::Area, "ft2"), 1250.5);
        assert_eq!(value("1 1/2 pt", Kind::Volume, "fl oz"), 24.0);
        assert_eq!(value("½ gal", Kind::Volume, "fl oz"), 64.0);
        assert_eq!(value("2 gal/1000 ft2", Kind::VolumePerArea, "gal/1000 ft2"), 2.0);
        assert_eq!(value("1.5 oz per 1,000 sq ft", Kind::VolumePerArea, "fl oz/1000 ft2"), 1.5);
        assert_eq!(value("0.25 %", Kind::LabelRate, "fl oz/100 gal"), 32.0);
        assert_eq!(value("3 lb 4 oz", Kind::Mass, "oz"), 52.0);
    }

    #[test]
    fn every_unit_that_a_form_offers_is_read_as_itself() {
        for kind in Kind::ALL {
            let (us, metric) = kind.offered();
            for unit in us.iter().chain(metric).map(|text| Unit::of(text)) {
                let text = format!("2 {}", unit_text(&unit, *kind));
                assert_eq!(read(&text, *kind, None).map(|typed| typed.unit), Ok(unit), "{text} for {kind:?}");
            }
        }
    }

    #[test]
    fn what_cannot_be_meant_is_named() {
        let fault = |text: &str, kind| read(text, kind, None).expect_err(text);
        assert_eq!(fault("", Kind::Volume), Misread::Empty);
        assert_eq!(fault("lots", Kind::Volume), Misread::NotANumber);
        assert_eq!(fault("12", Kind::Volume), Misread::UnitMissing);
        assert_eq!(fault("1,45 gal", Kind::Volume), Misread::Comma);
        assert_eq!(fault("2 oz/1000 ft2", Kind::LabelRate), Misread::Ounces);
        assert_eq!(fault("2 gallonz", Kind::Volume), Misread::UnitUnknown("gallonz".to_owned()));
        assert_eq!(fault("5 ft", Kind::VolumePerArea), Misread::WrongKind(Unit::of("ft")));
        assert_eq!(fault("1 gal 5 ft", Kind::Volume), Misread::WrongKind(Unit::of("ft")));
        assert_eq!(fault("3 fl oz 1 gal", Kind::Volume), Misread::MixedParts);
        assert_eq!(fault("1/0 gal", Kind::Volume), Misread::NotANumber);
        assert_eq!(fault("NaN gal", Kind::Volume), Misread::NotANumber);
    }

    #[test]
    fn a_quantity_in_two_units_is_told_from_one_in_one() {
        for (text, small) in [("1 min 15 s", 15.0), ("1:15", 15.0), ("5 ft 9 in", 9.0), ("1 gal 58 fl oz", 58.0)] {
            assert_eq!(small_part(text), Some(small), "{text}");
        }
        for text in ["75 s", "1 1/2 pt", "2 gal/1000 ft2", "refill", "", "1,250 ft2"] {
            assert!(!is_compound(text), "{text}");
        }
    }

    #[test]
    fn a_bare_number_takes_the_unit_it_is_given() {
        let gallon = Unit::of("gal");
        assert_eq!(read("3", Kind::Volume, Some(&gallon)).map(|typed| typed.value()), Ok(3.0));
        assert_eq!(read("3", Kind::Number, None).map(|typed| typed.si), Ok(3.0));
        assert_eq!(read("3 gal", Kind::Number, None), Err(Misread::WrongKind(gallon)));
    }
}
