//! The list of what we wrote, which is in every site: only what it lists is ever removed.
//!
//! Its middle is the form that `sha256sum --check` reads (GNU coreutils manual, "cksum common options"), so that a site
//! can be checked without this program.

use super::order::Whose;
use crate::hex::{hex, push_hex};
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fs::File;
use std::io::Read;
use std::path::Path;

/// The file that holds the manifest of a site.
pub const MARKER: &str = "tankside-site.txt";

const FIRST: &str = "This folder is a training site that tankside wrote.\n";
const ABOUT: &str = "Publishing again replaces the files listed below, and removes nothing else.\n\
                     To check them: sha256sum --check --quiet tankside-site.txt\n";
/// How the marker file of sites published before there was a list begins.
const BEFORE: &str = "This folder was written by tankside.";
const FORMAT: &str = "1";
/// A hundred thousand lessons need about 12 MB.
const LARGEST: u64 = 256 * 1024 * 1024;

/// The SHA-256 of a file (FIPS 180-4).
pub(super) type Digest256 = [u8; 32];

/// A site as we left it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Manifest {
    /// Whose site it is.
    pub whose: Whose,
    /// The digest of every file by its path in the site, not counting this list.
    pub(super) files: BTreeMap<String, Digest256>,
}

/// Why a file with the manifest's name is not one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum NoManifest {
    /// There is no such file.
    Missing,
    /// Something of that name that we did not write.
    NotOurs,
    /// From a version that kept no list.
    Unlisted,
    /// It was changed after it was written, or cut short.
    Changed,
    /// A newer version wrote it.
    Newer,
}

/// The digest of some bytes.
pub(super) fn digest(bytes: &[u8]) -> Digest256 {
    Sha256::digest(bytes).into()
}

/// The digest of a file.
pub(super) fn digest_of(path: &Path) -> std::io::Result<Digest256> {
    let mut file = File::open(path)?;
    let mut hash = Sha256::new();
    let mut buffer = vec![0; 64 * 1024];
    loop {
        match file.read(&mut buffer)? {
            0 => return Ok(hash.finalize().into()),
            length => hash.update(&buffer[..length]),
        }
    }
}

impl Manifest {
    /// The text of the file; the same files give the same bytes.
    pub(super) fn text(&self) -> String {
        let mut text = String::with_capacity(200 + self.files.len() * 100);
        text.push_str(FIRST);
        text.push_str(ABOUT);
        let Whose { id, title, .. } = &self.whose;
        text.push_str(&format!("\nformat: {FORMAT}\ncourse: {id}\ntitle: {title}\nfrom: {}\n\n", self.whose.from()));
        for (name, digest) in &self.files {
            // A name with a line's end in it is escaped, and the line says so by its first letter.
            let plain = memchr::memchr3(b'\\', b'\n', b'\r', name.as_bytes()).is_none();
            if !plain {
                text.push('\\');
            }
            push_hex(digest, &mut text);
            text.push_str("  ");
            if plain {
                text.push_str(name);
            } else {
                text.push_str(&name.replace('\\', "\\\\").replace('\n', "\\n").replace('\r', "\\r"));
            }
            text.push('\n');
        }
        let whole = digest(text.as_bytes());
        text.push_str("\nwhole: ");
        push_hex(&whole, &mut text);
        text.push('\n');
        text
    }

    /// Reads the manifest in a folder.
    pub(super) fn read(folder: &Path) -> Result<Manifest, NoManifest> {
        let path = folder.join(MARKER);
        // A link in its place could make one site pass for another.
        let about = std::fs::symlink_metadata(&path).map_err(|_| NoManifest::Missing)?;
        if !about.is_file() {
            return Err(NoManifest::NotOurs);
        }
        let mut bytes = Vec::new();
        let file = File::open(&path).map_err(|_| NoManifest::Missing)?;
        file.take(LARGEST).read_to_end(&mut bytes).map_err(|_| NoManifest::Missing)?;
        Manifest::parse(&bytes)
    }

