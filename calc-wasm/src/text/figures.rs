//! The one place where a number is rounded for people.
//!
//! Rounding is half away from zero, as handbooks round, and is done on the decimal digits, so that every machine
//! shows the same text.

/// Figures a result is shown to.
pub const RESULT_FIGURES: usize = 3;
/// Figures a worked step is shown to, one more than results, so that a reader who follows with a calculator arrives.
pub const STEP_FIGURES: usize = 4;

/// `value` to `figures` significant figures, but never coarser than a whole unit; trailing zeros dropped.
///
/// `figures` is 1 to 15. 12,345.6 to three figures is `12,346`, 1.453125 is `1.45`, 2 is `2`.
pub fn shown(value: f64, figures: usize) -> String {
    if !value.is_finite() {
        return "—".to_owned();
    }
    let digits = Digits::of(value);
    let wanted = figures.max(1) as i32 - 1 - digits.exponent;
    grouped(digits.without_zeros(wanted.max(0)))
}

/// Decimal places that `value` is shown to as a result, two at most: 1 for 67.5, 0 for 128.
pub fn decimals(value: f64) -> i32 {
    if !value.is_finite() {
        return 0;
    }
    let digits = Digits::of(value);
    let places = (RESULT_FIGURES as i32 - 1 - digits.exponent).max(0);
    let (kept, count) = digits.kept(places);
    let zeros = kept[..count].iter().rev().take_while(|digit| **digit == 0).count();
    if zeros == count { 0 } else { (places - zeros as i32).clamp(0, 2) }
}

/// `value` to this many decimal places; trailing zeros dropped.
pub fn to_places(value: f64, places: i32) -> String {
    grouped(trimmed(Digits::of(value).fixed(places)))
}

/// `value` with as few digits as say it exactly, up to 12 significant; for what was typed and for unit factors.
pub fn exact(value: f64) -> String {
    if !value.is_finite() {
        return "—".to_owned();
    }
    let digits = Digits::of(value);
    grouped(digits.without_zeros((11 - digits.exponent).max(0)))
}

/// `value` rounded to `figures` significant figures, half away from zero; as a learner rounds an intermediate result.
pub fn to_figures(value: f64, figures: usize) -> f64 {
    if !value.is_finite() {
        return value;
    }
    let digits = Digits::of(value);
    let places = figures.clamp(1, 15) as i32 - 1 - digits.exponent;
    let (kept, count) = digits.kept(places);
    let mut mantissa = kept[..count].iter().fold(0, |number, digit| number * 10 + u64::from(*digit));
    let mut exponent = -places;
    // As the number would be read that is written with its zeros.
    while exponent > 0 && mantissa < MOST_MANTISSA {
        mantissa *= 10;
        exponent -= 1;
    }
    let size = decimal(mantissa, exponent);
    if digits.negative && mantissa > 0 { -size } else { size }
}

/// Decimal places to which a value and its uncertainty are both rounded: the uncertainty's first figure, or its first
/// two where the first is a 1, but no finer than the value alone is shown. Negative places are left of the point;
/// `None` where the uncertainty is then nothing: the value is sure to every figure shown.
///
/// As JCGM 100:2008, 7.2.6 asks. For 1.468 and 0.0312 there are 2 (1.47 ± 0.03), for 98,765 and 1234 there are −2
/// (98,800 ± 1200), for 1.4 and 0.0003 none.
pub fn places_beside(uncertainty: f64, value: f64) -> Option<i32> {
    let places = |value: f64, figures: usize| figures as i32 - 1 - Digits::of(value).exponent;
    let one = places(to_figures(uncertainty, 1), 1);
    let two = places(to_figures(uncertainty, 2), 2);
    let leads_with_one = Digits::of(to_figures(uncertainty, 2)).digits[0] == 1;
    let places = if leads_with_one { two } else { one }.min(places(value, RESULT_FIGURES).max(0));
    let least = at_place(uncertainty, places);
    least.bytes().any(|byte| (b'1'..=b'9').contains(&byte)).then_some(places)
}

/// `value` to this many decimal places, none dropped: 1.4 to two is `1.40`. Negative places are left of the point:
/// 98,765 to −2 is `98,800`.
pub fn at_place(value: f64, places: i32) -> String {
    grouped(Digits::of(value).fixed(places))
}

/// `value` up to two figures: 8,992 is 9,000, as somebody says who asks for no less.
pub fn up_to_two_figures(value: f64) -> f64 {
    let near = to_figures(value, 2);
    if near >= without_noise(value) {
        return near;
    }
    // One more in the second figure; what is nearly there needs no more.
    let step = decimal(1, Digits::of(value).exponent - 1);
    to_figures(value + step / 2.0, 2)
}

