//! The form of a worked example: what the lesson is about first, the rest folded under one line.

use super::{Notes, Options, choices, read_to, rows, unfolds};
use crate::calculation::declare::{Calculator, FormItem, Holds, Input, Need};
use crate::calculation::inputs::RawInputs;
use crate::quantity::kind::Kind;
use crate::quantity::typed;
use crate::quantity::unit::Unit;
use crate::text::escape::{html, markup};
use crate::text::figures::exact;
use crate::text::texts::{joined, replaced};
use crate::words::phrases::Phrases;
use crate::words::say;

/// A form in the making.
pub(super) struct Form<'a> {
    pub(super) calculator: &'static Calculator,
    pub(super) given: &'a RawInputs,
    pub(super) notes: &'a Notes,
    pub(super) options: &'a Options<'a>,
    pub(super) phrases: &'a Phrases,
    pub(super) out: String,
}

/// The whole form element.
#[inline(never)]
pub(super) fn form(
    calculator: &'static Calculator,
    given: &RawInputs,
    notes: &Notes,
    options: &Options,
    phrases: &Phrases,
) -> String {
    // As long as a form is, as a rule: growing copies what is there.
    let mut out = String::with_capacity(16 * 1024);
    out.push_str("<form class=\"tk-form\" data-part=\"form\" autocomplete=\"off\" novalidate>\n");
    let mut form = Form { calculator, given, notes, options, phrases, out };
    let (mut first, mut rest): (Vec<&FormItem>, Vec<&FormItem>) = (Vec::new(), Vec::new());
    match options.first {
        None => first.extend(calculator.inputs),
        Some(names) => {
            first.extend(names.iter().filter_map(|name| calculator.inputs.iter().find(|item| item.name() == *name)));
            rest.extend(calculator.inputs.iter().filter(|item| !names.contains(&item.name())));
        }
    }
    form.items(&first);
    let finely = read_to::fields(&form);
    if !rest.is_empty() || !finely.is_empty() {
        let wrong = rest.iter().any(|item| notes.about(item.name())) || notes.about("read-to");
        let key = if rest.is_empty() { "uncertainty.form" } else { "fragment.more-inputs" };
        let title = html(phrases.get(key));
        // Fields are always there, folded or not: their numbers are read.
        unfolds(&mut form.out, "inputs", wrong, &title);
        form.items(&rest);
        read_to::put_fields(&mut form, &finely, !rest.is_empty());
        form.out.push_str("</details>\n");
    }
    form.out.push_str("</form>\n");
    form.out
}

