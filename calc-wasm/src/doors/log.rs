//! The day's log over the wire: what was typed goes in, the chart and its verdict come out.

use super::{LONGEST, message};
use crate::quantity::kind::Kind;
use crate::quantity::order::within;
use crate::quantity::typed;
use crate::quantity::unit::Unit;
use crate::text::escape::html;
use crate::text::figures::{exact, shown};
use crate::text::json::{Value, map};
use crate::uncertainty::chart::{Calibration, Lawn, Point, Verdict, point, verdict};
use crate::words::phrases::Phrases;
use crate::words::say;

/// How far all lawns together may be off a card: 5 %, the usual goal for hand guns (Calibration: Spray Gun, Pesticide
/// Environmental Stewardship), although single lawns are read too coarsely to show it.
const TOGETHER: f64 = 0.05;
/// Lawns that one chart shows at most.
const MOST: usize = 200;

/// A log as typed: `rate` (the calibrated one), `sure`, `area-sure` (percent, about two standard deviations, as a card
/// says them), `gauge` (how finely it is read), `lawns` (name, area, volume each). Replies `errors` (names of fields that
/// cannot be read), and where there are none `rows` (rate, percent off, whether within the limits), `verdict`
/// (`empty`, `steady`, `far`, `drifting`, `one-off`), `high`, `off` (all lawns together), `lawn`, and `svg`. With `tried`
/// (an area and a volume as typed) it replies only `unread`, the places of those that cannot be read.
pub fn log_json(request: &str, phrases: &Phrases) -> String {
    let request = match message(request, LONGEST) {
        Ok(request) => request.unwrap_or(Value::Null),
        Err(error) => return error,
    };
    if let Some(tried) = request.get("tried").list() {
        return map(vec![("unread", Value::List(unread(tried, phrases)))]).line();
    }
    let mut errors: Vec<Value> = Vec::new();
    let mut read = |name: &str, kind: Kind| {
        let typed = request.get(name).text().and_then(|text| typed::read(&phrases.typed(text), kind, None).ok());
        let sound = typed.filter(|typed| typed.si > 0.0 && typed.si.is_finite());
        if sound.is_none() {
            errors.push(name.into());
        }
        sound
    };
    let rate = read("rate", Kind::VolumePerArea);
    let (sure, area_sure) = (read("sure", Kind::Share), read("area-sure", Kind::Share));
    let gauge = read("gauge", Kind::Volume);
    let (Some(rate), Some(sure), Some(area_sure), Some(gauge)) = (rate, sure, area_sure, gauge) else {
        return map(vec![("errors", Value::List(errors))]).line();
    };
    // The ± on a card is about two standard deviations.
    let known =
        Calibration { rate: rate.si, rate_share: sure.si / 2.0, area_share: area_sure.si / 2.0, gauge: gauge.si };
    let rows = request.get("lawns").list().unwrap_or_default();
    let mut points: Vec<Option<Point>> = Vec::new();
    let mut names: Vec<&str> = Vec::new();
    // Area and volume of all lawns that can be read.
    let mut used = (0.0, 0.0);
    for row in rows.iter().take(MOST) {
        let text = |place: usize| row.list().and_then(|row| row.get(place)).and_then(Value::text).unwrap_or_default();
        let of = |place: usize, kind: Kind| some(text(place), kind, phrases);
        let lawn = of(1, Kind::Area).zip(of(2, Kind::Volume));
        if let Some((area, volume)) = lawn {
            used = (used.0 + area, used.1 + volume);
        }
        names.push(text(0));
        points.push(lawn.map(|(area, volume)| point(&Lawn { area, volume }, &known)));
    }
    let whole: Vec<Point> = points.iter().flatten().copied().collect();
    let all = used.1 / used.0.max(f64::MIN_POSITIVE) / known.rate;
    let (word, high, lawn) = match verdict(&whole) {
        Verdict::Empty => ("empty", Value::Null, Value::Null),
        Verdict::Steady if !within(all, 1.0, TOGETHER) => ("far", Value::Bool(all > 1.0), Value::Null),
        Verdict::Steady => ("steady", Value::Null, Value::Null),
        Verdict::Drifting(high) => ("drifting", Value::Bool(high), Value::Null),
        Verdict::OneOff(place, high) => {
            let readable = points.iter().enumerate().filter(|(_, point)| point.is_some());
            let lawn =
                readable.map(|(index, _)| index).nth(place).map_or(Value::Null, |index| Value::Number(index as f64));
            ("one-off", Value::Bool(high), lawn)
        }
    };
    let row = |point: &Option<Point>| match point {
        None => Value::Null,
        Some(point) => map(vec![
            ("rate", say::quantity(point.share * known.rate, &rate.unit, phrases).into()),
            ("off", phrases.number(percent(point.share - 1.0)).into()),
            ("within", Value::Bool(point.z().abs() <= 3.0)),
        ]),
    };
    map(vec![
        ("errors", Value::List(Vec::new())),
        ("rows", Value::List(points.iter().map(row).collect())),
        ("verdict", word.into()),
        ("high", high),
        ("off", phrases.number(percent(all - 1.0)).into()),
        ("lawn", lawn),
        ("svg", chart(&points, &names, &known, &rate.unit, phrases).into()),
    ])
    .line()
}

