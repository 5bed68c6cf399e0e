"""How far the routes lie above the best that an exhaustive search finds on small gardens, and what the aim says of the
shipped gardens' routes against those of another checkout.

    python tests/route_best.py                      small gardens, every way tried
    python tests/route_best.py --tree PATH          shipped gardens: the routes of another checkout, and now

Small gardens: one to three plants, one to four places with room for all, three to five kinds of cloth, moves on
Saturdays. "best garden": the least that any ways of the plants cost together with the days of moving and the kinds of
cloth, by the package's own aim; "search": the first plant's way by the beam search over the same days and cloths, each
day at its full price, against its "best way" of all; "garden planned": what `routes` does, with days and cloths of its
own choice. All in days without light (aim).
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from pathlib import Path
from unittest import mock

import numpy as np

ROOT = Path(__file__).parent.parent
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]
from every_way import best_garden, every_way, prices  # noqa: E402
from invented import make_daylight, make_plant, make_taxon  # noqa: E402
from summer_value import Stay, Summer, summer, value_of  # noqa: E402

from seasonplan import pipeline  # noqa: E402
from seasonplan.decisions import steady  # noqa: E402
from seasonplan.decisions.route import RouteRequest, garden, routes  # noqa: E402
from seasonplan.decisions.route.aim import Aim, make_aim  # noqa: E402
from seasonplan.decisions.route.garden import make_garden  # noqa: E402
from seasonplan.decisions.route.groups import make_groups  # noqa: E402
from seasonplan.decisions.route.past import INDOORS  # noqa: E402
from seasonplan.decisions.route.search import search  # noqa: E402
from seasonplan.files import load_scenario  # noqa: E402
from seasonplan.model import Daylight, Place, Rules, Stop  # noqa: E402

TODAY = date(2027, 3, 1)
KINDS = {"sun": (12.0, 45.0), "part-sun": (5.0, 20.0), "shade": (3.0, 10.0)}
SHARES = {"porch": (0.2, 1.4), "tree": (0.3, 2.5), "steps": (0.5, 4.0), "lawn": (1.0, 9.0)}
"""Part of the open ground's light, and full-sun hours."""


@dataclass(frozen=True)
class Small:
    """A small garden. plants: (sun class, weight of a pot [kg], botanical name); every: days between moves."""

    plants: tuple[tuple[str, float, str], ...]
    places: tuple[str, ...]
    cloths: tuple[int, ...] = (30, 50, 80)
    weeks: int = 10
    every: int = 7
    start: date = date(2027, 5, 15)

    def light(self) -> Daylight:
        places = (Place("south window", "indoor"), *(Place(name, "outdoor") for name in self.places))
        light = make_daylight(places)
        share = np.array([0.06, *(SHARES[name][0] for name in self.places)])[:, None]
        sun = np.array([0.0, *(SHARES[name][1] for name in self.places)])[:, None]
        return replace(light, clear_dli=share * light.open_clear_dli, mean_dli=0.6 * share * light.open_clear_dli,
                       full_sun_h=sun * np.ones((1, len(light.dates))), peak_ppfd=2000 * share * np.ones(
                           (1, len(light.dates))))

    def rules(self, light: Daylight) -> Rules:
        """Moves on one Saturday in so many days, and on no other day."""
        kept = {self.start + timedelta(days=n) for n in range(0, 7 * self.weeks + 1, self.every)}
        return Rules(move_days=("sat",), shut=frozenset(day for day in light.dates if day not in kept))

    def requests(self) -> list[RouteRequest]:
        back = self.start + timedelta(days=7 * self.weeks)
        spans = dict.fromkeys(self.places, (self.start, back))
        found = []
        for n, (kind, weight_kg, botanical) in enumerate(self.plants):
            low, high = KINDS[kind]
            taxon = make_taxon(sun=kind, light_low_mol=low, light_high_mol=high, botanical=botanical)
            plant = make_plant(f"plant {n}", taxon=taxon, light_high_mol=high, place="south window")
            found.append(RouteRequest(plant, spans, self.start, back, weight_kg=weight_kg))
        return found