impl Form<'_> {
    /// Entries in this order; single fields that follow one another share one box.
    fn items(&mut self, items: &[&'static FormItem]) {
        let mut open = false;
        let named = items.iter().filter(|item| matches!(item, FormItem::Many(_))).count() > 1;
        for item in items {
            let single = matches!(item, FormItem::One(_));
            if single != open {
                self.out.push_str(if single { "<div class=\"tk-form__fields\">\n" } else { "</div>\n" });
                open = single;
            }
            match item {
                FormItem::One(input) => self.field(input),
                FormItem::Many(group) => rows::rows(self, group, named),
            }
        }
        if open {
            self.out.push_str("</div>\n");
        }
    }

    fn field(&mut self, input: &'static Input) {
        let id = self.id(input.name);
        self.labelled(input, input.name, &self.about(input.name, &id, &id));
        self.hint(input, &id, !self.notes.unusual.iter().any(|name| name == input.name));
        self.error(input.name, &id);
        self.out.push_str("</div>\n");
    }

    /// A field with its name before it and its unit after it, one line; the caller adds its messages and closes it.
    pub(super) fn labelled(&mut self, input: &'static Input, flat: &str, about: &str) {
        let label = say::input_name(self.calculator, flat, 2, self.phrases);
        let heading = say::input_label(self.calculator, flat, 1, self.phrases);
        let (id, text) = (self.id(flat), self.text(flat));
        let unusual = self.notes.unusual.iter().any(|name| name == flat);
        markup!(
            &mut self.out,
            "<div class=\"tk-field",
            if unusual { " tk-field--unusual" } else { "" },
            "\" data-name=\"",
            flat,
            "\"><label class=\"tk-field__label\" for=\"",
            &id,
            "\">",
            html(&heading),
            "</label> <span class=\"tk-field__entry\">"
        );
        match input.holds {
            Holds::Quantity(Kind::Number) => {
                let number = self.split(&text, Kind::Number, input).0;
                self.number(about, "decimal", &number);
            }
            Holds::Quantity(kind) => {
                let (number, unit) = self.split(&text, kind, input);
                self.number(about, "decimal", &number);
                let unit = unit.unwrap_or_else(|| input.unit(self.options.system));
                let of = self.phrases.fill("fragment.unit-of", |place| (place == "input").then(|| label.clone()));
                self.units(input, kind, &unit, &[" name=\"", flat, "@\""], &of);
            }
            _ => self.words(input, &text, about),
        }
        self.out.push_str("</span>");
    }

    /// The id of a field, unique on the page.
    pub(super) fn id(&self, flat: &str) -> String {
        [&html(self.options.name), "-", &flat.replace('.', "-")].concat()
    }

    /// What was given for a field, or what it is when left out.
    pub(super) fn text(&self, flat: &str) -> String {
        self.given.text(flat).unwrap_or_default().trim().to_owned()
    }

    /// The attributes by which a control is found, described and, where it cannot be read, marked.
    pub(super) fn about(&self, flat: &str, id: &str, hint: &str) -> String {
        let invalid = if self.notes.error(flat).is_some() { " aria-invalid=\"true\"" } else { "" };
        [" id=\"", id, "\" name=\"", flat, "\" aria-describedby=\"", hint, "-hint ", id, "-error\"", invalid].concat()
    }

    pub(super) fn number(&mut self, about: &str, keys: &str, text: &str) {
        markup!(
            &mut self.out,
            "<input class=\"tk-field__number\" placeholder=\" \"",
            about,
            " type=\"text\" inputmode=\"",
            keys,
            "\" value=\"",
            html(text),
            "\">"
        );
    }

    /// What is not a quantity: a count, a choice, a unit, a name.
    pub(super) fn words(&mut self, input: &Input, text: &str, about: &str) {
        match input.holds {
            Holds::Count => self.number(about, "numeric", if text.is_empty() { default_of(input) } else { text }),
            Holds::Choice(words) => {
                markup!(&mut self.out, "<select class=\"tk-field__choice\"", about, ">");
                for (index, word) in words.iter().enumerate() {
                    let chosen = text == *word || (text.is_empty() && index == 0);
                    let key = [self.calculator.id, ".word.", word].concat();
                    let label = html(self.phrases.get(&key));
                    self.option(word, chosen, &label);
                }
                self.out.push_str("</select>");
            }
            Holds::Unit => {
                markup!(&mut self.out, "<select class=\"tk-field__choice\"", about, ">");
                let chosen = Unit::parse(text).unwrap_or_default();
                choices::put(&mut self.out, input, Kind::Any, &chosen, self.options.system);
                self.out.push_str("</select>");
            }
            Holds::Name | Holds::Quantity(_) => markup!(
                &mut self.out,
                "<input class=\"tk-field__words\" placeholder=\" \"",
                about,
                " type=\"text\" maxlength=\"60\" value=\"",
                html(text),
                "\">"
            ),
        }
    }

    fn option(&mut self, value: &str, chosen: bool, label: &str) {
        let begins = if chosen { "\" selected>" } else { "\">" };
        markup!(&mut self.out, "<option value=\"", value, begins, label, "</option>");
    }

    /// The unit beside a number or in the head of a column: a choice, or plain where there is only one.
    pub(super) fn units(&mut self, input: &Input, kind: Kind, unit: &Unit, name: &[&str], label: &str) {
        let name = name.concat();
        if let Some(only) = choices::only(input, kind, unit, self.options.system) {
            let plain = html(&only.plain());
            let attributes = replaced(&name, "name=", "data-of=");
            markup!(
                &mut self.out,
                "<span class=\"tk-field__unit tk-field__unit--fixed\"",
                &attributes,
                " data-unit=\"",
                &plain,
                "\">",
                html(&only.shown()),
                "</span>"
            );
            return;
        }
        markup!(&mut self.out, "<select class=\"tk-field__unit\"", &name, " aria-label=\"", html(label), "\">");
        choices::put(&mut self.out, input, kind, unit, self.options.system);
        self.out.push_str("</select>");
    }

    /// The text of a number field, and the unit that was written with it.
    pub(super) fn split(&self, text: &str, kind: Kind, input: &Input) -> (String, Option<Unit>) {
        let own = !text.is_empty();
        let text = if own { text } else { default_of(input) };
        match typed::read(text, kind, None) {
            Ok(typed) => {
                // What counts where nobody wrote anything is shown in the units of the form.
                let unit = if own { typed.unit } else { input.unit(self.options.system) };
                let value = if own { typed.value() } else { say::default_in(&typed, &unit) };
                (self.phrases.number(for_field(value)), Some(unit))
            }
            Err(_) => {
                let (number, unit) = trailing_unit(text);
                match unit.filter(|unit| kind.takes(unit)) {
                    Some(unit) => (self.phrases.number(number), Some(unit)),
                    None => (self.phrases.number(text.to_owned()), None),
                }
            }
        }
    }

    /// What is usual for an input; shown beside the field that is being typed in, and where a number is unusual.
    pub(super) fn hint(&mut self, input: &Input, id: &str, hidden: bool) {
        let mut hints = Vec::new();
        if matches!(input.need, Need::Optional) {
            hints.push(self.phrases.get("hint.optional").to_owned());
        }
        if let (Some(bounds), Some(kind)) = (input.limits(self.options.system), input.kind()) {
            let range = say::usual_range(&bounds, input, kind, self.options.system, self.phrases);
            hints.push(self.phrases.fill("hint.usually", |place| (place == "range").then(|| range.clone())));
        }
        if let Some(own) = self.phrases.find(&[self.calculator.id, ".hint.", input.name].concat()) {
            hints.push(own.to_owned());
        }
        let text = html(&joined(&hints, " "));
        let hidden = if hidden { " hidden" } else { "" };
        markup!(&mut self.out, "<span class=\"tk-field__hint\" id=\"", id, "-hint\"", hidden, ">", &text, "</span>");
    }

    pub(super) fn error(&mut self, flat: &str, id: &str) {
        let text = html(self.notes.error(flat).unwrap_or_default());
        markup!(
            &mut self.out,
            "<span class=\"tk-field__error\" id=\"",
            id,
            "-error\" data-for=\"",
            flat,
            "\">",
            &text,
            "</span>"
        );
    }
}

/// A number as it is typed into a field: digits and a point.
fn for_field(value: f64) -> String {
    exact(value).replace(',', "").replace('−', "-")
}

/// What an input is when it is left empty; an empty text if it has no default.
pub(super) fn default_of(input: &Input) -> &'static str {
    match input.need {
        Need::Default(text) => text,
        _ => "",
    }
}

/// A unit at the end of a text that is not a quantity yet ("abc fl oz"), so that a half-typed field keeps its unit.
fn trailing_unit(text: &str) -> (String, Option<Unit>) {
    let starts = text.char_indices().filter(|(_, letter)| *letter == ' ').map(|(index, _)| index);
    for index in std::iter::once(0).chain(starts) {
        if let Some(unit) = Unit::parse(&text[index..]) {
            return (text[..index].trim().to_owned(), Some(unit));
        }
    }
    (text.to_owned(), None)
}
