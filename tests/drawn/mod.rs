//! Problems drawn at random within what a calculator declares: the same on every machine, so that a finding
//! can be looked at again.
#![allow(dead_code, reason = "each test takes what it needs")]

use tankside_calc::calculation::declare::{Bounds, Calculator, FormItem, Group, Holds, Input, Need};
use tankside_calc::calculation::inputs::RawInputs;
use tankside_calc::quantity::kind::Kind;
use tankside_calc::quantity::typed::unit_text;
use tankside_calc::quantity::unit::Unit;
use tankside_calc::quantity::units::ATOMS;
use tankside_calc::text::figures::plain_digits;
use tankside_calc::working::record::System;

/// Most rows drawn of a group; more only repeat what a few show.
const MOST_ROWS: usize = 3;

/// SplitMix64 (Steele, Lea and Flood, OOPSLA 2014): a state of one number, good enough for tests.
pub(crate) struct Random(u64);

impl Random {
    /// A separate sequence for each seed.
    pub(crate) fn new(seed: u64) -> Random {
        Random(seed.wrapping_mul(0x2545_f491_4f6c_dd1d))
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A whole number below `limit`, which is above 0.
    pub(crate) fn below(&mut self, limit: usize) -> usize {
        (self.next() % limit as u64) as usize
    }

    /// A share from 0 up to, but not including, 1.
    pub(crate) fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// One of `all`, which is not empty.
    pub(crate) fn one<'t, T>(&mut self, all: &'t [T]) -> &'t T {
        &all[self.below(all.len())]
    }

    /// Whether something with this chance happens.
    pub(crate) fn chance(&mut self, share: f64) -> bool {
        self.share() < share
    }

    /// A number from `low` to `high`, to 1 to 6 figures; evenly over the powers of ten where there are several.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        let share = self.share();
        let drawn =
            if low > 0.0 && high / low > 10.0 { low * (high / low).powf(share) } else { low + (high - low) * share };
        let rounded = tankside_calc::text::figures::to_figures(drawn, 1 + self.below(6));
        if low <= rounded && rounded <= high { rounded } else { drawn }
    }
}

/// How far the numbers go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Reach {
    /// What is usual in the field.
    Plausible,
    /// Everything that is not refused.
    Hard,
    /// Now and then the limit itself, or a hair beyond it.
    Borders,
}

/// A problem for a calculator: every required input, and some of the others.
pub(crate) fn problem(calculator: &'static Calculator, reach: Reach, random: &mut Random) -> (RawInputs, System) {
    let mut given: Vec<(String, String)> = Vec::new();
    // People leave much of a form blank; where a thing can be entered in several ways, they use one of them.
    let fullness = random.share();
    for item in calculator.inputs {
        match item {
            FormItem::One(input) => field(input, input.name.to_owned(), reach, fullness, random, &mut given),
            FormItem::Many(group) => {
                for row in 1..=rows(group, fullness, random) {
                    for input in group.fields {
                        field(
                            input,
                            format!("{}.{row}.{}", group.name, input.name),
                            reach,
                            fullness,
                            random,
                            &mut given,
                        );
                    }
                }
            }
        }
    }
    let system = if random.chance(0.5) { System::Us } else { System::Metric };
    (RawInputs(given), system)
}

fn rows(group: &Group, fullness: f64, random: &mut Random) -> usize {
    if group.least == 0 && !random.chance(fullness) {
        return 0;
    }
    let least = group.least.max(1);
    least + random.below(group.most.min(least + MOST_ROWS) - least + 1)
}

fn field(
    input: &'static Input,
    name: String,
    reach: Reach,
    fullness: f64,
    random: &mut Random,
    given: &mut Vec<(String, String)>,
) {
    if input.need != Need::Required && !random.chance(fullness) {
        return;
    }
    given.push((name, value(input, reach, random)));
}

/// A text that a person may write into the field.
pub(crate) fn value(input: &Input, reach: Reach, random: &mut Random) -> String {
    match input.holds {
        Holds::Choice(words) => (*random.one(words)).to_owned(),
        Holds::Name => (*random.one(&["Greenhold", "Ember & Co", "Say \"when\"", "Low <3", "Rasen ½"])).to_owned(),
        Holds::Unit => {
            let kind = *random.one(Kind::ALL);
            let (us, metric) = kind.offered();
            let all: Vec<String> = us.iter().chain(metric).map(Unit::plain).collect();
            if all.is_empty() { "gal".to_owned() } else { random.one(&all).clone() }
        }
        Holds::Count => {
            let (low, high) = input.bounds.map_or((1.0, 9.0), |bounds| range(&bounds, reach));
            plain_digits(number(low, high, reach, random).round())
        }
        Holds::Quantity(kind) => {
            let units = units(kind);
            let Some(bounds) = input.bounds else {
                // It may be of several kinds, so no range is declared; these are about what labels print.
                let unit = *random.one(&units);
                return written(random.between(0.01, 100.0), &unit, kind);
            };
            let (low, high) = range(&bounds, reach);
            let own = bounds.unit;
            let fitting: Vec<Unit> = units.into_iter().filter(|unit| unit.dim() == own.dim()).collect();
            let unit = if fitting.is_empty() { own } else { *random.one(&fitting) };
            let number = number(low, high, reach, random);
            written(tankside_calc::text::figures::without_noise(number * own.size() / unit.size()), &unit, kind)
        }
    }
}

fn number(low: f64, high: f64, reach: Reach, random: &mut Random) -> f64 {
    match random.below(8) {
        0 if reach == Reach::Borders => low,
        1 if reach == Reach::Borders => high,
        2 if reach == Reach::Borders => high * 1.000_001,
        3 if reach == Reach::Borders => low - 0.000_001,
        _ => random.between(low, high),
    }
}

fn range(bounds: &Bounds, reach: Reach) -> (f64, f64) {
    let (low, high) = if reach == Reach::Plausible { bounds.plausible } else { bounds.hard };
    // 0 itself is refused where a limit says so; a millionth of the highest is as good as nothing, and allowed.
    let low = if low == 0.0 && bounds.positive && reach != Reach::Borders { high * 1e-6 } else { low };
    (low, high)
}

/// The units a form offers for a kind.
pub(crate) fn units(kind: Kind) -> Vec<Unit> {
    let kinds = if kind == Kind::Any { kind.members() } else { &[kind] };
    let offered = kinds.iter().flat_map(|kind| {
        let (us, metric) = kind.offered();
        us.iter().chain(metric)
    });
    let units: Vec<Unit> = offered.copied().collect();
    if units.is_empty() { vec![Unit::none()] } else { units }
}

/// Every unit that may be typed: the rows of the table and what forms offer.
pub(crate) fn every_unit() -> Vec<Unit> {
    let mut all: Vec<Unit> = ATOMS.iter().map(|row| Unit::of(row.symbol)).collect();
    all.extend(Kind::ALL.iter().flat_map(|kind| units(*kind)).filter(|unit| unit.parts().count() > 1));
    all
}

/// A number with its unit, as a form hands it over.
pub(crate) fn written(number: f64, unit: &Unit, kind: Kind) -> String {
    format!("{} {}", plain_digits(number), unit_text(unit, kind)).trim().to_owned()
}