OLIVE, LIME = ("sun", 2.0, "Inventia prima"), ("part-sun", 2.0, "Inventia media")
FERN, PLUM, TUB = ("shade", 2.0, "Inventia umbra"), ("sun", 2.0, "Ficus inventa"), ("sun", 30.0, "Inventia magna")
SMALL = {
    "sun plant; porch, tree, lawn": Small((OLIVE,), ("porch", "tree", "lawn")),
    "sun plant, only a lawn": Small((OLIVE,), ("lawn",), (30, 50, 70, 80, 90)),
    "sun plant of 30 kg; porch, steps, lawn": Small((TUB,), ("porch", "steps", "lawn")),
    "leaf dropper; porch, lawn": Small((PLUM,), ("porch", "lawn"), (50, 80)),
    "sun plant, every other week; steps, lawn": Small((OLIVE,), ("steps", "lawn"), (50, 80), weeks=16, every=14),
    "part-sun plant; tree, steps, lawn": Small((LIME,), ("tree", "steps", "lawn")),
    "sun and shade; porch, tree, lawn": Small((OLIVE, FERN), ("porch", "tree", "lawn")),
    "sun, part-sun and shade; porch, steps, lawn": Small((OLIVE, LIME, FERN), ("porch", "steps", "lawn")),
}


@dataclass(frozen=True)
class Compared:
    """search, best_search: the first plant's way by the beam search and the best of all; garden, best: of the garden as
    planned and at best; ways: how many ways came to an end below what the plan costs."""

    search: float
    best_search: float
    garden: Summer
    best: float
    ways: int


def compare(small: Small) -> Compared:
    """A small garden planned by the package and by trying every way."""
    day, kind, most_kinds = prices()
    aim, found = of_the_plants(small)
    groups, days = aim.groups, aim.spans.days
    alone = np.full((len(groups), len(days)), day)
    beam = search(aim, alone)
    free = [every_way(aim, group, float(beam.cost[group]) + 1e-6, 0.0, 0.0) for group in range(len(groups))] \
        if len(groups) > 1 else []
    least = [float(ways.cost.min()) for ways in free]
    reached = min(found.total, _reached(aim, beam.stands))
    ways = [every_way(aim, group, reached - sum(least) + (least[group] if least else 0.0) + 1e-6, day, kind)
            for group in range(len(groups))]
    one = every_way(aim, 0, float(beam.cost[0]) + 1e-6, day, 0.0)
    best_one = min(one.cost + day * np.array([int(bits).bit_count() for bits in one.days.tolist()]))
    return Compared(float(beam.cost[0]), float(best_one), found,
                    best_garden(ways, [1.0] * len(groups), day, max(most_kinds, found.kinds), kind),
                    sum(len(w.cost) for w in ways))


def _reached(aim: Aim, stands: np.ndarray) -> float:
    """What a garden costs where each plant goes the way that is best for it alone."""
    (day, kind, most_kinds), padded = prices(), np.pad(stands, ((0, 0), (1, 1)), constant_values=INDOORS)
    moved = np.count_nonzero((padded[:, 1:] != padded[:, :-1]).any(axis=0))
    kinds = len(set(aim.percent[stands[stands != INDOORS]].tolist()) - {0})
    total = sum(value_of(aim, group, way).total for group, way in enumerate(stands))
    return total + day * moved + kind * kinds if kinds <= most_kinds else np.inf


def of_the_plants(small: Small) -> tuple[Aim, Summer]:
    """The aim of a small garden, one group a plant, over all its days of moving; and the value of what is planned."""
    light, requests = small.light(), small.requests()
    places = [Place("south window", "indoor"), *(Place(name, "outdoor") for name in small.places)]
    rules = small.rules(light)
    with mock.patch.object(garden, "CLOTHS_PERCENT", small.cloths):
        planned = routes(requests, places, light, rules)
        ground = make_garden(places, light, rules.move_days, shut=rules.shut)
    groups = make_groups(requests, ground, False)
    aim = make_aim(ground, groups, np.flatnonzero(ground.move_day), np.arange(len(ground.place)), False)
    return aim, summer(aim, {group: [(stays(planned[n].stops), 1.0) for n in members]
                             for group, members in enumerate(groups.members)})


