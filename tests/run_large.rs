//! Large and hostile courses: what publishing costs grows as the course does, and no faster.
//!
//! Work is counted by the problems and the help lines that come out, never by a clock.

#[allow(dead_code, reason = "each test file uses its own part")]
mod published;

use published::Room;
use tankside::load::Memory;
use tankside::problem::{ASKED, Problem};
use tankside::resolve;

fn course(lessons: &[String]) -> Memory {
    let mut files = Memory::new();
    let listed: String = lessons.iter().map(|stem| format!("\n  - {stem}")).collect();
    files.add(
        "course.yaml",
        format!("id: large\ntitle: Large\ncompany: Example Lawns\nlessons:{listed}\n").into_bytes(),
    );
    files
}

fn lesson(files: &mut Memory, stem: &str, body: &str) {
    let text = format!("---\ntitle: {stem}\nsummary: S.\n---\n\n{body}\n");
    files.add(format!("lessons/{stem}.md"), text.into_bytes());
}

/// Problems of a code, and how many of them offer a near name.
fn near(files: &Memory, code: &str) -> (usize, usize) {
    let resolved = resolve(files);
    let of: Vec<&Problem> = resolved.problems.iter().filter(|problem| problem.code == code).collect();
    let offered = of.iter().filter(|problem| problem.help.as_deref().is_some_and(|help| help.starts_with("write `")));
    (of.len(), offered.count())
}

#[test]
fn near_names_are_sought_for_a_bounded_number_of_problems() {
    let stems: Vec<String> = (0..300).map(|number| format!("lesson-{number:03}")).collect();
    // Dead links to lessons, pictures, banks, headings and examples, each one letter beside the name that was meant.
    let dead = |link: &str| -> String { (0..20).map(|_| format!("{link}\n\n")).collect() };
    for (code, link) in [
        ("link-to-nowhere", "[a](leson-001.md)"),
        ("image-missing", "![a](../images/gum.png)"),
        ("heading-missing", "[a](#plase)"),
        ("figure-unknown", "[a](figure:gum/nozzle-output)"),
    ] {
        let mut files = course(&stems);
        files.add("images/gun.png", include_bytes!("pictures/pixel.png").as_slice());
        for stem in &stems {
            let example = "```worked-example gun\ncalculator: catch-test\ngiven: { catch: [{ volume: 1 gal, time: 30 s }] }\n```\n";
            lesson(&mut files, stem, &format!("# Place\n\n{example}\n{}", dead(link)));
        }
        assert_eq!(near(&files, code), (6000, ASKED), "{code}");
    }
    let missing: Vec<String> = (0..300).map(|number| format!("leson-{number:03}")).collect();
    let mut files = course(&[stems.clone(), missing].concat());
    stems.iter().for_each(|stem| lesson(&mut files, stem, "Text."));
    let (all, offered) = {
        let resolved = resolve(&files);
        let of: Vec<&Problem> = resolved.problems.iter().filter(|problem| problem.code == "lesson-missing").collect();
        let near = of.iter().filter(|problem| problem.help.as_deref().is_some_and(|help| help.starts_with("write `-")));
        (of.len(), near.count())
    };
    assert_eq!((all, offered), (300, ASKED));
}

#[test]
fn an_example_that_is_elsewhere_is_offered_from_a_few_lessons() {
    let stems: Vec<String> = (0..200).map(|number| format!("lesson-{number:03}")).collect();
    let mut files = course(&stems);
    for stem in &stems[1..] {
        lesson(
            &mut files,
            stem,
            "```worked-example gun\ncalculator: catch-test\ngiven: { catch: [{ volume: 1 gal, time: 30 s }] }\n```\n",
        );
    }
    lesson(&mut files, &stems[0], &"[a](figure:gun/nozzle-output)\n\n".repeat(500));
    let resolved = resolve(&files);
    assert_eq!(resolved.problems.len(), 500);
    let help = resolved.problems.iter().next().and_then(|problem| problem.help.clone()).unwrap_or_default();
    assert_eq!(help.matches("figure:").count(), 4, "{help}");
}

