"""Holds the core's units table against two others: the library pint, and digits that NIST prints.

Usage: units.py TABLE, with TABLE as `cargo run --package xtask --example units_table` prints it.
Every line of the table is checked; a line that cannot be is a failure. Ends with the counts, and with 1 on a mismatch.
"""

import sys
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pint
import yaml

from checks import Checks

# What the core's symbols are called in pint. Its own acre and rod rest on the US survey foot, which was retired at the
# end of 2022 (85 FR 62698, 2020), so they are built from its foot here.
IN_PINT = {
    "in": "inch", "ft": "foot", "yd": "yard", "mi": "mile", "mm": "millimeter", "cm": "centimeter", "m": "meter",
    "km": "kilometer", "in2": "inch**2", "ft2": "foot**2", "yd2": "yard**2", "100 ft2": "100 * foot**2",
    "1000 ft2": "1000 * foot**2", "acre": "43560 * foot**2", "m2": "meter**2", "100 m2": "100 * meter**2",
    "ha": "hectare", "tsp": "teaspoon", "tbsp": "tablespoon", "fl oz": "US_fluid_ounce", "cup": "cup",
    "pt": "US_pint", "qt": "US_liquid_quart", "gal": "US_liquid_gallon", "100 gal": "100 * US_liquid_gallon",
    "in3": "inch**3", "ft3": "foot**3", "mL": "milliliter", "L": "liter", "100 L": "100 * liter", "m3": "meter**3",
    "imp fl oz": "imperial_fluid_ounce", "imp gal": "imperial_gallon", "s": "second", "min": "minute", "h": "hour",
    "oz": "ounce", "lb": "pound", "ton": "short_ton", "mg": "milligram", "g": "gram", "kg": "kilogram",
    "rod": "16.5 * foot", "rod2": "272.25 * foot**2", "mi2": "mile**2", "psi": "psi", "kPa": "kilopascal", "bar": "bar", "%": "percent",
    "ppm": "1e-6", "acre-ft": "43560 * foot**3", "mph": "mile / hour",
}
# Both sides multiply a handful of factors in binary; a part in 10^12 is thousands of their last digits.
WITHIN = 1e-12
SURVEY_FOOT = Fraction(1200, 3937) / Fraction("0.3048")


def parts(symbol):
    """`gal/1000 ft2` as its rows, the first above the line."""
    return symbol.split("/") if symbol != "mph" else [symbol]


def in_pint(registry, symbol):
    """Size of a unit in SI base units, by pint."""
    first, *below = (registry.Quantity(1, "") * registry.parse_expression(IN_PINT[part]) for part in parts(symbol))
    for divisor in below:
        first = first / divisor
    return first.to_base_units().magnitude


def exact(table, symbol):
    """Size of a unit as a fraction, from the fractions of its rows."""
    first, *below = (table[part] for part in symbol.split("/"))
    for divisor in below:
        first /= divisor
    return first


def against_pint(checks, sizes):
    registry = pint.UnitRegistry()
    for symbol, size in sizes.items():
        if any(part not in IN_PINT for part in parts(symbol)):
            checks.check(f"{symbol} is known to units.py", False)
            continue
        theirs = in_pint(registry, symbol)
        checks.close(f"{symbol} against pint", size, theirs, WITHIN)


def against_nist(checks, table):
    printed = yaml.safe_load((Path(__file__).parent / "nist.yaml").read_text(encoding="utf-8"))
    for row in printed["factors"]:
        factor = exact(table, row["unit"]) / exact(table, row["to"])
        if row.get("survey"):
            factor *= SURVEY_FOOT ** row["survey"]
        digits = Decimal(row["printed"])
        half = Fraction(Decimal(1).scaleb(digits.as_tuple().exponent)) / 2
        # Printed in bold, a factor is exact; else its last digit is rounded.
        allowed = 0 if row["exact"] else half
        said = f"{row['name']} in {row['to']}: {row['printed']} printed, {float(factor)} in the table"
        checks.check(said, abs(factor - Fraction(digits)) <= allowed)
    for row in printed["equals"]:
        whole, part = exact(table, row["unit"]), exact(table, row["of"])
        checks.check(f"1 {row['unit']} is {row['count']} {row['of']}", whole == Fraction(row["count"]) * part)


def main(path):
    checks = Checks("units")
    lines = [line.split("\t") for line in Path(path).read_text(encoding="utf-8").splitlines()]
    sizes = {symbol: float(size) for symbol, size, _ in lines}
    table = {symbol: Fraction(fraction) for symbol, _, fraction in lines if fraction}
    checks.check("the table has rows", len(table) > 40 and len(sizes) == len(lines))
    for symbol, fraction in table.items():
        checks.check(f"{symbol} is computed with as it is defined", float(fraction) == sizes[symbol])
    against_pint(checks, sizes)
    against_nist(checks, table)
    return checks.close_out()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
