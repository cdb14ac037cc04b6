//! One text file, read within its limit and turned into a [`Source`].

use memchr::memmem::Finder;
use std::borrow::Cow;
use std::sync::{Arc, LazyLock};

use super::files::{Files, ReadError};
use crate::problem::{Problem, Source, code};

/// The most bytes a lesson or a YAML file may have.
pub const TEXT_LIMIT: u64 = 2 * 1024 * 1024;

/// The most bytes `course.yaml` may have, which lists every lesson and cannot be split.
const COURSE_LIMIT: u64 = 10 * 1024 * 1024;

/// The most bytes a picture may have.
pub const IMAGE_LIMIT: u64 = 20 * 1024 * 1024;

/// Reads a text file of the course. A byte order mark is dropped; a NUL or a byte that is not UTF-8 is a problem.
pub fn read_text(files: &dyn Files, name: &str) -> Result<Source, Box<Problem>> {
    let (limit, most) = match name {
        "course.yaml" => (COURSE_LIMIT, "`course.yaml` may have at most 10 MiB"),
        _ => (TEXT_LIMIT, "a lesson or a YAML file may have at most 2 MiB"),
    };
    let bytes = files.read(name, limit).map_err(|error| unread(name, &error, most))?;
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Err(Problem::new(code::NOT_UTF_8, "this file is UTF-16; UTF-8 is expected", name)
            .help("save the file as UTF-8")
            .into());
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(&bytes);
    let text = std::str::from_utf8(bytes).map_err(|error| not_utf8(name, bytes, error.valid_up_to()))?;
    let source = Source { name: Arc::from(name), text: Arc::from(&*line_ends(text)) };
    let text = &*source.text;
    if let Some(at) = memchr::memchr(0, text.as_bytes()) {
        return Err(Problem::new(code::NUL, "there is a NUL character in this text", "")
            .at(&source, at..at + 1)
            .help("remove the character, or save the file again as UTF-8 text")
            .into());
    }
    match merge(&source.text) {
        Some(place) => Err(Problem::new(code::MERGE_LEFT, "two versions of this text were merged and not settled", "")
            .at(&source, place)
            .help("keep one of the two, and remove the three lines that begin with `<`, `=` and `>`")
            .into()),
        None => Ok(source),
    }
}

/// A text whose lines end in CR alone, as some old programs write them, with line feeds in their place, so that every
/// place stays where it was.
fn line_ends(text: &str) -> Cow<'_, str> {
    match memchr::memchr(b'\r', text.as_bytes()).is_some() && !text.contains('\n') {
        true => Cow::Owned(text.replace('\r', "\n")),
        false => Cow::Borrowed(text),
    }
}

/// The line that opens a stretch of which a version control system kept both versions.
fn merge(text: &str) -> Option<std::ops::Range<usize>> {
    static OPENS: LazyLock<Finder<'static>> = LazyLock::new(|| Finder::new("\n<<<<<<< "));
    let at = match text.as_bytes().starts_with(&OPENS.needle()[1..]) {
        true => 0,
        false => OPENS.find(text.as_bytes())? + 1,
    };
    let below = || text[at..].lines().skip(1);
    let settled = !below().any(|line| line == "=======") || !below().any(|line| line.starts_with(">>>>>>> "));
    let end = text[at..].find(['\r', '\n']).map_or(text.len(), |length| at + length);
    (!settled).then_some(at..end)
}

pub(super) fn unread(name: &str, error: &ReadError, limit: &str) -> Box<Problem> {
    let problem = match error {
        ReadError::Missing => Problem::new(code::FILE_MISSING, "there is no such file", name)
            .help("write the file; or, if its name is a link, copy the file itself here"),
        ReadError::TooLarge(size) => {
            Problem::new(code::FILE_TOO_LARGE, format!("this file has {} MiB; {limit}", mebibytes(*size)), name)
                .help("split it into several files, or make the picture smaller")
        }
        ReadError::Outside => Problem::new(code::OUTSIDE_COURSE, "this path leads out of the course folder", name)
            .help("copy the file into the course folder"),
        ReadError::NotAFile => {
            Problem::new(code::NOT_A_FILE, "a file is expected here, and this is something else", name)
                .help("put a file of this name in its place")
        }
        ReadError::System(words) => Problem::new(code::FILE_UNREAD, format!("reading the file: {words}"), name)
            .help("check who may read it, and whether the disk is in order"),
    };
    Box::new(problem)
}

