//! Reads a training record: what somebody did in a course, as the page wrote it into a file.
//!
//! A record holds questions, draws, answers and times, and no score: whoever reads it works the scores out again. A
//! file from outside is not trusted; whatever is wrong with it is a [`Refusal`] in words, never a panic.

use super::recorded::{Ahead, CourseNamed, Learner, Record, Sitting};
use super::refusal::Refusal;
use jiff::{SignedDuration, Timestamp};
use serde::Deserialize;
use std::borrow::Cow;
use tankside_calc::text::fixed_hash;

/// What a file says it is.
pub const FORMAT: &str = "tankside-training-record";
/// What a file says it is that holds all progress of a phone, for another phone.
const PROGRESS: &str = "tankside-progress";
/// The newest version that is read.
pub const VERSION: u32 = 1;
/// The largest record, bytes: years of practice, and no more than a spreadsheet of a crew can hold.
pub const LARGEST: u64 = 4 * 1024 * 1024;
/// The most answers in a record.
const MOST_ANSWERS: usize = 20_000;
/// The longest text, bytes: as many letters in any script as a page keeps of an answer (400).
const LONGEST: usize = 1_200;
/// How far ahead of ours the clock of a phone may be, hours.
const CLOCK_AHEAD: i64 = 26;

/// The time by this machine's clock.
pub fn now() -> Timestamp {
    Timestamp::now()
}

/// What a file says about itself.
#[derive(Deserialize)]
struct Head {
    format: Option<String>,
    version: Option<u64>,
    seal: Option<String>,
}

/// A file that is as it should be, in one reading.
#[derive(Deserialize)]
struct Whole<'a> {
    format: Option<String>,
    version: Option<u64>,
    seal: Option<String>,
    #[serde(borrow)]
    course: CourseNamed<'a>,
    #[serde(borrow, default)]
    learner: Learner<'a>,
    #[serde(borrow, default)]
    made: Cow<'a, str>,
    #[serde(borrow, default)]
    sittings: Vec<Sitting<'a>>,
}

/// What the seal is written after, and the bytes at the end within which that is.
const SEAL: &[u8] = b",\"seal\":";
const SEAL_ROOM: usize = 64;

/// Reads a record.
///
/// # Errors
/// Anything that is not a whole, unchanged record of a version this program knows, made before `now`. Single sittings
/// that are dated later are taken out of it, and named in it.
pub fn read(bytes: &[u8], now: Timestamp) -> Result<Record<'_>, Refusal> {
    if bytes.len() as u64 > LARGEST {
        return Err(Refusal::TooLarge(bytes.len() as u64));
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let (head, record) = whole(bytes).map_or_else(|| in_two(bytes), Ok)?;
    head.check(bytes)?;
    let mut record = match record {
        Some(record) => record,
        None => serde_json::from_slice(bytes).map_err(|fault| fault_of(&fault))?,
    };
    check(&mut record, now)?;
    Ok(record)
}

/// Both at once, if nothing is wrong with either.
fn whole(bytes: &[u8]) -> Option<(Head, Option<Record<'_>>)> {
    // A list is no record, though its items could be taken for the members in their order.
    bytes.trim_ascii_start().first().filter(|first| **first == b'{')?;
    let Whole { format, version, seal, course, learner, made, sittings } = serde_json::from_slice(bytes).ok()?;
    Some((Head { format, version, seal }, Some(Record { course, learner, made, sittings, ahead: None })))
}

/// The head alone: what is wrong with a file is said by what comes first.
fn in_two(bytes: &[u8]) -> Result<(Head, Option<Record<'_>>), Refusal> {
    serde_json::from_slice(bytes).map(|head| (head, None)).map_err(|fault| fault_of(&fault))
}

impl Head {
    fn check(&self, bytes: &[u8]) -> Result<(), Refusal> {
        if self.format.as_deref() == Some(PROGRESS) {
            return Err(Refusal::Progress);
        }
        if self.format.as_deref() != Some(FORMAT) {
            return Err(Refusal::NotARecord("it does not say that it is one".to_owned()));
        }
        match self.version {
            Some(version) if version > u64::from(VERSION) => return Err(Refusal::Newer(version)),
            Some(version) if version > 0 => {}
            _ => return Err(Refusal::NotARecord("it has no version".to_owned())),
        }
        match &self.seal {
            Some(seal) if *seal != seal_of(bytes) => Err(Refusal::Altered),
            _ => Ok(()),
        }
    }
}

fn fault_of(fault: &serde_json::Error) -> Refusal {
    match fault.classify() {
        serde_json::error::Category::Eof => Refusal::CutShort,
        serde_json::error::Category::Data => Refusal::NotARecord(format!(
            "a page writes something else at line {}, column {}",
            fault.line(),
            fault.column()
        )),
        _ => Refusal::NotJson(fault.line(), fault.column()),
    }
}

