"""Holds the core's uncertainty budgets against the library `uncertainties`.

Usage: uncertainty.py TANKSIDE, the built program. For each case the program prints a worked problem as JSON; the same
formula is written out here once more, in Python, and its uncertainty propagated by the library. Compared are the value,
the standard uncertainty, what each reading adds, the scatter of repeats, the expanded and the relative uncertainty, and
the factor by which runs must grow. Ends with the counts, and with 1 on a mismatch.
"""

import json
import math
import statistics
import subprocess
import sys

from uncertainties import nominal_value, ufloat
from uncertainties.umath import sqrt

from checks import Checks

# Two ways of computing the same in binary; a part in 10^9 is far more than their last digits come to.
WITHIN = 1e-9
REACTION_S = 0.10  # American Journal of Physics 87, 110 (2019): a start and a stop together
K = 2.0

# Sizes in m, s, kg and m³, from the definitions in NIST Handbook 44, appendix C.
FT, GAL, LB = 0.3048, 231 * 0.0254**3, 0.45359237
PSI = LB * 9.80665 / 0.0254**2
SIZE = {
    "s": 1.0, "min": 60.0, "ft": FT, "in": FT / 12, "m": 1.0, "cm": 0.01, "ft2": FT**2, "1000 ft2": 1000 * FT**2,
    "acre": 43560 * FT**2, "m2": 1.0, "100 m2": 100.0, "ha": 10000.0, "gal": GAL, "fl oz": GAL / 128, "L": 0.001,
    "mL": 1e-6, "oz": LB / 16, "lb": LB, "g": 0.001, "kg": 1.0, "%": 0.01, "100 gal": 100 * GAL, "psi": PSI,
}


def size(unit):
    first, *below = unit.split("/")
    return SIZE[first] / math.prod(SIZE[part] for part in below)


class Case:
    """One problem: its inputs as they are typed, and the readings among them."""

    def __init__(self, calculator, system="us"):
        self.calculator, self.system, self.given, self.readings = calculator, system, {}, {}

    def exact(self, name, amount, unit=""):
        """A number that is printed, chosen or counted; gives it in SI."""
        self.given[name] = f"{amount!r} {unit}".strip()
        return amount * (size(unit) if unit else 1.0)

    def read(self, name, amount, unit, mark, hand=False):
        """A reading to a mark, `amount` and unit, by a hand on a stopwatch or not; gives it in SI."""
        self.given[name] = f"{amount!r} {unit}"
        width = mark[0] * size(mark[1])
        standard = math.sqrt(width**2 / 12 + (REACTION_S**2 if hand else 0.0))
        self.readings[name] = ufloat(amount * size(unit), standard, tag=name)
        return self.readings[name]

    def share(self, name, amount, unit, share):
        """A reading that is known to a share of itself; gives it in SI."""
        return self.read(name, amount, unit, (share * amount, unit))

    def own(self, name, amount, unit, mark):
        """What counts as given, unless its reader says what it was read to; gives it in SI."""
        if mark is None:
            return self.exact(name, amount, unit)
        self.given[f"read-to.{name}"] = f"{mark[0]!r} {mark[1]}"
        return self.read(name, amount, unit, mark)

    def time(self, name, seconds):
        return self.read(name, seconds, "s", (0.2, "s"), hand=True)

    def worked(self, program):
        words = [f"{name}={text}" for name, text in self.given.items()]
        command = [program, "work", self.calculator, *words, "--units", self.system, "--json"]
        return json.loads(subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True).stdout)


def scatter(pairs):
    """Standard error of a pooled ratio from its repeats, amount and what it was measured over."""
    amounts, over = [amount for amount, _ in pairs], [part for _, part in pairs]
    if len(set(over)) == 1:
        # Equal shares: the textbook standard deviation of the mean (JCGM 100:2008, 4.2.3), by Python itself.
        return statistics.stdev(amount / over[0] for amount in amounts) / math.sqrt(len(pairs))
    pooled = math.fsum(amounts) / math.fsum(over)
    squares = math.fsum((part / math.fsum(over)) ** 2 * (amount / part - pooled) ** 2 for amount, part in pairs)
    return math.sqrt(len(pairs) / (len(pairs) - 1) * squares)


def nominal(pairs):
    """What was measured of each repeat; one is no repeat."""
    return [] if len(pairs) < 2 else [(amount.nominal_value, over.nominal_value) for amount, over in pairs]