/// Mebibytes with one decimal, never less than the size.
fn mebibytes(size: u64) -> String {
    let tenths = (size * 10).div_ceil(1024 * 1024);
    format!("{}.{}", tenths / 10, tenths % 10)
}

/// The text up to the byte that is not UTF-8 is the source, so that the line can be shown.
fn not_utf8(name: &str, bytes: &[u8], valid: usize) -> Box<Problem> {
    let shown = String::from_utf8_lossy(&bytes[..bytes.len().min(valid + 40)]).into_owned();
    let source = Source::new(name, shown);
    Problem::new(code::NOT_UTF_8, "this byte is not UTF-8", "")
        .at(&source, valid..valid + '\u{fffd}'.len_utf8())
        .help("save the file as UTF-8")
        .into()
}

#[cfg(test)]
mod tests {
    use super::super::files::Memory;
    use super::*;

    fn read(bytes: &'static [u8]) -> Result<Source, Box<Problem>> {
        let mut files = Memory::new();
        files.add("lessons/a.md", bytes);
        read_text(&files, "lessons/a.md")
    }

    #[test]
    fn a_byte_order_mark_is_dropped() {
        assert_eq!(&*read(b"\xef\xbb\xbf# t").expect("good text").text, "# t");
    }

    #[test]
    fn lines_that_end_in_cr_alone_are_lines() {
        assert_eq!(&*read(b"# t\r\rtext\r").expect("good text").text, "# t\n\ntext\n");
        assert_eq!(&*read(b"# t\r\ntext\r").expect("good text").text, "# t\r\ntext\r");
    }

    #[test]
    fn what_is_not_text_is_refused_with_its_place() {
        let problem = read(b"ok\nft\xb2 x").expect_err("Latin-1 is not UTF-8");
        assert_eq!((problem.code, problem.line_column()), ("not-utf-8", Some((2, 3))));
        let problem = read(b"ok\na\0b").expect_err("NUL is refused");
        assert_eq!((problem.code, problem.line_column()), ("nul", Some((2, 2))));
        assert_eq!(read(b"\xff\xfea\0").expect_err("UTF-16 is refused").code, "not-utf-8");
    }

    #[cfg(unix)]
    #[test]
    fn what_is_no_file_lies_outside_or_cannot_be_read_is_refused_by_its_code() {
        let root = std::env::temp_dir().join(format!("tankside-unread-{}", std::process::id()));
        std::fs::create_dir_all(root.join("course/lessons/folder.md")).expect("the temporary folder can be written");
        std::fs::write(root.join("secret.md"), "secret").expect("as above");
        std::os::unix::fs::symlink(root.join("secret.md"), root.join("course/lessons/out.md")).expect("as above");
        let disk = super::super::files::Disk::open(&root.join("course")).expect("it was just made");
        let code = |name: &str| read_text(&disk, name).expect_err(name).code;
        assert_eq!(code("lessons/folder.md"), "not-a-file");
        assert_eq!(code("lessons/out.md"), "outside-course");
        // A name longer than a file system takes is the system's to refuse, whoever asks.
        assert_eq!(code(&format!("lessons/{}.md", "long".repeat(100))), "file-unread");
        std::fs::remove_dir_all(&root).expect("it was just made");
    }

    #[test]
    fn a_lesson_of_fifty_megabytes_is_refused_unread() {
        let path = std::env::temp_dir().join(format!("tankside-large-{}", std::process::id()));
        std::fs::create_dir_all(path.join("lessons")).expect("the temporary folder can be written");
        let file = std::fs::File::create(path.join("lessons/a.md")).expect("as above");
        file.set_len(50_000_000).expect("as above");
        let disk = super::super::files::Disk::open(&path).expect("it was just made");
        let problem = read_text(&disk, "lessons/a.md").expect_err("too large");
        assert_eq!(problem.title, "this file has 47.7 MiB; a lesson or a YAML file may have at most 2 MiB");
        std::fs::remove_dir_all(&path).expect("it was just made");
    }
}
