//! Which files of a course have changed, as the system reports it, one burst at a time.

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::mpsc::Sender;
use std::time::Duration;

use notify::{EventKind, RecommendedWatcher, RecursiveMode};
use notify_debouncer_full::{DebounceEventResult, Debouncer, RecommendedCache, new_debouncer};

/// Changes closer together than this count as one: an editor that saves by writing and renaming makes several.
const BURST: Duration = Duration::from_millis(30);

/// A watch over a course folder.
pub struct Watch {
    sender: Sender<BTreeSet<String>>,
    debouncer: Option<Debouncer<RecommendedWatcher, RecommendedCache>>,
    /// The folder that is watched, held open so that it can be recognized.
    folder: Option<same_file::Handle>,
}

impl Watch {
    /// Watches a folder; one that does not exist yet is watched as soon as it does.
    pub fn new(course: &Path, sender: Sender<BTreeSet<String>>) -> Self {
        let mut watch = Self { sender, debouncer: None, folder: None };
        watch.renew(course);
        watch
    }

    /// Whether the system reports changes.
    pub fn works(&self) -> bool {
        self.debouncer.is_some()
    }

    /// Checks whether the folder is still the one being watched, and watches the one that is there now; returns whether
    /// it is a different one, or gone.
    pub fn renew(&mut self, course: &Path) -> bool {
        let now = same_file::Handle::from_path(course).ok();
        if now == self.folder {
            return false;
        }
        self.debouncer = now.is_some().then(|| watched(course, &self.sender)).flatten();
        self.folder = now;
        true
    }
}

fn watched(
    course: &Path,
    sender: &Sender<BTreeSet<String>>,
) -> Option<Debouncer<RecommendedWatcher, RecommendedCache>> {
    let root = course.canonicalize().ok()?;
    let (inside, sender) = (root.clone(), sender.clone());
    let heard = move |result: DebounceEventResult| {
        let names: BTreeSet<String> = match result {
            Ok(events) => events
                .iter()
                .filter(|event| !matches!(event.kind, EventKind::Access(_)))
                .flat_map(|event| &event.paths)
                .filter_map(|path| name(&inside, path))
                .collect(),
            // Something was missed: the whole course is read.
            Err(_) => BTreeSet::from([String::new()]),
        };
        if !names.is_empty() {
            let _ = sender.send(names);
        }
    };
    let mut debouncer = new_debouncer(BURST, None, heard).ok()?;
    debouncer.watch(&root, RecursiveMode::Recursive).ok()?;
    Some(debouncer)
}

/// The name of a file in the course; nothing for the temporary files that editors leave.
fn name(root: &Path, path: &Path) -> Option<String> {
    let name = path.strip_prefix(root).ok()?.to_str()?.replace('\\', "/");
    let file = name.rsplit('/').next().unwrap_or_default();
    let left_beside = name.split('/').any(|part| part.starts_with('.'))
        || file.ends_with(['~', '#'])
        || file.starts_with('#')
        || [".swp", ".swx", ".tmp", ".part", ".bak"].iter().any(|ending| file.ends_with(ending))
        || file.bytes().all(|byte| byte.is_ascii_digit());
    (!left_beside).then_some(name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_editors_leave_beside_a_file_is_no_change() {
        let root = Path::new("/c");
        let of = |path: &str| name(root, Path::new(path));
        assert_eq!(of("/c/lessons/a.md").as_deref(), Some("lessons/a.md"));
        assert_eq!(of("/c/course.yaml").as_deref(), Some("course.yaml"));
        for left in [
            "/c/lessons/.a.md.swp",
            "/c/lessons/a.md~",
            "/c/lessons/4913",
            "/c/.git/index",
            "/c/#a.md#",
            "/d/a.md",
            "/c",
        ] {
            assert_eq!(of(left), None, "{left}");
        }
    }
}
