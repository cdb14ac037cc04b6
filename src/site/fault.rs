//! Why a page cannot be made.

use crate::problem::{Problem, code};

/// A problem that may not know yet which page it belongs to.
#[derive(Debug)]
pub(super) struct Fault(Box<Problem>);

impl Fault {
    /// The problem, placed at the page unless a better place is known.
    pub(super) fn at_page(mut self, page: &str) -> Box<Problem> {
        if self.0.file.is_empty() {
            self.0.file = page.into();
        }
        self.0
    }
}

impl From<Problem> for Fault {
    fn from(problem: Problem) -> Self {
        Self(Box::new(problem))
    }
}

impl From<String> for Fault {
    fn from(title: String) -> Self {
        Problem::new(code::TEMPLATE_UNUSABLE, title, "").into()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_that_cannot_be_made_is_named() {
        let problem = Fault::from("a template gives what is not text".to_owned()).at_page("lessons/first.html");
        assert_eq!((problem.code, &*problem.file), ("template-unusable", "lessons/first.html"));
        let known = Fault::from(Problem::new(code::PART_FAILS, "it fails", "templates/parts/foot.html"));
        assert_eq!(&*known.at_page("index.html").file, "templates/parts/foot.html");
    }
}