def stays(stops: Sequence[Stop]) -> list[Stay]:
    """The stays of a route."""
    return [Stay(s.date, s.until, s.place, s.shade.percent if s.shade else 0) for s in stops]


def small_table() -> None:
    print("| garden | search | best way | above | garden planned | best garden | above | days, "
          "cloths | ways tried to the end | seconds |\n|" + "---|" * 10)
    for name, small in SMALL.items():
        start = time.monotonic()
        one = compare(small)
        print(f"| {name} | {one.search:.1f} | {one.best_search:.1f} | {one.search - one.best_search:.1f} | "
              f"{one.garden.total:.1f} | {one.best:.1f} | {one.garden.total - one.best:.1f} | {one.garden.days}, "
              f"{one.garden.kinds} | {one.ways} | {time.monotonic() - start:.0f} |", flush=True)


def shipped(tree: Path) -> Iterator[tuple[str, Summer, Summer]]:
    """(garden, its routes by another checkout, its routes now), both by the present aim, day by day."""
    for folder in sorted(p for p in (ROOT / "scenarios").iterdir() if p.is_dir()):
        asked: list[tuple] = []

        def noted(*given, into=asked):
            into[:] = given
            return routes(*given)

        with mock.patch.object(steady, "routes", noted):
            plan = pipeline.build_plan(load_scenario(folder), TODAY)
        requests, places, light, rules = asked
        now = {p.plant.name: stays(p.route) for p in plan.plants}
        before = old_routes(tree, folder)
        cloths = {stay.percent for stay in [s for route in before.values() for s in route]}
        ground = make_garden(places, light, rules.move_days, cloths, rules.shut)
        groups = make_groups(requests, ground, rules.summer == "in-shade")
        aim = make_aim(ground, groups, np.arange(len(light.dates) + 1), np.arange(len(ground.place)),
                       rules.summer == "in-shade")
        yield folder.name, *(summer(aim, {
            group: [(route.get(requests[n].plant.name, []), float(requests[n].plant.count)) for n in members]
            for group, members in enumerate(groups.members)}) for route in (before, now))


def old_routes(tree: Path, folder: Path) -> dict[str, list[Stay]]:
    """The routes that another checkout plans, by plant."""
    with tempfile.TemporaryDirectory() as out:
        subprocess.run([sys.executable, "-m", "seasonplan", "plan", str(folder), "--out", out, "--no-page", "--today",
                        TODAY.isoformat()], cwd=tree, check=True, capture_output=True,
                       env={"PYTHONPATH": str(tree), "PATH": "/usr/bin:/bin"})
        plan = json.loads(Path(out, "plan.json").read_text(encoding="utf-8"))
    return {plant["name"]: [Stay(date.fromisoformat(s["date"]), date.fromisoformat(s["until"]), s["place"],
                                 (s.get("shade") or {}).get("percent", 0)) for s in plant["route"]]
            for plant in plan["plants"]}


def shipped_table(tree: Path) -> None:
    print("| garden | | together | light, cloths over it | moves | waiting indoors | limits broken | days of "
          "moving | kinds of cloth |\n|" + "---|" * 9)
    for name, *both in shipped(tree):
        for when, one in zip(("before", "now"), both, strict=True):
            told = " | ".join(f"{part:.0f}" for part in (one.total, *one.plants))
            print(f"| {name if when == 'before' else ''} | {when} | {told} | {one.days} | {one.kinds} |", flush=True)


def main() -> None:
    options = argparse.ArgumentParser()
    options.add_argument("--tree", type=Path)
    given = options.parse_args()
    if given.tree is None:
        small_table()
    else:
        shipped_table(given.tree.resolve())


if __name__ == "__main__":
    main()
