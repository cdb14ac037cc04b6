//! Why a range of a question cannot be drawn from, and how it is written.

use tankside_calc::question::ranges::{MOST_VALUES, value};

/// What is wrong with a range, and what to write instead.
pub(super) struct RangeAdvice {
    pub(super) title: String,
    pub(super) help: String,
}

/// How ranges and lists are written, where nothing nearer can be offered.
const FORMS: &str = "write `90 to 200 by 2 fl oz`, or `one of 20, 30, 45 s`, or one amount";
/// The most values that a suggested range has.
const SUGGESTED: f64 = 60.0;

/// Why `text` is not a range.
pub(super) fn advice(text: &str) -> RangeAdvice {
    if let Some(list) = text.trim().strip_prefix("one of ") {
        let title = "numbers are expected after `one of`, with commas between them and the unit after the last one";
        return RangeAdvice { title: title.to_owned(), help: of_list(list).unwrap_or_else(|| FORMS.to_owned()) };
    }
    let Some(range) = Range::read(text) else {
        return RangeAdvice { title: "this range cannot be read".to_owned(), help: FORMS.to_owned() };
    };
    let title = match range.step {
        None => "this range has no step, so it does not say which values are drawn".to_owned(),
        Some(step) if step <= 0.0 => "the step of a range is above 0, and this one is not".to_owned(),
        Some(_) if range.high < range.low => {
            format!("a range begins with its lower end, and {} is above {}", plain(range.low), plain(range.high))
        }
        Some(step) if (range.high - range.low) / step >= MOST_VALUES as f64 => format!(
            "at most {} values are drawn from, and this range has {}",
            tankside_calc::text::figures::exact(MOST_VALUES as f64),
            tankside_calc::text::figures::exact(((range.high - range.low) / step).floor() + 1.0)
        ),
        Some(_) => "this range cannot be read".to_owned(),
    };
    RangeAdvice { title, help: range.help() }
}

/// For `90-200 fl oz`, which is read as one amount: how the range is written.
pub(super) fn meant(text: &str) -> Option<String> {
    // An amount or a good range needs no other form.
    let range = Range::read(text).filter(|range| range.low != range.high && !range.unit.is_empty())?;
    Some(range.help())
}

/// For a range whose step is larger than the range: the step, the range's length, and how it is written.
pub(super) fn step_beyond(text: &str) -> Option<(String, String, String)> {
    let range = Range::read(text).filter(|range| range.high > range.low)?;
    let (step, span) = (range.step?, range.high - range.low);
    if step <= span {
        return None;
    }
    let help = Range { step: None, ..range }.help();
    Some((plain(step), plain(tankside_calc::text::figures::without_noise(span)), help))
}

/// `20 s, 30 s, 45 s` as it is written: the unit once.
fn of_list(list: &str) -> Option<String> {
    let mut numbers = Vec::new();
    let mut unit = "";
    for piece in list.split(',').map(str::trim).filter(|piece| !piece.is_empty()) {
        let (number, rest) = number(piece)?;
        if !rest.trim().is_empty() {
            if !unit.is_empty() && unit != rest.trim() {
                return None;
            }
            unit = rest.trim();
        }
        numbers.push(plain(number));
    }
    let written = format!("one of {} {unit}", numbers.join(", "));
    (numbers.len() > 1 && value(written.trim()).is_some()).then(|| format!("write `{}`", written.trim()))
}

/// Two ends, a step and a unit, however they were written.
struct Range<'t> {
    low: f64,
    high: f64,
    step: Option<f64>,
    unit: &'t str,
}

