//! Words after a fence that were meant as one of our blocks: `caution-clean-water`, `questions:first-week`, `worked example
//! gun`. Markdown shows such a block as code, and with it goes a caution, an example or a quiz.

use std::ops::Range;

use super::alarm::WARNS;
use super::fence::{CAUTION, QUESTIONS, WORKED, level_of};
use super::writer::Writer;
use crate::notation::is_name;
use crate::problem::{alike, code, nearest};

/// Words after a fence by which a caution is probably meant.
pub(super) const ALARMS: &[&str] = &[
    "advertencia",
    "alert",
    "atención",
    "attention",
    "aviso",
    "beware",
    "careful",
    "caution",
    "cuidado",
    "danger",
    "hazard",
    "important",
    "note",
    "notice",
    "peligro",
    "precaución",
    "safety",
    "warn",
    "warning",
];

/// How much of the words after a fence is quoted.
const QUOTED: usize = 60;

/// The words of a text, in lower case, without what is between them.
fn words(text: &str) -> Vec<String> {
    let words = text.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty());
    words.map(str::to_lowercase).collect()
}

/// Whether a word is another one, or a slip of it.
fn close(typed: &str, word: &str) -> bool {
    typed == word || nearest(typed, [word]).is_some()
}

/// The alarm that a word is, in the singular.
pub(super) fn alarm(word: &str) -> Option<&str> {
    let one = word.strip_suffix('s').unwrap_or(word);
    ALARMS.iter().copied().find(|alarm| *alarm == word || *alarm == one)
}

/// The level to suggest for such a word.
fn level(word: &str) -> &'static str {
    match word {
        "danger" | "hazard" | "peligro" => "danger",
        "note" | "notice" | "important" | "aviso" => "notice",
        _ => "warning",
    }
}

/// Which of our blocks the words after a fence begin like, and the name that follows.
fn meant(info: &str, body: &str) -> Option<(&'static str, String)> {
    let words = words(info.get(..info.floor_char_boundary(200))?);
    let (first, rest) = words.split_first()?;
    let named = |fused: &str, rest: &[String]| {
        let parts = [fused].into_iter().chain(rest.iter().map(String::as_str));
        parts.filter(|part| !part.is_empty()).collect::<Vec<_>>().join("-")
    };
    if let [second, rest @ ..] = rest
        && close(&format!("{first}-{second}"), WORKED)
    {
        return Some((WORKED, named("", rest)));
    }
    for (start, construct) in [("workedexample", WORKED), ("caution", CAUTION), ("question", QUESTIONS)] {
        if let Some(fused) = first.strip_prefix(start) {
            return Some((construct, named(fused.strip_prefix('s').unwrap_or(fused), rest)));
        }
    }
    let worked = body.lines().any(|line| line.starts_with("calculator:"));
    if first == "worked" || close(first, WORKED) || (worked && close(first, "example")) {
        return Some((WORKED, named("", rest)));
    }
    if let Some(near) = [CAUTION, QUESTIONS].into_iter().find(|construct| close(first, construct)) {
        return Some((near, named("", rest)));
    }
    // Another word for it, and one name: `quiz safety-first`, `example our-catch`.
    let mut typed = info.split_whitespace();
    let one_name = typed.next().is_some() && typed.next().is_some_and(is_name) && typed.next().is_none();
    let other = |words: &[&str]| one_name && words.contains(&first.as_str());
    if other(QUIZZES) {
        return Some((QUESTIONS, named("", rest)));
    }
    other(EXAMPLES).then(|| (WORKED, named("", rest)))
}

/// Other words for a block of questions, and for a worked example.
const QUIZZES: &[&str] = &["bank", "check", "exam", "exercise", "exercises", "practice", "quiz", "quizzes", "test"];
const EXAMPLES: &[&str] = &["calc", "calculation", "calculator", "demo", "example", "problem", "try"];

/// Whether the lines of a block are those of a worked example.
fn is_worked(body: &str) -> bool {
    has_only(body, &["calculator", "title", "units", "show", "first", "given"]) && body.contains("calculator:")
}

/// Whether the lines of a block are those of a block of questions.
fn is_quiz(body: &str) -> bool {
    has_only(body, &["ask", "pass", "counts", "also"])
}

/// Whether a text has lines `key: value` with these keys and no others; what is indented belongs to the line above.
fn has_only(body: &str, keys: &[&str]) -> bool {
    let mut lines =
        body.lines().filter(|line| !line.trim().is_empty() && !line.starts_with([' ', '\t', '#', '-', '}', ']']));
    let key = |line: &str| line.split_once(':').is_some_and(|(key, _)| keys.contains(&key.trim_end()));
    lines.next().is_some_and(key) && lines.all(key)
}

