//! No wrong way lands on the right answer, in any draw that is offered.

use crate::apart::on_all_cores;
use crate::{every, typed};
use std::collections::BTreeMap;
use tankside_calc::mistakes::{self, Wrong};
use tankside_calc::question::Question;
use tankside_calc::question::score::number;
use tankside_calc::working::record::Rounding;

#[test]
fn no_mistake_leads_to_the_right_answer_in_any_draw_that_is_offered() {
    let all: Vec<(&Question, u32)> =
        every().iter().flat_map(|question| question.offered.draws().map(move |draw| (question, draw))).collect();
    let landed = on_all_cores(&all, |(question, draw)| {
        let posed = question.draw(*draw).expect("it was judged");
        let (problem, unit) = (posed.right_working(), &posed.unit);
        let made = mistakes::all().filter_map(|mistake| {
            mistake.place(posed.calculator.id, &posed.result)?;
            let si = (mistake.wrong)(&Wrong::new(&problem, unit, Rounding::None)).filter(|si| si.is_finite())?;
            let other = (si - posed.si).abs() > 1e-9 * posed.si.abs();
            let lands = si != 0.0 && number(&posed, &typed(si, unit)).is_right();
            Some(((question.id.as_str(), mistake.id), other, lands))
        });
        made.collect::<Vec<_>>()
    });
    // A mistake that makes no difference in any draw of a question is not made in it.
    let mut tally: BTreeMap<(&str, &str), (u32, u32)> = BTreeMap::new();
    for (place, other, lands) in landed.into_iter().flatten() {
        let (made, landed) = tally.entry(place).or_default();
        *made += u32::from(other);
        *landed += u32::from(lands);
    }
    tally.retain(|_, (made, landed)| *made > 0 && *landed > 0);
    println!("{} draws offered", all.len());
    assert!(tally.is_empty(), "{tally:#?}");
}
