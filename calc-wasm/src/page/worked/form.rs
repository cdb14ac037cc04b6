//! The form of a worked example.

use super::Options;
use super::answer::own_or_usual;
use crate::problem::declare::{Calculator, Entry, Group, Holds, Input, Need};
use crate::problem::given::RawInputs;
use crate::quantity::kind::Kind;
use crate::quantity::typed;
use crate::quantity::unit::Unit;
use crate::text::escape::html;
use crate::text::texts::{joined, parted};
use crate::words::phrases::{Phrases, capital};
use crate::words::say;
use crate::working::record::System;

struct Form<'a> {
    calculator: &'static Calculator,
    given: &'a RawInputs,
    errors: &'a [(String, String)],
    options: &'a Options<'a>,
    phrases: &'a Phrases,
    out: String,
}

/// The whole form element.
pub(super) fn form(
    calculator: &'static Calculator,
    given: &RawInputs,
    errors: &[(String, String)],
    options: &Options,
    phrases: &Phrases,
) -> String {
    let out = String::from("<form class=\"tk-form\" data-part=\"form\" autocomplete=\"off\" novalidate>\n");
    let mut form = Form { calculator, given, errors, options, phrases, out };
    let mut open = false;
    for entry in calculator.inputs {
        match entry {
            Entry::One(input) => {
                if !open {
                    form.out.push_str("<div class=\"tk-form__fields\">\n");
                    open = true;
                }
                form.field(input, input.name);
            }
            Entry::Many(group) => {
                if open {
                    form.out.push_str("</div>\n");
                    open = false;
                }
                form.group(group);
            }
        }
    }
    if open {
        form.out.push_str("</div>\n");
    }
    form.tools();
    form.out.push_str("</form>\n");
    form.out
}

