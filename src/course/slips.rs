//! Inputs and results under a name that does not exist: what was probably meant, with the row that the author wrote.

use crate::problem::{Offer, nearest, offered};
use tankside_calc::calculation::declare::{Calculator, FormItem, Group};
use tankside_calc::calculation::inputs::{InputFault, InputProblem};
use tankside_calc::calculation::read_to::{PREFIX, field_of, target};
use tankside_calc::calculators::registry::CALCULATORS;

/// Every input's flat name; rows as `group.N.field`.
pub(crate) fn input_names(found: &Calculator) -> Vec<String> {
    let mut names = Vec::new();
    for item in found.inputs {
        match item {
            FormItem::One(input) => names.push(input.name.to_owned()),
            FormItem::Many(group) => names.extend(fields(group, "N")),
        }
    }
    names
}

fn fields<'g>(group: &'g Group, row: &'g str) -> impl Iterator<Item = String> + 'g {
    group.fields.iter().map(move |field| format!("{}.{row}.{}", group.name, field.name))
}

fn groups(found: &Calculator) -> impl Iterator<Item = &'static str> {
    found.inputs.iter().filter_map(|item| match item {
        FormItem::Many(group) => Some(group.name),
        FormItem::One(_) => None,
    })
}

/// The row that a flat name has, or the first.
fn row_of(typed: &str) -> &str {
    typed.split('.').find(|word| word.bytes().all(|byte| byte.is_ascii_digit()) && !word.is_empty()).unwrap_or("1")
}

/// The names that could be in the place of `typed`: those of its group, or all, in its row.
fn candidates(found: &Calculator, typed: &str) -> Vec<String> {
    let row = row_of(typed);
    match typed.split_once('.').and_then(|(group, _)| found.group(group)) {
        Some(group) => fields(group, row).collect(),
        None => input_names(found).iter().map(|name| name.replace(".N.", &format!(".{row}."))).collect(),
    }
}

/// Inputs whose name contains a bare word: `rate` may be the application rate or a product's, so no guess is made. Within
/// a group, those of its fields.
fn sharing(found: &Calculator, typed: &str) -> Vec<String> {
    let last = |name: &str| name.rsplit('.').next().unwrap_or_default().to_owned();
    let word = match typed.split_once('.') {
        None => typed.to_owned(),
        Some((group, _)) if found.group(group).is_some() => last(typed),
        Some(_) => return Vec::new(),
    };
    let mut names = candidates(found, typed);
    names.retain(|name| last(name).split('-').any(|other| other == word));
    names
}

/// The input, or the group of inputs, that an unknown name probably means, if one is close.
pub(crate) fn meant(found: &Calculator, typed: &str) -> Option<String> {
    // How finely something was read is never the reading itself.
    if let Some(field) = typed.strip_prefix(PREFIX) {
        let whole = format!("{PREFIX}{}", field_of(field));
        return target(found, &whole).is_some().then_some(whole);
    }
    if let Some(group) = nearest(typed, groups(found)) {
        return Some(group.to_owned());
    }
    let names = candidates(found, typed);
    let last = |name: &str| name.rsplit('.').next().unwrap_or_default().to_owned();
    // A word of the name says more than letters in common: `max` means `label-max`, and not `name`.
    match sharing(found, typed).as_slice() {
        [] => {}
        [one] => return Some(one.clone()),
        _ => return None,
    }
    let in_group = typed.split_once('.').is_some_and(|(group, _)| found.group(group).is_some());
    // Where the group and the row are right, only the field is compared: they would hide how little it has in common.
    let whole = nearest(typed, names.iter().map(String::as_str).filter(|_| !in_group)).map(ToOwned::to_owned);
    // A field without its row: `volume` for `catch.1.volume`.
    let field = || {
        let fields: Vec<String> = names.iter().map(|name| last(name)).collect();
        let own = last(typed);
        let same = fields.contains(&own).then_some(own.as_str());
        let near = same.or_else(|| nearest(&own, fields.iter().map(String::as_str)))?;
        names.iter().find(|name| last(name) == near).cloned()
    };
    whole.or_else(field)
}