/// An amount above zero, as typed.
fn some(text: &str, kind: Kind, phrases: &Phrases) -> Option<f64> {
    let typed = typed::read(&phrases.typed(text), kind, None).ok()?;
    Some(typed.si).filter(|si| *si > 0.0 && si.is_finite())
}

/// Which of a lawn's area and volume cannot be read: 0, 1.
fn unread(tried: &[Value], phrases: &Phrases) -> Vec<Value> {
    let kinds = [Kind::Area, Kind::Volume].into_iter().zip(tried).enumerate();
    let bad = kinds.filter(|(_, (kind, text))| some(text.text().unwrap_or_default(), *kind, phrases).is_none());
    bad.map(|(place, _)| Value::Number(place as f64)).collect()
}

fn percent(share: f64) -> String {
    let size = shown(share.abs() * 100.0, 2);
    match share {
        share if share.abs() < 0.0005 => "0 %".to_owned(),
        share if share > 0.0 => ["+", &size, " %"].concat(),
        _ => ["−", &size, " %"].concat(),
    }
}

const WIDTH: f64 = 340.0;
/// Where the scale ends and the lawns begin.
const LEFT: f64 = 54.0;
/// The middle of the chart, the calibrated rate, and how far it reaches up and down.
const MIDDLE: f64 = 78.0;
const REACH: f64 = 68.0;
/// Steps of the scale; the first that leaves three at most on each side is used.
const STEPS: &[f64] = &[0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0];
/// Lawns that have room for their names; more have the numbers of their rows.
const NAMED: usize = 6;
/// Columns of one chart that have room for a number.
const NUMBERED: usize = 16;
/// Width of a letter at the size of the chart's text.
const LETTER: f64 = 6.6;

/// A place on the chart, to a tenth of its unit.
fn at(place: f64) -> String {
    exact((place * 10.0).round() / 10.0).replace(',', "").replace('−', "-")
}

/// Text on the chart.
fn said(x: f64, y: f64, class: &str, text: &str) -> String {
    ["<text class=\"tk-log__text", class, "\" x=\"", &at(x), "\" y=\"", &at(y), "\">", &html(text), "</text>"].concat()
}

/// The chart: the calibrated rate, a scale of how far off it, the limits of each lawn as a band, and the lawns in order
/// with their names. What is off has a different shape, not only a different color.
fn chart(rows: &[Option<Point>], names: &[&str], known: &Calibration, unit: &Unit, phrases: &Phrases) -> String {
    let points: Vec<(usize, &Point)> =
        rows.iter().enumerate().filter_map(|(row, point)| Some((row, point.as_ref()?))).collect();
    let reach = points.iter().map(|(_, point)| (point.share - 1.0).abs().max(3.0 * point.sigma));
    let far = reach.fold(0.06, f64::max) * 1.1;
    let y = |share: f64| MIDDLE - (share - 1.0) / far * REACH;
    let step = (WIDTH - LEFT - 4.0) / points.len().max(1) as f64;
    let x = |index: usize| LEFT + step * (index as f64 + 0.5);
    let mut out =
        String::from("<svg class=\"tk-log__chart\" viewBox=\"0 0 340 190\" aria-hidden=\"true\" focusable=\"false\">");
    for (index, (_, point)) in points.iter().enumerate() {
        let (top, bottom) = (y(1.0 + 3.0 * point.sigma), y(1.0 - 3.0 * point.sigma));
        let sides = [at(x(index) - step / 2.0), at(top), at(step), at(bottom - top)];
        let [left, top, wide, high] = &sides;
        let band = ["\" y=\"", top, "\" width=\"", wide, "\" height=\"", high, "\"/>"].concat();
        out.push_str(&["<rect class=\"tk-log__band\" x=\"", left, &band].concat());
    }
    let each = STEPS.iter().copied().find(|each| far / each < 4.0).unwrap_or(far);
    for turn in -3..=3_i32 {
        let off = f64::from(turn) * each;
        if off.abs() > far {
            continue;
        }
        let (place, class) = (y(1.0 + off), if turn == 0 { "mean" } else { "scale" });
        out.push_str(&["<path class=\"tk-log__", class, "\" d=\"M", &at(LEFT), " ", &at(place), "H340\"/>"].concat());
        out.push_str(&said(LEFT - 5.0, place + 4.0, " tk-log__text--end", &phrases.number(percent(off))));
    }
    let line: Vec<String> =
        points.iter().enumerate().map(|(index, (_, point))| [at(x(index)), at(y(point.share))].join(" ")).collect();
    if line.len() > 1 {
        out.push_str(&["<path class=\"tk-log__line\" d=\"M", &line.join("L"), "\"/>"].concat());
    }
    let every = points.len().div_ceil(NUMBERED).max(1);
    for (index, (row, point)) in points.iter().enumerate() {
        let (x, y) = (x(index), y(point.share));
        let mark = if point.z().abs() > 3.0 {
            ["<path class=\"tk-log__off\" d=\"M", &at(x), " ", &at(y - 7.0), "l7 7l-7 7l-7 -7z\"/>"].concat()
        } else {
            ["<circle class=\"tk-log__point\" cx=\"", &at(x), "\" cy=\"", &at(y), "\" r=\"4.5\"/>"].concat()
        };
        out.push_str(&mark);
        let name = names.get(*row).copied().unwrap_or_default();
        let label = if rows.len() > NAMED || name.is_empty() { exact((row + 1) as f64) } else { short(name, step) };
        if index % every == 0 {
            out.push_str(&said(x, 164.0, " tk-log__text--middle", &label));
        }
    }
    let mean = say::quantity(known.rate, unit, phrases);
    out.push_str(&["<path class=\"tk-log__mean\" d=\"M", &at(LEFT), " 180h24\"/>"].concat());
    out.push_str(&said(LEFT + 30.0, 184.0, "", &mean));
    out.push_str("</svg>");
    out
}

