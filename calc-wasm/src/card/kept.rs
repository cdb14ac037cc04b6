//! Kept cards: the text a browser stores and a file carries, read back with suspicion, and the table of all of them.
//!
//! What is kept is what was typed, never a result: every figure is worked again by whoever opens it.

use super::face::{self, area, caution_item, operator};
use super::{Day, again_by, ladder::COMPARED_LAWN, work_card};
use crate::escape::{html, quantities};
use crate::given::Given;
use crate::phrases::Phrases;
use crate::record::{Severity, System};
use crate::say;
use crate::unit::Unit;
use crate::wire::json;
use crate::worked::Worked;
use serde::{Deserialize, Serialize};

/// What a file of cards says it is.
const FORMAT: &str = "tankside-cards";
/// The version written, and the last one read.
const VERSION: u32 = 1;
/// Cards that are kept at most: more than any crew has walkers, few enough to be worked at once.
const MOST_CARDS: usize = 200;
/// Inputs of one card at most; the declaration has fewer.
const MOST_INPUTS: usize = 200;
/// Longest text of an input that is kept; nobody types more.
const LONGEST: usize = 200;

/// One card: what was typed, and the units it was shown in.
#[derive(Clone, Debug, Deserialize, PartialEq, Serialize)]
struct Kept {
    units: String,
    given: Vec<(String, String)>,
}

#[derive(Serialize)]
struct FileWire<'a> {
    format: &'a str,
    version: u32,
    course: &'a str,
    cards: &'a [Kept],
}

/// What a file claims to be, before its cards are looked at.
#[derive(Deserialize)]
struct Claim {
    #[serde(default)]
    format: String,
    #[serde(default)]
    version: u32,
}

#[derive(Deserialize)]
struct Cards {
    cards: Vec<Kept>,
}

/// What a page asks.
#[derive(Deserialize)]
#[serde(default)]
#[derive(Default)]
struct Request {
    /// `keep`, `keep-new`, `open`, `drop`, `read`, `print`, or `show` for the table alone.
    r#do: String,
    course: String,
    /// The kept text, empty where nothing is kept.
    store: String,
    /// The kept text that the page's table was made from.
    shown: String,
    /// The kept card that is open in the form.
    opened: Option<Kept>,
    /// The card as it stands in the form.
    now: Option<Kept>,
    /// A row of the table, from 0.
    row: usize,
    /// The text of a file.
    file: String,
    units: String,
    /// The day of the reader's clock, as year-month-day; empty where it is not known.
    today: String,
}

#[derive(Default, Serialize)]
struct Reply {
    /// The text to keep.
    store: String,
    /// Whether the text that was kept could not be read, and is no part of `store`.
    unread: bool,
    count: usize,
    opened: Option<Kept>,
    /// The table of kept cards, or cards to print.
    html: String,
    /// What was done or refused, in a sentence; empty where nothing need be said.
    said: String,
    refused: bool,
    /// A caution that the open card has run out; empty where it has not.
    due: String,
}

/// A page's wish about its kept cards, JSON in and out.
pub fn cards_json(request: &str, phrases: &Phrases) -> String {
    let request: Request = serde_json::from_str(request).unwrap_or_default();
    json(&answer(request, phrases))
}

fn answer(mut request: Request, phrases: &Phrases) -> Reply {
    let mut reply = Reply::default();
    let mut kept = read(&request.store).unwrap_or_else(|_| {
        reply.unread = !request.store.is_empty();
        Vec::new()
    });
    let place = request.opened.as_ref().and_then(|opened| kept.iter().position(|card| card == opened));
    let done = match request.r#do.as_str() {
        // Another window may have changed the rows since this one's table was made.
        "drop" | "open" if request.shown != request.store => Err(Said::key("card.changed-elsewhere")),
        "keep" => keep(&mut kept, place, &request),
        "keep-new" => keep(&mut kept, None, &request),
        "drop" => drop_row(&mut kept, request.row),
        "read" => merge(&mut kept, &request.file),
        "open" => {
            request.opened = kept.get(request.row).cloned();
            Ok(Said::default())
        }
        _ => Ok(Said::default()),
    };
    if request.r#do.starts_with("keep") && done.is_ok() {
        request.opened = request.now.clone();
    }
    let said = done.unwrap_or_else(|key| {
        reply.refused = true;
        key
    });
    reply.said = said.text(phrases);
    let opened = request.opened.filter(|opened| kept.contains(opened));
    let system = System::from_id(&request.units).unwrap_or_default();
    let today = Day::read(&request.today).ok();
    reply.html = if request.r#do == "print" {
        kept.iter().filter_map(Kept::work).map(|worked| face::card(&worked, phrases)).collect()
    } else {
        table(&kept, opened.as_ref(), system, today, phrases)
    };
    reply.due = opened.as_ref().and_then(|card| due(&card.work()?, today?, phrases)).unwrap_or_default();
    let file = FileWire { format: FORMAT, version: VERSION, course: &request.course, cards: &kept };
    (reply.count, reply.store, reply.opened) = (kept.len(), json(&file), opened);
    reply
}

