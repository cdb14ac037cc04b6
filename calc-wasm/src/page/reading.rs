//! Instruments to read as SVG, and the feedback on a reading.
//!
//! The text beside a drawing says what the eye finds on it: where the numbers are, how many steps are between two of
//! them, and at which step the level, the hand or the edge is. The reading itself has to be worked out from that.

use super::question::number;
use crate::quantity::unit::unit;
use crate::reading::{Missed, ROWS, Reading, Thing};
use crate::text::escape::{html, quantities};
use crate::text::figures::{exact, plain_digits};
use crate::words::phrases::Phrases;

/// Width of every drawing, in its own units.
const WIDTH: f64 = 320.0;

/// The thing with a field for what is read.
pub fn posed(reading: &Reading, phrases: &Phrases) -> String {
    let id = format!("reading-{}", reading.thing.id());
    let shown = match reading.thing {
        Thing::Label => label(reading, phrases),
        _ => figure(reading, phrases),
    };
    let text = fill(reading, &format!("reading.{}-ask", reading.thing.id()), phrases);
    format!(
        "<div class=\"tk-question tk-question--number tk-reading\" data-part=\"question\" data-question=\"{id}\" data-kind=\"number\" data-draw=\"{}\">\n{shown}{}\
         <p class=\"tk-question__ask\" id=\"q-{id}-ask\" data-role=\"ask\"></p>\n</div>\n",
        reading.seed,
        number(&id, &quantities(&text), None, phrases)
    )
}

/// The feedback on a right reading.
pub fn right(reading: &Reading, phrases: &Phrases) -> String {
    let key = if reading.thing == Thing::Label { "reading.right-label" } else { "reading.right" };
    paragraph(&fill(reading, key, phrases))
}

/// Which mark was missed.
pub fn missed(reading: &Reading, missed: &Missed, phrases: &Phrases) -> String {
    let many = |count: i32| if count == 1 { "reading.mark-one" } else { "reading.mark-many" };
    let (key, count, taken) = match missed {
        Missed::Marks(by) if *by > 0 => ("reading.too-high", *by, 0.0),
        Missed::Marks(by) => ("reading.too-low", -by, 0.0),
        Missed::Worth(worth) => ("reading.worth", 0, *worth),
        Missed::Row(row) => (["reading.row-0", "reading.row-1", "reading.row-2"][*row % ROWS], 0, 0.0),
        Missed::Far => (if reading.thing == Thing::Label { "reading.no-row" } else { "reading.far" }, 0, 0.0),
    };
    let text = phrases.fill(key, |place| match place {
        "marks" => Some(phrases.fill(many(count), |_| Some(count.to_string()))),
        "taken" => Some(amount(reading, taken, phrases)),
        _ => value(reading, place, phrases),
    });
    paragraph(&text)
}

/// The reading, for after the last try.
pub fn solution(reading: &Reading, phrases: &Phrases) -> String {
    paragraph(&fill(
        reading,
        if reading.thing == Thing::Label { "reading.told-label" } else { "reading.told" },
        phrases,
    ))
}

fn paragraph(text: &str) -> String {
    format!("<p>{}</p>\n", quantities(text))
}

fn fill(reading: &Reading, key: &str, phrases: &Phrases) -> String {
    phrases.fill(key, |place| value(reading, place, phrases))
}

fn amount(reading: &Reading, value: f64, phrases: &Phrases) -> String {
    phrases.number(format!("{} {}", exact(value), reading.scale.unit.shown()))
}

fn value(reading: &Reading, place: &str, phrases: &Phrases) -> Option<String> {
    let scale = &reading.scale;
    let below = reading.number_below();
    Some(match place {
        "right" => amount(reading, reading.nearest(), phrases),
        "mark" => amount(reading, scale.mark, phrases),
        "below" => number_text(reading, below, phrases),
        "next" => number_text(reading, below + scale.mark * f64::from(scale.each), phrases),
        "above" => reading.above().to_string(),
        "steps" => scale.each.to_string(),
        "first" => number_text(reading, scale.first, phrases),
        "last" => number_text(reading, scale.at(f64::from(scale.count)), phrases),
        "row" => phrases
            .get(["reading.weeds-0", "reading.weeds-1", "reading.weeds-2"][reading.mark as usize % ROWS])
            .to_owned(),
        "beside" => phrases
            .get(if reading.beside > 0.0 {
                "reading.just-above"
            } else if reading.beside < 0.0 {
                "reading.just-below"
            } else {
                "reading.at"
            })
            .to_owned(),
        _ => return None,
    })
}

