//! What `tankside work` says to inputs that cannot be worked: every fault, and the command with places to fill in.
//!
//! Nothing is invented: what was given is kept to the letter, a value that cannot be used or is missing becomes a place
//! (`catch.1.time='… s'`), and only a name that is plainly mistyped is corrected.

mod beyond;
mod instead;

use super::work::{WorkRequest, shell};
use crate::course::{input_help, meant, without_knock_ons};
use crate::problem::{Offer, quoted};
use beyond::{beyond, exclusive, has_default, impossible};
use instead::{Instead, Slip, with_ounces};
use tankside_calc::calculation::declare::{Calculator, FormItem, Holds, Input, Need};
use tankside_calc::calculation::inputs::{InputFault, InputProblem, RawInputs};
use tankside_calc::doors::notation::as_shown;
use tankside_calc::quantity::typed::{self, Misread};
use tankside_calc::uncertainty::work;
use tankside_calc::words::phrases::Phrases;
use tankside_calc::words::say;
use tankside_calc::working::record::System;

/// Every fault with what kind of thing to write, and below them the command with its places.
pub(super) fn message(
    found: &'static Calculator,
    wanted: &WorkRequest,
    given: &RawInputs,
    faults: Vec<InputProblem>,
    phrases: &Phrases,
) -> String {
    let slip = Slip { found, given, faults: &faults, system: wanted.system };
    let each: Vec<String> = faults
        .iter()
        .map(|fault| {
            let text = say::problem(found, fault, wanted.system, phrases);
            let hint = hint(&slip, fault, phrases);
            let hint = if hint.is_empty() { hint } else { format!("\n  {hint}") };
            format!("{}: {text}{hint}", if fault.about.is_empty() { found.id } else { &fault.about })
        })
        .collect();
    each.join("\n") + &whole(found, wanted, given, phrases)
}

/// What to write for one fault.
fn hint(slip: &Slip, fault: &InputProblem, phrases: &Phrases) -> String {
    let Slip { found, given, system, .. } = *slip;
    let text = given.text(&fault.about).unwrap_or_default();
    // What was typed, and what to type, are in the language's own numbers.
    let typed = |text: &str| phrases.number(text.to_owned());
    let shell = |value: &str| shell(&fault.about, &typed(value));
    let place = || place(found, &fault.about, system, None);
    let write = |example: String| phrases.fill_with("terminal.write", &[("example", &example)]);
    let gave = |key: &str, example: String| phrases.fill_with(key, &[("text", &typed(text)), ("example", &example)]);
    match &fault.fault {
        InputFault::UnknownName => {
            let offer = input_help(found, &fault.about);
            offer.map_or_else(String::new, |offer| names_instead(&offer, phrases))
        }
        // Which of the two it is only the label can say.
        InputFault::Misread(misread, kind) => match slip.instead(&fault.about, misread, *kind) {
            Instead::Ounces([fluid, weight]) => {
                let places = [("one", &*shell(&fluid)), ("other", &*shell(&weight))];
                phrases.fill_with("terminal.write-either", &places)
            }
            Instead::Maybe(meant) => gave("terminal.gave-maybe", shell(&meant)),
            // Of an amount of any kind.
            Instead::Unit(number, units) if units.is_empty() => gave("terminal.gave", shell(&format!("{number} …"))),
            Instead::Unit(number, units) => {
                let example = shell(&format!("{number} …"));
                let places = [("text", &*typed(text)), ("example", &*example), ("units", &*units.join(", "))];
                phrases.fill_with("terminal.gave-no-unit", &places)
            }
            Instead::Place(unit) => gave("terminal.gave", self::place(found, &fault.about, system, unit.as_deref())),
        },
        InputFault::UnknownWord(_) => gave("terminal.gave", place()),
        InputFault::HardLimit(_) => gave("terminal.gave", shell(&beyond(found, given, &fault.about, system))),
        InputFault::Missing => write(place()),
        InputFault::Refused(_) if open(found, given, &fault.about) => write(place()),
        InputFault::Refused(_) => {
            let own = impossible(found, given, fault, system).into_iter().find(|(name, _)| *name == fault.about);
            own.map_or_else(String::new, |(_, value)| gave("terminal.gave", shell(&value)))
        }
        _ => String::new(),
    }
}

/// The names that an unknown one may be meant for, in the language's own words.
pub(super) fn names_instead(offer: &Offer, phrases: &Phrases) -> String {
    let name = |name: &str| format!("`{name}`");
    match offer {
        Offer::Write(meant) => phrases.fill_with("terminal.write", &[("example", &name(meant))]),
        Offer::InRow(meant, row) => {
            phrases.fill_with("terminal.write-row", &[("name", &name(meant)), ("row", &name(row))])
        }
        Offer::Either(names) => {
            let (last, others) = names
                .split_last()
                .map_or((String::new(), String::new()), |(last, others)| (name(last), quoted(others, ", ")));
            phrases.fill_with("terminal.write-either", &[("one", &others), ("other", &last)])
        }
        Offer::Names(names, 0) if names.len() == 1 => {
            phrases.fill_with("terminal.names-one", &[("names", &quoted(names, ", "))])
        }
        Offer::Names(names, 0) => phrases.fill_with("terminal.names", &[("names", &quoted(names, ", "))]),
        Offer::Names(names, more) => {
            let (names, more) = (quoted(names, ", "), more.to_string());
            phrases.fill_with("terminal.names-more", &[("names", &names), ("more", &more)])
        }
    }
}

