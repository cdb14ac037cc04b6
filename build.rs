//! Makes ready, once when the program is built, what would otherwise be worked out at every start: the stock's YAML read,
//! phrases put in order, scripts and styles made compact, and all that the core makes of the stock's own words and
//! questions, whatever the course. `src/embedded.rs` carries it.
//!
//! What people edit stays in `content/` and `templates/`: nothing that is made here is kept in the tree, so none of it can
//! be out of date.
//!
//! The files of the program that are taken in here use the core, general-purpose libraries and each other, and nothing else
//! of the program.

#![allow(unreachable_pub, reason = "files of the program are read here whose items others see")]

#[allow(dead_code, reason = "the program reads what is written with it")]
#[path = "src/course/ahead.rs"]
mod ahead;
#[path = "src/site/work/asks.rs"]
mod asks;
#[path = "src/yaml/bytes.rs"]
mod bytes;
#[path = "src/site/card.rs"]
mod card;
#[path = "src/site/compact.rs"]
mod compact;
#[path = "src/notation/curved.rs"]
mod curved;
#[path = "src/site/work/facts.rs"]
mod facts;
#[path = "src/site/work/formula.rs"]
mod formula;
#[allow(dead_code, reason = "the tests use the rest")]
#[path = "src/course/offered.rs"]
mod offered;
#[path = "src/site/phrases.rs"]
mod phrases;
#[path = "src/embedded/questions.rs"]
mod questions;
#[path = "src/yaml/recorded.rs"]
mod recorded;
#[path = "src/site/scripts.rs"]
mod scripts;
#[path = "src/site/spoken.rs"]
mod spoken;
#[path = "src/course/topics.rs"]
mod topics;

use bytes::Bytes;
use recorded::{AS_WRITTEN, STYLES};
use saphyr_parser::{Event, Parser};
use serde::Deserialize;
use std::collections::BTreeMap;
use std::error::Error;
use std::path::{Path, PathBuf};
use std::{env, fs, io};
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::words::phrases::Phrases;
use tankside_calc::working::record::System;

type Made<T> = Result<T, Box<dyn Error>>;

/// What this reads, and what is embedded as it is: the macro that does that sees no change.
const SOURCES: [&str; 17] = [
    "build.rs",
    "src/course",
    "src/embedded",
    "src/notation",
    "src/yaml/bytes.rs",
    "src/yaml/recorded.rs",
    "src/site/card.rs",
    "src/site/compact.rs",
    "src/site/phrases.rs",
    "src/site/scripts.rs",
    "src/site/spoken.rs",
    "src/site/work",
    "calc-wasm/src",
    "content",
    "site-demo",
    "templates",
    "calc-wasm/pkg",
];
/// The stock's lists and settings, which become JSON.
const LISTS: [&str; 6] = ["cautions", "exam-sheet", "glossary", "work", "language.yaml", "limits.yaml"];

/// The way into the core.
const ENTRY: &str = "calc-wasm/pkg/core.js";

fn main() -> Made<()> {
    for source in SOURCES {
        println!("cargo::rerun-if-changed={source}");
    }
    let root = PathBuf::from(env::var("CARGO_MANIFEST_DIR")?);
    let ready = PathBuf::from(env::var("OUT_DIR")?).join("ready");
    if ready.exists() {
        fs::remove_dir_all(&ready)?;
    }
    let put = |name: &Path, bytes: &[u8]| -> io::Result<()> {
        let place = ready.join(name);
        fs::create_dir_all(place.parent().unwrap_or(&ready))?;
        fs::write(place, bytes)
    };
    for list in LISTS {
        for name in files(&root, &Path::new("content").join(list))? {
            let read: serde_yaml::Value = serde_yaml::from_str(&text(&root, &name)?).map_err(about(&name))?;
            put(&name.with_extension("json"), serde_json::to_string(&read)?.as_bytes())?;
        }
    }
    for name in files(&root, Path::new("content/questions"))? {
        // What has none is read as an author's file is, with everything that is wrong with it.
        let text = text(&root, &name)?;
        if let Some(events) = events(&text) {
            put(&name, &events)?;
        }
        if let Some(bank) = questions::bank(&text) {
            put(&Path::new("banks").join(name.strip_prefix("content")?), bank.as_bytes())?;
        }
    }
    for entry in fs::read_dir(root.join("content/phrases"))? {
        let name = Path::new("content/phrases").join(entry?.file_name());
        put(&name, records(&name, &catalogue(&root, &name)?)?.as_bytes())?;
    }
    let mut all = BTreeMap::new();
    for name in files(&root, Path::new("templates"))?.iter().chain(&[PathBuf::from(ENTRY)]) {
        let compact: fn(&str) -> String = match name.extension().and_then(|ending| ending.to_str()) {
            Some("js") => compact::compact_script,
            Some("css") => compact::compact_style,
            _ => continue,
        };
        let text = compact(&text(&root, name)?);
        put(name, text.as_bytes())?;
        all.insert(name.display().to_string().replace('\\', "/"), text);
    }
    for (name, text) in words(&root, &all)? {
        put(&Path::new("words").join(name), text.as_bytes())?;
    }
    Ok(())
}

/// The names of all files at a place, from the root.
fn files(root: &Path, name: &Path) -> io::Result<Vec<PathBuf>> {
    if root.join(name).is_file() {
        return Ok(vec![name.to_owned()]);
    }
    let mut all = Vec::new();
    for entry in fs::read_dir(root.join(name))? {
        all.extend(files(root, &name.join(entry?.file_name()))?);
    }
    Ok(all)
}

