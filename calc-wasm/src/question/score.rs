//! Marking: an answer against a question, by the same core that worked it.

use super::template::{Posed, TemplateFault};
pub use super::ways::TradeFactor;
use super::{Ask, Question};
use crate::mistakes::{Fitting, Recognised, dose_of, fitting, is_percent_off, named, otherwise};
use crate::quantity::kind::Kind;
use crate::quantity::order::{order, within};
use crate::quantity::reply::{self, Fit, Reply};
use crate::quantity::typed::{Misread, Side, Typed, took_fluid_ounces};
use crate::quantity::unit::{Unit, unit};
use crate::text::figures::{to_figures, without_noise};

/// Figures of an answer that is used for mixing.
pub(super) const FIGURES: usize = 3;
/// Figures below which an answer is so coarse that it may be asked for one more.
pub(super) const COARSE: usize = 2;
/// How far the right value rounded to two figures may be from it.
const COARSE_WITHIN: f64 = 0.05;

/// What was answered.
#[derive(Clone, Debug, PartialEq)]
pub enum Answer {
    /// Nothing.
    Nothing,
    /// As typed.
    Text(String),
    /// An option's number.
    One(usize),
    /// Numbers of options: all that are right, or the order.
    Many(Vec<usize>),
}

/// The verdict.
#[derive(Debug)]
pub enum Verdict {
    /// Right.
    Right,
    /// Right, but rounded so far that it is not to be mixed with; it earns its points.
    Coarse,
    /// Not right, with the mistake that a number shows; none where no known one fits.
    Wrong(Option<Recognised>),
    /// Not marked: something has to be asked first.
    Ask(Query),
}

impl Verdict {
    /// Whether the answer earns its points.
    pub fn is_right(&self) -> bool {
        matches!(self, Verdict::Right | Verdict::Coarse)
    }
}

/// What has to be asked before an answer can be marked.
#[derive(Debug, PartialEq)]
pub enum Query {
    /// Nothing was answered.
    Empty,
    /// A number without a unit: the number as it was typed, and what the unit measures.
    Unit(String, Kind),
    /// A unit that is not known, and what it should measure.
    UnitUnknown(Kind),
    /// A unit of another kind: what it is, what is wanted.
    Kind(Option<Kind>, Kind),
    /// No number.
    Number,
    /// A comma that groups nothing: what was typed, with a point for it.
    Comma(String),
    /// A point with three digits after it that may group thousands: what was typed, without it.
    Point(String),
    /// A bare `oz` that could be either.
    Ounces,
    /// Over or under: the right number without a sign, where the right one is below zero.
    Side,
    /// So few figures that two different things look alike: the answer as it was typed.
    Figure(String),
}

impl Query {
    /// What is asked about a comma that groups nothing: whether it is a decimal point, if it is the only one.
    pub(crate) fn comma(text: &str) -> Query {
        match text.split_once(',') {
            // In "1.350,5" the points group thousands.
            Some((whole, rest)) if !rest.contains([',', '.']) => {
                Query::Comma(format!("{}.{rest}", whole.replace('.', "")))
            }
            _ => Query::Number,
        }
    }
}

/// `1650 ft2` for `1.650 ft2`, where the only point has three digits after it and may group thousands.
fn grouped_by_point(text: &str) -> Option<String> {
    let (whole, rest) = text.split_once('.')?;
    let digits = |text: &str| text.bytes().take_while(u8::is_ascii_digit).count();
    let before = whole.bytes().rev().take_while(u8::is_ascii_digit).count();
    let groups = (1..=3).contains(&before) && !whole[whole.len() - before..].starts_with('0') && digits(rest) == 3;
    (groups && !rest.contains(['.', ','])).then(|| [whole, rest].concat())
}

