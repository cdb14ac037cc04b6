//! A limit on the work of a course's own parts: turns of their loops are counted, and texts that they put together are
//! measured. The template engine has no such limit, so calls that do both are put into a part before it is read.

use std::cell::Cell;
use std::ops::Range;

use crate::load::next_tag;
use tera::{Error, Kwargs, State, Tera, TeraResult, Value};

/// The most turns that the loops of a course's own parts may take on one page.
const MOST_TURNS: usize = 1_000_000;
/// The most bytes of a text, and the most entries of a list, that such a part may put together.
const LONGEST: usize = 4 * 1024 * 1024;
/// What says that a limit was reached.
const REACHED: [&str; 2] = ["take more than a million turns", "is put together"];
/// The functions that are called for it.
const TURN: &str = "a_turn_of_a_loop";
const MADE: &str = "a_text_is_made";
/// The function that is called in front of a loop, since the engine would go through the letters of a text in silence.
const LIST: &str = "a_list_is_gone_through";

thread_local! {
    /// Turns so far on the page that this thread makes.
    static TURNS: Cell<usize> = const { Cell::new(0) };
}

/// A new page is begun on this thread.
pub(super) fn begin_page() {
    TURNS.set(0);
}

/// Makes the functions known to the engine.
pub(super) fn register(tera: &mut Tera) {
    tera.register_function(TURN, |_: Kwargs, _: &State| -> TeraResult<Value> {
        TURNS.set(TURNS.get() + 1);
        if TURNS.get() > MOST_TURNS {
            return Err(Error::message("the loops of one page take more than a million turns together"));
        }
        Ok(Value::from(""))
    });
    tera.register_function(MADE, |given: Kwargs, _: &State| -> TeraResult<Value> {
        let made = given.must_get::<Value>("of")?;
        if made.as_str().map(str::len).or_else(|| made.len()).is_some_and(|length| length > LONGEST) {
            return Err(Error::message(format!("a text of more than {} MiB is put together", LONGEST / 1024 / 1024)));
        }
        Ok(Value::from(""))
    });
    tera.register_function(LIST, |given: Kwargs, _: &State| -> TeraResult<Value> {
        if given.get::<Value>("of")?.is_some_and(|value| value.as_str().is_some()) {
            return Err(Error::message("Iteration not possible on `string`"));
        }
        Ok(Value::from(""))
    });
}

/// What a loop goes through, where that is a name: `site.lessons` in `for lesson in site.lessons %}`, by its place.
fn gone_through(said: &str) -> Option<Range<usize>> {
    let from = said.find(" in ")? + 4;
    let from = from + (said[from..].len() - said[from..].trim_start().len());
    let name = said[from..].trim_end_matches('}').trim_end_matches('%').trim_end_matches('-').trim_end();
    let plain = |letter: char| letter.is_ascii_alphanumeric() || matches!(letter, '_' | '.');
    (name.starts_with(|letter: char| letter.is_ascii_alphabetic()) && name.chars().all(plain))
        .then(|| from..from + name.len())
}

/// What to say where a report of the engine is that of a limit.
pub(super) fn limit(message: &str) -> Option<String> {
    let reached = REACHED.iter().position(|words| message.contains(words))?;
    Some(match reached {
        0 => "the loops of one page take more than a million turns together".to_owned(),
        _ => format!("a text of more than {} MiB is put together", LONGEST / 1024 / 1024),
    })
}

/// A part with the calls in it.
#[derive(Debug)]
pub(super) struct Counted {
    pub(super) text: String,
    /// Where calls were put, in the text as it is now, with their lengths and the place in the part that they are about.
    added: Vec<(usize, usize, Range<usize>)>,
}

