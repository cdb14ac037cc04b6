//! Inputs and wishes as they are given on the command line.

use super::named::own_name;
use super::shell;
use tankside_calc::calculation::declare::{Calculator, Group, Holds, Input};
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::words::phrases::Phrases;

/// Bytes of all inputs together that are read: several times as many as a full day plan has.
const LONGEST_GIVEN: usize = 20_000;

/// Words of a row in which a comma is missed: two amounts of two units each.
const MOST_WORDS: usize = 12;

/// Reads `catch.1.volume='96 fl oz'`, and `catch='96 fl oz, 30 s'` once a row.
pub(super) fn read_given(found: &'static Calculator, words: &[String], phrases: &Phrases) -> Result<RawInputs, String> {
    let length: usize = words.iter().map(String::len).sum();
    if length > LONGEST_GIVEN {
        let (length, most) = (length.to_string(), LONGEST_GIVEN.to_string());
        let title = phrases.fill_with("terminal.too-long", &[("length", &length), ("most", &most)]);
        return Err(format!("{title}\n  {}", phrases.get("terminal.one-problem")));
    }
    let mut pairs: Vec<(String, String)> = Vec::new();
    for word in words {
        let Some((name, value)) = word.split_once('=') else {
            let title = phrases.fill_with("terminal.no-input", &[("word", word)]);
            let places = [("form", "name=value"), ("example", &*first_example(found, phrases))];
            return Err(format!("{title}\n  {}", phrases.fill_with("terminal.write-input", &places)));
        };
        let (name, value) = (&*own_name(name.trim(), |name| found.input(name).is_some()), value.trim());
        let flat = match found.group(name) {
            Some(group) => {
                if let Some(parted) = parted(group, &phrases.typed(value)) {
                    let title = phrases.fill_with("terminal.row-unparted", &[("text", value)]);
                    let example = shell(name, &phrases.number(parted));
                    return Err(format!(
                        "{title}\n  {}",
                        phrases.fill_with("terminal.write", &[("example", &example)])
                    ));
                }
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
            return Err(phrases.fill_with("terminal.twice", &[("name", name)]));
        }
        if let Some((group, fields)) = overfull(found, name) {
            let title = phrases.fill_with("terminal.row-too-long", &[("text", text)]);
            let write = phrases.fill_with("terminal.write", &[("example", &format!("{group}='{fields}'"))]);
            return Err(format!("{title}\n  {write}"));
        }
    }
    Ok(given)
}

/// `96 fl oz, 30 s` for `96 fl oz 30 s`: a row without commas that can be parted in one way only.
fn parted(group: &Group, value: &str) -> Option<String> {
    let kinds: Vec<Kind> = group.fields.iter().filter_map(Input::kind).collect();
    let words: Vec<&str> = value.split_whitespace().collect();
    let reads = |words: &[&str], kind: Kind| typed::read(&words.join(" "), kind, None).is_ok();
    if value.contains([',', ';']) || words.len() > MOST_WORDS || reads(&words, *kinds.first()?) {
        return None;
    }
    // Three parts and more are rare, and have their commas.
    let second = *kinds.get(1)?;
    let mut cuts = (1..words.len()).filter(|cut| reads(&words[..*cut], kinds[0]) && reads(&words[*cut..], second));
    let cut = cuts.next().filter(|_| cuts.next().is_none())?;
    Some(format!("{}, {}", words[..cut].join(" "), words[cut..].join(" ")))
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

fn first_example(found: &Calculator, phrases: &Phrases) -> String {
    found.example.first().map_or_else(String::new, |(name, value)| shell(name, &phrases.number((*value).to_owned())))
}

/// Reads `RESULT=UNIT` words.
pub(super) fn read_wanted(
    found: &'static Calculator,
    words: &[String],
    phrases: &Phrases,
) -> Result<Vec<(String, Unit)>, String> {
    let mut units = Vec::new();
    for word in words {
        let Some((name, unit)) = word.split_once('=') else {
            let name = found.results.first().map_or("RESULT", |spec| spec.name);
            let title = phrases.fill_with("terminal.no-unit", &[("word", &format!("--in {word}"))]);
            let write = phrases.fill_with("terminal.write", &[("example", &format!("--in {name}='…'"))]);
            return Err(format!("{title}\n  {write}"));
        };
        let unit = Unit::parse(unit).ok_or_else(|| {
            phrases.fill_with("terminal.unknown-unit", &[("unit", unit), ("word", &format!("--in {word}"))])
        })?;
        units.push((own_name(name.trim(), |name| found.result(name).is_some()), unit));
    }
    Ok(units)
}
