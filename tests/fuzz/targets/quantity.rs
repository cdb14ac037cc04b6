//! What is typed into a field: the first byte chooses the kind asked for, the rest is the text.
//!
//! Whatever is read must be finite, and must read back when it is shown, in its own unit and in every unit it may be
//! switched to.

#![no_main]

use libfuzzer_sys::fuzz_target;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed::{self, read, unit_text};
use tankside_calc::quantity::unit::Unit;
use tankside_calc::text::figures::exact;

/// `exact` shows 12 figures, so what is shown is within half of the twelfth.
const SHOWN: f64 = 1e-11;

fuzz_target!(|data: &[u8]| {
    let Some((choice, text)) = data.split_first() else { return };
    let Ok(text) = std::str::from_utf8(text) else { return };
    let kind = Kind::ALL[usize::from(*choice) % Kind::ALL.len()];
    let gallon = Unit::of("gal");
    let bare = (*choice >= 128 && kind.takes(&gallon)).then_some(&gallon);
    if let Ok(typed) = read(text, kind, bare) {
        assert!(typed.si.is_finite());
        assert!(kind.takes(&typed.unit) || typed.unit.is_none(), "{text:?} is of another kind");
        let shown = format!("{} {}", exact(typed.value()), unit_text(&typed.unit, kind)).replace('−', "-");
        // A number beyond 12 figures is shown with zeros, and one of 60 has no room in a field.
        if typed.value().abs() < 1e12 && (typed.value().abs() > 1e-9 || typed.si == 0.0) {
            let again =
                read(&shown, kind, None).unwrap_or_else(|fault| panic!("{text:?} is shown {shown:?}: {fault:?}"));
            let off = (again.si - typed.si).abs();
            assert!(off <= SHOWN * typed.si.abs() + 1e-12 * typed.unit.size(), "{text:?} is shown {shown:?}");
        }
    }
    if let Some(unit) = Unit::parse(text) {
        assert!(unit.size() > 0.0 && unit.size().is_finite());
        assert_eq!(Unit::parse(&unit.plain()).as_ref(), Some(&unit), "{text:?} is written {:?}", unit.plain());
        assert_eq!(Unit::parse(&unit.shown()).as_ref(), Some(&unit), "{text:?} is shown {:?}", unit.shown());
    }
    let _ = (typed::small_part(text), typed::is_compound(text));
});
