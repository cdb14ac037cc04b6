//! The pictures of a course: which there are, and their bytes as they are published.

use super::files::{Files, ReadError};
use super::pixels::is_whole;
use super::text::{IMAGE_LIMIT, read_text, unread};
use crate::drawing::{is_drawing, written_anew};
use crate::problem::{Problem, Problems, code};
use std::borrow::Cow;
use std::collections::BTreeSet;

/// Name endings of pictures that are only pixels.
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
                problems.extend(wrong_with(files, &file, suffix));
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
                problems.push(Problem::new(code::IMAGE_KIND, title, file).help("save it as PNG or JPEG"));
            }
        }
    }
    pictures
}

/// The size from which a picture keeps a phone waiting, bytes.
const LARGE: usize = 1024 * 1024;

/// A file that is not a picture, or that is very large.
fn wrong_with(files: &dyn Files, name: &str, suffix: &str) -> Option<Problem> {
    // One that cannot be read is reported where it is used; one that is too large is reported here.
    let bytes = match files.read(name, IMAGE_LIMIT) {
        Ok(bytes) => bytes,
        Err(error) => return Some(*unread(name, &error, "a picture may have at most 20 MiB")),
    };
    let kind = kind_of(&bytes);
    let named = if suffix == "jpeg" { "jpg" } else { suffix };
    if kind != Some(named) {
        let title = match (bytes.is_empty(), kind) {
            (true, _) => "this picture is empty, so a learner would see a broken frame".to_owned(),
            (_, Some(kind)) => format!("this file is named `.{suffix}` and is a picture of the kind `{kind}`"),
            _ => format!("this file is named `.{suffix}` and is not a picture, so a learner would see a broken frame"),
        };
        let help = match kind {
            Some(kind) => format!("rename it so that it ends in `.{kind}`"),
            None => "save the picture again from the program it was made with".to_owned(),
        };
        return Some(Problem::new(code::IMAGE_BROKEN, title, name.to_owned()).help(help));
    }
    if !is_whole(named, &bytes) {
        let title = "this picture breaks off before its end, so a learner would see a part of it, or a broken frame";
        let help = "copy it again, or save it again from the program it was made with";
        return Some(Problem::new(code::IMAGE_BROKEN, title, name.to_owned()).help(help));
    }
    (bytes.len() > LARGE).then(|| {
        let size = bytes.len() as f64 / LARGE as f64;
        let title =
            format!("this picture has {size:.1} MiB, which takes a minute or more on a phone with a poor signal");
        let help = "save it no wider than 1,600 pixels, as WebP or JPEG";
        Problem::new(code::IMAGE_LARGE, title, name.to_owned()).help(help)
    })
}

/// The kind of a picture by its first bytes.
fn kind_of(bytes: &[u8]) -> Option<&'static str> {
    match bytes {
        [0x89, b'P', b'N', b'G', 0x0d, 0x0a, 0x1a, 0x0a, ..] => Some("png"),
        [0xff, 0xd8, 0xff, ..] => Some("jpg"),
        [b'G', b'I', b'F', b'8', b'7' | b'9', b'a', ..] => Some("gif"),
        [b'R', b'I', b'F', b'F', _, _, _, _, b'W', b'E', b'B', b'P', ..] => Some("webp"),
        [_, _, _, _, b'f', b't', b'y', b'p', b'a', b'v', b'i', b'f' | b's', ..] => Some("avif"),
        _ => None,
    }
}

fn drawing(files: &dyn Files, name: &str) -> Result<String, Vec<Problem>> {
    let source = read_text(files, name).map_err(|problem| vec![*problem])?;
    written_anew(&source)
}

/// Reads a picture as it is published: a drawing is rewritten.
///
/// # Errors
/// A file that cannot be read, or one that has changed since the course was checked.
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
