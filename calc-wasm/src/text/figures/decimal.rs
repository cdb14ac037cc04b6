//! From digits to a number, and from a number to fifteen of them: on whole numbers, so that every machine agrees.

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

/// Ten to a power, as [`read_decimal`] reads it with all its zeros.
pub(crate) fn power_of_ten(power: u32) -> f64 {
    let first = power.min(17);
    decimal(10_u64.pow(first), (power - first) as i32)
}

/// Below this another digit still fits.
pub(super) const MOST_MANTISSA: u64 = 100_000_000_000_000_000;

/// Powers of ten that an `f64` holds exactly.
const POWERS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20,
    1e21, 1e22,
];

/// `mantissa` times ten to the power of `exponent`: one rounding where the mantissa is below 2^53 and the power exact.
pub(super) fn decimal(mantissa: u64, exponent: i32) -> f64 {
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

/// Fifteen significant digits of a finite `value` from 0 up, as a whole number, and the power of ten of the first.
///
/// Worked out on whole numbers, so nothing is lost before the one rounding, half up; below 1e-7 and above 1e37 the
/// value is first brought nearer by powers of ten, which may cost the last digit.
pub(super) fn fifteen(value: f64) -> (u64, i32) {
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
        over_tens(product + tens / 2, places.unsigned_abs())
    }
}

/// A whole number divided by ten to a power, rounded down, in limbs of 32 bits: dividing 128 bits at once takes a
/// kilobyte of WebAssembly, and so large a number is rare.
fn over_tens(mut value: u128, mut power: u32) -> u64 {
    while power > 0 {
        let by = 10_u64.pow(power.min(9));
        let (mut quotient, mut rest) = (0, 0);
        for limb in (0..4).rev() {
            let part = rest << 32 | u64::from((value >> (32 * limb)) as u32);
            quotient |= u128::from(part / by) << (32 * limb);
            rest = part % by;
        }
        value = quotient;
        power -= power.min(9);
    }
    value as u64
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