/// Whether a record ends in a seal, as a page writes it; without one, a change by hand would not show.
pub(super) fn is_sealed(bytes: &[u8]) -> bool {
    let end = bytes.trim_ascii_end();
    let tail = &end[end.len().saturating_sub(SEAL_ROOM)..];
    tail.windows(SEAL.len()).any(|window| window == SEAL)
}

/// The seal of a record's text: of everything before its last member, which is the seal.
pub fn seal_of(bytes: &[u8]) -> String {
    let end = bytes.windows(SEAL.len()).rposition(|window| window == SEAL).unwrap_or(bytes.len());
    fixed_hash::seal(&bytes[..end])
}

fn check(record: &mut Record, now: Timestamp) -> Result<(), Refusal> {
    short(&record.learner.name, "the name")?;
    short(&record.learner.id, "the id of the learner")?;
    short(&record.course.id, "the course")?;
    short(&record.course.title, "the title of the course")?;
    let latest = now.checked_add(SignedDuration::from_hours(CLOCK_AHEAD)).unwrap_or(now);
    let day = |at: Timestamp| at.strftime("%Y-%m-%d").to_string();
    let answers: usize = record.sittings.iter().map(|sitting| sitting.answers.len()).sum();
    if answers > MOST_ANSWERS {
        return Err(Refusal::Impossible(format!("{answers} answers")));
    }
    if let Some(made) = time(&record.made, "the file")?.filter(|made| *made > latest) {
        return Err(Refusal::FromTheFuture(day(made)));
    }
    let (of, mut ahead) = (record.sittings.len(), Vec::new());
    for (place, sitting) in record.sittings.iter().enumerate() {
        let newest = newest(sitting)?.filter(|newest| *newest > latest);
        ahead.extend(newest.map(|newest| (newest, place)));
    }
    let Some((newest, _)) = ahead.iter().max() else { return Ok(()) };
    if ahead.len() == of {
        return Err(Refusal::FromTheFuture(day(*newest)));
    }
    record.ahead = Some(Ahead { sittings: ahead.len(), of, day: day(*newest) });
    let mut out = ahead.iter().map(|(_, place)| *place).peekable();
    let mut place = 0..;
    record.sittings.retain(|_| place.next().is_none_or(|place| out.next_if_eq(&place).is_none()));
    Ok(())
}

/// The latest time in a sitting.
fn newest(sitting: &Sitting) -> Result<Option<Timestamp>, Refusal> {
    for (text, what) in [
        (&sitting.id, "the id of a sitting"),
        (&sitting.name, "the name of a sitting"),
        (&sitting.code, "an exam code"),
    ] {
        short(text, what)?;
    }
    let (begun, ended) = (time(&sitting.begun, "a sitting")?, time(&sitting.ended, "a sitting")?);
    if let (Some(begun), Some(ended)) = (begun, ended)
        && ended < begun
    {
        return Err(Refusal::Impossible(format!(
            "a sitting that ended ({}) before it began ({})",
            sitting.ended, sitting.begun
        )));
    }
    let mut newest = begun.max(ended);
    for answer in &sitting.answers {
        short(&answer.question, "the name of a question")?;
        short(&answer.answer, "an answer")?;
        short(&answer.digest, "a digest")?;
        short(&answer.part, "a part of a question")?;
        newest = newest.max(time(&answer.at, "an answer")?);
    }
    Ok(newest)
}

fn short(text: &str, what: &str) -> Result<(), Refusal> {
    if text.len() > LONGEST { Err(Refusal::TooLong(what.to_owned())) } else { Ok(()) }
}

