//! Pressure and flow: what a tip puts out at another pressure, and what a denser liquid does to it.

use crate::calculation::declare::{Calculator, Face, Fault};
use crate::calculation::drawing::{Drawing, Label, Set};
use crate::calculation::handles::{InputOf, ResultOf};
use crate::calculation::inputs::Inputs;
use crate::calculation::worked::Worked;
use crate::calculators::sources;
use crate::quantity::kind::{MassPerVolume, Pressure, Ratio, VolumeRate};
use crate::quantity::kinds;
use crate::quantity::typed::Typed;
use crate::quantity::unit::{Unit, Units, unit, units};
use crate::quantity::usual;
use crate::quantity::written;
use crate::working::percent_off::departure;
use crate::working::record::{Arg, Recorder, Severity, System, Traced};

/// Flow of a tip at another pressure, pressure for a wanted flow, and flow of a liquid denser than water.
///
/// # Formula
/// Flow goes as the square root of pressure: `new flow = flow * √(new pressure / pressure)`;
/// `needed pressure = pressure * (wanted flow / flow)²`; to keep a rate where the speed changes by a share s,
/// `needed pressure = pressure * (1 + s)²`. A liquid of relative density d flows as `1 / √d`, so
/// `liquid flow = flow / √d`, and a wanted flow of it needs d times the pressure.
/// `d = weight per volume of the liquid / 8.34 lb/gal`.
/// # Inputs
/// - `flow` (gal/min or L/min): flow of water. Above 0 to 100 gal/min, usually 0.05 to 20 gal/min; read to 0.01 gal/min
///   or 0.02 L/min; optional.
/// - `pressure` (psi or bar): pressure that it was measured or rated at. Above 0 to 1000 psi, usually 10 to 250 psi;
///   read to 1 psi or 0.1 bar; required.
/// - `new-pressure` (psi or bar): another pressure. Above 0 to 1000 psi, usually 10 to 250 psi; read to 1 psi or 0.1
///   bar; optional.
/// - `wanted-flow` (gal/min or L/min): another flow. Above 0 to 100 gal/min, usually 0.05 to 20 gal/min; optional.
/// - `speed-change` (%): a change of speed at the same rate; needs no flow. −75 to 200 %, usually −30 to 30 %;
///   optional.
/// - `relative-density` (a number): density of the liquid relative to water. Above 0 to 3, usually 0.8 to 1.6;
///   optional.
/// - `liquid-weight` (lb/gal or kg/L): what a volume of the liquid weighs, in its place. Above 0 to 25 lb/gal, usually
///   6.5 to 13.5 lb/gal; read to 0.05 lb/gal or 0.01 kg/L; optional.
/// # Errors
/// Nothing to work out; two of a new pressure, a wanted flow and a change of speed; no flow without such a change; a
/// relative density beside a weight.
/// # Cautions
/// `pressure-flow.far` where the pressure changes to less than half or more than twice; `pressure-flow.finer` where it
/// rises by more than a tenth.
/// # Source
/// As in [`Calculator::sources`]; departs from them in nothing. The square law is textbook hydraulics.
/// # Example
/// 0.40 gal/min at 40 psi is 0.346 gal/min at 30 psi; twice the flow takes four times the pressure.
///
/// ```
/// use tankside_calc::calculators::registry::calculator;
/// use tankside_calc::calculation::inputs::RawInputs;
/// use tankside_calc::quantity::system::System;
/// use tankside_calc::uncertainty::work;
///
/// let given = RawInputs::from_pairs(&[
///     ("flow", "0.4 gal/min"),
///     ("pressure", "40 psi"),
///     ("new-pressure", "30 psi"),
/// ]);
/// let worked = work(calculator("pressure-flow").unwrap(), &given, System::Us).unwrap();
/// let new_flow = worked.value_in("new-flow", "gal/min").unwrap();
/// assert!((new_flow - 0.3464).abs() < 0.0001);
/// ```
pub static CALCULATOR: Calculator = Calculator {
    id: "pressure-flow",
    inputs: &[
        FLOW.item(),
        PRESSURE.item(),
        NEW_PRESSURE.item(),
        WANTED_FLOW.item(),
        SPEED_CHANGE.item(),
        RELATIVE_DENSITY.item(),
        LIQUID_WEIGHT.item(),
    ],
    results: &[
        &NEW_FLOW.spec,
        &NEEDED.spec,
        &LIQUID_FLOW.spec,
        &DENSITY.spec,
        &FLOW_CHANGE.spec,
        &FLOW_RATIO.spec,
        &PRESSURE_RATIO.spec,
    ],
    uncertain: &[NEW_FLOW.name(), NEEDED.name()],
    compare: None,
    face: Face::Results,
    looks_back: false,
    sources: &[sources::APPLICATOR_TRAINING, sources::BULLETIN_817, sources::FORMULAS],
    example: &[("flow", "0.4 gal/min"), ("pressure", "40 psi"), ("new-pressure", "30 psi")],
    example_metric: &[("flow", "1.5 L/min"), ("pressure", "2.8 bar"), ("new-pressure", "2 bar")],
    run,
    draw,
};

