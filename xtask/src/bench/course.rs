//! The course the benchmark publishes: made up, of a stated size and mix, the same on every machine.

use crate::run::{self, Failure};
use std::fmt::Write as _;
use std::fs;
use std::path::Path;

/// What the course is made of.
pub(crate) struct Plan {
    pub(crate) lessons: usize,
    /// One lesson in this many has a worked example; the others only show its numbers.
    pub(crate) worked_one_in: usize,
    /// Whether every lesson asks the questions of a bank.
    pub(crate) quizzes: bool,
    /// About how long a lesson's file is.
    pub(crate) lesson_bytes: usize,
}

/// Worked examples, one for each calculator, with one of its results for the prose to show.
const EXAMPLES: [(&str, &str); 5] = [
    (
        "nozzle-output",
        "calculator: catch-test\ngiven:\n  catch:\n    - { volume: 96 fl oz, time: 30 s }\n    - 97 fl oz, 30 s\n",
    ),
    (
        "area-covered",
        "calculator: swath-timing\ngiven:\n  pass:\n    - { length: 100 ft, spacing: 5 ft, passes: 4, time: 120 s }\n",
    ),
    (
        "application-rate",
        "calculator: application-rate\ngiven:\n  timed:\n    - { method: walked, volume: 186 fl oz, catch-time: 60 s, area: 1000 ft2, area-time: 60 s }\n",
    ),
    (
        "area-treated",
        "calculator: tank-mix\ngiven:\n  tank: 200 gal\n  application-rate: 2 gal/1000 ft2\n  product:\n    - { name: Greenhold, rate: 3 fl oz/1000 ft2 }\n",
    ),
    (
        "volume-1-refills",
        "calculator: carrier-volume\ngiven:\n  tank: 200 gal\n  area: 5 acre\n  volume:\n    - { rate: 1 gal/1000 ft2 }\n    - { rate: 2 gal/1000 ft2 }\n  product:\n    - { name: Greenhold, rate: 3 fl oz/1000 ft2 }\n",
    ),
];

/// A bank of a number question and a choice.
const BANK: &str = "id: bench\ntitle: Check yourself\nquestions:\n  - id: output\n    kind: number\n    asks: catch-test/nozzle-output\n    text: \"You catch {catch.1.volume} in {catch.1.time}. What does the gun put out?\"\n    given:\n      catch: [ { volume: 90 to 200 by 2 fl oz, time: \"one of 20, 30, 45 s\" } ]\n    answer-in: gal/min\n  - id: water\n    kind: one\n    text: What is in the tank when you do a catch test?\n    options:\n      - { text: Clean water, right: true, because: until the output is known no dose is safe }\n      - { text: A weak mix, because: a weak mix is still product }\n";

const SUBJECTS: [&str; 8] = [
    "The crew",
    "A steady pace",
    "The gun",
    "Each pass",
    "The edge of the lawn",
    "A worn nozzle",
    "The tank",
    "The label",
];
const VERBS: [&str; 6] = ["keeps", "changes", "shows", "limits", "follows", "decides"];
const OBJECTS: [&str; 8] = [
    "what reaches the turf",
    "the time a lawn takes",
    "how much water is left",
    "the width that counts",
    "the next refill",
    "where the wet band ends",
    "how the day is planned",
    "the amount in the jug",
];

/// A sequence of numbers that looks random and is always the same.
struct Sequence(u64);

impl Sequence {
    /// SplitMix64 (Steele, Lea and Flood, 2014, "Fast splittable pseudorandom number generators").
    fn next(&mut self) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        usize::try_from((mixed ^ (mixed >> 31)) >> 33).unwrap_or(0)
    }

    fn pick<'a>(&mut self, of: &[&'a str]) -> &'a str {
        of[self.next() % of.len()]
    }
}

