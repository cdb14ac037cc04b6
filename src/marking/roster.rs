//! What `mark` writes: who may spray tomorrow, what to teach again on Monday, person by person, question by question.

use super::gather::Crew;
use super::questions::{LessonRef, Questions};
use super::standing::{MIXED, READY, Standing, Why};
use super::tally::{Person, Slips};
use crate::course::Course;
use crate::embedded::{TEMPLATES, text};
use serde::Serialize;
use std::collections::BTreeMap;
use std::path::Path;
use tankside_calc::mistakes::all;
use tankside_calc::question::topic::Topic;
use tankside_calc::text::figures::shown;
use tankside_calc::words::phrases::Phrases;
use tera::{Context, Tera};

/// How many slips are listed as what to teach again.
const TO_TEACH: usize = 3;
/// The most people that a page lists; the spreadsheet has them all.
const ON_PAGE: usize = 500;
/// The most questions that a page lists, those that tell you least first.
const ITEMS_ON_PAGE: usize = 40;
/// How many answers a question needs before anything is said about it.
const ENOUGH: f64 = 10.0;
/// Below this a question does not separate those who know from those who do not (Ebel and Frisbie 1991, from memory).
const TELLS_LITTLE: f64 = 0.2;
/// Width of a full bar.
const BAR: f64 = 100.0;

#[derive(Debug, Serialize)]
struct PersonRow {
    name: String,
    ready: bool,
    why: String,
    right: u32,
    of: u32,
    percent: Option<String>,
    sittings: u32,
    newest: String,
    /// Code of the newest check that counts; empty where it had none.
    code: String,
    /// Steps of worked examples that were filled in, and slips that were looked for.
    steps_right: u32,
    steps_of: u32,
    slip: String,
    topics: Vec<Option<TopicCell>>,
}

#[derive(Debug, Serialize)]
struct TopicCell {
    percent: String,
    right: u32,
    of: u32,
    /// Width of its bar.
    bar: f64,
    low: bool,
}

#[derive(Debug, Serialize)]
struct SlipRow {
    name: String,
    why: String,
    people: usize,
    times: u32,
    bar: f64,
    who: String,
    lesson: Option<Lesson>,
    over: bool,
}

#[derive(Debug, Serialize)]
struct Lesson {
    title: String,
    href: String,
    /// Whether it is no lesson but a calculator's own page.
    worked: bool,
}

#[derive(Debug, Serialize)]
struct ItemRow {
    text: String,
    id: String,
    n: f64,
    difficulty: String,
    bar: f64,
    discrimination: String,
    note: String,
}

#[derive(Debug, Serialize)]
struct CheckRow {
    name: String,
    questions: usize,
    n: f64,
    mean: String,
    reliability: String,
}

/// What a crew's records add up to, ready to be written down.
#[derive(Debug)]
pub struct Roster<'r> {
    crew: &'r Crew,
    questions: &'r Questions<'r>,
    phrases: &'r Phrases,
    topics: Vec<Topic>,
    people: Vec<(&'r str, &'r Person, Standing)>,
}

