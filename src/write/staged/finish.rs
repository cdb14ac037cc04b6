//! The end of a site in the making: its list, what is kept of the folder it goes into, the disk, and its place.

use super::super::error::{failed, stopped};
use super::super::foreign;
use super::super::manifest::{MARKER, Manifest};
use super::super::room::Way;
use super::super::survey::{Survey, survey};
use super::super::swap;
use super::{Staging, Written};
use crate::problem::Problem;
use std::fs;
use std::io;
use std::path::PathBuf;

impl Staging {
    /// Puts the site in its place; the earlier one is removed only when the new one is there and on the disk.
    pub fn finish(mut self) -> Result<Written, Box<Problem>> {
        // The list is made while the last files are.
        let files = std::mem::take(&mut *self.out.files());
        let files = files.into_iter().map(|file| (file.path, file.digest)).collect();
        let manifest = Manifest { whose: self.whose.clone(), files };
        let list = manifest.text();
        self.settle();
        if let Some(problem) = self.out.take_fault() {
            return Err(problem);
        }
        self.go_on()?;
        let write_error = |error: &io::Error| failed(&self.target.join(MARKER), "writing the file", error);
        fs::write(self.folder.join(MARKER), &list).map_err(|error| write_error(&error))?;
        // Somebody may have put files into the target while the site was being written.
        let found = survey(&self.target)?;
        found.allows(&self.target, &self.order, &self.whose)?;
        found.unchanged(&self.target, &self.order)?;
        let there = found.manifest.as_ref().map(|manifest| manifest.whose.clone());
        let replaced = there.filter(|there| there.is_another(&self.whose));
        let kept = self.carry(found)?;
        self.out.ahead.end();
        swap::onto_disk(&self.folder, &mut manifest.files.keys())
            .map_err(|error| failed(&self.target, "putting the site onto the disk", &error))?;
        self.go_on()?;
        let left = self.put_in_place()?;
        Ok(Written {
            folder: self.target.clone(),
            files: manifest.files.len() as u64 + 1,
            bytes: self.out.bytes() + list.len() as u64,
            foreign: kept,
            replaced,
            left,
        })
    }

    fn go_on(&self) -> Result<(), Box<Problem>> {
        if self.making.is_stopped() { Err(stopped(&self.target)) } else { Ok(()) }
    }

    /// Carries over what is not ours; returns how to name it.
    fn carry(&self, found: Survey) -> Result<Vec<(String, usize)>, Box<Problem>> {
        let named = |path: &PathBuf| {
            let whole = self.target.join(path);
            let folder = fs::symlink_metadata(&whole).is_ok_and(|about| about.is_dir());
            (format!("{}{}", path.display(), if folder { "/" } else { "" }), foreign::count(&whole))
        };
        let kept = found.unknown.iter().map(named).collect();
        let inside = self.room.as_ref().is_some_and(|room| room.way == Way::Inside);
        // Where the target itself stays, what is directly in it simply stays, unless a page goes there.
        let stays = |path: &PathBuf| {
            inside && path.components().count() == 1 && fs::symlink_metadata(self.folder.join(path)).is_err()
        };
        let carried: Vec<PathBuf> = found.unknown.into_iter().filter(|path| !stays(path)).collect();
        foreign::carry(&carried, &self.target, &self.folder)?;
        Ok(kept)
    }

    /// Returns where the files are that had to be left.
    fn put_in_place(&mut self) -> Result<Option<PathBuf>, Box<Problem>> {
        let Some(room) = self.room.take() else { return Ok(None) };
        let lies = match swap::swap(&room, &self.target) {
            Ok(lies) => lies,
            Err(problem) => {
                self.give_up(room);
                return Err(problem);
            }
        };
        self.new_parents.clear();
        let left = lies.filter(|lies| !swap::clear(lies, &self.target).is_empty());
        room.leave();
        Ok(left)
    }
}
