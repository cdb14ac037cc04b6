//! How long the preview takes to show a change: `preview_changes COURSE`, a course folder of its own that may be changed.
//!
//! Prints `what<TAB>milliseconds` for the course read the first time, and for the median and the slowest of several saved
//! changes of one lesson, of a phrase and of a part of a template, each until the changed page is there for a browser.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::time::Instant;
use tankside::preview::Builder;

const LESSON_CHANGES: usize = 15;
const OTHER_CHANGES: usize = 3;

/// The time from a saved change until the page holds `sign`.
fn shown(builder: &mut Builder, course: &Path, changed: &str, page: &str, sign: &str) -> f64 {
    let begun = Instant::now();
    builder.changed(course, &BTreeSet::from([changed.to_owned()]));
    let made = builder.page(page).expect("the page is there");
    let took = begun.elapsed().as_secs_f64() * 1e3;
    assert!(String::from_utf8_lossy(&made).contains(sign), "{changed} shows on {page}");
    took
}

fn print(what: &str, mut times: Vec<f64>) {
    times.sort_by(f64::total_cmp);
    println!("{what}\t{:.1}\t{:.1}", times[times.len() / 2], times[times.len() - 1]);
}

fn main() {
    let Some(course) = std::env::args().nth(1) else {
        eprintln!("usage: preview_changes COURSE");
        std::process::exit(2);
    };
    let course = Path::new(&course);
    let begun = Instant::now();
    let (mut builder, _) = Builder::new(course);
    print("course opened", vec![begun.elapsed().as_secs_f64() * 1e3]);
    let mut lessons: Vec<String> = fs::read_dir(course.join("lessons"))
        .expect("the course has lessons")
        .flatten()
        .map(|entry| entry.file_name().to_string_lossy().trim_end_matches(".md").to_owned())
        .collect();
    lessons.sort();
    let times = (0..LESSON_CHANGES).map(|turn| {
        let stem = &lessons[turn * lessons.len() / LESSON_CHANGES];
        let file = format!("lessons/{stem}.md");
        let text = fs::read_to_string(course.join(&file)).expect("the lesson reads");
        let sign = format!("A sentence more, number {turn}.");
        fs::write(course.join(&file), format!("{text}\n{sign}\n")).expect("the lesson is saved");
        shown(&mut builder, course, &file, &format!("lessons/{stem}.html"), &sign)
    });
    print("one lesson changed", times.collect());
    fs::create_dir_all(course.join("phrases")).expect("a folder for phrases");
    let times = (0..OTHER_CHANGES).map(|turn| {
        let sign = format!("All lessons, {turn}");
        fs::write(course.join("phrases/en.yaml"), format!("site.lessons: \"{sign}\"\n")).expect("the phrase is saved");
        shown(&mut builder, course, "phrases/en.yaml", "index.html", &sign)
    });
    print("a phrase changed", times.collect());
    fs::create_dir_all(course.join("templates/pages")).expect("a folder for templates");
    let stock = include_str!("../../templates/pages/lesson.html");
    let times = (0..OTHER_CHANGES).map(|turn| {
        let sign = format!("<!-- changed {turn} -->");
        let name = "templates/pages/lesson.html";
        let page = stock.replace("{% endblock main %}", &format!("{sign}{{% endblock main %}}"));
        fs::write(course.join(name), page).expect("the template is saved");
        shown(&mut builder, course, name, &format!("lessons/{}.html", lessons[0]), &sign)
    });
    print("a template changed", times.collect());
}