fn text(root: &Path, name: &Path) -> Made<String> {
    fs::read_to_string(root.join(name)).map_err(about(name))
}

/// A fault with the name of the file that has it.
fn about<E: Error>(name: &Path) -> impl Fn(E) -> Box<dyn Error> {
    move |fault| format!("{}: {fault}", name.display()).into()
}

/// The phrases of a language's files.
fn catalogue(root: &Path, folder: &Path) -> Made<BTreeMap<String, String>> {
    let mut all = BTreeMap::new();
    for name in files(root, folder)? {
        all.extend(serde_yaml::from_str::<BTreeMap<_, _>>(&text(root, &name)?).map_err(about(&name))?);
    }
    Ok(all)
}

/// Phrases in order of key: each key, a unit separator, its text and a record separator.
fn records(folder: &Path, all: &BTreeMap<String, String>) -> Made<String> {
    let parted = all.iter().any(|(key, text)| [key, text].iter().any(|part| part.contains(['\u{1e}', '\u{1f}'])));
    if parted {
        return Err(format!("{}: a phrase has a control character in it", folder.display()).into());
    }
    Ok(all.iter().map(|(key, text)| format!("{key}\u{1f}{text}\u{1e}")).collect())
}

#[derive(Deserialize)]
struct LanguageFile {
    first: String,
}

#[derive(Default, Deserialize)]
struct Situations {
    #[serde(default)]
    situations: Vec<facts::Situation>,
}

/// What the core makes of the words of the stock's own language, by name: scripts, and what the pages show of every
/// calculator and of the card. `compact` are scripts and styles by path.
fn words(root: &Path, compact: &BTreeMap<String, String>) -> Made<Vec<(String, String)>> {
    let language: LanguageFile = serde_yaml::from_str(&text(root, Path::new("content/language.yaml"))?)?;
    let phrases = Phrases::from_pairs(catalogue(root, &Path::new("content/phrases").join(language.first))?);
    let mut all = Vec::new();
    for (system, calculator) in
        [System::Us, System::Metric].iter().flat_map(|one| CALCULATORS.iter().map(move |of| (*one, of)))
    {
        let situations = Path::new("content/work").join(calculator.id).with_extension("yaml");
        let situations: Situations = match fs::read_to_string(root.join(&situations)) {
            Ok(text) => serde_yaml::from_str(&text).map_err(about(&situations))?,
            Err(_) => Situations::default(),
        };
        let facts = facts::facts(calculator, &situations.situations, system, &phrases)?;
        let place = format!("work/{}-{}", system.id(), calculator.id);
        all.push((format!("{place}.json"), serde_json::to_string(&facts)?));
        all.push((format!("{place}.html"), facts.example.into_owned()));
    }
    for system in [System::Us, System::Metric] {
        let card = serde_json::to_string(&card::part(system, &phrases))?;
        all.push((format!("card/{}.json", system.id()), card));
    }
    let core = |name: &str| text(root, &Path::new("calc-wasm/pkg").join(name));
    let mut extra = Vec::new();
    for name in files(root, Path::new("calc-wasm/pkg"))? {
        let file = name.file_name().and_then(|file| file.to_str()).unwrap_or_default();
        // The answers as data are loaded by no page.
        let part = file.strip_prefix("core-").and_then(|rest| rest.strip_suffix(".txt"));
        if let Some(part) = part.filter(|part| *part != "data") {
            extra.push((part.to_owned(), text(root, &name)?));
        }
    }
    let get = |name: &str| compact.get(name).map_or("", String::as_str);
    let parts = scripts::Parts {
        compact: &|name| get(&format!("templates/{name}")),
        entry: get(ENTRY),
        unpacker: &core("unpack.txt")?,
        core: &core("core.txt")?,
        extra: extra.iter().map(|(name, packed)| (name.as_str(), packed.as_str())).collect(),
    };
    let scripts = scripts::scripts(&parts, &phrases).into_iter();
    all.extend(scripts.map(|(name, text)| (format!("assets/{name}"), text)));
    Ok(all)
}

/// The events of a YAML text, written down for `src/yaml/tree/ahead.rs`; nothing where there is more to it than lists, keys
/// and values.
fn events(text: &str) -> Option<Vec<u8>> {
    let (bytes, mut out, mut documents) = (Bytes::new(text), Vec::new(), 0);
    for event in Parser::new_from_str(text) {
        let (event, span) = event.ok()?;
        let span = bytes.span(span);
        let tag = match &event {
            Event::Scalar(_, style, 0, None) => STYLES.iter().find(|(_, own)| own == style)?.0,
            Event::SequenceStart(0, None) => b'[',
            Event::SequenceEnd => b']',
            Event::MappingStart(0, None) => b'{',
            Event::MappingEnd => b'}',
            Event::DocumentStart(_) if documents == 0 => {
                documents = 1;
                continue;
            }
            Event::StreamStart | Event::StreamEnd | Event::DocumentEnd | Event::Nothing => continue,
            _ => return None,
        };
        out.push(tag);
        for place in [span.start, span.end] {
            out.extend(u32::try_from(place).ok()?.to_le_bytes());
        }
        if let Event::Scalar(value, ..) = &event {
            if *value == text[span] {
                out.extend(AS_WRITTEN.to_le_bytes());
            } else {
                out.extend(u32::try_from(value.len()).ok()?.to_le_bytes());
                out.extend(value.as_bytes());
            }
        }
    }
    Some(out)
}
