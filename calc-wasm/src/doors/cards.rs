//! Kept cards: the text a browser stores and a file carries, checked as it is read back, and the table of all of them.
//!
//! What is kept is what was typed, never a result: every figure is worked out again when it is opened. Numbers are kept
//! as the core reads them, 12,345.6, whatever the language of the page: a card can be opened in another.

use super::LONGEST_KEPT;
use crate::calculation::inputs::RawInputs;
use crate::calculation::worked::Worked;
use crate::card::{self as calibration, CARD, Day, again_by, is_example, ladder, work_card};
use crate::doors::notation::{as_shown, as_typed};
use crate::page::card::paper::Paper;
use crate::page::card::{self as face, area, caution_item, shown_result};
use crate::quantity::unit::units;
use crate::quantity::usual;
use crate::text::json::{Value, pairs_json, pairs_of};
use crate::words::phrases::Phrases;
use crate::words::say;
use crate::working::record::{Severity, System};

/// What a file of cards says it is.
const FORMAT: &str = "tankside-cards";
/// The version written, and the last one read.
const VERSION: usize = 1;
/// The most cards that are kept: more than any crew has operators, few enough to work out at once.
const MOST_CARDS: usize = 200;
/// Inputs of one card at most; the declaration has fewer.
const MOST_INPUTS: usize = 200;
/// Longest text of an input that is kept, in bytes: a name of 60 letters in any script.
const LONGEST: usize = 400;

/// Names and texts, as everything crosses the door to the browser: one shape, so that little code reads it.
type Pairs = Vec<(String, String)>;

/// One card: what was typed, in the notation of the core, and under `units` the system it was shown in.
#[derive(Clone, Debug, PartialEq)]
struct StoredCard(Pairs);

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

    /// The kept card that is in the form.
    fn opened(&self) -> Option<StoredCard> {
        pairs_of(&Value::read(self.text("opened"))?).map(StoredCard)
    }

    /// The form as it is, in the notation of the page's language.
    fn now(&self, phrases: &Phrases) -> Option<StoredCard> {
        let pairs = pairs_of(&Value::read(self.text("now"))?)?;
        Some(StoredCard(as_typed(&CARD, RawInputs(pairs), phrases).0))
    }
}

fn text_of<'a>(pairs: &'a Pairs, name: &str) -> &'a str {
    pairs.iter().find(|(other, _)| other == name).map_or("", |(_, text)| text.as_str())
}

/// A page's request about its saved cards, as pairs in JSON; answered by an object of texts.
///
/// `store` is the text to keep and `count` how many cards are in it; `unread` is filled where the text that was kept
/// could not be read and is no part of `store`; `opened` the card that is open, as pairs, and `shown` the same as its
/// form shows it; `html` the table of kept cards, or the cards to print, each under a note where it has run out; `said`
/// what was done, or with `refused` why not; `due` that the open card has run out.
pub fn cards_json(request: &str, phrases: &Phrases) -> String {
    let pairs = Value::read(request).and_then(|request| pairs_of(&request));
    Value::Map(answer(&Request(pairs.unwrap_or_default()), phrases)).line()
}

fn answer(request: &Request, phrases: &Phrases) -> Vec<(String, Value)> {
    let mut reply = Vec::new();
    let mut put = |name: &str, text: String| reply.push((name.to_owned(), Value::Text(text)));
    let store = request.text("store");
    let mut kept = match read(store) {
        Ok(kept) => kept,
        Err(_) if store.is_empty() => Vec::new(),
        Err(_) => {
            put("unread", "yes".to_owned());
            Vec::new()
        }
    };
    let chore = request.text("do");
    let mut opened = request.opened();
    let said = match carry_out(chore, request, &mut kept, &mut opened, phrases) {
        Ok(said) => said,
        Err(refusal) => {
            put("refused", "yes".to_owned());
            refusal
        }
    };
    let opened = opened.filter(|opened| kept.contains(opened));
    let today = Day::read(request.text("today")).ok();
    let mut paper = Paper::new(phrases);
    if chore == "print" {
        for card in &kept {
            let Some(worked) = card.work() else { continue };
            paper.raw(&due(&worked, today, phrases)).raw(&face::card(&worked, phrases));
        }
    } else {
        let system = System::from_id(request.text("units")).unwrap_or_default();
        table(&mut paper, &kept, opened.as_ref(), system, today);
    }
    put("html", paper.out);
    put("said", said.text(phrases));
    if let Some(opened) = opened {
        put("due", opened.work().map_or_else(String::new, |worked| due(&worked, today, phrases)));
        put("opened", pairs_json(&opened.0).line());
        put("shown", pairs_json(&as_shown(&CARD, RawInputs(opened.0), phrases).0).line());
    }
    put("store", written(&kept, request.text("course")));
    put("count", kept.len().to_string());
    reply
}

