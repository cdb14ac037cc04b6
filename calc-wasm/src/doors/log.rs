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
    // Area and volume of all lawns that can be read.
    let mut used = (0.0, 0.0);
    for row in rows.iter().take(MOST) {
        let text = |place: usize| row.list().and_then(|row| row.get(place)).and_then(Value::text).unwrap_or_default();
        let of = |place: usize, kind: Kind| some(text(place), kind, phrases);
        let lawn = of(1, Kind::Area).zip(of(2, Kind::Volume));
        if let Some((area, volume)) = lawn {
            used = (used.0 + area, used.1 + volume);
        }
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
        ("svg", chart(&whole, &known, &rate.unit, phrases).into()),
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
const HEIGHT: f64 = 170.0;
const LEFT: f64 = 8.0;

/// A place on the chart, to a tenth of its unit.
fn at(place: f64) -> String {
    exact((place * 10.0).round() / 10.0).replace(',', "").replace('−', "-")
}

/// The chart: the calibrated rate, the limits of each lawn as a band, and the lawns in order. What is off has a
/// different shape, not only a different color.
fn chart(points: &[Point], known: &Calibration, unit: &Unit, phrases: &Phrases) -> String {
    let far = points.iter().map(|point| (point.share - 1.0).abs().max(3.0 * point.sigma)).fold(0.06, f64::max) * 1.1;
    let y = |share: f64| (HEIGHT - 30.0) / 2.0 + 10.0 - (share - 1.0) / far * (HEIGHT - 40.0) / 2.0;
    let step = (WIDTH - LEFT - 20.0) / points.len().max(1) as f64;
    let x = |index: usize| LEFT + 10.0 + step * (index as f64 + 0.5);
    let mut out =
        String::from("<svg class=\"tk-log__chart\" viewBox=\"0 0 340 170\" aria-hidden=\"true\" focusable=\"false\">");
    for (index, point) in points.iter().enumerate() {
        let (top, bottom) = (y(1.0 + 3.0 * point.sigma), y(1.0 - 3.0 * point.sigma));
        let (left, wide, high) = (at(x(index) - step / 2.0), at(step), at(bottom - top));
        out.push_str(
            &[
                "<rect class=\"tk-log__band\" x=\"",
                &left,
                "\" y=\"",
                &at(top),
                "\" width=\"",
                &wide,
                "\" height=\"",
                &high,
                "\"/>",
            ]
            .concat(),
        );
    }
    out.push_str(&["<path class=\"tk-log__mean\" d=\"M8 ", &at(y(1.0)), "H340\"/>"].concat());
    let line: Vec<String> =
        points.iter().enumerate().map(|(index, point)| [at(x(index)), at(y(point.share))].join(" ")).collect();
    if line.len() > 1 {
        out.push_str(&["<path class=\"tk-log__line\" d=\"M", &line.join("L"), "\"/>"].concat());
    }
    for (index, point) in points.iter().enumerate() {
        let (x, y) = (x(index), y(point.share));
        let mark = if point.z().abs() > 3.0 {
            ["<path class=\"tk-log__off\" d=\"M", &at(x), " ", &at(y - 7.0), "l7 7l-7 7l-7 -7z\"/>"].concat()
        } else {
            ["<circle class=\"tk-log__point\" cx=\"", &at(x), "\" cy=\"", &at(y), "\" r=\"4.5\"/>"].concat()
        };
        out.push_str(&mark);
    }
    let mean = html(&say::quantity(known.rate, unit, phrases));
    out.push_str(
        &[
            "<path class=\"tk-log__mean\" d=\"M8 160h24\"/><text class=\"tk-log__text\" x=\"38\" y=\"164\">",
            &mean,
            "</text></svg>",
        ]
        .concat(),
    );
    out
}

#[cfg(test)]
mod tests {
    use super::*;

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
        assert!(reply.get("svg").text().unwrap().contains("tk-log__off"));
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