/// Whether an input is declared and nothing was given for it, nor counts in its place.
fn open(found: &'static Calculator, given: &RawInputs, flat: &str) -> bool {
    found.input(flat).is_some() && given.text(flat).is_none() && !has_default(found, flat)
}

/// `name='… unit'`: a place for a value of the input's own kind, in the unit that was given.
fn place(found: &'static Calculator, flat: &str, system: System, unit: Option<&str>) -> String {
    shell(flat, &unit.map_or_else(|| empty(found, flat, system), |unit| format!("… {unit}")))
}

fn empty(found: &'static Calculator, flat: &str, system: System) -> String {
    match found.input(flat) {
        Some(input) => match input.holds {
            Holds::Quantity(_) => format!("… {}", input.unit(system).plain()).trim_end().to_owned(),
            Holds::Choice(words) => format!("… {}", words.join("|")),
            Holds::Count | Holds::Name | Holds::Unit => "…".to_owned(),
        },
        None => "…".to_owned(),
    }
}

/// Rounds of correcting names: a group first, then the field under it.
const ROUNDS: usize = 3;

/// The command: what was given, mistyped names corrected, and places for what is mistyped or missing.
fn whole(found: &'static Calculator, wanted: &WorkRequest, given: &RawInputs, phrases: &Phrases) -> String {
    if given.0.is_empty() {
        return String::new();
    }
    let mut given = given.clone();
    for _ in 0..ROUNDS {
        let faults = match work(found, &given, wanted.system) {
            Ok(_) => return command(found, wanted, given, "terminal.corrected", phrases),
            Err(faults) => without_knock_ons(found, faults),
        };
        let named = renamed(found, &given, &faults, phrases);
        if named == given {
            let mut filled = filled(found, &given, &faults, wanted.system);
            let still = |filled: &RawInputs| missing_still(found, filled, wanted.system);
            // What is missing may be more than the first that the calculation misses.
            for _ in 0..ROUNDS {
                let Some(flat) = still(&filled) else { break };
                let value = empty(found, &flat, wanted.system);
                insert(&mut filled, flat, value);
            }
            return if filled == given {
                let ways: Vec<RawInputs> =
                    faults.iter().flat_map(|fault| exclusive(found, &given, fault, wanted.system)).collect();
                one_of(found, wanted, ways, phrases)
            } else {
                let open = filled.0.iter().any(|(name, text)| name == "…" || text.contains('…'));
                let title = if open { "terminal.filled" } else { "terminal.meant" };
                command(found, wanted, filled, title, phrases)
            };
        }
        given = named;
    }
    String::new()
}

/// The same with each mistyped name that can only mean one other.
fn renamed(found: &'static Calculator, given: &RawInputs, faults: &[InputProblem], phrases: &Phrases) -> RawInputs {
    let mut right = RawInputs::default();
    for (name, text) in &given.0 {
        let unknown = faults.iter().any(|fault| fault.about == *name && fault.fault == InputFault::UnknownName);
        let meant = meant(found, name).filter(|meant| unknown && only(found, name, meant) && holds(found, meant, text));
        match meant {
            Some(group) if found.group(&group).is_some() => {
                right
                    .0
                    .push((format!("{group}.{}", given.rows(&group).max(right.rows(&group)) + 1), phrases.typed(text)));
            }
            Some(other) if right.text(&other).is_none() && given.text(&other).is_none() => {
                // Under the wrong name it was not known to hold numbers.
                right.0.push((other, phrases.typed(text)));
            }
            _ => right.0.push((name.clone(), text.clone())),
        }
    }
    right.opened(found)
}

/// Whether an input can hold what was given under another name; a slip in it may be put right.
fn holds(found: &Calculator, name: &str, text: &str) -> bool {
    let kind = found.input(name).and_then(Input::kind);
    let read = kind.map(|kind| typed::read(text, kind, None));
    !matches!(read, Some(Err(Misread::WrongKind(_) | Misread::MixedParts)))
}

/// Whether a name can mean only that input: another input that has the word in its name could be meant as well.
fn only(found: &Calculator, typed: &str, meant: &str) -> bool {
    if found.group(meant).is_some() {
        return true;
    }
    let last = |name: &str| name.rsplit('.').next().unwrap_or_default().to_owned();
    // `catch.1.volum` names its row; `volume` alone may be of any group, or a part of a longer name.
    if typed.contains('.') || last(meant) == meant {
        return true;
    }
    let inputs = found.inputs.iter().flat_map(|item| match item {
        FormItem::One(input) => vec![input.name],
        FormItem::Many(group) => group.fields.iter().map(|field| field.name).collect(),
    });
    inputs.filter(|name| name.split('-').any(|word| word == typed) || *name == last(meant)).count() == 1
}

