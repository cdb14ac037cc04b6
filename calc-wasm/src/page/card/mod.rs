//! The card as HTML: two halves that fold into one, and the working it rests on.

pub mod paper;

use crate::calculation::label;
use crate::calculation::worked::Worked;
use crate::calculators::application_rate::APPLICATION_RATE;
use crate::card::{self as calibration, Day, FILLS, again_by, is_example, ladder, spread};
use crate::page::drawing;
use crate::page::worked::{self, Options};
use crate::quantity::unit::{Unit, unit, units};
use crate::quantity::usual;
use crate::text::escape::html;
use crate::text::figures::{
    RESULT_FIGURES, STEP_FIGURES, at_place, exact, places_beside, shown, to_figures, without_noise,
};
use crate::text::texts::{parted, replaced};
use crate::words::phrases::Phrases;
use crate::words::say;
use crate::working::record::{Severity, System};
use paper::Paper;

/// Marks of a tank read in eighths, after the full tank.
const EIGHTHS: [&str; 7] = ["⅞", "¾", "⅝", "½", "⅜", "¼", "⅛"];
/// Fills that products are measured for, as [`FILLS`], after the full tank.
const QUARTERS: [&str; FILLS.len() - 1] = ["¾", "½", "¼"];
/// Products that leave room for the tank's marks on their half.
const FEW_PRODUCTS: usize = 1;

/// The card and, folded away, how its rate was worked out.
pub fn face(worked: &Worked, options: &Options, phrases: &Phrases) -> String {
    let title = phrases.get("card.drawing");
    let drawing = drawing::figure(&(worked.calculator.draw)(worked, worked.system), options.name, title, phrases);
    let mut paper = Paper::new(phrases);
    let mut sure = String::new();
    worked::sure(&mut sure, worked, options, phrases);
    paper
        .raw("<div class=\"tk-answer\" data-part=\"answer\">\n")
        .raw(&card(worked, phrases))
        .raw("<details class=\"tk-key tk-card-working\" data-fold=\"working\"><summary class=\"tk-key__title\">")
        .phrase("card.working")
        .raw("</summary>\n")
        .raw(&drawing)
        .raw(&worked::steps(worked, phrases))
        .raw(&sure)
        .raw(&worked::sources(worked.calculator, phrases))
        .raw("</details>\n</div>\n");
    paper.out
}

/// The card alone, as it is printed.
pub(crate) fn card(worked: &Worked, phrases: &Phrases) -> String {
    let mut face = Face { worked, paper: Paper::new(phrases) };
    // Few products leave room beside them for the tank's marks, and so the lawns have theirs to themselves.
    let roomy = worked.inputs.row_count(&calibration::PRODUCT) <= FEW_PRODUCTS;
    let fold = "</div>\n<div class=\"tk-card__half\">\n";
    face.paper
        .raw("<article class=\"tk-card")
        .raw(if roomy { " tk-card--roomy" } else { "" })
        .raw("\" aria-label=\"")
        .filled("card.of", operator(worked))
        .raw("\">\n<div class=\"tk-card__half\">\n");
    face.head();
    face.rate();
    face.cautions();
    face.paper.raw(if roomy { "" } else { "<div class=\"tk-card__tables\">\n" });
    face.lawns();
    face.paper.raw(if roomy { fold } else { "" });
    face.marks();
    face.paper.raw(if roomy { "" } else { "</div>\n" }).raw(if roomy { "" } else { fold });
    face.products();
    face.again();
    face.paper.raw("</div>\n</article>\n");
    face.paper.out
}

pub(crate) fn operator(worked: &Worked) -> &str {
    worked.inputs.word(&calibration::OPERATOR).unwrap_or_default()
}

/// The unit a rate is shown in.
pub(crate) fn rate_unit(system: System) -> Unit {
    usual::LAWN_RATE.pick(system)
}

