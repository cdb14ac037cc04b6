//! Makes ready, once when the program is built, what would otherwise be worked out at every start: the stock's YAML read,
//! phrases put in order, scripts and styles made compact. `src/embedded.rs` carries it.
//!
//! What people edit stays in `content/` and `templates/`: nothing that is made here is kept in the tree, so none of it can
//! be out of date.

#[path = "src/yaml/bytes.rs"]
mod bytes;
#[path = "src/site/compact.rs"]
mod compact;
#[path = "src/yaml/recorded.rs"]
mod recorded;

use bytes::Bytes;
use recorded::{AS_WRITTEN, STYLES};
use saphyr_parser::{Event, Parser};
use std::collections::BTreeMap;
use std::error::Error;
use std::path::{Path, PathBuf};
use std::{env, fs, io};

type Made<T> = Result<T, Box<dyn Error>>;

/// What this reads, and what is embedded as it is: the macro that does that sees no change.
const SOURCES: [&str; 8] = [
    "build.rs",
    "src/yaml/bytes.rs",
    "src/yaml/recorded.rs",
    "src/site/compact.rs",
    "content",
    "site-demo",
    "templates",
    "calc-wasm/pkg",
];
/// The stock's lists and settings, which become JSON.
const LISTS: [&str; 6] = ["cautions", "exam-sheet", "glossary", "work", "language.yaml", "limits.yaml"];

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
        if let Some(events) = events(&text(&root, &name)?) {
            put(&name, &events)?;
        }
    }
    for entry in fs::read_dir(root.join("content/phrases"))? {
        let name = Path::new("content/phrases").join(entry?.file_name());
        put(&name, phrases(&root, &name)?.as_bytes())?;
    }
    for name in files(&root, Path::new("templates"))?.iter().chain(&[PathBuf::from("calc-wasm/pkg/core.js")]) {
        let compact: fn(&str) -> String = match name.extension().and_then(|ending| ending.to_str()) {
            Some("js") => compact::compact_script,
            Some("css") => compact::compact_style,
            _ => continue,
        };
        put(name, compact(&text(&root, name)?).as_bytes())?;
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

/// The phrases of a language's files, in order of key: each key, a unit separator, its text and a record separator.
fn phrases(root: &Path, folder: &Path) -> Made<String> {
    let mut all: BTreeMap<String, String> = BTreeMap::new();
    for name in files(root, folder)? {
        all.extend(serde_yaml::from_str::<BTreeMap<_, _>>(&text(root, &name)?).map_err(about(&name))?);
    }
    let parted = all.iter().any(|(key, text)| [key, text].iter().any(|part| part.contains(['\u{1e}', '\u{1f}'])));
    if parted {
        return Err(format!("{}: a phrase has a control character in it", folder.display()).into());
    }
    Ok(all.iter().map(|(key, text)| format!("{key}\u{1f}{text}\u{1e}")).collect())
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
