//! Unit conversion: one amount in another unit of the same kind.

use crate::calculation::declare::{Calculator, Face, Fault, Source};
use crate::calculation::drawing::{Drawing, Label};
use crate::calculation::handles::{InputOf, ResultOf, UnitName};
use crate::calculation::inputs::Inputs;
use crate::calculation::worked::Worked;
use crate::quantity::kinds;
use crate::quantity::typed;
use crate::quantity::unit::{Unit, Units};
use crate::quantity::usual;
use crate::working::record::{Arg, Recorder, System};

/// An amount in any unit of its kind, with the factors that lead from the one unit to the other.
///
/// # Formula
/// `converted = amount * size of its unit / size of the unit wanted`, shown as a chain of unit factors that cancel.
/// # Inputs
/// - `amount` (gal or L): anything with a unit, also in parts (5 ft 9 in). No limits declared; required.
/// - `to` (a unit): the unit wanted; `oz` is fluid or weight, whichever the amount is. Required.
/// # Errors
/// A unit that is not known; a unit that measures something other than the amount.
/// # Cautions
/// None: a conversion changes no amount.
/// # Source
/// As in [`Calculator::sources`]; departs from them in taking the acre as 43,560 international square feet.
/// # Example
/// 1 gal/acre is 128 / 43.56 = 2.938 fl oz/1000 ft².
///
/// ```
/// use tankside_calc::calculators::registry::calculator;
/// use tankside_calc::calculation::inputs::RawInputs;
/// use tankside_calc::quantity::system::System;
/// use tankside_calc::uncertainty::work;
///
/// let given = RawInputs::from_pairs(&[
///     ("amount", "1 gal/acre"),
///     ("to", "fl oz/1000 ft2"),
/// ]);
/// let worked = work(calculator("unit-conversion").unwrap(), &given, System::Us).unwrap();
/// let converted = worked.value_in("converted", "fl oz/1000 ft2").unwrap();
/// assert!((converted - 2.938).abs() < 0.001);
/// ```
pub static CALCULATOR: Calculator = Calculator {
    id: "unit-conversion",
    inputs: &[AMOUNT.item(), TO.item()],
    results: &[&CONVERTED.spec],
    uncertain: &[],
    compare: None,
    face: Face::Results,
    looks_back: false,
    sources: &[
        Source {
            title: "Guide for the Use of the International System of Units (SP 811), appendix B",
            publisher: "National Institute of Standards and Technology",
            url: "https://www.nist.gov/pml/special-publication-811/nist-guide-si-appendix-b-conversion-factors/nist-guide-si-appendix-b8",
        },
        Source {
            title: "Handbook 44, appendix C: General Tables of Units of Measurement",
            publisher: "National Institute of Standards and Technology",
            url: "https://www.nist.gov/pml/owm/nist-handbook-44-current-edition",
        },
    ],
    example: &[("amount", "87 gal/acre"), ("to", "gal/1000 ft2")],
    example_metric: &[("amount", "800 L/ha"), ("to", "L/100 m2")],
    run,
    draw,
};

pub(crate) const TO: InputOf<UnitName> = InputOf::unit_name("to");
pub(crate) const AMOUNT: InputOf<kinds::Any> = InputOf::quantity("amount", usual::TANKFUL);

pub(crate) static CONVERTED: ResultOf<kinds::Any> = ResultOf::new("converted", usual::LAWN_RATE).main().fine();

fn run(inputs: &Inputs, rec: &mut Recorder) -> Result<(), Fault> {
    let amount = inputs.need(&AMOUNT)?;
    let (Some(kind), Some(wanted)) = (inputs.kind(&AMOUNT), inputs.word(&TO)) else {
        return Err(Fault::new("problem.missing", TO.name()));
    };
    // Read as one of that unit, so that "oz" takes the meaning of the amount and a wrong kind is named.
    let to = typed::read(&["1 ", wanted].concat(), kind, None)
        .map_err(|misread| Fault::misread(misread, kind, TO.name()))?;
    rec.settle_in(&CONVERTED, [], &amount, &Units { us: to.unit, metric: to.unit });
    Ok(())
}

/// A double scale: the amount's unit above, the unit wanted below.
fn draw(worked: &Worked, _: System) -> Drawing {
    let mut drawing = Drawing::new(112.0);
    if let (Some(amount), Some(converted)) = (worked.inputs.typed(&AMOUNT), worked.shown(&CONVERTED, [])) {
        let amount = (amount.si, amount.unit);
        drawing.scales([&amount, &converted].map(|(_, unit)| Label::Plain(unit.shown())), [&amount, &converted]);
        let said = |(si, unit): &(f64, Unit)| Arg::Quantity(*si, *unit);
        drawing.say("unit-conversion.draw.scale", vec![("amount", said(&amount)), ("converted", said(&converted))]);
    }
    drawing
}