/// Writes the course and says how many bytes its lessons have.
pub(crate) fn write(plan: &Plan, to: &Path) -> Result<u64, Failure> {
    let lessons = to.join("lessons");
    fs::create_dir_all(&lessons).map_err(run::about(&lessons))?;
    let mut settings = String::from(
        "id: bench\ntitle: A long course\ncompany: Invented Lawns\nlanguage: en\nunits: us\n\
         contact: nobody@example.com\nsummary: Made to be measured.\nlessons:\n",
    );
    let mut bytes = 0;
    for index in 0..plan.lessons {
        let stem = stem(index);
        let _ = writeln!(settings, "  - {stem}");
        let text = lesson(plan, index);
        bytes += text.len() as u64;
        let place = lessons.join(format!("{stem}.md"));
        fs::write(&place, text).map_err(run::about(&place))?;
    }
    if plan.quizzes {
        let questions = to.join("questions");
        fs::create_dir_all(&questions).map_err(run::about(&questions))?;
        let place = questions.join("bench.yaml");
        fs::write(&place, BANK).map_err(run::about(&place))?;
    }
    let place = to.join("course.yaml");
    fs::write(&place, settings).map_err(run::about(&place))?;
    Ok(bytes)
}

fn stem(index: usize) -> String {
    format!("lesson-{:05}", index + 1)
}

fn lesson(plan: &Plan, index: usize) -> String {
    let mut words = Sequence(index as u64);
    let mut text = format!(
        "---\ntitle: Lesson {} of many\nsummary: What the numbers of this one say.\nminutes: 5\n---\n\n",
        index + 1
    );
    let worked = index - index % plan.worked_one_in;
    let (result, example) = EXAMPLES[worked / plan.worked_one_in % EXAMPLES.len()];
    let number = if worked == index {
        let _ = write!(text, "# Worked\n\n```worked-example measured\n{example}```\n\n");
        format!("figure:measured/{result}")
    } else {
        format!("figure:{}.measured/{result}", stem(worked))
    };
    let _ = write!(
        text,
        "The example gives [this much]({number}), and {} {}.\n\n",
        words.pick(&SUBJECTS).to_lowercase(),
        words.pick(&VERBS)
    );
    if plan.quizzes {
        text.push_str("```questions bench\n```\n\n");
    }
    text.push_str("| Part | Morning | Evening |\n| :--- | ---: | ---: |\n");
    for row in 0..6 {
        let (morning, evening) = (words.next() % 90, words.next() % 90);
        let _ = writeln!(text, "| Lawn {row} | {morning} min | {evening} min |");
    }
    for section in 1.. {
        if plan.lesson_bytes <= text.len() {
            break;
        }
        let mark = if section % 3 == 0 { "##" } else { "#" };
        let _ = write!(text, "\n{mark} Part {section}\n\n");
        paragraph(&mut words, &mut text);
        let other = stem(words.next() % plan.lessons);
        let _ = write!(text, "\nThere is [more about it]({other}.md).\n\n");
        for _ in 0..3 {
            let _ = writeln!(text, "- **{}** {}", words.pick(&OBJECTS), sentence(&mut words));
        }
    }
    text
}

fn paragraph(words: &mut Sequence, text: &mut String) {
    for _ in 0..5 {
        text.push_str(&sentence(words));
        text.push('\n');
    }
}

fn sentence(words: &mut Sequence) -> String {
    format!(
        "{} *{}* {}, and {} {}.",
        words.pick(&SUBJECTS),
        words.pick(&VERBS),
        words.pick(&OBJECTS),
        words.pick(&SUBJECTS).to_lowercase(),
        words.pick(&VERBS),
    )
}

#[cfg(test)]
mod tests {
    use super::{Plan, lesson};

    #[test]
    fn lessons_are_as_long_and_as_often_worked_as_planned() {
        let plan = Plan { lessons: 100, worked_one_in: 10, quizzes: false, lesson_bytes: 4000 };
        let lessons: Vec<String> = (0..plan.lessons).map(|index| lesson(&plan, index)).collect();
        let bytes: usize = lessons.iter().map(String::len).sum();
        assert!((4000..4800).contains(&(bytes / lessons.len())), "{bytes}");
        let worked = lessons.iter().filter(|text| text.contains("```worked-example"));
        assert_eq!(worked.count(), 10);
        assert_eq!(lessons[7], lesson(&plan, 7), "the same every time");
    }
}
