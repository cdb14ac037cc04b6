//! Boom output: nozzle flow, ground speed, width and rate belong together; three of them give the fourth.

use crate::calculation::declare::{Calculator, Face, Fault, Source};
use crate::calculation::drawing::{Drawing, Label, Set};
use crate::calculation::handles::{InputOf, ResultOf};
use crate::calculation::inputs::Inputs;
use crate::calculation::worked::Worked;
use crate::quantity::kind::{AreaRate, Length, Velocity, VolumePerArea, VolumeRate};
use crate::quantity::kinds;
use crate::quantity::typed::Typed;
use crate::quantity::unit::{Units, unit, units};
use crate::quantity::usual;
use crate::quantity::written;
use crate::working::percent_off::departure;
use crate::working::record::{Arg, Recorder, Severity, System, Traced};

/// The one of nozzle flow, ground speed, nozzle spacing and rate that is left out, from the other three.
///
/// # Formula
/// `rate = nozzle flow / (speed * spacing)`, solved for whichever is missing. With gal/min, mph and inches the unit
/// factors come to the handbooks' 5940: 43,560 ft²/acre * 12 in/ft * 60 min/h / 5280 ft/mi; with feet they come to 495,
/// for gal/1000 ft² to 136.4. Boomless: `effective width = wetted width * effective share` takes the place of the
/// spacing. `boom width = nozzles * spacing`, `total flow = nozzles * nozzle flow`. At another speed and the same flow:
/// `new rate = rate * speed / new speed`.
/// # Inputs
/// - `nozzle-flow` (gal/min or L/min): what one nozzle puts out. Above 0 to 100 gal/min, usually 0.05 to 20 gal/min;
///   read to 0.01 gal/min or 0.02 L/min; optional.
/// - `speed` (mph or km/h): ground speed. Above 0 to 40 mph, usually 1 to 12 mph; read to 0.1 mph or 0.1 km/h;
///   optional.
/// - `spacing` (in or cm): distance between nozzles. Above 0 to 1200 in, usually 6 to 400 in; read to 0.5 in or 1 cm;
///   optional.
/// - `wetted-width` (ft or m): what a boomless nozzle wets, in place of the spacing. Above 0 to 100 ft, usually 5 to 60
///   ft; read to 0.5 ft or 0.1 m; optional.
/// - `effective-share` (%): share of the wetted width that counts. Above 0 to 100 %, usually 50 to 100 %; 80 % if left
///   out.
/// - `rate` (gal/acre or L/ha): spray on the ground. Above 0 to 2500 gal/acre, usually 5 to 250 gal/acre; optional.
/// - `nozzles` (a whole number): nozzles on the boom. 1 to 200; optional.
/// - `new-speed` (mph or km/h): another speed at the same flow. Above 0 to 40 mph, usually 1 to 12 mph; read to 0.1 mph
///   or 0.1 km/h; optional.
///
/// Of flow, speed, width and rate three are needed.
/// # Errors
/// All four given, or fewer than three where more than a width is wanted; both a spacing and a wetted width.
/// # Cautions
/// `boom-output.speed` for a speed worked out to be outside 1 to 12 mph.
/// # Source
/// As in [`Calculator::sources`]; departs from them in nothing.
/// # Example
/// 0.40 gal/min per nozzle at 3 mph and 20 in is 39.6 gal/acre; 7 nozzles make a boom of 11.67 ft and 2.8 gal/min.
///
/// ```
/// use tankside_calc::calculators::registry::calculator;
/// use tankside_calc::calculation::inputs::RawInputs;
/// use tankside_calc::quantity::system::System;
/// use tankside_calc::uncertainty::work;
///
/// let given = RawInputs::from_pairs(&[
///     ("nozzle-flow", "0.4 gal/min"),
///     ("speed", "3 mph"),
///     ("spacing", "20 in"),
///     ("nozzles", "7"),
/// ]);
/// let worked = work(calculator("boom-output").unwrap(), &given, System::Us).unwrap();
/// let rate = worked.value_in("rate", "gal/acre").unwrap();
/// assert!((rate - 39.6).abs() < 1e-9);
/// ```
pub static CALCULATOR: Calculator = Calculator {
    id: "boom-output",
    inputs: &[
        NOZZLE_FLOW.item(),
        SPEED.item(),
        SPACING.item(),
        WETTED_WIDTH.item(),
        EFFECTIVE_SHARE.item(),
        RATE.item(),
        NOZZLES.item(),
        NEW_SPEED.item(),
    ],
    results: &[
        &RATE_FOUND.spec,
        &PER_THOUSAND.spec,
        &FLOW_FOUND.spec,
        &SPEED_FOUND.spec,
        &SPACING_FOUND.spec,
        &EFFECTIVE_WIDTH.spec,
        &BOOM_WIDTH.spec,
        &TOTAL_FLOW.spec,
        &NEW_RATE.spec,
        &RATE_CHANGE.spec,
    ],
    uncertain: &[RATE_FOUND.name()],
    compare: None,
    face: Face::Results,
    looks_back: false,
    sources: &[
        Source {
            title: "Calibration of Herbicide Applicators (WG013)",
            publisher: "UF/IFAS Extension",
            url: "https://edis.ifas.ufl.edu/publication/wg013",
        },
        Source {
            title: "Calibrating a cluster nozzle / boomless sprayer",
            publisher: "LSU AgCenter",
            url: "https://lsuagcenter.com/articles/page1585925421743",
        },
        Source {
            title: "Sprayer nozzle-flow worksheet (G1270A)",
            publisher: "University of Missouri Extension",
            url: "https://extension.missouri.edu/publications/g1270a",
        },
    ],
    example: &[("nozzle-flow", "0.4 gal/min"), ("speed", "3 mph"), ("spacing", "20 in"), ("nozzles", "7")],
    example_metric: &[("nozzle-flow", "1.5 L/min"), ("speed", "5 km/h"), ("spacing", "50 cm"), ("nozzles", "7")],
    run,
    draw,
};