def catch_test(rows, system="us"):
    """A gun: volumes with their unit and times; the pooled output."""
    case = Case("catch-test", system)
    pairs = []
    for number, (amount, unit, seconds) in enumerate(rows, 1):
        mark = (10, "mL") if unit in ("L", "mL") else (1, "fl oz")
        volume = case.read(f"catch.{number}.volume", amount, unit, mark)
        pairs.append((volume, case.time(f"catch.{number}.time", seconds)))
    output = sum(volume for volume, _ in pairs) / sum(time for _, time in pairs)
    return case, {"nozzle-output": (output, nominal(pairs))}


def nozzle_row(amounts, unit, seconds, system="us"):
    """A row of nozzles caught at once: one time, many volumes; nozzles are no repeats of one another."""
    case = Case("catch-test", system)
    mark = (10, "mL") if unit in ("L", "mL") else (1, "fl oz")
    volumes = [case.read(f"nozzle.{number}.volume", amount, unit, mark) for number, amount in enumerate(amounts, 1)]
    time = case.time("nozzle-time", seconds)
    return case, {"mean-output": (sum(volumes) / len(volumes) / time, [])}


def swath(passes=(), blocks=(), taken=(), unit="ft", system="us"):
    case = Case("swath-timing", system)
    long, wide = ((0.5, "ft"), (2, "in")) if unit == "ft" else ((0.1, "m"), (5, "cm"))
    pairs = []
    for number, (length, spacing, count, seconds) in enumerate(passes, 1):
        one = case.read(f"pass.{number}.length", length, unit, long)
        area = one * case.read(f"pass.{number}.spacing", spacing, unit, wide)
        area = area * case.exact(f"pass.{number}.passes", count)
        pairs.append((area, case.time(f"pass.{number}.time", seconds)))
    for number, (length, width, seconds) in enumerate(blocks, 1):
        one = case.read(f"block.{number}.length", length, unit, long)
        area = one * case.read(f"block.{number}.width", width, unit, long)
        pairs.append((area, case.time(f"block.{number}.time", seconds)))
    area, time = sum(area for area, _ in pairs), sum(time for _, time in pairs)
    for number, (length, width) in enumerate(taken, 1):
        one = case.read(f"patch.{number}.length", length, unit, long)
        area = area - one * case.read(f"patch.{number}.width", width, unit, long)
        case.given[f"patch.{number}.effect"] = "subtract"
    # A patch belongs to one of the rows and nobody says to which: rows beside patches are no repeats.
    return case, {"area-rate": (area / time, [] if taken else nominal(pairs))}


def application_rate(timed=(), used=(), metric=False):
    case = Case("application-rate", "metric" if metric else "us")
    caught_to, used_to = ((10, "mL"), (0.5, "L")) if metric else ((1, "fl oz"), (0.1, "gal"))
    pairs = []
    for number, (volume, volume_unit, catch, area, area_unit, seconds) in enumerate(timed, 1):
        caught = case.read(f"timed.{number}.volume", volume, volume_unit, caught_to)
        output = caught / case.time(f"timed.{number}.catch-time", catch)
        covered = case.share(f"timed.{number}.area", area, area_unit, 0.02)
        pairs.append((output * case.time(f"timed.{number}.area-time", seconds), covered))
    for number, (volume, volume_unit, area, area_unit) in enumerate(used, 1):
        spray = case.read(f"used.{number}.volume", volume, volume_unit, used_to)
        pairs.append((spray, case.share(f"used.{number}.area", area, area_unit, 0.02)))
    rate = sum(spray for spray, _ in pairs) / sum(area for _, area in pairs)
    return case, {"application-rate": (rate, nominal(pairs))}


def tank_mix(tank, rate, products, left=None, area=None, metric=False, **read):
    """Products as amount and unit of their label rate; what is new in the tank takes them."""
    case = Case("tank-mix", "metric" if metric else "us")
    volume, per_area = (("L", "L/100 m2") if metric else ("gal", "gal/1000 ft2"))
    level = case.own("tank", tank, volume, read.get("tank_to"))
    applied = case.own("application-rate", rate, per_area, read.get("rate_to"))
    if area is not None:
        unit = "m2" if metric else "ft2"
        treat = case.own("area", area, unit, read["area_to"]) if "area_to" in read else case.share("area", area, unit, 0.02)
        level = min(treat * applied, level, key=nominal_value)
    new = level
    if left is not None:
        new = level - case.read("left", left, volume, (10, "L") if metric else (2, "gal"))
    results = {"area-treated": (level / applied, [])}
    for number, (amount, unit, by_volume) in enumerate(products, 1):
        label = case.exact(f"product.{number}.rate", amount, unit)
        results[f"product-{number}-amount"] = (label * (new if by_volume else new / applied), [])
    # What rests on no reading has no doubt.
    return case, {name: result for name, result in results.items() if getattr(result[0], "std_dev", 0.0) > 0.0}


