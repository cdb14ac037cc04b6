//! A course without a signal: the worker that keeps it, the manifest by which it is installed, and its icons.
//!
//! The worker lists every file that it keeps with its SHA-256, so it is written last; if a course keeps nothing,
//! the worker in its place only removes what an earlier one kept.

use super::assets::in_script;
use super::compact::compact_style;
use super::quoted::quoted;
use crate::colour::{Colour, stock};
use crate::course::Course;
use crate::embedded::compact;
use crate::hex::{hex, push_hex};
use sha2::{Digest, Sha256};
use tankside_calc::text::json::{Value, map};

/// The worker's path: its folder is what it may keep.
pub const WORKER: &str = "offline.js";
/// The manifest's path.
pub(super) const MANIFEST: &str = "course.webmanifest";
/// The drawn icon, and the sides of those in points.
pub(super) const ICON: &str = "assets/icon.svg";
pub(super) const ICONS: &[(u32, &str)] = &[(192, "assets/icon-192.png"), (512, "assets/icon-512.png")];
/// The most bytes kept on a device; phones give a site a few hundred megabytes, and others want some too.
pub const MOST_KEPT: u64 = 60 * 1024 * 1024;

/// Room for one file in the worker: a lesson of a long name, and its digest.
const ROW: usize = 80;

/// A file of a site as it was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Listed {
    /// Its path in the site.
    pub path: String,
    /// SHA-256 of its bytes.
    pub digest: [u8; 32],
    /// How many bytes.
    pub size: u64,
}

/// The worker, and what it does not keep because it would be too much.
#[derive(Debug)]
pub struct Worker {
    /// The text of [`WORKER`].
    pub script: String,
    /// Paths that need a signal.
    pub left_out: Vec<String>,
}

/// The worker of a course that is kept for use without a signal.
pub fn worker(course: &Course, files: &[Listed]) -> Worker {
    let rank = |file: &&Listed| match file.path.as_str() {
        path if path.starts_with("attachments/") => 2,
        path if path.starts_with("images/") => 1,
        _ => 0,
    };
    let mut files: Vec<&Listed> = files.iter().collect();
    // Most of them come in this order already, which both ways of sorting make use of.
    files.sort_by(|one, other| one.path.cmp(&other.path));
    files.sort_by_key(rank);
    let (mut room, mut left_out) = (MOST_KEPT, Vec::new());
    let mut hash = Sha256::new();
    // All other files of a long course wait for this one: its rows are written where they are read.
    let mut rows = String::with_capacity(files.len() * ROW);
    for file in files {
        if file.size > room {
            left_out.push(file.path.clone());
            continue;
        }
        room -= file.size;
        hash.update(file.path.as_bytes());
        hash.update([0]);
        hash.update(file.digest);
        rows.push_str(if rows.is_empty() { "[" } else { ",[" });
        quoted(&file.path, &mut rows);
        rows.push_str(",\"");
        push_hex(&file.digest[..16], &mut rows);
        rows.push_str("\"]");
    }
    let whole: [u8; 32] = hash.finalize().into();
    let about = map(vec![
        ("version", hex(&whole[..8]).into()),
        ("language", course.settings.language.as_str().into()),
        ("title", course.settings.title.as_str().into()),
        ("company", course.settings.company.as_str().into()),
        ("missing", missing(course)),
    ]);
    let about = in_script(&about.line());
    let about = about.strip_suffix('}').unwrap_or(&about);
    let script = format!("const KEPT = {about},\"files\":[{rows}]}};\n{}", script("worker"));
    Worker { script, left_out }
}

