"""How near the dates come to what stations recorded: the truth table, printed by `python tests/truth/table.py`.

Source: daily records that the `aquacrop` package ships (version 3.1.0, folder aquacrop/data, *_climate.txt). Champion
(Nebraska), Brussels and Tunis read like stations; the places of 1991-2021 (six in England, Cordoba in Argentina) like
points of a grid; Hyderabad has eleven years. The package gives no coordinates: the latitudes are those of the towns.

The observed dates are counted here with pandas, apart from the package's own record code. A reading in whole degrees
at or below 5 was a low below 5.5, so the model is asked at the edge between two readings (`as_read_c`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pandas as pd

from seasonplan.climate.crossings import autumn_index, spring_index
from seasonplan.climate.nights import night_climate
from seasonplan.climate.passage import night_tables
from seasonplan.climate.recorded import recorded_tables
from seasonplan.dates import DAYS, MONTH_STARTS
from seasonplan.model import SD_KINDS, NightClimate, NightTables, Normals, Record, Site

LATITUDES = {"champion": 40.4, "brussels": 50.8, "tunis": 36.8, "cordoba": -31.4, "cambridge": 52.2, "suffolk": 52.2,
             "norfolk": 52.6, "lincolnshire": 53.2, "north_yorks": 54.3, "northumberland": 55.2, "hyderabad": 17.4}
HEIGHTS_M = {"champion": 1029.0, "cordoba": 430.0, "hyderabad": 500.0}
"""Of those that do not stand below 150 m (memory)."""
THRESHOLDS_C = np.arange(-4.0, 14.0)
PERCENTS = (5, 10, 20, 50)
COMPARED = (50, 10)
YEARS_WITH = 0.95
"""Dates are compared where this share of years has such a night in that half of the year."""
NEAR_TURN_DAYS = 21
"""Closer to the turn of the year, which side a night falls on is a matter of definition."""
MISSING_SHARE = 0.05
SPREADS = ("daily", "month", "within", "none")
"""Spread given as sd about the smoothed daily mean, as plain sd over all nights of a month, as the mean over the years
of the sd within that month of one year, or not given."""
MEASURED = {**{kind: kind for kind in SPREADS[:3]}, **dict(zip(SD_KINDS, ("daily", "month", "within"), strict=True))}
"""How a sd is measured where its kind is not said (SPREADS) and where it is (SD_KINDS)."""
FEWEST_NIGHTS, FEWEST_FOR_LOWEST = 20, 26
"""Nights that a month of one year needs to have a sd, and a lowest night, of its own."""


@dataclass(frozen=True)
class Outcome:
    """One date against the years: season, threshold [°C], percent, error [days, later positive], share of years
    in which the promised event came (spring: a cold night later than the date; autumn: one by the date)."""

    season: str
    threshold_c: float
    percent: int
    error_days: float
    came_true: float


@cache
def lows_of(station: str) -> pd.Series:
    """Daily lows [°C] of a station, every calendar day from first to last, NaN where missing."""
    spec = find_spec("aquacrop")
    assert spec is not None and spec.submodule_search_locations is not None
    path = Path(spec.submodule_search_locations[0]) / "data" / f"{station}_climate.txt"
    table = pd.read_csv(path, sep=r"\s+", header=0, usecols=[0, 1, 2, 3], names=["day", "month", "year", "low"])
    table.index = pd.to_datetime(table[["year", "month", "day"]])
    return table["low"].groupby(level=0).first().asfreq("D")


def record_of(lows: pd.Series) -> Record:
    return Record(lows.index.to_numpy().astype("datetime64[D]"), lows.to_numpy(dtype=float), np.full(len(lows), np.nan))


def as_read_c(threshold_c: np.ndarray, lows: pd.Series) -> np.ndarray:
    """The low that a reading at or below the threshold stands for, given the step in which the record is read."""
    readings = lows.dropna().to_numpy()
    for step in (1.0, 5 / 9, 0.1):
        if np.max(np.abs(readings / step - np.round(readings / step))) * step < 0.006:
            return np.floor(threshold_c / step + 1e-6) * step + step / 2
    return threshold_c


def normals_of(lows: pd.Series, told: str, first_day: int = 0) -> Normals:
    """Twelve monthly means with what else is told of the nights, joined by "+": a sd by one of the meanings in SPREADS
    or, its kind said, in SD_KINDS; "lowest", the mean of each month's lowest night.

    first_day: on which a year begins, so that the months of half a record cut there are whole.
    """
    parts = told.split("+")
    sd = next((part for part in parts if part in MEASURED), "none")
    lowest = single_months(lows, "min", FEWEST_FOR_LOWEST, first_day) if "lowest" in parts else None
    return Normals(lows.groupby(lows.index.month).mean().to_numpy(),
                   None if sd == "none" else _measured_sd(lows, MEASURED[sd], first_day),
                   sd_kind=sd if sd in SD_KINDS else "", tmin_lowest_c=lowest)


def _measured_sd(lows: pd.Series, meaning: str, first_day: int) -> np.ndarray:
    month = lows.index.month
    if meaning == "month":
        return lows.groupby(month).std().to_numpy()
    if meaning == "within":
        return single_months(lows, "std", FEWEST_NIGHTS, first_day)
    day = _year_days(lows.index)
    by_day = lows.groupby(day).mean().to_numpy()
    moving = np.convolve(np.concatenate([by_day[-15:], by_day, by_day[:15]]), np.full(31, 1 / 31), mode="valid")
    return (lows - moving[day]).groupby(month).std().to_numpy()


def single_months(lows: pd.Series, what: str, fewest_nights: int, first_day: int = 0) -> np.ndarray:
    """(12,) mean over the years of what ("min", "std") the nights of the month of one year give."""
    years = lows.index.year - (_year_days(lows.index) < first_day)
    single = lows.groupby([years, lows.index.month]).agg([what, "count"])
    return single[what].where(single["count"] >= fewest_nights).groupby(level=1).mean().to_numpy()


def season_halves(lows: pd.Series, climate: NightClimate) -> dict[str, tuple[np.ndarray, list[int]]]:
    """By season, the lows of its halves (years, days), and the years the coldest day before them falls in.

    Spring runs from the coldest day to the turn, autumn from there to the next coldest day; leap days are folded into
    28 February; halves with more than MISSING_SHARE of their nights missing are left out.
    """
    lows = lows.groupby([lows.index.year, _year_days(lows.index)]).min()
    table = lows.unstack().reindex(columns=range(DAYS))
    start, length = climate.cold_index, (climate.turn_index - climate.cold_index) % DAYS
    rows = np.concatenate([np.full(DAYS - start, np.nan), table.to_numpy().ravel(), np.full(start, np.nan)])
    found = {}
    for season, part in (("spring", np.s_[:, :length]), ("autumn", np.s_[:, length:])):
        half = rows.reshape(-1, DAYS)[part]
        usable = np.isnan(half).mean(axis=1) <= MISSING_SHARE
        found[season] = (half[usable], [int(table.index[0]) - 1 + int(n) for n in np.flatnonzero(usable)])
    return found


def _year_days(index: pd.DatetimeIndex) -> np.ndarray:
    leap_day = (index.month == 2) & (index.day == 29)
    return np.array(MONTH_STARTS)[index.month - 1] + index.day.to_numpy() - 1 - leap_day


def yearly_dates(half: np.ndarray, season: str, threshold_c: float) -> np.ndarray:
    """Per year, last spring or first autumn night <= threshold, in days from the turn; NaN in years without one."""
    cold = half <= threshold_c
    if season == "spring":
        return np.where(cold.any(axis=1), -1.0 - np.argmax(cold[:, ::-1], axis=1), np.nan)
    return np.where(cold.any(axis=1), np.argmax(cold, axis=1), np.nan)


def observed_date(days: np.ndarray, season: str, percent: int) -> float | None:
    """The date by which `percent` of years ..., in days from the turn; None where the season does not permit one."""
    known = days[~np.isnan(days)]
    if len(known) < YEARS_WITH * len(days) or abs(np.median(known)) < NEAR_TURN_DAYS:
        return None
    return float(np.quantile(known, percent / 100 if season == "autumn" else 1 - percent / 100))


def outcomes(tables: NightTables, lows: pd.Series, climate: NightClimate) -> list[Outcome]:
    """Every date of the tables against the years, where the season permits (thresholds are THRESHOLDS_C)."""
    found = []
    for season, (half, _) in season_halves(lows, climate).items():
        for k, threshold in enumerate(THRESHOLDS_C):
            days = yearly_dates(half, season, threshold)
            for percent in PERCENTS:
                seen = observed_date(days, season, percent)
                index = (spring_index if season == "spring" else autumn_index)(tables, k, percent)
                if seen is None or index is None:
                    continue
                date = (index - climate.turn_index) % DAYS - (DAYS if season == "spring" else 0)
                came = np.mean(days > date) if season == "spring" else np.mean(days <= date)
                found.append(Outcome(season, float(threshold), percent, date - seen, float(came)))
    return found


def climate_of(station: str, lows: pd.Series, told: str) -> NightClimate:
    return night_climate(normals_of(lows, told), None, site_of(station))


def site_of(station: str) -> Site:
    return Site(station, LATITUDES[station], 0.0, HEIGHTS_M.get(station, 50.0))


@cache
def from_normals(station: str, told: str) -> tuple[Outcome, ...]:
    """The model, from normals of all years, against the same years."""
    return same_years(lows_of(station), site_of(station), told)


@cache
def across_halves(station: str, source: str) -> tuple[Outcome, ...]:
    """Normals (source: what `normals_of` takes) or the record ("record") of every other year against those between."""
    return other_years(lows_of(station), site_of(station), source)


def same_years(lows: pd.Series, site: Site, told: str) -> tuple[Outcome, ...]:
    climate = night_climate(normals_of(lows, told), None, site)
    tables = night_tables(climate, as_read_c(THRESHOLDS_C, lows))
    return tuple(outcomes(tables, lows, climate))


def other_years(lows: pd.Series, site: Site, source: str) -> tuple[Outcome, ...]:
    """Both halves of the years are cut at the season's ends of the whole record."""
    whole, found = night_climate(normals_of(lows, "daily"), None, site), []
    told = "daily" if source == "record" else source
    years = range(lows.index.year.min() - 1, lows.index.year.max() + 1)
    for parity in (0, 1):
        mine, others = (_years_only(lows, whole, [y for y in years if (y % 2 == parity) == own])
                        for own in (True, False))
        climate = replace(night_climate(normals_of(mine, told, whole.cold_index), None, site),
                          turn_index=whole.turn_index, cold_index=whole.cold_index)
        tables = night_tables(climate, as_read_c(THRESHOLDS_C, lows)) if source != "record" else recorded_tables(
            record_of(mine), site, THRESHOLDS_C, climate)
        if tables is not None:
            found += outcomes(tables, others, climate)
    return tuple(found)