pub(crate) const FLOW: InputOf<kinds::Flow> = flow("flow").read_to((0.01, "gal/min"), (0.02, "L/min")).optional();
/// Chosen, not read, so that it adds no uncertainty.
pub(crate) const WANTED_FLOW: InputOf<kinds::Flow> = flow("wanted-flow").optional();
pub(crate) const SPEED_CHANGE: InputOf<kinds::Share> =
    InputOf::quantity("speed-change", usual::PERCENT).from("%", (-75.0, 200.0), (-30.0, 30.0)).optional();
pub(crate) const PRESSURE: InputOf<kinds::Pressure> = pressure("pressure");
pub(crate) const NEW_PRESSURE: InputOf<kinds::Pressure> = pressure("new-pressure").optional();
pub(crate) const RELATIVE_DENSITY: InputOf<kinds::Number> =
    InputOf::quantity("relative-density", usual::NUMBER).above("", (0.0, 3.0), (0.8, 1.6)).optional();
pub(crate) const LIQUID_WEIGHT: InputOf<kinds::MassPerVolume> =
    InputOf::quantity("liquid-weight", units!("lb/gal", "kg/L"))
        .above("lb/gal", (0.0, 25.0), (6.5, 13.5))
        .read_to((0.05, "lb/gal"), (0.01, "kg/L"))
        .optional();

const fn flow(name: &'static str) -> InputOf<kinds::Flow> {
    InputOf::quantity(name, usual::OUTPUT).above("gal/min", (0.0, 100.0), (0.05, 20.0))
}

/// A pressure read off a gauge.
const fn pressure(name: &'static str) -> InputOf<kinds::Pressure> {
    InputOf::quantity(name, units!("psi", "bar"))
        .above("psi", (0.0, 1000.0), (10.0, 250.0))
        .read_to((1.0, "psi"), (0.1, "bar"))
}

const GAUGE: &Units = units!("psi", "bar");
pub(crate) static NEW_FLOW: ResultOf<kinds::Flow> = ResultOf::new("new-flow", usual::OUTPUT).main();
pub(crate) static NEEDED: ResultOf<kinds::Pressure> = ResultOf::new("needed-pressure", GAUGE).main();
pub(crate) static LIQUID_FLOW: ResultOf<kinds::Flow> = ResultOf::new("liquid-flow", usual::OUTPUT).main();
pub(crate) static DENSITY: ResultOf<kinds::Number> = ResultOf::new("relative-density", usual::NUMBER);
pub(crate) static FLOW_CHANGE: ResultOf<kinds::Share> = ResultOf::new("flow-change", usual::PERCENT).percent_off();
pub(crate) static FLOW_RATIO: ResultOf<kinds::Number> = ResultOf::new("flow-ratio", usual::NUMBER);
pub(crate) static PRESSURE_RATIO: ResultOf<kinds::Number> = ResultOf::new("pressure-ratio", usual::NUMBER);

/// Water by the US gallon, as handbooks round it; the third source prints 8.3453.
const WATER_LB_PER_GAL: f64 = 8.34;
/// The same in metric practice.
const WATER_KG_PER_L: f64 = 1.0;
/// Common practice, no source for the figure: beyond half or twice the pressure a tip no longer sprays as it should.
const FAR: f64 = 2.0;
const RISE: f64 = 1.1;

