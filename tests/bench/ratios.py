"""Ratios of running times, printed by one command: `python tests/bench/ratios.py`.

Each row compares a piece of work with its floor (bare imports, a plain NumPy pass over the same arrays, icalendar
writing the same events), the better of several runs each, so that the machine's speed falls out.
"""

from __future__ import annotations

import math
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import numpy as np

from seasonplan.data import table

ROOT = Path(__file__).parent.parent.parent
RUNS = 3
TIGHT = 0.09
"""Room of each of twelve places as a share of all pots: hardly more than all pots together need."""


@dataclass(frozen=True)
class Ratio:
    """One measured pair. limit: what the project asks for, None where it only reports."""

    name: str
    work_s: float
    floor_s: float
    limit: float | None = None

    @property
    def ratio(self) -> float:
        return self.work_s / self.floor_s

    def __str__(self) -> str:
        asked = f" (asked: at most {self.limit:g})" if self.limit else ""
        return f"{self.name:<64} {self.ratio:6.2f}{asked}"


def processor_s() -> float:
    """Processor seconds so far, of this process and of those that it started and that have ended."""
    return sum(usage.ru_utime + usage.ru_stime for usage in map(resource.getrusage, (resource.RUSAGE_SELF,
                                                                                     resource.RUSAGE_CHILDREN)))


def best(work: Callable[[], object], runs: int = RUNS, clock: Callable[[], float] = processor_s) -> float:
    """Seconds of the best of several runs: of processors, so that what else runs on the machine falls out too."""
    found = []
    for _ in range(runs):
        start = clock()
        work()
        found.append(clock() - start)
    return min(found)


def python(*args: str) -> Callable[[], object]:
    """A fresh interpreter running something, with its bytecode kept from one run to the next as an installed package's
    is, whatever the environment says: in a folder of its own, so that nothing is written beside the code."""
    kept = Path(tempfile.gettempdir(), f"bench-bytecode-{os.getpid()}")
    environment = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
    return lambda: subprocess.run([sys.executable, *args], check=True, capture_output=True, env=environment | {
        "OPENBLAS_NUM_THREADS": "1", "PYTHONPYCACHEPREFIX": str(kept)})


def garden(folder: Path, plants: int, places: int = 12, name: str = "Bench (invented)", room: float = 1.0) -> Path:
    """An invented scenario: so many plants, every taxon of the catalogue that goes out in turn, from two windows to so
    many outdoor places. room: of each place, as a share of all pots."""
    folder.mkdir(parents=True, exist_ok=True)
    taxa = [row["key"] for row in table("catalogue") if row["summer_outdoors"] != "no"]
    spots = "".join(f'[[place]]\nname = "spot {n}"\nkind = "outdoor"\nleaf_shade = {0.05 + 0.08 * n:.2f}\n'
                    f'horizon_deg = {5 + n}\nroom_for = {math.ceil(plants * room)}\n' for n in range(places))
    (folder / "scenario.toml").write_text(
        f'[site]\nname = "{name}"\nlatitude = 45\nlongitude = -90\nelevation_m = 250\nnormals = "normals.csv"\n'
        f'[rules]\nyear = 2027\nminutes_per_day = 1440\n'
        '[[place]]\nname = "south window"\nkind = "indoor"\nfaces = "s"\n'
        f'[[place]]\nname = "east window"\nkind = "indoor"\nfaces = "e"\n{spots}')
    lows = [7 - 12 * np.cos(2 * np.pi * (m - 1) / 12) for m in range(1, 13)]
    (folder / "normals.csv").write_text("month,tmin_c,tmin_sd_c\n" + "".join(f"{m},{t:.1f},4\n"
                                                                             for m, t in enumerate(lows, 1)))
    (folder / "plants.csv").write_text("name,taxon,count,pot_cm,place,pests\n" + "".join(
        f"plant {n},{taxa[n * 7 % len(taxa)]},1,{12 + n % 30},{('south window', 'east window')[n % 2]},"
        f"{('none', 'scale', 'unknown')[n % 3]}\n" for n in range(plants)))
    return folder


def start_up(base: Path) -> list[Ratio]:
    """--help and plans of forty pots against bare imports."""
    forty = str(garden(base / "forty", 40))
    plan = ("-m", "seasonplan", "plan", forty, "--quiet", "--today", "2027-04-01")
    bare = best(python("-c", "import pvlib, pandas, icalendar, click"))
    heavy = best(python("-c", "import pvlib, pandas, icalendar, matplotlib"))
    return [Ratio("--help / import click", best(python("-m", "seasonplan", "--help")),
                  best(python("-c", "import click")), 3),
            Ratio("plan of 40 without page / imports (pvlib, pandas, icalendar, click)",
                  best(python(*plan, "--no-page")), bare, 2),
            Ratio("plan of 40 with page / imports (pvlib, pandas, icalendar, mpl)", best(python(*plan)), heavy, 3)]


def a_town_is_enough(base: Path) -> list[Ratio]:
    """Forty pots whose normals are estimated from the town, against the same bare imports."""
    folder = garden(base / "town", 40)
    toml = (folder / "scenario.toml").read_text()
    at = 'latitude = 45\nlongitude = -90\nelevation_m = 250\nnormals = "normals.csv"\n'
    assert at in toml
    (folder / "scenario.toml").write_text(toml.replace(at, 'town = "Leeds, GB"\n'))
    (folder / "normals.csv").unlink()
    plan = ("-m", "seasonplan", "plan", str(folder), "--quiet", "--no-page", "--today", "2027-04-01")
    return [Ratio("plan of 40 without page, normals estimated / the same imports", best(python(*plan)),
                  best(python("-c", "import pvlib, pandas, icalendar, click")), 2)]


