//! A unit that does not exist: the one a letter away from it.

use crate::problem::nearest;
use tankside_calc::quantity::kind::Kind;
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
}
