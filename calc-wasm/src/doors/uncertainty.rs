//! A budget as JSON.

use crate::calculation::worked::Worked;
use crate::quantity::unit::Unit;
use crate::text::figures::to_figures;
use crate::text::json::{Value, map};
use crate::uncertainty::{Budget, COVERAGE, Cause, Longer, field_of};
use crate::words::phrases::Phrases;
use crate::words::uncertainty as words;

/// A budget in `unit`: the result with its standard and expanded uncertainty, each reading's part, the scatter of
/// repeats where there are any, and what it would take to be as sure as wanted.
pub fn budget(worked: &Worked, budget: &Budget, unit: &Unit, phrases: &Phrases) -> Value {
    let size = unit.size();
    let in_unit = |si: f64| Value::Number(sure(si / size));
    let (mut readings, mut scatter) = (Vec::new(), None);
    for part in &budget.parts {
        match &part.cause {
            Cause::Scatter(repeats) => {
                scatter = Some(map(vec![
                    ("repeats", Value::Number(*repeats as f64)),
                    ("standard", in_unit(part.contribution)),
                    ("share", Value::Number(sure(part.share))),
                ]));
            }
            Cause::Reading(flat) => {
                let Some(typed) = worked.inputs.typed_at(flat) else { continue };
                let own = typed.unit.size();
                readings.push(map(vec![
                    ("name", flat.as_str().into()),
                    ("value", Value::Number(typed.value())),
                    ("unit", typed.unit.plain().into()),
                    ("standard", Value::Number(sure(part.standard / own))),
                    ("sensitivity", in_unit(part.sensitivity * own)),
                    ("contribution", in_unit(part.contribution)),
                    ("share", Value::Number(sure(part.share))),
                ]));
            }
        }
    }
    let mut members = vec![
        ("value", in_unit(budget.value)),
        ("unit", unit.plain().into()),
        ("standard", in_unit(budget.standard)),
        ("expanded", in_unit(budget.expanded())),
        ("relative_standard", Value::Number(sure(budget.standard / budget.value.abs()))),
        ("relative", Value::Number(sure(budget.relative()))),
        ("k", Value::Number(COVERAGE)),
        ("text", words::result(budget, unit, phrases).into()),
        ("readings", Value::List(readings)),
    ];
    members.extend(scatter.map(|scatter| ("scatter", scatter)));
    members.push(("longer", longer(worked, budget, phrases)));
    map(members)
}

/// Slopes are sums of products over a whole working; 12 figures of them are sure, and far more than a doubt needs.
fn sure(value: f64) -> f64 {
    to_figures(value, 12)
}

/// What it would take to be as sure as wanted: `answer` is `enough`, `times`, `repeats`, `unsteady`, `coarse`
/// or `never`.
fn longer(worked: &Worked, budget: &Budget, phrases: &Phrases) -> Value {
    let (answer, member) = match &budget.longer {
        Longer::Enough => ("enough", Vec::new()),
        Longer::Times { factor, grown } => {
            let grown = grown.iter().filter_map(|grown| {
                let unit = &worked.inputs.typed_at(&grown.first)?.unit;
                Some(map(vec![
                    ("name", field_of(&grown.first).into()),
                    ("unit", unit.plain().into()),
                    ("now", Value::Number(sure(grown.now / unit.size()))),
                    ("needed", Value::Number(sure(grown.needed / unit.size()))),
                ]))
            });
            ("times", vec![("factor", Value::Number(sure(*factor))), ("grown", Value::List(grown.collect()))])
        }
        Longer::Unsteady { .. } => ("unsteady", Vec::new()),
        Longer::Coarse { .. } => ("coarse", Vec::new()),
        Longer::Repeats { needed, .. } => ("repeats", vec![("repeats", Value::Number(*needed as f64))]),
        Longer::Never { together, .. } => ("never", vec![("fixed", Value::Number(sure(*together)))]),
    };
    let mut members = vec![("wanted", Value::Number(budget.target)), ("answer", answer.into())];
    members.extend(member);
    members.push(("text", words::answer(worked, budget, phrases).into()));
    map(members)
}
