//! The decimal digits of a number, and the text they make.

use super::decimal::fifteen;

/// For whom a number is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Print {
    /// With a comma every three places, from 10,000 up as in print, and a minus sign.
    People,
    /// Digits, a point and a hyphen.
    Programs,
}

/// Fifteen significant decimal digits and the power of ten of the first.
pub(super) struct Digits {
    pub(super) negative: bool,
    pub(super) digits: [u8; 15],
    pub(super) exponent: i32,
}

impl Digits {
    pub(super) fn of(value: f64) -> Digits {
        let (mantissa, exponent) = fifteen(value.abs());
        // In two halves of 32 bits: WebAssembly divides those in half the time.
        let (mut high, mut low) = ((mantissa / 100_000_000) as u32, (mantissa % 100_000_000) as u32);
        let (mut digits, mut at) = ([0; 15], 15);
        while at > 0 {
            at -= 1;
            let half = if at < 7 { &mut high } else { &mut low };
            digits[at] = (*half % 10) as u8;
            *half /= 10;
        }
        Digits { negative: value < 0.0, digits, exponent }
    }

    /// The digits down to `places` decimals (negative: left of the point), rounded half up, and how many they are; what
    /// is beyond the fifteenth is left to whoever writes them, as zeros.
    pub(super) fn kept(&self, places: i32) -> ([u8; 16], usize) {
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

    /// Puts at the end of `out` what [`Digits::put`] does, with at most so many decimals, at least one digit of the
    /// number among them, and no zeros at the end of them.
    pub(super) fn put_without_zeros(&self, places: i32, print: Print, out: &mut String) {
        let (kept, count) = self.kept(places);
        let zeros = kept[..count].iter().rev().take_while(|digit| **digit == 0).count();
        self.put((places - zeros as i32).max(0), print, out);
    }

    /// Puts fixed-point text with `places` decimals (negative: rounded left of the point) at the end of `out`.
    pub(super) fn put(&self, places: i32, print: Print, out: &mut String) {
        let (kept, count) = self.kept(places);
        // One more where rounding carried; and the zeros after the fifteenth digit.
        let count = count as i32 + (self.exponent + 1 + places - 15).max(0);
        let digit = |at: i32| char::from(b'0' + kept.get(at as usize).copied().unwrap_or(0));
        if self.negative && kept.iter().any(|digit| *digit > 0) {
            out.push(if print == Print::People { '−' } else { '-' });
        }
        let whole = count - places.max(0);
        let mut first = 0;
        while first < whole && digit(first) == '0' {
            first += 1;
        }
        if first >= whole {
            out.push('0');
        } else {
            // The last of them are zeros that rounding left of the point leaves.
            let end = whole - places.min(0);
            let grouped = print == Print::People && end - first > 4;
            for at in first..end {
                if grouped && at > first && (end - at) % 3 == 0 {
                    out.push(',');
                }
                out.push(if at < whole { digit(at) } else { '0' });
            }
        }
        if places > 0 {
            out.push('.');
            for at in whole..count {
                out.push(if at < 0 { '0' } else { digit(at) });
            }
        }
    }
}
