//! An amount as a person measures it out: gallons and fluid ounces, pounds and ounces.

use crate::quantity::system::System;
use crate::quantity::unit::{Unit, unit};
use crate::quantity::written::{quantity, with_unit};
use crate::text::figures::{RESULT_FIGURES, exact, shown, without_noise};

/// `1 gal 22 fl oz` for 150 fl oz; `None` where one unit already says it.
///
/// Less than a gallon or a pound is shown as any amount; above that the small part is rounded to a whole fluid ounce or
/// half an ounce by weight, half away from zero. An amount in gallons or pounds that is shown to whole ones, or to
/// tenths from ten up, is not split finer than it is shown. Metric amounts are given in mL or g below one liter or
/// kilogram. Where the amount itself is shown to `tenths`, so is the small part: the two must be the same amount.
pub fn by_hand(si: f64, unit: &Unit, system: System, tenths: bool) -> Option<String> {
    let dim = unit.dim();
    let units = match system {
        System::Us if dim == unit!("gal").dim() => [unit!("gal"), unit!("fl oz")],
        System::Us if dim == unit!("lb").dim() => [unit!("lb"), unit!("oz")],
        System::Metric if dim == unit!("L").dim() => return metric(si, unit, unit!("L"), unit!("mL")),
        System::Metric if dim == unit!("kg").dim() => return metric(si, unit, unit!("kg"), unit!("g")),
        _ => return None,
    };
    customary(si, unit, units, tenths)
}

fn customary(si: f64, unit: &Unit, [large, small]: [Unit; 2], tenths: bool) -> Option<String> {
    // Half a fluid ounce beside a gallon is finer than three figures.
    let parts = match () {
        () if tenths && *unit == small => 10.0,
        () if small == unit!("fl oz") => 1.0,
        () => 2.0,
    };
    let per = (large.size() / small.size()).round();
    let all = (without_noise(si / small.size()) * parts + 0.5).floor() / parts;
    let whole = (all / per).floor();
    let rest = without_noise(all - whole * per);
    if whole < 1.0 || si < 0.0 {
        let text = quantity(si, &small);
        return (*unit != small).then_some(text);
    }
    let big = with_unit(&shown(whole, RESULT_FIGURES), &large);
    if *unit == large {
        let own = shown(without_noise(si / large.size()), RESULT_FIGURES);
        let coarse = whole >= 10.0 || !own.as_bytes().contains(&b'.');
        return (rest > 0.0 && !coarse).then(|| [&big, " ", &with_unit(&exact(rest), &small)].concat());
    }
    Some(if rest > 0.0 { [&big, " ", &with_unit(&exact(rest), &small)].concat() } else { big })
}

fn metric(si: f64, unit: &Unit, large: Unit, small: Unit) -> Option<String> {
    let better = if si < large.size() { small } else { large };
    let text = quantity(si, &better);
    (*unit != better).then_some(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hand(amount: f64, unit: &str, system: System) -> Option<String> {
        let unit = Unit::of(unit);
        by_hand(amount * unit.size(), &unit, system, false)
    }

    #[test]
    fn an_amount_shown_to_tenths_is_split_into_parts_that_add_up_to_it() {
        let fine = |amount: f64| by_hand(amount * unit!("fl oz").size(), &unit!("fl oz"), System::Us, true);
        assert_eq!(fine(127.5), None);
        assert_eq!(fine(195.5).as_deref(), Some("1 gal 67.5 fl oz"));
        assert_eq!(fine(130.2).as_deref(), Some("1 gal 2.2 fl oz"));
    }

    #[test]
    fn amounts_are_split_as_jugs_and_scales_are_marked() {
        assert_eq!(hand(150.0, "fl oz", System::Us).as_deref(), Some("1 gal 22 fl oz"));
        assert_eq!(hand(127.9, "fl oz", System::Us).as_deref(), Some("1 gal"));
        assert_eq!(hand(256.0, "fl oz", System::Us).as_deref(), Some("2 gal"));
        assert_eq!(hand(2.0, "gal", System::Us), None);
        assert_eq!(hand(12.3, "fl oz", System::Us), None);
        assert_eq!(hand(0.0123, "gal", System::Us).as_deref(), Some("1.57 fl oz"));
        assert_eq!(hand(3.25, "lb", System::Us).as_deref(), Some("3 lb 4 oz (weight)"));
        assert_eq!(hand(0.25, "L", System::Metric).as_deref(), Some("250 mL"));
        assert_eq!(hand(2.5, "L", System::Metric), None);
    }

    #[test]
    fn an_amount_is_not_split_into_something_else_than_it_is_shown_as() {
        assert_eq!(hand(24.97, "gal", System::Us), None, "shown as 25 gal");
        assert_eq!(hand(1.997, "gal", System::Us), None, "shown as 2 gal");
        assert_eq!(hand(255.5, "fl oz", System::Us).as_deref(), Some("2 gal"), "shown as 256 fl oz");
        assert_eq!(hand(255.74, "fl oz", System::Us).as_deref(), Some("2 gal"));
        assert_eq!(hand(1.453, "gal", System::Us).as_deref(), Some("1 gal 58 fl oz"));
        assert_eq!(hand(9.5, "gal", System::Us).as_deref(), Some("9 gal 64 fl oz"));
    }
}
