//! Label rates: the four kinds a label prints, and the two limits it sets.

use crate::calculation::asking::RowOf;
use crate::calculation::declare::Fault;
use crate::calculation::handles::{Fields, GroupOf, InputOf, OwnName, fields};
use crate::calculation::inputs::{Inputs, Row};
use crate::quantity::kind::{Kind, MassPerArea, MassPerVolume, Ratio, VolumePerArea};
use crate::quantity::kinds;
use crate::quantity::order::above;
use crate::quantity::typed::Typed;
use crate::quantity::unit::{Unit, Units, units};
use crate::quantity::units::Dim;
use crate::quantity::usual;
use crate::working::record::{Arg, Recorder, Severity, Traced};

/// A row of a product.
#[derive(Debug)]
pub enum Product {}

/// The name of a product.
pub const NAME: InputOf<OwnName, Product> = InputOf::own_name("name");
/// The rate of a product as its label prints it.
///
/// No hard limit but above 0 and up to 100 gal or 1000 lb per unit of ground or mix would hold for all four kinds, so
/// none beyond "above 0" is declared; the label maximum is the limit that counts.
pub const RATE: InputOf<kinds::LabelRate, Product> = InputOf::quantity("rate", units!("fl oz/1000 ft2", "mL/100 m2"));
/// The highest rate the label allows.
pub const MAX: InputOf<kinds::LabelRate, Product> =
    InputOf::quantity("label-max", units!("fl oz/1000 ft2", "mL/100 m2")).optional();
/// The least volume of spray that the label asks for.
pub const VOLUME_MIN: InputOf<kinds::VolumePerArea> =
    InputOf::quantity("label-volume-min", usual::LAWN_RATE).above("gal/1000 ft2", (0.0, 50.0), (0.1, 10.0)).optional();

const FIELDS: &Fields<Product, 3> = fields![NAME, RATE, MAX];

/// Products with their label rates, up to `most` of them.
pub const fn products(most: usize) -> GroupOf<Product> {
    GroupOf::new("product", FIELDS, 0, most)
}

/// A label rate of known kind.
#[derive(Clone, Debug)]
pub enum LabelRate {
    /// fl oz/1000 ft², pt/acre, L/ha.
    LiquidByArea(Traced<VolumePerArea>),
    /// oz/1000 ft², lb/acre, kg/ha.
    DryByArea(Traced<MassPerArea>),
    /// fl oz/100 gal, percent by volume.
    LiquidByVolume(Traced<Ratio>),
    /// lb/100 gal, g/100 L.
    DryByVolume(Traced<MassPerVolume>),
}

impl LabelRate {
    /// The rate in a product row.
    ///
    /// # Errors
    /// Missing, or not above zero.
    pub fn of(row: &RowOf<Product>) -> Result<LabelRate, Fault> {
        LabelRate::field(row, &RATE)?.ok_or_else(|| Fault::new("problem.missing", row.name(&RATE)))
    }

    #[inline(always)]
    fn field(row: &RowOf<Product>, field: &InputOf<kinds::LabelRate, Product>) -> Result<Option<LabelRate>, Fault> {
        LabelRate::field_at(row.plain(), field.name())
    }

    fn field_at(row: &Row, field: &str) -> Result<Option<LabelRate>, Fault> {
        let Some(kind) = row.kind_at(field) else { return Ok(None) };
        let rate = match kind {
            Kind::VolumePerArea => LabelRate::LiquidByArea(row.need_at(field)?),
            Kind::MassPerArea => LabelRate::DryByArea(row.need_at(field)?),
            Kind::Share => LabelRate::LiquidByVolume(row.need_at(field)?),
            Kind::MassPerVolume => LabelRate::DryByVolume(row.need_at(field)?),
            _ => return Err(Fault::new("problem.missing", row.name(field))),
        };
        if rate.si() > 0.0 { Ok(Some(rate)) } else { Err(Fault::new("label.not-above-zero", row.name(field))) }
    }

    /// Value in SI base units of its own kind.
    pub fn si(&self) -> f64 {
        match self {
            LabelRate::LiquidByArea(rate) => rate.si(),
            LabelRate::DryByArea(rate) => rate.si(),
            LabelRate::LiquidByVolume(rate) => rate.si(),
            LabelRate::DryByVolume(rate) => rate.si(),
        }
    }

    fn unit(&self) -> Unit {
        let expr = match self {
            LabelRate::LiquidByArea(rate) => rate.expr(),
            LabelRate::DryByArea(rate) => rate.expr(),
            LabelRate::LiquidByVolume(rate) => rate.expr(),
            LabelRate::DryByVolume(rate) => rate.expr(),
        };
        match &**expr {
            crate::working::record::Expr::Leaf { unit, .. } => *unit,
            _ => Unit::none(),
        }
    }

