//! Reading a quantity as people type it: `1.45 gal`, `1 gal 58 fl oz`, `7'6"`, `1:15`, `186 floz`, `2 oz to the
//! gallon`.
//!
//! Reading is linear in the text, and a text longer than [`LONGEST`] is refused.

use crate::fitted::{self, Extra};
pub use crate::quantity::compound::Side;
use crate::quantity::compound::{NumberWithUnit, Whole, cut, unknown, watch, whole};
use crate::quantity::kind::Kind;
use crate::quantity::spelling::{READINGS, same, spelled};
use crate::quantity::tokens::{Token, What};
use crate::quantity::unit::{Unit, unit};
use crate::text::figures::read_decimal;

/// Longest text that is read, in bytes; nobody types more into a field.
pub const LONGEST: usize = 100;

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

/// Why a text is not the quantity asked for. The core names the fault; a phrase catalog words it.
#[derive(Clone, Debug, PartialEq)]
pub enum Misread {
    /// Nothing was typed.
    Empty,
    /// There is no number where one is needed.
    NotANumber,
    /// A number with two decimal points: `12.5.3`.
    TwoPoints,
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
    /// The parts of a compound do not belong together: `1 gal 5 ft`; or a sign inside it.
    MixedParts,
    /// Not a whole number where one is counted.
    NotWhole,
    /// Longer than [`LONGEST`].
    TooLong,
}

/// Reads `text` as a quantity of `kind`; a number without a unit takes `bare`, if there is one.
///
/// A sign belongs to the whole: `-1 gal 200 fl oz` is minus 328 fl oz.
///
/// # Errors
/// Why it is not such a quantity.
pub fn read(text: &str, kind: Kind, bare: Option<&Unit>) -> Result<Typed, Misread> {
    let text = text.trim();
    if let Some(typed) = plainly(text, kind) {
        return Ok(typed);
    }
    if text.is_empty() {
        return Err(Misread::Empty);
    }
    // What is said here in its place is thrown away.
    if fitted::has(Extra::Typing) { taken_apart(text, kind, bare) } else { Err(Misread::Empty) }
}

/// What nearly every text is, read at once: `186 fl oz`, a plain number and a unit to the letter; or a bare number
/// where one is wanted.
fn plainly(text: &str, kind: Kind) -> Option<Typed> {
    let (number, unit) = number_and_unit(text)?;
    let fits = if unit.is_none() { kind == Kind::Number } else { kind.takes(&unit) };
    let si = number * unit.size();
    (fits && si.is_finite()).then_some(Typed { si, unit })
}

/// A plain number and after a space a unit to the letter that means no other, or nothing.
fn number_and_unit(text: &str) -> Option<(f64, Unit)> {
    let bytes = text.as_bytes();
    let digits = |from: usize| bytes[from..].iter().take_while(|byte| byte.is_ascii_digit()).count();
    let mut end = digits(0);
    if end == 0 || text.len() > LONGEST {
        return None;
    }
    if bytes.get(end) == Some(&b'.') {
        let places = digits(end + 1);
        if places == 0 {
            return None;
        }
        end += 1 + places;
    }
    let unit = match bytes.get(end..)? {
        [] => Unit::none(),
        [b' ', b'a'..=b'z' | b'A'..=b'Z' | b'%', ..] => Unit::written(&text[end + 1..]).filter(|unit| !open(unit))?,
        _ => return None,
    };
    Some((read_decimal(&text[..end])?, unit))
}

/// A quantity out of its tokens; in the browser, of a part that comes with the first text that needs it.
#[inline(never)]
fn taken_apart(text: &str, kind: Kind, bare: Option<&Unit>) -> Result<Typed, Misread> {
    let tokens = cut(text)?;
    if kind == Kind::Time
        && let Some(seconds) = watch(text, &tokens)
    {
        return seconds.map(|(si, _)| Typed { si, unit: unit!("s") });
    }
    let whole = whole(&tokens)?;
    // "15 % under" is an answer; an input has a sign or none.
    if let Some(word) = whole.side_word {
        return Err(Misread::UnitUnknown(word.to_owned()));
    }
    let sum = sum(text, &whole, kind, bare, false)?;
    Ok(Typed { si: sum.si, unit: sum.unit })
}

/// What the parts of a text come to.
pub(crate) struct Sum {
    pub(crate) si: f64,
    pub(crate) unit: Unit,
    /// Size of one in the last digit typed, SI; 0 for a fraction.
    pub(crate) place: f64,
    /// The same without the zeros that end a whole number.
    pub(crate) coarse: f64,
    /// Whether a bare `oz` was read as fluid ounces.
    pub(crate) ounces: bool,
}