def usage_check(area, before=None, after=None, used=None):
    """A finished lawn: what the tank lost, or a flow meter told, over the ground."""
    case = Case("usage-check")
    ground = case.share("area", area, "ft2", 0.02)
    case.exact("application-rate", 2.0, "gal/1000 ft2")
    if used is not None:
        spray = case.read("volume-used", used, "gal", (0.1, "gal"))
    else:
        spray = case.read("tank-before", before, "gal", (1, "gal"))
        spray = spray - case.read("tank-after", after, "gal", (1, "gal"))
    return case, {"true-rate": (spray / ground, [])}


def pressure_flow(flow, pressure, new=None, wanted=None):
    """Flow goes as the root of pressure, pressure as the square of flow."""
    case = Case("pressure-flow")
    known = case.read("flow", flow, "gal/min", (0.01, "gal/min"))
    at = case.read("pressure", pressure, "psi", (1, "psi"))
    if new is not None:
        return case, {"new-flow": (known * sqrt(case.read("new-pressure", new, "psi", (1, "psi")) / at), [])}
    ratio = case.exact("wanted-flow", wanted, "gal/min") / known
    return case, {"needed-pressure": (at * ratio * ratio, [])}


CASES = {
    "one catch of 60 s": catch_test([(186.0, "fl oz", 60.0)]),
    "one catch of 15 s": catch_test([(46.0, "fl oz", 15.0)]),
    "one small catch of 5 s": catch_test([(0.1, "gal", 5.0)]),
    "two equal catches": catch_test([(186.0, "fl oz", 60.0), (190.0, "fl oz", 60.0)]),
    "three catches of different lengths": catch_test(
        [(93.0, "fl oz", 30.0), (190.0, "fl oz", 60.0), (1.1, "gal", 45.0)]
    ),
    "metric catches": catch_test([(5.5, "L", 60.0), (5600.0, "mL", 60.0), (2.8, "L", 30.0)], "metric"),
    "a litre bucket under US units": catch_test([(5.5, "L", 60.0)]),
    "a row of nozzles": nozzle_row([19.0, 20.0, 18.0, 21.0, 20.0, 19.0], "fl oz", 30.0),
    "a metric row of nozzles": nozzle_row([590.0, 600.0, 575.0, 610.0], "mL", 30.0, "metric"),
    "ten passes": swath(passes=[(100.0, 5.0, 10.0, 227.0)]),
    "three rows of passes": swath(passes=[(200.0, 5.0, 1.0, 78.0), (200.0, 5.0, 2.0, 150.0), (150.0, 5.5, 1.0, 61.0)]),
    "passes and a block": swath(passes=[(100.0, 5.0, 4.0, 92.0)], blocks=[(40.0, 30.0, 70.0)]),
    "blocks without a bed": swath(blocks=[(40.0, 30.0, 70.0), (60.0, 20.0, 75.0)], taken=[(10.0, 6.0)]),
    "metric passes": swath(passes=[(30.0, 1.5, 10.0, 227.0)], unit="m", system="metric"),
    "a timed run": application_rate(timed=[(186.0, "fl oz", 60.0, 5000.0, "ft2", 227.0)]),
    "a short timed run": application_rate(timed=[(30.0, "fl oz", 10.0, 300.0, "ft2", 15.0)]),
    "a timed and a measured run": application_rate(
        timed=[(186.0, "fl oz", 60.0, 5000.0, "ft2", 227.0)], used=[(5.6, "gal", 5000.0, "ft2")]
    ),
    "three measured runs": application_rate(
        used=[(5.6, "gal", 5000.0, "ft2"), (10.9, "gal", 10000.0, "ft2"), (4.4, "gal", 4000.0, "ft2")]
    ),
    "metric runs": application_rate(
        timed=[(5.5, "L", 60.0, 450.0, "m2", 227.0)], used=[(21.0, "L", 450.0, "m2")], metric=True
    ),
    "a tank with mix left": tank_mix(
        200.0, 2.0, [(1.5, "fl oz/1000 ft2", False), (0.25, "%", True), (2.0, "lb/acre", False)], left=60.0
    ),
    "a tank for a small lawn": tank_mix(200.0, 2.0, [(1.5, "fl oz/1000 ft2", False)], area=30000.0),
    "a backpack": tank_mix(4.0, 1.05, [(12.0, "fl oz/100 gal", True), (0.5, "lb/1000 ft2", False)]),
    "a tank whose size and rate are in doubt": tank_mix(
        200.0, 2.0, [(1.5, "fl oz/1000 ft2", False)], tank_to=(1, "gal"), rate_to=(0.01, "gal/1000 ft2")
    ),
    "a measured lawn": tank_mix(
        200.0, 2.0, [(1.5, "fl oz/1000 ft2", False)], area=30000.0, area_to=(50, "ft2"), rate_to=(0.01, "gal/1000 ft2")
    ),
    "two walks that differ wildly": application_rate(
        used=[(5.0, "gal", 5000.0, "ft2"), (8.0, "gal", 5000.0, "ft2")]
    ),
    "a catch of a second": catch_test([(6.0, "fl oz", 1.0)]),
    "a lawn between two tank readings": usage_check(8000.0, before=140.0, after=121.6),
    "a lawn by its volume": usage_check(12000.0, used=25.0),
    "less pressure": pressure_flow(0.4, 40.0, new=30.0),
    "more flow": pressure_flow(0.4, 40.0, wanted=0.5),
    "a metric tank": tank_mix(800.0, 8.0, [(50.0, "mL/100 m2", False), (0.25, "%", True)], left=200.0, metric=True),
}


