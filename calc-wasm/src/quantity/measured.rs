//! An amount as a person measures it out: gallons and fluid ounces, pounds and ounces.

use crate::quantity::system::System;
use crate::quantity::unit::Unit;
use crate::text::figures::{RESULT_FIGURES, shown, without_noise};

/// `1 gal 22 fl oz` for 150 fl oz; `None` where one unit already says it.
///
/// The small part is rounded to half an ounce (a graduated cylinder's mark), half away from zero; metric amounts are
/// given in mL or g below one litre or kilogram.
pub fn by_hand(si: f64, unit: &Unit, system: System) -> Option<String> {
    let dim = unit.dim();
    let (large, small) = match system {
        System::Us if dim == Unit::of("gal").dim() => ("gal", "fl oz"),
        System::Us if dim == Unit::of("lb").dim() => ("lb", "oz"),
        System::Metric if dim == Unit::of("L").dim() => return metric(si, unit, "L", "mL"),
        System::Metric if dim == Unit::of("kg").dim() => return metric(si, unit, "kg", "g"),
        _ => return None,
    };
    customary(si, unit, large, small)
}

fn customary(si: f64, unit: &Unit, large: &str, small: &str) -> Option<String> {
    let (large, small) = (Unit::of(large), Unit::of(small));
    let per = (large.size() / small.size()).round();
    let halves = (without_noise(si / small.size()) * 2.0 + 0.5).floor();
    let (whole, rest) = ((halves / 2.0 / per).floor(), halves / 2.0);
    let rest = rest - whole * per;
    if whole < 1.0 || si < 0.0 {
        let text = format!("{} {}", shown(without_noise(si / small.size()), RESULT_FIGURES), small.shown());
        return (*unit != small).then_some(text);
    }
    let big = format!("{} {}", shown(whole, RESULT_FIGURES), large.shown());
    let text = if rest > 0.0 { format!("{big} {} {}", shown(rest, RESULT_FIGURES), small.shown()) } else { big };
    (rest > 0.0 || *unit != large).then_some(text)
}

fn metric(si: f64, unit: &Unit, large: &str, small: &str) -> Option<String> {
    let (large, small) = (Unit::of(large), Unit::of(small));
    let better = if si < large.size() { small } else { large };
    let text = format!("{} {}", shown(without_noise(si / better.size()), RESULT_FIGURES), better.shown());
    (*unit != better).then_some(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hand(amount: f64, unit: &str, system: System) -> Option<String> {
        let unit = Unit::of(unit);
        by_hand(amount * unit.size(), &unit, system)
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
}