/// Help for an unknown input: the nearest name, or those that could go there.
pub(crate) fn input_help(found: &Calculator, typed: &str) -> Option<Offer> {
    if let Some(field) = typed.strip_prefix(PREFIX) {
        return read_to_help(found, field);
    }
    if let Some(meant) = meant(found, typed) {
        let row = match meant.split('.').collect::<Vec<_>>().as_slice() {
            [group, _, field] => Some(format!("{group}.N.{field}")),
            _ => None,
        };
        return Some(match row {
            Some(row) => Offer::InRow(meant, row),
            None => Offer::Write(meant),
        });
    }
    let sharing = sharing(found, typed);
    if sharing.len() > 1 {
        return Some(Offer::Either(sharing));
    }
    let names = if typed.contains('.') { candidates(found, typed) } else { input_names(found) };
    offered(typed, names.iter().map(String::as_str))
}

/// What to write when it is stated how finely a field was read: the group's field, without a row.
fn read_to_help(found: &Calculator, typed: &str) -> Option<Offer> {
    let names = found.inputs.iter().flat_map(|item| match item {
        FormItem::One(input) => vec![input.name.to_owned()],
        FormItem::Many(group) => group.fields.iter().map(|field| format!("{}.{}", group.name, field.name)).collect(),
    });
    let names: Vec<String> = names.map(|name| format!("{PREFIX}{name}")).collect();
    let can = names.iter().map(String::as_str).filter(|name| target(found, name).is_some());
    offered(&format!("{PREFIX}{}", field_of(typed)), can)
}

/// The same for an author whose rows are lists: the key to write, and what it becomes.
pub(crate) fn key_help(found: &Calculator, typed: &str) -> String {
    let rows = |group: &Group| {
        let fields: Vec<String> = group.fields.iter().map(|field| format!("{}: …", field.name)).collect();
        format!("`{}: [ {{ {} }} ]`", group.name, fields.join(", "))
    };
    if let Some(group) = found.group(typed) {
        return format!("write its rows as a list: {}", rows(group));
    }
    let Some(meant) = meant(found, typed).filter(|_| !typed.starts_with(PREFIX)) else {
        let Some(help) = input_help(found, typed) else { return format!("{} takes no inputs", found.id) };
        // The last key alone is what the author wrote in its place.
        let near = if let Offer::Write(near) = &help { near.rsplit_once('.') } else { None };
        return match (near, typed.rsplit_once('.')) {
            (Some((rows, key)), Some((typed_rows, _))) if rows == typed_rows => Offer::Write(key.to_owned()),
            _ => help,
        }
        .to_string();
    };
    // A mistyped group with one value: under the right name it would be refused again, because it has no rows.
    if let Some(group) = found.group(&meant) {
        return format!("write its rows as a list: {}", rows(group));
    }
    let same = |name: &str| name.rsplit_once('.').map(|(row, _)| row.to_owned());
    match meant.rsplit_once('.') {
        Some((_, key)) if same(typed) == same(&meant) => format!("write `{key}`, which makes it `{meant}`"),
        // Its fields without a row: `catch: { volume: …, time: … }`.
        Some((row, key)) if typed.split('.').eq([row.split('.').next().unwrap_or(row), key]) => {
            let group = found.group(row.split('.').next().unwrap_or(row)).map(rows);
            group.map_or_else(|| format!("write `{meant}`"), |rows| format!("write its rows as a list: {rows}"))
        }
        Some((row, key)) if typed.ends_with(&format!(".{key}")) => {
            format!("write `{}`, which makes it `{meant}`", row.split('.').next().unwrap_or(row))
        }
        Some((row, key)) if !typed.contains('.') => {
            let group = row.split('.').next().unwrap_or(row);
            format!("write it in a row, `{group}: [ {{ {key}: … }} ]`, which makes it `{meant}`")
        }
        _ => format!("write `{meant}`"),
    }
}

