//! From files of records to a crew: every file is read twice, first for what it contains and whether it can be trusted,
//! then for its answers. That way the same sitting in several files counts once, and no more than one record is held at
//! a time.

use super::paper;
use super::questions::Questions;
use super::record::{self, LARGEST, Record, Refusal, Sitting};
use super::score::Marker;
use super::standing::{MIXED, OVER};
use super::tally::{Item, Person, Same, Sat, Share};
use crate::course::Course;
use crate::parallel::threads;
use jiff::Timestamp;
use std::collections::{BTreeMap, HashMap};
use std::fs::{self, File};
use std::io::Read;
use std::path::{Path, PathBuf};
use std::thread;
use tankside_calc::text::fixed_hash;

/// What all the records say together.
#[derive(Debug, Default)]
pub struct Crew {
    /// People by who they are: the random id of their phone's profile, or the name on paper.
    pub people: BTreeMap<String, Person>,
    /// What was answered to each question, by its place in the course.
    pub items: BTreeMap<usize, Item>,
    /// Sittings of the same questions, by check and questions.
    pub same: BTreeMap<u64, Same>,
    /// Files that were counted.
    pub counted: usize,
    /// Answers that were marked.
    pub answers: u64,
    /// Answers to questions that have since changed or gone.
    pub changed: u64,
    /// Files that are not counted, and why; in the order of their names.
    pub refused: Vec<(PathBuf, String)>,
    /// Files whose contents are all in newer files.
    pub repeated: Vec<PathBuf>,
}

/// Finds the files under the paths named: records (`.json`) and answers from paper (`.csv`), in the order of their
/// names.
///
/// Folders are searched, but for `roster`, where the last roster is; links inside them are not followed. A path that
/// does not exist is reported with the reason.
pub fn files(paths: &[PathBuf], roster: &Path) -> (Vec<PathBuf>, Vec<(PathBuf, String)>) {
    let (mut found, mut faults) = (Vec::new(), Vec::new());
    let roster = fs::canonicalize(roster).ok();
    let is_roster = |path: &Path| roster.is_some() && fs::canonicalize(path).ok() == roster;
    for path in paths {
        if path.is_file() {
            found.push(path.clone());
            continue;
        }
        let entries = walkdir::WalkDir::new(path).sort_by_file_name().into_iter();
        for entry in entries.filter_entry(|entry| !(entry.file_type().is_dir() && is_roster(entry.path()))) {
            match entry {
                Ok(entry) if entry.file_type().is_file() && is_wanted(entry.path()) => found.push(entry.into_path()),
                Ok(_) => {}
                Err(fault) => {
                    let place = fault.path().unwrap_or(path).to_path_buf();
                    let why = fault.io_error().map_or_else(|| fault.to_string(), ToString::to_string);
                    faults.push((place, Refusal::Unreadable(why).to_string()));
                }
            }
        }
    }
    (found, faults)
}

fn is_wanted(path: &Path) -> bool {
    let ending = path.extension().and_then(|ending| ending.to_str()).unwrap_or_default();
    ending.eq_ignore_ascii_case("json") || is_paper(path)
}

fn is_paper(path: &Path) -> bool {
    path.extension().and_then(|ending| ending.to_str()).is_some_and(|ending| ending.eq_ignore_ascii_case("csv"))
}

/// Reads and marks all files; a file that cannot be counted does not stop the others.
pub fn gather(files: &[PathBuf], course: &Course, now: Timestamp) -> Crew {
    let questions = Questions::of(course);
    let parts = split(files.len());
    let first: Vec<Vec<FirstReading>> =
        each(&parts, |range| range.clone().map(|index| hold(index, &files[index], &course.settings.id, now)).collect());
    let mut crew = Crew::default();
    let mut refused = vec![false; files.len()];
    let mut winners: HashMap<u64, (usize, usize)> = HashMap::new();
    for (index, held) in first.into_iter().flatten().enumerate() {
        match held {
            Err(why) => {
                refused[index] = true;
                crew.refused.push((files[index].clone(), why));
            }
            Ok(held) => {
                for (key, answers) in held.sittings {
                    let best = winners.entry(key).or_insert((index, answers));
                    // Of two copies the fuller one counts, and of equal ones the first by name.
                    if answers > best.1 {
                        *best = (index, answers);
                    }
                }
            }
        }
    }
    let second: Vec<Crew> = each(&parts, |range| {
        let mut part = Crew::default();
        let mut marker = Marker::new(&questions);
        for index in range.clone().filter(|index| !refused[*index]) {
            mark_file(index, &files[index], course, &questions, &winners, now, &mut marker, &mut part);
        }
        part
    });
    second.into_iter().for_each(|part| crew.merge(part));
    crew.refused.sort();
    crew
}

