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
    grouped(&trimmed(digits.fixed(wanted.max(0))))
}

/// `value` with as few digits as say it exactly, up to 12 significant; for what was typed and for unit factors.
pub fn exact(value: f64) -> String {
    if !value.is_finite() {
        return "—".to_owned();
    }
    let digits = Digits::of(value);
    grouped(&trimmed(digits.fixed((11 - digits.exponent).max(0))))
}

/// `value` rounded to `figures` significant figures, half away from zero; as a learner rounds an intermediate result.
pub fn to_figures(value: f64, figures: usize) -> f64 {
    if !value.is_finite() {
        return value;
    }
    let digits = Digits::of(value);
    digits.fixed(figures.max(1) as i32 - 1 - digits.exponent).parse().unwrap_or(value)
}

/// An uncertainty beside its value: to two figures, or to one where two would be finer than the value is shown to.
///
/// As JCGM 100:2008, 7.2.6 asks. Beside 1.47 an uncertainty of 0.0312 is `0.03`; beside 98,765 one of 1234 is `1200`.
pub fn beside(uncertainty: f64, value: f64) -> String {
    let places = |value: f64, figures: usize| figures as i32 - 1 - Digits::of(value).exponent;
    let fine = places(uncertainty, 2) > places(value, RESULT_FIGURES).max(0);
    exact(to_figures(uncertainty, if fine { 1 } else { 2 }))
}

/// `value` without the last digit's noise of binary arithmetic: 15 significant digits, well inside 1 part in 10^12.
pub fn without_noise(value: f64) -> f64 {
    format!("{value:.14e}").parse().unwrap_or(value)
}

/// Fifteen significant decimal digits and the power of ten of the first.
struct Digits {
    negative: bool,
    digits: Vec<u8>,
    exponent: i32,
}

impl Digits {
    fn of(value: f64) -> Digits {
        let text = format!("{:.14e}", value.abs());
        let (mantissa, exponent) = text.split_once('e').unwrap_or((&text, "0"));
        Digits {
            negative: value < 0.0,
            digits: mantissa.bytes().filter(u8::is_ascii_digit).map(|digit| digit - b'0').collect(),
            exponent: exponent.parse().unwrap_or(0),
        }
    }

    /// Fixed-point text with `places` decimals (negative: rounded left of the point).
    fn fixed(&self, places: i32) -> String {
        let keep = self.exponent + 1 + places;
        let mut kept: Vec<u8> = Vec::new();
        let mut carry = 0;
        if keep >= 0 {
            let keep = keep as usize;
            kept = self.digits.iter().copied().chain(std::iter::repeat(0)).take(keep).collect();
            carry = u8::from(self.digits.get(keep).is_some_and(|next| *next >= 5));
        }
        for digit in kept.iter_mut().rev() {
            let sum = *digit + carry;
            (*digit, carry) = (sum % 10, sum / 10);
        }
        if carry > 0 {
            kept.insert(0, carry);
        }
        self.placed(&kept, places)
    }

    fn placed(&self, kept: &[u8], places: i32) -> String {
        let mut text: String = kept.iter().map(|digit| char::from(digit + b'0')).collect();
        if places > 0 {
            let places = places as usize;
            while text.len() <= places {
                text.insert(0, '0');
            }
            text.insert(text.len() - places, '.');
        } else {
            for _ in 0..-places {
                text.push('0');
            }
        }
        let plain = text.trim_start_matches('0');
        let plain = if plain.is_empty() || plain.starts_with('.') { format!("0{plain}") } else { plain.to_owned() };
        let zero = plain.bytes().all(|byte| byte == b'0' || byte == b'.');
        if self.negative && !zero { format!("-{plain}") } else { plain }
    }
}

fn trimmed(text: String) -> String {
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// Commas every three places, from 10,000 up as in print; `-` becomes a minus sign.
fn grouped(text: &str) -> String {
    let (sign, rest) = match text.strip_prefix('-') {
        Some(rest) => ("−", rest),
        None => ("", text),
    };
    let (whole, fraction) = rest.split_once('.').map_or((rest, None), |(whole, part)| (whole, Some(part)));
    let mut out = String::from(sign);
    for (index, digit) in whole.chars().enumerate() {
        if index > 0 && (whole.len() - index) % 3 == 0 && whole.len() > 4 {
            out.push(',');
        }
        out.push(digit);
    }
    if let Some(part) = fraction {
        out.push('.');
        out.push_str(part);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

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
}