impl Form<'_> {
    fn group(&mut self, group: &'static Group) {
        let rows = self.given.rows(group.name).min(group.most);
        let name = capital(self.phrases.get(&format!("{}.group.{}", self.calculator.id, group.name)));
        for row in 1..=rows {
            let legend = if group.most > 1 { format!("{name} {row}") } else { name.clone() };
            self.out.push_str(&format!(
                "<fieldset class=\"tk-group\" data-group=\"{}\" data-row=\"{row}\"><legend class=\"tk-group__legend\">{}</legend>\n<div class=\"tk-group__fields\">\n",
                group.name,
                html(&legend)
            ));
            for field in group.fields {
                self.field(field, &format!("{}.{row}.{}", group.name, field.name));
            }
            self.out.push_str("</div>\n");
            if rows > group.least {
                let words = self.group_words("drop", group.name);
                self.out.push_str(&format!(
                    "<button type=\"button\" class=\"tk-button tk-button--quiet\" data-do=\"drop\" data-row=\"{}.{row}\">{} {row}</button>\n",
                    group.name, html(&words)
                ));
            }
            self.out.push_str("</fieldset>\n");
        }
        if rows < group.most {
            let fields: Vec<&str> = group.fields.iter().map(|field| field.name).collect();
            let words = self.group_words("add", group.name);
            self.out.push_str(&format!(
                "<p class=\"tk-form__more\"><button type=\"button\" class=\"tk-button tk-button--quiet\" data-do=\"add\" data-group=\"{}\" data-fields=\"{}\">{}</button></p>\n",
                group.name, fields.join(","), html(&words)
            ));
        }
    }

    fn group_words(&self, what: &str, group: &str) -> String {
        let key = format!("{}.{what}.{group}", self.calculator.id);
        self.phrases.get(&key).to_owned()
    }

    fn field(&mut self, input: &'static Input, flat: &str) {
        let (phrases, options) = (self.phrases, self.options);
        let id = format!("{}-{}", html(options.name), flat.replace('.', "-"));
        let label = say::input_name(self.calculator, flat, 1, phrases);
        let error = self.errors.iter().find(|(about, _)| about == flat).map(|(_, text)| text.as_str());
        let text = self.given.text(flat).unwrap_or_default().trim().to_owned();
        self.out.push_str(&format!(
            "<div class=\"tk-field\" data-name=\"{flat}\"><label class=\"tk-field__label\" for=\"{id}\">{}</label> <span class=\"tk-field__entry\">",
            html(&capital(&label))
        ));
        let invalid = if error.is_some() { " aria-invalid=\"true\"" } else { "" };
        let about = format!(" id=\"{id}\" name=\"{flat}\" aria-describedby=\"{id}-hint {id}-error\"{invalid}");
        match input.holds {
            Holds::Quantity(kind) => self.quantity(input, kind, &text, &about, &label),
            Holds::Count => self.out.push_str(&format!(
                "<input class=\"tk-field__number\"{about} type=\"text\" inputmode=\"numeric\" value=\"{}\">",
                html(if text.is_empty() { default_of(input) } else { &text })
            )),
            Holds::Choice(words) => self.choice(words, &text, &about),
            Holds::Unit => self.unit(input, &text, &about),
            Holds::Name => self.out.push_str(&format!(
                "<input class=\"tk-field__words\"{about} type=\"text\" maxlength=\"60\" value=\"{}\">",
                html(&text)
            )),
        }
        self.out.push_str(&format!(
            "</span> <span class=\"tk-field__hint\" id=\"{id}-hint\">{}</span> <span class=\"tk-field__error\" id=\"{id}-error\">{}</span></div>\n",
            html(&self.hint(input)),
            html(error.unwrap_or_default())
        ));
    }

    fn quantity(&mut self, input: &Input, kind: Kind, text: &str, about: &str, label: &str) {
        let text = if text.is_empty() { default_of(input) } else { text };
        let (number, unit) = split(text, kind, input, self.options.system);
        self.out.push_str(&format!(
            "<input class=\"tk-field__number\"{about} type=\"text\" inputmode=\"decimal\" value=\"{}\">",
            html(&number)
        ));
        if kind == Kind::Number {
            return;
        }
        let offered = offered(input, kind, &unit, self.options.system);
        if let [only] = offered.as_slice() {
            self.out.push_str(&format!(
                "<span class=\"tk-field__unit tk-field__unit--fixed\" data-unit=\"{}\">{}</span>",
                html(&only.plain()),
                html(&only.shown())
            ));
            return;
        }
        let name = parted(about, "name=\"").and_then(|(_, rest)| rest.split('"').next()).unwrap_or_default();
        let unit_of = self.phrases.fill("fragment.unit-of", |place| (place == "input").then(|| label.to_owned()));
        self.out
            .push_str(&format!("<select class=\"tk-field__unit\" name=\"{name}@\" aria-label=\"{}\">", html(&unit_of)));
        for choice in &offered {
            let selected = if *choice == unit { " selected" } else { "" };
            self.out.push_str(&format!(
                "<option value=\"{}\"{selected}>{}</option>",
                html(&typed::unit_text(choice, kind)),
                html(&choice.shown())
            ));
        }
        self.out.push_str("</select>");
    }

    fn choice(&mut self, words: &[&str], text: &str, about: &str) {
        self.out.push_str(&format!("<select class=\"tk-field__choice\"{about}>"));
        for (index, word) in words.iter().enumerate() {
            let chosen = text == *word || (text.is_empty() && index == 0);
            let selected = if chosen { " selected" } else { "" };
            let label = self.phrases.get(&format!("{}.word.{word}", self.calculator.id)).to_owned();
            self.out.push_str(&format!("<option value=\"{word}\"{selected}>{}</option>", html(&label)));
        }
        self.out.push_str("</select>");
    }

    fn unit(&mut self, input: &Input, text: &str, about: &str) {
        self.out.push_str(&format!("<select class=\"tk-field__choice\"{about}>"));
        let chosen = Unit::of(text);
        for unit in offered(input, Kind::Any, &chosen, self.options.system) {
            let selected = if unit == chosen { " selected" } else { "" };
            let value = html(&typed::unit_text(&unit, Kind::Any));
            self.out.push_str(&format!("<option value=\"{value}\"{selected}>{}</option>", html(&unit.shown())));
        }
        self.out.push_str("</select>");
    }

    fn hint(&self, input: &Input) -> String {
        let mut hints = Vec::new();
        if matches!(input.need, Need::Optional) {
            hints.push(self.phrases.get("hint.optional").to_owned());
        }
        if let (Some(bounds), Some(_)) = (input.bounds, input.kind()) {
            let range = say::range(bounds.plausible, bounds.unit, input.unit(self.options.system), self.phrases);
            hints.push(self.phrases.fill("hint.usually", |place| (place == "range").then(|| range.clone())));
        }
        if let Some((us, metric)) = input.read_to {
            let (amount, unit) = self.options.system.pick(us, metric);
            let fineness = format!("{} {}", crate::text::figures::exact(amount), Unit::of(unit).shown());
            hints.push(self.phrases.fill("hint.read-to", |place| (place == "amount").then(|| fineness.clone())));
        }
        if let Some(own) = self.phrases.find(&format!("{}.hint.{}", self.calculator.id, input.name)) {
            hints.push(own.to_owned());
        }
        capital(&joined(&hints, "; "))
    }

    fn tools(&mut self) {
        let other = self.options.system.pick(System::Metric, System::Us);
        let button = |attributes: &str, key: &str| {
            format!(
                "<button type=\"button\" class=\"tk-button\" {attributes}>{}</button>\n",
                html(self.phrases.get(key))
            )
        };
        let units = button(&format!("data-do=\"units\" data-units=\"{}\"", other.id()), other.pick_key());
        let reset = own_or_usual(self.calculator, "reset", self.phrases);
        let reset =
            format!("<button type=\"button\" class=\"tk-button\" data-do=\"reset\">{}</button>\n", html(&reset));
        let link = button("data-do=\"link\"", "fragment.link");
        self.out.push_str(&format!("<div class=\"tk-form__tools\">{units}{reset}{link}</div>\n"));
    }
}