/// A note that goes with a verdict.
#[derive(Clone, Debug, PartialEq)]
pub enum Note {
    /// The answer as it was typed, for a sentence that names a slip.
    Wrote(String),
    /// The answer was reached with a factor that the trade rounds.
    Trade(&'static TradeFactor),
    /// A bare `oz` was read as fluid ounces.
    FluidOunces,
}

/// The notes that go with the verdict on an answer to a number question.
pub fn notes(posed: &Posed, answer: &Answer) -> Vec<Note> {
    let Answer::Text(text) = answer else { return Vec::new() };
    let Ok(reply) = reply::read(counted(posed, text.trim()), &posed.unit) else { return Vec::new() };
    let short = reply.fit == Fit::PerMissing && took_fluid_ounces(text, Kind::Volume);
    let ounces = (short || reply.fit == Fit::FluidOunces).then_some(Note::FluidOunces);
    let fits = matches!(reply.fit, Fit::Own | Fit::FluidOunces | Fit::PerMissing);
    let trade = posed.trade_factor(reply.si).filter(|_| fits).map(Note::Trade);
    ounces.into_iter().chain(trade).chain([Note::Wrote(text.trim().to_owned())]).collect()
}

/// The verdict on an answer to a number question that was posed.
pub fn number(posed: &Posed, answer: &Answer) -> Verdict {
    let text = match answer {
        Answer::Text(text) if !text.trim().is_empty() => text.trim(),
        _ => return Verdict::Ask(Query::Empty),
    };
    let verdict = typed(posed, text);
    // "1,455 gal" is 1455 gal, unless no known mistake leads there and 1.455 gal would have been right.
    if matches!(verdict, Verdict::Wrong(None)) && !text.as_bytes().contains(&b'.') && text.matches(',').count() == 1 {
        let pointed = text.replace(',', ".");
        if typed(posed, &pointed).is_right() {
            return Verdict::Ask(Query::Comma(pointed));
        }
    }
    // "1.650 ft²" is 1.65 ft², unless 1650 ft² would have been right.
    if matches!(verdict, Verdict::Wrong(_))
        && let Some(whole) = grouped_by_point(text)
        && typed(posed, &whole).is_right()
    {
        return Verdict::Ask(Query::Point(whole));
    }
    verdict
}

/// "4 visits" without the noun, where the question counts visits: what is counted need not be left out.
fn counted<'t>(posed: &Posed, text: &'t str) -> &'t str {
    if posed.counts.is_empty() {
        return text;
    }
    let number = text.trim_end_matches(|letter: char| !letter.is_ascii_digit());
    let noun = text[number.len()..].to_lowercase();
    let named = |word: &str| {
        let stem = word.trim_end_matches('s');
        stem.len() > 2
            && posed.counts.split(|letter: char| !letter.is_alphabetic()).any(|own| own.trim_end_matches('s') == stem)
    };
    let mut words = noun.trim_end_matches('.').split_whitespace().peekable();
    if words.peek().is_some() && words.all(named) { number } else { text }
}

/// The verdict on an answer as it was typed.
fn typed(posed: &Posed, text: &str) -> Verdict {
    let kind = Kind::of(&posed.unit).unwrap_or(Kind::Number);
    let reply = match reply::read(counted(posed, text), &posed.unit) {
        Ok(reply) => reply,
        Err(Misread::UnitUnknown(_)) => return Verdict::Ask(Query::UnitUnknown(kind)),
        Err(Misread::Comma) => return Verdict::Ask(Query::comma(text)),
        Err(_) => return Verdict::Ask(Query::Number),
    };
    if perhaps_an_are(posed, &reply, text) {
        return Verdict::Ask(Query::UnitUnknown(kind));
    }
    match reply.fit {
        Fit::Own | Fit::FluidOunces => of_reply(posed, &reply, text),
        // "How many fluid ounces is that on 1000 ft2?" is answered with fluid ounces.
        Fit::PerMissing if posed.names_per => of_reply(posed, &reply, text),
        // "How many times 1000 ft²?" is answered with a bare number.
        Fit::Missing if posed.unit.first().is_some_and(|atom| atom.counts.is_some()) => of_reply(posed, &reply, text),
        Fit::PerMissing => Verdict::Ask(Query::Kind(Kind::of(&reply.unit), kind)),
        Fit::Missing => Verdict::Ask(Query::Unit(text.to_owned(), kind)),
        Fit::OuncesOpen => Verdict::Ask(Query::Ounces),
        Fit::Other => Verdict::Ask(Query::Kind(Kind::of(&reply.unit), kind)),
    }
}