    /// Units to measure the product out in, US and metric: liquids in fl oz or mL, dry products in what the label
    /// weighs in.
    pub fn amount_units(&self) -> &'static Units {
        match self {
            LabelRate::LiquidByArea(_) | LabelRate::LiquidByVolume(_) => usual::MEASURED,
            LabelRate::DryByArea(_) | LabelRate::DryByVolume(_) => {
                match self.unit().first().map_or("oz", |atom| atom.symbol) {
                    "lb" => units!("lb", "g"),
                    "kg" => units!("oz", "kg"),
                    _ => units!("oz", "g"),
                }
            }
        }
    }

    /// The rate per area that this comes to at an application rate; SI value.
    fn by_area(&self, application_rate: &Traced<VolumePerArea>) -> (bool, f64) {
        match self {
            LabelRate::LiquidByArea(rate) => (true, rate.si()),
            LabelRate::DryByArea(rate) => (false, rate.si()),
            LabelRate::LiquidByVolume(rate) => (true, rate.si() * application_rate.si()),
            LabelRate::DryByVolume(rate) => (false, rate.si() * application_rate.si()),
        }
    }
}

/// Raises a danger when a product's rate is above its label's maximum.
///
/// A rate by volume is compared with a maximum by area through the application rate.
///
/// # Errors
/// A maximum for a liquid against a dry rate, or the other way around.
pub fn max_caution(
    rec: &mut Recorder,
    row: &RowOf<Product>,
    rate: &LabelRate,
    application_rate: &Traced<VolumePerArea>,
    id: &'static str,
) -> Result<(), Fault> {
    let (liquid, per_area) = rate.by_area(application_rate);
    area_caution(rec, row, liquid, per_area, application_rate, id)
}

/// Raises a danger when what goes on the ground of a product, `per_area` in SI base units, is above its label's
/// maximum.
///
/// # Errors
/// A maximum for a liquid against a dry rate, or the other way around.
pub fn area_caution(
    rec: &mut Recorder,
    row: &RowOf<Product>,
    liquid: bool,
    per_area: f64,
    application_rate: &Traced<VolumePerArea>,
    id: &'static str,
) -> Result<(), Fault> {
    let Some(most) = LabelRate::field(row, &MAX)? else { return Ok(()) };
    let (max_liquid, allowed) = most.by_area(application_rate);
    if liquid != max_liquid {
        return Err(Fault::new("label.max-of-other-kind", row.name(&MAX)));
    }
    if above(per_area, allowed) {
        let unit = most.unit();
        let name = row.word(&NAME).map_or_else(|| Arg::Phrase(row.name(&NAME)), |name| Arg::Name(name.to_owned()));
        rec.caution(
            id,
            Severity::Danger,
            vec![
                ("product", name),
                ("rate", Arg::Quantity(most.si() * per_area / allowed, unit)),
                ("max", Arg::Quantity(most.si(), unit)),
            ],
        );
    }
    Ok(())
}

/// Raises a danger when a rate that measures `dim` is above `most`, the highest that a label allows where it is given.
///
/// # Errors
/// A maximum that measures something else than the rate.
pub fn rate_caution(
    rec: &mut Recorder,
    most: Option<&Typed>,
    si: f64,
    dim: Dim,
    id: &'static str,
) -> Result<(), Fault> {
    let Some(most) = most else { return Ok(()) };
    if most.unit.dim() != dim {
        return Err(Fault::new("label.max-of-other-kind", MAX.name()));
    }
    if above(si, most.si) {
        let shown = |si| Arg::Quantity(si, most.unit);
        rec.caution(id, Severity::Danger, vec![("rate", shown(si)), ("max", shown(most.si))]);
    }
    Ok(())
}

/// Raises a danger when a carrier volume is under the least that the label asks for.
pub fn volume_caution(
    inputs: &Inputs,
    rec: &mut Recorder,
    volume: &Traced<VolumePerArea>,
    id: &'static str,
    row: Option<usize>,
) {
    let Some(least) = inputs.get(&VOLUME_MIN) else { return };
    if volume.below(&least) {
        let units = usual::LAWN_RATE;
        rec.caution(
            id,
            Severity::Danger,
            vec![
                ("volume", rec.arg(volume, units)),
                ("least", rec.arg(&least, units)),
                ("n", Arg::Text(row.map_or_else(String::new, |row| row.to_string()))),
            ],
        );
    }
}