fn carry_out(
    chore: &str,
    request: &Request,
    kept: &mut Vec<StoredCard>,
    opened: &mut Option<StoredCard>,
    phrases: &Phrases,
) -> Result<CardWords, CardWords> {
    match chore {
        // Another window may have changed the rows since this one's table was made.
        "drop" | "open" if request.text("shown") != request.text("store") => {
            return Err(CardWords::key("card.changed-elsewhere"));
        }
        "keep" | "keep-new" => {
            let now = request.now(phrases);
            let said = keep(kept, if chore == "keep" { opened.as_ref() } else { None }, now.clone())?;
            *opened = now;
            return Ok(said);
        }
        "open" => *opened = kept.get(request.row()).cloned(),
        "drop" if request.row() < kept.len() => return Ok(kept.remove(request.row()).with_notice("card.dropped")),
        "read" => return merge(kept, request.text("file")),
        _ => {}
    }
    Ok(CardWords::key(""))
}

/// The text that is kept and exported: a line a card.
fn written(kept: &[StoredCard], course: &str) -> String {
    let mut text = format!(
        "{{\"format\":\"{FORMAT}\",\"version\":{VERSION},\"course\":{},\"cards\":[",
        Value::from(course).line()
    );
    for (index, card) in kept.iter().enumerate() {
        text.push_str(if index == 0 { "\n" } else { ",\n" });
        text.push_str(&pairs_json(&card.0).line());
    }
    text.push_str("\n]}\n");
    text
}

/// A sentence by phrase key, with its places.
struct CardWords {
    key: &'static str,
    name: String,
    added: usize,
    same: usize,
}

