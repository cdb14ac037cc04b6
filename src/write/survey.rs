//! What a target contains, and whether a site may take its place.

use super::error::{failed, named};
use super::manifest::{MARKER, Manifest, NoManifest, digest_of};
use super::order::{Order, Whose};
use super::room;
use crate::parallel::{in_parallel, threads};
use crate::problem::{Problem, code};
use std::collections::BTreeSet;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// What is in the place where a site should go.
#[derive(Debug, Default)]
pub(super) struct Survey {
    /// The site that is there.
    pub(super) manifest: Option<Manifest>,
    /// What we did not write, by its path in the site; a folder stands for all that is in it.
    pub(super) unknown: Vec<PathBuf>,
    /// Files of the site that are there.
    present: Vec<String>,
}

/// The target with its links followed, so that a link to a site is kept and the site it leads to replaced.
pub(super) fn resolved_target(target: &Path) -> Result<PathBuf, Box<Problem>> {
    let refused = |title: String, help: &str| -> Box<Problem> {
        Problem::new(code::TARGET_NOT_A_FOLDER, title, target.display().to_string()).help(help).into()
    };
    match fs::canonicalize(target) {
        Ok(path) => Ok(path),
        Err(error) if error.kind() == io::ErrorKind::NotFound => {
            if let Ok(leads) = fs::read_link(target) {
                let title = format!("this is a link, and what it leads to does not exist: {}", leads.display());
                return Err(refused(title, "make that folder, or remove the link, or name another folder with `--to`"));
            }
            let whole = std::path::absolute(target).map_err(|error| failed(target, "finding the folder", &error))?;
            match (whole.parent(), whole.file_name()) {
                (Some(parent), Some(name)) => Ok(resolved_target(parent)?.join(name)),
                // `a/../b` cannot be resolved while `a` is missing, and is more likely a slip than intended.
                _ => Err(refused(
                    "there is no folder before the `..` in this name".to_owned(),
                    "write the name of the folder without `..`",
                )),
            }
        }
        Err(error) => Err(failed(target, "finding the folder", &error)),
    }
}

/// Refuses a course and a target if one contains the other, whatever links and mounts lead there.
pub(super) fn apart(course: &Path, target: &Path) -> Result<(), Box<Problem>> {
    let course = fs::canonicalize(course).map_err(|error| failed(course, "finding the course", &error))?;
    let holds = |outer: &Path, inner: &Path| inner.ancestors().any(|folder| same_folder(folder, outer));
    let title = if same_folder(&course, target) {
        "the site would go into the course's own folder, and replace it"
    } else if holds(&course, target) {
        "the site would go into a folder of the course"
    } else if holds(target, &course) {
        "the course is inside the folder that the site would replace"
    } else {
        return Ok(());
    };
    let problem = Problem::new(code::TARGET_AND_COURSE, title, target.display().to_string());
    let name = course.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let beside = course.with_file_name(format!("{name}-site"));
    Err(problem.help(format!("name a folder outside the course, for example `--to {}`", beside.display())).into())
}

#[cfg(unix)]
pub(super) fn same_folder(one: &Path, other: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let id = |path: &Path| fs::metadata(path).map(|about| (about.dev(), about.ino())).ok();
    one == other || id(one).is_some_and(|one| Some(one) == id(other))
}

#[cfg(not(unix))]
pub(super) fn same_folder(one: &Path, other: &Path) -> bool {
    one == other
}

/// Looks at a target; one that is not a site and not empty is refused.
pub(super) fn survey(target: &Path) -> Result<Survey, Box<Problem>> {
    let shown = || target.display().to_string();
    match fs::symlink_metadata(target) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Survey::default()),
        Err(error) => return Err(failed(target, "looking at the folder", &error)),
        Ok(about) if !about.is_dir() => {
            let title = "a folder for the site is expected here, and this is something else";
            return Err(Problem::new(code::TARGET_NOT_A_FOLDER, title, shown())
                .help("name another folder with `--to`")
                .into());
        }
        Ok(_) => {}
    }
    match Manifest::read(target) {
        Ok(manifest) => listed(target, manifest),
        Err(fault) => {
            let mut entries =
                fs::read_dir(target).map_err(|error| failed(target, "looking into the folder", &error))?;
            let empty = !entries.any(|entry| entry.is_ok_and(|entry| entry.file_name() != room::INSIDE));
            if empty { Ok(Survey::default()) } else { Err(no_site(target, fault)) }
        }
    }
}