impl System {
    fn pick_key(self) -> &'static str {
        self.pick("fragment.show-us", "fragment.show-metric")
    }
}

fn default_of(input: &Input) -> &'static str {
    match input.need {
        Need::Default(text) => text,
        _ => "",
    }
}

/// The text of the number field and the unit chosen beside it.
fn split(text: &str, kind: Kind, input: &Input, system: System) -> (String, Unit) {
    let usual = Unit::of(input.unit(system));
    match typed::read(text, kind, None) {
        Ok(typed) => {
            let number = crate::text::figures::exact(typed.value());
            (number.replace(',', "").replace('−', "-"), typed.unit)
        }
        Err(_) => {
            let (number, unit) = trailing_unit(text);
            unit.filter(|unit| kind.takes(unit)).map_or((text.to_owned(), usual), |unit| (number, unit))
        }
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

fn offered(input: &Input, kind: Kind, unit: &Unit, system: System) -> Vec<Unit> {
    let (one, any) = ([kind], kind == Kind::Any);
    let mut units: Vec<Unit> = vec![Unit::of(input.unit(system))];
    for kind in if any { kind.members() } else { &one } {
        let (us, metric) = kind.offered();
        units.extend(system.pick(us, metric).iter().chain(system.pick(metric, us)).map(|text| Unit::of(text)));
    }
    if any {
        units.extend(crate::quantity::units::ATOMS.iter().map(|atom| Unit::of(atom.symbol)));
    }
    units.push(unit.clone());
    let fixed = input.units.0 == "%" && kind == Kind::Share;
    let mut kept: Vec<Unit> = Vec::new();
    for unit in units {
        let fits = !fixed || unit.plain() == "%";
        if fits && !unit.is_none() && !kept.contains(&unit) {
            kept.push(unit);
        }
    }
    kept
}
