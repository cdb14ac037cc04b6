"""Holds the day's log, a control chart, against the libraries `uncertainties` and Python's own `statistics`.

Usage: chart.py LOGS, drawn logs and what the core made of them, a JSON object a line. The standard deviation of each
point is propagated once more by the library, and the Western Electric rules (NIST/SEMATECH e-Handbook of Statistical
Methods, 6.3.2) are applied once more, written here from their text. A gauge reading is anywhere within its mark, whose
standard deviation is the mark over the square root of 12; a lawn takes two of them. Ends with the counts, and with 1 on a mismatch.
"""

import json
import math
import sys
from statistics import NormalDist

from uncertainties import ufloat

from checks import Checks

WITHIN = 1e-9


def sides(values, side):
    return [value * side for value in values]


def moved(zs):
    last = lambda count: zs[-count:] if len(zs) >= count else None
    three, five, eight = last(3), last(5), last(8)
    return bool(
        (three and sum(z > 2 for z in three) >= 2)
        or (five and sum(z > 1 for z in five) >= 4)
        or (eight and all(z > 0 for z in eight))
    )


def verdict(zs):
    off = [index for index, z in enumerate(zs) if abs(z) > 3]
    judged = [z for z in zs if abs(z) <= 3] if len(off) == 1 else zs
    for side, word in [(1, "true"), (-1, "false")]:
        if moved(sides(judged, side)):
            return f"drifting {word}"
    return f"one-off {off[-1]} {'true' if zs[off[-1]] > 0 else 'false'}" if off else "steady"


def main():
    checks = Checks("control chart")
    seen = set()
    for number, line in enumerate(open(sys.argv[1], encoding="utf-8")):
        log = json.loads(line)
        rate = ufloat(log["rate"], log["rate"] * log["rate_share"])
        zs = []
        for (area, volume), (share, sigma) in zip(log["lawns"], log["points"]):
            mark = log["gauge"] / math.sqrt(12)
            used = ufloat(volume, mark) - ufloat(0.0, mark)
            point = used / ufloat(area, area * log["area_share"]) / rate
            checks.close(f"log {number}: share", share, point.nominal_value, WITHIN)
            checks.close(f"log {number}: sigma", sigma, point.std_dev, WITHIN)
            zs.append((point.nominal_value - 1) / point.std_dev)
        checks.check(f"log {number}: {log['said']} here, {verdict(zs)} there", log["said"] == verdict(zs))
        seen.add(log["said"].split()[0])
    checks.check(f"every verdict came up: {sorted(seen)}", seen == {"steady", "drifting", "one-off"})
    # A steady rate is called off by itself about three times in a thousand, as three standard deviations say.
    checks.close("beyond three", 2 * (1 - NormalDist().cdf(3)), 0.0027, 1e-3)
    return checks.close_out()


sys.exit(main())
