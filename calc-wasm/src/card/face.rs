//! The card as HTML: two halves that fold into one, and the working behind it.

use super::{FILLS, again_by, date::Day, is_example, ladder, spread};
use crate::escape::{html, quantities};
use crate::figures::{RESULT_FIGURES, STEP_FIGURES, beside, exact, shown, to_figures, without_noise};
use crate::fragment::{self, Options};
use crate::phrases::{Phrases, capital};
use crate::record::{Found, Severity};
use crate::say;
use crate::unit::Unit;
use crate::worked::Worked;

/// Marks of a tank read in eighths, the full tank first.
const EIGHTHS: [&str; 8] = ["1", "⅞", "¾", "⅝", "½", "⅜", "¼", "⅛"];
/// Fills that products are measured for, as [`FILLS`].
const QUARTERS: [&str; FILLS.len()] = ["1", "¾", "½", "¼"];

/// Products that leave room for the tank's marks on their half.
const FEW_PRODUCTS: usize = 1;

/// The card and, folded away, how its rate was worked out.
pub fn face(worked: &Worked, options: &Options, phrases: &Phrases) -> String {
    let mut out = String::from("<div class=\"tk-answer\" data-part=\"answer\">\n");
    out.push_str(&card(worked, phrases));
    let below = options.level.clamp(2, 4) + 1;
    let (title, steps) = (html(phrases.get("card.working")), html(phrases.get("fragment.steps")));
    out.push_str(&format!(
        "<details class=\"tk-key tk-card-working\"><summary class=\"tk-key__title\">{title}</summary>\n"
    ));
    out.push_str(&(worked.calculator.draw)(worked, worked.system).figure(
        options.name,
        phrases.get("card.drawing"),
        phrases,
    ));
    out.push_str(&format!("<h{below} class=\"tk-answer__title\">{steps}</h{below}>\n"));
    out.push_str(&fragment::steps(worked, phrases));
    out.push_str(&fragment::sure(worked, options, below, phrases));
    out.push_str(&fragment::sources(worked.calculator, phrases));
    out.push_str("</details>\n</div>\n");
    out
}

/// The card alone, as it is printed.
pub(super) fn card(worked: &Worked, phrases: &Phrases) -> String {
    let label = phrases.fill("card.of", |place| match place {
        "operator" => Some(operator(worked).to_owned()),
        _ => None,
    });
    let mut face = Face { worked, phrases, out: String::new() };
    // Few products leave room beside them for the tank's marks, and so the lawns have theirs to themselves.
    let roomy = worked.inputs.row_count("product") <= FEW_PRODUCTS;
    face.out.push_str(&format!(
        "<article class=\"tk-card{}\" aria-label=\"{}\">\n<div class=\"tk-card__half\">\n",
        if roomy { " tk-card--roomy" } else { "" },
        html(&label)
    ));
    face.head();
    face.rate();
    face.cautions();
    let fold = "</div>\n<div class=\"tk-card__half\">\n";
    if roomy {
        face.lawns();
        face.out.push_str(fold);
        face.marks();
    } else {
        face.out.push_str("<div class=\"tk-card__tables\">\n");
        face.lawns();
        face.marks();
        face.out.push_str("</div>\n");
        face.out.push_str(fold);
    }
    face.products();
    face.again();
    face.out.push_str("</div>\n</article>\n");
    face.out
}

pub(super) fn operator(worked: &Worked) -> &str {
    worked.inputs.word("operator").unwrap_or_default()
}

/// The rate with its uncertainty where that is known: number, and unit.
pub(super) fn rate_text(worked: &Worked) -> (String, String) {
    let unit = Unit::of(worked.system.pick("gal/1000 ft2", "L/100 m2"));
    let value = |si: f64| shown(without_noise(si / unit.size()), RESULT_FIGURES);
    let rate = value(worked.si("application-rate").unwrap_or_default());
    (rate, unit.shown())
}

/// `± 0.05`, or nothing where the uncertainty is not known.
pub(super) fn spread_text(worked: &Worked) -> Option<String> {
    let size = Unit::of(worked.system.pick("gal/1000 ft2", "L/100 m2")).size();
    Some(format!("±\u{a0}{}", beside(spread(worked)? / size, worked.si("application-rate")? / size)))
}

/// An area to three figures: a tank's reading carries no more.
pub(super) fn area(found: Option<&Found>, worked: &Worked) -> String {
    let unit = Unit::of(worked.system.pick("ft2", "m2"));
    let si = found.and_then(|found| worked.si(&found.name())).unwrap_or_default();
    format!("{} {}", exact(to_figures(without_noise(si / unit.size()), RESULT_FIGURES)), unit.shown())
}

/// A day in the words of the language: `Apr 14, 2026`.
pub(super) fn day(day: Day, phrases: &Phrases) -> String {
    let (year, month, number) = day.parts();
    phrases.fill("card.day", |place| match place {
        "year" => Some(year.to_string()),
        "month" => Some(phrases.get(&format!("card.month.{month}")).to_owned()),
        "day" => Some(number.to_string()),
        _ => None,
    })
}

