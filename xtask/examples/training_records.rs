//! Writes made-up training records of the demo course: `training_records FOLDER COUNT`.
//!
//! Everybody sits a check of 20 questions drawn from all banks of the course, with their own ability and one slip
//! that they make wherever it can be made. The people are invented; the same count gives the same records.

use rand_pcg::Pcg32;
use rand_pcg::rand_core::Rng;
use std::collections::HashMap;
use std::fmt::Write as _;
use std::path::Path;
use tankside::embedded::{CONTENT, DEMO};
use tankside::load::{Layered, Memory};
use tankside::marking::record::seal_of;
use tankside::resolve;
use tankside_calc::mistakes::all;
use tankside_calc::quantity::written::quantity;
use tankside_calc::question::{Ask, Question};

/// Answers per record.
const ANSWERS: usize = 20;

/// The right answer to a draw, and what each mistake leads to.
struct Answers {
    right: String,
    slips: Vec<(&'static str, String)>,
}

fn answers(question: &Question, draw: u32) -> Answers {
    let right = |wanted: bool| {
        let options = question.options.iter().enumerate();
        let chosen = options.filter(|(_, option)| question.kind == Ask::Order || option.right == wanted);
        chosen.map(|(index, _)| index.to_string()).collect::<Vec<_>>()
    };
    if question.kind != Ask::Number {
        let wrong = right(false).into_iter().take(1).collect::<Vec<_>>().join(",");
        let wrong = if question.kind == Ask::Order { "0".to_owned() } else { wrong };
        return Answers { right: right(true).join(","), slips: vec![("", wrong)] };
    }
    let posed = question.draw(draw).expect("a draw that is offered");
    let slips = all().filter_map(|mistake| {
        let wrong = mistake.leads_to(&posed.right_working(), &posed.unit)?;
        Some((mistake.id, quantity(wrong, &posed.unit)))
    });
    Answers { right: quantity(posed.si, &posed.unit), slips: slips.collect() }
}

fn main() {
    let words: Vec<String> = std::env::args().collect();
    let (Some(folder), Some(count)) = (words.get(1), words.get(2).and_then(|count| count.parse::<usize>().ok())) else {
        eprintln!("usage: training_records FOLDER COUNT");
        std::process::exit(2);
    };
    let resolved = resolve(&Layered(vec![&Memory::of(&DEMO), &Memory::of(&CONTENT)]));
    let course = resolved.course().expect("the demo course resolves");
    let questions: Vec<&Question> = course.banks.values().flat_map(|bank| &bank.questions).collect();
    let digests: Vec<String> = questions.iter().map(|question| question.digest()).collect();
    let slips: Vec<&'static str> = all().map(|mistake| mistake.id).collect();
    let mut known: HashMap<(usize, u32), Answers> = HashMap::new();
    let mut draws = Pcg32::new(7, 11);
    let mut below = |count: usize| draws.next_u32() as usize % count.max(1);
    std::fs::create_dir_all(folder).expect("a folder for the records");
    for person in 0..count {
        let (ability, slip) = (60 + below(41), slips[below(slips.len())]);
        let mut list = String::new();
        for place in 0..ANSWERS {
            let index = below(questions.len());
            let draw = questions[index].draw_at(below(300) as u32);
            let answers = known.entry((index, draw)).or_insert_with(|| answers(questions[index], draw));
            let own = answers.slips.iter().find(|(id, _)| *id == slip || id.is_empty() && below(100) >= ability);
            let typed = match own {
                Some((_, typed)) => typed.clone(),
                None if below(100) < ability => answers.right.clone(),
                None => answers.slips.get(below(answers.slips.len())).map_or("17 gal", |(_, typed)| typed).to_owned(),
            };
            let comma = if place > 0 { "," } else { "" };
            write!(
                list,
                "{comma}{{\"question\":\"{}\",\"digest\":\"{}\",\"draw\":{draw},\"answer\":\"{typed}\",\"at\":\"2026-05-04T08:{place:02}:00Z\",\"try\":1}}",
                questions[index].id, digests[index]
            )
            .expect("texts grow");
        }
        let record = format!(
            "{{\"format\":\"tankside-training-record\",\"version\":1,\"course\":{{\"id\":\"{}\"}},\"learner\":{{\"name\":\"Learner {person}\",\
             \"id\":\"{person}\"}},\"made\":\"2026-05-04T09:00:00Z\",\"sittings\":[{{\"id\":\"s{person}\",\"kind\":\"check\",\"name\":\"mixed\",\
             \"begun\":\"2026-05-04T08:00:00Z\",\"ended\":\"2026-05-04T08:30:00Z\",\"answers\":[{list}]}}]",
            course.settings.id
        );
        // As a page saves it.
        let record = format!("{record},\"seal\":\"{}\"}}", seal_of(record.as_bytes()));
        std::fs::write(Path::new(folder).join(format!("{person:06}.json")), record).expect("a record is written");
    }
}
