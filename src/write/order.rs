//! Where a site is to go, whose it is, and what may be replaced there.

use std::path::{Path, PathBuf};

/// Whose site it is: a site is replaced by one of the same course and not by another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Whose {
    /// The `id` of the course.
    pub id: String,
    /// Its title, on one line; empty for a site that was published before titles were listed.
    pub title: String,
    /// Whether it is the demo course inside the program, which is never named: it does not replace another site.
    pub demo: bool,
}

const FOLDER: &str = "a course folder";
const DEMO: &str = "the demo course in the program";

impl Whose {
    pub(super) fn from(&self) -> &'static str {
        if self.demo { DEMO } else { FOLDER }
    }

    pub(super) fn read(id: Option<&str>, title: Option<&str>, from: Option<&str>) -> Option<Whose> {
        let demo = match from? {
            DEMO => true,
            FOLDER => false,
            _ => return None,
        };
        Some(Whose { id: id?.to_owned(), title: title.unwrap_or_default().to_owned(), demo })
    }

    /// Whether two sites go by different names, whatever their courses' ids.
    pub(super) fn is_another(&self, other: &Whose) -> bool {
        let titled = !self.title.is_empty() && !other.title.is_empty();
        self.id != other.id || self.demo != other.demo || titled && self.title != other.title
    }
}

/// What to write.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Order {
    /// The folder of the site.
    pub to: PathBuf,
    /// The folder of the course; none where it is inside the program.
    pub course: Option<PathBuf>,
    /// Replace a site of another course as well, and pages that were changed by hand.
    pub replace_anyway: bool,
}

impl Order {
    /// A site in `to`, of a course that is not a folder.
    pub fn to(to: &Path) -> Order {
        Order { to: to.to_path_buf(), course: None, replace_anyway: false }
    }
}