/// The rate: number, and unit.
pub(crate) fn rate_text(worked: &Worked, phrases: &Phrases) -> (String, String) {
    let unit = rate_unit(worked.system);
    let rate = worked.si(&APPLICATION_RATE, []).unwrap_or_default();
    let rate = without_noise(rate / unit.size());
    // Beside what it may be off by it ends at the same place: 2.00 ± 0.03.
    let places = spread(worked).and_then(|off| places_beside(off / unit.size(), rate));
    let number = places.map_or_else(|| shown(rate, RESULT_FIGURES), |places| at_place(rate, places));
    (phrases.number(number), unit.shown())
}

/// `± 0.05` in the rate's unit, or nothing where the uncertainty is not known.
pub(crate) fn spread_text(worked: &Worked, phrases: &Phrases) -> Option<String> {
    let size = rate_unit(worked.system).size();
    let (off, rate) = (spread(worked)? / size, worked.si(&APPLICATION_RATE, [])? / size);
    Some(["±\u{a0}", &phrases.number(at_place(off, places_beside(off, rate)?))].concat())
}

/// An area to four figures, as the tank mix shows what a tank treats.
pub(crate) fn area(worked: &Worked, name: &str, phrases: &Phrases) -> String {
    let unit = usual::SURFACE.pick(worked.system);
    let value = without_noise(worked.si_at(name).unwrap_or_default() / unit.size());
    phrases.number(format!("{} {}", exact(to_figures(value, STEP_FIGURES)), unit.shown()))
}

/// A result as it is shown anywhere; empty if it is missing.
pub(crate) fn shown_result(worked: &Worked, name: &str, phrases: &Phrases) -> String {
    worked.result(name).map(|found| say::outcome(found, phrases)).unwrap_or_default()
}

/// A day in the words of the language: `Apr 14, 2026`.
pub(crate) fn day(day: Day, phrases: &Phrases) -> String {
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
    paper: Paper<'a>,
}

