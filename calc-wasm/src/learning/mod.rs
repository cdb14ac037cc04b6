//! Learning: what a learner can do, judging by the answers given, when a kind of problem comes back, and what is asked
//! next.
//!
//! Pure: days come in as numbers, chance as a seed. The drill's page, the printed plan and the simulation of a thousand
//! learners (`cargo xtask learners`) all build on these functions.

pub mod exam;
pub mod plan;
pub mod schedule;
pub mod session;

use crate::text::fixed_hash;

/// A seed from a text, such as an exam code: the fixed hash of its letters and digits, upper and lower case alike, and
/// nothing else, so that `oak 17` typed from a whiteboard is `OAK-17`.
pub fn seed_of(text: &str) -> u64 {
    // Letters beyond ASCII stay as they are: tables of all capitals would weigh more than everything else here.
    let counts = |byte: &u8| byte.is_ascii_alphanumeric() || !byte.is_ascii();
    fixed_hash::of(text.bytes().filter(counts).map(|byte| byte.to_ascii_uppercase()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_is_its_letters_and_digits_however_they_are_typed() {
        assert_eq!(seed_of("OAK-17"), seed_of(" oak 17 "));
        assert_ne!(seed_of("OAK-17"), seed_of("OAK-71"));
        assert_eq!(seed_of(""), fixed_hash::START);
    }
}