impl Writer<'_> {
    /// A block that looks like one of ours but is not: it is reported, because its lines would be shown as code.
    /// `place` is that of the words after its fence.
    pub(super) fn tell_meant(&mut self, info: &str, body: &str, place: Range<usize>) {
        if self.tell_lost_caution(info, body, place.clone()) {
            return;
        }
        // Under `yaml`, or under nothing at all, it is still what it holds.
        let held = || is_worked(body).then(|| (WORKED, String::new()));
        let by_name = meant(info, body).or_else(|| self.bank_within(info).map(|bank| (QUESTIONS, bank)));
        let by_lines = by_name.is_none();
        let quiz = || is_quiz(body).then(|| (QUESTIONS, String::new()));
        let Some((construct, name)) = by_name.or_else(held).or_else(quiz) else {
            if self.tell_caution_within(info, body, place.clone()) {
                return;
            }
            return self.tell_block_within(body, place);
        };
        let write = self.block_to_write(construct, &name, body);
        if construct == CAUTION {
            return self.lost_caution(info, place, write);
        }
        if construct == WORKED {
            // Numbers that lead to it have nothing wrong with them.
            self.examples.entry(name).or_insert(place.clone());
        }
        let shown: String = info.trim().chars().take(QUOTED).collect();
        let title = if by_lines {
            format!("this block has the lines of a block `{construct}`, and is shown as it is")
        } else {
            format!("there is no block `{shown}`")
        };
        let problem = self.problem(code::CONSTRUCT_UNKNOWN, title, place);
        self.problems.push(problem.help(format!("{write}, or another word if this is meant to be shown as it is")));
    }

    /// A bank that is named anywhere after a fence: `mcq safety-first`.
    fn bank_within(&self, info: &str) -> Option<String> {
        let mut typed = info[..info.floor_char_boundary(200)].split_whitespace();
        typed.find(|word| self.context.banks.contains(*word)).map(str::to_owned)
    }

    /// Whatever the first word of a block is: one with the name of a caution, or a word that warns, further on was meant
    /// as a caution.
    fn tell_caution_within(&mut self, info: &str, body: &str, place: Range<usize>) -> bool {
        let near = &info[..info.floor_char_boundary(200)];
        let known = near.split_whitespace().find(|word| self.context.cautions.contains(*word));
        let help = match (known, words(near).iter().find(|word| WARNS.contains(&word.as_str()))) {
            (Some(known), _) => stock(known),
            (None, Some(word)) => self.caution_to_write("", body, level(word)),
            (None, None) => return false,
        };
        self.lost_caution(info, place, help);
        true
    }

    /// Whether a block or a mark with these words was meant as a caution: it begins with a word of alarm, or it is the
    /// name of a caution. Then it is reported.
    pub(super) fn tell_lost_caution(&mut self, info: &str, body: &str, place: Range<usize>) -> bool {
        let typed = words(&info[..info.floor_char_boundary(200)]);
        let Some((first, rest)) = typed.split_first() else { return false };
        let whole = typed.join("-");
        let known = |name: &str| self.context.cautions.contains(name);
        let help = if known(&whole) || known(first) {
            stock(if known(&whole) { &whole } else { first })
        } else if let Some(alarm) = alarm(first) {
            self.caution_to_write(&rest.join("-"), body, level(alarm))
        } else {
            return false;
        };
        self.lost_caution(info, place, help);
        true
    }

    fn lost_caution(&mut self, info: &str, place: Range<usize>, help: String) {
        let shown: String = info.trim().chars().take(QUOTED).collect();
        let title = format!("a block named `{shown}` is shown as it is, so this caution would be lost");
        let problem = self.problem(code::CAUTION_LOST, title, place);
        self.problems.push(problem.help(help));
    }

    /// What to write for a block of ours whose words are not as they should be.
    pub(super) fn block_to_write(&self, construct: &str, name: &str, body: &str) -> String {
        match construct {
            CAUTION => self.caution_to_write(name, body, "warning"),
            QUESTIONS => {
                let banks = || self.context.banks.iter().map(String::as_str);
                let known = banks().find(|bank| *bank == name).or_else(|| nearest(name, banks()));
                match known.or_else(|| Some(name).filter(|name| is_name(name))) {
                    Some(bank) => format!("write `questions {bank}`"),
                    None => {
                        let any = banks().find(|bank| *bank == "safety-first").or_else(|| banks().next());
                        format!("write for example `questions {}`", any.unwrap_or("first-week"))
                    }
                }
            }
            _ if is_name(name) => format!("write `worked-example {name}`"),
            _ => "write for example `worked-example first-catch`".to_owned(),
        }
    }

    /// What to write for a caution with a name, or with the name of none.
    fn caution_to_write(&self, name: &str, body: &str, level: &str) -> String {
        let known = || self.context.cautions.iter().map(String::as_str);
        let mut parts = name.splitn(2, '-');
        if let Some(level) = parts.next().filter(|level| level_of(level).is_some() && known().all(|one| one != name)) {
            let own = format!("write `caution {level}` after the fence, and the sentences below it");
            return match parts.next().filter(|rest| known().any(|one| one == *rest)) {
                Some(one) => format!("{own}; or `caution {one}`, and leave the block empty"),
                None => own,
            };
        }
        let found = known().find(|known| *known == name || *known == body.trim());
        let near = || nearest(name, known()).or_else(|| alike(name, known()).first().copied());
        match found.or_else(|| near().filter(|_| !name.is_empty())) {
            Some(found) => stock(found),
            None => format!("write `caution {level}` after the fence, and the sentences below it"),
        }
    }

    /// What to write for one of our blocks with more than one word after it, or another sign in its name.
    pub(super) fn name_to_write(&self, construct: &str, after: &str, body: &str) -> String {
        let each: Vec<&str> = after.split_whitespace().collect();
        let known = |name: &&str| match construct {
            CAUTION => self.context.cautions.contains(*name),
            QUESTIONS => self.context.banks.contains(*name),
            _ => false,
        };
        if let [first, second, ..] = each.as_slice()
            && each.iter().all(known)
        {
            return format!("write a block of its own for each: `{construct} {first}`, then `{construct} {second}`");
        }
        // `questions first-week.yaml`: the file in place of its name.
        let file = after.trim().trim_end_matches(".yaml").trim_end_matches(".yml");
        let file = file.rsplit('/').next().filter(known);
        let name = file.map_or_else(|| words(after).join("-"), str::to_owned);
        self.block_to_write(construct, &name, body)
    }
}

