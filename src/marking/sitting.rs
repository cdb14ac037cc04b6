//! One sitting counted: what its answers add to its person, and to the figures about questions and checks.

use super::answers::{Mark, MarkedAnswers, draw_of};
use super::crew::Crew;
use super::gather::Pile;
use super::items::Item;
use super::packed::{GivenAnswer, PackedAnswer, PackedSitting};
use super::person::{Missed, Person, Sat, WorkedOn};
use super::score::Marker;
use super::sittings::Counts;
use super::standing::MIXED;
use super::store::Unpack;
use super::tally::Share;
use tankside_calc::learning::schedule::Event;
use tankside_calc::question::Ask;

/// What the first answers of a sitting add up to.
#[derive(Default)]
struct Sums {
    share: Share,
    /// Questions: a mixed set is one of so many, however many parts they have.
    asked: u32,
    over: u32,
    untold: u32,
    unread: u32,
    /// Questions, and whether each was right.
    marked: Vec<(usize, bool)>,
    missed: Vec<Missed>,
}

impl Pile<'_> {
    /// Counts a sitting, or passes over its answers where another copy of it counts.
    pub(super) fn sitting<'a>(
        &self,
        sitting: PackedSitting<'a>,
        from: &mut Unpack<'a>,
        (counts, paper): (Counts, bool),
        person: &mut Person,
        crew: &mut Crew,
        marker: &mut Marker,
    ) {
        if counts == Counts::NOT {
            (0..sitting.answers).for_each(|_| _ = PackedAnswer::next(from));
            return;
        }
        person.sittings += 1;
        person.read.merge(sitting.read);
        crew.changed += sitting.changed;
        crew.answers += sitting.answers;
        let mut sums = Sums::default();
        for _ in 0..sitting.answers {
            let answer = PackedAnswer::next(from);
            let mark = self.answer(&sitting, &answer, person, marker);
            // A second try was helped; it is practice, and says nothing about the first.
            if answer.first && !answer.part {
                self.first_answer(&sitting, &answer, &mark, person, &mut sums);
                // A page asks back, and what is then left open counts as it is; a sheet of paper cannot.
                sums.unread += u32::from(paper && mark.unread);
            }
        }
        person.drilled += if sitting.drill { sums.asked } else { 0 };
        sums.of_questions(&mut crew.items);
        if sitting.counts {
            person.longest = person.longest.max(sums.asked);
            if let Some(same) = counts.place().and_then(|place| self.shared.get(place)) {
                let same = crew.same.entry(*same).or_default();
                sitting.name.clone_into(&mut same.name);
                same.add(&sums.marked.iter().map(|(_, right)| *right).collect::<Vec<_>>());
            }
            if sums.asked >= MIXED {
                person.over += sums.over;
                person.sat(sums.sat(&sitting));
            }
        }
    }

    /// Marks an answer, and counts what every answer counts for: the drill's schedule, steps and slips.
    fn answer(&self, sitting: &PackedSitting, answer: &PackedAnswer, person: &mut Person, marker: &mut Marker) -> Mark {
        // An answer's number does as well as its draw: only the same one given twice must not count twice.
        let (mark, draw) = match answer.given {
            GivenAnswer::Numbered(number) => (self.answers.get(answer.index, number), number),
            GivenAnswer::Written(draw, part, text) => {
                (MarkedAnswers::now(marker, answer.index, draw, part, text), draw)
            }
        };
        if answer.part && mark.find || answer.first && !answer.part {
            let (right, over) = (mark.right, mark.over && sitting.drill);
            let choice = self.questions.all[answer.index].question.kind != Ask::Number;
            let day = (sitting.begun / 86_400) as i32;
            // A slip of another sitting opens nothing here.
            let find = mark.find && (over || !mark.over);
            let event = Event { day, draw, right, unaided: true, over, choice, find };
            person.worked.push(WorkedOn { index: answer.index, begun: sitting.begun, event });
        }
        // Steps of a worked example are practice: whether they are right says nothing about working unaided.
        if answer.part {
            person.steps.add(mark.right);
        } else if let Some(slip) = mark.slip {
            person.slips.entry(slip).or_default().add(mark.over);
        }
        mark
    }

    /// Counts a first answer to a question.
    fn first_answer(
        &self,
        sitting: &PackedSitting,
        answer: &PackedAnswer,
        mark: &Mark,
        person: &mut Person,
        sums: &mut Sums,
    ) {
        let known = &self.questions.all[answer.index];
        person.first.merge(mark.points);
        person.topics.entry(known.topic).or_default().merge(mark.points);
        sums.share.merge(mark.points);
        sums.asked += 1;
        sums.over += u32::from(mark.over);
        sums.untold += u32::from(mark.untold);
        sums.marked.push((answer.index, mark.right));
        if mark.right {
            return;
        }
        let (draw, typed) = match answer.given {
            GivenAnswer::Numbered(number) => self.answers.wrong(answer.index, number),
            GivenAnswer::Written(draw, _, text) => (draw_of(known.question, draw), text),
        };
        if mark.slip.is_none() {
            person.odd.entry(answer.index).or_default().add(mark.like, known.is_one_number(), draw, typed);
        }
        if sitting.counts {
            let typed = typed.to_owned();
            sums.missed.push(Missed { index: answer.index, draw, typed, slip: mark.slip, over: mark.over });
        }
    }
}

impl Sums {
    /// Adds to the figures about questions; the same question twice in one sitting counts once.
    fn of_questions(&mut self, items: &mut [Item]) {
        let marked = &mut self.marked;
        marked.sort_by_key(|(index, _)| *index);
        marked.dedup_by_key(|(index, _)| *index);
        let right = marked.iter().filter(|(_, right)| *right).count() as f64;
        let others = marked.len() as f64 - 1.0;
        for (index, is_right) in marked.iter().filter(|_| others >= 1.0) {
            let rest = (right - f64::from(u8::from(*is_right))) / others;
            items[*index].add(*is_right, rest);
        }
    }

    /// The sitting as the person's row keeps it.
    fn sat(self, sitting: &PackedSitting) -> Sat {
        let [ended, id, name, code] = [sitting.ended, sitting.id, sitting.name, sitting.code].map(str::to_owned);
        let Sums { share, over, untold, unread, missed, .. } = self;
        Sat { ended, id, name, share, over, untold, unread, code, missed }
    }
}
