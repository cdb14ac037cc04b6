//! A problem as the block of a lesson that works it.

use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::calculation::read_to::PREFIX;
use tankside_calc::working::record::System;

/// The block that works `given` with a calculator, ready to be pasted into a lesson.
pub(super) fn block(calculator: &str, given: &RawInputs, system: System) -> String {
    let mut out = format!("```worked-example {calculator}\ncalculator: {calculator}\n");
    if system == System::Metric {
        out.push_str("units: metric\n");
    }
    out.push_str("given:\n");
    let some = given.0.iter().filter(|(_, text)| !text.trim().is_empty());
    let (read, typed): (Vec<_>, Vec<_>) = some.partition(|(name, _)| name.starts_with(PREFIX));
    let mut rows: Vec<(&str, Vec<String>)> = Vec::new();
    for (name, text) in typed {
        match name.split('.').collect::<Vec<_>>()[..] {
            [_, _, field] => {
                let row = &name[..name.len() - field.len()];
                match rows.iter_mut().find(|(of, _)| *of == row) {
                    Some((_, fields)) => fields.push(pair(field, text)),
                    None => rows.push((row, vec![pair(field, text)])),
                }
            }
            _ => rows.push((name, vec![pair(name, text)])),
        }
    }
    let mut last = "";
    for (row, fields) in &rows {
        let group = row.split('.').next().unwrap_or_default();
        match row.ends_with('.') {
            true if group == last => {}
            true => out.push_str(&format!("  {group}:\n")),
            false => out.push_str(&format!("  {}\n", fields[0])),
        }
        if row.ends_with('.') {
            out.push_str(&format!("    - {{ {} }}\n", fields.join(", ")));
        }
        last = group;
    }
    if !read.is_empty() {
        out.push_str("  read-to:\n");
    }
    let mut last = "";
    for (name, text) in read {
        match name[PREFIX.len()..].split_once('.') {
            Some((group, field)) => {
                if group != last {
                    out.push_str(&format!("    {group}:\n"));
                }
                out.push_str(&format!("      {}\n", pair(field, text)));
                last = group;
            }
            None => out.push_str(&format!("    {}\n", pair(&name[PREFIX.len()..], text))),
        }
    }
    out + "```\n"
}

/// `volume: 96 fl oz`; in quotes where the value has signs that mean something in YAML.
fn pair(name: &str, value: &str) -> String {
    let value = value.trim();
    let plain = |sign: char| sign.is_alphanumeric() || matches!(sign, ' ' | '.' | '/' | '%' | '²' | '³');
    let word = value.chars().all(plain) && value.starts_with(char::is_alphanumeric);
    // A word that YAML reads as something else than itself.
    let meant = ["true", "false", "yes", "no", "on", "off", "null", "y", "n"].contains(&value.to_lowercase().as_str());
    match word && !meant {
        true => format!("{name}: {value}"),
        false => format!("{name}: \"{}\"", value.replace('\\', "\\\\").replace('"', "\\\"")),
    }
}
