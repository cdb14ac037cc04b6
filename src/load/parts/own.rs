//! Which parts a course replaces, and files beside them that replace nothing.

use std::collections::BTreeMap;

use crate::embedded::TEMPLATES;
use crate::load::files::Files;
use crate::load::text::read_text;
use crate::problem::{Problem, Problems, Source, code};

/// The stock templates by name: `parts/foot.html`.
pub fn stock_parts() -> impl Iterator<Item = (String, &'static str)> {
    let folders = ["pages", "parts"].into_iter().filter_map(|folder| TEMPLATES.get_dir(folder));
    folders.flat_map(|folder| folder.files()).map(|file| {
        let name = file.path().display().to_string().replace('\\', "/");
        (name, file.contents_utf8().unwrap_or_default())
    })
}

/// The course's own parts by the names of those that they replace, checked.
pub(in crate::load) fn own_parts(files: &dyn Files, problems: &mut Problems) -> BTreeMap<String, Source> {
    let mut own = BTreeMap::new();
    for name in files.list("templates") {
        let title = "parts go in `templates/pages/` or `templates/parts/`, so this file is not read";
        let place = ["parts", "pages"].iter().map(|folder| format!("{folder}/{name}"));
        let there = place.into_iter().find(|part| TEMPLATES.get_file(part).is_some());
        let help = there.map_or("tankside parts lists what can be replaced".to_owned(), |part| {
            format!("move it to `templates/{part}`")
        });
        problems.push(Problem::new(code::PART_UNKNOWN, title, format!("templates/{name}")).help(help));
    }
    let stock: Vec<String> = stock_parts().map(|(name, _)| name).collect();
    for folder in ["pages", "parts"] {
        for name in files.list(&format!("templates/{folder}")) {
            let (part, file) = (format!("{folder}/{name}"), format!("templates/{folder}/{name}"));
            if !stock.contains(&part) {
                let title = format!("there is no part `{part}` that this file could replace");
                let mut problem = Problem::new(code::PART_UNKNOWN, title, file);
                let near = crate::problem::nearest(&part, stock.iter().map(String::as_str));
                problem.help = Some(
                    near.map_or("tankside parts lists them".to_owned(), |near| format!("name it `templates/{near}`")),
                );
                problems.push(problem);
                continue;
            }
            match read_text(files, &file) {
                Ok(source) => {
                    own.insert(part, source);
                }
                Err(problem) => problems.push(problem),
            }
        }
    }
    super::check(&own, problems);
    own
}
