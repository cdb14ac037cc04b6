//! Wrong workings written apart from the core's (`table`): each is named for what it is, to three figures, and to two
//! it is named or asked for one figure more; nearly every mistake of every template has one.

use crate::apart::on_all_cores;
use crate::table::{Numbers, rows};
use crate::{every, typed};
use std::collections::{BTreeMap, BTreeSet};
use tankside_calc::mistakes;
use tankside_calc::question::Question;
use tankside_calc::question::score::{Answer, Query, Verdict, number};
use tankside_calc::question::template::Posed;
use tankside_calc::text::figures::{exact, to_figures};

const SEEDS: u32 = 25;

/// Figures of a number as it is written, without the zeros at its ends.
fn figures(answer: &Answer) -> usize {
    let Answer::Text(text) = answer else { return 0 };
    let number = text.split(' ').next().unwrap_or_default();
    number.chars().filter(char::is_ascii_digit).collect::<String>().trim_matches('0').len()
}

fn named(posed: &Posed, answer: &Answer) -> &'static str {
    match number(posed, answer) {
        Verdict::Right | Verdict::Coarse => "right",
        Verdict::Wrong(Some(recognised)) => recognised.mistake.id,
        Verdict::Wrong(None) => "none",
        Verdict::Ask(Query::Figure(_)) => "one more figure",
        Verdict::Ask(_) => "asked",
    }
}

/// What the judge made of the wrong workings of one question and one mistake.
#[derive(Default)]
struct Tally {
    all: u32,
    right: u32,
    /// Named for another mistake, or taken for right.
    other: u32,
    /// To two figures: named so, or asked for one more.
    two: u32,
    seen: BTreeSet<String>,
}

type Pair = (&'static str, &'static str);

/// The wrong workings of a question, and the mistakes that the core makes in it.
fn held(question: &'static Question) -> (BTreeMap<Pair, Tally>, BTreeSet<Pair>) {
    let (mut tally, mut made): (BTreeMap<Pair, Tally>, BTreeSet<Pair>) = Default::default();
    for seed in 0..SEEDS.min(question.offered.count()) {
        let posed = question.draw(question.draw_at(seed)).expect("it was judged");
        let (problem, numbers) = (posed.right_working(), Numbers(&posed));
        made.extend(
            mistakes::all()
                .filter(|one| one.leads_to(&problem, &posed.unit).is_some())
                .map(|one| (question.id.as_str(), one.id)),
        );
        for row in rows().filter(|row| row.asks.contains(&question.asks.as_str())) {
            let Some(wrong) = (row.wrong)(&numbers).filter(|wrong| wrong.is_finite() && *wrong != 0.0) else {
                continue;
            };
            let si = wrong * posed.unit.size();
            // What is within 3 % of the right answer cannot be told from it, or from rounding.
            if (si - posed.si).abs() < 0.03 * posed.si.abs() {
                continue;
            }
            let one = tally.entry((question.id.as_str(), row.named)).or_default();
            let answer = typed(si, &posed.unit);
            let three = named(&posed, &answer);
            // 120 may be all that was worked out, or two figures of something else; then one more is asked for.
            let so = three == row.named || three == "one more figure" && figures(&answer) <= 2;
            one.all += 1;
            one.right += u32::from(so);
            one.other += u32::from(!so && !["none", "one more figure"].contains(&three));
            if !so {
                one.seen.insert(format!("{answer:?} is {three}"));
            }
            let coarse = exact(to_figures(wrong, 2)).replace(',', "").replace('−', "-");
            let coarse = named(&posed, &Answer::Text(format!("{coarse} {}", posed.unit.plain())));
            one.two += u32::from([row.named, "one more figure"].contains(&coarse));
        }
    }
    (tally, made)
}

#[test]
fn wrong_workings_written_apart_are_named_for_what_they_are() {
    let all: Vec<&'static Question> = every().iter().collect();
    let (mut tally, mut made): (BTreeMap<Pair, Tally>, BTreeSet<Pair>) = Default::default();
    for (one, other) in on_all_cores(&all, |question| held(question)) {
        tally.extend(one);
        made.extend(other);
    }
    let sum = |of: fn(&Tally) -> u32| tally.values().map(of).sum::<u32>();
    let (answers, right, other, two) =
        (sum(|one| one.all), sum(|one| one.right), sum(|one| one.other), sum(|one| one.two));
    println!(
        "{} pairs of question and wrong working, {answers} answers: {right} named, {other} named otherwise; {two} to two figures",
        tally.len()
    );
    let weak: Vec<String> = (tally.iter())
        .filter(|(_, one)| one.right * 100 < one.all * 95 || one.other * 100 > one.all)
        .map(|(pair, one)| {
            format!("{pair:?} {} of {}, {} otherwise: {:?}", one.right, one.all, one.other, one.seen.first())
        })
        .collect();
    let open: Vec<&Pair> = made.iter().filter(|pair| !tally.contains_key(*pair)).collect();
    println!("{} of {} pairs have no wrong working of their own: {open:?}", open.len(), made.len());
    assert!(weak.is_empty(), "{} pairs: {weak:#?}", weak.len());
    assert!(two * 100 >= answers * 80, "{two} of {answers} to two figures");
    assert!(open.len() * 100 <= made.len() * 5, "{} of {}: {open:?}", open.len(), made.len());
}