impl<'t> Range<'t> {
    /// Reads `90-200 fl oz`, `90 fl oz to 200 fl oz`, `90..200 by 2 fl oz`.
    fn read(text: &'t str) -> Option<Range<'t>> {
        let (low, rest) = number(text)?;
        let marks = [" to ", "-", "–", "—", "...", "..", "…"];
        let (between, mark) = marks
            .iter()
            .filter_map(|mark| Some((rest.find(mark)?, mark)))
            .min_by_key(|(at, mark)| (*at, mark.len()))?;
        let first = rest[..between].trim();
        let (high, rest) = number(rest[between + mark.len()..].trim_start_matches('.'))?;
        let (second, step) = match rest.split_once(" by ") {
            Some((unit, step)) => (unit.trim(), Some(number(step)?)),
            None => (rest.trim(), None),
        };
        let last = step.map_or("", |(_, unit)| unit.trim());
        let units: Vec<&str> = [last, second, first].into_iter().filter(|unit| !unit.is_empty()).collect();
        let unit = units.first().copied().unwrap_or("");
        units.iter().all(|other| *other == unit).then_some(Range { low, high, step: step.map(|(step, _)| step), unit })
    }

    fn help(&self) -> String {
        let (low, high) = if self.low <= self.high { (self.low, self.high) } else { (self.high, self.low) };
        let fits = |step: &f64| *step > 0.0 && (high - low) / step < MOST_VALUES as f64;
        let step = self.step.filter(fits).unwrap_or_else(|| round_step((high - low) / SUGGESTED));
        let written = format!("{} to {} by {} {}", plain(low), plain(high), plain(step), self.unit);
        format!("write `{}`", written.trim())
    }
}

/// The next step of 1, 2 or 5, ten or a tenth of them and so on; 1 for no distance at all.
fn round_step(least: f64) -> f64 {
    if least <= 0.0 {
        return 1.0;
    }
    let ten = 10_f64.powf(least.log10().floor());
    let step = [1.0, 2.0, 5.0].into_iter().map(|one| one * ten).find(|step| *step >= least * (1.0 - 1e-9));
    tankside_calc::text::figures::without_noise(step.unwrap_or(10.0 * ten))
}

/// A number at the start, commas between thousands left out, and what follows it.
fn number(text: &str) -> Option<(f64, &str)> {
    let text = text.trim_start();
    let end = text.find(|letter: char| !(letter.is_ascii_digit() || matches!(letter, '.' | ','))).unwrap_or(text.len());
    let written = text[..end].find("..").map_or(&text[..end], |dots| &text[..dots]);
    let written = written.trim_end_matches([',', '.']);
    Some((written.replace(',', "").parse().ok()?, &text[written.len()..]))
}

fn plain(value: f64) -> String {
    tankside_calc::text::figures::plain_digits(value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_that_cannot_be_read_says_why_and_is_put_right() {
        for (text, reason, help) in [
            ("200 to 90 by 2 fl oz", "200 is above 90", "90 to 200 by 2 fl oz"),
            ("90 to 200 fl oz", "no step", "90 to 200 by 2 fl oz"),
            ("90 to 200 by 0 fl oz", "above 0", "90 to 200 by 2 fl oz"),
            (
                "1 to 100,000 by 2 fl oz",
                "at most 10,000 values are drawn from, and this range has 50,000",
                "1 to 100000 by 2000 fl oz",
            ),
            ("1 to 1.3 gal/1000 ft2", "no step", "1 to 1.3 by 0.005 gal/1000 ft2"),
            ("one of 20 s, 30 s, 45 s", "after `one of`", "one of 20, 30, 45 s"),
            ("one of a, b s", "after `one of`", "90 to 200 by 2 fl oz"),
        ] {
            let advice = advice(text);
            assert!(advice.title.contains(reason), "{text}: {}", advice.title);
            assert!(advice.help.contains(&format!("`{help}`")), "{text}: {}", advice.help);
        }
    }

    #[test]
    fn other_notations_for_a_range_are_offered_as_one() {
        for text in ["90-200 fl oz", "90–200 fl oz", "90 - 200 fl oz", "90..200 fl oz", "90 fl oz to 200 fl oz"] {
            assert_eq!(meant(text).as_deref(), Some("write `90 to 200 by 2 fl oz`"), "{text}");
        }
        for text in ["186 fl oz", "1 gal 58 fl oz", "refill to the mark", "", "1:15", "5-gal", "half"] {
            assert_eq!(meant(text), None, "{text}");
        }
    }

    #[test]
    fn every_suggestion_is_a_range_that_can_be_drawn_from() {
        for (low, high) in [(0.0, 1.0), (1.0, 1.01), (3.0, 40_000.0), (7.0, 7.0), (0.001, 0.9)] {
            let help = Range { low, high, step: None, unit: "gal" }.help();
            let text = help.trim_start_matches("write `").trim_end_matches('`');
            assert!(value(text).is_some(), "{text}");
        }
    }
}
