//! A printed figure: its number, its unit, and how far a computed value may be from it.

use tankside_calc::quantity::unit::Unit;

/// How far a value may be from a figure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Within {
    /// Half of the last printed digit: what rounding may have changed.
    LastDigit,
    /// Wider or narrower than that; the reason is written beside it.
    Stated,
    /// No distance at all, except in the last binary digits.
    Exact,
}

/// A printed figure.
#[derive(Clone, Debug)]
pub(crate) struct Figure {
    /// The number, in `unit`.
    pub(crate) value: f64,
    /// Its unit; no unit for a bare number.
    pub(crate) unit: Unit,
    /// How far a value may be from it, in `unit`.
    pub(crate) off: f64,
    /// Half of the last printed digit, in `unit`.
    pub(crate) half_digit: f64,
    /// Where `off` comes from.
    pub(crate) within: Within,
    /// For a cell that its source got wrong: what was printed.
    pub(crate) misprint: Option<f64>,
}

impl Figure {
    /// Reads `1.45 gal/min`, and a tolerance such as `0.01 gal/min` or `exact`.
    pub(crate) fn printed(name: &str, text: &str, within: Option<&str>, why: Option<&str>) -> Figure {
        let (number, unit) = parted(text);
        let (value, half_digit) = number_of(name, number);
        let unit = unit_of(name, unit);
        let (off, within) = match within {
            None if half_digit == 0.0 => (exactly(value), Within::Exact),
            None => (half_digit, Within::LastDigit),
            Some("exact") => (exactly(value), Within::Exact),
            Some(stated) => {
                let (number, stated_unit) = parted(stated);
                assert_eq!(unit_of(name, stated_unit), unit, "{name}: `within` is in the unit of the value");
                (number_of(name, number).0, Within::Stated)
            }
        };
        if off > half_digit && within == Within::Stated {
            assert!(why.is_some_and(|why| why.len() > 10), "{name}: a wide tolerance needs its reason");
        }
        Figure { value, unit, off, half_digit, within, misprint: None }
    }

    /// Reads a table's cell: `54`, or `54~54.55` where the source printed 54 and 54.55 is right.
    pub(crate) fn cell(name: &str, text: &str, unit: &str, within: Option<&str>, why: Option<&str>) -> Figure {
        let Some((misprint, right)) = text.split_once('~') else {
            return Figure::printed(name, &format!("{text} {unit}"), within, why);
        };
        let printed = Figure::printed(name, &format!("{misprint} {unit}"), within, why);
        let mut figure = Figure::printed(name, &format!("{right} {unit}"), None, None);
        assert!(
            (figure.value - printed.value).abs() > printed.off,
            "{name}: {misprint} is {right} rounded, so it is no deviation"
        );
        figure.misprint = Some(printed.value);
        figure
    }

    /// Whether `value`, in the figure's unit, is the figure.
    pub(crate) fn fits(&self, value: f64) -> bool {
        // A half counts: printed figures round halves either way. The slack is for the last binary digits.
        (value - self.value).abs() <= self.off * (1.0 + 1e-9) + exactly(self.value)
    }

    /// Whether `value` would also fit without the tolerance that was stated.
    pub(crate) fn fits_the_last_digit(&self, value: f64) -> bool {
        (value - self.value).abs() <= self.half_digit * (1.0 - 1e-9)
    }
}

/// A part in 10^12: noise of binary arithmetic over some ten operations, far below any printed digit.
fn exactly(value: f64) -> f64 {
    value.abs() * 1e-12
}

/// The number and the unit of `1 1/3 qt`, `1,600 ft2`, `12`.
fn parted(text: &str) -> (&str, &str) {
    let end = text.find(|letter: char| !(letter.is_ascii_digit() || " ,./-".contains(letter))).unwrap_or(text.len());
    let (number, unit) = text.split_at(end);
    (number.trim(), unit.trim())
}

fn unit_of(name: &str, text: &str) -> Unit {
    if text.is_empty() {
        return Unit::none();
    }
    Unit::parse(text).unwrap_or_else(|| panic!("{name}: `{text}` is no unit"))
}

/// The number, and half of its last printed digit; a fraction has none.
fn number_of(name: &str, text: &str) -> (f64, f64) {
    let plain = text.replace(',', "");
    if let Some((top, bottom)) = plain.split_once('/') {
        let (whole, top) = top.rsplit_once(' ').unwrap_or(("0", top));
        let parse = |text: &str| text.parse::<f64>().unwrap_or_else(|_| panic!("{name}: `{text}` is no number"));
        return (parse(whole) + parse(top) / parse(bottom), 0.0);
    }
    let value = plain.parse().unwrap_or_else(|_| panic!("{name}: `{text}` is no number"));
    let decimals = plain.split_once('.').map_or(0, |(_, decimals)| decimals.len());
    let places = i32::try_from(decimals).expect("a few digits");
    (value, 0.5 / 10_f64.powi(places))
}