pub(crate) const NOZZLE_FLOW: InputOf<kinds::Flow> = InputOf::quantity("nozzle-flow", usual::OUTPUT)
    .above("gal/min", (0.0, 100.0), (0.05, 20.0))
    .read_to((0.01, "gal/min"), (0.02, "L/min"))
    .optional();
pub(crate) const SPEED: InputOf<kinds::Speed> = speed("speed");
pub(crate) const NEW_SPEED: InputOf<kinds::Speed> = speed("new-speed");
pub(crate) const SPACING: InputOf<kinds::Length> = InputOf::quantity("spacing", units!("in", "cm"))
    .above("in", (0.0, 1200.0), (6.0, 400.0))
    .read_to((0.5, "in"), (1.0, "cm"))
    .optional();
pub(crate) const WETTED_WIDTH: InputOf<kinds::Length> = InputOf::quantity("wetted-width", usual::SPAN)
    .above("ft", (0.0, 100.0), (5.0, 60.0))
    .read_to((0.5, "ft"), (0.1, "m"))
    .optional();
pub(crate) const EFFECTIVE_SHARE: InputOf<kinds::Share> =
    InputOf::quantity("effective-share", usual::PERCENT).above("%", (0.0, 100.0), (50.0, 100.0)).or("80 %");
pub(crate) const RATE: InputOf<kinds::VolumePerArea> =
    InputOf::quantity("rate", usual::FIELD_RATE).above("gal/acre", (0.0, 2500.0), (5.0, 250.0)).optional();
pub(crate) const NOZZLES: InputOf<kinds::Count> = InputOf::count("nozzles", 1.0, 200.0).optional();

const fn speed(name: &'static str) -> InputOf<kinds::Speed> {
    InputOf::quantity(name, usual::PACE)
        .above("mph", (0.0, 40.0), SPEED_MPH)
        .read_to((0.1, "mph"), (0.1, "km/h"))
        .optional()
}

pub(crate) static RATE_FOUND: ResultOf<kinds::VolumePerArea> = ResultOf::new("rate", usual::FIELD_RATE).main();
pub(crate) static PER_THOUSAND: ResultOf<kinds::VolumePerArea> = ResultOf::new("rate-per-1000-ft2", usual::LAWN_RATE);
pub(crate) static FLOW_FOUND: ResultOf<kinds::Flow> = ResultOf::new("nozzle-flow", usual::OUTPUT).main();
pub(crate) static SPEED_FOUND: ResultOf<kinds::Speed> = ResultOf::new("speed", usual::PACE).main();
pub(crate) static SPACING_FOUND: ResultOf<kinds::Length> = ResultOf::new("spacing", units!("in", "cm")).main();
pub(crate) static EFFECTIVE_WIDTH: ResultOf<kinds::Length> = ResultOf::new("effective-width", usual::SPAN);
pub(crate) static BOOM_WIDTH: ResultOf<kinds::Length> = ResultOf::new("boom-width", usual::SPAN);
pub(crate) static TOTAL_FLOW: ResultOf<kinds::Flow> = ResultOf::new("total-flow", usual::OUTPUT);
pub(crate) static NEW_RATE: ResultOf<kinds::VolumePerArea> = ResultOf::new("new-rate", usual::FIELD_RATE);
pub(crate) static RATE_CHANGE: ResultOf<kinds::Share> = ResultOf::new("rate-change", usual::PERCENT).percent_off();

/// Common practice, no source: from a slow walk to a fast utility vehicle.
const SPEED_MPH: (f64, f64) = (1.0, 12.0);