    fn parse(bytes: &[u8]) -> Result<Manifest, NoManifest> {
        if bytes.starts_with(BEFORE.as_bytes()) {
            return Err(NoManifest::Unlisted);
        }
        if !bytes.starts_with(FIRST.as_bytes()) {
            return Err(NoManifest::NotOurs);
        }
        let text = std::str::from_utf8(bytes).map_err(|_| NoManifest::Changed)?;
        let (listed, whole) = text.rsplit_once("\nwhole: ").ok_or(NoManifest::Changed)?;
        if whole.strip_suffix('\n') != Some(&hex(&digest(listed.as_bytes()))) {
            return Err(NoManifest::Changed);
        }
        let mut parts = listed.splitn(3, "\n\n");
        let (_, head, files) = (parts.next(), parts.next(), parts.next());
        let head: BTreeMap<&str, &str> =
            head.unwrap_or_default().lines().filter_map(|line| line.split_once(": ")).collect();
        if head.get("format") != Some(&FORMAT) {
            return Err(NoManifest::Newer);
        }
        let whose = Whose::read(head.get("course").copied(), head.get("title").copied(), head.get("from").copied())
            .ok_or(NoManifest::Changed)?;
        let files = files.unwrap_or_default().lines().map(file_line).collect::<Option<_>>();
        Ok(Manifest { whose, files: files.ok_or(NoManifest::Changed)? })
    }
}

fn file_line(line: &str) -> Option<(String, Digest256)> {
    let (escaped, line) = line.strip_prefix('\\').map_or((false, line), |rest| (true, rest));
    let (digest, name) = line.split_once("  ")?;
    let name = if escaped { unescaped(name) } else { name.to_owned() };
    Some((name, unhex(digest)?))
}

fn unescaped(name: &str) -> String {
    let mut out = String::with_capacity(name.len());
    let mut letters = name.chars();
    while let Some(letter) = letters.next() {
        match letter {
            '\\' => match letters.next() {
                Some('n') => out.push('\n'),
                Some('r') => out.push('\r'),
                Some(other) => out.push(other),
                None => {}
            },
            other => out.push(other),
        }
    }
    out
}

fn unhex(text: &str) -> Option<Digest256> {
    let digits: Vec<u8> =
        text.chars().map(|c| c.to_digit(16).and_then(|digit| u8::try_from(digit).ok())).collect::<Option<_>>()?;
    let bytes: Vec<u8> = digits.chunks_exact(2).map(|pair| pair[0] << 4 | pair[1]).collect();
    (digits.len() == 64).then(|| bytes.try_into().ok()).flatten()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn manifest() -> Manifest {
        let names = ["index.html", "images/a  b.png", "images/line\nend \\n.png", "lessons/a.html"];
        let files = names.iter().map(|name| ((*name).to_owned(), digest(name.as_bytes()))).collect();
        Manifest { whose: Whose { id: "our-crew".to_owned(), title: "A week: ours".to_owned(), demo: false }, files }
    }

    #[test]
    fn a_manifest_is_read_back_as_it_was_written() {
        let text = manifest().text();
        assert_eq!(Manifest::parse(text.as_bytes()), Ok(manifest()));
        assert!(text.contains("\ncourse: our-crew\n"));
        let none = Manifest { files: BTreeMap::new(), ..manifest() };
        assert_eq!(Manifest::parse(none.text().as_bytes()), Ok(none));
    }

    #[test]
    fn what_is_not_as_we_wrote_it_is_no_manifest() {
        let text = manifest().text();
        let parse = |text: &str| Manifest::parse(text.as_bytes()).expect_err("no manifest");
        assert_eq!(parse(&text.replace("our-crew", "your-crew")), NoManifest::Changed);
        assert_eq!(parse(&text[..text.len() / 2]), NoManifest::Changed);
        assert_eq!(parse(""), NoManifest::NotOurs);
        assert_eq!(parse("my notes"), NoManifest::NotOurs);
        assert_eq!(parse("This folder was written by tankside. The next publishing …"), NoManifest::Unlisted);
        let mut newer = text.replace("format: 1", "format: 2");
        let (listed, _) = newer.rsplit_once("\nwhole: ").expect("as written");
        let whole = hex(&digest(listed.as_bytes()));
        newer = format!("{listed}\nwhole: {whole}\n");
        assert_eq!(parse(&newer), NoManifest::Newer);
    }

    #[test]
    fn digests_are_those_of_the_standard() {
        // FIPS 180-4 examples: SHA-256 of "abc" and of the empty message.
        let text = hex(&digest(b"abc"));
        assert_eq!(text, "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
        assert_eq!(unhex(&text), Some(digest(b"abc")));
        assert_eq!(unhex("e3b0"), None);
    }
}
