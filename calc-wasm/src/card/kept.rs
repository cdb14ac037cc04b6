//! Kept cards: the text a browser stores and a file carries, read back with suspicion, and the table of all of them.
//!
//! What is kept is what was typed, never a result: every figure is worked again by whoever opens it.

use super::face::{self, area, caution_item, operator};
use super::{Day, again_by, ladder::COMPARED_LAWN, work_card};
use crate::escape::{html, quantities};
use crate::given::Given;
use crate::json::{Value, map};
use crate::phrases::Phrases;
use crate::record::{Severity, System};
use crate::say;
use crate::unit::Unit;
use crate::wire::{pairs_json, pairs_of};
use crate::worked::Worked;

/// What a file of cards says it is.
const FORMAT: &str = "tankside-cards";
/// The version written, and the last one read.
const VERSION: usize = 1;
/// Cards that are kept at most: more than any crew has walkers, few enough to be worked at once.
const MOST_CARDS: usize = 200;
/// Inputs of one card at most; the declaration has fewer.
const MOST_INPUTS: usize = 200;
/// Longest text of an input that is kept; nobody types more.
const LONGEST: usize = 200;

/// Names and texts, as everything crosses the door to the browser: one shape, so that little code reads it.
type Pairs = Vec<(String, String)>;

/// One card: what was typed, and under `units` the system it was shown in.
#[derive(Clone, Debug, PartialEq)]
struct Kept(Pairs);

/// What a page asks: `do` is `keep`, `keep-new`, `open`, `drop`, `read`, `print`, or `show` for the table alone.
struct Request(Pairs);

impl Request {
    /// The text under a name, empty where there is none: `course`; `store`, the kept text; `shown`, the kept text that
    /// the page's table was made from; `row` of the table, from 0; `file`, a file's text; `units`; `today`, the day of
    /// the reader's clock.
    fn text(&self, name: &str) -> &str {
        text_of(&self.0, name)
    }

    fn row(&self) -> usize {
        self.text("row").parse().unwrap_or(usize::MAX)
    }

    /// A card in the request: `opened`, the kept one that is in the form, or `now`, the form as it stands.
    fn card(&self, name: &str) -> Option<Kept> {
        pairs_of(&Value::read(self.text(name))?).map(Kept)
    }
}

fn text_of<'a>(pairs: &'a Pairs, name: &str) -> &'a str {
    pairs.iter().find(|(other, _)| other == name).map_or("", |(_, text)| text.as_str())
}

/// A page's wish about its kept cards, as pairs in JSON; answered by an object of texts.
///
/// `store` is the text to keep and `count` how many cards are in it; `unread` is filled where the text that was kept
/// could not be read and is no part of `store`; `opened` the card that is open, as pairs; `html` the table of kept
/// cards, or the cards to print; `said` what was done, or with `refused` why not; `due` that the open card has run out.
pub fn cards_json(request: &str, phrases: &Phrases) -> String {
    let pairs = Value::read(request).and_then(|request| pairs_of(&request));
    let request = Request(pairs.unwrap_or_default());
    let reply = answer(&request, phrases).into_iter().filter(|(_, text)| !text.is_empty());
    map(reply.map(|(name, text)| (name, Value::from(text))).collect()).line()
}

