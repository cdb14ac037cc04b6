//! The units of the trade, one row each, with factors that are definitions.
//!
//! Authority for every factor: NIST SP 811 (2008) appendix B and NIST Handbook 44 appendix C. A factor is written as
//! the definition (231 in³, 43,560 ft²), a smaller unit as its parent divided by a whole number; no decimal is rounded.
//! A unit of measure on a page is a product of these rows (`gal/1000 ft2`), see [`crate::quantity::unit::Unit`].

use crate::quantity::exact::Exact;

/// Exponents of the trade's base dimensions.
///
/// Volume is next to length here, although it is a cube of length: gal/1000 ft² must not pass for a length
/// when a learner types it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Dim {
    /// Length; area is 2.
    pub length: i8,
    /// Time.
    pub time: i8,
    /// Mass (weight, as labels say).
    pub mass: i8,
    /// Liquid volume.
    pub volume: i8,
    /// Pressure.
    pub pressure: i8,
}

impl Dim {
    /// A bare number or a share.
    pub const NONE: Dim = Dim::new(0, 0, 0, 0, 0);

    const fn new(length: i8, time: i8, mass: i8, volume: i8, pressure: i8) -> Dim {
        Dim { length, time, mass, volume, pressure }
    }

    /// This dimension `times` over, added to `other`.
    pub const fn plus(self, other: Dim, times: i8) -> Dim {
        Dim::new(
            self.length + other.length * times,
            self.time + other.time * times,
            self.mass + other.mass * times,
            self.volume + other.volume * times,
            self.pressure + other.pressure * times,
        )
    }
}

const LENGTH: Dim = Dim::new(1, 0, 0, 0, 0);
const AREA: Dim = Dim::new(2, 0, 0, 0, 0);
const TIME: Dim = Dim::new(0, 1, 0, 0, 0);
const MASS: Dim = Dim::new(0, 0, 1, 0, 0);
const VOLUME: Dim = Dim::new(0, 0, 0, 1, 0);
const PRESSURE: Dim = Dim::new(0, 0, 0, 0, 1);
const NONE: Dim = Dim::NONE;

/// One row of the table: a unit that is not made of others.
#[derive(Debug)]
pub struct Atom {
    /// As labels write it, plain characters (`ft2`).
    pub symbol: &'static str,
    /// As a page shows it (`ft²`).
    pub shown: &'static str,
    /// What it measures.
    pub dim: Dim,
    /// Size in SI base units (m, s, kg, m³, Pa).
    pub size: Exact,
    /// The same as the nearest `f64`.
    pub value: f64,
    /// For a square unit, the symbol of its side.
    pub side: Option<&'static str>,
    /// For a unit that counts another (`1000 ft2`): how many, and of what.
    pub counts: Option<(u32, &'static str)>,
    /// US customary or not; decides which units a form offers.
    pub us: bool,
}

/// A row as it is written down here. What it says of an [`Atom`] beyond the atom itself is in tables beside
/// [`ATOMS`]: a page that only computes needs neither other spellings nor definitions, and does not load them.
struct DeclaredAtom {
    atom: Atom,
    spellings: &'static [&'static str],
    definition: &'static str,
}

impl PartialEq for Atom {
    fn eq(&self, other: &Atom) -> bool {
        // There is one of each.
        std::ptr::eq(self, other)
    }
}

const fn row(
    symbol: &'static str,
    spellings: &'static [&'static str],
    dim: Dim,
    size: Exact,
    us: bool,
    definition: &'static str,
) -> DeclaredAtom {
    let value = size.value();
    let atom = Atom { symbol, shown: symbol, dim, size, value, side: None, counts: None, us };
    DeclaredAtom { atom, spellings, definition }
}

impl Atom {
    /// Its place in [`ATOMS`].
    pub(crate) fn index(&'static self) -> u8 {
        let first: *const Atom = ATOMS.as_ptr();
        ((std::ptr::from_ref(self).addr() - first.addr()) / size_of::<Atom>()) as u8
    }

