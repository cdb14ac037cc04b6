//! Inputs and wishes as they are given on the command line.

use super::shell;
use tankside_calc::calculation::declare::{Calculator, Group, Holds};
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::quantity::unit::Unit;

/// Bytes of all inputs together that are read: several times as many as a full day plan has.
const LONGEST_GIVEN: usize = 20_000;

/// Reads `catch.1.volume='96 fl oz'`, and `catch='96 fl oz, 30 s'` once a row.
pub(super) fn read_given(found: &'static Calculator, words: &[String]) -> Result<RawInputs, String> {
    let length: usize = words.iter().map(String::len).sum();
    if length > LONGEST_GIVEN {
        return Err(format!(
            "these inputs have {length} characters, and at most {LONGEST_GIVEN} are read\n  give what one problem needs"
        ));
    }
    let mut pairs: Vec<(String, String)> = Vec::new();
    for word in words {
        let Some((name, value)) = word.split_once('=') else {
            return Err(format!("`{word}` is not an input\n  write name=value, for example {}", first_example(found)));
        };
        let (name, value) = (name.trim(), value.trim());
        let flat = match found.group(name) {
            Some(group) => {
                let row = RawInputs(pairs.clone()).rows(group.name) + 1;
                format!("{name}.{row}")
            }
            None => name.to_owned(),
        };
        pairs.push((flat, value.to_owned()));
    }
    let given = RawInputs(pairs).opened(found);
    for (index, (name, text)) in given.0.iter().enumerate() {
        if given.0[..index].iter().any(|(other, _)| other == name) {
            return Err(format!("`{name}` appears twice; write it once"));
        }
        if let Some((group, fields)) = overfull(found, name) {
            return Err(format!("`{text}` is one part too many for a row\n  write {group}='{fields}'"));
        }
    }
    Ok(given)
}

/// For a part of a row that no field is left for: the group and its fields in order.
fn overfull(found: &Calculator, flat: &str) -> Option<(&'static str, String)> {
    let group = found.group(flat.strip_suffix('.')?.split('.').next()?)?;
    Some((group.name, field_names(group)))
}

/// A row's fields in order, as they are listed for whoever gives one.
pub(super) fn field_names(group: &Group) -> String {
    // A name may come first, but it need not be there.
    let fields = group.fields.iter().filter(|field| !matches!(field.holds, Holds::Name));
    fields.map(|field| field.name).collect::<Vec<_>>().join(", ")
}

fn first_example(found: &Calculator) -> String {
    found.example.first().map_or_else(String::new, |(name, value)| shell(name, value))
}

/// Reads `RESULT=UNIT` words.
pub(super) fn read_wanted(found: &'static Calculator, words: &[String]) -> Result<Vec<(String, Unit)>, String> {
    let mut units = Vec::new();
    for word in words {
        let Some((name, unit)) = word.split_once('=') else {
            let name = found.results.first().map_or("RESULT", |spec| spec.name);
            return Err(format!("`--in {word}` names no unit\n  write --in {name}='UNIT'"));
        };
        let unit = Unit::parse(unit).ok_or_else(|| format!("`{unit}` is not a unit known here, in --in {word}"))?;
        units.push((name.trim().to_owned(), unit));
    }
    Ok(units)
}
