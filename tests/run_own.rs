//! A company's own look and words: what a course adds to the stock.

#[allow(dead_code, reason = "each test file uses its own part")]
mod published;

use published::Room;
use std::collections::BTreeSet;
use std::fs;
use tankside::site::{template_note, templates};

/// The small course with more lines in its settings.
fn course(room: &Room, settings: &str) {
    room.course("course");
    let text = published::original("course.yaml").to_owned() + settings;
    room.write("course/course.yaml", text);
}

#[test]
fn logo_colors_footer_and_attachments_are_on_the_pages() {
    let room = Room::new("own-face");
    course(
        &room,
        "logo: images/mark.svg\ncolours: { band: \"#ffd400\", link: \"#7a1f5c\" }\nfooter: Part of [Example](https://example.org/)\nattachments:\n  - { file: b 50%.pdf, title: The label }\n",
    );
    // On a ground of its own, a logo can be seen on the band of a light and of a dark screen.
    let mark = r##"<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 8 8"><rect width="8" height="8" fill="#ffffff"/><circle cx="4" cy="4" r="3" fill="#101010"/></svg>"##;
    room.write("course/images/mark.svg", mark);
    room.write("course/attachments/b 50%.pdf", "%PDF-1.4 label");
    room.write("course/attachments/a.csv", "x,y\n1,2\n");
    let body =
        published::original("lessons/second.md").replace("Back to", "[label](<../attachments/b 50%.pdf>) back to");
    room.write("course/lessons/second.md", body);
    room.publish("course", "site");
    let pages = room.pages("site");
    for (name, page) in &pages {
        let root = if name.contains('/') { "../" } else { "" };
        assert!(page.contains(&format!("src=\"{root}images/mark.svg\"")), "{name} has no logo");
        assert!(page.contains("Part of <a href=\"https://example.org/\">Example</a>"), "{name} has no footer");
    }
    let home = &pages["index.html"];
    let (label, table) = (home.find("The label"), home.find(">a.csv<"));
    assert!(label.is_some() && label < table, "titled ones first, in their order: {home}");
    assert!(home.contains("href=\"attachments/b%2050%25.pdf\" download"), "{home}");
    assert!(pages["lessons/second.html"].contains("download href=\"../attachments/b%2050%25.pdf\">label</a>"));
    assert_eq!(fs::read(room.path("site/attachments/b 50%.pdf")).expect("published"), b"%PDF-1.4 label");
    let sheet = fs::read_to_string(room.path("site/assets/site.css")).expect("the stylesheet");
    let dense = sheet.replace([' ', '\n'], "");
    assert!(dense.contains("--tk-cover:#ffd400;--tk-on-cover:#0f1f18;"), "a light band has dark words");
}

#[test]
fn own_cautions_terms_and_phrases_are_used_as_those_of_the_stock() {
    let room = Room::new("own-words");
    course(&room, "");
    room.write(
        "course/cautions.yaml",
        "cautions:\n  - id: storm-drain\n    severity: danger\n    text: Never on the *street*.\n    jurisdiction: Ohio crews\n    sources: [our own rule, \"Storm & drains, the town\"]\n",
    );
    room.write(
        "course/glossary.yaml",
        "terms:\n  - id: pad\n    term: wash pad\n    text: Where we rinse; see [label](term:label).\n    source: our own word\n  - id: label\n    term: label\n    text: The paper on the jug.\n    source: our own word\n",
    );
    room.write("course/phrases/en.yaml", "site.lessons: Our lessons\nsite.place: Part {position} of {total}\n");
    let body = published::original("lessons/second.md")
        .replace("Back to", "On the [pad](term:pad).\n\n```caution storm-drain\n```\n\nBack to");
    room.write("course/lessons/second.md", body);
    room.publish("course", "site");
    let pages = room.pages("site");
    let lesson = &pages["lessons/second.html"];
    assert!(lesson.contains("tk-caution--danger") && lesson.contains("Never on the <em>street</em>."), "{lesson}");
    // Where it applies and what it rests on are shown with it.
    assert!(lesson.contains("Where it applies: Ohio crews"), "{lesson}");
    assert!(lesson.contains("<cite>our own rule; Storm &amp; drains, the town"), "{lesson}");
    assert!(lesson.contains("href=\"../glossary.html#pad\"") && lesson.contains("Part 2 of 2"), "{lesson}");
    let glossary = &pages["glossary.html"];
    assert!(glossary.contains("id=\"pad\"") && glossary.contains("The paper on the jug."), "{glossary}");
    assert_eq!(glossary.matches("id=\"label\"").count(), 1, "the course's term replaces the stock's");
    assert!(pages["index.html"].contains(">Our lessons<"));
}

