//! `tankside mark` and `tankside sheet` from outside: records and paper in, a roster out.

mod drill_slips;
mod hostile;
mod paper;
mod roster;
mod typed;

use serde_json::{Value, json};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use tankside::embedded::{CONTENT, DEMO};
use tankside::load::{Layered, Memory};
use tankside::marking::record::seal_of;
use tankside::{Resolved, resolve};
use tankside_calc::question::{Ask, Question};

/// A folder of its own for a test, removed at the end.
struct Folder(PathBuf);

impl Folder {
    fn new(name: &str) -> Folder {
        let place = std::env::temp_dir().join(format!("tankside-mark-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&place);
        fs::create_dir_all(&place).expect("a folder for the test");
        Folder(place)
    }

    fn write(&self, name: &str, bytes: &[u8]) -> PathBuf {
        let place = self.0.join(name);
        fs::write(&place, bytes).expect("a file of the test");
        place
    }

    /// A file's text, with plain spaces where a page has some that do not break.
    fn read(&self, name: &str) -> String {
        self.as_written(name).replace('\u{a0}', " ")
    }

    fn as_written(&self, name: &str) -> String {
        fs::read_to_string(self.0.join(name)).unwrap_or_else(|fault| panic!("{name}: {fault}"))
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}

fn tankside(at: &Path, words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_tankside")).current_dir(at).args(words).output().expect("the program runs")
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).expect("what is printed is UTF-8")
}

fn demo() -> Resolved {
    resolve(&Layered(vec![&Memory::of(&DEMO), &Memory::of(&CONTENT)]))
}

/// A question's right answer as somebody types it, or as a record holds the choice.
fn right_answer(question: &Question, draw: u32) -> String {
    match question.kind {
        // Of several parts, all answers in one text.
        Ask::Number => {
            let posed = question.draw_parts(draw).expect("a draw that is offered");
            let each = posed.iter().map(|posed| tankside_calc::quantity::written::quantity(posed.si, &posed.unit));
            each.collect::<Vec<_>>().join(tankside_calc::question::parts::BETWEEN)
        }
        Ask::Order => (0..question.options.len()).map(|index| index.to_string()).collect::<Vec<_>>().join(","),
        _ => {
            let right = question.options.iter().enumerate().filter(|(_, option)| option.right);
            right.map(|(index, _)| index.to_string()).collect::<Vec<_>>().join(",")
        }
    }
}

/// One answer of a record.
fn answer(question: &Question, draw: u32, typed: &str) -> Value {
    json!({
        "question": question.id, "digest": question.digest(), "draw": draw, "answer": typed,
        "at": "2026-05-04T08:10:00Z", "try": 1
    })
}

/// A record as a page saves it, with its seal at the end.
fn sealed(record: &Value) -> String {
    let text = record.to_string();
    let open = text.strip_suffix('}').expect("an object");
    format!("{open},\"seal\":\"{}\"}}", seal_of(open.as_bytes()))
}

/// A record of one sitting of a check.
fn record(name: &str, id: &str, sitting: &str, answers: Vec<Value>) -> Value {
    json!({
        "format": "tankside-training-record", "version": 1,
        "course": { "id": demo().course().expect("the demo resolves").settings.id, "title": "", "digest": "" },
        "learner": { "name": name, "id": id }, "made": "2026-05-04T09:00:00Z",
        "sittings": [{
            "id": sitting, "kind": "check", "name": "first-week", "code": "", "begun": "2026-05-04T08:00:00Z",
            "ended": "2026-05-04T08:30:00Z", "answers": answers
        }]
    })
}