/// What the first reading keeps of a file.
struct Holding {
    /// Key of each sitting, and how many answers it has.
    sittings: Vec<(u64, usize)>,
}

/// A file read for the first time, or why it cannot be counted.
type FirstReading = Result<Holding, String>;

fn hold(index: usize, file: &Path, course: &str, now: Timestamp) -> FirstReading {
    let bytes = bytes(file)?;
    if is_paper(file) {
        paper::read(&bytes).map_err(|fault| fault.to_string())?;
        return Ok(Holding { sittings: Vec::new() });
    }
    let record = record::read(&bytes, now).map_err(|refusal| refusal.to_string())?;
    if record.course.id != course {
        return Err(Refusal::OtherCourse(record.course.id).to_string());
    }
    let who = who(&record, index);
    let sittings = record.sittings.iter().map(|sitting| (key(&who, &sitting.id), sitting.answers.len())).collect();
    Ok(Holding { sittings })
}

fn bytes(file: &Path) -> Result<Vec<u8>, String> {
    let unreadable = |fault: std::io::Error| Refusal::Unreadable(fault.to_string()).to_string();
    let about = fs::metadata(file).map_err(unreadable)?;
    if !about.is_file() {
        return Err(Refusal::Unreadable("it is not a file".to_owned()).to_string());
    }
    if about.len() > LARGEST {
        return Err(Refusal::TooLarge(about.len()).to_string());
    }
    let mut bytes = Vec::with_capacity(about.len() as usize);
    // A file may grow while it is read; no more than the limit is taken in any case.
    File::open(file).and_then(|open| open.take(LARGEST + 1).read_to_end(&mut bytes)).map_err(unreadable)?;
    Ok(bytes)
}

/// Whose record it is: the random id of a profile, else the name, else somebody known only from this file.
fn who(record: &Record, index: usize) -> String {
    match (record.learner.id.trim(), record.learner.name.trim()) {
        ("", "") => format!("file {index}"),
        ("", name) => format!("name {name}"),
        (id, _) => format!("id {id}"),
    }
}

/// A short key of a person or of a person's sitting.
fn key(who: &str, sitting: &str) -> u64 {
    fixed_hash::of([who, "\u{0}", sitting].iter().flat_map(|piece| piece.bytes()))
}

/// Parts of a list for each thread.
fn split(count: usize) -> Vec<std::ops::Range<usize>> {
    let parts = threads().clamp(1, count.max(1));
    (0..parts).map(|part| count * part / parts..count * (part + 1) / parts).collect()
}

fn each<R: Send>(parts: &[std::ops::Range<usize>], work: impl Fn(&std::ops::Range<usize>) -> R + Sync) -> Vec<R> {
    thread::scope(|scope| {
        let work = &work;
        let threads: Vec<_> = parts.iter().map(|part| scope.spawn(move || work(part))).collect();
        threads
            .into_iter()
            .map(|thread| thread.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)))
            .collect()
    })
}

#[allow(clippy::too_many_arguments, reason = "one place calls it, with what the second reading needs")]
fn mark_file(
    index: usize,
    file: &Path,
    course: &Course,
    questions: &Questions,
    winners: &HashMap<u64, (usize, usize)>,
    now: Timestamp,
    marker: &mut Marker,
    crew: &mut Crew,
) {
    let read = match bytes(file) {
        Ok(read) => read,
        // It existed a moment ago.
        Err(why) => return crew.refused.push((file.to_path_buf(), why)),
    };
    if is_paper(file) {
        match paper::sittings(&read, course) {
            Ok((sheets, faults)) => {
                crew.counted += usize::from(!sheets.is_empty() || faults.is_empty());
                let told = |fault: paper::PaperFault| (file.to_path_buf(), fault.to_string());
                crew.refused.extend(faults.into_iter().map(told));
                for (name, sitting) in sheets {
                    let who = format!("name {name}");
                    crew.people.entry(who.clone()).or_default().name = name;
                    crew.sitting(&who, &sitting, questions, marker);
                }
            }
            Err(fault) => crew.refused.push((file.to_path_buf(), fault.to_string())),
        }
        return;
    }
    let record = match record::read(&read, now) {
        Ok(record) => record,
        Err(refusal) => return crew.refused.push((file.to_path_buf(), refusal.to_string())),
    };
    let who = who(&record, index);
    let own = |sitting: &&Sitting| winners.get(&key(&who, &sitting.id)).is_some_and(|(winner, _)| *winner == index);
    let sittings: Vec<&Sitting> = record.sittings.iter().filter(own).collect();
    if sittings.is_empty() && !record.sittings.is_empty() {
        return crew.repeated.push(file.to_path_buf());
    }
    crew.counted += 1;
    let person = crew.people.entry(who.clone()).or_default();
    if (&record.made, &record.learner.name) > (&person.made, &person.name) {
        (person.made, person.name) = (record.made.clone(), record.learner.name.trim().to_owned());
    }
    for sitting in sittings {
        crew.sitting(&who, sitting, questions, marker);
    }
}