fn run(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let given = width(inputs, rec)?;
    let flow = inputs.get(&NOZZLE_FLOW);
    let speed = inputs.get(&SPEED);
    let rate = inputs.get(&RATE);
    let (mut out_flow, mut out_width, mut out_speed, mut out_rate) =
        (flow.clone(), given.clone(), speed.clone(), rate.clone());
    match (flow, speed, given, rate) {
        (Some(flow), Some(speed), Some(width), None) => {
            let found = rec.step("boom-output.step.rate", &[], &(&flow / &cover(&speed, &width)), usual::FIELD_RATE);
            rec.result(&RATE_FOUND, [], &found);
            out_rate = Some(found);
        }
        (None, Some(speed), Some(width), Some(rate)) => {
            let found = rec.step("boom-output.step.nozzle-flow", &[], &(&rate * &cover(&speed, &width)), usual::OUTPUT);
            rec.result(&FLOW_FOUND, [], &found);
            out_flow = Some(found);
        }
        (Some(flow), None, Some(width), Some(rate)) => {
            let found = &(&flow / &rate) / &width;
            let found: Traced<Velocity> = rec.step("boom-output.step.speed", &[], &found, usual::PACE);
            rec.result(&SPEED_FOUND, [], &found);
            unusual(rec, &found);
            out_speed = Some(found);
        }
        (Some(flow), Some(speed), None, Some(rate)) => {
            let found = &(&flow / &rate) / &speed;
            let found: Traced<Length> = rec.step("boom-output.step.spacing", &[], &found, units!("in", "cm"));
            rec.result(&SPACING_FOUND, [], &found);
            out_width = Some(found);
        }
        (None, None, Some(_), None) if alone(inputs) => {}
        (Some(_), Some(_), Some(_), Some(_)) => return Err(Fault::new("boom-output.all-four", RATE.name())),
        _ => {
            // The first of a boom's quantities that is missing.
            let open = [
                (inputs.typed(&SPACING).or(inputs.typed(&WETTED_WIDTH)), SPACING.name()),
                (inputs.typed(&SPEED), SPEED.name()),
                (inputs.typed(&NOZZLE_FLOW), NOZZLE_FLOW.name()),
            ];
            let first = open.into_iter().find(|(typed, _)| typed.is_none());
            return Err(Fault::new("boom-output.three-of-four", first.map_or(RATE.name(), |(_, name)| name)));
        }
    }
    whole_boom(inputs, rec, out_width, out_flow);
    other_speed(inputs, rec, out_rate, out_speed);
    Ok(())
}

/// Whether only a width is wanted.
fn alone(inputs: &Inputs) -> bool {
    inputs.typed(&WETTED_WIDTH).is_some() || inputs.typed(&NOZZLES).is_some()
}

/// Ground covered per time.
fn cover(speed: &Traced<Velocity>, width: &Traced<Length>) -> Traced<AreaRate> {
    speed * width
}

/// The width that counts: the spacing, or the effective part of a boomless swath.
fn width(inputs: &Inputs, rec: &mut Recorder) -> Result<Option<Traced<Length>>, Fault> {
    let spacing = inputs.get(&SPACING);
    let Some(wetted) = inputs.get(&WETTED_WIDTH) else { return Ok(spacing) };
    if spacing.is_some() {
        return Err(Fault::new("boom-output.two-widths", WETTED_WIDTH.name()));
    }
    let share = inputs.need(&EFFECTIVE_SHARE)?;
    let width = rec.step("boom-output.step.effective-width", &[], &(&wetted * &share), usual::SPAN);
    rec.result(&EFFECTIVE_WIDTH, [], &width);
    Ok(Some(width))
}

fn unusual(rec: &mut Recorder, speed: &Traced<Velocity>) {
    let mph = speed.in_unit(unit!("mph"));
    if mph < SPEED_MPH.0 || SPEED_MPH.1 < mph {
        let limit = |mph: f64| rec.limit(mph, unit!("mph"), usual::PACE);
        let args =
            vec![("speed", rec.arg(speed, usual::PACE)), ("low", limit(SPEED_MPH.0)), ("high", limit(SPEED_MPH.1))];
        rec.caution("boom-output.speed", Severity::Warning, args);
    }
}

fn whole_boom(inputs: &Inputs, rec: &mut Recorder, spacing: Option<Traced<Length>>, flow: Option<Traced<VolumeRate>>) {
    let Some(nozzles) = inputs.get(&NOZZLES) else { return };
    if let Some(spacing) = spacing {
        let width = rec.step("boom-output.step.boom-width", &[], &(&nozzles * &spacing), usual::SPAN);
        rec.result(&BOOM_WIDTH, [], &width);
    }
    if let Some(flow) = flow {
        let total = rec.step("boom-output.step.total-flow", &[], &(&nozzles * &flow), usual::OUTPUT);
        rec.result(&TOTAL_FLOW, [], &total);
    }
}

