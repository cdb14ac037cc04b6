//! Inputs in the language's own notation of numbers, as pages show and take them.

use crate::calculation::declare::{Calculator, Holds};
use crate::calculation::inputs::RawInputs;
use crate::calculation::read_to;
use crate::words::phrases::Phrases;

/// What was typed into a form in the language's own notation, as the core reads it: numbers only, no names.
pub fn as_typed(calculator: &'static Calculator, given: RawInputs, phrases: &Phrases) -> RawInputs {
    if phrases.has_own_notation() { renoted(calculator, given, &|text| phrases.typed(&text)) } else { given }
}

/// What the core reads, as a form shows it in the language's own notation.
pub fn as_shown(calculator: &'static Calculator, given: RawInputs, phrases: &Phrases) -> RawInputs {
    if phrases.has_own_notation() { renoted(calculator, given, &|text| phrases.number(text)) } else { given }
}

/// The inputs that hold numbers, in another notation.
fn renoted(calculator: &'static Calculator, given: RawInputs, note: &dyn Fn(String) -> String) -> RawInputs {
    let pairs = given.0.into_iter().map(|(name, text)| {
        let numbers = read_to::target(calculator, &name).is_some()
            || calculator.input(&name).is_some_and(|input| matches!(input.holds, Holds::Quantity(_) | Holds::Count));
        let text = if numbers { note(text) } else { text };
        (name, text)
    });
    RawInputs(pairs.collect())
}
