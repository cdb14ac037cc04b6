//! What a trainer should look at in files that count.

use super::copies::At;
use super::gather::Pile;
use std::path::PathBuf;

impl Pile<'_> {
    /// Records in which a change would not show, and what is in tables twice or under several names.
    pub(super) fn to_look_at(&self) -> Vec<(PathBuf, String)> {
        let fill = |key: &str, values: &[(&str, &str)]| self.questions.phrases.fill_with(key, values);
        let mut look = Vec::new();
        if let (count, [first, others @ ..]) = (self.unsealed.0, self.unsealed.1.as_slice()) {
            let first = self.found.path(*first as usize);
            let others = others
                .iter()
                .map(|file| self.found.path(*file as usize))
                .filter_map(|path| Some(path.file_name()?.to_string_lossy().into_owned()));
            let mut named = others.collect::<Vec<_>>().join(", ");
            let rest = count - self.unsealed.1.len();
            if rest > 0 {
                named = fill("desk.and-others", &[("names", &named), ("count", &rest.to_string())]);
            }
            let key = if named.is_empty() { "desk.look-unsealed-one" } else { "desk.look-unsealed" };
            look.push((first, fill(key, &[("others", &named)])));
        }
        for (kept, other) in &self.differing {
            let other = self.found.path(*other as usize);
            let other = other.file_name().unwrap_or_default().to_string_lossy();
            look.push((self.found.path(*kept as usize), fill("desk.look-differs", &[("other", &other)])));
        }
        look.dedup();
        for at in &self.paper.twice {
            look.push((self.found.path(at.file as usize), fill("desk.look-twice", &[("line", &at.line.to_string())])));
        }
        for shared in &self.paper.shared {
            let Some((_, first)) = shared.people.first() else { continue };
            let place = |at: &At| {
                let line = at.line.to_string();
                if at.file == first.file {
                    return fill("desk.look-line", &[("line", &line)]);
                }
                let path = self.found.path(at.file as usize);
                let file = path.file_name().unwrap_or_default().to_string_lossy();
                fill("desk.look-file-line", &[("file", &file), ("line", &line)])
            };
            let people = shared.people.iter().map(|(name, at)| format!("{name} ({})", place(at)));
            let mut people = people.collect::<Vec<_>>().join(", ");
            if shared.more > 0 {
                people = fill("desk.and-others", &[("names", &people), ("count", &shared.more.to_string())]);
            }
            let key = if shared.same { "desk.look-shared-same" } else { "desk.look-shared" };
            let (sheet, copy) = (shared.sheet.to_string(), shared.copy.to_string());
            let values = [("quiz", shared.quiz.as_str()), ("sheet", &sheet), ("copy", &copy), ("people", &people)];
            look.push((self.found.path(first.file as usize), fill(key, &values)));
        }
        look
    }
}
