"""Holds what the roster says of questions and checks against Python's own `statistics`.

Usage: records.py TABLE, with TABLE as `cargo run --package xtask --example record_statistics` prints it.
A question's discrimination is Pearson's correlation with the rest of the sitting; reliability is Kuder and Richardson's
formula 20 from variances that `statistics` works out. Ends with the counts, and with 1 on a mismatch.
"""

import json
import statistics
import sys
from pathlib import Path

from checks import Checks

WITHIN = 1e-9


def correlation(ones, others):
    try:
        return statistics.correlation(ones, others)
    except statistics.StatisticsError:
        # All answered alike, or all did equally well elsewhere.
        return None


def reliability(answers):
    count = len(answers[0])
    scores = statistics.pvariance([sum(row) for row in answers])
    if scores == 0:
        return None
    apart = sum(statistics.pvariance(column) for column in zip(*answers))
    return count / (count - 1) * (1 - apart / scores)


def agree(checks, name, ours, theirs):
    if theirs is None or ours is None:
        checks.check(f"{name}: nothing is claimed where nothing varies", ours is None and theirs is None)
    else:
        # A correlation may be 0, so the difference is held against 1.
        checks.check(f"{name}: {ours} here, {theirs} there", abs(ours - theirs) <= WITHIN)


def main(path):
    checks = Checks("records")
    lines = [json.loads(line) for line in Path(path).read_text(encoding="utf-8").splitlines()]
    checks.check("there are sittings", len(lines) == 5)
    for line in lines:
        answers = line["answers"]
        title = f"{len(answers)} people, {len(answers[0])} questions"
        agree(checks, f"{title}: reliability", line["reliability"], reliability(answers))
        for place, column in enumerate(zip(*answers)):
            rest = [(sum(row) - row[place]) / (len(row) - 1) for row in answers]
            agree(checks, f"{title}: difficulty {place}", line["difficulty"][place], statistics.mean(column))
            agree(checks, f"{title}: discrimination {place}", line["discrimination"][place], correlation(list(column), rest))
    return checks.close_out()


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