/// Adds the parts of a text up.
#[inline(never)]
pub(crate) fn sum(text: &str, whole: &Whole, kind: Kind, bare: Option<&Unit>, free: bool) -> Result<Sum, Misread> {
    let mut total: Option<Sum> = None;
    let mut prime = false;
    for part in &whole.parts {
        // After the first part only its own dimension can follow: the ounces of `1 gal 58 oz` are fluid.
        let kind = total.as_ref().and_then(|sum| Kind::of(&sum.unit)).filter(|_| kind != Kind::Number).unwrap_or(kind);
        let inch = if kind == Kind::Time { unit!("s") } else { unit!("in") };
        let own = unit_for(text, part, kind, if prime { Some(&inch) } else { bare }, free)?;
        // The inches of `7' 6` and the seconds of `1 min 15` go without saying.
        let large: &[&str] =
            if kind == Kind::Time { &["'", "min", "minute", "minutes"] } else { &["'", "ft", "foot", "feet"] };
        prime =
            matches!(part.unit, [Token { what: What::Word(word), .. }] if large.iter().any(|known| same(known, word)));
        let size = own.times * own.unit.size();
        let (si, place, coarse) = (part.number * size, part.place * size, part.coarse * size);
        total = Some(match total {
            None => Sum { si, unit: own.unit, place, coarse, ounces: own.ounces },
            Some(_) if own.unit.parts().count() != 1 => return Err(Misread::MixedParts),
            Some(sum) if sum.unit.dim() != own.unit.dim() || sum.unit.size() <= own.unit.size() => {
                return Err(Misread::MixedParts);
            }
            Some(sum) => Sum { si: sum.si + si, unit: own.unit, place, coarse, ounces: sum.ounces },
        });
    }
    let mut sum = total.filter(|sum| sum.si.is_finite()).ok_or(Misread::NotANumber)?;
    if whole.minus {
        sum.si = -sum.si;
    }
    Ok(sum)
}

struct Own {
    unit: Unit,
    times: f64,
    ounces: bool,
}

fn unit_for(text: &str, part: &NumberWithUnit, kind: Kind, bare: Option<&Unit>, free: bool) -> Result<Own, Misread> {
    if part.unit.is_empty() {
        return match (kind, bare) {
            (Kind::Number, _) => Ok(Own { unit: Unit::none(), times: 1.0, ounces: false }),
            (_, Some(unit)) => Ok(Own { unit: *unit, times: 1.0, ounces: false }),
            (_, None) => Err(Misread::UnitMissing),
        };
    }
    if let Some(unit) = to_the_letter(text, part.unit).filter(|unit| kind.takes(unit)) {
        return Ok(Own { unit, times: 1.0, ounces: false });
    }
    let mut other = None;
    for reading in 0..READINGS {
        let Some(found) = spelled(part.unit, reading, free) else { continue };
        let liquid = if found.bare_ounces { found.unit.as_liquid() } else { None };
        match (kind.takes(&found.unit), liquid.filter(|liquid| kind.takes(liquid))) {
            (true, Some(_)) => return Err(Misread::Ounces),
            (true, None) => return Ok(Own { unit: found.unit, times: found.times, ounces: false }),
            (false, Some(unit)) => return Ok(Own { unit, times: found.times, ounces: true }),
            (false, None) => {
                other.get_or_insert(found.unit);
            }
        }
    }
    Err(other.map_or_else(|| unknown(text, part.unit), Misread::WrongKind))
}

/// The unit of these tokens where it is written by the table's symbols and has no other reading; nearly every one is.
fn to_the_letter(text: &str, tokens: &[Token]) -> Option<Unit> {
    let (first, last) = (tokens.first()?, tokens.last()?);
    Unit::written(text.get(first.start..last.end)?).filter(|unit| !open(unit))
}

/// Whether the letters of a unit may mean another: an ounce may be fluid, and pounds on a square inch are a pressure.
fn open(unit: &Unit) -> bool {
    unit.first() == unit!("oz").first() || *unit == unit!("lb/in2")
}

/// Whether a quantity of `kind` was typed with an `oz` that was read as fluid ounces: a label's may be weight.
pub fn took_fluid_ounces(text: &str, kind: Kind) -> bool {
    let text = text.trim();
    if !text.contains(['o', 'O']) || plainly(text, kind).is_some() {
        return false;
    }
    fitted::has(Extra::Typing) && apart_took_fluid_ounces(text, kind)
}

#[inline(never)]
fn apart_took_fluid_ounces(text: &str, kind: Kind) -> bool {
    let Ok(tokens) = cut(text) else { return false };
    whole(&tokens).and_then(|whole| sum(text, &whole, kind, None, false)).is_ok_and(|sum| sum.ounces)
}

/// A unit as a form or a switched input writes it, so that [`read`] takes it for itself: beside a label rate, ounces by
/// weight say so.
pub fn unit_text(unit: &Unit, kind: Kind) -> String {
    let mut text = String::with_capacity(16);
    put_unit(unit, kind, &mut text);
    text
}