def _years_only(lows: pd.Series, climate: NightClimate, years: Sequence[int]) -> pd.Series:
    """The lows of whole seasons (coldest day to coldest day) that begin in the given years, the rest NaN."""
    begins = lows.index.year - (_year_days(lows.index) < climate.cold_index)
    return lows.where(np.isin(begins, years))


def mean_error(found: Sequence[Outcome], percents: Sequence[int] = COMPARED) -> float:
    return float(np.mean([abs(o.error_days) for o in found if o.percent in percents]))


def bias(found: Sequence[Outcome], percents: Sequence[int] = COMPARED) -> float:
    return float(np.mean([o.error_days for o in found if o.percent in percents]))


def came_true(found: Sequence[Outcome], percent: int) -> float:
    return float(np.mean([o.came_true for o in found if o.percent == percent]))


def _cells(found: Sequence[Outcome]) -> list[str]:
    if not found:
        return ["-", "-", "-"]
    return [f"{mean_error(found, (50,)):.1f}", f"{mean_error(found, (10,)):.1f}", f"{bias(found):+.1f}"]


def table_rows() -> list[list[str]]:
    """One row per station and one over all; the columns are named in HEADER."""
    sources = [*((from_normals, spread) for spread in SPREADS), (across_halves, "daily"), (across_halves, "record"),
               (across_halves, "month")]
    rows = []
    for name, stations in [*((s, [s]) for s in LATITUDES), ("all", list(LATITUDES))]:
        found = [[o for s in stations for o in read(s, how)] for read, how in sources]
        years = "" if name == "all" else str(years_of(name))
        halves = (found[-3], found[-1])
        true = [f"{100 * came_true(half, percent):.0f}" for half in halves for percent in (5, 10, 20)]
        rows.append([name, years, str(len(found[0]) // 2), *(cell for f in found[:-1] for cell in _cells(f)), *true])
    return rows


@cache
def years_of(station: str) -> int:
    """Usable springs in the record."""
    return len(season_halves(lows_of(station), climate_of(station, lows_of(station), "daily"))["spring"][1])


HEADER = ["station", "years", "dates",
          *(f"{what} {part}" for what in ("sd", "month-sd", "within-sd", "no-sd", "half", "record-half")
            for part in ("50%", "10%", "bias")), "5%", "10%", "20%", "month 5%", "month 10%", "month 20%"]


def main() -> None:
    rows = [HEADER, *table_rows()]
    widths = [max(len(row[c]) for row in rows) for c in range(len(HEADER))]
    print("""Mean error [days] of median and 1-in-10 dates; bias: later is +.
sd, month-sd, within-sd, no-sd: normals of all years, with sd about the day's mean, sd over all nights of the month,
mean over the years of the sd within the month, no sd;
half, record-half: normals with sd about the day's mean, or the record, of every other year against the years between;
5 %, 10 %, 20 %: how often a chance so promised by the half's normals came true in the years between, with sd about
the day's mean and (month) with sd over all nights of the month.
""")
    for row in rows:
        print("  ".join(cell.rjust(width) for cell, width in zip(row, widths, strict=True)))


if __name__ == "__main__":
    main()