fn run(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let pressure = inputs.need(&PRESSURE)?;
    let new = inputs.get(&NEW_PRESSURE);
    let wanted = inputs.get(&WANTED_FLOW);
    if let Some(change) = inputs.get(&SPEED_CHANGE) {
        if new.is_some() || wanted.is_some() {
            return Err(Fault::new("pressure-flow.one-wanted", SPEED_CHANGE.name()));
        }
        return paced(inputs, rec, &pressure, &change);
    }
    let flow = inputs.need(&FLOW)?;
    let density = density(inputs, rec)?;
    match (new, wanted) {
        (Some(_), Some(_)) => return Err(Fault::new("pressure-flow.one-wanted", WANTED_FLOW.name())),
        (Some(new), None) => {
            let ratio = rec.step("pressure-flow.step.pressure-ratio", &[], &(&new / &pressure), usual::NUMBER);
            let new_flow = &flow * &ratio.root::<Ratio>();
            let new_flow = rec.step("pressure-flow.step.new-flow", &[], &new_flow, usual::OUTPUT);
            rec.result(&NEW_FLOW, [], &new_flow);
            let change = departure(rec, "pressure-flow.step.flow-change", &[], &new_flow, &flow);
            rec.result(&FLOW_CHANGE, [], &change);
            rec.result(&PRESSURE_RATIO, [], &ratio);
            thicker(rec, &new_flow, density.as_ref());
            cautions(rec, &new, &pressure);
        }
        (None, Some(wanted)) => {
            let needed = needed(rec, &flow, &pressure, &wanted, density.as_ref());
            cautions(rec, &needed, &pressure);
        }
        (None, None) if density.is_some() => thicker(rec, &flow, density.as_ref()),
        (None, None) => return Err(Fault::new("pressure-flow.nothing", NEW_PRESSURE.name())),
    }
    Ok(())
}

/// The density of the liquid relative to water, if it is not water.
fn density(inputs: &Inputs, rec: &mut Recorder) -> Result<Option<Traced<Ratio>>, Fault> {
    match (inputs.get(&RELATIVE_DENSITY), inputs.get(&LIQUID_WEIGHT)) {
        (Some(_), Some(_)) => Err(Fault::new("pressure-flow.two-densities", LIQUID_WEIGHT.name())),
        (density, None) => Ok(density),
        (None, Some(weight)) => {
            let (water, unit) = rec.system.pick((WATER_LB_PER_GAL, unit!("lb/gal")), (WATER_KG_PER_L, unit!("kg/L")));
            let water: Traced<MassPerVolume> = Traced::constant("pressure-flow.constant.water", water, unit);
            let density = rec.step("pressure-flow.step.relative-density", &[], &(&weight / &water), usual::NUMBER);
            rec.result(&DENSITY, [], &density);
            Ok(Some(density))
        }
    }
}

fn thicker(rec: &mut Recorder, flow: &Traced<VolumeRate>, density: Option<&Traced<Ratio>>) {
    let Some(density) = density else { return };
    let liquid = flow / &density.root::<Ratio>();
    let liquid = rec.step("pressure-flow.step.liquid-flow", &[], &liquid, usual::OUTPUT);
    rec.result(&LIQUID_FLOW, [], &liquid);
}

/// The pressure that keeps a rate where the speed changes: the flow must change by as much.
fn paced(
    inputs: &Inputs,
    rec: &mut Recorder,
    pressure: &Traced<Pressure>,
    change: &Traced<Ratio>,
) -> Result<(), Fault> {
    let one = Traced::number(1.0);
    let ratio = rec.settle(&FLOW_RATIO, [], &(&one + change));
    let times = rec.settle(&PRESSURE_RATIO, [], &(&ratio * &ratio));
    let needed = rec.settle(&NEEDED, [], &(pressure * &times));
    if let Some(flow) = inputs.get(&FLOW) {
        rec.settle(&NEW_FLOW, [], &(&flow * &ratio));
    }
    cautions(rec, &needed, pressure);
    Ok(())
}

fn needed(
    rec: &mut Recorder,
    flow: &Traced<VolumeRate>,
    pressure: &Traced<Pressure>,
    wanted: &Traced<VolumeRate>,
    density: Option<&Traced<Ratio>>,
) -> Traced<Pressure> {
    let ratio = rec.step("pressure-flow.step.flow-ratio", &[], &(wanted / flow), usual::NUMBER);
    let square = &ratio * &ratio;
    let square = density.map_or(square.clone(), |density| &square * density);
    let times = rec.step("pressure-flow.step.pressure-ratio", &[], &square, usual::NUMBER);
    let needed = rec.step("pressure-flow.step.needed-pressure", &[], &(pressure * &times), GAUGE);
    rec.result(&NEEDED, [], &needed);
    rec.result(&FLOW_RATIO, [], &ratio);
    rec.result(&PRESSURE_RATIO, [], &times);
    needed
}