/// What the page needs that stands in for one that is not kept: its sentences, the ways on, and its own style, since
/// it has no other file.
fn missing(course: &Course) -> Value {
    let said = |key: &str| Value::from(course.phrases.get(key));
    let way = |path: &str, title: &str| Value::List(vec![path.into(), title.into()]);
    let ways = [
        ("drill.html", "learn.drill"),
        ("formulas.html", "site.formulas"),
        ("card.html", "site.way-cards"),
        ("progress.html", "learn.home-progress"),
    ];
    let first = way("index.html", &course.settings.title);
    let ways = std::iter::once(first).chain(ways.map(|(path, key)| way(path, course.phrases.get(key))));
    let style = [
        compact("style/colours-and-sizes.css"),
        &compact_style(&super::colours::sheet(course.settings.face())),
        compact("around/not-kept.css"),
    ];
    map(vec![
        ("title", said("kept.missing")),
        ("help", said("kept.missing-help")),
        ("again", said("kept.missing-again")),
        ("saved", said("kept.missing-saved")),
        ("ways", Value::List(ways.collect())),
        ("style", style.concat().as_str().into()),
    ])
}

/// The worker of a course that is not kept: it removes what an earlier version kept.
pub(super) fn leaving() -> String {
    script("leave").to_owned()
}

fn script(name: &str) -> &'static str {
    compact(&format!("around/{name}.js"))
}

/// The manifest of a course that can be installed (W3C, Web Application Manifest).
pub(super) fn manifest(course: &Course) -> String {
    let icon = |path: &str, sizes: String, kind: &str, purpose: &str| {
        map(vec![
            ("src", path.into()),
            ("sizes", sizes.as_str().into()),
            ("type", kind.into()),
            ("purpose", purpose.into()),
        ])
    };
    let mut icons = vec![icon(ICON, "any".to_owned(), "image/svg+xml", "any")];
    for purpose in ["any", "maskable"] {
        icons.extend(ICONS.iter().map(|(side, path)| icon(path, format!("{side}x{side}"), "image/png", purpose)));
    }
    let settings = &course.settings;
    let manifest = map(vec![
        ("name", settings.title.as_str().into()),
        ("description", settings.summary.as_deref().unwrap_or_default().into()),
        ("lang", settings.language.as_str().into()),
        ("start_url", "./index.html".into()),
        ("scope", "./".into()),
        ("display", "standalone".into()),
        ("theme_color", band(course).written().as_str().into()),
        ("background_color", stock::LIGHT[0].written().as_str().into()),
        ("icons", Value::List(icons)),
    ]);
    manifest.line() + "\n"
}

/// The company's color, or the stock look's.
pub(super) fn band(course: &Course) -> Colour {
    course.settings.face().band.as_deref().and_then(Colour::read).unwrap_or(stock::BAND)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_kept_is_bounded_and_pages_come_before_what_hangs_on_them() {
        let memory = crate::load::Memory::of(&crate::embedded::DEMO);
        let stock = crate::load::Memory::of(&crate::embedded::CONTENT);
        let resolved = crate::course::resolve(&crate::load::Layered(vec![&memory, &stock]));
        let course = resolved.course().expect("the demo is whole");
        let file = |path: &str, size: u64| Listed { path: path.to_owned(), digest: [7; 32], size };
        let files = [
            file("attachments/a.pdf", MOST_KEPT / 2),
            file("attachments/b.csv", 10),
            file("images/a.png", MOST_KEPT / 2),
            file("index.html", 1000),
            file("lessons/a.html", 1000),
        ];
        let worker = worker(course, &files);
        assert_eq!(worker.left_out, ["attachments/a.pdf"]);
        let place = |path: &str| worker.script.find(&format!("[\"{path}\"")).unwrap_or_else(|| panic!("{path}"));
        assert!(place("index.html") < place("images/a.png") && place("images/a.png") < place("attachments/b.csv"));
        let again = super::worker(course, &files.iter().rev().cloned().collect::<Vec<_>>());
        assert_eq!(again.script, worker.script, "the order in which files were written makes no difference");
        let mut other = files.clone();
        other[4].digest = [8; 32];
        assert_ne!(super::worker(course, &other).script, worker.script);
    }
}
