"""How long every kind may be out, before the evidence and now, at three of the shipped gardens.

    python tests/evidence/seasons.py          the sums, the ten longest and the ten shortest changes of each garden
    python tests/evidence/seasons.py --all    every kind

Days under "careful", at the low that the screen measures: a cold continental garden (Fallowmere), a cool coast (Skerry
Head), a mild southern town (Wattle Bend). tests/evidence/seasons_before.csv holds the first catalogue's figures and
what the program then said (commit cbc8788). Between the two: the first figures under the rules of today (one harm,
hardened or not), so that what the rules changed and what the figures changed stand apart.
"""

from __future__ import annotations

import csv
import sys
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from statistics import mean

from seasonplan.climate.at_plant import SeasonLift
from seasonplan.climate.exposure import ladder_c
from seasonplan.climate.nights import night_climate
from seasonplan.climate.passage import night_tables
from seasonplan.dates import planning_days
from seasonplan.decisions.windows import WindowFinder
from seasonplan.files import load_scenario
from seasonplan.inputs.taxa import catalogue
from seasonplan.model import Bearing, Edge

HERE = Path(__file__).parent
SCENARIOS = HERE.parents[1] / "scenarios"
GARDENS = ("fallowmere", "skerry-head", "wattle-bend")
SHOWN = 10


def days_out(garden: str, bearings: Iterable[Bearing]) -> dict[Bearing, int]:
    """How many days of the planning year a plant of each bearing may be out; 0 for none."""
    scenario, bearings = load_scenario(SCENARIOS / garden), set(bearings)
    climate = night_climate(scenario.normals, scenario.record, scenario.site)
    dates = planning_days(scenario.rules.year or 2027, scenario.site.latitude_deg)
    finder = WindowFinder(climate, night_tables(climate, ladder_c(bearings, {0.0})),
                          replace(scenario.rules, policy="careful"), dates)

    def days(bearing: Bearing) -> int:
        span = finder.window(bearing, SeasonLift(0.0, 0.0), "the screen").span
        if isinstance(span, Edge):
            return len(dates) if span is Edge.ALL_YEAR else 0
        return (span[1] - span[0]).days

    return {bearing: days(bearing) for bearing in bearings}


def lines(garden: str, every: bool) -> list[str]:
    now = {t.key: Bearing(t.harm_c, t.harm_hardened_c, t.comfort_c, t.freeze_kill) for t in catalogue()}
    before = list(csv.DictReader((HERE / "seasons_before.csv").read_text(encoding="utf-8").splitlines()))
    first = {row["key"]: Bearing(float(row["harm_c"]), float(row["harm_c"]), float(row["comfort_c"]),
                                 now[row["key"]].freeze_kill) for row in before}
    days = days_out(garden, [*now.values(), *first.values()])
    told = [(row["key"], int(row[garden]), days[first[row["key"]]], days[now[row["key"]]]) for row in before]
    found = [f"{garden}: {len(told)} kinds of the first catalogue: on average {mean(t[1] for t in told):.0f} days, "
             f"with the rules of today {mean(t[2] for t in told):.0f}, now {mean(t[3] for t in told):.0f}; "
             f"none at all for {sum(not t[1] for t in told)}, {sum(not t[2] for t in told)}, "
             f"{sum(not t[3] for t in told)}. All {len(now)} now: {mean(days[b] for b in now.values()):.0f} days, "
             f"none at all for {sum(not days[b] for b in now.values())}."]
    told.sort(key=lambda t: t[3] - t[1])
    shown = told if every else [*(t for t in told[:SHOWN] if t[3] < t[1]), *(t for t in told[-SHOWN:] if t[3] > t[1])]
    found += ["| kind | before | its figures, rules of today | now | fresh, hardened, comfort °C (before) |",
              "|---|---|---|---|---|"]
    found += [f"| {key} | {a} | {b} | {c} | {_figures(now[key], first[key])} |" for key, a, b, c in shown]
    if every:
        found += [f"| {key} | - | - | {days[bearing]} | {_figures(bearing)} |" for key, bearing in now.items()
                  if key not in first]
    return found


def _figures(now: Bearing, first: Bearing | None = None) -> str:
    was = "" if first is None else f" ({first.harm_c:g}, {first.comfort_c:g})"
    return f"{now.harm_c:g}, {now.hardened_c:g}, {now.comfort_c:g}{was}"


if __name__ == "__main__":
    for name in GARDENS:
        print(*lines(name, "--all" in sys.argv), sep="\n", end="\n\n")