/// As much of a name as its column has room for.
fn short(name: &str, room: f64) -> String {
    let letters = (room / LETTER) as usize;
    if name.chars().count() <= letters {
        return name.to_owned();
    }
    let start: String = name.chars().take(letters.saturating_sub(1)).collect();
    [start.trim_end(), "…"].concat()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn many_lawns_have_the_numbers_of_their_rows_and_long_names_are_cut_to_their_column() {
        let phrases = Phrases::default();
        let log = |names: &[&str]| {
            let lawn = |name: &&str| format!(r#"["{name}","10000 ft2","20 gal"]"#);
            let lawns: Vec<String> = names.iter().map(lawn).collect();
            let calibration = r#""rate":"2 gal/1000 ft2","sure":"4 %","area-sure":"4 %","gauge":"0.5 gal""#;
            let reply = log_json(&format!("{{{calibration},\"lawns\":[{}]}}", lawns.join(",")), &phrases);
            Value::read(&reply).unwrap().get("svg").text().unwrap().to_owned()
        };
        let few = log(&["The long lane behind the school", "Elm St", "", "Ash <b>", "Fir", "Oak"]);
        for text in [">The lo…<", ">Elm St<", ">3<", ">Ash &lt;b&gt;<"] {
            assert!(few.contains(text), "{text} {few}");
        }
        let many = log(&["Elm St"; 40]);
        assert!(many.contains(">1<") && many.contains(">40<") && !many.contains(">2<"), "{many}");
        assert!(!many.contains("Elm"));
    }

    #[test]
    fn a_log_is_read_as_typed_and_what_cannot_be_read_is_named() {
        let phrases = Phrases::default();
        assert_eq!(log_json("{", &phrases), r#"{"errors":["rate","sure","area-sure","gauge"]}"#);
        let request = r#"{"rate":"2 gal/1000 ft2","sure":"4 %","area-sure":"4 %","gauge":"0.5 gal","lawns":[["a","12,500 ft2","25 gal"],["b","?","9 gal"],["c","10000 ft2","31 gal"]]}"#;
        let reply = Value::read(&log_json(request, &phrases)).unwrap();
        assert_eq!(reply.get("verdict").text(), Some("one-off"));
        assert_eq!(reply.get("lawn").whole(), Some(2), "counted among all rows, read or not");
        let rows = reply.get("rows").list().unwrap();
        assert_eq!((rows[0].get("off").text(), &rows[1]), (Some("0 %"), &Value::Null));
        assert_eq!(rows[2].get("off").text(), Some("+55 %"));
        let svg = reply.get("svg").text().unwrap();
        assert!(svg.contains("tk-log__off"));
        // The scale says how far off, and each lawn is named; the one that cannot be read is left out.
        for text in [">0 %<", ">+20 %<", ">−60 %<", ">a<", ">c<", ">2 gal/1000 ft²<"] {
            assert!(svg.contains(text), "{text} {svg}");
        }
        assert!(!svg.contains(">b<"));
        for (area, volume, unread) in [
            ("12,500 ft2", "25 gal", "[]"),
            ("abc ft2", "25 gal", "[0]"),
            ("0 ft2", "1,5 gal", "[0,1]"),
            ("9 gal", "9 ft2", "[0,1]"),
        ] {
            let reply = log_json(&format!(r#"{{"tried":["{area}","{volume}"]}}"#), &phrases);
            assert_eq!(reply, format!(r#"{{"unread":{unread}}}"#), "{area}, {volume}");
        }
    }
}