/// `value`, 0 or above, down or up to a number that a person would set: 1, 1.5, 2, 3 to 9 times a power of ten.
pub fn round_number(value: f64, up: bool) -> f64 {
    if value <= 0.0 {
        return 0.0;
    }
    let exponent = Digits::of(value).exponent - 1;
    let mut steps = [10, 15, 20, 30, 40, 50, 60, 70, 80, 90, 100].iter().map(|step| decimal(*step, exponent));
    let found = if up { steps.find(|step| *step >= value) } else { steps.rfind(|step| *step <= value) };
    found.unwrap_or(value)
}

/// `value` without the last digit's noise of binary arithmetic: 15 significant digits, well inside 1 part in 10^12.
pub fn without_noise(value: f64) -> f64 {
    if !value.is_finite() {
        return value;
    }
    // A whole number has no noise; adding 0.0 takes the sign off −0.
    if value.abs() < 1e15 && value.trunc() == value {
        return value + 0.0;
    }
    let (mantissa, exponent) = fifteen(value.abs());
    let size = decimal(mantissa, exponent - 14);
    if value < 0.0 { -size } else { size }
}

/// The number that a text of digits with at most one point stands for; `None` for any other text.
///
/// Read here and not by the standard library, whose tables alone would be a tenth of what a phone has to fetch. Up to
/// 15 digits and a value from 1e-7 to 1e22 the result is the nearest `f64`; outside it may be off in the last bit.
pub fn read_decimal(text: &str) -> Option<f64> {
    let (mut mantissa, mut exponent) = (0_u64, 0_i32);
    let (mut seen, mut point) = (false, false);
    for byte in text.bytes() {
        match byte {
            b'0'..=b'9' if mantissa < MOST_MANTISSA => {
                mantissa = mantissa * 10 + u64::from(byte - b'0');
                exponent -= i32::from(point);
                seen = true;
            }
            // More digits than a number can hold only move the point.
            b'0'..=b'9' => exponent += i32::from(!point),
            b'.' if !point => point = true,
            _ => return None,
        }
    }
    seen.then(|| decimal(mantissa, exponent))
}

/// Below this another digit still fits.
const MOST_MANTISSA: u64 = 100_000_000_000_000_000;

/// Powers of ten that an `f64` holds exactly.
const POWERS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20,
    1e21, 1e22,
];

/// `mantissa` times ten to the power of `exponent`: one rounding where the mantissa is below 2^53 and the power exact.
fn decimal(mantissa: u64, exponent: i32) -> f64 {
    let (mut value, mut left) = (mantissa as f64, exponent);
    while left > 22 {
        value *= POWERS[22];
        left -= 22;
    }
    while left < -22 {
        value /= POWERS[22];
        left += 22;
    }
    if left < 0 { value / POWERS[left.unsigned_abs() as usize] } else { value * POWERS[left as usize] }
}

/// A finite number with as few digits as carry 15 significant ones, no commas, a plain minus sign.
pub fn plain_digits(value: f64) -> String {
    let digits = Digits::of(value);
    digits.without_zeros((14 - digits.exponent).max(0))
}

/// Fifteen significant digits of a finite `value` from 0 up, as a whole number, and the power of ten of the first.
///
/// Worked out on whole numbers, so nothing is lost before the one rounding, half up; below 1e-7 and above 1e37 the
/// value is first brought nearer by powers of ten, which may cost the last digit.
fn fifteen(value: f64) -> (u64, i32) {
    let (mut value, mut moved) = (value, 0);
    if value == 0.0 {
        return (0, 0);
    }
    while value < 1e-7 {
        value *= POWERS[22];
        moved -= 22;
    }
    while value > 1e37 {
        value /= POWERS[22];
        moved += 22;
    }
    let mut exponent = 0;
    while POWERS.get(exponent as usize + 1).is_some_and(|power| *power <= value) {
        exponent += 1;
    }
    // Above the powers held, and below one, by one multiplication a place; the whole-number work below settles it.
    let mut power = POWERS[exponent as usize];
    while value >= power * 10.0 {
        power *= 10.0;
        exponent += 1;
    }
    while value < 1.0 && exponent > -8 && value * POWERS[(-exponent) as usize] < 1.0 {
        exponent -= 1;
    }
    let mut whole = scaled(value, 14 - exponent);
    if whole < 100_000_000_000_000 {
        exponent -= 1;
        whole = scaled(value, 14 - exponent);
    } else if whole >= 1_000_000_000_000_000 {
        exponent += 1;
        whole = scaled(value, 14 - exponent);
    }
    (whole, exponent + moved)
}