fn answer(request: &Request, phrases: &Phrases) -> [(&'static str, String); 8] {
    let store = request.text("store");
    let read = read(store);
    let unread = read.is_err() && !store.is_empty();
    let mut kept = read.unwrap_or_default();
    let mut opened = request.card("opened");
    let place = opened.as_ref().and_then(|opened| kept.iter().position(|card| card == opened));
    let chore = request.text("do");
    let done = match chore {
        // Another window may have changed the rows since this one's table was made.
        "drop" | "open" if request.text("shown") != store => Err(Said::key("card.changed-elsewhere")),
        "keep" | "keep-new" => keep(&mut kept, place.filter(|_| chore == "keep"), request.card("now")),
        "drop" => drop_row(&mut kept, request.row()),
        "read" => merge(&mut kept, request.text("file")),
        _ => Ok(Said::key("")),
    };
    match chore {
        "keep" | "keep-new" if done.is_ok() => opened = request.card("now"),
        "open" if done.is_ok() => opened = kept.get(request.row()).cloned(),
        _ => {}
    }
    opened = opened.filter(|opened| kept.contains(opened));
    let refused = if done.is_err() { "yes" } else { "" };
    let said = done.unwrap_or_else(|refusal| refusal).text(phrases);
    let today = Day::read(request.text("today")).ok();
    let html = if chore == "print" {
        kept.iter().filter_map(Kept::work).map(|worked| face::card(&worked, phrases)).collect()
    } else {
        table(&kept, opened.as_ref(), System::from_id(request.text("units")).unwrap_or_default(), today, phrases)
    };
    let due = opened.as_ref().and_then(|card| due(&card.work()?, today?, phrases)).unwrap_or_default();
    [
        ("store", written(&kept, request.text("course"))),
        ("count", kept.len().to_string()),
        ("unread", if unread { "yes" } else { "" }.to_owned()),
        ("opened", opened.map(|card| pairs_json(&card.0).line()).unwrap_or_default()),
        ("html", html),
        ("said", said),
        ("refused", refused.to_owned()),
        ("due", due),
    ]
}

/// The text that is kept and exported.
fn written(kept: &[Kept], course: &str) -> String {
    let cards: Vec<String> = kept.iter().map(|card| pairs_json(&card.0).line()).collect();
    let course = Value::from(course).line();
    format!(
        "{{\"format\":\"{FORMAT}\",\"version\":{VERSION},\"course\":{course},\"cards\":[\n{}\n]}}\n",
        cards.join(",\n")
    )
}

/// A sentence by phrase key, with its places.
struct Said {
    key: &'static str,
    name: String,
    added: usize,
    same: usize,
}

impl Said {
    fn key(key: &'static str) -> Said {
        Said { key, name: String::new(), added: 0, same: 0 }
    }

    fn text(&self, phrases: &Phrases) -> String {
        if self.key.is_empty() {
            return String::new();
        }
        phrases.fill(self.key, |place| match place {
            "operator" => Some(self.name.clone()),
            "added" => Some(self.added.to_string()),
            "same" => Some(self.same.to_string()),
            "most" => Some(MOST_CARDS.to_string()),
            _ => None,
        })
    }
}

impl Kept {
    fn work(&self) -> Option<Worked> {
        self.work_in(System::from_id(text_of(&self.0, "units"))?)
    }

    fn work_in(&self, system: System) -> Option<Worked> {
        let typed = self.0.iter().filter(|(name, _)| name != "units");
        work_card(&Given(typed.cloned().collect()), system).ok()
    }

    fn operator(&self) -> &str {
        text_of(&self.0, "operator")
    }

    fn said(&self, key: &'static str) -> Said {
        Said { name: self.operator().to_owned(), ..Said::key(key) }
    }

    fn is_sound(&self) -> bool {
        let short = |text: &str| text.len() <= LONGEST;
        System::from_id(text_of(&self.0, "units")).is_some()
            && self.0.len() <= MOST_INPUTS
            && self.0.iter().all(|(name, text)| short(name) && short(text))
    }
}

/// The cards in a text that was kept or exported.
fn read(text: &str) -> Result<Vec<Kept>, &'static str> {
    let file = Value::read(text).ok_or("card.file-broken")?;
    if file.get("format").text() != Some(FORMAT) {
        return Err("card.file-foreign");
    }
    if file.get("version").whole() != Some(VERSION) {
        return Err("card.file-newer");
    }
    let cards = file.get("cards").list().ok_or("card.file-broken")?;
    if cards.len() > MOST_CARDS {
        return Err("card.too-many");
    }
    let card = |card| pairs_of(card).map(Kept).filter(Kept::is_sound);
    cards.iter().map(card).collect::<Option<_>>().ok_or("card.file-broken")
}

/// Keeps the card in the form: in place of the one it was opened from, or as a new one.
fn keep(kept: &mut Vec<Kept>, place: Option<usize>, now: Option<Kept>) -> Result<Said, Said> {
    let now = now.filter(|now| now.is_sound() && now.work().is_some()).ok_or(Said::key("card.not-whole"))?;
    if kept.contains(&now) {
        return Ok(now.said("card.kept-already"));
    }
    let said = now.said("card.kept-now");
    match place {
        Some(place) => kept[place] = now,
        None if kept.len() >= MOST_CARDS => return Err(Said::key("card.too-many")),
        None => kept.push(now),
    }
    Ok(said)
}

fn drop_row(kept: &mut Vec<Kept>, row: usize) -> Result<Said, Said> {
    if row >= kept.len() {
        return Ok(Said::key(""));
    }
    Ok(kept.remove(row).said("card.dropped"))
}

/// Adds a file's cards to those kept; a file of which one card cannot be used is refused whole.
fn merge(kept: &mut Vec<Kept>, file: &str) -> Result<Said, Said> {
    let cards = read(file).map_err(Said::key)?;
    if let Some(card) = cards.iter().find(|card| card.work().is_none()) {
        return Err(card.said("card.file-unworkable"));
    }
    let mut merged = kept.clone();
    let mut said = Said::key(if cards.is_empty() { "card.file-empty" } else { "card.file-read" });
    for card in cards {
        if merged.contains(&card) {
            said.same += 1;
        } else {
            merged.push(card);
            said.added += 1;
        }
    }
    if merged.len() > MOST_CARDS {
        return Err(Said::key("card.too-many"));
    }
    *kept = merged;
    Ok(said)
}

