//! Rows that repeat: as one compact table, a row a catch, the unit chosen once in the column's head; or, where a row has
//! more fields than fit next to each other, each row with its fields one under another.

use super::form::Form;
use crate::calculation::declare::{Group, Holds, Input};
use crate::quantity::kind::Kind;
use crate::quantity::unit::Unit;
use crate::text::escape::{html, markup};
use crate::text::texts::joined;
use crate::words::say;

/// Fields that are next to each other on a phone.
const ABREAST: usize = 3;

/// Whether a row has more fields than fit next to each other; a name takes the room of two.
fn is_long(group: &Group) -> bool {
    let names = group.fields.iter().filter(|input| matches!(input.holds, Holds::Name)).count();
    group.fields.len() + names > ABREAST
}

/// Where the unit of a column is chosen.
enum Column {
    /// It has none.
    Plain,
    /// In the head, for all rows.
    Head(Kind, Unit),
    /// In each row, because the rows differ.
    Each(Kind),
}

/// The rows of a group; `named` where another group is next to it.
pub(super) fn rows(form: &mut Form, group: &'static Group, named: bool) {
    let rows = form.given.rows(group.name).min(group.most);
    let name = html(form.phrases.label(&[form.calculator.id, ".group.", group.name].concat()));
    markup!(
        &mut form.out,
        "<div class=\"tk-rows\" data-group=\"",
        group.name,
        "\" role=\"group\" aria-label=\"",
        &name,
        "\">\n"
    );
    if rows > 0 {
        let long = is_long(group);
        if long {
            if named {
                markup!(&mut form.out, "<p class=\"tk-rows__name\">", &name, "</p>\n");
            }
            let fields = used(form, group, rows);
            for row in 1..=rows {
                stacked(form, group, row, rows > group.least, &fields);
            }
        } else {
            let columns = columns(form, group, rows);
            let caption = if named { "tk-rows__name" } else { "tk-spoken" };
            markup!(
                &mut form.out,
                "<table class=\"tk-rows__table\"><caption class=\"",
                caption,
                "\">",
                &name,
                "</caption>\n<thead>"
            );
            head(form, group, &columns);
            form.out.push_str("</thead>\n");
            for row in 1..=rows {
                body(form, group, row, rows > group.least, &columns);
            }
            form.out.push_str("</table>\n");
        }
        form.out.push_str("<div class=\"tk-rows__notes\">");
        for input in group.fields {
            let flat = |row: usize| [group.name, ".", &row.to_string(), ".", input.name].concat();
            let usual = (1..=rows).all(|row| !form.notes.unusual.contains(&flat(row)));
            let id = form.id(&[group.name, ".", input.name].concat());
            form.hint(input, &id, usual);
            // Where each field has a line of its own, its error is there.
            for flat in (1..=rows).filter(|_| !long).map(flat) {
                let id = form.id(&flat);
                form.error(&flat, &id);
            }
        }
        form.out.push_str("</div>\n");
    }
    form.out.push_str("</div>\n");
    if rows < group.most {
        let words = html(form.phrases.get(&[form.calculator.id, ".add.", group.name].concat()));
        let fields: Vec<&str> = group.fields.iter().map(|field| field.name).collect();
        markup!(
            &mut form.out,
            "<p class=\"tk-form__more\"><button type=\"button\" class=\"tk-quiet\" data-do=\"add\" data-group=\"",
            group.name,
            "\" data-fields=\"",
            &joined(&fields, ","),
            "\">+ ",
            &words,
            "</button></p>\n"
        );
    }
}

/// The fields of a row; in a lesson without a name that no row has.
fn used(form: &Form, group: &'static Group, rows: usize) -> Vec<&'static Input> {
    let given = |input: &Input| {
        (1..=rows).any(|row| !form.text(&[group.name, ".", &row.to_string(), ".", input.name].concat()).is_empty())
    };
    let shown = |input: &&Input| form.options.first.is_none() || !matches!(input.holds, Holds::Name) || given(input);
    group.fields.iter().filter(shown).collect()
}

/// A row whose fields are one under another, each with its name and its unit.
fn stacked(form: &mut Form, group: &'static Group, row: usize, may_go: bool, fields: &[&'static Input]) {
    let number = row.to_string();
    markup!(
        &mut form.out,
        "<div class=\"tk-rows__row tk-rows__row--long\" data-row=\"",
        &number,
        "\"><span class=\"tk-rows__number\">",
        &number,
        "</span><div class=\"tk-form__fields\">\n"
    );
    for input in fields {
        let flat = [group.name, ".", &number, ".", input.name].concat();
        let id = form.id(&flat);
        let hint = form.id(&[group.name, ".", input.name].concat());
        let heading = say::input_label(form.calculator, &flat, 2, form.phrases);
        let about = [&form.about(&flat, &id, &hint), " aria-label=\"", &html(&heading), "\""].concat();
        form.labelled(input, &flat, &about);
        form.error(&flat, &id);
        form.out.push_str("</div>\n");
    }
    form.out.push_str("</div><span class=\"tk-rows__end\">");
    drop(form, group, &number, may_go);
    form.out.push_str("</span></div>\n");
}