/// `value` times ten to the power of `places`, rounded half up, exactly; for values and places as in [`fifteen`].
fn scaled(value: f64, places: i32) -> u64 {
    let bits = value.to_bits();
    let mantissa = u128::from(bits & ((1 << 52) - 1) | (1 << 52));
    let exponent = ((bits >> 52) & 0x7ff) as i32 - 1075;
    let tens = tens(places.unsigned_abs() as usize);
    if places >= 0 {
        let product = mantissa * tens;
        match exponent {
            0.. => (product << exponent) as u64,
            _ if exponent < -127 => 0,
            _ => ((product >> (-exponent - 1)).wrapping_add(1) >> 1) as u64,
        }
    } else {
        // So large a value is a whole number.
        let product = if exponent >= 0 { mantissa << exponent } else { mantissa >> -exponent };
        ((product + tens / 2) / tens) as u64
    }
}

/// Ten to a power of 0 to 38.
fn tens(power: usize) -> u128 {
    const TENS: [u64; 20] = {
        let mut tens = [1; 20];
        let mut power = 1;
        while power < 20 {
            tens[power] = tens[power - 1] * 10;
            power += 1;
        }
        tens
    };
    match power {
        0..20 => u128::from(TENS[power]),
        _ => u128::from(TENS[19]) * u128::from(TENS[(power - 19).min(19)]),
    }
}

/// Fifteen significant decimal digits and the power of ten of the first.
struct Digits {
    negative: bool,
    digits: [u8; 15],
    exponent: i32,
}

impl Digits {
    fn of(value: f64) -> Digits {
        let (mut mantissa, exponent) = fifteen(value.abs());
        let mut digits = [0; 15];
        for digit in digits.iter_mut().rev() {
            *digit = (mantissa % 10) as u8;
            mantissa /= 10;
        }
        Digits { negative: value < 0.0, digits, exponent }
    }

    /// The digits down to `places` decimals (negative: left of the point), rounded half up, and how many they are; what
    /// is beyond the fifteenth is left to whoever writes them, as zeros.
    fn kept(&self, places: i32) -> ([u8; 16], usize) {
        let keep = self.exponent + 1 + places;
        let mut kept = [0; 16];
        let Ok(keep) = usize::try_from(keep) else { return (kept, 0) };
        let Some(next) = self.digits.get(keep) else {
            kept[..15].copy_from_slice(&self.digits);
            return (kept, 15);
        };
        kept[1..=keep].copy_from_slice(&self.digits[..keep]);
        if *next >= 5 {
            let mut at = keep;
            while at > 0 && kept[at] == 9 {
                kept[at] = 0;
                at -= 1;
            }
            kept[at] += 1;
        }
        if kept[0] > 0 {
            return (kept, keep + 1);
        }
        kept.copy_within(1..=keep, 0);
        (kept, keep)
    }

    /// Fixed-point text with at most so many decimals, at least one digit of the number among them, and no zeros at the
    /// end of them.
    fn without_zeros(&self, places: i32) -> String {
        let (kept, count) = self.kept(places);
        let zeros = kept[..count].iter().rev().take_while(|digit| **digit == 0).count();
        self.fixed((places - zeros as i32).max(0))
    }

    /// Fixed-point text with `places` decimals (negative: rounded left of the point).
    fn fixed(&self, places: i32) -> String {
        let (kept, count) = self.kept(places);
        // One more where rounding carried; and the zeros after the fifteenth digit.
        let count = count as i32 + (self.exponent + 1 + places - 15).max(0);
        let digit = |at: i32| char::from(b'0' + kept.get(at as usize).copied().unwrap_or(0));
        let mut text = String::with_capacity(24);
        if self.negative && kept.iter().any(|digit| *digit > 0) {
            text.push('-');
        }
        let (whole, zeros) = (count - places.max(0), (-places).max(0));
        let first = (0..whole).find(|at| digit(*at) != '0');
        match first {
            Some(first) => {
                text.extend((first..whole).map(digit));
                text.extend((0..zeros).map(|_| '0'));
            }
            None => text.push('0'),
        }
        if places > 0 {
            text.push('.');
            text.extend((whole..0).map(|_| '0'));
            text.extend((whole.max(0)..count).map(digit));
        }
        text
    }
}

fn trimmed(mut text: String) -> String {
    if text.contains('.') {
        let kept = text.trim_end_matches('0').trim_end_matches('.').len();
        text.truncate(kept);
    }
    text
}

