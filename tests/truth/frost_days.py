"""What days of frost tell about how far nights stray: `python tests/truth/frost_days.py` fits and tries the estimate.

Source: days of frost and mean lows of the WMO climatological normals 1991-2020 that the package carries (atlas.tables).
Where a month's mean low is above freezing, its days of frost are the cold tail of its nights: the sd is the one with
which the night model counts as many. With the months of night_sd_months.csv these are what `estimated_sd` is fitted to.
A block of many stations weighs as the root of their number, and all of the frost FROST_SHARE of the records: it tells
only the cold tail of mild months, and the records are what dates are tried on.
"""

from __future__ import annotations

import csv
from pathlib import Path
from typing import NamedTuple

import numpy as np

from seasonplan.atlas.tables import stations
from seasonplan.climate.curves import normal_chance, year_curve
from seasonplan.climate.fitted import fitted
from seasonplan.climate.nights import season_ends
from seasonplan.climate.process import normal_behind, usual_skewness
from seasonplan.dates import DAYS, MONTH_LENGTHS, MONTH_STARTS

MONTHS = Path(__file__).parent / "night_sd_months.csv"
ENGLAND = ("cambridge", "suffolk", "norfolk", "lincolnshire", "north_yorks", "northumberland")
FULL_WEIGHT_YEARS = 20.0
FROST_SHARE = 0.3
"""0.3 to 1 do nearly as well for dates, at records and at published ones."""
LOWEST_MEAN_C, FEWEST_DAYS, MOST_SHARE = 2.0, 1.0, 0.35
FROST_C = -0.05
"""Lows are read to 0.1 °C, and a day of frost is one below zero."""
SD_STEPS = np.exp(np.linspace(np.log(1.2), np.log(9.0), 31))
NAMES = ("sd_constant", "sd_log_range", "sd_mean", "sd_warm", "sd_latitude", "sd_height", "sd_season")


class SdMonths(NamedTuple):
    """Months with their sd (k,): the design of the estimate (k, 7), log sd, weight, latitude, longitude, height [m]."""

    design: np.ndarray
    log_sd: np.ndarray
    weight: np.ndarray
    region: np.ndarray
    height_m: np.ndarray

    def only(self, rows: np.ndarray) -> SdMonths:
        return SdMonths(*(values[rows] for values in self))


def design(lows_c: np.ndarray, latitude: float, height_m: float) -> np.ndarray:
    """(12, 7) the terms of the formula, written apart from the package's."""
    swing, warm = np.log(max(np.ptp(lows_c), 2.0)), 3 * np.log1p(np.exp((lows_c - 14) / 3))
    wave = np.sum(lows_c * np.exp(-2j * np.pi * np.arange(12) / 12)) / 6
    season = np.sin(2 * np.pi * np.arange(12) / 12 + np.angle(wave)) * min(1.0, abs(wave) / 3)
    return np.stack([np.ones(12), np.full(12, swing), lows_c, warm, np.full(12, abs(latitude)),
                     np.full(12, np.clip(height_m, 0.0, 3000.0) / 1000), season], axis=1)