/// A number as a scale shows it: feet on a tape of inches.
fn number_text(reading: &Reading, value: f64, phrases: &Phrases) -> String {
    if in_feet(reading) {
        return phrases.number(format!("{} ft", exact(value / 12.0)));
    }
    amount(reading, value, phrases)
}

fn in_feet(reading: &Reading) -> bool {
    reading.thing == Thing::Tape && reading.scale.unit == unit!("in")
}

/// The rates of a made-up label.
fn label(reading: &Reading, phrases: &Phrases) -> String {
    let mut out = format!(
        "<table class=\"tk-label-extract\"><caption>{}</caption><thead><tr><th scope=\"col\">{}</th><th scope=\"col\">{}</th></tr></thead><tbody>\n",
        html(phrases.get("reading.label-title")),
        html(phrases.get("reading.label-weeds")),
        html(phrases.get("reading.label-rate"))
    );
    for (row, rate) in reading.rates.iter().enumerate() {
        let weeds = phrases.get(["reading.weeds-0", "reading.weeds-1", "reading.weeds-2"][row]);
        out.push_str(&format!(
            "<tr><th scope=\"row\">{}</th><td>{}</td></tr>\n",
            html(weeds),
            quantities(&html(&amount(reading, *rate, phrases)))
        ));
    }
    out.push_str(&format!(
        "</tbody></table>\n<p class=\"tk-label-extract__note\">{}</p>\n",
        html(phrases.get("reading.label-note"))
    ));
    out
}

fn figure(reading: &Reading, phrases: &Phrases) -> String {
    let (height, shapes) = match reading.thing {
        Thing::Watch | Thing::Pressure => (320.0, dial(reading, phrases)),
        Thing::Tape => (150.0, tape(reading, phrases)),
        _ => (360.0, upright(reading, phrases)),
    };
    let name = reading.thing.id();
    format!(
        "<figure class=\"tk-instrument\"><svg class=\"tk-instrument__svg\" viewBox=\"0 0 {} {}\" role=\"img\" aria-labelledby=\"read-{name}-title read-{name}-text\"><title id=\"read-{name}-title\">{}</title><desc id=\"read-{name}-text\">{}</desc>{shapes}</svg></figure>\n",
        at(WIDTH),
        at(height),
        html(phrases.get(&format!("reading.{name}"))),
        html(&fill(reading, &format!("reading.{name}-text"), phrases))
    )
}

/// A place in a drawing, to a hundredth.
fn at(value: f64) -> String {
    let size = ((value.abs() * 100.0 + 0.5) as i64) as f64 / 100.0;
    // A drawing takes the plain sign only, and no comma in a large number.
    format!("{}{}", if value < 0.0 && size > 0.0 { "-" } else { "" }, plain_digits(size))
}

