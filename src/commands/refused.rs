//! What `tankside work` says to inputs that cannot be worked: every fault, and the command with places to fill in.
//!
//! Nothing is invented: what was given is kept to the letter, a value that cannot be used or is missing becomes a place
//! (`catch.1.time='… s'`), and only a name that is plainly mistyped is corrected.

use super::work::{WorkRequest, shell};
use crate::course::{amount_meant, input_help, meant, unit_meant, without_knock_ons};
use crate::problem::{Offer, quoted};
use tankside_calc::calculation::declare::{Calculator, FormItem, Holds, Input, Need};
use tankside_calc::calculation::inputs::{InputFault, InputProblem, RawInputs};
use tankside_calc::doors::wire;
use tankside_calc::quantity::kind::Kind;
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
    let each: Vec<String> = faults
        .iter()
        .map(|fault| {
            let text = say::problem(found, fault, wanted.system, phrases);
            let hint = hint(found, given, fault, wanted.system, phrases);
            let hint = if hint.is_empty() { hint } else { format!("\n  {hint}") };
            format!("{}: {text}{hint}", if fault.about.is_empty() { found.id } else { &fault.about })
        })
        .collect();
    each.join("\n") + &whole(found, wanted, given, phrases)
}

/// What to write for one fault.
fn hint(
    found: &'static Calculator,
    given: &RawInputs,
    fault: &InputProblem,
    system: System,
    phrases: &Phrases,
) -> String {
    let text = given.text(&fault.about).unwrap_or_default();
    // What was typed, and what to type, are in the language's own numbers.
    let typed = |text: &str| phrases.number(text.to_owned());
    let shell = |value: &str| shell(&fault.about, &typed(value));
    let place = || place(found, &fault.about, system);
    let write = |example: String| phrases.fill_with("terminal.write", &[("example", &example)]);
    let gave = |key: &str, example: String| phrases.fill_with(key, &[("text", &typed(text)), ("example", &example)]);
    let no_unit = |number: &str, kind: Kind| {
        let (example, units) = (shell(&format!("{number} …")), units_of(kind, system).join(", "));
        let places = [("text", &*typed(text)), ("example", &*example), ("units", &*units)];
        phrases.fill_with("terminal.gave-no-unit", &places)
    };
    match &fault.fault {
        InputFault::UnknownName => {
            let offer = input_help(found, &fault.about);
            offer.map_or_else(String::new, |offer| names_instead(&offer, phrases))
        }
        // Which of the two it is only the label can say.
        InputFault::Misread(Misread::Ounces, _) => {
            let (fluid, weight) = (shell(&with_ounces(text, "fl oz")), shell(&with_ounces(text, "oz weight")));
            phrases.fill_with("terminal.write-either", &[("one", &fluid), ("other", &weight)])
        }
        InputFault::Misread(Misread::UnitMissing, kind) => no_unit(text, *kind),
        InputFault::Misread(Misread::Comma | Misread::UnitUnknown(_), kind) if amount_meant(text, *kind).is_some() => {
            gave("terminal.gave-maybe", shell(&amount_meant(text, *kind).unwrap_or_default()))
        }
        InputFault::Misread(Misread::UnitUnknown(unit), kind)
            if text.contains(unit.as_str()) && unit_meant(unit, *kind).is_some() =>
        {
            let unit_meant = unit_meant(unit, *kind).unwrap_or_default();
            gave("terminal.gave-maybe", shell(&text.replacen(unit.as_str(), &unit_meant, 1)))
        }
        InputFault::Misread(Misread::UnitUnknown(_), kind) => match number_of(text) {
            // `4 passes`
            Some(number) if *kind == Kind::Number => gave("terminal.gave-maybe", shell(number)),
            // Of an amount of any kind.
            Some(number) if units_of(*kind, system).is_empty() => gave("terminal.gave", shell(&format!("{number} …"))),
            Some(number) => no_unit(number, *kind),
            None => gave("terminal.gave", place()),
        },
        InputFault::Misread(..) => gave("terminal.gave", place()),
        InputFault::Missing => write(place()),
        InputFault::Refused(_) if open(found, given, &fault.about) => write(place()),
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

/// Whether an input is declared and nothing was given for it.
fn open(found: &'static Calculator, given: &RawInputs, flat: &str) -> bool {
    found.input(flat).is_some() && given.text(flat).is_none()
}

/// A text with its bare ounces named.
fn with_ounces(text: &str, ounces: &str) -> String {
    let lower = text.to_ascii_lowercase();
    for word in ["ounces", "ounce", "ozs", "oz."] {
        if let Some(at) = lower.find(word) {
            return format!("{}{ounces}{}", &text[..at], &text[at + word.len()..]);
        }
    }
    match lower.find("oz") {
        Some(at) => format!("{}{ounces}{}", &text[..at], &text[at + 2..]),
        None => text.to_owned(),
    }
}

/// The number of `1 galon`, whose unit is not known; of `1 gal 5 flox` neither number says what was meant.
fn number_of(text: &str) -> Option<&str> {
    let at = text.find(char::is_alphabetic)?;
    let (number, unit) = (text[..at].trim(), &text[at..]);
    // `2OO gal` is not 2.
    if text[..at].ends_with(|last: char| last.is_ascii_digit()) && unit.starts_with(['O', 'o', 'l', 'I']) {
        return None;
    }
    let again = unit.split('/').next().is_some_and(|over| over.contains(|letter: char| letter.is_ascii_digit()));
    (!again && typed::read(number, Kind::Number, None).is_ok()).then_some(number)
}

/// Units that a value of this kind may have, the usual ones of the system.
fn units_of(kind: Kind, system: System) -> Vec<String> {
    let (us, metric) = kind.offered();
    system.pick(us, metric).iter().take(4).map(|unit| unit.shown()).collect()
}

/// `name='… unit'`: a place for a value of the input's own kind.
fn place(found: &'static Calculator, flat: &str, system: System) -> String {
    shell(flat, &empty(found, flat, system))
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
            // Where nothing is mistyped or missing, the fault's own words say what to do.
            return if filled == given {
                String::new()
            } else {
                command(found, wanted, filled, "terminal.filled", phrases)
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
    for (name, text) in &given.0 {
        let fault = faults.iter().find(|fault| fault.about == *name).map(|fault| &fault.fault);
        match fault {
            Some(InputFault::UnknownName) => out.0.push(("…".to_owned(), text.clone())),
            Some(InputFault::Misread(Misread::UnitMissing, _)) => out.0.push((name.clone(), format!("{text} …"))),
            Some(InputFault::Misread(Misread::UnitUnknown(_), kind)) => {
                let number = number_of(text).filter(|_| *kind != Kind::Number);
                out.0.push((name.clone(), number.map_or_else(|| empty(found, name, system), |own| format!("{own} …"))));
            }
            // Liquid or dry only the label can say; both are offered above.
            Some(InputFault::Misread(Misread::Ounces, _)) => out.0.push((name.clone(), text.clone())),
            Some(InputFault::Misread(..) | InputFault::UnknownWord(_) | InputFault::HardLimit(_)) => {
                out.0.push((name.clone(), empty(found, name, system)));
            }
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
    for (name, text) in trial.0.iter_mut().filter(|(_, text)| text.starts_with('…')) {
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
    let given = wire::as_shown(found, given, phrases);
    let title = phrases.get(title);
    let mut words: Vec<String> = given.0.iter().map(|(name, text)| shell(name, text)).collect();
    if wanted.system == System::Metric {
        words.push("--units metric".to_owned());
    }
    words.extend(wanted.language.iter().map(|language| format!("--language {language}")));
    words.extend(wanted.wanted.iter().filter_map(|word| {
        let (name, unit) = word.split_once('=')?;
        Some(format!("--in {}", shell(name, unit)))
    }));
    format!("\n{title}\n  tankside work {} {}", found.id, words.join(" "))
}