#[test]
fn a_draft_is_left_out_and_a_link_to_it_is_a_mistake() {
    let room = Room::new("own-draft");
    course(&room, "");
    room.publish("course", "whole");
    let first = published::original("lessons/first.md").replace("See [the second](second.md#walk).", "<!-- see -->");
    room.write("course/lessons/first.md", &first);
    let draft = published::original("lessons/second.md").replace("---\n\n# Walk", "draft: true\n---\n\n# Walk");
    room.write("course/lessons/second.md", &draft);
    let done = room.run(&["publish", "course", "--to", "site"]);
    // Nothing asks the bank of the lesson that is left out; that is no error.
    assert!(done.code == Some(0) && !done.err.contains("  error "), "{}", done.err);
    assert!(done.out.contains("left out, still a draft: second"), "{}", done.out);
    let pages = room.pages("site");
    assert!(!pages.contains_key("lessons/second.html") && !pages["index.html"].contains("Second"));
    assert!(!pages["lessons/first.html"].contains("see -->"), "a note to oneself is not published");
    room.write("course/lessons/first.md", published::original("lessons/first.md"));
    let done = room.run(&["publish", "course", "--to", "site"]);
    assert!(done.code == Some(1) && done.err.contains("error link-to-draft"), "{}", done.err);
}

#[test]
fn a_language_of_a_courses_own_needs_every_phrase() {
    let room = Room::new("own-language");
    course(&room, "language: xx\n");
    room.write("course/phrases/xx.yaml", "site.lessons: LESSONS\n");
    let done = room.run(&["publish", "course", "--to", "site"]);
    assert!(done.err.contains("warning phrase-missing"), "{}", done.err);
    let all = room.run(&["phrases"]);
    assert!(all.out.lines().count() > 300, "{}", all.out);
    room.write("course/phrases/xx.yaml", &all.out);
    room.publish("course", "site");
    assert!(room.pages("site")["index.html"].contains("<html lang=\"xx\""));
}

/// A place in a part of which everything before is filled.
fn ends(text: &str) -> usize {
    let end = text.rfind("</body>").or_else(|| text.rfind("{%- endcomponent"));
    end.or_else(|| text.rfind("{% endblock")).unwrap_or(text.len())
}

#[test]
fn every_part_can_be_replaced_and_says_what_it_is_given() {
    let room = Room::new("own-parts");
    let all: Vec<(String, &str)> = templates().collect();
    assert!(all.len() >= 20);
    let listed = room.run(&["parts"]).out;
    let mut seen = BTreeSet::new();
    for (name, text) in &all {
        let note = template_note(text);
        assert!(!note.is_empty() && listed.contains(name.as_str()), "{name} says nothing of itself");
        assert_eq!(room.run(&["parts", name]).out.trim_end(), text.trim_end());
        course(&room, "");
        let _ = fs::remove_dir_all(room.path("course/templates"));
        // A bank on a page of its own.
        room.write(
            "course/questions/left.yaml",
            published::original("questions/small.yaml").replace("id: small", "id: left"),
        );
        // The course's own part: the stock's with a mark in its text.
        let mark = "<!-- our own -->";
        let (before, after) = text.split_at(ends(text));
        let own = format!("{before}{mark}{after}");
        room.write(&format!("course/templates/{name}"), own);
        // The bank on a page of its own gets a warning, as it should.
        let done = room.run(&["publish", "course", "--to", "site"]);
        assert!(done.code == Some(0) && !done.err.contains("  error "), "{name}: {}", done.err);
        let marked = room.pages("site").values().any(|page| page.contains(mark));
        assert!(marked, "{name} is not used");
        seen.insert(name);
        let _ = fs::remove_dir_all(room.path("site"));
    }
    assert_eq!(seen.len(), all.len());
}