/// Where the answer is metric, the `a` of "1.8 a" or "34 mL/a" may be an are, a hundred square meters, and no acre.
fn perhaps_an_are(posed: &Posed, reply: &Reply, text: &str) -> bool {
    let acre = unit!("acre");
    let metric = |unit: &Unit| unit.parts().all(|(part, _)| Some(part) == acre.first() || !part.us);
    reply.unit.has(acre) && !posed.unit.is_us() && metric(&reply.unit) && !text.to_lowercase().contains("ac")
}

/// The verdict on a reply whose unit fits.
fn of_reply(posed: &Posed, reply: &Reply, text: &str) -> Verdict {
    let si = reply.si;
    if reply.side == Side::Open && posed.si < 0.0 && si > 0.0 && is_percent_off(posed.calculator, &posed.result) {
        // Without a side, it may be the right answer or a mistake in the other direction. 88 % for 12 % under is a mistake.
        let under = of_value(posed, reply, -si, text);
        let named = matches!(of_value(posed, reply, si, text), Verdict::Wrong(Some(_)));
        return match under {
            Verdict::Wrong(None) if named => of_value(posed, reply, si, text),
            Verdict::Wrong(None) => under,
            _ => Verdict::Ask(Query::Side),
        };
    }
    of_value(posed, reply, si, text)
}

/// A reply to a question whose unit fits.
pub(super) fn read(posed: &Posed, text: &str) -> Option<Reply> {
    let reply = reply::read(counted(posed, text.trim()), &posed.unit).ok()?;
    match reply.fit {
        Fit::Own | Fit::FluidOunces => Some(reply),
        Fit::PerMissing if posed.names_per => Some(reply),
        _ => None,
    }
}

/// Product on the lawn as a share of what was meant, if a wrong answer is used and nothing else goes wrong: as the
/// mistake says that it shows, and where it shows none, as what was asked decides. `None` where the answer is not
/// wrong, or this number alone does not decide it.
pub fn dose(posed: &Posed, answer: &Answer, verdict: &Verdict) -> Option<f64> {
    match (verdict, answer) {
        (Verdict::Wrong(Some(shown)), _) if !shown.mistake.places.is_empty() => shown.dose,
        (Verdict::Wrong(_), Answer::Text(text)) => {
            let reply = read(posed, text)?;
            let unit = if reply.unit.dim() == posed.unit.dim() { reply.unit } else { posed.unit };
            dose_of(&posed.right_working(), &Typed { si: reply.si, unit })
        }
        _ => None,
    }
}

/// Whether an answer is what was wanted, rounded to this many figures. Some round once, some round what was rounded to
/// three figures.
pub(super) fn rounds_to(si: f64, wanted: f64, unit: &Unit, figures: usize) -> bool {
    let (value, wanted) = (without_noise(si / unit.size()), wanted / unit.size());
    [wanted, to_figures(wanted, FIGURES)].iter().any(|from| {
        // Exactly halfway, some round up and some to the even figure: 1.25 is 1.3 or 1.2.
        let short = || without_noise(to_figures(value, figures)) == value;
        let halfway = |to: f64| order(to, *from).is_eq() && short();
        without_noise(to_figures(*from, figures)) == value
            || [-1.0, 1.0].iter().any(|side| halfway(value + side * 0.5 * last_place(*from, figures)))
    })
}