def recorded_months() -> SdMonths:
    with open(MONTHS, encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    found = []
    for name in dict.fromkeys(row["station"] for row in rows):
        mine = [row for row in rows if row["station"] == name]
        lows, sd = (np.array([float(row[column]) for row in mine]) for column in ("tmin_c", "tmin_sd_c"))
        height = float(mine[0]["height_m"])
        weight = min(float(mine[0]["years"]), FULL_WEIGHT_YEARS) / FULL_WEIGHT_YEARS
        region = "england" if name in ENGLAND else name
        found.append((design(lows, float(mine[0]["latitude_deg"]), height), np.log(sd), np.full(12, weight),
                      np.full(12, region), np.full(12, height)))
    return SdMonths(*(np.concatenate(column) for column in zip(*found, strict=True)))


def frost_months() -> SdMonths:
    """Every month of every station whose days of frost tell its sd."""
    table = stations()
    rows, days = table.sparse("frost")
    found = []
    for row, frost in zip(rows.tolist(), days.T, strict=True):
        lows, at = table.low_c[:, row], (float(table.latitude[row]), float(table.longitude[row]))
        tells = (frost >= FEWEST_DAYS) & (frost <= MOST_SHARE * np.array(MONTH_LENGTHS)) & (lows > LOWEST_MEAN_C)
        if not tells.any():
            continue
        sd = np.array([_sd_of(lows, at[0], int(month), float(frost[month])) for month in np.flatnonzero(tells)])
        height = float(table.elevation_m[row])
        block = f"{np.floor(at[0] / 10):.0f}/{np.floor(at[1] / 20):.0f}"
        known = ~np.isnan(sd)
        found.append((design(lows, at[0], height)[tells][known], np.log(sd[known]), np.ones(known.sum()),
                      np.full(known.sum(), block, dtype="<U8"), np.full(known.sum(), height)))
    months = SdMonths(*(np.concatenate(column) for column in zip(*found, strict=True)))
    _, where, count = np.unique(months.region, return_inverse=True, return_counts=True)
    return months._replace(weight=1 / np.sqrt(count[where]))


def _sd_of(lows: np.ndarray, latitude: float, month: int, frost: float) -> float:
    """The sd [°C] of that month's nights with which so many of them are below zero; NaN where none does that."""
    mean_c = year_curve(lows)
    skew = usual_skewness(np.ones(DAYS), season_ends(mean_c, latitude)[0], latitude)
    nights = slice(MONTH_STARTS[month], MONTH_STARTS[month] + MONTH_LENGTHS[month])
    scaled = (FROST_C - mean_c[nights]) / SD_STEPS[:, None]
    counted = normal_chance(normal_behind(scaled, skew[nights], fitted("excess_kurtosis"))).sum(axis=1)
    return float(np.exp(np.interp(frost, counted, np.log(SD_STEPS), left=np.nan, right=np.nan)))


def both(recorded: SdMonths, frost: SdMonths) -> SdMonths:
    """One set of both parts."""
    share = FROST_SHARE * recorded.weight.sum() / frost.weight.sum()
    return SdMonths(*(np.concatenate(pair) for pair in zip(
        recorded, frost._replace(weight=frost.weight * share), strict=True)))


def fit(months: SdMonths) -> np.ndarray:
    root = np.sqrt(months.weight)
    return np.linalg.lstsq(months.design * root[:, None], months.log_sd * root, rcond=None)[0]


def left_out(months: SdMonths) -> np.ndarray:
    """(k,) log(estimated / true) with every region left out in turn."""
    errors = np.zeros(len(months.log_sd))
    for region in np.unique(months.region):
        out = months.region == region
        errors[out] = months.only(out).design @ fit(months.only(~out)) - months.log_sd[out]
    return errors


def typical(errors: np.ndarray, weights: np.ndarray) -> str:
    return f"{np.sqrt(np.average(errors**2, weights=weights)):.3f} (mean {np.average(errors, weights=weights):+.3f})"


def main() -> None:
    recorded, frost = recorded_months(), frost_months()
    months = both(recorded, frost)
    for name, value in zip(NAMES, fit(months), strict=True):
        print(f"{name},{value:.4f}")
    print(f"months: {len(recorded.log_sd)} recorded, {len(frost.log_sd)} of frost; root mean square of log errors, "
          "with the region left out:")
    plain = months._replace(design=np.where(np.arange(len(NAMES)) < len(NAMES) - 2, months.design, 0.0))
    for words, kind in (("with height and season", months), ("without", plain)):
        errors, first = left_out(kind), len(recorded.log_sd)
        print(f"{words}: recorded {typical(errors[:first], months.weight[:first])}, frost "
              f"{typical(errors[first:], months.weight[first:])}")
        for low, high in ((-500, 300), (300, 1000), (1000, 1500), (1500, 9000)):
            inside = (months.height_m >= low) & (months.height_m < high) & (np.arange(len(errors)) >= first)
            print(f"  frost, {low} to {high} m ({inside.sum()}): {typical(errors[inside], months.weight[inside])}")


if __name__ == "__main__":
    main()