#[test]
fn a_part_that_fails_names_itself_with_its_line() {
    let room = Room::new("own-parts-fail");
    course(&room, "");
    let foot = templates().find(|(name, _)| name == "parts/foot.html").map(|(_, text)| text).expect("it is there");
    for (text, part) in [
        (foot.replace("{{ site.company }}", "{{ site.companny.name }}"), "\n  course/templates/parts/foot.html:1"),
        (foot.replace("{%- endfor %}", ""), "\n  course/templates/parts/foot.html:"),
        (foot.replace("{{ site.company }}", "{{ nobody | shout }}"), "\n  course/templates/parts/foot.html"),
        (foot.replace("component foot", "component feet"), "no component `foot`"),
        (foot.replace("</footer>", "{{<foot site={site} root={root} phrases={phrases} ways={ways} place={place} />}}</footer>"), "would never end"),
        ("{% component foot(site, root, phrases, ways, place) -%}{% include \"/etc/passwd\" %}{%- endcomponent foot %}".to_owned(), "templates/parts/foot.html"),
    ] {
        room.write("course/templates/parts/foot.html", &text);
        let done = room.run(&["publish", "course", "--to", "site"]);
        assert_eq!(done.code, Some(1), "{text}: {}", done.err);
        assert!(done.err.contains("error part-fails") && done.err.contains(part), "{part}: {}", done.err);
        assert!(!room.path("site").exists());
    }
    for (written, what, write) in [
        ("{{ site.companny }}", "`site` has no `companny`", "Write `company`"),
        (
            "{{ phrases[\"site.law-shortt\"] }}",
            "`phrases` has no `site.law-shortt`",
            "Write `phrases[\"site.law-short\"]`",
        ),
        ("{% for a in site.companny %}{% endfor %}", "`site` has no `companny`", "Write `company`"),
        // The engine itself would go through the letters of a text in silence.
        (
            "{% for a in site.company %}{{ a }}{% endfor %}",
            "A loop goes through a list, and this is a text",
            "Write `{{ site.company }}` without a loop",
        ),
    ] {
        room.write("course/templates/parts/foot.html", foot.replace("{{ site.company }}", written));
        let said = room.run(&["publish", "course", "--to", "site"]).err;
        assert!(said.contains(what) && said.contains(write), "{written}: {said}");
    }
}

#[test]
fn each_part_that_fails_names_itself_with_its_line() {
    let room = Room::new("own-parts-each-fail");
    course(&room, "");
    let mut seen = 0;
    // A bank on a page of its own.
    room.write(
        "course/questions/left.yaml",
        published::original("questions/small.yaml").replace("id: small", "id: left"),
    );
    for (name, text) in templates() {
        let at = ends(text);
        let (before, after) = (&text[..at], &text[at..]);
        let line = before.matches('\n').count() + 2;
        room.write(&format!("course/templates/{name}"), format!("{before}\n{{{{ nobody.at.all }}}}{after}"));
        let done = room.run(&["publish", "course", "--to", "site"]);
        let place = format!("\n  course/templates/{name}:{line}:");
        assert!(done.code == Some(1) && done.err.contains(&place), "{name}:{line}: {}", done.err);
        assert!(done.err.contains("nobody") && done.err.contains("error part-fails"), "{name}: {}", done.err);
        assert!(!room.path("site").exists());
        let _ = fs::remove_dir_all(room.path("course/templates"));
        seen += 1;
    }
    assert!(seen >= 20);
}