impl Counted {
    pub(super) fn of(part: &str) -> Self {
        let mut counted = Self { text: String::with_capacity(part.len()), added: Vec::new() };
        let mut blocks: Vec<&str> = Vec::new();
        let mut rest = part;
        while let Some((before, tag, after)) = next_tag(rest) {
            counted.text.push_str(before);
            rest = after;
            let start = part.len() - after.len() - tag.len();
            let inside = tag.strip_prefix("{%");
            if let Some((said, of)) = inside
                .and_then(|inside| inside.trim_start_matches('-').trim_start().strip_prefix("for "))
                .and_then(|said| Some((said, gone_through(said)?)))
            {
                let call = format!("{LIST}(of={})", &said[of.clone()]);
                // Blanks in front of the loop are lost where they would be without the call.
                let call =
                    if tag.starts_with("{%-") { format!("{{{{- {call} }}}}") } else { format!("{{{{ {call} }}}}") };
                let from = start + tag.len() - said.len();
                counted.added.push((counted.text.len(), call.len(), from + of.start..from + of.end));
                counted.text.push_str(&call);
            }
            counted.text.push_str(tag);
            let Some(inside) = inside else { continue };
            let words = inside.trim_start_matches('-').trim_start();
            let (word, said) = words.split_once(char::is_whitespace).unwrap_or((words, ""));
            let name =
                |said: &'_ str| said.len() - said.trim_start_matches(|c: char| c.is_alphanumeric() || c == '_').len();
            let call = match word.trim_end_matches(['%', '}', '-']) {
                "raw" => {
                    let end = rest.find("endraw").unwrap_or(rest.len());
                    counted.text.push_str(&rest[..end]);
                    rest = &rest[end..];
                    continue;
                }
                "for" => format!("{TURN}()"),
                "set" | "set_global" => {
                    let said = said.trim_start();
                    let (made, more) = said.split_at(name(said));
                    if more.trim_start().starts_with('=') {
                        format!("{MADE}(of={made})")
                    } else {
                        blocks.push(made);
                        continue;
                    }
                }
                "endset" | "endset_global" => match blocks.pop() {
                    Some(made) if !made.is_empty() => format!("{MADE}(of={made})"),
                    _ => continue,
                },
                _ => continue,
            };
            // What follows loses its blanks where it would have without the call.
            let call = if tag.ends_with("-%}") { format!("{{{{- {call} -}}}}") } else { format!("{{{{ {call} }}}}") };
            counted.added.push((counted.text.len(), call.len(), start..start + tag.len()));
            counted.text.push_str(&call);
        }
        counted.text.push_str(rest);
        counted
    }

    /// A place in this text as a place in the part; that of a call is what it is about.
    pub(super) fn place(&self, here: &Range<usize>) -> Range<usize> {
        let mut call = self.added.iter().filter(|(from, length, _)| (*from..from + length).contains(&here.start));
        if let Some((_, _, about)) = call.next() {
            return about.clone();
        }
        self.back(here.start)..self.back(here.end)
    }

    fn back(&self, at: usize) -> usize {
        let before = self.added.iter().take_while(|(from, ..)| *from < at);
        at - before.map(|(from, length, _)| (*length).min(at - from)).sum::<usize>()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn calls_are_put_into_loops_and_after_texts_and_places_lead_back() {
        let part = "a {# {% for x in y %} #}{% for x in \"%}\" -%} b {% endfor %}{{ '{% for' }}{% raw %}{% for z in y %}{% endraw %}\n{%- set s = s ~ s %}{% set t %}c{% endset %}";
        let counted = Counted::of(part);
        let wanted = "a {# {% for x in y %} #}{% for x in \"%}\" -%}{{- a_turn_of_a_loop() -}} b {% endfor %}{{ '{% for' }}{% raw %}{% for z in y %}{% endraw %}\n{%- set s = s ~ s %}{{ a_text_is_made(of=s) }}{% set t %}c{% endset %}{{ a_text_is_made(of=t) }}";
        assert_eq!(counted.text, wanted);
        for word in [" b ", "endfor", "s ~ s", "c{", "{% endset %}"] {
            let (now, then) = (wanted.find(word).expect("it is there"), part.find(word).expect("as above"));
            assert_eq!(counted.place(&(now..now + 1)), then..then + 1, "{word}");
        }
        let call = wanted.find("turn_of").expect("it is there");
        assert_eq!(&part[counted.place(&(call..call + 4))], "{% for x in \"%}\" -%}");
        let loops = "a {%- for x in site.all -%} b {% endfor %}{% for k, v in f(x=1) %}{% endfor %}";
        let counted = Counted::of(loops);
        let call = counted.text.find("a_list_is").expect("it is there");
        assert!(counted.text.starts_with("a {{- a_list_is_gone_through(of=site.all) }}{%- for"), "{}", counted.text);
        assert_eq!(&loops[counted.place(&(call..call + 4))], "site.all");
        assert_eq!(counted.text.matches("a_list_is").count(), 1);
        for open in ["{% for", "{{ x", "{# y", "a { b"] {
            assert_eq!(Counted::of(open).text, open);
        }
    }

    #[test]
    fn every_stock_part_is_filled_as_before() {
        let parts: Vec<(String, &str)> = crate::load::stock_parts().collect();
        let mut counted = Tera::default();
        register(&mut counted);
        let texts = parts.iter().map(|(name, text)| (name.clone(), Counted::of(text).text));
        assert!(counted.add_raw_templates(texts).is_ok());
        assert!(parts.iter().any(|(_, text)| Counted::of(text).added.len() > 3));
    }
}