/// Jug and sight gauge: an upright scale, and what is in it.
fn upright(reading: &Reading, phrases: &Phrases) -> String {
    let scale = &reading.scale;
    let (bottom, top) = (340.0, 30.0);
    let up = |marks: f64| bottom - (bottom - top) * marks / f64::from(scale.count);
    let level = up(f64::from(reading.mark) + reading.beside);
    let (left, right) = if reading.thing == Thing::Jug { (70.0, 250.0) } else { (130.0, 190.0) };
    let mut out = format!(
        "<rect class=\"tk-instrument__water\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>",
        at(left),
        at(level),
        at(right - left),
        at(bottom - level)
    );
    let wall = match reading.thing {
        Thing::Jug => format!(
            "M{} 12 L{} {} L{} {} L{} 12 L{} 4",
            at(left),
            at(left),
            at(bottom),
            at(right),
            at(bottom),
            at(right),
            at(right + 26.0)
        ),
        _ => format!("M{} 8 L{} 352 M{} 8 L{} 352", at(left), at(left), at(right), at(right)),
    };
    out.push_str(&format!("<path class=\"tk-instrument__wall\" d=\"{wall}\"/>"));
    for mark in 0..=scale.count {
        let numbered = mark % scale.each == 0;
        let (y, long) = (up(f64::from(mark)), if numbered { 34.0 } else { 18.0 });
        out.push_str(&format!(
            "<path class=\"tk-instrument__mark{}\" d=\"M{} {}h{}\"/>",
            if numbered { " tk-instrument__mark--long" } else { "" },
            at(left),
            at(y),
            at(long)
        ));
        if numbered {
            out.push_str(&words(left - 8.0, y + 6.0, "end", &phrases.number(exact(scale.at(f64::from(mark))))));
        }
    }
    out.push_str(&format!("<path class=\"tk-instrument__level\" d=\"M{} {}H{}\"/>", at(left), at(level), at(right)));
    out.push_str(&words(right + 10.0, bottom, "start", &scale.unit.shown()));
    out
}

/// Stopwatch and pressure gauge: a round scale and a hand. The turning is left to the drawing.
fn dial(reading: &Reading, phrases: &Phrases) -> String {
    let scale = &reading.scale;
    let (start, sweep) = if reading.thing == Thing::Watch { (0.0, 360.0) } else { (-135.0, 270.0) };
    let turn = |marks: f64| start + sweep * marks / f64::from(scale.count);
    let mut out = "<circle class=\"tk-instrument__face\" cx=\"160\" cy=\"160\" r=\"150\"/>".to_owned();
    if reading.thing == Thing::Watch {
        out.push_str("<path class=\"tk-instrument__wall\" d=\"M148 8V2h24v6\"/>");
    }
    let last = if reading.thing == Thing::Watch { scale.count - 1 } else { scale.count };
    for mark in 0..=last {
        let (numbered, angle) = (mark % scale.each == 0, turn(f64::from(mark)));
        out.push_str(&format!(
            "<path class=\"tk-instrument__mark{}\" transform=\"rotate({} 160 160)\" d=\"M160 16v{}\"/>",
            if numbered { " tk-instrument__mark--long" } else { "" },
            at(angle),
            if numbered { "22" } else { "13" }
        ));
        if numbered {
            let text = match (reading.thing, mark) {
                (Thing::Watch, 0) => scale.count.to_string(),
                _ => phrases.number(exact(scale.at(f64::from(mark)))),
            };
            out.push_str(&format!(
                "<text class=\"tk-instrument__number\" text-anchor=\"middle\" transform=\"rotate({} 160 160) translate(160 56) rotate({}) translate(0 7)\">{text}</text>",
                at(angle),
                at(-angle)
            ));
        }
    }
    out.push_str(&words(160.0, 222.0, "middle", &scale.unit.shown()));
    out.push_str(&format!(
        "<path class=\"tk-instrument__hand\" transform=\"rotate({} 160 160)\" d=\"M160 182V22\"/><circle class=\"tk-instrument__hub\" cx=\"160\" cy=\"160\" r=\"8\"/>",
        at(turn(f64::from(reading.mark) + reading.beside))
    ));
    out
}