#[test]
fn a_part_that_never_ends_or_grows_without_end_is_refused_at_its_place_and_soon() {
    let room = Room::new("own-parts-endless");
    course(&room, "");
    let loops = |outer: u32, inner: u32, inside: &str| {
        format!(
            "{{% for a in range(end={outer}) %}}\n{{% for b in range(end={inner}) %}}{inside}{{% endfor %}}{{% endfor %}}"
        )
    };
    let long = "x".repeat(64);
    for (inside, code, line, says) in [
        (loops(99_999, 7_777, ""), "part-endless", ":2:1\n", "more than a million turns"),
        (loops(999, 999, &long), "part-endless", "\n", "larger than 32 MiB"),
        (
            "{% set s = \"xxxx\" %}{% for a in range(end=99) %}\n{% set_global s = s ~ s %}{% endfor %}".to_owned(),
            "part-endless",
            ":2:1\n",
            "is put together",
        ),
        (format!("{{% set s %}}{}{{% endset %}}", loops(999, 999, &long)), "part-endless", ":2:", "is put together"),
        ("{% include \"parts/foot.html\" %}".to_owned(), "part-fails", ":1:", "includes itself"),
        (
            "{% include \"parts/foot-fragment.html\" %}".to_owned(),
            "part-fails",
            ":1:",
            "includes itself, and would never end",
        ),
    ] {
        let part =
            format!("{{% component foot(site, root, phrases, ways, place) -%}}{inside}{{%- endcomponent foot %}}");
        room.write("course/templates/parts/foot.html", part);
        for words in [&["publish", "course", "--to", "site"][..], &["proof", "course"]] {
            let done = room.run(words);
            let said = done.out + &done.err;
            assert_eq!(done.code, Some(1), "{inside}: {said}");
            assert!(said.contains(&format!("error {code}\n")) && said.contains(says), "{inside}: {said}");
            assert!(said.contains(&format!("\n  course/templates/parts/foot.html{line}")), "{inside}: {said}");
            assert_eq!(said.matches(&format!("error {code}\n")).count(), 1, "once, not on every page: {said}");
        }
        assert!(!room.path("site").exists());
    }
    // A file that is too large is not read at all.
    room.write("course/templates/parts/foot.html", "x".repeat(3 * 1024 * 1024));
    let done = room.run(&["publish", "course", "--to", "site"]);
    assert!(done.code == Some(1) && done.err.contains("error file-too-large"), "{}", done.err);
}

#[test]
fn the_quiz_of_a_draft_is_left_out_with_it_and_its_caution_is_not_lost() {
    let room = Room::new("own-draft-quiz");
    room.course("course");
    let bank = "id: later\ntitle: For later\nquestions:\n  - { id: a, kind: one, text: Which pail is HELDBACK?, options: [ { text: A, right: true, because: It is. }, { text: B, because: It is not. } ] }\n";
    room.write("course/questions/later.yaml", bank);
    room.write(
        "course/cautions.yaml",
        "cautions:\n  - { id: pail, severity: notice, text: Rinse it., sources: [our own rule] }\n",
    );
    let lesson = |draft: &str| {
        format!(
            "---\ntitle: Later\nsummary: S.\nminutes: 2\n{draft}---\n\nWalk.\n\n```caution pail\n```\n\n```questions later\n```\n"
        )
    };
    room.write("course/lessons/later.md", lesson("draft: true\n"));
    let settings = published::original("course.yaml").replace("lessons:", "lessons: [later, first, second]\nwas:");
    let settings: String = settings.split("was:").next().unwrap_or_default().to_owned();
    room.write("course/course.yaml", &settings);
    room.publish("course", "site");
    assert!(!room.path("site/checks/later.html").exists());
    let all = |room: &Room| {
        let files = room.digests("site").into_keys().filter(|name| name.ends_with(".html") || name.ends_with(".js"));
        files
            .filter(|name| {
                std::fs::read_to_string(room.path(&format!("site/{name}"))).is_ok_and(|text| text.contains("HELDBACK"))
            })
            .count()
    };
    assert_eq!(all(&room), 0, "neither a page nor the drill asks it");
    let proof = room.run(&["proof", "course"]);
    assert!(!proof.out.contains("later") && !proof.out.contains("pail"), "{}", proof.out);
    room.write("course/lessons/later.md", lesson(""));
    room.publish("course", "site");
    assert!(all(&room) > 0, "once the lesson is ready, it is asked");
}

