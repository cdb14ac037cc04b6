//! The one place where a number is rounded for people.
//!
//! Rounding is half away from zero, as handbooks round, and is done on the decimal digits, so that every machine
//! shows the same text.

mod decimal;
mod digits;

pub(crate) use decimal::power_of_ten;
pub use decimal::read_decimal;
use decimal::{MOST_MANTISSA, decimal, fifteen};
use digits::{Digits, Print};

/// Figures a result is shown to.
pub const RESULT_FIGURES: usize = 3;
/// Figures a worked step is shown to, one more than results, so that a reader who follows with a calculator arrives.
pub const STEP_FIGURES: usize = 4;

/// `value` to `figures` significant figures, but never coarser than a whole unit; trailing zeros dropped.
///
/// `figures` is 1 to 15. 12,345.6 to three figures is `12,346`, 1.453125 is `1.45`, 2 is `2`.
pub fn shown(value: f64, figures: usize) -> String {
    text(|out| put_shown(value, figures, out))
}

/// Puts the text of [`shown`] at the end of `out`.
pub(crate) fn put_shown(value: f64, figures: usize, out: &mut String) {
    if !value.is_finite() {
        return out.push('—');
    }
    let digits = Digits::of(value);
    let wanted = figures.max(1) as i32 - 1 - digits.exponent;
    digits.put_without_zeros(wanted.max(0), Print::People, out);
}

/// The text of one number.
fn text(put: impl FnOnce(&mut String)) -> String {
    let mut text = String::with_capacity(24);
    put(&mut text);
    text
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
    let digits = Digits::of(value);
    text(|out| match places {
        1.. => digits.put_without_zeros(places, Print::People, out),
        _ => digits.put(places, Print::People, out),
    })
}

/// `value` with as few digits as say it exactly, up to 12 significant; for what was typed and for unit factors.
pub fn exact(value: f64) -> String {
    text(|out| put_exact(value, out))
}

/// Puts the text of [`exact`] at the end of `out`.
pub(crate) fn put_exact(value: f64, out: &mut String) {
    if !value.is_finite() {
        return out.push('—');
    }
    let digits = Digits::of(value);
    digits.put_without_zeros((11 - digits.exponent).max(0), Print::People, out);
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
    text(|out| Digits::of(value).put(places, Print::People, out))
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

/// A finite number with as few digits as carry 15 significant ones, no commas, a plain minus sign.
pub fn plain_digits(value: f64) -> String {
    let digits = Digits::of(value);
    text(|out| digits.put_without_zeros((14 - digits.exponent).max(0), Print::Programs, out))
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
        fn trimmed(text: &str) -> &str {
            if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { text }
        }
        let mut value: f64 = 1.7e-9;
        while value < 1e19 {
            for value in [value, -value, (value * 1e3).round() / 1e3, value.round()] {
                let digits = Digits::of(value);
                for figures in [1, 3, 4, 12, 15] {
                    let places = (figures - 1 - digits.exponent).max(0);
                    for print in [Print::People, Print::Programs] {
                        let without = text(|out| digits.put_without_zeros(places, print, out));
                        let whole = text(|out| digits.put(places, print, out));
                        assert_eq!(without, trimmed(&whole), "{value} {figures}");
                    }
                }
            }
            value *= 1.137;
        }
    }

    #[test]
    fn a_number_is_grouped_as_in_print_from_five_digits_up() {
        let mut value: f64 = 1.234_567_890_123_45e-9;
        while value < 1e21 {
            for value in [value, -value, value.round()] {
                for places in -3..7 {
                    let digits = Digits::of(value);
                    let plain = text(|out| digits.put(places, Print::Programs, out));
                    let (sign, size) = plain.strip_prefix('-').map_or(("", &*plain), |size| ("−", size));
                    let (whole, rest) = size.split_at(size.find('.').unwrap_or(size.len()));
                    let groups: Vec<&str> =
                        whole.as_bytes().rchunks(3).rev().map(|group| str::from_utf8(group).expect("digits")).collect();
                    let whole = if whole.len() > 4 { groups.join(",") } else { whole.to_owned() };
                    assert_eq!(at_place(value, places), [sign, &whole, rest].concat());
                }
            }
            value *= 7.77;
        }
        assert_eq!((&*at_place(98_765.0, -2), &*at_place(-1_234_567.25, 1)), ("98,800", "−1,234,567.3"));
        assert_eq!((&*at_place(1.4, 2), &*at_place(-0.001, 2), &*at_place(40.0, -2)), ("1.40", "0.00", "0"));
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
        for power in 0..100 {
            let written = format!("1{}", "0".repeat(power as usize));
            assert_eq!(Some(power_of_ten(power)), read_decimal(&written));
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