    /// Other spellings that are understood, lower case, `2` for a superscript.
    pub fn spellings(&'static self) -> &'static [&'static str] {
        SPELLINGS[usize::from(self.index())]
    }

    /// The definition, in words of units.
    pub fn definition(&'static self) -> &'static str {
        DEFINITIONS[usize::from(self.index())]
    }
}

impl DeclaredAtom {
    const fn shown(mut self, shown: &'static str) -> DeclaredAtom {
        self.atom.shown = shown;
        self
    }

    const fn counting(mut self, count: u32, base: &'static str) -> DeclaredAtom {
        self.atom.counts = Some((count, base));
        self
    }

    const fn square_of(mut self, side: &'static str) -> DeclaredAtom {
        self.atom.side = Some(side);
        self
    }
}

const METRE: Exact = Exact::ONE;
const INCH: Exact = Exact::new(254, 10_000);
const FOOT: Exact = Exact::new(3048, 10_000);
const YARD: Exact = FOOT.of(3);
const MILE: Exact = FOOT.of(5280);
const ROD: Exact = FOOT.times(Exact::new(33, 2));
const ACRE: Exact = FOOT.squared().of(43_560);
const GALLON: Exact = INCH.cubed().of(231);
const LITRE: Exact = Exact::new(1, 1000);
const IMPERIAL_GALLON: Exact = LITRE.times(Exact::new(454_609, 100_000));
const POUND: Exact = Exact::new(45_359_237, 100_000_000);
const GRAM: Exact = Exact::new(1, 1000);
const STANDARD_GRAVITY: Exact = Exact::new(980_665, 100_000);

/// The table as it is written down.
const ROWS: &[DeclaredAtom] = &[
    row("in", &["inch", "inches", "\"", "″"], LENGTH, INCH, true, "2.54 cm"),
    row("ft", &["foot", "feet", "'", "′"], LENGTH, FOOT, true, "0.3048 m"),
    row("yd", &["yard"], LENGTH, YARD, true, "3 ft"),
    row("rod", &[], LENGTH, ROD, true, "16.5 ft"),
    row("mi", &["mile"], LENGTH, MILE, true, "5280 ft"),
    row("mm", &["millimeter", "millimetre"], LENGTH, METRE.part(1000), false, "m / 1000"),
    row("cm", &["centimeter", "centimetre"], LENGTH, METRE.part(100), false, "m / 100"),
    row("m", &["meter", "metre"], LENGTH, METRE, false, "SI base unit"),
    row("km", &["kilometer", "kilometre"], LENGTH, METRE.of(1000), false, "1000 m"),
    row("in2", &["sq in", "square inch", "square inches"], AREA, INCH.squared(), true, "1 in × 1 in")
        .shown("in²")
        .square_of("in"),
    row(
        "ft2",
        &["sq ft", "sqft", "square foot", "square feet", "sf", "sq foot", "sq feet", "sqfeet"],
        AREA,
        FOOT.squared(),
        true,
        "1 ft × 1 ft",
    )
    .shown("ft²")
    .square_of("ft"),
    row("yd2", &["sq yd", "square yard"], AREA, YARD.squared(), true, "1 yd × 1 yd").shown("yd²").square_of("yd"),
    row("100 ft2", &["100 sq ft", "100 square feet", "100 sqft"], AREA, FOOT.squared().of(100), true, "100 ft²")
        .shown("100 ft²")
        .counting(100, "ft2"),
    row(
        "1000 ft2",
        &["1000 sq ft", "1000 square feet", "1000 sqft", "msf", "sfm", "ksf", "thousand"],
        AREA,
        FOOT.squared().of(1000),
        true,
        "1000 ft²",
    )
    .shown("1000 ft²")
    .counting(1000, "ft2"),
    row("rod2", &["sq rod", "square rod"], AREA, ROD.squared(), true, "272.25 ft²").shown("rod²").square_of("rod"),
    row("acre", &["ac", "a", "acr"], AREA, ACRE, true, "43,560 ft²"),
    row("mi2", &["sq mi", "square mile"], AREA, MILE.squared(), true, "640 acres").shown("mi²").square_of("mi"),
    row("m2", &["sq m", "sqm", "square meter", "square metre"], AREA, METRE, false, "1 m × 1 m")
        .shown("m²")
        .square_of("m"),
    row("100 m2", &["100 sq m", "100 square meters", "100 square metres"], AREA, METRE.of(100), false, "100 m²")
        .shown("100 m²")
        .counting(100, "m2"),
    row("ha", &["hectare"], AREA, METRE.of(10_000), false, "10,000 m²"),
    row("tsp", &["teaspoon", "teasp"], VOLUME, GALLON.part(768), true, "fl oz / 6"),
    row("tbsp", &["tablespoon", "tbs", "tblsp", "tbl", "tablesp"], VOLUME, GALLON.part(256), true, "fl oz / 2"),
    row(
        "fl oz",
        &[
            "floz",
            "fluid ounce",
            "fluid oz",
            "oz fl",
            "oz fluid",
            "ounces fluid",
            "fl ounce",
            "us fl oz",
            "liquid oz",
            "liquid ounce",
            "liq oz",
            "oz liquid",
            "ounces liquid",
            "foz",
        ],
        VOLUME,
        GALLON.part(128),
        true,
        "gal / 128",
    ),
    row("cup", &["c"], VOLUME, GALLON.part(16), true, "gal / 16"),
    row("pt", &["pint"], VOLUME, GALLON.part(8), true, "gal / 8"),
    row("qt", &["quart"], VOLUME, GALLON.part(4), true, "gal / 4"),
    row(
        "gal",
        &["gallon", "us gal", "us gallon", "gl", "gal us", "gallon us", "gallons us"],
        VOLUME,
        GALLON,
        true,
        "231 in³",
    ),
    row("100 gal", &["100 gallons", "100 us gal", "hundred gallons"], VOLUME, GALLON.of(100), true, "100 gal")
        .counting(100, "gal"),
    row("in3", &["cu in", "cubic inch", "cubic inches"], VOLUME, INCH.cubed(), true, "1 in × 1 in × 1 in").shown("in³"),
    row("ft3", &["cu ft", "cubic foot", "cubic feet"], VOLUME, FOOT.cubed(), true, "1 ft × 1 ft × 1 ft").shown("ft³"),
    row("mL", &["milliliter", "millilitre", "cc", "cm3"], VOLUME, LITRE.part(1000), false, "L / 1000"),
    row("L", &["liter", "litre", "lt", "ltr"], VOLUME, LITRE, false, "1 dm³"),
    row(
        "100 L",
        &["100 liters", "100 litres", "hl", "hectoliter", "hectolitre"],
        VOLUME,
        LITRE.of(100),
        false,
        "100 L",
    )
    .counting(100, "L"),
    row("acre-ft", &["acre ft", "acre foot", "acre feet", "ac ft"], VOLUME, ACRE.times(FOOT), true, "43,560 ft³"),
    row("m3", &["cubic meter", "cubic metre"], VOLUME, METRE, false, "1 m × 1 m × 1 m").shown("m³"),
    row(
        "imp fl oz",
        &["imperial fl oz", "imperial fluid ounce", "uk fl oz"],
        VOLUME,
        IMPERIAL_GALLON.part(160),
        false,
        "imp gal / 160",
    ),
    row(
        "imp gal",
        &["imperial gal", "imperial gallon", "uk gal", "uk gallon"],
        VOLUME,
        IMPERIAL_GALLON,
        false,
        "4.54609 L",
    ),
    row("s", &["sec", "second"], TIME, Exact::ONE, true, "SI base unit"),
    row("min", &["minute"], TIME, Exact::ONE.of(60), true, "60 s"),
    row("h", &["hr", "hour"], TIME, Exact::ONE.of(3600), true, "60 min"),
    row(
        "oz",
        &[
            "ounce",
            "oz wt",
            "oz dry",
            "ounce dry",
            "ounces dry",
            "oz avdp",
            "oz av",
            "oz weight",
            "oz by weight",
            "oz by wt",
            "wt oz",
            "weight oz",
            "weight ounce",
            "ounce by weight",
            "ounces by weight",
            "dry oz",
            "dry ounce",
            "ounce weight",
            "ounces weight",
            "avoirdupois ounce",
        ],
        MASS,
        POUND.part(16),
        true,
        "lb / 16",
    )
    .shown("oz (weight)"),
    row("lb", &["pound"], MASS, POUND, true, "0.45359237 kg"),
    row("ton", &["short ton"], MASS, POUND.of(2000), true, "2000 lb"),
    row("mg", &["milligram"], MASS, GRAM.part(1000), false, "g / 1000"),
    row("g", &["gram", "gm"], MASS, GRAM, false, "kg / 1000"),
    row("kg", &["kilogram", "kilo"], MASS, GRAM.of(1000), false, "SI base unit"),
    row(
        "psi",
        &["psig"],
        PRESSURE,
        POUND.times(STANDARD_GRAVITY).over(INCH.squared()),
        true,
        "1 lb under standard gravity (9.80665 m/s²) on 1 in²",
    ),
    row("kPa", &["kilopascal"], PRESSURE, Exact::ONE.of(1000), false, "1000 N/m²"),
    row("bar", &[], PRESSURE, Exact::ONE.of(100_000), false, "100 kPa"),
    row(
        "%",
        &["percent", "pct", "per cent", "percentage point", "percent point"],
        NONE,
        Exact::new(1, 100),
        true,
        "1 / 100",
    ),
    row("ppm", &["parts per million", "part per million"], NONE, Exact::new(1, 1_000_000), true, "1 / 1,000,000"),
];

/// One value of each row.
macro_rules! of_each {
    ($row:ident => $value:expr) => {{
        let mut all = [const {
            let $row = &ROWS[0];
            $value
        }; ROWS.len()];
        let mut index = 0;
        while index < ROWS.len() {
            let $row = &ROWS[index];
            all[index] = $value;
            index += 1;
        }
        all
    }};
}

/// Every unit the core knows, in the order in which a table of units shows them.
pub static ATOMS: [Atom; ROWS.len()] = of_each!(row => Atom { ..row.atom });
static SPELLINGS: [&[&str]; ROWS.len()] = of_each!(row => row.spellings);
static DEFINITIONS: [&str; ROWS.len()] = of_each!(row => row.definition);

/// The place of the row whose symbol is `bytes` from `start` to `end`.
pub(crate) const fn index_of(bytes: &[u8], start: usize, end: usize) -> Option<u8> {
    let mut index = 0;
    while index < ATOMS.len() {
        let symbol = ATOMS[index].symbol.as_bytes();
        let mut at = 0;
        if symbol.len() != end - start {
            index += 1;
            continue;
        }
        while at < symbol.len() && symbol[at] == bytes[start + at] {
            at += 1;
        }
        if at == symbol.len() {
            return Some(index as u8);
        }
        index += 1;
    }
    None
}

/// The row with this symbol.
///
/// # Panics
/// Never for a symbol in [`ATOMS`]; only the core's own tables call it.
pub fn atom(symbol: &str) -> &'static Atom {
    find(symbol).unwrap_or(&ATOMS[0])
}

/// The row with this symbol, if there is one; the symbol is matched to the letter.
pub fn find(symbol: &str) -> Option<&'static Atom> {
    index_of(symbol.as_bytes(), 0, symbol.len()).map(|index| &ATOMS[usize::from(index)])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn trade_identities_hold_exactly() {
        // NIST Handbook 44, appendix C: definitions, so equality is exact.
        let size = |symbol| find(symbol).expect("a known unit").size;
        assert_eq!(size("gal"), size("fl oz").of(128));
        assert_eq!(size("gal"), size("in3").of(231));
        assert_eq!(size("gal"), size("qt").of(4));
        assert_eq!(size("gal"), size("pt").of(8));
        assert_eq!(size("gal"), size("cup").of(16));
        assert_eq!(size("fl oz"), size("tbsp").of(2));
        assert_eq!(size("fl oz"), size("tsp").of(6));
        assert_eq!(size("acre"), size("ft2").of(43_560));
        assert_eq!(size("acre-ft"), size("ft3").of(43_560));
        assert_eq!(size("%"), size("ppm").of(10_000));
        assert_eq!(size("mi"), size("ft").of(5280));
        assert_eq!(size("mi2"), size("acre").of(640));
        assert_eq!(size("acre"), size("rod2").of(160));
        assert_eq!(size("lb"), size("oz").of(16));
        assert_eq!(size("imp gal"), size("imp fl oz").of(160));
        assert_eq!(size("ha"), size("m2").of(10_000));
    }

    #[test]
    fn symbols_and_spellings_are_unique() {
        let mut seen = std::collections::BTreeSet::new();
        for row in &ATOMS {
            assert!(seen.insert(row.symbol.to_lowercase()), "{} twice", row.symbol);
            for spelling in row.spellings() {
                assert!(seen.insert((*spelling).to_owned()), "{spelling} twice");
                assert_eq!(*spelling, spelling.to_lowercase());
            }
        }
    }

    #[test]
    fn counting_units_count() {
        for row in &ATOMS {
            if let Some((count, base)) = row.counts {
                assert_eq!(find(base).expect("a unit").size.of(u64::from(count)), row.size);
                assert_eq!(row.symbol, format!("{count} {base}"));
            }
        }
    }

    #[test]
    fn square_units_are_squares() {
        for row in ATOMS.iter().filter(|row| row.side.is_some()) {
            let side = find(row.side.expect("filtered")).expect("the side is a unit");
            assert_eq!(side.size.squared(), row.size, "{}", row.symbol);
        }
    }
}
