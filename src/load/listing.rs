//! What a folder on disk holds, read in one go: a long course's lessons are listed for several reasons.

use std::fs;
use std::path::Path;

use super::files::{Unlisted, WhyUnlisted};

/// The entries of one folder by what they are; names are sorted, and hidden ones left out.
#[derive(Debug, Default)]
pub(super) struct Listing {
    /// Plain files and links.
    pub(super) files: Vec<String>,
    pub(super) folders: Vec<String>,
    /// What cannot be listed, hidden or not: each name without its folder, as far as it can be shown.
    odd: Vec<(String, WhyUnlisted)>,
    /// Why not all of it could be read.
    fault: Option<String>,
}

impl Listing {
    pub(super) fn of(path: &Path) -> Self {
        let mut listing = Self::default();
        let entries = match fs::read_dir(path) {
            Ok(entries) => entries,
            Err(error) => return Self { fault: Some(error.to_string()), ..listing },
        };
        for entry in entries {
            let entry = match entry {
                Ok(entry) => entry,
                Err(error) => {
                    listing.fault.get_or_insert(error.to_string());
                    continue;
                }
            };
            let kind = entry.file_type().ok();
            let is_folder = kind.is_some_and(|kind| kind.is_dir());
            let is_file = kind.is_some_and(|kind| kind.is_file() || kind.is_symlink());
            let name = match entry.file_name().into_string() {
                Ok(name) => name,
                Err(raw) => {
                    listing.odd.push((raw.to_string_lossy().into_owned(), WhyUnlisted::Name));
                    continue;
                }
            };
            if name.starts_with('.') {
                continue;
            }
            match (is_file, is_folder) {
                (true, _) => listing.files.push(name),
                (_, true) => listing.folders.push(name),
                _ => listing.odd.push((name, WhyUnlisted::NotAFile)),
            }
        }
        listing.files.sort_unstable();
        listing.folders.sort_unstable();
        listing
    }

    /// What is there and not among the files and folders; `folder` is the name of this one.
    pub(super) fn unlisted(&self, folder: &str) -> Vec<Unlisted> {
        if let Some(words) = &self.fault {
            return vec![Unlisted { name: folder.to_owned(), why: WhyUnlisted::System(words.clone()) }];
        }
        let named =
            |(name, why): &(String, WhyUnlisted)| Unlisted { name: format!("{folder}/{name}"), why: why.clone() };
        let mut unlisted: Vec<Unlisted> = self.odd.iter().map(named).collect();
        unlisted.sort_by(|one, other| one.name.cmp(&other.name));
        unlisted
    }
}
