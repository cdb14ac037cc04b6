//! The options of a mock exam, over every template and two hundred draws of each: every wrong one is what a named
//! mistake leads to, and a question whose mistakes leave too few is typed.

use crate::banks;
use crate::surplus::has_surplus;
use std::collections::BTreeMap;
use tankside::course::offered::may_be_chosen;
use tankside::course::topic_of;
use tankside_calc::learning::exam::{Blueprint, Item, PlacedItem, compose};
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed;
use tankside_calc::question::options::{APART, FEWEST, OFFERED, choices};
use tankside_calc::question::score::{Answer, Verdict, number};
use tankside_calc::question::topic::Topic;
use tankside_calc::question::{Ask, Question};
use tankside_calc::words::say;

const DRAWS: u32 = 200;
/// The draws of one template lie apart, for neighbors share most of their numbers.
const STRIDE: u32 = 37;

/// What was counted over draws.
#[derive(Default)]
struct Tally {
    draws: u32,
    chosen: u32,
    wrong: u32,
    /// Choices by how many are offered: the right one's places, how often it is the longest, and how often by chance.
    places: BTreeMap<usize, Vec<u32>>,
    longest: f64,
    by_chance: f64,
}

/// One question at every draw.
fn looked_at(question: &Question) -> Tally {
    let mut tally = Tally::default();
    for seed in 0..DRAWS {
        let posed = question.draw(question.draw_at(seed * STRIDE)).expect("an offered draw");
        tally.draws += 1;
        let texts = choices(&posed, seed);
        if texts.is_empty() {
            continue;
        }
        tally.chosen += 1;
        assert!((FEWEST..=OFFERED).contains(&texts.len()), "{}: {texts:?}", question.id);
        let kind = Kind::of(&posed.unit).unwrap_or(Kind::Number);
        let right = say::quantity(posed.si, &posed.unit, banks::phrases());
        let values: Vec<f64> = texts.iter().map(|text| typed::read(text, kind, None).expect("a quantity").si).collect();
        for (place, (text, si)) in texts.iter().zip(&values).enumerate() {
            match number(&posed, &Answer::Text(text.clone())) {
                Verdict::Right => assert_eq!(*text, right, "{}", question.id),
                Verdict::Wrong(Some(_)) => tally.wrong += 1,
                other => panic!("{}: {text} is no named mistake: {other:?}", question.id),
            }
            for other in &values[..place] {
                // What is read is rounded to the figures shown.
                let apart = (si - other).abs() / si.abs().max(other.abs());
                assert!(apart > APART - 0.01, "{}: {texts:?}", question.id);
            }
        }
        let place = texts.iter().position(|text| *text == right).expect("the right one is offered");
        tally.places.entry(texts.len()).or_insert_with(|| vec![0; texts.len()])[place] += 1;
        let most = texts.iter().map(|text| text.chars().count()).max().unwrap_or(0);
        let sharing = texts.iter().filter(|text| text.chars().count() == most).count() as f64;
        tally.by_chance += 1.0 / texts.len() as f64;
        tally.longest += if right.chars().count() == most { 1.0 / sharing } else { 0.0 };
    }
    tally
}