impl CardWords {
    fn key(key: &'static str) -> CardWords {
        CardWords { key, name: String::new(), added: 0, same: 0 }
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

impl StoredCard {
    fn work(&self) -> Option<Worked> {
        self.work_in(System::from_id(text_of(&self.0, "units"))?)
    }

    fn work_in(&self, system: System) -> Option<Worked> {
        let typed = self.0.iter().filter(|(name, _)| name != "units").cloned().collect();
        work_card(&RawInputs(typed), system).ok()
    }

    fn operator(&self) -> &str {
        text_of(&self.0, "operator")
    }

    fn with_notice(&self, key: &'static str) -> CardWords {
        CardWords { name: self.operator().to_owned(), ..CardWords::key(key) }
    }

    fn is_sound(&self) -> bool {
        let short = |text: &str| text.len() <= LONGEST;
        System::from_id(text_of(&self.0, "units")).is_some()
            && self.0.len() <= MOST_INPUTS
            && self.0.iter().all(|(name, text)| short(name) && short(text))
    }
}

/// The cards in a text that was kept or exported.
fn read(text: &str) -> Result<Vec<StoredCard>, &'static str> {
    let sane = Some(text).filter(|text| text.len() <= LONGEST_KEPT);
    let file = sane.and_then(Value::read).ok_or("card.file-broken")?;
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
    let card = |card| pairs_of(card).map(StoredCard).filter(StoredCard::is_sound);
    cards.iter().map(card).collect::<Option<_>>().ok_or("card.file-broken")
}

/// Keeps the card in the form: in place of the one it was opened from, or as a new one.
fn keep(
    kept: &mut Vec<StoredCard>,
    opened: Option<&StoredCard>,
    now: Option<StoredCard>,
) -> Result<CardWords, CardWords> {
    let now = now.filter(StoredCard::is_sound).ok_or(CardWords::key("card.not-whole"))?;
    match now.work() {
        None => return Err(CardWords::key("card.not-whole")),
        Some(worked) if is_example(&worked) => return Err(CardWords::key("card.not-the-example")),
        Some(_) => {}
    }
    if kept.contains(&now) {
        return Ok(now.with_notice("card.kept-already"));
    }
    let said = now.with_notice("card.kept-now");
    let place = opened.and_then(|opened| kept.iter().position(|card| card == opened));
    match place {
        Some(place) => kept[place] = now,
        None if kept.len() >= MOST_CARDS => return Err(CardWords::key("card.too-many")),
        None => kept.push(now),
    }
    Ok(said)
}

/// Adds a file's cards to those kept; if one card cannot be used, the whole file is refused.
fn merge(kept: &mut Vec<StoredCard>, file: &str) -> Result<CardWords, CardWords> {
    let cards = read(file).map_err(CardWords::key)?;
    if let Some(card) = cards.iter().find(|card| card.work().is_none()) {
        return Err(card.with_notice("card.file-unworkable"));
    }
    let mut merged = kept.clone();
    let mut said = CardWords::key(if cards.is_empty() { "card.file-empty" } else { "card.file-read" });
    for card in cards {
        if merged.contains(&card) {
            said.same += 1;
        } else {
            merged.push(card);
            said.added += 1;
        }
    }
    if merged.len() > MOST_CARDS {
        return Err(CardWords::key("card.too-many"));
    }
    *kept = merged;
    Ok(said)
}

/// That a calibration has run out; empty if it has not, or if that cannot be known.
fn due(worked: &Worked, today: Option<Day>, phrases: &Phrases) -> String {
    let mut paper = Paper::new(phrases);
    if let (Some(by), Some(today)) = (again_by(worked), today)
        && by < today
    {
        let day = face::day(by, phrases);
        let text = phrases.fill("card.run-out", |place| (place == "day").then(|| day.clone()));
        caution_item(&mut paper, "p", Severity::Warning, &text);
    }
    paper.out
}

/// Every kept card in a row, so that operators can be compared.
fn table(paper: &mut Paper, kept: &[StoredCard], open: Option<&StoredCard>, system: System, today: Option<Day>) {
    if kept.is_empty() {
        paper.raw("<p>").phrase("card.none-kept").raw("</p>\n");
        return;
    }
    paper
        .raw("<div class=\"tk-table tk-cards__table\" role=\"group\" tabindex=\"0\" aria-label=\"")
        .phrase("card.compare")
        .raw("\"><table>\n<thead><tr>");
    let (many, one) = (units!("1000 ft2", "100 m2").pick(system), usual::SURFACE.pick(system));
    let lawn = say::quantity(ladder::LAWNS[ladder::COMPARED] * many.size(), &one, paper.phrases);
    let unit = face::rate_unit(system).shown();
    for key in ["operator", "rate", "per-lawn", "per-tank", "date", "again", "chores"] {
        let value = if key == "rate" { &unit } else { &lawn };
        paper.raw("<th scope=\"col\">").filled(&format!("card.column.{key}"), value).raw("</th>");
    }
    paper.raw("</tr></thead>\n<tbody>\n");
    for (row, card) in kept.iter().enumerate() {
        let mark = if open == Some(card) { "\" aria-current=\"true" } else { "" };
        let (worked, operator) = (card.work_in(system), card.operator());
        paper
            .raw("<tr data-row=\"")
            .raw(&row.to_string())
            .raw(mark)
            .raw("\"><th scope=\"row\"><button type=\"button\" class=\"tk-cards__name\" data-chore=\"open\">")
            .text(operator)
            .raw("</button>");
        match worked {
            Some(worked) => figures(paper, &worked, today),
            None => {
                paper.raw("</th><td colspan=\"5\">").phrase("card.unworkable").raw("</td>");
            }
        }
        // The question that is asked before deleting travels with the button.
        paper
            .raw("<td class=\"tk-cards__chores\"><button type=\"button\" class=\"tk-button tk-button--quiet\" data-chore=\"ask\" data-sure=\"")
            .filled("card.sure", operator)
            .raw("\" aria-label=\"")
            .filled("card.delete-of", operator)
            .raw("\">")
            .phrase("card.delete")
            .raw("</button></td></tr>\n");
    }
    paper.raw("</tbody></table></div>\n");
}

fn figures(paper: &mut Paper, worked: &Worked, today: Option<Day>) {
    let (inputs, phrases) = (&worked.inputs, paper.phrases);
    paper.raw("<span class=\"tk-cards__setup\">");
    for (index, word) in [&calibration::RIG, &calibration::GUN, &calibration::TIP]
        .into_iter()
        .filter_map(|name| inputs.word(name))
        .enumerate()
    {
        paper.raw(if index == 0 { "" } else { " · " }).text(word);
    }
    let (mut rate, _) = face::rate_text(worked, phrases);
    if let Some(spread) = face::spread_text(worked, phrases) {
        rate.push('\u{a0}');
        rate.push_str(&spread);
    }
    let day = |day: Option<Day>| day.map(|day| face::day(day, phrases)).unwrap_or_default();
    let (date, by) = (inputs.word(&calibration::DATE).and_then(|text| Day::read(text).ok()), again_by(worked));
    paper.raw("</span></th><td>").text(&rate);
    paper.raw("</td><td>").quantities(&shown_result(worked, &format!("lawn-{}-volume", ladder::COMPARED + 1), phrases));
    paper.raw("</td><td>").quantities(&area(worked, "tank-area", phrases));
    paper.raw("</td><td>").text(&day(date)).raw("</td><td>").text(&day(by));
    if matches!((by, today), (Some(by), Some(today)) if by < today) {
        paper.raw(" <strong class=\"tk-cards__late\">").phrase("card.late").raw("</strong>");
    }
    paper.raw("</td>");
}
