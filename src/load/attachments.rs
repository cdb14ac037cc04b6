//! Files of a course that a learner can download: of a kind that no browser runs, and what their ending says.

use super::face::ATTACHED;
use super::files::{Files, ReadError};
use super::settings::CourseFile;
use super::text::unread;
use crate::problem::{Problem, Problems, code};
use std::borrow::Cow;

/// The most bytes an attachment may have.
const ATTACHMENT_LIMIT: u64 = 20 * 1024 * 1024;

/// A file that a learner can download.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Attachment {
    /// `attachments/label.pdf`.
    pub name: String,
    /// Its title.
    pub title: String,
    /// Bytes.
    pub size: u64,
}

/// The attachments of a course, in the order in which its settings title them.
pub(super) fn attachments(files: &dyn Files, settings: &CourseFile, problems: &mut Problems) -> Vec<Attachment> {
    let mut found = Vec::new();
    for name in files.list("attachments") {
        let file = format!("attachments/{name}");
        let ending = name.rsplit_once('.').map(|(_, ending)| ending.to_ascii_lowercase()).unwrap_or_default();
        if !ATTACHED.contains(&ending.as_str()) {
            let title = "a file of this kind is not attached, because a browser might run what is in it";
            let picture = matches!(ending.as_str(), "png" | "jpg" | "jpeg" | "gif" | "webp" | "avif" | "svg");
            let mut help = format!("save it as one of: {}", ATTACHED.join(", "));
            if picture {
                help = format!("move it to `images/{name}`, where pages show pictures from; or {help}");
            }
            problems.push(Problem::new(code::ATTACHMENT_KIND, title, file).help(help));
            continue;
        }
        match read_attachment(files, &file) {
            Ok(bytes) if is_of_kind(&bytes, &ending) => {
                let titled = settings.attachments.iter().find(|titled| titled.file == name);
                let title = titled.map_or_else(|| name.clone(), |titled| titled.title.clone());
                found.push(Attachment { name: file, title, size: bytes.len() as u64 });
            }
            Ok(_) => {
                let title = format!("this file is named `.{ending}` but holds something else");
                problems
                    .push(Problem::new(code::ATTACHMENT_KIND, title, file).help("save it again from its own program"));
            }
            Err(problem) => problems.push(problem),
        }
    }
    let place = |own: &Attachment| {
        let name = own.name.trim_start_matches("attachments/");
        settings.attachments.iter().position(|titled| titled.file == name).unwrap_or(usize::MAX)
    };
    found.sort_by_key(place);
    found
}

/// Whether the first bytes fit its kind; text is UTF-8 without control characters.
fn is_of_kind(bytes: &[u8], ending: &str) -> bool {
    match ending {
        "pdf" => bytes.starts_with(b"%PDF-"),
        "csv" | "txt" => std::str::from_utf8(bytes).is_ok_and(|text| !text.contains('\0')),
        _ => bytes.starts_with(b"PK\x03\x04"),
    }
}

/// Reads an attachment.
///
/// # Errors
/// A file that is gone, or too large.
pub fn read_attachment(files: &dyn Files, name: &str) -> Result<Cow<'static, [u8]>, Box<Problem>> {
    files.read(name, ATTACHMENT_LIMIT).map_err(|error| {
        let problem = match error {
            ReadError::TooLarge(size) => {
                let title =
                    format!("this file has {} MiB, and an attachment may have at most 20", size.div_ceil(1024 * 1024));
                Problem::new(code::FILE_TOO_LARGE, title, name)
                    .help("make it smaller, or put it on the web and link to it")
            }
            other => return unread(name, &other, ""),
        };
        Box::new(problem)
    })
}
