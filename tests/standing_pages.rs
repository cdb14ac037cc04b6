//! The pages that every site has, seen from outside: the demo course is published, and its files are read.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use tankside::catalogue;
use tankside::embedded::{CONTENT, DEMO};
use tankside::load::{Layered, Memory};
use tankside::problem::Style;
use tankside::publish::publish;
use tankside::write::Order;
use tankside_calc::calculators::registry::CALCULATORS;
use tankside_calc::quantity::units::ATOMS;

/// A folder of this test's own, removed at the end.
struct Room(PathBuf);

impl Room {
    fn new(name: &str) -> Room {
        let path = std::env::temp_dir().join(format!("tankside-standing-{name}-{}", std::process::id()));
        std::fs::create_dir_all(&path).expect("the temporary folder can be written");
        Room(path)
    }
}

impl Drop for Room {
    fn drop(&mut self) {
        // What cannot be removed here goes with the temporary folder.
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// Publishes the demo course with other units, if any, and reads its pages by path.
fn pages(room: &Room, units: &str) -> BTreeMap<String, String> {
    let mut own = Memory::new();
    let settings = DEMO.get_file("course.yaml").and_then(|file| file.contents_utf8()).expect("the demo has settings");
    own.add("course.yaml", settings.replace("units: us", units).into_bytes());
    let (demo, stock) = (Memory::of(&DEMO), Memory::of(&CONTENT));
    let to = room.0.join("site");
    let (published, problems) = publish(&Layered(vec![&own, &demo, &stock]), &Order::to(&to));
    assert!(published.is_some(), "{}", problems.draw(Style::Plain));
    let files = walkdir::WalkDir::new(&to).into_iter().map(|entry| entry.expect("a readable folder").into_path());
    files
        .filter(|path| path.extension().is_some_and(|ending| ending == "html"))
        .map(|path| (name_in(&to, &path), std::fs::read_to_string(&path).expect("a page is UTF-8")))
        .collect()
}

fn name_in(site: &Path, path: &Path) -> String {
    path.strip_prefix(site).expect("it was found there").display().to_string().replace('\\', "/")
}

#[test]
fn every_calculator_has_a_page_with_its_own_name_on_the_section() {
    let room = Room::new("work");
    let pages = pages(&room, "units: us");
    for calculator in CALCULATORS {
        let id = calculator.id;
        let page = &pages[&format!("work/{id}.html")];
        assert!(page.contains(&format!("data-part=\"worked\" data-calculator=\"{id}\" data-name=\"{id}\"")), "{id}");
        assert!(page.contains(&format!("id=\"worked-{id}\"")), "{id}");
        assert!(page.contains(&format!("../formulas.html#{id}")), "{id} leads to its formulas");
        assert!(pages["formulas.html"].contains(&format!("id=\"{id}\"")), "{id} is on the formula sheet");
        assert!(
            pages["formulas.html"].contains(&format!("href=\"#{id}\"")),
            "{id} is reached from the top of the sheet"
        );
        assert!(pages["formulas.html"].contains(calculator.sources[0].url), "{id} is published somewhere");
        assert!(pages["index.html"].contains(&format!("href=\"work/{id}.html\"")), "{id} is on the first page");
    }
}

#[test]
fn a_lesson_leads_to_every_page_that_a_site_has() {
    let room = Room::new("led-to");
    let mut names: Vec<String> = "card drill exam formulas glossary index log progress reading steps units"
        .split(' ')
        .map(|name| format!("{name}.html"))
        .collect();
    names.extend(CALCULATORS.iter().map(|calculator| format!("work/{}.html", calculator.id)));
    let links: String = names.iter().map(|name| format!("[a](../{name})\n")).collect();
    let mut own = Memory::new();
    own.add("course.yaml", "id: led\ntitle: Led\ncompany: Green Example\nlessons: [ways]\n".as_bytes());
    own.add("lessons/ways.md", format!("---\ntitle: Ways\nsummary: Ways.\n---\n\n{links}").into_bytes());
    let to = room.0.join("site");
    let (published, problems) = publish(&Layered(vec![&own, &Memory::of(&CONTENT)]), &Order::to(&to));
    assert!(published.is_some(), "{}", problems.draw(Style::Plain));
    let page = std::fs::read_to_string(to.join("lessons/ways.html")).expect("it is there");
    for name in names {
        assert!(page.contains(&format!("<a href=\"../{name}\">a</a>")), "{name} is linked");
        assert!(to.join(&name).is_file(), "{name} is there");
    }
}

#[test]
fn the_first_page_leads_with_the_course() {
    let room = Room::new("home");
    let pages = pages(&room, "units: us");
    let home = &pages["index.html"];
    let place = |text: &str| home.find(text).unwrap_or_else(|| panic!("{text} is there"));
    assert!(place("id=\"lessons\"") < place("id=\"work\""));
}

#[test]
fn every_page_leads_to_lessons_calculators_and_glossary() {
    let room = Room::new("ways");
    for (name, page) in pages(&room, "units: us") {
        let root = if name.contains('/') { "../" } else { "" };
        for target in ["index.html", "index.html#work", "formulas.html", "units.html", "glossary.html"] {
            assert!(page.contains(&format!("href=\"{root}{target}\"")), "{name} leads to {target}");
        }
    }
}

#[test]
fn the_glossary_has_every_term_and_each_term_link_arrives() {
    let room = Room::new("glossary");
    let pages = pages(&room, "units: us");
    let glossary = &pages["glossary.html"];
    for term in catalogue::glossary("en").expect("the glossary can be read") {
        assert!(glossary.contains(&format!("id=\"{}\"", term.id)), "{}", term.id);
    }
    let mut linked = 0;
    for (name, page) in &pages {
        for link in page.split("glossary.html#").skip(1) {
            let term = link.split('"').next().unwrap_or_default();
            assert!(glossary.contains(&format!("id=\"{term}\"")), "{name} leads to {term}");
            linked += 1;
        }
    }
    assert!(linked > 5, "the demo course leads to some terms");
    assert!(glossary.contains("href=\"lessons/swath-timing.html\""), "a term names the lesson where it is first met");
}

#[test]
fn a_lesson_may_lead_to_every_page_that_every_site_has() {
    let room = Room::new("links");
    let standing: Vec<String> = pages(&room, "units: us")
        .into_keys()
        .filter(|page| page != "not-found.html" && (!page.contains('/') || page.starts_with("work/")))
        .collect();
    assert!(standing.len() > CALCULATORS.len() + 5, "{standing:?}");
    let links: String = standing.iter().map(|page| format!("[a](../{page})\n")).collect();
    let mut own = Memory::new();
    own.add("course.yaml", b"id: links\ntitle: Links\ncompany: Green Example\nlessons: [links]\n".to_vec());
    own.add("lessons/links.md", format!("---\ntitle: Links\nsummary: All.\n---\n\n{links}").into_bytes());
    let resolved = tankside::resolve(&Layered(vec![&own, &Memory::of(&CONTENT)]));
    assert!(resolved.course().is_some(), "{}", resolved.problems.draw(Style::Plain));
}

#[test]
fn the_table_of_units_has_every_definition() {
    let room = Room::new("units");
    let pages = pages(&room, "units: us");
    for row in &ATOMS {
        let definition = tankside_calc::text::escape::html(row.definition());
        assert!(pages["units.html"].contains(&definition), "{}", row.symbol);
    }
    for constant in ["43,560", "43.56", "128", "88", "5940", "495", "340.3"] {
        assert!(pages["units.html"].contains(&format!(">{constant}</dt>")), "{constant}");
    }
}

#[test]
fn a_metric_course_has_metric_calculators() {
    let room = Room::new("metric");
    let pages = pages(&room, "units: metric");
    let page = &pages["work/catch-test.html"];
    assert!(page.contains("data-name=\"catch-test\"") && page.contains("data-units=\"metric\""));
    // By hand: 1/8 gal is 0.473 L and 5 gal is 18.9 L, for which a person would set 0.4 and 20 L.
    assert!(page.replace('\u{a0}', " ").contains("0.4 to 20 L"), "limits in the course's units");
    for calculator in CALCULATORS {
        assert!(pages[&format!("work/{}.html", calculator.id)].contains("data-units=\"metric\""), "{}", calculator.id);
    }
}

#[test]
fn the_same_course_is_published_to_the_same_bytes() {
    let (first, second) = (Room::new("first"), Room::new("second"));
    assert_eq!(pages(&first, "units: us"), pages(&second, "units: us"));
}