impl Crew {
    /// Marks one sitting and adds it to the counts.
    fn sitting(&mut self, who: &str, sitting: &Sitting, questions: &Questions, marker: &mut Marker) {
        let Some(person) = self.people.get_mut(who) else { return };
        person.sittings += 1;
        let mut marked: BTreeMap<usize, bool> = BTreeMap::new();
        let mut sat = Sat {
            ended: sitting.ended.clone(),
            id: sitting.id.clone(),
            name: sitting.name.clone(),
            share: Share::default(),
            over: 0,
            code: sitting.code.clone(),
        };
        // A mixed set is one of so many questions, however many parts they have.
        let mut asked = 0;
        for answer in &sitting.answers {
            let Some(index) = questions.find(&answer.question, &answer.digest) else {
                self.changed += 1;
                continue;
            };
            self.answers += 1;
            // Steps of a worked example are practice: whether they are right says nothing about working unaided.
            if !answer.part.is_empty() {
                person.steps.add(marker.part(index, answer.draw, &answer.part, &answer.answer));
                continue;
            }
            let mark = marker.mark(index, answer.draw, &answer.answer);
            if let Some(slip) = mark.slip {
                person.slips.entry(slip).or_default().add(mark.dose);
            }
            // A second try was helped; it is practice, and says nothing about the first.
            if answer.attempt != 1 {
                continue;
            }
            person.first.merge(mark.points);
            person.topics.entry(questions.all[index].topic).or_default().merge(mark.points);
            sat.share.merge(mark.points);
            asked += 1;
            sat.over += u32::from(mark.dose.is_some_and(|dose| dose >= OVER));
            // The same question twice in one sitting counts once in the figures about questions.
            marked.entry(index).or_insert(mark.right);
        }
        let right = marked.values().filter(|right| **right).count() as f64;
        let others = marked.len() as f64 - 1.0;
        for (index, is_right) in &marked {
            if others >= 1.0 {
                let rest = (right - f64::from(u8::from(*is_right))) / others;
                self.items.entry(*index).or_default().add(*is_right, rest);
            }
        }
        if sitting.kind.counts() && !sitting.ended.is_empty() {
            person.longest = person.longest.max(asked);
            let which: String = marked.keys().map(|index| format!(" {index}")).collect();
            let same = self.same.entry(key(&sitting.name, &which)).or_default();
            same.name.clone_from(&sitting.name);
            same.add(&marked.values().copied().collect::<Vec<_>>());
            if asked >= MIXED {
                person.sat(sat);
            }
        }
    }

    /// Adds what another thread found.
    fn merge(&mut self, other: Crew) {
        for (who, person) in other.people {
            self.people.entry(who).or_default().merge(person);
        }
        for (index, item) in other.items {
            self.items.entry(index).or_default().merge(&item);
        }
        for (asked, same) in other.same {
            self.same.entry(asked).or_default().merge(same);
        }
        self.counted += other.counted;
        self.answers += other.answers;
        self.changed += other.changed;
        self.refused.extend(other.refused);
        self.repeated.extend(other.repeated);
    }

    /// Adds answers from paper to the person of that name, where exactly one profile carries it.
    pub fn join_by_name(&mut self) {
        let names: Vec<String> =
            self.people.keys().filter_map(|who| who.strip_prefix("name ")).map(str::to_owned).collect();
        for name in names {
            let same = |(who, person): &(&String, &Person)| {
                who.starts_with("id ") && person.name.to_lowercase() == name.to_lowercase()
            };
            let mut found = self.people.iter().filter(same).map(|(who, _)| who.clone());
            if let (Some(who), None) = (found.next(), found.next())
                && let Some(paper) = self.people.remove(&format!("name {name}"))
                && let Some(person) = self.people.get_mut(&who)
            {
                person.merge(paper);
            }
        }
    }
}