MOST_TIMES, MOST_REPEATS = 4.0, 6  # longer or more often than this nobody runs a test


def grows(calculator, name):
    """Whether a reading matters less the longer the run; widths, tanks and what is known to a share of itself do not."""
    if calculator in ("tank-mix", "pressure-flow"):
        return False
    shares = (".area",) if calculator == "application-rate" else ("area",) if calculator == "usage-check" else ()
    return not name.endswith((".spacing", ".width", *shares))


def factor(calculator, value, parts, scattered, repeats, wanted):
    """By how much runs must grow, by the definition of what grows; None where that is no answer."""
    growing = math.fsum(part**2 for name, part in parts.items() if grows(calculator, name)) / value**2
    fixed = math.fsum(part**2 for name, part in parts.items() if not grows(calculator, name)) / value**2
    spread = (scattered / value) ** 2
    room = (wanted / K) ** 2 - fixed
    if growing + spread <= room:
        return "enough", None
    # What lies between two tank readings grows, but nobody makes it grow.
    can = growing > 0 and calculator != "usage-check"
    if spread < room and can:
        times = math.sqrt(growing / (room - spread))
        return ("times", times) if times <= MOST_TIMES else ("coarse", None)
    now = repeats or (1 if growing > 0 and not can else 0)
    if now and room > 0:
        needed = math.ceil(now * (growing + spread) / room)
        return "repeats" if needed <= max(MOST_REPEATS, now + 2) else "unsteady" if spread > growing else "coarse", None
    return "never", None


def compare(checks, named, case, printed, expected):
    checks.check(f"{named}: the results with a budget", list(printed["uncertainty"]) == list(expected))
    for name, (value, repeats) in expected.items():
        ours = printed["uncertainty"].get(name)
        if ours is None:
            continue
        said, unit = f"{named}: {name}", size(ours["unit"])
        scattered = scatter(repeats) if repeats else 0.0
        standard = math.hypot(value.std_dev, scattered)
        checks.close(f"{said}, value", ours["value"], value.nominal_value / unit, WITHIN)
        checks.close(f"{said}, standard", ours["standard"], standard / unit, WITHIN)
        checks.close(f"{said}, expanded", ours["expanded"], K * standard / unit, WITHIN)
        checks.close(f"{said}, relative", ours["relative"], K * standard / value.nominal_value, WITHIN)
        # A reading that cancels leaves dust of binary arithmetic, which is no part of a budget.
        dust = 1e-6 * standard
        parts = {variable.tag: part for variable, part in value.error_components().items() if part > dust}
        shown = {reading["name"]: reading for reading in ours["readings"]}
        checks.check(f"{said}, readings {sorted(shown)} {sorted(parts)}", shown.keys() == parts.keys())
        for reading in shown.keys() & parts.keys():
            checks.close(f"{said}, {reading} adds", shown[reading]["contribution"], parts[reading] / unit, WITHIN)
            own = case.readings[reading]
            in_its_unit = own.std_dev / size(shown[reading]["unit"])
            checks.close(f"{said}, {reading} itself", shown[reading]["standard"], in_its_unit, WITHIN)
        if repeats:
            checks.close(f"{said}, scatter", ours["scatter"]["standard"], scattered / unit, WITHIN)
        else:
            checks.check(f"{said}, no scatter", "scatter" not in ours)
        wanted = ours["longer"]["wanted"]
        answer, times = factor(case.calculator, value.nominal_value, parts, scattered, len(repeats), wanted)
        checks.check(f"{said}, {answer} against {ours['longer']['answer']}", ours["longer"]["answer"] == answer)
        if times and answer == ours["longer"]["answer"]:
            checks.close(f"{said}, times as long", ours["longer"]["factor"], times, WITHIN)


def main(program):
    checks = Checks("uncertainty")
    for named, (case, expected) in CASES.items():
        compare(checks, named, case, case.worked(program), expected)
    return checks.close_out()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