fn other_speed(
    inputs: &Inputs,
    rec: &mut Recorder,
    rate: Option<Traced<VolumePerArea>>,
    speed: Option<Traced<Velocity>>,
) {
    let (Some(rate), Some(speed)) = (rate, speed) else { return };
    if inputs.typed(&RATE).is_none() {
        rec.result(&PER_THOUSAND, [], &rate);
    }
    let Some(new_speed) = inputs.get(&NEW_SPEED) else { return };
    let new_rate = rec.step("boom-output.step.new-rate", &[], &(&(&rate * &speed) / &new_speed), usual::FIELD_RATE);
    let change = departure(rec, "boom-output.step.rate-change", &[], &new_rate, &rate);
    rec.result(&NEW_RATE, [], &new_rate);
    rec.result(&RATE_CHANGE, [], &change);
}

/// The boom from behind: nozzles at their spacing, each fan as wide as two spacings; or one wide boomless swath.
fn draw(worked: &Worked, system: System) -> Drawing {
    let inputs = &worked.inputs;
    let typed = |typed: Option<&Typed>| typed.map(|typed| typed.si);
    let spacing = worked.si(&SPACING_FOUND, []).or_else(|| typed(inputs.typed(&SPACING)));
    let width = worked.si(&EFFECTIVE_WIDTH, []).or(spacing).unwrap_or(1.0);
    let wetted = typed(inputs.typed(&WETTED_WIDTH));
    // Only a swath has its width below the ground.
    let mut drawing = Drawing::new(if wetted.is_some() { 206.0 } else { 162.0 });
    let (top, ground) = (46.0, 140.0);
    drawing.rect("ground", 8.0, ground, 344.0, 14.0);
    let text = |si: f64, units: &Units| written::quantity(si, &units.pick(system));
    let (from, to) = if let Some(wetted) = wetted {
        let half = 150.0 * width / wetted;
        drawing.polygon("band-2", &[(180.0, top), (30.0, ground), (330.0, ground)]);
        drawing.polygon("band", &[(180.0, top), (180.0 - half, ground), (180.0 + half, ground)]);
        drawing.circle("mark", 180.0, top, 6.0);
        (180.0 - half, 180.0 + half)
    } else {
        let shown = typed(inputs.typed(&NOZZLES)).unwrap_or(4.0).clamp(1.0, 8.0);
        let step = 300.0 / (shown + 1.0);
        let first = 180.0 - step * (shown - 1.0) / 2.0;
        drawing.line("line", (first - step / 2.0, top), (first + step * (shown - 0.5), top));
        for nozzle in 0..shown as usize {
            let x = first + step * nozzle as f64;
            let class = if nozzle % 2 == 0 { "band" } else { "band-2" };
            drawing.polygon(class, &[(x, top), (x - step, ground), (x + step, ground)]);
            drawing.circle("mark", x, top, 5.0);
        }
        if shown > 1.0 { (first, first + step) } else { (first - step / 2.0, first + step / 2.0) }
    };
    let (line, words) = if wetted.is_some() { (170.0, 194.0) } else { (30.0, 20.0) };
    drawing.dimension((from, line), (to, line));
    let units = if wetted.is_some() { usual::SPAN } else { units!("in", "cm") };
    drawing.label(Set::Mid, (from + to) / 2.0, words, Label::Plain(text(width, units)));
    if let Some(wetted) = wetted {
        drawing.dimension((30.0, 30.0), (330.0, 30.0));
        drawing.label(Set::Mid, 180.0, 20.0, Label::Plain(text(wetted, usual::SPAN)));
        let args =
            vec![("wetted", Arg::Text(text(wetted, usual::SPAN))), ("width", Arg::Text(text(width, usual::SPAN)))];
        drawing.say("boom-output.draw.boomless", args);
    } else {
        drawing.say("boom-output.draw.boom", vec![("spacing", Arg::Text(text(width, units)))]);
    }
    let flow = worked.si(&FLOW_FOUND, []).or_else(|| typed(inputs.typed(&NOZZLE_FLOW)));
    let speed = worked.si(&SPEED_FOUND, []).or_else(|| typed(inputs.typed(&SPEED)));
    let rate = worked.si(&RATE_FOUND, []).or_else(|| typed(inputs.typed(&RATE)));
    if let (Some(flow), Some(speed), Some(rate)) = (flow, speed, rate) {
        let args = vec![
            ("flow", Arg::Text(text(flow, usual::OUTPUT))),
            ("speed", Arg::Text(text(speed, usual::PACE))),
            ("rate", Arg::Text(text(rate, usual::FIELD_RATE))),
        ];
        drawing.say("boom-output.draw.rate", args);
    }
    drawing
}
