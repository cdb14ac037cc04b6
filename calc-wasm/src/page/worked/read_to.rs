//! Fields in which somebody says how finely each number was read; one for a column of rows.

use super::form::Form;
use crate::calculation::declare::{Face, FormItem, Group, Input, Need};
use crate::calculation::read_to::{PREFIX, target, usual};
use crate::text::escape::{html, markup};
use crate::words::say;

/// A field and the input whose reading it is about.
pub(super) struct Finely {
    name: String,
    input: &'static Input,
}

/// The fields for all that is given; none for a calculator whose results rest on no readings.
pub(super) fn fields(form: &Form) -> Vec<Finely> {
    let calculator = form.calculator;
    if calculator.uncertain.is_empty() || calculator.face != Face::Results {
        return Vec::new();
    }
    let mut found = Vec::new();
    let mut take = |name: String, input: &'static Input, given: bool| {
        let name = [PREFIX, &name].concat();
        // On its own page every quantity may have been read, but what has a default, such as a tolerance, is a choice.
        let any = form.options.first.is_none() && !matches!(input.need, Need::Default(_));
        if given && (input.read_to.is_some() || any) && target(calculator, &name).is_some() {
            found.push(Finely { name, input });
        }
    };
    for item in calculator.inputs {
        match item {
            FormItem::One(input) => {
                let text = form.text(input.name);
                // Nobody read what the field holds by default.
                let by_itself = text.is_empty()
                    || matches!(input.need, Need::Default(usual) if usual == text || text.starts_with("0 "));
                take(input.name.to_owned(), input, !by_itself);
            }
            FormItem::Many(group) => {
                for input in group.fields {
                    take([group.name, ".", input.name].concat(), input, some_row(form, group, input));
                }
            }
        }
    }
    found
}

fn some_row(form: &Form, group: &Group, input: &Input) -> bool {
    (1..=form.given.rows(group.name))
        .any(|row| !form.text(&[group.name, ".", &row.to_string(), ".", input.name].concat()).is_empty())
}

/// The fields one after another; `titled` where other inputs are above them.
pub(super) fn put_fields(form: &mut Form, fields: &[Finely], titled: bool) {
    if fields.is_empty() {
        return;
    }
    let title = html(form.phrases.get("uncertainty.form"));
    if titled {
        markup!(&mut form.out, "<p class=\"tk-rows__name\">", &title, "</p>\n");
    }
    markup!(&mut form.out, "<div class=\"tk-form__fields\" role=\"group\" aria-label=\"", &title, "\">\n");
    for Finely { name, input } in fields {
        let (id, text) = (form.id(name), html(&form.phrases.number(form.text(name))));
        let own = name.strip_prefix(PREFIX).unwrap_or(name).replacen('.', ".1.", 1);
        let label = say::input_label(form.calculator, &own, 1, form.phrases);
        let usually = match usual(input, form.options.system) {
            Some(read) => {
                let amount = say::as_typed(&read, form.phrases);
                form.phrases.fill("uncertainty.form-usual", |place| (place == "amount").then(|| amount.clone()))
            }
            None => form.phrases.get("uncertainty.form-given").to_owned(),
        };
        let invalid = if form.notes.error(name).is_some() { "\" aria-invalid=\"true" } else { "" };
        markup!(
            &mut form.out,
            "<div class=\"tk-field\"><label class=\"tk-field__label\" for=\"",
            &id,
            "\">",
            html(&[&label, ", ", &usually].concat()),
            "</label><span class=\"tk-field__entry\"><input class=\"tk-field__words\" id=\"",
            &id,
            "\" name=\"",
            name,
            "\" value=\"",
            &text,
            "\" aria-describedby=\"",
            &id,
            "-error",
            invalid,
            "\"></span>"
        );
        form.error(name, &id);
        form.out.push_str("</div>\n");
    }
    form.out.push_str("</div>\n");
}