/// Drops what follows from a mistake that is reported: an input that is missing because its name was mistyped, and the
/// other inputs of a group whose name does not exist.
pub(crate) fn without_knock_ons(found: &Calculator, faults: Vec<InputProblem>) -> Vec<InputProblem> {
    let slips = faults.iter().filter(|fault| fault.fault == InputFault::UnknownName);
    let meant: Vec<String> = slips.filter_map(|fault| meant(found, &fault.about)).collect();
    let group = |flat: &str| flat.split('.').next().unwrap_or_default().to_owned();
    let mut unknown: Vec<String> = Vec::new();
    // The fields of a group that is written without its rows are one mistake.
    let without_rows = |about: &str| {
        let field = about.split_once('.').filter(|(_, field)| !field.contains('.'));
        field.is_some_and(|(name, field)| {
            found.group(name).is_some_and(|group| group.fields.iter().any(|own| own.name == field))
        })
    };
    let mut kept = |fault: &InputProblem| match fault.fault {
        InputFault::UnknownName if without_rows(&fault.about) => {
            let first = !unknown.contains(&group(&fault.about));
            unknown.push(group(&fault.about));
            first
        }
        InputFault::UnknownName if fault.about.contains('.') && found.group(&group(&fault.about)).is_none() => {
            let first = !unknown.contains(&group(&fault.about));
            unknown.push(group(&fault.about));
            first
        }
        InputFault::Missing => !meant.contains(&fault.about),
        InputFault::TooFewRows(_) => !meant.iter().any(|name| group(name) == fault.about),
        _ => true,
    };
    faults.into_iter().filter(|fault| kept(fault)).collect()
}

/// For `asks: nozzle-output`: every calculator that gives such a result, `catch-test/nozzle-output`.
pub(crate) fn results_called(name: &str) -> Vec<String> {
    let gives = |calculator: &&&Calculator| calculator.result(name).is_some();
    CALCULATORS.iter().filter(gives).map(|calculator| format!("{}/{name}", calculator.id)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use tankside_calc::calculators::registry::calculator;

    #[test]
    fn the_field_that_was_meant_keeps_the_row_that_was_written() {
        let catch_test = calculator("catch-test").expect("it is in the registry");
        assert_eq!(meant(catch_test, "catch.2.volum").as_deref(), Some("catch.2.volume"));
        assert_eq!(meant(catch_test, "cach.12.time").as_deref(), Some("catch.12.time"));
        // From the catches or from the nozzles: no guess is made.
        assert_eq!(meant(catch_test, "volume"), None);
        assert_eq!(meant(catch_test, "catch.volume").as_deref(), Some("catch.1.volume"));
        assert_eq!(meant(catch_test, "cach").as_deref(), Some("catch"));
        assert_eq!(meant(catch_test, "catch.1.amount"), None);
        let help = input_help(catch_test, "catch.3.amount").expect("it has inputs");
        assert_eq!(help.to_string(), "there are `catch.3.volume`, `catch.3.time`");
        let tank_mix = calculator("tank-mix").expect("it is in the registry");
        assert_eq!(key_help(tank_mix, "product.2.max"), "write `label-max`, which makes it `product.2.label-max`");
        assert_eq!(meant(tank_mix, "product.1.naem").as_deref(), Some("product.1.name"));
        assert_eq!(meant(tank_mix, "product.1.dose"), None);
        assert_eq!(key_help(catch_test, "catch.2.volum"), "write `volume`, which makes it `catch.2.volume`");
        assert_eq!(
            key_help(catch_test, "volum"),
            "write it in a row, `catch: [ { volume: … } ]`, which makes it `catch.1.volume`"
        );
    }

    #[test]
    fn a_result_without_its_calculator_is_found() {
        assert_eq!(results_called("mean-output"), ["catch-test/mean-output"]);
        assert_eq!(results_called("nothing"), [""; 0]);
    }
}
