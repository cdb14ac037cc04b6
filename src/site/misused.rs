//! Values in a template part that are not what a filter, a sum, a loop or a component takes, in our words.

use crate::problem::offer;

/// The texts between backticks in a message.
fn quoted(message: &str) -> Vec<&str> {
    message.split('`').skip(1).step_by(2).collect()
}

/// A kind of value in plain words, by the template engine's name for it.
fn kind(name: &str) -> &'static str {
    match name {
        "string" | "&str" => "a text",
        "array" | "Vec<Value>" | "&[Value]" => "a list",
        "map/struct" | "Map" => "a group of values",
        "bool" => "yes or no",
        "none" | "undefined" => "nothing",
        _ => "a number",
    }
}

/// What is wrong, and what to write, for a message of the template engine about the values it was given.
pub(super) fn misused(message: &str, marked: &str) -> Option<(String, Option<String>)> {
    let names = quoted(message);
    let name = |at: usize| names.get(at).copied().unwrap_or_default();
    if marked.starts_with("throw(") {
        let title = format!("this part stops here by its own `throw`: {}", message.trim_end_matches('.'));
        return Some((title, Some("mend what it says, or take the `throw` out".to_owned())));
    }
    if message.starts_with("Invalid type for the value") {
        let title = format!("a filter here takes {}, and is given {}", kind(name(0)), kind(name(1)));
        let help = format!("put {} in front of the filter, or take the filter out", kind(name(0)));
        return Some((title, Some(help)));
    }
    if message.starts_with("This filter can only be used on a number") {
        let title = format!("a filter here takes a number, and is given {}", kind(name(0)));
        return Some((title, Some("put a number in front of the filter, or take the filter out".to_owned())));
    }
    if message.starts_with("Missing keyword argument") {
        let call = marked.split('(').next().unwrap_or_default().trim();
        let call = if call.is_empty() { "filter" } else { call };
        return Some((format!("`{call}` needs `{}`", name(0)), Some(format!("write `{call}({}=…)`", name(0)))));
    }
    if message.starts_with("Math operations") || message.starts_with("`+` requires") {
        let title = "only numbers can be added or multiplied, and one of these is not a number".to_owned();
        return Some((title, Some("join texts with `~`; a text of digits becomes a number with `| int`".to_owned())));
    }
    if message.starts_with("Iteration not possible") {
        let kind = kind(name(0));
        let path = !marked.is_empty() && marked.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '_' | '.'));
        let help = (path && kind == "a text").then(|| format!("write `{{{{ {marked} }}}}` without a loop"));
        return Some((format!("a loop goes through a list, and this is {kind}"), help));
    }
    if message.starts_with("Key/value iteration") {
        let title = format!("a loop with two names goes through a group of values, and this is {}", kind(name(0)));
        return Some((title, Some("write one name, `{% for item in … %}`".to_owned())));
    }
    if message.starts_with("Unknown argument(s)") {
        let (unknown, known) = message.split_once("in component call").unwrap_or((message, ""));
        let unknown = quoted(unknown).first().copied().unwrap_or_default();
        let help = offer(unknown, quoted(known)).unwrap_or_else(|| "take it out".to_owned());
        return Some((format!("this component takes no `{unknown}`"), Some(help)));
    }
    if message.starts_with("Component argument") {
        let (want, got) = (kind(name(2)), kind(name(1)));
        return Some((format!("this component takes {want} as `{}`, and is given {got}", name(0)), None));
    }
    if message.ends_with("missing.") || message.starts_with("Implicit argument") {
        let key = name(0);
        let title = format!("this component needs `{key}`, and is not given it");
        return Some((title, Some(format!("write `{key}={{{key}}}` into the call"))));
    }
    if message.starts_with("Variable") && message.contains("is not defined") {
        let help = offer(name(0), message.rsplit(": ").next().unwrap_or_default().split(", "));
        return Some((format!("there is no `{}` here", name(0)), help));
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_kind_of_misuse_is_said_with_what_to_write() {
        for (message, marked, title, help) in [
            (
                "Invalid type for the value, expected `Number` but got `string`",
                "site.company",
                "a filter here takes a number, and is given a text",
                "put a number in front of the filter, or take the filter out",
            ),
            (
                "Iteration not possible on `string`",
                "site.company",
                "a loop goes through a list, and this is a text",
                "write `{{ site.company }}` without a loop",
            ),
            (
                "Missing keyword argument `length`",
                "truncate(len=3)",
                "`truncate` needs `length`",
                "write `truncate(length=…)`",
            ),
            (
                "Unknown argument(s) `phrase` in component call. Possible argument(s) are: `phrases`",
                "<law phrase={phrases} />",
                "this component takes no `phrase`",
                "write `phrases`",
            ),
            (
                "Argument `phrases` missing.",
                "<law />",
                "this component needs `phrases`, and is not given it",
                "write `phrases={phrases}` into the call",
            ),
            (
                "no logo here",
                "throw(message=\"no logo here\")",
                "this part stops here by its own `throw`: no logo here",
                "mend what it says, or take the `throw` out",
            ),
        ] {
            let (said, write) = misused(message, marked).expect(message);
            assert_eq!((said.as_str(), write.as_deref()), (title, Some(help)), "{message}");
        }
        assert!(misused("Field `compny` is not defined.", "site.compny").is_none());
    }
}
