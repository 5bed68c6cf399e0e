"""How well warnings decide: seasons of recorded nights, played with forecasts of honest error.

`python -m truth.watch_seasons [--report] [--seasons N] [--draws N]`, in tests, plays the stations settings were chosen
on, or with --report the others. Thirty missed nights stand behind the cost of one draw of errors: it moves by 5 % from
draw to draw. `--tonight N` therefore draws the errors of tonight's forecasts anew N times (they are the same in law
whether later ones settle or jump) and decides with the outlook's own functions alone.

Source: the daily records that the `aquacrop` package ships (see table.py). The forecasts are the recorded lows plus
invented errors: sd 1.3 °C for the first night growing to 3.5 for the seventh, either getting better from day to day for
one and the same night ("settling") or drawn anew every day along the week ("jumping"); errors of neighbouring nights
and days are correlated. The garden is invented: a room, a roofed porch, open ground, and plants of every tenderness,
planned with the station's own monthly normals.

Cost: a carry on a night that would have done no harm 1, a harmed plant-night 20. It is held against the best fixed rule
of the kind "act when the forecast is at or below the harmful low plus a margin", the margin chosen afterwards, for all
stations together and for each.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from functools import cache

import numpy as np
import pandas as pd
from invented import make_plant, make_taxon
from truth.table import LATITUDES, lows_of, normals_of

from seasonplan.climate.curves import normal_chance
from seasonplan.model import ForecastNight, NightClimate, Place, Plan, Rules, Scenario, Site
from seasonplan.pipeline import build_plan
from seasonplan.weather.alerts import watch_report
from seasonplan.weather.danger import least_chance
from seasonplan.weather.outlook import weighed

CHOSEN_ON = ("champion", "tunis", "cambridge", "norfolk", "northumberland")
REPORTED = ("brussels", "cordoba", "suffolk", "lincolnshire", "north_yorks")
SEASONS = 12
LEADS = 7
ERROR_SD_C = np.linspace(1.3, 3.5, LEADS)
NEIGHBOURS = 0.5
"""Correlation of the errors of neighbouring nights, and of one day's errors with the next day's."""
HARM_COST = 20.0
MARGINS_C = np.arange(0.0, 5.01, 0.1)
THRESHOLDS_C = (13.0, 10.0, 8.0, 5.0, 2.0)
PLACES = (Place("room", "indoor"), Place("porch", "outdoor", 0.5, faces_deg=180.0, wall_behind=True, roof_deg=55.0),
          Place("lawn", "outdoor"))
BANDS = ((0.02, 0.05), (0.05, 0.1), (0.1, 0.2), (0.2, 0.35), (0.35, 0.5), (0.5, 0.65), (0.65, 0.8), (0.8, 0.95))


@dataclass(frozen=True)
class World:
    """How the forecasts err and what they tell. bias_c: too warm by so much; clear_share: of nights that are clear and
    calm, where open ground is 2 °C colder; told: whether the forecast tells the sky; own: whether it gives percentiles;
    readings: whether the garden's thermometer is read, and where; judged: whether stated chances are kept, which takes
    most of the time."""

    kind: str = "settling"
    bias_c: float = 0.0
    clear_share: float = 0.0
    told: bool = True
    own: bool = False
    readings: bool = False
    readings_at: str = "porch"
    judged: bool = True


@dataclass
class Played:
    """What came of it: one entry per plant and evening outdoors, then the announcements and the chances by lead."""

    forecast_c: list[float] = field(default_factory=list)
    low_c: list[float] = field(default_factory=list)
    harm_c: list[float] = field(default_factory=list)
    acted: list[bool] = field(default_factory=list)
    announced: int = 0
    withdrawn: int = 0
    chances: list[np.ndarray] = field(default_factory=list)

    def add(self, other: Played) -> None:
        for name in ("forecast_c", "low_c", "harm_c", "acted", "chances"):
            getattr(self, name).extend(getattr(other, name))
        self.announced, self.withdrawn = self.announced + other.announced, self.withdrawn + other.withdrawn

    @property
    def arrays(self) -> tuple[np.ndarray, np.ndarray]:
        """(acted on, harmful) for every plant and evening."""
        return np.array(self.acted, dtype=bool), self.harmful

    @property
    def harmful(self) -> np.ndarray:
        return np.array(self.low_c) <= np.array(self.harm_c)

    def cost_of(self, acted: np.ndarray) -> float:
        return _cost(acted, self.harmful)

    def cost_at(self, margin_c: float) -> float:
        """The cost of acting when the forecast is at or below the harmful low plus a margin."""
        return self.cost_of(np.array(self.forecast_c) - np.array(self.harm_c) <= margin_c)

    def margins(self) -> np.ndarray:
        over_c, harmful = np.array(self.forecast_c) - np.array(self.harm_c), self.harmful
        return np.array([_cost(over_c <= margin, harmful) for margin in MARGINS_C])


def _cost(acted: np.ndarray, harmful: np.ndarray) -> float:
    return float((acted & ~harmful).sum() + HARM_COST * (~acted & harmful).sum())


@cache
def plans_of(station: str, seasons: int) -> tuple[Plan, ...]:
    lows = lows_of(station)
    years = sorted(set(lows.index.year))[1:-1]
    years = [years[n * len(years) // seasons] for n in range(seasons)]
    site = Site(station, LATITUDES[station], 0.0)
    plants = tuple(make_plant(f"{sun} {low:g}", place="room", harm_c=low, harm_hardened_c=low - 1.5, comfort_c=low + 3,
                              taxon=make_taxon(harm_c=low, harm_hardened_c=low - 1.5, comfort_c=low + 3, sun=sun,
                                               light_high_mol=light))
                   for low in THRESHOLDS_C for sun, light in (("shade", 12.0), ("sun", 45.0)))
    base = Scenario(site, Rules(), PLACES, plants, normals_of(lows, "month"))
    return tuple(build_plan(replace(base, rules=Rules(year=year)), date(year, 4, 1)) for year in years)


def errors(rng: np.random.Generator, nights: int, kind: str) -> np.ndarray:
    """Errors (issue day, lead) [°C] of the forecasts of so many days."""
    if kind == "settling":
        grown = np.diff(np.concatenate([[0.0], ERROR_SD_C**2])) ** 0.5
        parts = np.array([along(rng.standard_normal(nights + LEADS)) for _ in range(LEADS)]) * grown[:, None]
        by_target = np.cumsum(parts, axis=0)
        return np.array([[by_target[lead, day + lead] for lead in range(LEADS)] for day in range(nights)])
    fresh = np.array([along(rng.standard_normal(LEADS)) for _ in range(nights)])
    return np.array([along(fresh[:, lead]) for lead in range(LEADS)]).T * ERROR_SD_C


def along(shocks: np.ndarray) -> np.ndarray:
    """A series of unit variance in which neighbours are correlated."""
    found = shocks.copy()
    for n in range(1, len(found)):
        found[n] = NEIGHBOURS * found[n - 1] + (1 - NEIGHBOURS**2) ** 0.5 * shocks[n]
    return found


def play(station: str, world: World, seasons: int = SEASONS, seed: int = 1) -> Played:
    """Every season of a station."""
    rng, found = np.random.default_rng([seed, len(station), sum(map(ord, station))]), Played()
    for plan in plans_of(station, seasons):
        found.add(play_season(plan, lows_of(station), world, rng))
    return found


def drawn(station: str, world: World, seasons: int, draws: int) -> Played:
    """play() over several draws of the errors; stated chances are kept of the first."""
    found = Played()
    for draw in range(draws):
        found.add(play(station, replace(world, judged=world.judged and not draw), seasons, 1 + draw))
    return found


def play_season(plan: Plan, lows: pd.Series, world: World, rng: np.random.Generator) -> Played:
    """One season: every evening the report is asked for tonight, and what it announced is remembered."""
    out = [p for p in plan.plants if p.route]
    found = Played()
    if not out:
        return found
    first, last = min(p.route[0].date for p in out), max(p.route[-1].until for p in out)
    days = [first + timedelta(days=n) for n in range((last - first).days)]
    true = lows.reindex(pd.date_range(first, periods=len(days) + LEADS)).to_numpy()
    told = true + world.bias_c
    error, clear = errors(rng, len(days), world.kind), rng.random(len(true)) < world.clear_share
    places = {p.name: p for p in plan.places}
    announced: dict[tuple[date, str], int] = {}
    readings, earlier = [], []
    for n, today in enumerate(days):
        forecast = told[n:n + LEADS] + error[n]
        if not np.isfinite(forecast).all():
            continue
        table = forecast_table(today, forecast, clear[n:n + LEADS], world)
        if world.readings:
            earlier.append(table.assign(issued=today))
            table = pd.concat(earlier[-31:], ignore_index=True)
        report = watch_report(plan, table, today,
                              pd.DataFrame(readings, columns=["date", "place", "tmin_c"]) if world.readings else None)
        acted = {name for alert in report.alerts if alert.night == today and alert.act for name in alert.plants}
        for p in out:
            stop = next((s for s in p.route if s.date <= today < s.until), None)
            if stop is None:
                continue
            place, open_ground = places[stop.place], stop.place == "lawn"
            lost = 2.0 * (open_ground and clear[n])
            found.low_c.append(true[n] + place.night_lift_c - lost)
            found.forecast_c.append(forecast[0] + place.night_lift_c - lost * world.told)
            found.harm_c.append(p.plant.harm_after_c((today - p.route[0].date).days))
            found.acted.append(p.plant.name in acted)
        took_back = announced.copy()
        for alert in report.alerts:
            for name in alert.plants:
                if alert.night > today:
                    announced[alert.night, name] = announced.get((alert.night, name), 0) + 1
        for (night, name), times in took_back.items():
            if night == today:
                found.announced += times
                found.withdrawn += times * (name not in acted)
        if world.judged:
            found.chances.extend(chances_by_lead(plan, report, true[n:n + LEADS], clear[n:n + LEADS]))
        at = places[world.readings_at]
        readings.append((today + timedelta(days=1), at.name, round(
            true[n] + at.night_lift_c - 2.0 * (at.name == "lawn" and clear[n]) + 0.3 * rng.standard_normal(), 1)))
    return found


def forecast_table(today: date, forecast: np.ndarray, clear: np.ndarray, world: World) -> pd.DataFrame:
    """What watch_report is given."""
    table = pd.DataFrame({"night": [today + timedelta(days=k) for k in range(LEADS)], "tmin_c": forecast})
    if world.told:
        table["calm_clear"] = clear
    if world.own:
        table["tmin_p10_c"], table["tmin_p90_c"] = forecast - 1.2816 * ERROR_SD_C, forecast + 1.2816 * ERROR_SD_C
    return table


@dataclass(frozen=True)
class Evenings:
    """Plant-evenings outdoors of one station, arrays (n,). day: position in true_c and in `said` of tonight();
    lift_c, harm_c as they are."""

    climate: NightClimate
    dates: tuple[date, ...]
    true_c: np.ndarray
    day: np.ndarray
    lift_c: np.ndarray
    harm_c: np.ndarray


@cache
def evenings_of(station: str, seasons: int) -> Evenings:
    """The evenings that play() plays."""
    plans, lows, dates, rows = plans_of(station, seasons), lows_of(station), [], []
    for plan in plans:
        lifts = {p.name: p.night_lift_c for p in plan.places}
        stops = [(p, stop) for p in plan.plants for stop in p.route]
        for n in range(366 if stops else 0):
            today = min(p.route[0].date for p, _ in stops) + timedelta(days=n)
            if not np.isfinite(lows.get(pd.Timestamp(today), np.nan)):
                continue
            here = [(len(dates), lifts[stop.place], p.plant.harm_after_c((today - p.route[0].date).days))
                    for p, stop in stops if stop.date <= today < stop.until]
            rows, dates = [*rows, *here], [*dates, today]
    day, lift_c, harm_c = np.array(rows).T
    true_c = lows.reindex(pd.DatetimeIndex(dates)).to_numpy()
    return Evenings(plans[0].climate, tuple(dates), true_c, day.astype(int), lift_c, harm_c)


def tonight(station: str, seasons: int, draws: int, bias_c: float = 0.0) -> Played:
    """Tonight's decisions alone, over so many draws of the error of tonight's forecast; every sky told as not clear."""
    evenings, found = evenings_of(station, seasons), Played()
    low = evenings.true_c[evenings.day] + evenings.lift_c
    for draw in range(draws):
        rng = np.random.default_rng([draw, len(station), sum(map(ord, station))])
        said = evenings.true_c + bias_c + ERROR_SD_C[0] * along(rng.standard_normal(len(evenings.dates)))
        mean, below, _ = np.array([weighed(evenings.climate, ForecastNight(night, float(f), 0, False), float(f))
                                   for night, f in zip(evenings.dates, said, strict=True)]).T
        chance = normal_chance((evenings.harm_c - evenings.lift_c - mean[evenings.day]) / below[evenings.day])
        found.forecast_c.extend(said[evenings.day] + evenings.lift_c)
        found.low_c.extend(low)
        found.harm_c.extend(evenings.harm_c)
        found.acted.extend(chance >= least_chance(HARM_COST))
    return found


def chances_by_lead(plan: Plan, report, true: np.ndarray, clear: np.ndarray) -> Iterator[np.ndarray]:
    """(lead, stated chance, did it come) of every place and threshold of the outlook, for nights with a forecast."""
    first = report.outlook[0].night if report.outlook else None
    lifts = {p.name: p.night_lift_c for p in plan.places}
    for one in report.outlook:
        lead = (one.night - first).days
        if lead < LEADS and one.threshold_c in THRESHOLDS_C:
            low = true[lead] + lifts[one.place] - 2.0 * (one.place == "lawn" and clear[lead])
            yield np.array([lead, one.chance_harm, low <= one.threshold_c])


def line(name: str, played: Played, margins: np.ndarray, best: int) -> str:
    """One row of the table."""
    acted, harmful = played.arrays
    own_best = int(np.argmin(margins))
    cost = played.cost_of(acted)
    share = played.withdrawn / max(played.announced, 1)
    return (f"| {name} | {len(acted)} | {harmful.sum()} | {(acted & harmful).sum() / max(harmful.sum(), 1):.0%} "
            f"| {(acted & ~harmful).sum()} | {cost:.0f} | {margins[best]:.0f} (+{MARGINS_C[best]:.1f}) "
            f"| {margins[own_best]:.0f} (+{MARGINS_C[own_best]:.1f}) | {played.announced} | {share:.0%} "
            f"| {off_by(played):.1f} |")


def off_by(played: Played) -> float:
    """Largest difference between stated chances and what came of them, in points, over leads and bands."""
    return max((abs(diff) for *_, diff in calibration(played)), default=0.0)


def calibration(played: Played) -> Iterator[tuple[int, float, int, float]]:
    """(lead, middle of the band, cases, points by which it came true too often) where there are 1,000 cases."""
    if not played.chances:
        return
    lead, chance, came = np.array(played.chances).T
    for k in range(LEADS):
        for low, high in BANDS:
            cases = (lead == k) & (chance >= low) & (chance < high)
            if cases.sum() >= 1000:
                yield k, (low + high) / 2, int(cases.sum()), 100 * float((came[cases] - chance[cases]).mean())


def band_table(played: Played) -> str:
    """One row for each band of chances, a column for each lead: points by which it came true too often."""
    found = {(lead, middle): diff for lead, middle, _, diff in calibration(played)}
    rows = ["| chance | " + " | ".join(f"{lead}" for lead in range(LEADS)) + " |"]
    for low, high in BANDS:
        cells = [f"{found[lead, (low + high) / 2]:+.1f}" if (lead, (low + high) / 2) in found else "-"
                 for lead in range(LEADS)]
        rows.append(f"| {100 * low:g} to {100 * high:g} % | " + " | ".join(cells) + " |")
    return "\n".join(rows)


WORLDS = {
    "settling": World(), "jumping": World("jumping"), "percentiles": World(own=True),
    "untold": World(clear_share=0.15, told=False), "clear-told": World(clear_share=0.15),
    "warm": World(bias_c=0.7), "warm-read": World(bias_c=0.7, readings=True),
}


def main() -> None:
    options = argparse.ArgumentParser()
    options.add_argument("--report", action="store_true")
    options.add_argument("--every", action="store_true", help="all ten stations")
    options.add_argument("--bands", action="store_true", help="stated chances against what came of them, too")
    options.add_argument("--seasons", type=int, default=SEASONS)
    options.add_argument("--worlds", default=",".join(WORLDS))
    options.add_argument("--draws", type=int, default=1, help="so many draws of the errors, counted together")
    options.add_argument("--tonight", type=int, default=0, help="tonight's decisions alone, over so many draws")
    given = options.parse_args()
    stations = CHOSEN_ON + REPORTED if given.every else REPORTED if given.report else CHOSEN_ON
    if given.tonight:
        tables = {f"tonight, {bias:g} C warm": {station: tonight(station, given.seasons, given.tonight, bias)
                                               for station in stations} for bias in (0.0, 0.7)}
    else:
        tables = {name: {station: drawn(station, WORLDS[name], given.seasons, given.draws) for station in stations}
                  for name in given.worlds.split(",")}
    for name, played in tables.items():
        together = Played()
        for one in played.values():
            together.add(one)
        best = int(np.argmin(together.margins()))
        print(f"\n{name}\n| station | evenings | harmful | acted on | needless | cost | best margin over all "
              "| best here | announced | withdrawn | off by |")
        for station, one in [*played.items(), ("all", together)]:
            print(line(station, one, one.margins(), best))
        if given.bands:
            print(band_table(together))


if __name__ == "__main__":
    main()
