//! Data in a question's text that its working does not need.

use tankside_calc::question::Question;
use tankside_calc::question::ranges::{RangeSpec, value};
use tankside_calc::words::phrases::places;

/// Whether the text gives something that the answer does not depend on.
pub(crate) fn has_surplus(question: &Question) -> bool {
    let right = question.draw(question.draw_at(1)).expect("an offered draw");
    places(&question.text).into_iter().any(|place| {
        if right.beside.iter().any(|(name, _)| name == place) {
            return true;
        }
        let Some((_, template)) = question.given.iter().find(|(name, _)| name == place) else { return false };
        let others: Vec<String> = match value(template) {
            Some(RangeSpec::OneOf(numbers, unit)) => numbers.iter().map(|number| format!("{number} {unit}")).collect(),
            Some(RangeSpec::Texts(texts)) => texts,
            Some(RangeSpec::Fixed(_)) | None => return false,
        };
        // The same numbers with this one drawn again: if no other value changes the answer, it is not needed.
        let answers = others.iter().filter_map(|other| {
            let given = right
                .given
                .0
                .iter()
                .map(|(name, text)| (name.clone(), if name == place { other.clone() } else { text.clone() }));
            let fixed = Question { given: given.collect(), beside: Vec::new(), ..question.clone() };
            fixed.draw(0).ok().map(|posed| posed.si)
        });
        let answers: Vec<f64> = answers.collect();
        answers.len() > 1 && answers.iter().all(|si| (si - right.si).abs() <= 1e-9 * right.si.abs())
    })
}