/// Commas every three places, from 10,000 up as in print; `-` becomes a minus sign.
fn grouped(text: String) -> String {
    let whole = text.bytes().position(|byte| byte == b'.').unwrap_or(text.len());
    if whole <= 4 && !text.starts_with('-') {
        return text;
    }
    let mut out = String::with_capacity(text.len() + 8);
    let rest = match text.strip_prefix('-') {
        Some(rest) => {
            out.push('−');
            rest
        }
        None => &*text,
    };
    let whole = whole - (text.len() - rest.len());
    for (index, digit) in rest.chars().enumerate() {
        if index > 0 && index < whole && (whole - index).is_multiple_of(3) && whole > 4 {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_limit_is_rounded_to_a_number_that_a_person_would_set() {
        for (value, down, up) in [(37_854.1, 30_000.0, 40_000.0), (0.473, 0.4, 0.5), (1.04, 1.0, 1.5), (2.0, 2.0, 2.0)]
        {
            assert_eq!((round_number(value, false), round_number(value, true)), (down, up), "{value}");
        }
        assert_eq!((up_to_two_figures(0.473), up_to_two_figures(1.04)), (0.48, 1.1));
    }

    #[test]
    fn results_show_three_figures_but_whole_units_when_large() {
        for (value, text) in [
            (1.453_125, "1.45"),
            (2.0, "2"),
            (12_345.6, "12,346"),
            (999.6, "1000"),
            (0.001_234_5, "0.00123"),
            (0.0, "0"),
            (-0.5, "−0.5"),
            (99.95, "100"),
            (0.285, "0.285"),
            (f64::NAN, "—"),
        ] {
            assert_eq!(shown(value, 3), text, "{value}");
        }
    }

    #[test]
    fn zeros_that_are_not_written_are_those_that_would_be_cut_off() {
        let mut value: f64 = 1.7e-9;
        while value < 1e19 {
            for value in [value, -value, (value * 1e3).round() / 1e3, value.round()] {
                let digits = Digits::of(value);
                for figures in [1, 3, 4, 12, 15] {
                    let places = (figures - 1 - digits.exponent).max(0);
                    assert_eq!(digits.without_zeros(places), trimmed(digits.fixed(places)), "{value} {figures}");
                }
            }
            value *= 1.137;
        }
    }

    #[test]
    fn halves_go_away_from_zero() {
        assert_eq!(shown(2.5, 1), "3");
        assert_eq!(shown(1.345, 3), "1.35");
        assert_eq!(shown(-1.345, 3), "−1.35");
        assert_eq!(to_figures(0.9095, 3), 0.91);
        assert_eq!(to_figures(12_345.0, 3), 12_300.0);
        assert_eq!(to_figures(0.0, 3), 0.0);
    }

    #[test]
    fn exact_keeps_what_was_typed() {
        assert_eq!(exact(1.453_125), "1.453125");
        assert_eq!(exact(43_560.0), "43,560");
        assert_eq!(exact(0.1 + 0.2), "0.3");
        assert_eq!(without_noise(0.1 + 0.2), 0.3);
    }

    #[test]
    fn decimals_are_read_as_the_standard_library_reads_them() {
        for text in ["0", "1.45", ".5", "1.", "00012.50", "43560", "0.45359237", "123456789012345", "0.0000001"] {
            assert_eq!(read_decimal(text), text.parse().ok(), "{text}");
        }
        for text in ["", ".", "1.2.3", "-1", "1e5", "NaN", "inf", "\u{661}"] {
            assert_eq!(read_decimal(text), None, "{text}");
        }
        let long = "1".repeat(60);
        let (read, parsed): (f64, f64) = (read_decimal(&long).expect("digits"), long.parse().expect("digits"));
        assert!((read / parsed - 1.0).abs() < 1e-15);
    }

    #[test]
    fn taking_noise_away_is_what_printing_and_reading_fifteen_digits_is() {
        let (mut value, mut count, mut ties) = (1.234_567_890_123_456_7e-7, 0, 0);
        while value < 1e22 {
            let printed: f64 = format!("{value:.14e}").parse().expect("a number");
            // Where the sixteenth digit is a bare 5 the library goes to the even digit, and we go up.
            ties += usize::from(without_noise(value) != printed);
            assert!((without_noise(value) / printed - 1.0).abs() < 1.1e-14);
            assert_eq!(without_noise(-value), -without_noise(value));
            value *= 1.000_372_9;
            count += 1;
        }
        assert!(ties * 100 < count, "{ties} of {count}");
        for value in
            [1e-7, 0.1, 0.999_999_999_999_999_9, 1.0, 9.999_999_999_999_99, 10.0, 1e15, 1e21, 999_999.999_999_999_9]
        {
            assert_eq!(without_noise(value), format!("{value:.14e}").parse::<f64>().expect("a number"));
        }
    }

    #[test]
    fn numbers_far_out_keep_fourteen_digits() {
        for value in [5e-324, 1.23e-300, 4.5e-30, 6.7e22, 8.9e38, 1.7e308] {
            assert!((without_noise(value) / value - 1.0).abs() < 1e-14 || value < 1e-300, "{value}");
            assert!(!shown(value, 3).is_empty());
        }
    }
}