/// The button that takes a row away.
fn drop(form: &mut Form, group: &Group, number: &str, may_go: bool) {
    if !may_go {
        return;
    }
    let key = [form.calculator.id, ".drop.", group.name].concat();
    let words = html(&form.phrases.fill(&key, |place| (place == "row").then(|| number.to_owned())));
    markup!(
        &mut form.out,
        "<button type=\"button\" class=\"tk-rows__drop\" data-do=\"drop\" data-row=\"",
        group.name,
        ".",
        number,
        "\" aria-label=\"",
        &words,
        "\">×</button>"
    );
}

fn columns(form: &Form, group: &'static Group, rows: usize) -> Vec<Column> {
    let column = |input: &Input| {
        let Holds::Quantity(kind) = input.holds else { return Column::Plain };
        if kind == Kind::Number {
            return Column::Plain;
        }
        let mut units = (1..=rows).filter_map(|row| {
            let text = form.text(&[group.name, ".", &row.to_string(), ".", input.name].concat());
            if text.is_empty() { None } else { form.split(&text, kind, input).1 }
        });
        let first = units.next().unwrap_or_else(|| input.unit(form.options.system));
        if units.all(|unit| unit == first) { Column::Head(kind, first) } else { Column::Each(kind) }
    };
    group.fields.iter().map(column).collect()
}

fn head(form: &mut Form, group: &'static Group, columns: &[Column]) {
    form.out.push_str("<tr><td></td>");
    for (input, column) in group.fields.iter().zip(columns) {
        let flat = [group.name, ".", input.name].concat();
        let name = [group.name, ".1.", input.name].concat();
        let label = say::input_name(form.calculator, &name, 1, form.phrases);
        let heading = say::input_label(form.calculator, &name, 1, form.phrases);
        markup!(&mut form.out, "<th scope=\"col\"><span class=\"tk-rows__label\">", html(&heading), "</span>");
        if let Column::Head(kind, unit) = column {
            let of = form.phrases.fill("fragment.unit-of", |place| (place == "input").then(|| label.clone()));
            form.out.push(' ');
            form.units(input, *kind, unit, &[" name=\"", &flat, "@\""], &of);
        }
        form.out.push_str("</th>");
    }
    form.out.push_str("<td></td></tr>\n");
}

fn body(form: &mut Form, group: &'static Group, row: usize, may_go: bool, columns: &[Column]) {
    let number = row.to_string();
    markup!(
        &mut form.out,
        "<tbody class=\"tk-rows__row\" data-row=\"",
        &number,
        "\"><tr><th scope=\"row\" class=\"tk-rows__number\">",
        &number,
        "</th>"
    );
    for (input, column) in group.fields.iter().zip(columns) {
        let flat = [group.name, ".", &number, ".", input.name].concat();
        let (id, text) = (form.id(&flat), form.text(&flat));
        let label = say::input_name(form.calculator, &flat, 2, form.phrases);
        let hint = form.id(&[group.name, ".", input.name].concat());
        let heading = say::input_label(form.calculator, &flat, 2, form.phrases);
        let about = [&form.about(&flat, &id, &hint), " aria-label=\"", &html(&heading), "\""].concat();
        let unusual = form.notes.unusual.contains(&flat);
        markup!(&mut form.out, "<td", if unusual { " class=\"tk-field--unusual\"" } else { "" }, ">");
        match (input.holds, column) {
            (Holds::Quantity(kind), Column::Plain) => {
                let number = form.split(&text, kind, input).0;
                form.number(&about, "decimal", &number);
            }
            (_, Column::Plain) => form.words(input, &text, &about),
            (_, Column::Head(kind, _)) => {
                let number = form.split(&text, *kind, input).0;
                let of = [&about, " data-column=\"", group.name, ".", input.name, "\""].concat();
                form.number(&of, "decimal", &number);
            }
            (_, Column::Each(kind)) => {
                let (number, unit) = form.split(&text, *kind, input);
                let unit = unit.unwrap_or_else(|| input.unit(form.options.system));
                let of = form.phrases.fill("fragment.unit-of", |place| (place == "input").then(|| label.clone()));
                form.number(&about, "decimal", &number);
                form.units(input, *kind, &unit, &[" name=\"", &flat, "@\""], &of);
            }
        }
        form.out.push_str("</td>");
    }
    form.out.push_str("<td class=\"tk-rows__end\">");
    drop(form, group, &number, may_go);
    form.out.push_str("</td></tr></tbody>\n");
}