/// What one in the last of so many figures of a value is.
fn last_place(value: f64, figures: usize) -> f64 {
    let (mut place, size) = (1.0, value.abs());
    while place * 10.0 <= size {
        place *= 10.0;
    }
    while place > size && place > 1e-12 {
        place /= 10.0;
    }
    (1..figures).fold(place, |place, _| place / 10.0)
}

fn of_value(posed: &Posed, reply: &Reply, si: f64, text: &str) -> Verdict {
    let unit = if reply.unit.dim() == posed.unit.dim() { &reply.unit } else { &posed.unit };
    let (answer, problem) = (Typed { si, unit: *unit }, posed.right_working());
    let value = without_noise(si / unit.size());
    let rounded = |figures: usize| rounds_to(si, posed.si, unit, figures);
    // Right to the last of three figures is right, whatever else it may look like.
    if rounded(FIGURES) {
        return Verdict::Right;
    }
    let (least, most) = reply.figures();
    let right = posed.accepts(si);
    let near = within(si, posed.si, COARSE_WITHIN * posed.si.abs());
    let coarse = !right && near && (COARSE..=most.min(6)).any(rounded);
    let place = place(value, reply.coarse / unit.size()) * unit.size();
    if (right || coarse) && least <= COARSE && fitting(&problem, &answer, place) != Fitting::None {
        return Verdict::Ask(Query::Figure(text.to_owned()));
    }
    if right {
        return Verdict::Right;
    }
    if coarse {
        let over = posed.breaks_label(si);
        return if over { Verdict::Wrong(Some(Recognised::over_label())) } else { Verdict::Coarse };
    }
    if least < COARSE && within(si, posed.si, 0.5 * reply.coarse) {
        return Verdict::Ask(Query::Figure(text.to_owned()));
    }
    match fitting(&problem, &answer, place) {
        Fitting::One(mistake) => Verdict::Wrong(Some(named(&problem, mistake, &answer))),
        Fitting::Several if least <= COARSE => Verdict::Ask(Query::Figure(text.to_owned())),
        Fitting::Several => Verdict::Wrong(None),
        Fitting::None => Verdict::Wrong(otherwise(&problem, &answer, place)),
    }
}

/// What one in the last figure of an answer is, in its unit: of 1500 that may be 100, for its zeros may only hold the
/// place; of 50 it is 1, for an answer of one figure stands for too much.
fn place(value: f64, coarse: f64) -> f64 {
    let (mut second, size) = (1.0, value.abs());
    while second * 100.0 <= size {
        second *= 10.0;
    }
    while second * 10.0 > size && second > 1e-12 {
        second /= 10.0;
    }
    coarse.min(second)
}

/// Marks an answer to a choice or an order.
pub fn choice(question: &Question, answer: &Answer) -> Verdict {
    let right: Vec<usize> = match question.kind {
        Ask::Order => (0..question.options.len()).collect(),
        _ => (0..question.options.len()).filter(|index| question.options[*index].right).collect(),
    };
    let given = match answer {
        Answer::One(index) => vec![*index],
        Answer::Many(indexes) if !indexes.is_empty() => indexes.clone(),
        _ => return Verdict::Ask(Query::Empty),
    };
    let same = match question.kind {
        Ask::Order => given == right,
        _ => given.len() == right.len() && right.iter().all(|index| given.contains(index)),
    };
    if same { Verdict::Right } else { Verdict::Wrong(None) }
}

/// The verdict on an answer to a question at a draw, and of a number question the problem that was posed.
///
/// # Errors
/// What is wrong with a number question's template, or that the numbers of this draw cannot be worked.
pub fn judge(question: &Question, draw: u32, answer: &Answer) -> Result<(Verdict, Option<Posed>), TemplateFault> {
    if question.kind != Ask::Number {
        return Ok((choice(question, answer), None));
    }
    let posed = question.draw(draw)?;
    Ok((number(&posed, answer), Some(posed)))
}