struct Face<'a> {
    worked: &'a Worked,
    phrases: &'a Phrases,
    out: String,
}

impl Face<'_> {
    fn word(&self, key: &str) -> String {
        html(self.phrases.get(key))
    }

    fn head(&mut self) {
        self.out.push_str(&format!(
            "<p class=\"tk-card__kind\">{}</p>\n<h2 class=\"tk-card__operator\">{}</h2>\n",
            self.word("card.title"),
            html(operator(self.worked))
        ));
        if is_example(self.worked) {
            self.out.push_str(&format!("<p class=\"tk-card__example\">{}</p>\n", self.word("card.invented")));
        }
        self.out.push_str("<dl class=\"tk-card__setup\">\n");
        for name in ["rig", "gun", "tip", "pressure"] {
            let inputs = &self.worked.inputs;
            let typed = inputs.typed(name).map(say::as_typed);
            let value = typed.or_else(|| inputs.word(name).map(ToOwned::to_owned));
            self.fact(name, value.as_deref());
        }
        let read = self.worked.inputs.word("date").and_then(|text| Day::read(text).ok());
        self.fact("date", read.map(|read| day(read, self.phrases)).as_deref());
        self.out.push_str("</dl>\n");
    }

    /// A line of the setup; on paper an empty one is a line to write on.
    fn fact(&mut self, name: &str, value: Option<&str>) {
        let label = html(&capital(self.phrases.get(&format!("card.input.{name}"))));
        let value = match value {
            Some(value) => format!("<dd>{}</dd>", quantities(value)),
            None => format!("<dd class=\"tk-card__blank\">{}</dd>", self.word("card.blank")),
        };
        self.out.push_str(&format!("<div><dt>{label}</dt>{value}</div>\n"));
    }

    fn rate(&mut self) {
        let (number, unit) = rate_text(self.worked);
        self.out.push_str(&format!(
            "<div class=\"tk-card__rate\" data-result=\"application-rate\"><p class=\"tk-card__label\">{}</p>\n<p class=\"tk-card__figure\"><span class=\"tk-card__number\">{}</span>",
            self.word("card.puts-down"),
            html(&number)
        ));
        if let Some(spread) = spread_text(self.worked) {
            self.out.push_str(&format!(" <span class=\"tk-card__spread\">{}</span>", html(&spread)));
        }
        self.out.push_str(&format!(" <span class=\"tk-card__unit\">{}</span></p>\n", quantities(&unit)));
        let wide = self.worked.system.pick("rate-per-acre", "rate-per-ha");
        let wide = self.worked.result(wide).map(|found| say::outcome(found, self.phrases)).unwrap_or_default();
        self.out.push_str(&format!("<p class=\"tk-card__wide\">{}</p>\n", quantities(&wide)));
        if spread(self.worked).is_some() {
            self.out.push_str(&format!("<p class=\"tk-card__fine\">{}</p>\n", self.word("card.spread")));
        }
        self.out.push_str("</div>\n");
    }

    fn cautions(&mut self) {
        if self.worked.cautions.is_empty() {
            return;
        }
        self.out.push_str("<ul class=\"tk-cautions\">\n");
        for caution in &self.worked.cautions {
            let text = capital(&say::caution(self.worked, caution, self.phrases));
            self.out.push_str(&caution_item("li", caution.severity, &text, self.phrases));
        }
        self.out.push_str("</ul>\n");
    }

    fn table(&mut self, class: &str, caption: &str, columns: [&str; 2]) {
        self.out.push_str(&format!(
            "<table class=\"tk-card__table tk-card__{class}\">\n<caption>{}</caption>\n<thead><tr><th scope=\"col\">{}</th><th scope=\"col\">{}</th></tr></thead>\n<tbody>\n",
            self.word(caption),
            self.word(columns[0]),
            self.word(columns[1])
        ));
    }

    fn lawns(&mut self) {
        self.table("lawns", "card.lawns", ["card.lawn", "card.expect"]);
        let (many, one) = self.worked.system.pick(("1000 ft2", "ft2"), ("100 m2", "m2"));
        let (many, one) = (Unit::of(many).size(), Unit::of(one));
        let tank = self.worked.si("tank-area").unwrap_or_default() / many;
        for (index, size) in ladder::lawns(tank).enumerate() {
            let name = format!("lawn-{}-volume", index + 1);
            let volume = self.worked.result(&name).map(|found| say::outcome(found, self.phrases)).unwrap_or_default();
            self.out.push_str(&format!(
                "<tr><th scope=\"row\">{}</th><td data-result=\"{name}\">{}</td></tr>\n",
                quantities(&say::quantity(size * many, &one)),
                quantities(&volume)
            ));
        }
        self.out.push_str("</tbody></table>\n");
    }

    /// The volume of a result as a tank is marked: 112.5 gal is not 113.
    fn volume(&self, name: &str) -> String {
        let unit = Unit::of(self.worked.system.pick("gal", "L"));
        let value = without_noise(self.worked.si(name).unwrap_or_default() / unit.size());
        quantities(&format!("{} {}", shown(value, STEP_FIGURES), unit.shown()))
    }

    fn marks(&mut self) {
        self.table("marks", "card.marks", ["card.mark", "card.treats"]);
        let eighths = self.worked.inputs.word("marks") != Some("round");
        for index in 0..11 {
            let name = format!("mark-{}-area", index + 1);
            let Some(found) = self.worked.result(&name) else { break };
            let volume = self.volume(&format!("mark-{}-volume", index + 1));
            let share = match EIGHTHS.get(index).filter(|_| eighths || index == 0) {
                Some(&"1") => format!("<b>{}</b> ", self.word("card.full")),
                Some(share) => format!("<b>{share}</b> "),
                None => String::new(),
            };
            self.out.push_str(&format!(
                "<tr><th scope=\"row\">{share}<span>{}</span></th><td data-result=\"{name}\">{}</td></tr>\n",
                volume,
                quantities(&area(Some(found), self.worked))
            ));
        }
        self.out.push_str("</tbody></table>\n");
    }

    fn products(&mut self) {
        let inputs = &self.worked.inputs;
        if inputs.row_count("product") == 0 {
            return;
        }
        self.out.push_str(&format!(
            "<table class=\"tk-card__table tk-card__products\">\n<caption>{}</caption>\n<thead><tr>",
            self.word("card.products")
        ));
        for (index, share) in QUARTERS.iter().enumerate() {
            let fill = self.volume(&format!("fill-{}", index + 1));
            let share = if index == 0 { self.word("card.full") } else { html(share) };
            self.out.push_str(&format!("<th scope=\"col\"><b>{share}</b> <span>{fill}</span></th>"));
        }
        self.out.push_str("</tr></thead>\n");
        for row in inputs.rows("product") {
            let name = say::row_name(self.worked.calculator, inputs, "product", row.number, self.phrases);
            let rate = inputs.typed(&row.name("rate")).map(say::as_typed).unwrap_or_default();
            self.out.push_str(&format!(
                "<tbody>\n<tr><th scope=\"rowgroup\" colspan=\"4\">{} <span>{}</span></th></tr>\n<tr>",
                quantities(&name),
                quantities(&rate)
            ));
            self.amounts(row.number);
            self.out.push_str("</tr>\n</tbody>\n");
        }
        self.out.push_str("</table>\n");
        self.out.push_str(&format!("<p class=\"tk-card__fine\">{}</p>\n", self.word("card.fill-note")));
    }

    fn amounts(&mut self, product: usize) {
        for fill in 1..=FILLS.len() {
            let name = format!("product-{product}-fill-{fill}");
            let Some(found) = self.worked.result(&name) else {
                let none = self.word("card.over-label");
                self.out.push_str(&format!("<td colspan=\"4\" class=\"tk-card__over\">{none}</td>"));
                return;
            };
            let by_hand = say::measured(found, self.worked.system);
            let mut text = by_hand.unwrap_or_else(|| say::outcome(found, self.phrases));
            if text.contains("lb ") {
                // Beside pounds, ounces can only be of weight; the narrow column needs no second word for it.
                text = text.replace(&Unit::of("oz").shown(), "oz");
            }
            // A narrow column may part the number from its unit, never the unit in itself; gallons and pounds stand
            // above what comes on top of them.
            let text = html(&text).replace("fl oz", "fl\u{a0}oz").replace("gal ", "gal<br>").replace("lb ", "lb<br>");
            self.out.push_str(&format!("<td data-result=\"{name}\">{text}</td>"));
        }
    }

    fn again(&mut self) {
        let by = again_by(self.worked).map(|by| day(by, self.phrases)).unwrap_or_default();
        self.out.push_str(&format!(
            "<div class=\"tk-card__again\"><p class=\"tk-card__label\">{}</p>\n<p class=\"tk-card__by\">{}</p>\n<p>{}</p></div>\n<p class=\"tk-card__law\">{}</p>\n",
            self.word("card.again-by"),
            html(&by),
            self.word("card.again"),
            self.word("card.law")
        ));
    }
}

/// A caution in its box, as an element of the kind `tag`.
pub(super) fn caution_item(tag: &str, severity: Severity, text: &str, phrases: &Phrases) -> String {
    let severity = severity.id();
    format!(
        "<{tag} class=\"tk-caution tk-caution--{severity}\"><strong class=\"tk-caution__word\">{}</strong> <span class=\"tk-caution__text\">{}</span></{tag}>\n",
        html(phrases.get(&format!("severity.{severity}"))),
        quantities(text)
    )
}