fn due(worked: &Worked, today: Day, phrases: &Phrases) -> Option<String> {
    let by = again_by(worked)?;
    let text = phrases.fill("card.run-out", |place| (place == "day").then(|| face::day(by, phrases)));
    (by < today).then(|| caution_item("p", Severity::Warning, &text, phrases))
}

/// Every kept card in a row, so that operators stand side by side.
fn table(kept: &[Kept], open: Option<&Kept>, system: System, today: Option<Day>, phrases: &Phrases) -> String {
    if kept.is_empty() {
        return format!("<p>{}</p>\n", html(phrases.get("card.none-kept")));
    }
    let label = html(phrases.get("card.compare"));
    let mut out = format!(
        "<div class=\"tk-table tk-cards__table\" role=\"group\" tabindex=\"0\" aria-label=\"{label}\"><table>\n<thead><tr>"
    );
    let (many, one) = system.pick(("1000 ft2", "ft2"), ("100 m2", "m2"));
    let lawn = say::quantity(5.0 * Unit::of(many).size(), &Unit::of(one));
    for key in ["operator", "rate", "per-lawn", "per-tank", "date", "again", "chores"] {
        let text = phrases.fill(&format!("card.column.{key}"), |place| (place == "lawn").then(|| lawn.clone()));
        out.push_str(&format!("<th scope=\"col\">{}</th>", quantities(&text)));
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for (row, card) in kept.iter().enumerate() {
        let opened = open == Some(card);
        let mark = if opened { " aria-current=\"true\"" } else { "" };
        out.push_str(&format!("<tr data-row=\"{row}\"{mark}>"));
        match card.work_in(system) {
            Some(worked) => figures(&worked, today, phrases, &mut out),
            None => out.push_str(&format!(
                "<th scope=\"row\">{}</th><td colspan=\"5\">{}</td>",
                name(card.operator()),
                html(phrases.get("card.unworkable"))
            )),
        }
        chores(card.operator(), phrases, &mut out);
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody></table></div>\n");
    out
}

/// An operator's name, which opens the card.
fn name(operator: &str) -> String {
    format!("<button type=\"button\" class=\"tk-cards__name\" data-chore=\"open\">{}</button>", html(operator))
}

fn figures(worked: &Worked, today: Option<Day>, phrases: &Phrases, out: &mut String) {
    let inputs = &worked.inputs;
    let setup: Vec<&str> = ["rig", "gun", "tip"].iter().filter_map(|name| inputs.word(name)).collect();
    out.push_str(&format!(
        "<th scope=\"row\">{}<span class=\"tk-cards__setup\">{}</span></th>",
        name(operator(worked)),
        html(&setup.join(" · "))
    ));
    let (number, unit) = face::rate_text(worked);
    let spread = face::spread_text(worked).map_or_else(String::new, |spread| format!("\u{a0}{spread}"));
    let lawn = worked.result(&format!("lawn-{COMPARED_LAWN}-volume"));
    let date = inputs.word("date").and_then(|text| Day::read(text).ok());
    let date = date.map(|date| face::day(date, phrases)).unwrap_or_default();
    for text in [
        format!("{number}{spread} {unit}"),
        lawn.map(|found| say::outcome(found, phrases)).unwrap_or_default(),
        area(worked.result("tank-area"), worked),
        date,
    ] {
        out.push_str(&format!("<td>{}</td>", quantities(&text)));
    }
    let by = again_by(worked);
    let late = matches!((by, today), (Some(by), Some(today)) if by < today);
    let by = by.map(|by| face::day(by, phrases)).unwrap_or_default();
    let late = if late {
        format!(" <strong class=\"tk-cards__late\">{}</strong>", html(phrases.get("card.late")))
    } else {
        String::new()
    };
    out.push_str(&format!("<td>{}{late}</td>", html(&by)));
}

/// The button that asks whether to delete; the question travels with it.
fn chores(operator: &str, phrases: &Phrases, out: &mut String) {
    let about = |key: &str| html(&phrases.fill(key, |place| (place == "operator").then(|| operator.to_owned())));
    out.push_str(&format!(
        "<td class=\"tk-cards__chores\"><button type=\"button\" class=\"tk-button tk-button--quiet\" data-chore=\"ask\" data-sure=\"{}\" aria-label=\"{}\">{}</button></td>",
        about("card.sure"),
        about("card.delete-of"),
        html(phrases.get("card.delete"))
    ));
}