/// The same with a place for each value that cannot be used, and for each that is missing.
fn filled(found: &'static Calculator, given: &RawInputs, faults: &[InputProblem], system: System) -> RawInputs {
    let mut out = RawInputs::default();
    let refused: Vec<(String, String)> =
        faults.iter().flat_map(|fault| impossible(found, given, fault, system)).collect();
    for (name, text) in &given.0 {
        if let Some((_, place)) = refused.iter().find(|(other, _)| other == name) {
            out.0.push((name.clone(), place.clone()));
            continue;
        }
        let fault = faults.iter().find(|fault| fault.about == *name).map(|fault| &fault.fault);
        match fault {
            Some(InputFault::UnknownName) => out.0.push(("…".to_owned(), text.clone())),
            Some(InputFault::Misread(misread, kind)) => {
                let slip = Slip { found, given, faults, system };
                let value = match slip.instead(name, misread, *kind) {
                    // Liquid or dry only the label can say; both are offered above.
                    Instead::Ounces(_) => with_ounces(text, "…"),
                    Instead::Maybe(meant) => meant,
                    Instead::Unit(number, _) => format!("{number} …"),
                    Instead::Place(unit) => unit.map_or_else(|| empty(found, name, system), |unit| format!("… {unit}")),
                };
                out.0.push((name.clone(), value));
            }
            Some(InputFault::UnknownWord(_)) => out.0.push((name.clone(), empty(found, name, system))),
            Some(InputFault::HardLimit(_)) => out.0.push((name.clone(), beyond(found, given, name, system))),
            _ => out.0.push((name.clone(), text.clone())),
        }
    }
    for fault in faults {
        match fault.fault {
            InputFault::Missing | InputFault::Refused(_) if open(found, &out, &fault.about) => {
                insert(&mut out, fault.about.clone(), empty(found, &fault.about, system));
            }
            InputFault::TooFewRows(least) => {
                let Some(group) = found.group(&fault.about) else { continue };
                for row in out.rows(group.name) + 1..=least {
                    for field in group.fields.iter().filter(|field| field.need == Need::Required) {
                        let flat = format!("{}.{row}.{}", group.name, field.name);
                        let value = empty(found, &flat, system);
                        out.0.push((flat, value));
                    }
                }
            }
            _ => {}
        }
    }
    out
}

/// What would be missing next if each place held a usual value.
fn missing_still(found: &'static Calculator, filled: &RawInputs, system: System) -> Option<String> {
    let usual = |name: &str| {
        let bounds = found.input(name)?.limits(system)?;
        Some(format!("{} {}", bounds.plausible.0, bounds.unit.plain()).trim_end().to_owned())
    };
    let mut trial = filled.clone();
    for (name, text) in trial.0.iter_mut().filter(|(_, text)| text.contains('…')) {
        *text = usual(name)?;
    }
    let faults = work(found, &trial, system).err()?;
    let missing = |fault: &&InputProblem| matches!(fault.fault, InputFault::Missing | InputFault::Refused(_));
    faults.iter().filter(missing).map(|fault| fault.about.clone()).find(|flat| open(found, filled, flat))
}

/// Puts a place beside its row.
fn insert(out: &mut RawInputs, flat: String, value: String) {
    let row = flat.rsplit_once('.').map(|(row, _)| format!("{row}."));
    let after = row.and_then(|row| out.0.iter().rposition(|(name, _)| name.starts_with(&row)));
    match after {
        Some(at) => out.0.insert(at + 1, (flat, value)),
        None => out.0.push((flat, value)),
    }
}

fn command(
    found: &'static Calculator,
    wanted: &WorkRequest,
    given: RawInputs,
    title: &str,
    phrases: &Phrases,
) -> String {
    format!("\n{}\n  {}", phrases.get(title), line(found, wanted, given, phrases))
}

/// A command for each of several ways; nothing where there are none.
fn one_of(found: &'static Calculator, wanted: &WorkRequest, ways: Vec<RawInputs>, phrases: &Phrases) -> String {
    if ways.is_empty() {
        return String::new();
    }
    let lines: Vec<String> = ways.into_iter().map(|way| line(found, wanted, way, phrases)).collect();
    format!("\n{}\n  {}", phrases.get("terminal.either"), lines.join("\n  "))
}

fn line(found: &'static Calculator, wanted: &WorkRequest, given: RawInputs, phrases: &Phrases) -> String {
    let given = as_shown(found, given, phrases);
    let mut words: Vec<String> = given.0.iter().map(|(name, text)| shell(name, text)).collect();
    if wanted.system == System::Metric {
        words.push("--units metric".to_owned());
    }
    words.extend(wanted.language.iter().map(|language| format!("--language {language}")));
    words.extend(wanted.wanted.iter().filter_map(|word| {
        let (name, unit) = word.split_once('=')?;
        Some(format!("--in {}", shell(name, unit)))
    }));
    format!("tankside work {} {}", found.id, words.join(" "))
}