#[test]
#[cfg(unix)]
fn a_file_of_own_words_that_leads_out_of_the_course_is_named_and_nothing_else_is_blamed() {
    let room = Room::new("own-outside");
    for (name, text) in [
        (
            "cautions.yaml",
            "cautions:\n  - { id: wash-pad, severity: notice, text: Rinse it., sources: [our own rule] }\n",
        ),
        (
            "glossary.yaml",
            "terms:\n  - { id: wash-pad, term: wash pad, text: Where we rinse., source: our own rule }\n",
        ),
        ("phrases/en.yaml", "site.lessons: Ours\n"),
    ] {
        room.course("course");
        room.write("course/phrases/.keep", "");
        room.write("elsewhere.yaml", text);
        std::os::unix::fs::symlink(room.path("elsewhere.yaml"), room.path(&format!("course/{name}")))
            .expect("a link can be made");
        let body = match name {
            "cautions.yaml" => "\n```caution wash-pad\n```\n",
            "glossary.yaml" => "\nOn the [pad](term:wash-pad).\n",
            _ => "",
        };
        room.write("course/lessons/first.md", published::original("lessons/first.md").to_owned() + body);
        let done = room.run(&["proof", "course"]);
        assert!(done.code == Some(1) && done.out.contains("outside-course") && done.out.contains(name), "{}", done.out);
        assert!(!done.out.contains("unknown"), "{name}: {}", done.out);
        std::fs::remove_dir_all(room.path("course")).expect("it was just written");
    }
}

#[test]
fn a_maximum_in_a_lessons_words_is_told_when_it_is_published_in_the_courses_language_too() {
    let room = Room::new("own-maximum");
    let lesson = |said: &str| {
        format!(
            "---\ntitle: First\nsummary: The first lesson.\nminutes: 3\n---\n\n```worked-example mix\ncalculator: tank-mix\ngiven:\n  tank: 200 gal\n  application-rate: 2 gal/1000 ft2\n  product: [ {{ rate: 1.5 fl oz/1000 ft2 }} ]\n```\n\n{said}\n"
        )
    };
    room.course("course");
    room.write("course/questions/small.yaml", published::original("questions/small.yaml"));
    room.write(
        "course/lessons/second.md",
        "---\ntitle: Second\nsummary: The second.\n---\n\n```questions small\n```\n",
    );
    room.write("course/phrases/en.yaml", "desk.limit-before: höchstens, nicht mehr als\n");
    for (said, told) in [
        ("The label allows AT MOST 1.0 FL OZ/1000 FT2.", true),
        ("Como máximo 1.0 fl oz/1000 ft2.", true),
        ("Höchstens 1.0 fl oz/1000 ft2.", true),
        ("At most 2.0 fl oz/1000 ft2, usually 1.0 fl oz/1000 ft2.", false),
    ] {
        room.write("course/lessons/first.md", lesson(said));
        let done = room.run(&["publish", "course", "--to", "site"]);
        assert_eq!(done.code, Some(0), "{said}: {}", done.err);
        let marked = done.err.contains("warning example-danger") && done.err.contains("course/lessons/first.md:15:");
        assert_eq!(marked, told, "{said}: {}", done.err);
        // Proofreading says it once.
        let proofread = room.run(&["proof", "course"]);
        let all = proofread.out + &proofread.err;
        assert_eq!(all.matches("example-danger").count(), usize::from(told), "{said}: {all}");
    }
}

#[test]
fn a_course_whose_language_has_no_words_for_a_maximum_gets_a_warning_when_it_is_published() {
    let room = Room::new("own-no-maximum");
    let words = "desk.limit-before: höchstens\n";
    for (language, phrases, told) in [("de", "", true), ("de", words, false), ("es", "", false), ("es-MX", "", false)] {
        course(&room, &format!("language: {language}\n"));
        room.write(&format!("course/phrases/{language}.yaml"), format!("site.lessons: LESSONS\n{phrases}"));
        let done = room.run(&["publish", "course", "--to", "site"]);
        assert_eq!(done.code, Some(0), "{language}: {}", done.err);
        assert_eq!(done.err.contains("warning limit-words-missing"), told, "{language}: {}", done.err);
    }
}