/// A tape on the ground, and where the wet patch ends.
fn tape(reading: &Reading, phrases: &Phrases) -> String {
    let scale = &reading.scale;
    let along = |marks: f64| 16.0 + (WIDTH - 32.0) * marks / f64::from(scale.count);
    let edge = along(f64::from(reading.mark) + reading.beside);
    let mut out = format!(
        "<rect class=\"tk-instrument__turf\" x=\"0\" y=\"84\" width=\"320\" height=\"66\"/><rect class=\"tk-instrument__water\" x=\"0\" y=\"84\" width=\"{}\" height=\"66\"/><path class=\"tk-instrument__level\" d=\"M{} 84v66\"/><rect class=\"tk-instrument__face\" x=\"0\" y=\"34\" width=\"320\" height=\"50\"/>",
        at(edge),
        at(edge)
    );
    for mark in 0..=scale.count {
        let numbered = mark % scale.each == 0;
        let x = along(f64::from(mark));
        out.push_str(&format!(
            "<path class=\"tk-instrument__mark{}\" d=\"M{} 84v-{}\"/>",
            if numbered { " tk-instrument__mark--long" } else { "" },
            at(x),
            if numbered { "30" } else { "16" }
        ));
        if numbered {
            let anchor = if mark == 0 {
                "start"
            } else if mark == scale.count {
                "end"
            } else {
                "middle"
            };
            let x = if mark == 0 {
                2.0
            } else if mark == scale.count {
                WIDTH - 2.0
            } else {
                x
            };
            let value = scale.at(f64::from(mark));
            // Centimeters are numbered too closely for the unit at each number.
            let number =
                if in_feet(reading) { number_text(reading, value, phrases) } else { phrases.number(exact(value)) };
            out.push_str(&words(x, 24.0, anchor, &number));
        }
    }
    if !in_feet(reading) {
        out.push_str(&words(along(f64::from(scale.each) / 2.0), 56.0, "middle", &scale.unit.shown()));
    }
    out
}

fn words(x: f64, y: f64, anchor: &str, text: &str) -> String {
    format!(
        "<text class=\"tk-instrument__number\" text-anchor=\"{anchor}\" x=\"{}\" y=\"{}\">{}</text>",
        at(x),
        at(y),
        html(text)
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::working::record::System;

    #[test]
    fn a_drawing_has_plain_signs_and_every_number_of_its_scale() {
        let phrases = Phrases::default();
        for thing in [Thing::Jug, Thing::Gauge, Thing::Watch, Thing::Tape, Thing::Pressure] {
            for system in [System::Us, System::Metric] {
                let reading = Reading::drawn(thing, system, 7);
                let drawn = posed(&reading, &phrases);
                let places: Vec<&str> =
                    drawn.split("transform=\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
                for place in places {
                    assert!(place.is_ascii() && !place.contains(','), "{place}");
                }
                let numbers = drawn.matches("tk-instrument__number").count() as u32;
                assert!(numbers > reading.scale.count / reading.scale.each, "{thing:?}: {numbers}");
            }
        }
    }

    #[test]
    fn numbers_to_read_have_the_languages_own_marks_and_places_in_a_drawing_the_plain_point() {
        let phrases = Phrases::from_pairs([
            ("number.written".to_owned(), "12.345,6".to_owned()),
            ("reading.told".to_owned(), "{right}, {below}, {mark}".to_owned()),
        ]);
        for thing in [Thing::Gauge, Thing::Tape, Thing::Pressure, Thing::Jug] {
            for seed in 0..40 {
                let reading = Reading::drawn(thing, System::Metric, seed);
                let plain = Phrases::from_pairs([("reading.told".to_owned(), "{right}, {below}, {mark}".to_owned())]);
                assert_eq!(solution(&reading, &phrases), crossed(&solution(&reading, &plain)), "{thing:?} {seed}");
                let drawn = posed(&reading, &phrases);
                let shown: Vec<&str> = drawn.split("</text>").filter_map(|rest| rest.rsplit('>').next()).collect();
                assert!(shown.iter().all(|text| !text.contains('.')), "{shown:?}");
            }
        }
    }

    /// With point and comma changed for each other, but the comma of a list.
    fn crossed(text: &str) -> String {
        text.replace(", ", "; ").replace(',', "\u{0}").replace('.', ",").replace('\u{0}', ".").replace("; ", ", ")
    }

    #[test]
    fn a_unit_is_at_every_number_of_a_tape_in_feet_and_once_on_one_in_centimeters() {
        let drawn = |system| posed(&Reading::drawn(Thing::Tape, system, 7), &Phrases::default());
        assert_eq!(
            [drawn(System::Us).matches("ft</text>").count(), drawn(System::Metric).matches("cm</text>").count()],
            [3, 1]
        );
    }

    #[test]
    fn a_place_is_written_as_a_drawing_takes_it() {
        assert_eq!([at(-12.344), at(0.0), at(1234.5), at(-0.001)].join(" "), "-12.34 0 1234.5 0");
    }
}