fn cautions(rec: &mut Recorder, new: &Traced<Pressure>, old: &Traced<Pressure>) {
    let times = crate::text::figures::without_noise(new.si() / old.si());
    let args = || vec![("old", rec.arg(old, GAUGE)), ("new", rec.arg(new, GAUGE))];
    let (far, finer) = (args(), args());
    if !(FAR.recip()..=FAR).contains(&times) {
        rec.caution("pressure-flow.far", Severity::Warning, far);
    }
    if times > RISE {
        rec.caution("pressure-flow.finer", Severity::Warning, finer);
    }
}

/// The square-root curve of the tip from no pressure on, with the point known and the point worked out.
fn draw(worked: &Worked, system: System) -> Drawing {
    let mut drawing = Drawing::new(236.0);
    let inputs = &worked.inputs;
    let typed = |typed: Option<&Typed>| typed.map_or(0.0, |typed| typed.si);
    // Without a flow the curve is that of any tip.
    let any = inputs.typed(&FLOW).is_none();
    let (flow, pressure) = (inputs.typed(&FLOW).map_or(1.0, |typed| typed.si), typed(inputs.typed(&PRESSURE)));
    let new = worked.si(&NEEDED, []).unwrap_or_else(|| typed(inputs.typed(&NEW_PRESSURE)));
    // Without a second pressure the second point is the same pressure with the denser liquid.
    let (new, new_flow) = match (worked.si(&NEW_FLOW, []), worked.si(&LIQUID_FLOW, [])) {
        (Some(new_flow), _) => (new, new_flow),
        (None, Some(liquid)) => (pressure, liquid),
        (None, None) if any => (new, worked.si(&FLOW_RATIO, []).unwrap_or(1.0)),
        (None, None) => (new, typed(inputs.typed(&WANTED_FLOW))),
    };
    let (most, highest) = (pressure.max(new) * 1.15, flow.max(new_flow) * 1.2);
    let x = |si: f64| 44.0 + si / most * 300.0;
    let y = |si: f64| 190.0 - si / highest * 160.0;
    drawing.line("line", (44.0, 24.0), (44.0, 190.0));
    drawing.line("line", (44.0, 190.0), (352.0, 190.0));
    let curve: Vec<(f64, f64)> = (0..=24_i32)
        .map(|part| f64::from(part) / 24.0)
        .map(|part| (x(most * part * part), y(flow * (most / pressure).sqrt() * part)))
        .collect();
    drawing.path("dim", &curve);
    let unit = |units: &Units| units.pick(system);
    let (gauge, flowing) = (unit(GAUGE), unit(usual::OUTPUT));
    for (at, out, class) in [(pressure, flow, "line"), (new, new_flow, "mark")] {
        drawing.line("dim", (x(at), 190.0), (x(at), y(out)));
        drawing.line("dim", (44.0, y(out)), (x(at), y(out)));
        drawing.circle(class, x(at), y(out), 6.0);
    }
    let pair = |one: f64, other: f64, unit: &Unit| {
        let (one, other) = (written::quantity(one, unit), written::quantity(other, unit));
        Label::Plain(if one == other { one } else { [&one, " → ", &other].concat() })
    };
    drawing.label(Set::Strong, 198.0, 228.0, pair(pressure, new, &gauge));
    if any {
        let pressures = vec![("pressure", Arg::Quantity(pressure, gauge)), ("new-pressure", Arg::Quantity(new, gauge))];
        drawing.say("pressure-flow.draw.any", pressures);
        return drawing;
    }
    drawing.label(Set::Start, 8.0, 16.0, pair(flow, new_flow, &flowing));
    let args = vec![
        ("flow", Arg::Quantity(flow, flowing)),
        ("pressure", Arg::Quantity(pressure, gauge)),
        ("new-flow", Arg::Quantity(new_flow, flowing)),
        ("new-pressure", Arg::Quantity(new, gauge)),
    ];
    drawing.say("pressure-flow.draw.curve", args);
    drawing
}
