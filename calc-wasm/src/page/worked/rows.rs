//! Rows that repeat as one compact table: a row a catch, the unit chosen once in the column's head.

use super::form::Form;
use super::put;
use crate::calculation::declare::{Group, Holds, Input};
use crate::quantity::kind::Kind;
use crate::quantity::unit::Unit;
use crate::text::escape::html;
use crate::words::say;

/// Fields that are next to each other on a phone; more go on a further line of their row.
const ABREAST: usize = 3;

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
    put(
        &mut form.out,
        &["<div class=\"tk-rows\" data-group=\"", group.name, "\" role=\"group\" aria-label=\"", &name, "\">\n"],
    );
    if rows > 0 {
        let lines = lines(form, group, rows);
        let columns = columns(form, group, rows);
        let caption = if named { "tk-rows__name" } else { "tk-spoken" };
        put(
            &mut form.out,
            &["<table class=\"tk-rows__table\"><caption class=\"", caption, "\">", &name, "</caption>\n<thead>"],
        );
        head(form, group, &lines, &columns);
        form.out.push_str("</thead>\n");
        for row in 1..=rows {
            body(form, group, row, rows > group.least, &lines, &columns);
        }
        form.out.push_str("</table>\n<div class=\"tk-rows__notes\">");
        for input in group.fields {
            let flat = |row: usize| [group.name, ".", &row.to_string(), ".", input.name].concat();
            let usual = (1..=rows).all(|row| !form.notes.unusual.contains(&flat(row)));
            let id = form.id(&[group.name, ".", input.name].concat());
            form.hint(input, &id, usual);
            for row in 1..=rows {
                let flat = flat(row);
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
        put(
            &mut form.out,
            &[
                "<p class=\"tk-form__more\"><button type=\"button\" class=\"tk-quiet\" data-do=\"add\" data-group=\"",
                group.name,
                "\" data-fields=\"",
                &fields.join(","),
                "\">+ ",
                &words,
                "</button></p>\n",
            ],
        );
    }
}

/// The fields of a row, line by line: up to three abreast; with more, a name has a line of its own, left out where no
/// row has one.
fn lines(form: &Form, group: &'static Group, rows: usize) -> Vec<Vec<&'static Input>> {
    let fields = group.fields;
    if fields.len() <= ABREAST {
        return vec![fields.iter().collect()];
    }
    let (names, others): (Vec<&Input>, Vec<&Input>) =
        fields.iter().partition(|input| matches!(input.holds, Holds::Name));
    let used = |input: &&&Input| {
        form.options.first.is_none()
            || (1..=rows)
                .any(|row| !form.text(&[group.name, ".", &row.to_string(), ".", input.name].concat()).is_empty())
    };
    let mut lines: Vec<Vec<&Input>> = names.iter().filter(used).map(|name| vec![*name]).collect();
    let abreast = if others.len() % ABREAST == 0 || others.len() > 4 { ABREAST } else { 2 };
    lines.extend(others.chunks(abreast).map(<[&Input]>::to_vec));
    lines
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

fn column_of<'c>(group: &Group, columns: &'c [Column], input: &Input) -> &'c Column {
    let index = group.fields.iter().position(|field| field.name == input.name);
    index.and_then(|index| columns.get(index)).unwrap_or(&Column::Plain)
}

/// The attribute of the last cell of a line that is shorter than the others.
fn span(line: &[&Input], index: usize, width: usize) -> String {
    let over = if index + 1 == line.len() { width - index } else { 1 };
    if over > 1 { [" colspan=\"", &over.to_string(), "\""].concat() } else { String::new() }
}

fn head(form: &mut Form, group: &'static Group, lines: &[Vec<&'static Input>], columns: &[Column]) {
    let width = lines.iter().map(Vec::len).max().unwrap_or(1);
    for (number, line) in lines.iter().enumerate() {
        form.out.push_str("<tr>");
        let blank = ["<td rowspan=\"", &lines.len().to_string(), "\"></td>"].concat();
        if number == 0 {
            form.out.push_str(&blank);
        }
        for (index, input) in line.iter().enumerate() {
            let flat = [group.name, ".", input.name].concat();
            let name = [group.name, ".1.", input.name].concat();
            let label = say::input_name(form.calculator, &name, 1, form.phrases);
            let heading = say::input_label(form.calculator, &name, 1, form.phrases);
            put(
                &mut form.out,
                &[
                    "<th scope=\"col\"",
                    &span(line, index, width),
                    "><span class=\"tk-rows__label\">",
                    &html(&heading),
                    "</span>",
                ],
            );
            if let Column::Head(kind, unit) = column_of(group, columns, input) {
                let of = form.phrases.fill("fragment.unit-of", |place| (place == "input").then(|| label.clone()));
                form.out.push(' ');
                form.units(input, *kind, unit, &[" name=\"", &flat, "@\""], &of);
            }
            form.out.push_str("</th>");
        }
        if number == 0 {
            form.out.push_str(&blank);
        }
        form.out.push_str("</tr>\n");
    }
}

fn body(
    form: &mut Form,
    group: &'static Group,
    row: usize,
    may_go: bool,
    lines: &[Vec<&'static Input>],
    columns: &[Column],
) {
    let width = lines.iter().map(Vec::len).max().unwrap_or(1);
    let (number, tall) = (row.to_string(), [" rowspan=\"", &lines.len().to_string(), "\""].concat());
    put(&mut form.out, &["<tbody class=\"tk-rows__row\" data-row=\"", &number, "\">"]);
    for (at, line) in lines.iter().enumerate() {
        form.out.push_str("<tr>");
        if at == 0 {
            put(&mut form.out, &["<th scope=\"row\" class=\"tk-rows__number\"", &tall, ">", &number, "</th>"]);
        }
        for (index, input) in line.iter().enumerate() {
            let flat = [group.name, ".", &number, ".", input.name].concat();
            let (id, text) = (form.id(&flat), form.text(&flat));
            let label = say::input_name(form.calculator, &flat, 2, form.phrases);
            let hint = form.id(&[group.name, ".", input.name].concat());
            let heading = say::input_label(form.calculator, &flat, 2, form.phrases);
            let about = [&form.about(&flat, &id, &hint), " aria-label=\"", &html(&heading), "\""].concat();
            let unusual = form.notes.unusual.contains(&flat);
            let class = if unusual { " class=\"tk-field--unusual\"" } else { "" };
            put(&mut form.out, &["<td", class, &span(line, index, width), ">"]);
            match (input.holds, column_of(group, columns, input)) {
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
        if at == 0 {
            put(&mut form.out, &["<td class=\"tk-rows__end\"", &tall, ">"]);
            if may_go {
                let key = [form.calculator.id, ".drop.", group.name].concat();
                let words = html(&form.phrases.fill(&key, |place| (place == "row").then(|| number.clone())));
                put(
                    &mut form.out,
                    &[
                        "<button type=\"button\" class=\"tk-rows__drop\" data-do=\"drop\" data-row=\"",
                        group.name,
                        ".",
                        &number,
                        "\" aria-label=\"",
                        &words,
                        "\">×</button>",
                    ],
                );
            }
            form.out.push_str("</td>");
        }
        form.out.push_str("</tr>");
    }
    form.out.push_str("</tbody>\n");
}