#[test]
fn every_wrong_option_of_every_template_at_200_draws_is_a_named_mistake() {
    let all: Vec<&Question> = banks::numbers().collect();
    let mut tallies: Vec<(&Question, Tally)> = Vec::new();
    std::thread::scope(|scope| {
        let halves = all.chunks(all.len().div_ceil(2));
        let looking: Vec<_> = halves
            .map(|half| scope.spawn(move || half.iter().map(|one| (*one, looked_at(one))).collect::<Vec<_>>()))
            .collect();
        looking.into_iter().for_each(|half| tallies.extend(half.join().expect("no half fails")));
    });
    let (mut draws, mut chosen, mut wrong) = (0, 0, 0);
    let (mut places, mut longest, mut by_chance) = (BTreeMap::<usize, Vec<u32>>::new(), 0.0, 0.0);
    let (mut fit, mut fit_draws, mut fit_chosen) = (0, 0, 0);
    for (question, tally) in &tallies {
        (draws, chosen, wrong) = (draws + tally.draws, chosen + tally.chosen, wrong + tally.wrong);
        for (count, found) in &tally.places {
            let all = places.entry(*count).or_insert_with(|| vec![0; *count]);
            all.iter_mut().zip(found).for_each(|(all, found)| *all += found);
        }
        if may_be_chosen(question, &question.digest()) {
            (fit, fit_draws, fit_chosen) = (fit + 1, fit_draws + tally.draws, fit_chosen + tally.chosen);
            // What an exam never offers as a choice gives nothing away.
            (longest, by_chance) = (longest + tally.longest, by_chance + tally.by_chance);
        }
    }
    println!("{} templates, {draws} draws, {chosen} with options; {wrong} wrong options, all named", all.len());
    println!("{fit} templates may be chosen; options at {fit_chosen} of their {fit_draws} draws");
    println!("places of the right one {places:?}; the longest {:.2} times as often as by chance", longest / by_chance);
    assert!(draws > 50_000 && wrong > 40_000, "{draws} {wrong}");
    assert!(fit >= 90 && f64::from(fit_chosen) > 0.98 * f64::from(fit_draws), "{fit}: {fit_chosen} of {fit_draws}");
    for found in places.values() {
        let each = f64::from(found.iter().sum::<u32>()) / found.len() as f64;
        assert!(found.iter().all(|one| (0.9..1.1).contains(&(f64::from(*one) / each))), "{found:?}");
    }
    assert!((0.95..1.05).contains(&(longest / by_chance)), "{}", longest / by_chance);
}

/// Every question as the exam's page knows it.
pub(crate) fn pool() -> (Vec<&'static Question>, Vec<Item>) {
    let questions: Vec<&Question> = banks::questions().collect();
    let item = |question: &&Question| Item {
        topic: Topic::ALL.iter().position(|topic| *topic == topic_of(question)),
        formula: if question.asks.is_empty() { question.id.clone() } else { question.asks.clone() },
        number: question.kind == Ask::Number,
        typed: !may_be_chosen(question, &question.digest()),
    };
    let pool = questions.iter().map(item).collect();
    (questions, pool)
}

#[test]
fn an_exam_is_mostly_multiple_choice_and_types_what_it_must() {
    let (questions, pool) = pool();
    let weights: Vec<u32> = Topic::ALL.iter().map(|topic| topic.weight_percent()).collect();
    let blueprint = Blueprint { weights, items: 25, typed: 8 };
    let (mut chosen, mut typed, mut numbers, mut without) = (0, 0, 0, 0);
    for seed in 0..60 {
        let exam = compose(&pool, &blueprint, seed);
        assert_eq!(exam.len(), 25);
        let by_hand = exam.iter().filter(|asked| asked.typed).count();
        assert_eq!(by_hand, 8, "seed {seed}");
        for PlacedItem { item, seed, typed: by_hand } in exam {
            let question = questions[item];
            if by_hand {
                typed += 1;
            } else if question.kind == Ask::Number {
                chosen += 1;
                numbers += 1;
                let posed = question.draw(question.draw_at(seed)).expect("an offered draw");
                without += u32::from(choices(&posed, seed).is_empty());
            } else {
                chosen += 1;
            }
        }
    }
    println!("{chosen} choices, {numbers} of them numbers, {without} of these typed after all; {typed} typed");
    assert!(chosen > 2 * typed, "{chosen} choices, {typed} typed");
    assert!(numbers * 2 > chosen, "most choices are about numbers: {numbers} of {chosen}");
    assert!(without * 50 <= numbers, "{without} of {numbers} have too few options at their draw");
}

#[test]
fn a_third_of_the_number_items_of_two_hundred_exams_give_more_than_the_working_needs() {
    let (questions, pool) = pool();
    let weights: Vec<u32> = Topic::ALL.iter().map(|topic| topic.weight_percent()).collect();
    let blueprint = Blueprint { weights, items: 25, typed: 8 };
    let surplus: Vec<bool> =
        questions.iter().map(|question| question.kind == Ask::Number && has_surplus(question)).collect();
    let (mut numbers, mut with, mut fewest) = (0, 0, 25);
    for seed in 0..200 {
        let exam = compose(&pool, &blueprint, seed);
        let here = exam.iter().filter(|asked| surplus[asked.item]).count();
        numbers += exam.iter().filter(|asked| pool[asked.item].number).count();
        with += here;
        fewest = fewest.min(here);
    }
    println!("{with} of {numbers} number items with surplus data; {fewest} at least in an exam of 25");
    assert!(with * 3 >= numbers, "{with} of {numbers}");
    assert!(fewest >= 2, "an exam with {fewest}");
}