fn time(text: &str, of: &str) -> Result<Option<Timestamp>, Refusal> {
    if text.is_empty() {
        return Ok(None);
    }
    text.parse().map(Some).map_err(|_| {
        Refusal::Impossible(format!("the time of {of} is not a time: “{}”", text.chars().take(40).collect::<String>()))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn now() -> Timestamp {
        "2026-06-01T12:00:00Z".parse().expect("a time")
    }

    fn text(more: &str) -> String {
        format!(
            "{{\"format\":\"{FORMAT}\",\"version\":1,\"course\":{{\"id\":\"c\"}},\"learner\":{{\"name\":\"Ada\",\"id\":\"1\"}},\
             \"made\":\"2026-05-01T08:00:00Z\",\"sittings\":[{more}]}}"
        )
    }

    fn sealed(text: &str) -> String {
        let open = text.strip_suffix('}').expect("an object");
        format!("{open},\"seal\":\"{}\"}}", seal_of(open.as_bytes()))
    }

    #[test]
    fn a_record_is_read_with_and_without_its_seal() {
        let whole = text("{\"id\":\"s\",\"kind\":\"check\",\"answers\":[{\"question\":\"q\",\"answer\":\"2 gal\"}]}");
        let record = read(whole.as_bytes(), now()).expect("a record");
        assert_eq!(record.sittings[0].answers[0].attempt, 1);
        assert_eq!(read(sealed(&whole).as_bytes(), now()).expect("sealed"), record);
        let escaped = whole.replace("2 gal", "2\\u0020gal");
        assert_eq!(read(escaped.as_bytes(), now()).expect("with an escape"), record);
    }

    #[test]
    fn a_text_that_was_copied_and_broken_anew_keeps_its_seal() {
        let whole = sealed(&text(""));
        assert_eq!(read(whole.replace(":[", ":\r\n  [").as_bytes(), now()), read(whole.as_bytes(), now()));
    }

    #[test]
    fn sittings_dated_in_the_future_are_left_out_of_a_record_with_others() {
        let sitting =
            |id: &str, day: &str| format!("{{\"id\":\"{id}\",\"kind\":\"exam\",\"begun\":\"{day}T08:00:00Z\"}}");
        let days = [("a", "2026-05-01"), ("b", "2031-02-03"), ("c", "2026-05-02"), ("d", "2030-01-01")];
        let all = days.map(|(id, day)| sitting(id, day)).join(",");
        let all = text(&all);
        let record = read(all.as_bytes(), now()).expect("two of them are right");
        assert_eq!(record.sittings.iter().map(|one| &*one.id).collect::<Vec<_>>(), ["a", "c"]);
        let ahead = record.ahead.expect("two were left out");
        assert_eq!(ahead, Ahead { sittings: 2, of: 4, day: "2031-02-03".to_owned() });
        assert!(ahead.to_string().starts_with("2 of its 4 sittings are dated in the future (2031-02-03)"), "{ahead}");
        let answered = text(&format!(
            "{},{{\"id\":\"s\",\"kind\":\"exam\",\"begun\":\"2026-05-01T08:00:00Z\",\"answers\":[{{\"question\":\"q\",\"answer\":\"\",\"at\":\"2031-05-01T08:00:00Z\"}}]}}",
            sitting("a", "2026-05-01")
        ));
        let record = read(answered.as_bytes(), now()).expect("one of them is right");
        assert_eq!(record.sittings.len(), 1, "by the time of an answer too");
    }

    #[test]
    fn what_is_wrong_with_a_file_is_reported() {
        let changed = sealed(&text("")).replace("Ada", "Eve");
        assert_eq!(read(changed.as_bytes(), now()), Err(Refusal::Altered));
        let whole = text("");
        assert_eq!(read(&whole.as_bytes()[..whole.len() - 9], now()), Err(Refusal::CutShort));
        assert!(matches!(read(b"[1]", now()), Err(Refusal::NotARecord(_))));
        assert_eq!(read(b"hello", now()), Err(Refusal::NotJson(1, 1)));
        assert!(matches!(read(b"{}", now()), Err(Refusal::NotARecord(_))));
        assert_eq!(read(whole.replace("\"version\":1", "\"version\":9").as_bytes(), now()), Err(Refusal::Newer(9)));
        let future = whole.replace("2026-05-01", "2031-05-01");
        assert_eq!(read(future.as_bytes(), now()), Err(Refusal::FromTheFuture("2031-05-01".to_owned())));
        let whole_future = text("{\"id\":\"s\",\"kind\":\"exam\",\"begun\":\"2031-05-02T08:00:00Z\"}");
        assert_eq!(
            read(whole_future.as_bytes(), now()),
            Err(Refusal::FromTheFuture("2031-05-02".to_owned())),
            "every sitting in it"
        );
        let long = whole.replace("Ada", &"a".repeat(LONGEST + 1));
        assert_eq!(read(long.as_bytes(), now()), Err(Refusal::TooLong("the name".to_owned())));
        let backwards = text(
            "{\"id\":\"s\",\"kind\":\"exam\",\"begun\":\"2026-05-01T08:00:00Z\",\"ended\":\"2026-05-01T07:00:00Z\"}",
        );
        assert!(matches!(read(backwards.as_bytes(), now()), Err(Refusal::Impossible(_))));
        assert!(matches!(read(&vec![b' '; LARGEST as usize + 1], now()), Err(Refusal::TooLarge(_))));
        let deep = "[".repeat(100_000);
        assert!(read(deep.as_bytes(), now()).is_err());
    }
}
