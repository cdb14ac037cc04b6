//! Why no draw of a question makes a sensible problem: the value that is unusual, and what is usual.

use super::silent::unusual;
use tankside_calc::calculation::declare::Input;
use tankside_calc::quantity::order::order;
use tankside_calc::question::Question;
use tankside_calc::question::template::Posed;
use tankside_calc::words::say;

/// The input at fault, or nothing where none alone is, and what is wrong with it.
pub(super) fn reason(question: &Question) -> (String, String) {
    if !question.parts.is_empty() {
        let none = "no draw from these ranges can be asked in every part: what suits one part is unusual in another";
        return (String::new(), none.to_owned());
    }
    let start = "no draw from these ranges makes a sensible problem";
    if let Some((name, said)) = unusual(question) {
        return (name, format!("{start}: {said}"));
    }
    let Some(posed) = question.template().ok().and_then(|template| template.draw(0).ok()) else {
        return (String::new(), format!("{start}: their numbers cannot be worked"));
    };
    match outside(&posed) {
        Some((name, said)) => (name, format!("{start}: {said}")),
        None if order(posed.si, 0.0).is_eq() => (String::new(), format!("{start}: the answer is 0")),
        None => (String::new(), format!("{start}: in each of them an input is outside what is usual")),
    }
}

/// The first input outside its usual range, what it is in this draw and what is usual.
fn outside(posed: &Posed) -> Option<(String, String)> {
    let phrases = crate::catalogue::first_phrases();
    let system = posed.worked.system;
    posed.worked.inputs.names().find_map(|name| {
        let input: &Input = posed.calculator.input(name)?;
        let (bounds, typed) = (input.limits(system)?, posed.worked.inputs.typed_at(name)?);
        let (low, high) = bounds.plausible;
        let value = typed.si / bounds.unit.size();
        if order(low, value).is_le() && order(value, high).is_le() {
            return None;
        }
        let usual = say::usual_range(&bounds, input, input.kind()?, system, phrases);
        Some((
            name.to_owned(),
            format!("`{name}` is {} in the first, and usually {usual}", say::as_typed(typed, phrases)),
        ))
    })
}