impl<'r> Roster<'r> {
    /// The roster of a crew: those who are not ready first by name, then those who are.
    pub fn new(crew: &'r Crew, questions: &'r Questions<'r>, phrases: &'r Phrases) -> Roster<'r> {
        let mut people: Vec<(&str, &Person, Standing)> =
            crew.people.iter().map(|(who, person)| (who.as_str(), person, Standing::of(person))).collect();
        people.sort_by(|one, other| {
            let key = |(who, person, _): &(&str, &Person, Standing)| (person.name.to_lowercase(), (*who).to_owned());
            key(one).cmp(&key(other))
        });
        let topics = questions.topics().into_keys().collect();
        Roster { crew, questions, phrases, topics, people }
    }

    /// How many are ready.
    pub fn ready(&self) -> usize {
        self.people.iter().filter(|(.., standing)| standing.is_ready()).count()
    }

    /// How many people there are.
    pub fn people(&self) -> usize {
        self.people.len()
    }

    /// The commonest slips: name, how many people made it, and the lesson that teaches it.
    pub fn to_teach(&self) -> Vec<(String, usize, Option<LessonRef>)> {
        self.slips()
            .into_iter()
            .take(TO_TEACH)
            .map(|(id, who, _)| (self.slip_name(id), who.len(), self.lesson_of(id)))
            .collect()
    }

    /// Slips, the most common ones first.
    fn slips(&self) -> Vec<(&'static str, Vec<&str>, Slips)> {
        let mut by_slip: BTreeMap<&'static str, (Vec<&str>, Slips)> = BTreeMap::new();
        for (_, person, _) in &self.people {
            for (slip, times) in &person.slips {
                let (who, sum) = by_slip.entry(slip).or_default();
                who.push(if person.name.is_empty() { self.phrases.get("desk.no-name") } else { &person.name });
                sum.times += times.times;
                sum.most = sum.most.max(times.most);
            }
        }
        let mut slips: Vec<_> = by_slip.into_iter().map(|(id, (who, sum))| (id, who, sum)).collect();
        slips.sort_by(|one, other| (other.1.len(), other.2.times, one.0).cmp(&(one.1.len(), one.2.times, other.0)));
        slips
    }

    fn slip_name(&self, id: &str) -> String {
        self.phrases.get(&format!("mistake.{id}.did")).to_owned()
    }

    /// The lesson on the first calculator in whose working a mistake is made, or where none teaches it that calculator's
    /// own page.
    fn lesson_of(&self, id: &str) -> Option<LessonRef> {
        let mistake = all().find(|mistake| mistake.id == id)?;
        let mut places = mistake.places.iter().flat_map(|places| places.iter()).map(|place| place.calculator);
        let lesson = places.clone().find_map(|calculator| self.questions.lesson_on(calculator)).cloned();
        lesson.or_else(|| {
            let id = places.next()?;
            let title = self.phrases.get(&format!("{id}.title")).to_owned();
            Some(LessonRef { title, href: format!("work/{id}.html") })
        })
    }

    fn why(&self, standing: &Standing) -> String {
        let Standing::NotYet(why) = standing else { return String::new() };
        let texts = why.iter().map(|why| match why {
            Why::NoMixedSet(longest) => {
                self.fill("desk.why-no-set", &[("least", &MIXED.to_string()), ("longest", &longest.to_string())])
            }
            Why::TooFewRight(right, of) => self.fill(
                "desk.why-few",
                &[("right", &right.to_string()), ("of", &of.to_string()), ("need", &self.percent(READY))],
            ),
            Why::TooMuch(count) => {
                let key = if *count == 1 { "desk.why-over-one" } else { "desk.why-over" };
                self.fill(key, &[("count", &count.to_string())])
            }
        });
        texts.collect::<Vec<_>>().join(" ")
    }

    fn percent(&self, share: f64) -> String {
        self.phrases.number(percent(share))
    }

    fn fill(&self, key: &str, values: &[(&str, &str)]) -> String {
        self.phrases
            .fill(key, |place| values.iter().find(|(name, _)| *name == place).map(|(_, value)| (*value).to_owned()))
    }

    /// The table of people for a spreadsheet, by RFC 4180: one row per person, one column per topic.
    ///
    /// A text that a spreadsheet would take for a formula has an apostrophe in front.
    pub fn csv(&self) -> Vec<u8> {
        let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
        let fixed = [
            "name",
            "ready",
            "why",
            "sittings",
            "right",
            "of",
            "percent",
            "newest",
            "code",
            "steps-right",
            "steps",
            "slip",
        ];
        let mut head: Vec<String> =
            fixed.iter().map(|column| self.phrases.get(&format!("desk.csv-{column}")).to_owned()).collect();
        head.extend(self.topics.iter().map(|topic| self.phrases.get(&format!("desk.topic-{}", topic.id())).to_owned()));
        let mut written = writer.write_record(&head);
        for (_, person, standing) in &self.people {
            let row = self.row(person, standing);
            let mut cells = vec![
                row.name,
                self.phrases.get(if row.ready { "desk.yes" } else { "desk.no" }).to_owned(),
                row.why,
                row.sittings.to_string(),
                row.right.to_string(),
                row.of.to_string(),
                row.percent.unwrap_or_default(),
                row.newest,
                row.code,
                row.steps_right.to_string(),
                row.steps_of.to_string(),
                row.slip,
            ];
            cells.extend(row.topics.into_iter().map(|topic| topic.map_or_else(String::new, |topic| topic.percent)));
            written = written.and_then(|()| writer.write_record(cells.iter().map(|cell| safe(cell))));
        }
        // Writing into memory does not fail; a record always has as many cells as the head.
        written.ok().and_then(|()| writer.into_inner().ok()).unwrap_or_default()
    }

    fn row(&self, person: &Person, standing: &Standing) -> PersonRow {
        let slip = person.slips.iter().max_by_key(|(id, slips)| (slips.times, std::cmp::Reverse(**id)));
        let topics = self.topics.iter().map(|topic| {
            let share = person.topics.get(topic)?;
            let part = share.share()?;
            Some(TopicCell {
                percent: self.percent(part),
                right: share.right,
                of: share.of,
                bar: tenths(part * BAR),
                low: part < READY,
            })
        });
        let newest = person.newest.as_ref().map(|sat| format!("{} {}", sat.name, day(&sat.ended)).trim().to_owned());
        PersonRow {
            name: if person.name.is_empty() {
                self.phrases.get("desk.no-name").to_owned()
            } else {
                person.name.clone()
            },
            ready: standing.is_ready(),
            why: self.why(standing),
            right: person.first.right,
            of: person.first.of,
            percent: person.first.share().map(|share| self.percent(share)),
            sittings: person.sittings,
            newest: newest.unwrap_or_default(),
            code: person.newest.as_ref().map(|sat| sat.code.clone()).unwrap_or_default(),
            steps_right: person.steps.right,
            steps_of: person.steps.of,
            slip: slip.map(|(id, _)| self.slip_name(id)).unwrap_or_default(),
            topics: topics.collect(),
        }
    }

    /// The page: one file that is next to its stylesheet.
    ///
    /// # Errors
    /// A template that cannot be used.
    pub fn page(&self, course: &Course, site: &str) -> Result<String, String> {
        let mut tera = Tera::default();
        tera.add_raw_templates(vec![("desk/roster.html", text(&TEMPLATES, "desk/roster.html"))])
            .map_err(|fault| fault.to_string())?;
        let words: BTreeMap<&str, &str> = self.phrases.iter().filter(|(key, _)| key.starts_with("desk.")).collect();
        let rows: Vec<PersonRow> = self.people.iter().map(|(_, person, standing)| self.row(person, standing)).collect();
        let (ready, not_yet): (Vec<_>, Vec<_>) = rows.iter().partition(|row| row.ready);
        let mut context = Context::new();
        context.insert("words", &words);
        context.insert("language", &course.settings.language);
        context.insert("course", &course.settings.title);
        context.insert("company", &course.settings.company);
        context.insert("ready", &ready.iter().take(ON_PAGE).map(|row| &row.name).collect::<Vec<_>>());
        context.insert("not_yet", &not_yet.iter().take(ON_PAGE).collect::<Vec<_>>());
        context.insert(
            "headline",
            &self.fill("desk.headline", &[("ready", &ready.len().to_string()), ("all", &rows.len().to_string())]),
        );
        context.insert("rows", &rows.iter().take(ON_PAGE).collect::<Vec<_>>());
        let more = rows.len().saturating_sub(ON_PAGE);
        context.insert("more", &(more > 0).then(|| self.fill("desk.more-people", &[("count", &more.to_string())])));
        let topics: Vec<String> = self
            .topics
            .iter()
            .map(|topic| self.phrases.get(&format!("desk.topic-{}", topic.id())).to_owned())
            .collect();
        context.insert("topics", &topics);
        context.insert("steps", &rows.iter().take(ON_PAGE).any(|row| row.steps_of > 0));
        let slips = self.slip_rows(site);
        context.insert("teach", &slips.iter().take(TO_TEACH).collect::<Vec<_>>());
        context.insert("slips", &slips);
        context.insert("items", &self.item_rows());
        context.insert("checks", &self.check_rows());
        let files = |list: Vec<(String, String)>| list;
        let refused = self.crew.refused.iter().map(|(path, why)| (file_name(path), why.clone())).collect();
        context.insert("refused", &files(refused));
        context.insert(
            "changed",
            &(self.crew.changed > 0).then(|| self.fill("desk.changed", &[("count", &self.crew.changed.to_string())])),
        );
        tera.render("desk/roster.html", &context).map_err(|fault| fault.to_string())
    }

    fn slip_rows(&self, site: &str) -> Vec<SlipRow> {
        let slips = self.slips();
        let most = slips.first().map_or(1, |(_, who, _)| who.len()) as f64;
        let row = |(id, who, sum): (&'static str, Vec<&str>, Slips)| {
            let named = who.iter().take(6).copied().collect::<Vec<_>>().join(", ");
            let rest = who.len().saturating_sub(6);
            SlipRow {
                name: self.slip_name(id),
                why: self.phrases.get(&format!("mistake.{id}.why")).to_owned(),
                people: who.len(),
                times: sum.times,
                bar: tenths(who.len() as f64 / most * BAR),
                who: if rest > 0 {
                    self.fill("desk.and-others", &[("names", &named), ("count", &rest.to_string())])
                } else {
                    named
                },
                lesson: self.lesson_of(id).map(|lesson| Lesson {
                    worked: !lesson.href.starts_with("lessons/"),
                    title: lesson.title,
                    href: if site.is_empty() {
                        String::new()
                    } else {
                        format!("{}/{}", site.trim_end_matches('/'), lesson.href)
                    },
                }),
                over: sum.most >= super::standing::OVER,
            }
        };
        slips.into_iter().map(row).collect()
    }

    /// Questions that do not separate people come first.
    fn item_rows(&self) -> Vec<ItemRow> {
        let mut rows: Vec<(f64, ItemRow)> = Vec::new();
        for (index, item) in &self.crew.items {
            let (Some(difficulty), Some(known)) = (item.difficulty(), self.questions.all.get(*index)) else { continue };
            let discrimination = item.discrimination();
            let few = item.n < ENOUGH;
            let note = match discrimination {
                _ if few => "desk.item-few",
                _ if difficulty > 0.95 => "desk.item-easy",
                Some(r) if r < 0.0 => "desk.item-backwards",
                Some(r) if r < TELLS_LITTLE => "desk.item-little",
                _ => "desk.item-good",
            };
            let rank = if few { 2.0 } else { discrimination.unwrap_or(1.0) };
            rows.push((
                rank,
                ItemRow {
                    text: plain_places(&known.question.text),
                    id: known.question.id.clone(),
                    n: item.n,
                    difficulty: self.percent(difficulty),
                    bar: tenths(difficulty * BAR),
                    discrimination: discrimination
                        .map_or_else(|| "–".to_owned(), |value| self.phrases.number(two_places(value))),
                    note: self.phrases.get(note).to_owned(),
                },
            ));
        }
        rows.sort_by(|one, other| one.0.total_cmp(&other.0).then_with(|| one.1.id.cmp(&other.1.id)));
        rows.into_iter().map(|(_, row)| row).take(ITEMS_ON_PAGE).collect()
    }

    fn check_rows(&self) -> Vec<CheckRow> {
        let mut best: BTreeMap<&str, &super::tally::Same> = BTreeMap::new();
        for same in self.crew.same.values() {
            let held = best.entry(&same.name).or_insert(same);
            if same.n > held.n {
                *held = same;
            }
        }
        let row = |same: &super::tally::Same| CheckRow {
            name: same.name.clone(),
            questions: same.right.len(),
            n: same.n,
            mean: self.percent(same.scores / same.n / (same.right.len().max(1) as f64)),
            reliability: same
                .reliability()
                .map_or_else(|| "–".to_owned(), |value| self.phrases.number(two_places(value))),
        };
        best.into_values().filter(|same| same.n > 1.0).map(row).collect()
    }
}

