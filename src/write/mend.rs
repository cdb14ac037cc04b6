//! Finds and repairs what an interrupted run left.

use super::error::{failed, named};
use super::manifest::{MARKER, digest_of};
use super::room::{self, NoRoom, Room, Way};
use super::survey::resolved_target;
use super::swap::{self, State};
use crate::hex::hex;
use crate::problem::{Problem, code};
use std::fs;
use std::path::Path;

/// What was repaired, in a sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mended(pub String);

/// Repairs what interrupted runs left in a site and next to it; refuses if another run is at work.
pub fn mend(target: &Path) -> Result<Vec<Mended>, Box<Problem>> {
    // If the target cannot be found there is nothing to repair; starting a site says why.
    let Ok(target) = resolved_target(target) else { return Ok(Vec::new()) };
    let mut done = Vec::new();
    for (folder, way) in [(room::beside(&target), Way::Beside), (room::inside(&target), Way::Inside)] {
        if fs::symlink_metadata(&folder).is_err() {
            continue;
        }
        match Room::take(&folder, way) {
            Ok(room) => done.extend(mended(room, &target)?),
            // It may be anybody's; starting a site says so if it is in the way.
            Err(NoRoom::Foreign(_) | NoRoom::System(_)) => {}
            Err(busy) => return Err(room::no_room(&target, &folder, &busy)),
        }
    }
    Ok(done)
}

fn mended(room: Room, target: &Path) -> Result<Option<Mended>, Box<Problem>> {
    let sentence = tidy(&room, target)?;
    room.leave();
    Ok(sentence.map(Mended))
}

/// Cleans up a working folder whose run has ended, and the target with it.
pub(super) fn tidy(room: &Room, target: &Path) -> Result<Option<String>, Box<Problem>> {
    let (new, old) = (room.new_site(), room.old_site());
    let there = |path: &Path| fs::symlink_metadata(path).is_ok();
    if !there(&new) && !there(&old) {
        let _ = fs::remove_file(room.state());
        return Ok(None);
    }
    let shown = target.display();
    let Some((state, list)) = State::read(room) else {
        // Nothing had been put in its place: all of `new` was made by that run, or has its first name in the target.
        fs::remove_dir_all(&new).map_err(|error| failed(&new, "removing an unfinished site", &error))?;
        return Ok(Some(format!(
            "An earlier run publishing to {shown} was interrupted; its unfinished site has been removed."
        )));
    };
    let mut sentence =
        format!("An earlier run publishing to {shown} was interrupted; it has been completed, except for");
    sentence.push_str(" the earlier site, which has now been removed.");
    match state {
        State::Entries => {
            if there(&new) {
                swap::entries(room, target).map_err(|error| failed(target, "completing the site", &error))?;
                sentence =
                    format!("An earlier run publishing to {shown} was interrupted halfway; it has been completed.");
            }
            let _ = fs::remove_dir(&new);
        }
        State::Rename if !target.exists() && there(&old) => {
            fs::rename(&old, target).map_err(|error| failed(target, "putting the earlier site back", &error))?;
            sentence =
                format!("An earlier run publishing to {shown} was interrupted; the site that was there is back.");
        }
        State::Rename | State::Exchange => {}
    }
    let is_new = |site: &Path| {
        let digest = digest_of(&site.join(MARKER)).ok();
        digest.is_some_and(|digest| hex(&digest) == list)
    };
    if there(&new) && is_new(&new) && !is_new(target) {
        // It never got to its place.
        fs::remove_dir_all(&new).map_err(|error| failed(&new, "removing an unfinished site", &error))?;
        if state == State::Exchange {
            sentence = format!("An earlier run publishing to {shown} was interrupted; its site has been removed.");
        }
    }
    for lies in [new, old] {
        let left = if there(&lies) { swap::clear(&lies, target) } else { Vec::new() };
        if !left.is_empty() {
            let left: Vec<String> = left.iter().map(|path| path.display().to_string()).collect();
            let title = format!("an interrupted run left files here that are not ours: {}", named(&left));
            let problem = Problem::new(code::TARGET_LEFTOVERS, title, lies.display().to_string());
            return Err(problem.help("move them to where they belong, then publish again").into());
        }
    }
    let _ = fs::remove_file(room.state());
    Ok(Some(sentence))
}