fn no_site(target: &Path, fault: NoManifest) -> Box<Problem> {
    let (title, help) = match fault {
        NoManifest::Missing => (
            format!("this folder holds files and no `{MARKER}`, so it is not a site of ours and is left alone"),
            "name a new or an empty folder with `--to`",
        ),
        NoManifest::NotOurs => (
            format!("this folder holds a `{MARKER}` that tankside did not write, so it is left alone"),
            "name a new or an empty folder with `--to`",
        ),
        NoManifest::Unlisted => (
            "this site comes from an earlier tankside, which kept no list of its files, so it is left alone".to_owned(),
            "look through the folder, remove it yourself, then publish again; or name a new folder with `--to`",
        ),
        NoManifest::Changed => (
            format!(
                "the list of this site's files, `{MARKER}`, was changed or cut short, so it is not known what may be removed, and it is left alone"
            ),
            "look through the folder, remove it yourself, then publish again; or name a new folder with `--to`",
        ),
        NoManifest::Newer => (
            "this site comes from a newer tankside and is left alone".to_owned(),
            "publish with that version, or name a new folder with `--to`",
        ),
    };
    Problem::new(code::TARGET_NOT_OURS, title, target.display().to_string()).help(help).into()
}

fn listed(target: &Path, manifest: Manifest) -> Result<Survey, Box<Problem>> {
    let mut survey = Survey::default();
    let mut folders = BTreeSet::new();
    for name in manifest.files.keys() {
        folders.extend(Path::new(name).ancestors().skip(1).take_while(|folder| *folder != Path::new("")));
    }
    let mut waiting = vec![PathBuf::new()];
    while let Some(folder) = waiting.pop() {
        let about = |error: io::Error| failed(&target.join(&folder), "looking into the folder", &error);
        for entry in fs::read_dir(target.join(&folder)).map_err(about)? {
            let entry = entry.map_err(about)?;
            let kind = entry.file_type().map_err(about)?;
            let path = folder.join(entry.file_name());
            if kind.is_dir() && folders.contains(path.as_path()) {
                waiting.push(path);
                continue;
            }
            if folder == Path::new("") && (entry.file_name() == MARKER || entry.file_name() == room::INSIDE) {
                continue;
            }
            match slashed(&path).filter(|name| manifest.files.contains_key(name)) {
                Some(name) if !kind.is_dir() => survey.present.push(name),
                _ => survey.unknown.push(path),
            }
        }
    }
    survey.unknown.sort();
    survey.present.sort();
    survey.manifest = Some(manifest);
    Ok(survey)
}

/// A path as the manifest writes it; none if it is not UTF-8, because everything we write is.
pub(super) fn slashed(path: &Path) -> Option<String> {
    let parts: Option<Vec<&str>> = path.iter().map(|part| part.to_str()).collect();
    Some(parts?.join("/"))
}

impl Survey {
    /// Whether a site may take the place of what is there.
    pub(super) fn allows(&self, target: &Path, order: &Order, whose: &Whose) -> Result<(), Box<Problem>> {
        let Some(there) = &self.manifest else { return Ok(()) };
        let same = there.whose.demo || (there.whose.id == whose.id && !whose.demo);
        if order.replace_anyway || same {
            return Ok(());
        }
        let new = if whose.demo { "the demo course" } else { "another course" };
        let title = format!(
            "this folder holds the site of the course `{}`, and what you publish is {new}, `{}`",
            there.whose.id, whose.id
        );
        let help = if whose.demo {
            "go to the folder of your course or name it: `tankside publish COURSE`; or name a new folder with `--to`"
        } else {
            "name another folder with `--to`; or add `--replace-anyway` if that site is no longer wanted"
        };
        Err(Problem::new(code::TARGET_OF_ANOTHER_COURSE, title, target.display().to_string()).help(help).into())
    }

    /// Refuses a site in which somebody changed a page by hand, because the change would be lost.
    pub(super) fn unchanged(&self, target: &Path, order: &Order) -> Result<(), Box<Problem>> {
        let Some(manifest) = self.manifest.as_ref().filter(|_| !order.replace_anyway) else { return Ok(()) };
        let kept = in_parallel(&self.present, threads(), |name| {
            let path = target.join(name);
            let plain = fs::symlink_metadata(&path).is_ok_and(|about| about.is_file());
            plain && digest_of(&path).is_ok_and(|digest| manifest.files.get(name) == Some(&digest))
        });
        let changed: Vec<&String> =
            self.present.iter().zip(kept).filter(|(_, kept)| !kept).map(|(name, _)| name).collect();
        if changed.is_empty() {
            return Ok(());
        }
        let title = format!(
            "these were changed by hand since the site was published, and the changes would be lost: {}",
            named(&changed)
        );
        let problem = Problem::new(code::SITE_CHANGED, title, target.display().to_string());
        let help = "make the change in the course and move the file out of the site, then publish again; or add `--replace-anyway` to lose the change";
        Err(problem.help(help).into())
    }
}
