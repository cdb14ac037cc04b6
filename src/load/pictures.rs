//! The pictures of a course: which there are, and their bytes as they are published.

use super::files::{Files, ReadError};
use super::text::{IMAGE_LIMIT, read_text, unread};
use crate::drawing::{is_drawing, written_anew};
use crate::problem::{Problem, Problems, code};
use std::borrow::Cow;
use std::collections::BTreeSet;

/// Endings of the names of pictures that are only pixels.
const PIXELS: [&str; 6] = ["png", "jpg", "jpeg", "gif", "webp", "avif"];

fn suffix(name: &str) -> Option<String> {
    Some(name.rsplit_once('.')?.1.to_ascii_lowercase())
}

/// The pictures that a page may show.
pub(super) fn list_pictures(files: &dyn Files, problems: &mut Problems) -> BTreeSet<String> {
    let mut pictures = BTreeSet::new();
    for name in files.list("images") {
        let file = format!("images/{name}");
        match suffix(&name).as_deref() {
            Some(suffix) if PIXELS.contains(&suffix) => {
                pictures.insert(file);
            }
            Some("svg") => match drawing(files, &file) {
                Ok(_) => {
                    pictures.insert(file);
                }
                Err(faults) => problems.extend(faults),
            },
            _ => {
                let title =
                    "a picture is a PNG, JPEG, GIF, WebP, AVIF or SVG file, and this is not one, so it is left out";
                problems.push(Problem::new(code::IMAGE_KIND, title, file));
            }
        }
    }
    pictures
}

fn drawing(files: &dyn Files, name: &str) -> Result<String, Vec<Problem>> {
    let source = read_text(files, name).map_err(|problem| vec![*problem])?;
    written_anew(&source)
}

/// Reads a picture as it is published: a drawing is written anew.
///
/// # Errors
/// A file that cannot be read, or that has changed since the course was checked.
pub fn read_image(files: &dyn Files, name: &str) -> Result<Cow<'static, [u8]>, Box<Problem>> {
    if is_drawing(name) {
        let unusable = || Problem::new(code::IMAGE_NOT_SVG, "this drawing can no longer be read", name.to_owned());
        let drawing = drawing(files, name);
        return drawing
            .map(|drawing| Cow::Owned(drawing.into_bytes()))
            .map_err(|faults| Box::new(faults.into_iter().next().unwrap_or_else(unusable)));
    }
    files.read(name, IMAGE_LIMIT).map_err(|error: ReadError| unread(name, &error, "a picture may have at most 20 MiB"))
}