fn percent(share: f64) -> String {
    format!("{} %", shown(share * 100.0, if share < 0.995 { 2 } else { 3 }))
}

fn two_places(value: f64) -> String {
    let text = format!("{value:.2}");
    if text.starts_with('-') { text.replacen('-', "−", 1) } else { text }
}

fn tenths(value: f64) -> f64 {
    (value * 10.0).round() / 10.0
}

/// The day of a time as a record writes it.
fn day(time: &str) -> &str {
    time.get(..10).unwrap_or(time)
}

fn file_name(path: &Path) -> String {
    path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned())
}

/// A question's text with `…` for the numbers that differ from draw to draw.
fn plain_places(text: &str) -> String {
    tankside_calc::words::phrases::fill(text, |_| Some("…".to_owned()))
}

/// A cell that no spreadsheet will take for a formula.
pub fn safe(cell: &str) -> String {
    let first = cell.trim_start_matches([' ', '\u{a0}']).chars().next();
    let starts = matches!(first, Some('=' | '+' | '-' | '@' | '\t' | '\r' | '\n' | '＝' | '＋' | '－' | '＠'));
    if starts { format!("'{cell}") } else { cell.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_cell_is_a_formula() {
        for hostile in ["=1+1", "+1", "-1", "@x", "\tx", "\r=1", " =1", "＝1"] {
            assert!(safe(hostile).starts_with('\''), "{hostile:?}");
        }
        assert_eq!(safe("Ada"), "Ada");
        assert_eq!(safe("85 %"), "85 %");
    }

    #[test]
    fn shares_are_shown_without_noise() {
        assert_eq!((percent(0.9), percent(1.0), percent(2.0 / 3.0)), ("90 %".into(), "100 %".into(), "67 %".into()));
        assert_eq!(two_places(-0.054), "−0.05");
    }
}
