//! The table of spellings: every one is read, as the quantity that is meant.

use std::collections::BTreeSet;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed::read;
use tankside_calc::quantity::unit::Unit;

const TABLE: &str = include_str!("spellings.txt");

/// The kind with this phrase id.
pub(crate) fn kind(name: &str) -> Kind {
    let id = format!("kind.{name}");
    *Kind::ALL.iter().find(|kind| kind.id() == id).unwrap_or_else(|| panic!("{name} is no kind"))
}

#[test]
fn every_spelling_a_technician_or_a_label_writes_is_read_as_what_it_means() {
    let (mut asked, mut meant, mut count, mut unread) = (Kind::Any, 0.0, 0, Vec::new());
    let mut seen = BTreeSet::new();
    for line in TABLE.lines().map(str::trim).filter(|line| !line.is_empty() && !line.starts_with("# ")) {
        if let Some(head) = line.strip_prefix('[').and_then(|line| line.strip_suffix(']')) {
            let (name, quantity) = head.split_once(": ").expect("kind and quantity");
            let (number, unit) = quantity.split_once(' ').expect("number and unit");
            asked = kind(name);
            meant = number.parse::<f64>().expect("a number") * Unit::of(unit).size();
            assert!(asked.takes(&Unit::of(unit)), "{head}");
            continue;
        }
        count += 1;
        assert!(seen.insert((asked.id(), line)), "{line} is in the table twice");
        match read(line, asked, None) {
            Ok(typed) if (typed.si / meant - 1.0).abs() < 1e-9 => {}
            Ok(typed) => unread.push(format!("{line}: {} {}, meant {meant}", typed.value(), typed.unit.plain())),
            Err(fault) => unread.push(format!("{line}: {fault:?}")),
        }
    }
    assert!(unread.is_empty(), "{} of {count} spellings:\n{}", unread.len(), unread.join("\n"));
    assert!(count >= 400, "{count}");
}