/// The most memory that a publishing takes, in MB, as the system counts it.
#[cfg(target_os = "linux")]
fn peak(room: &Room, course: &str) -> (Option<i32>, u64) {
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_tankside"))
        .args(["publish", course, "--to", "site"])
        .current_dir(room.path(""))
        .stdout(std::process::Stdio::null())
        .stderr(std::process::Stdio::null())
        .spawn()
        .expect("the program runs");
    wait_with_peak(output)
}

#[cfg(target_os = "linux")]
fn wait_with_peak(mut child: std::process::Child) -> (Option<i32>, u64) {
    let status = format!("/proc/{}/status", child.id());
    let mut peak = 0;
    loop {
        let read = std::fs::read_to_string(&status).unwrap_or_default();
        // What the system has counted so far, which never falls.
        let line = read.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        let kilobytes = line.and_then(|line| line.split_whitespace().next()?.parse::<u64>().ok());
        peak = peak.max(kilobytes.unwrap_or(0) / 1000);
        if let Some(status) = child.try_wait().expect("it can be waited for") {
            return (status.code(), peak);
        }
        std::thread::sleep(std::time::Duration::from_millis(2));
    }
}

#[cfg(target_os = "linux")]
#[test]
fn two_megabytes_of_one_lesson_take_no_hundreds_of_megabytes() {
    let room = Room::new("memory");
    room.course("course");
    let example = |number: usize| {
        format!(
            "```worked-example e{number}\ncalculator: catch-test\ngiven: {{ catch: [{{ volume: 1 gal, time: 30 s }}] }}\n```\n\n"
        )
    };
    let mut examples = String::new();
    for number in 0.. {
        if examples.len() > 2_000_000 {
            break;
        }
        examples.push_str(&example(number));
    }
    for (name, body, most) in [
        ("examples", examples, 150),
        ("brackets", "[a](".repeat(500_000), 400),
        ("headings", "## a\n".repeat(400_000), 6000),
        // One line, in which each sign could scan all the rest.
        ("open braces", "{figure:a/b".repeat(60_000), 300),
    ] {
        room.write("course/lessons/first.md", format!("---\ntitle: First\nsummary: S.\n---\n\n{body}\n"));
        let (code, peak) = peak(&room, "course");
        assert!(code.is_some(), "{name} ended");
        assert!(peak < most, "{name}: {peak} MB (at most {most})");
    }
}

#[test]
fn a_course_lists_fifty_thousand_lessons_and_is_told_what_to_do_beyond_a_hundred_thousand() {
    let stems = |count: usize| (0..count).map(|number| format!("lesson-{number}")).collect::<Vec<_>>();
    let resolved = resolve(&course(&stems(50_000)));
    let of = |code: &str| resolved.problems.iter().filter(|problem| problem.code == code).count();
    // None of them is written yet: every one is named, so every one was read.
    assert_eq!((of("lesson-missing"), of("too-many-values")), (50_000, 0));
    let resolved = resolve(&course(&stems(101_000)));
    let told: Vec<&Problem> = resolved.problems.iter().collect();
    assert_eq!(told.iter().map(|problem| problem.code).collect::<Vec<_>>(), ["too-many-values"]);
    let help = told[0].help.as_deref().unwrap_or_default();
    assert_eq!(help, "list at most 100,000 lessons, or make several courses of them");
}

#[test]
fn a_line_of_a_million_spaces_is_a_short_problem() {
    let mut files = Memory::new();
    files.add("course.yaml", format!("lessons: [l{}", " ".repeat(1_000_000)).into_bytes());
    let resolved = resolve(&files);
    let drawn: Vec<String> = resolved.problems.iter().map(|one| one.draw(tankside::problem::Style::Plain)).collect();
    assert!(!drawn.is_empty() && drawn.iter().all(|text| text.len() < 2_000), "{:?}", drawn.first().map(String::len));
}