def live(base: Path) -> list[Ratio]:
    """The live page of forty pots: today's screen, and from a tick until the new plan is written; in this process."""
    sys.path.insert(0, str(ROOT / "tests"))
    from served import fields, served

    day = date(2027, 6, 5)
    found = served(base / "live", today=day, folders=[garden(base / "live" / "forty", 40)])
    try:
        def ticked() -> None:
            form = fields(found.client.get("/").text, "/done")
            assert found.client.post("/done", data=form).status_code == 303
            assert found.house.settled(60)

        today = best(lambda: found.client.get("/"), 10)
        return [Ratio("live page: today's screen / 50 ms", today, 0.05, 1),
                Ratio("live page: from a tick to the new plan / 2 s", best(ticked), 2.0, 1)]
    finally:
        found.house.stop()


def pots(base: Path) -> list[Ratio]:
    """2,000 and 20,000 pots at one site against 20, in this process."""
    from seasonplan.files import load_scenario
    from seasonplan.pipeline import build_plan

    def planned(count: int, room: float = 1.0, runs: int = RUNS) -> float:
        folder = garden(base / f"{count}-{room}", count, room=room)
        return best(lambda: build_plan(load_scenario(folder), date(2027, 4, 1)), runs)

    planned(20)
    few = planned(20, runs=2 * RUNS)
    return [Ratio("read and plan: 2,000 pots on 12 places / 20 pots", planned(2_000), few, 4),
            Ratio("the same with hardly room for all", planned(2_000, TIGHT), planned(20, TIGHT, 2 * RUNS), 4),
            Ratio("read and plan: 20,000 pots / 20 pots", planned(20_000, runs=1), few)]


def routes_alone(base: Path) -> list[Ratio]:
    """The route of 2,000 pots on 12 places against 20 pots."""
    from seasonplan.climate.nights import night_climate
    from seasonplan.climate.passage import night_tables
    from seasonplan.dates import planning_days
    from seasonplan.decisions.outings import plant_plans
    from seasonplan.decisions.windows import WindowFinder, site_thresholds_c
    from seasonplan.files import load_scenario
    from seasonplan.sky.daylight import daylight

    def routed(count: int) -> Callable[[], object]:
        scenario = load_scenario(garden(base / f"r{count}", count))
        dates = planning_days(2027, 45)
        climate = night_climate(scenario.normals, None, scenario.site)
        tables = night_tables(climate, site_thresholds_c(scenario.plants, scenario.places, climate))
        finder = WindowFinder(climate, tables, scenario.rules, dates)
        light = daylight(scenario.site, scenario.places, scenario.normals, dates)
        return lambda: plant_plans(scenario, finder, light)

    few, many = routed(20), routed(2_000)
    few()
    return [Ratio("windows and routes: 2,000 pots on 12 places / 20 pots", best(many), best(few), 4)]


def nights() -> list[Ratio]:
    """15,000 station-thresholds against plain NumPy passes over arrays of the same size."""
    from seasonplan.climate.nights import night_climate
    from seasonplan.climate.passage import night_tables
    from seasonplan.model import Normals, Site

    thresholds = np.linspace(-4, 14, 50)
    lows = [7 - 12 * np.cos(2 * np.pi * (m - 1) / 12) for m in range(1, 13)]
    climates = [night_climate(Normals(np.array(lows) + 0.02 * n, np.full(12, 4.0)), None, Site("bench", 45, 0))
                for n in range(300)]
    states = np.random.default_rng(1).random((100, 50))
    step = np.random.default_rng(2).random((100, 100))

    def plain() -> None:
        for _ in range(300):
            for _ in range(365):
                step @ states

    return [Ratio("nights: 300 stations x 50 thresholds / plain matrix passes",
                  best(lambda: [night_tables(c, thresholds) for c in climates], 1), best(plain, 1))]


def calendar(base: Path) -> list[Ratio]:
    """A calendar of thousands of steps against icalendar serialising the same events."""
    import icalendar

    from seasonplan.files import load_scenario
    from seasonplan.outputs.calendar import render_calendar
    from seasonplan.pipeline import build_plan

    plan = build_plan(load_scenario(garden(base / "calendar", 2_000)), date(2027, 4, 1))
    text = render_calendar(plan, None)
    parsed = icalendar.Calendar.from_ical(text)
    return [Ratio(f"calendar of {len(plan.steps)} steps / icalendar writing it",
                  best(lambda: render_calendar(plan, None)), best(parsed.to_ical))]


def sites(base: Path, count: int = 300) -> list[Ratio]:
    """Many sites in one call against one site, per site."""
    folders = [str(garden(base / "sites" / f"s{n}", 12, 4, f"Bench {n} (invented)")) for n in range(count)]
    call = ("-m", "seasonplan", "plan", "--no-page", "--quiet", "--today", "2027-04-01")
    one = best(python(*call, folders[0]), clock=time.perf_counter)
    many = best(python(*call, *folders), 1, clock=time.perf_counter)   # both cores work: what counts is the wait
    return [Ratio(f"{count} sites in one call / {count} calls of one", many, one * count)]


def main() -> list[Ratio]:
    """Measure and print everything; the peak memory of this process at the end."""
    found: list[Ratio] = []
    with tempfile.TemporaryDirectory() as folder:
        base, tempfile.tempdir = Path(folder), folder
        for part in (lambda: start_up(base), lambda: a_town_is_enough(base), lambda: live(base),
                     lambda: routes_alone(base), nights, lambda: calendar(base),
                     lambda: pots(base), lambda: sites(base)):
            for ratio in part():
                print(ratio, flush=True)
                found.append(ratio)
    peak_mib = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"peak memory of this process, 20,000 pots included: {peak_mib:.0f} MiB (asked: at most 1024)")
    return found


if __name__ == "__main__":
    main()