impl Face<'_> {
    fn head(&mut self) {
        let worked = self.worked;
        self.paper
            .raw("<p class=\"tk-card__kind\">")
            .phrase("card.title")
            .raw("</p>\n<h2 class=\"tk-card__operator\">")
            .text(operator(worked))
            .raw("</h2>\n");
        if is_example(worked) {
            self.paper.raw("<p class=\"tk-card__example\">").phrase("card.invented").raw("</p>\n");
        }
        self.paper.raw("<dl class=\"tk-card__setup\">\n");
        for name in ["rig", "gun", "tip", "pressure", "date"] {
            let value = match (worked.inputs.typed_at(name), worked.inputs.word_at(name)) {
                (Some(typed), _) => say::as_typed(typed, self.paper.phrases),
                (None, Some(word)) => match Day::read(word) {
                    Ok(read) if name == "date" => day(read, self.paper.phrases),
                    _ => word.to_owned(),
                },
                (None, None) => String::new(),
            };
            self.fact(name, &value);
        }
        self.paper.raw("</dl>\n");
    }

    /// A line of the setup; on paper an empty one is a line to write on.
    fn fact(&mut self, name: &str, value: &str) {
        let label = self.paper.phrases.label(&format!("card.input.{name}")).to_owned();
        self.paper.raw("<div><dt>").text(&label);
        if value.is_empty() {
            self.paper.raw("</dt><dd class=\"tk-card__blank\">").phrase("card.blank");
        } else {
            self.paper.raw("</dt><dd>").quantities(value);
        }
        self.paper.raw("</dd></div>\n");
    }

    fn rate(&mut self) {
        let (number, unit) = rate_text(self.worked, self.paper.phrases);
        self.paper
            .raw("<div class=\"tk-card__rate\" data-result=\"application-rate\"><p class=\"tk-card__label\">")
            .phrase("card.puts-down")
            .raw("</p>\n<p class=\"tk-card__figure\"><span class=\"tk-card__number\">")
            .text(&number)
            .raw("</span>");
        let spread = spread_text(self.worked, self.paper.phrases);
        if let Some(spread) = &spread {
            self.paper.raw(" <span class=\"tk-card__spread\">").text(spread).raw("</span>");
        }
        let wide = self.worked.system.pick("rate-per-acre", "rate-per-ha");
        let wide = shown_result(self.worked, wide, self.paper.phrases);
        self.paper
            .raw(" <span class=\"tk-card__unit\">")
            .quantities(&unit)
            .raw("</span></p>\n<p class=\"tk-card__wide\">")
            .quantities(&wide)
            .raw("</p>\n");
        if spread.is_some() {
            self.paper.raw("<p class=\"tk-card__fine\">").phrase("card.spread").raw("</p>\n");
        }
        self.paper.raw("</div>\n");
    }

    fn cautions(&mut self) {
        if self.worked.cautions.is_empty() {
            return;
        }
        self.paper.raw("<ul class=\"tk-cautions\">\n");
        for caution in &self.worked.cautions {
            let text = say::caution(self.worked, caution, self.paper.phrases);
            caution_item(&mut self.paper, "li", caution.severity, &text);
        }
        self.paper.raw("</ul>\n");
    }

    fn table(&mut self, class: &str, caption: &str, columns: [&str; 2]) {
        self.paper
            .raw("<table class=\"tk-card__table tk-card__")
            .raw(class)
            .raw("\">\n<caption>")
            .phrase(caption)
            .raw("</caption>\n<thead><tr><th scope=\"col\">")
            .phrase(columns[0])
            .raw("</th><th scope=\"col\">")
            .phrase(columns[1])
            .raw("</th></tr></thead>\n<tbody>\n");
    }

    fn lawns(&mut self) {
        self.table("lawns", "card.lawns", ["card.lawn", "card.expect"]);
        let system = self.worked.system;
        let (many, one) = (units!("1000 ft2", "100 m2").pick(system).size(), usual::SURFACE.pick(system));
        for (index, size) in ladder::LAWNS.iter().enumerate() {
            let name = format!("lawn-{}-volume", index + 1);
            let volume = shown_result(self.worked, &name, self.paper.phrases);
            if volume.is_empty() {
                break;
            }
            let lawn = say::quantity(size * many, &one, self.paper.phrases);
            self.paper.raw("<tr><th scope=\"row\">").quantities(&lawn);
            self.cell(&name, &volume);
        }
        self.paper.raw("</tbody></table>\n");
    }

    /// The rest of a row that has its head.
    fn cell(&mut self, name: &str, text: &str) {
        self.paper.raw("</th><td data-result=\"").raw(name).raw("\">").quantities(text).raw("</td></tr>\n");
    }

    /// The volume of a result as a tank is marked: 112.5 gal is not 113.
    fn volume(&mut self, name: &str) {
        let unit = usual::TANKFUL.pick(self.worked.system);
        let value = without_noise(self.worked.si_at(name).unwrap_or_default() / unit.size());
        let text = self.paper.phrases.number(format!("{} {}", shown(value, STEP_FIGURES), unit.shown()));
        self.paper.raw("<span>").quantities(&text).raw("</span>");
    }

    /// How full the tank is, where that has a name: full, or one of `shares` after it.
    fn share(&mut self, index: usize, shares: &[&str]) {
        if index == 0 {
            self.paper.raw("<b>").phrase("card.full").raw("</b> ");
        } else if let Some(share) = shares.get(index - 1) {
            self.paper.raw("<b>").raw(share).raw("</b> ");
        }
    }

    fn marks(&mut self) {
        self.table("marks", "card.marks", ["card.mark", "card.treats"]);
        let shares = if self.worked.inputs.word(&calibration::MARKS) == Some(calibration::ROUND) {
            &[][..]
        } else {
            &EIGHTHS[..]
        };
        for index in 0..=ladder::MOST_MARKS {
            let name = format!("mark-{}-area", index + 1);
            if self.worked.result(&name).is_none() {
                break;
            }
            self.paper.raw("<tr><th scope=\"row\">");
            self.share(index, shares);
            self.volume(&format!("mark-{}-volume", index + 1));
            self.cell(&name, &area(self.worked, &name, self.paper.phrases));
        }
        self.paper.raw("</tbody></table>\n");
    }

    fn products(&mut self) {
        let inputs = &self.worked.inputs;
        if inputs.row_count(&calibration::PRODUCT) == 0 {
            return;
        }
        self.paper
            .raw("<table class=\"tk-card__table tk-card__products\">\n<caption>")
            .phrase("card.products")
            .raw("</caption>\n<thead><tr>");
        for index in 0..FILLS.len() {
            self.paper.raw("<th scope=\"col\">");
            self.share(index, &QUARTERS);
            self.volume(&format!("fill-{}", index + 1));
            self.paper.raw("</th>");
        }
        self.paper.raw("</tr></thead>\n");
        for row in inputs.rows(&calibration::PRODUCT) {
            let name = say::row_name(
                self.worked.calculator,
                inputs,
                calibration::PRODUCT.name(),
                row.number(),
                self.paper.phrases,
            );
            let rate =
                row.typed(&label::RATE).map(|typed| say::as_typed(typed, self.paper.phrases)).unwrap_or_default();
            self.paper
                .raw("<tbody>\n<tr><th scope=\"rowgroup\" colspan=\"4\">")
                .quantities(&name)
                .raw(" <span>")
                .quantities(&rate)
                .raw("</span></th></tr>\n<tr>");
            self.amounts(row.number());
            self.paper.raw("</tr>\n</tbody>\n");
        }
        self.paper.raw("</table>\n<p class=\"tk-card__fine\">").phrase("card.fill-note").raw("</p>\n");
    }

    fn amounts(&mut self, product: usize) {
        for fill in 1..=FILLS.len() {
            let name = format!("product-{product}-fill-{fill}");
            let Some(found) = self.worked.result(&name) else {
                self.paper.raw("<td colspan=\"4\" class=\"tk-card__over\">").phrase("card.over-label").raw("</td>");
                return;
            };
            let by_hand = say::measured(found, self.worked.system, self.paper.phrases);
            let mut text = by_hand.unwrap_or_else(|| say::outcome(found, self.paper.phrases));
            if parted(&text, "lb ").is_some() {
                // Beside pounds, ounces can only be of weight; the narrow column needs no second word for it.
                text = replaced(&text, &unit!("oz").shown(), "oz");
            }
            // A narrow column may break between a number and its unit, never within the unit; gallons and pounds go
            // above the ounces that are added to them.
            let mut text = html(&text);
            for (mark, to) in [("fl oz", "fl\u{a0}oz"), ("gal ", "gal<br>"), ("lb ", "lb<br>")] {
                text = replaced(&text, mark, to);
            }
            self.paper.raw("<td data-result=\"").raw(&name).raw("\">").raw(&text).raw("</td>");
        }
    }

    fn again(&mut self) {
        let by = again_by(self.worked).map(|by| day(by, self.paper.phrases)).unwrap_or_default();
        self.paper
            .raw("<div class=\"tk-card__again\"><p class=\"tk-card__label\">")
            .phrase("card.again-by")
            .raw("</p>\n<p class=\"tk-card__by\">")
            .text(&by)
            .raw("</p>\n<p>")
            .phrase("card.again")
            .raw("</p></div>\n<p class=\"tk-card__law\">")
            .phrase("card.law")
            .raw("</p>\n");
    }
}

/// A caution in its box, as an element of the kind `tag`.
pub(crate) fn caution_item(paper: &mut Paper, tag: &str, severity: Severity, text: &str) {
    let severity = severity.id();
    paper
        .raw("<")
        .raw(tag)
        .raw(" class=\"tk-caution tk-caution--")
        .raw(severity)
        .raw("\"><strong class=\"tk-caution__word\">")
        .phrase(&format!("severity.{severity}"))
        .raw("</strong> <span class=\"tk-caution__text\">")
        .quantities(text)
        .raw("</span></")
        .raw(tag)
        .raw(">\n");
}