/// What to write for a caution that has its own sentences.
fn stock(name: &str) -> String {
    format!("write `caution {name}` after the fence, and leave the block empty")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whatever_begins_like_one_of_our_blocks_is_seen() {
        for (info, expected) in [
            ("caution-hose-trip", Some((CAUTION, "hose-trip"))),
            ("caution:hose-trip", Some((CAUTION, "hose-trip"))),
            ("caution: hose-trip", Some((CAUTION, "hose-trip"))),
            ("cautions hose-trip", Some((CAUTION, "hose-trip"))),
            ("Caution hose-trip", Some((CAUTION, "hose-trip"))),
            ("CAUTION", Some((CAUTION, ""))),
            ("{caution} hose-trip", Some((CAUTION, "hose-trip"))),
            ("cautionhose-trip", Some((CAUTION, "hose-trip"))),
            ("cuation-hose-trip", Some((CAUTION, "hose-trip"))),
            ("caution_hose_trip", Some((CAUTION, "hose-trip"))),
            ("questions:first-week", Some((QUESTIONS, "first-week"))),
            ("question first-week", Some((QUESTIONS, "first-week"))),
            ("qestions first-week", Some((QUESTIONS, "first-week"))),
            ("worked example our-catch", Some((WORKED, "our-catch"))),
            ("worked-example:our-catch", Some((WORKED, "our-catch"))),
            ("worked_example our-catch", Some((WORKED, "our-catch"))),
            ("workedexample our-catch", Some((WORKED, "our-catch"))),
            ("Worked-Examples our-catch", Some((WORKED, "our-catch"))),
            ("worked our-catch", Some((WORKED, "our-catch"))),
            ("worked-exampel our-catch", Some((WORKED, "our-catch"))),
            ("example our-catch", Some((WORKED, "our-catch"))),
            ("quiz first-week", Some((QUESTIONS, "first-week"))),
            ("example", None),
            ("check what is written", None),
            ("text", None),
            ("yaml", None),
            ("", None),
        ] {
            let expected = expected.map(|(construct, name)| (construct, name.to_owned()));
            assert_eq!(meant(info, ""), expected, "{info}");
        }
        let worked = meant("example our-catch", "calculator: catch-test\n");
        assert_eq!(worked, Some((WORKED, "our-catch".to_owned())));
    }
}