/// A sentence by phrase key, with its places.
#[derive(Default)]
struct Said {
    key: &'static str,
    name: String,
    added: usize,
    same: usize,
}

impl Said {
    fn key(key: &'static str) -> Said {
        Said { key, ..Said::default() }
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
        self.work_in(System::from_id(&self.units)?)
    }

    fn work_in(&self, system: System) -> Option<Worked> {
        work_card(&Given(self.given.clone()), system).ok()
    }

    fn operator(&self) -> &str {
        self.given.iter().find(|(name, _)| name == "operator").map_or("", |(_, text)| text.as_str())
    }

    fn said(&self, key: &'static str) -> Said {
        Said { key, name: self.operator().to_owned(), ..Said::default() }
    }

    fn is_sound(&self) -> bool {
        let short = |text: &str| text.len() <= LONGEST;
        System::from_id(&self.units).is_some()
            && self.given.len() <= MOST_INPUTS
            && self.given.iter().all(|(name, text)| short(name) && short(text))
    }
}

/// The cards in a text that was kept or exported.
fn read(text: &str) -> Result<Vec<Kept>, &'static str> {
    let claim: Claim = serde_json::from_str(text).map_err(|fault| match fault.classify() {
        serde_json::error::Category::Data => "card.file-foreign",
        _ => "card.file-broken",
    })?;
    if claim.format != FORMAT {
        return Err("card.file-foreign");
    }
    if claim.version != VERSION {
        return Err("card.file-newer");
    }
    let cards: Cards = serde_json::from_str(text).map_err(|_| "card.file-broken")?;
    if cards.cards.len() > MOST_CARDS {
        return Err("card.too-many");
    }
    if cards.cards.iter().all(Kept::is_sound) { Ok(cards.cards) } else { Err("card.file-broken") }
}

/// Keeps the card in the form: in place of the one it was opened from, or as a new one.
fn keep(kept: &mut Vec<Kept>, place: Option<usize>, request: &Request) -> Result<Said, Said> {
    let now = request.now.as_ref().filter(|now| now.is_sound() && now.work().is_some());
    let now = now.ok_or(Said::key("card.not-whole"))?;
    match place {
        _ if kept.contains(now) => return Ok(now.said("card.kept-already")),
        Some(place) => kept[place] = now.clone(),
        None if kept.len() >= MOST_CARDS => return Err(Said::key("card.too-many")),
        None => kept.push(now.clone()),
    }
    Ok(now.said("card.kept-now"))
}

fn drop_row(kept: &mut Vec<Kept>, row: usize) -> Result<Said, Said> {
    if row >= kept.len() {
        return Ok(Said::default());
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
                html(card.operator()),
                html(phrases.get("card.unworkable"))
            )),
        }
        chores(card.operator(), phrases, &mut out);
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody></table></div>\n");
    out
}

fn figures(worked: &Worked, today: Option<Day>, phrases: &Phrases, out: &mut String) {
    let inputs = &worked.inputs;
    let setup: Vec<&str> = ["rig", "gun", "tip"].iter().filter_map(|name| inputs.word(name)).collect();
    out.push_str(&format!(
        "<th scope=\"row\">{}<span class=\"tk-cards__setup\">{}</span></th>",
        html(operator(worked)),
        html(&setup.join(" · "))
    ));
    let (number, unit) = face::rate_text(worked);
    let spread = face::spread_text(worked).map_or_else(String::new, |spread| format!(" {spread}"));
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

/// The buttons of a row; deleting asks once more, in the row itself.
fn chores(operator: &str, phrases: &Phrases, out: &mut String) {
    let button = |chore: &str| {
        let named = phrases.fill("card.chore-of", |place| match place {
            "chore" => Some(phrases.get(&format!("card.chore.{chore}")).to_owned()),
            "operator" => Some(operator.to_owned()),
            _ => None,
        });
        format!(
            "<button type=\"button\" class=\"tk-button tk-button--quiet\" data-do=\"{chore}\" aria-label=\"{}\">{}</button>\n",
            html(&named),
            html(phrases.get(&format!("card.chore.{chore}")))
        )
    };
    out.push_str("<td class=\"tk-cards__chores\"><div data-role=\"chores\">");
    ["open", "ask"].iter().for_each(|chore| out.push_str(&button(chore)));
    let sure = phrases.fill("card.sure", |place| (place == "operator").then(|| operator.to_owned()));
    out.push_str(&format!("</div><div data-role=\"sure\" hidden><p>{}</p>\n", html(&sure)));
    ["drop", "stay"].iter().for_each(|chore| out.push_str(&button(chore)));
    out.push_str("</div></td>");
}