/// Puts the text of [`unit_text`] at the end of `out`.
pub(crate) fn put_unit(unit: &Unit, kind: Kind, out: &mut String) {
    // Only a bare ounce can be read in two ways.
    let ounces = unit.first() == const { &unit!("oz") }.first() && kind.takes(unit);
    let open = ounces && unit.as_liquid().is_some_and(|liquid| kind.takes(&liquid));
    if open { unit.put_shown(out) } else { unit.put_plain(out) }
}

/// The number in front of the smaller unit of a quantity given in two: 15 of `1 min 15 s` or `1:15`.
pub fn small_part(text: &str) -> Option<f64> {
    let text = text.trim();
    if number_and_unit(text).is_some() {
        return None;
    }
    if fitted::has(Extra::Typing) { apart_small_part(text) } else { None }
}

#[inline(never)]
fn apart_small_part(text: &str) -> Option<f64> {
    let tokens = cut(text).ok()?;
    if let Some(seconds) = watch(text, &tokens) {
        return seconds.ok().map(|(_, small)| small);
    }
    let whole = whole(&tokens).ok()?;
    whole.parts.get(1..)?.last().map(|part| part.number)
}

/// Whether a text gives one quantity in two units: `1 min 15 s`, `1:15`, `5 ft 9 in`.
pub fn is_compound(text: &str) -> bool {
    small_part(text).is_some()
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
            for unit in us.iter().chain(metric).copied() {
                let text = format!("2 {}", unit_text(&unit, *kind));
                assert_eq!(read(&text, *kind, None).map(|typed| typed.unit), Ok(unit), "{text} for {kind:?}");
            }
        }
    }

    #[test]
    fn what_is_read_at_once_is_what_its_tokens_say() {
        let mut read_at_once = 0;
        for row in &crate::quantity::units::ATOMS {
            for (number, under) in [("186", ""), ("0.25", "/1000 ft2"), ("12.50", "/gal"), ("007", "/min"), ("3.", "")]
            {
                let text = format!("{number} {}{under}", row.symbol);
                for kind in Kind::ALL {
                    let Some(typed) = plainly(&text, *kind) else { continue };
                    assert_eq!(taken_apart(&text, *kind, None), Ok(typed), "{text} for {kind:?}");
                    read_at_once += 1;
                }
            }
        }
        assert!(read_at_once > 300, "{read_at_once}");
        assert_eq!(plainly("12.5", Kind::Number).map(|typed| typed.si), Some(12.5));
        for (text, kind) in
            [("12", Kind::Volume), ("3 oz", Kind::LabelRate), ("-3 gal", Kind::Volume), ("", Kind::Number)]
        {
            assert_eq!(plainly(text, kind), None, "{text}");
        }
    }

    #[test]
    fn a_unit_in_a_form_is_shown_with_its_ounces_where_they_could_be_read_as_fluid_ones() {
        let mut open = 0;
        for kind in Kind::ALL {
            let (us, metric) = kind.offered();
            for unit in us.iter().chain(metric).chain([unit!("oz"), unit!("oz/1000 ft2"), unit!("oz/gal")].iter()) {
                let ounces = read(&format!("1 {}", unit.plain()), *kind, None) == Err(Misread::Ounces);
                assert_eq!(unit_text(unit, *kind), if ounces { unit.shown() } else { unit.plain() }, "{kind:?}");
                open += usize::from(ounces);
            }
        }
        assert!(open > 2, "{open}");
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
        assert_eq!(fault("5 ft", Kind::VolumePerArea), Misread::WrongKind(unit!("ft")));
        assert_eq!(fault("1 gal 5 ft", Kind::Volume), Misread::WrongKind(unit!("ft")));
        assert_eq!(fault("3 fl oz 1 gal", Kind::Volume), Misread::MixedParts);
        assert_eq!(fault("1/0 gal", Kind::Volume), Misread::NotANumber);
        assert_eq!(fault("NaN gal", Kind::Volume), Misread::NotANumber);
    }

    #[test]
    fn a_quantity_in_two_units_is_distinguished_from_one_in_one() {
        for (text, small) in [("1 min 15 s", 15.0), ("1:15", 15.0), ("5 ft 9 in", 9.0), ("1 gal 58 fl oz", 58.0)] {
            assert_eq!(small_part(text), Some(small), "{text}");
        }
        for text in ["75 s", "1 1/2 pt", "2 gal/1000 ft2", "refill", "", "1,250 ft2"] {
            assert!(!is_compound(text), "{text}");
        }
    }

    #[test]
    fn a_bare_number_takes_the_unit_it_is_given() {
        let gallon = unit!("gal");
        assert_eq!(read("3", Kind::Volume, Some(&gallon)).map(|typed| typed.value()), Ok(3.0));
        assert_eq!(read("3", Kind::Number, None).map(|typed| typed.si), Ok(3.0));
        assert_eq!(read("3 gal", Kind::Number, None), Err(Misread::WrongKind(gallon)));
    }
}
