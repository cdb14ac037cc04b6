//! A mistake that is found after a course was published: it changes which draws are offered from then on, and never
//! the numbers or the right answer of one that somebody was asked.

use crate::banks;
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::mistakes::{Dose, Mistake, Place, Wrong};
use tankside_calc::question::Question;
use tankside_calc::question::offered::{JUDGED, Offered};

const DRAWS: u32 = 100;

/// A mistake that can be made in every result of every calculator.
fn found_later() -> &'static Mistake {
    let results = CALCULATORS.iter().flat_map(|calculator| calculator.results.iter().map(|spec| (calculator.id, spec)));
    let places = results.map(|(calculator, spec)| Place { calculator, result: spec.name, dose: Dose::Unknown });
    let places: &'static [Place] = places.collect::<Vec<_>>().leak();
    let places: &'static [&'static [Place]] = vec![places].leak();
    Box::leak(Box::new(Mistake { id: "found-later", places, slight: false, wrong: off_by_the_largest_input }))
}

/// Near the right answer at some numbers, far from it at others.
fn off_by_the_largest_input(w: &Wrong) -> Option<f64> {
    let largest = w.inputs().quantities().map(|(_, typed)| typed.value()).fold(0.0, f64::max);
    Some(w.right() * (1.0 + (largest % 7.0) / 20.0))
}

/// Numbers and right answer of a draw.
fn asked(question: &Question, draw: u32) -> String {
    match question.draw(draw) {
        Ok(posed) => format!("{:?} {:?} {:016x}", posed.given, posed.beside, posed.si.to_bits()),
        Err(fault) => format!("{fault:?}"),
    }
}

#[test]
fn a_mistake_found_later_moves_no_draw() {
    let later = found_later();
    let (mut dropped, mut pairs) = (0, 0);
    for question in banks::numbers() {
        let offered = question.judged_against(JUDGED, &[later]).unwrap_or_default();
        dropped += question.offered.draws().filter(|draw| !offered.offers(*draw)).count();
        // The question as a page carries it once the course is published again.
        let again = Question { offered, ..question.clone() };
        let again = Question::read(&again.json().line()).expect("what was written is read");
        assert_eq!(again.digest(), question.digest());
        for draw in 0..DRAWS {
            assert_eq!(asked(&again, draw), asked(question, draw), "{} {draw}", question.id);
            pairs += 1;
        }
    }
    println!("{dropped} draws are offered no more; of {pairs} (question, draw) pairs none moved");
    assert!(dropped > 1000, "the mistake bites: {dropped} draws dropped");
}

#[test]
fn every_question_offers_draws_enough_and_a_page_carries_them_in_few_letters() {
    for question in banks::numbers() {
        let (judged, skip) = question.offered.parts();
        let candidates = question.template().expect("it was judged").candidates();
        assert_eq!(u64::from(judged), candidates.min(u64::from(JUDGED)), "{}", question.id);
        assert!(skip.len() <= 50, "{}: {skip}", question.id);
        assert_eq!(Offered::read(judged, &skip), question.offered);
        let draws: Vec<u32> = question.offered.draws().collect();
        assert!(!draws.is_empty(), "{}", question.id);
        for (place, draw) in draws.iter().enumerate() {
            assert_eq!(question.draw_at(place as u32), *draw);
        }
        assert_eq!(question.draw_at(draws.len() as u32), draws[0], "seeds beyond the last begin again");
    }
}

#[test]
fn what_a_page_carries_is_read_or_offers_nothing() {
    let offered = Offered::of(20, |draw| draw % 5 != 3);
    assert_eq!(offered.parts(), (20, "IECB".to_owned()));
    assert_eq!(offered.count(), 16);
    for (judged, skip) in [(20, "I C"), (20, "IÄ"), (u32::MAX, "")] {
        assert_eq!(Offered::read(judged, skip), Offered::default(), "{judged} {skip}");
    }
    assert_eq!(Offered::default().nth(7), None);
}
