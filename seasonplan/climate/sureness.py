"""How sure the dates are, in days and in a sentence.

Where the spread of nights was given, what is left is mostly chance: at the stations of tests/truth/test_aquacrop.py
the median and 1-in-10 dates fall 3 to 5 days from those of the years behind the normals. Where it was estimated, its
error adds: an error of the spread by a share e moves a date by about 0.9 e sd / slope days, one of the lows by itself
over the slope (0.9: the error stated is then one day above that of eleven regions' dates, tests/truth/bare.py). Dates
err by that or less as a mean, and keep to it two times in three: from a town 78 % of last and 75 % of first freezes at
378 stations left out (tests/truth/left_out.py), 61 % of all dates at the eleven regions.
"""

from __future__ import annotations

import numpy as np

from seasonplan import wording
from seasonplan.climate.fitted import fitted
from seasonplan.dates import DAYS
from seasonplan.model import Estimate, NightClimate, Normals

DATE_ERROR_DAYS = 4.0
"""Typical error of a date with the spread given; see tests/truth/table.py, which prints it by station."""
DAYS_PER_SD = 0.9
LONGEST_ERROR_DAYS = 45.0
FLATTEST_C_PER_DAY = 1e-3
LOWEST_TOO_DEEP, LOWEST_TOO_HIGH = 1.5, 0.55
"""The lowest night ever of 30 years lies about 1.8 times as deep as the mean lowest (3.3 against 1.84 sd); an
estimated sd is right to about 18 %."""
SPREAD_FROM = {"normals": "from its standard deviations", "lowest": "from its mean lowest nights",
               "sd-and-lowest": "from its standard deviations and mean lowest nights", "record": "from the record",
               "assumed": "assumed"}
"""NightClimate.sd_source, for a reader."""
TYPICAL_SHARE = 0.46
"""Mean error of an estimated monthly low as a share of what nine months in ten keep (tests/truth/estimates.py)."""


def notes_on(normals: Normals | None, climate: NightClimate) -> tuple[str, ...]:
    """What the person should know about the dates."""
    if climate.sd_source == "record":
        return ("The normals give no day-to-day spread of night lows; it was measured on the record.",)
    if climate.sd_source != "assumed":
        return ()
    estimate = normals.estimate if normals is not None and climate.mean_source == "estimated" else None
    spring, autumn = _errors_by_season(climate, estimate)
    share, frost = _spread_error(climate), _spread_error(climate) < fitted("sd_error")
    told = wording.listed(["the monthly lows", "latitude", "height", *(["days of frost near by"] if frost else [])])
    known = "The nights are estimated too, so" if estimate else "With twelve numbers alone,"
    return (f"The day-to-day spread of night lows is assumed from {told}, right to about {100 * share:.0f} %. "
            f"{known} spring dates are sure to about {spring:.0f} days and autumn dates to about {autumn:.0f}, "
            "and dates that hold in nine years of ten lie farther out to allow for it; "
            "a column tmin_sd_c or tmin_lowest_c, or a daily record, "
            f"makes that about {DATE_ERROR_DAYS:.0f} days.",)


def doubt_on_lowest(told_c: np.ndarray, usual_c: np.ndarray) -> tuple[str, ...]:
    """A question where the sd that the mean lowest nights tell is far from the one given or usual; both [°C]."""
    ratio = float(np.mean(told_c) / np.mean(usual_c))
    if ratio > LOWEST_TOO_DEEP:
        return (f"tmin_lowest_c lies {ratio:.1f} times as far below tmin_c as such nights do. Is it the lowest ever "
                "recorded? It should be the mean, over the years, of each year's lowest night in the month.",)
    if ratio < LOWEST_TOO_HIGH:
        return (f"tmin_lowest_c lies only {ratio:.1f} times as far below tmin_c as such nights do. Is it the mean over "
                "the years of each year's lowest night in the month?",)
    return ()


def nights_line(normals: Normals, climate: NightClimate, units: str) -> str:
    """Where the nights come from and how sure the dates are, in one line, with the doubt about them if there is one."""
    estimate = normals.estimate if climate.mean_source == "estimated" else None
    days = max(_errors_by_season(climate, estimate))
    if estimate is not None:
        near = estimate.stations[0]
        return (f"Nights estimated from {near.name}, {wording.distance(near.km, units)}, and others: lows "
                f"±{wording.temperature_span(estimate.error_c, units)} in nine months of ten, {_sure_to(days)}.")
    if climate.mean_source == "record":
        return f"Nights from the record: {_sure_to(days)}."
    line = f"Nights from {normals.source}, their spread {_spread_from(climate)}: {_sure_to(days)}."
    return f"{line} {normals.doubt}".rstrip()


def _sure_to(days: float) -> str:
    """How far dates are out at most, and how often; where nights are so alike all year that an error of the lows moves
    a date by months, that."""
    if days >= LONGEST_ERROR_DAYS:
        return "no date is sure where nights change so little"
    return f"dates ±{days:.0f} days two times in three"


def _spread_from(climate: NightClimate) -> str:
    frost = climate.sd_source == "assumed" and _spread_error(climate) < fitted("sd_error")
    return "assumed from days of frost near by" if frost else SPREAD_FROM[climate.sd_source]


def _errors_by_season(climate: NightClimate, estimate: Estimate | None) -> tuple[float, float]:
    """Typical errors [days] of spring and of autumn dates."""
    turn, cold = climate.turn_index, climate.cold_index
    spring, autumn = (date_error_days(climate.mean_c, climate.sd_c, _middle(*half), estimate, _spread_error(climate))
                      for half in ((cold, turn), (turn, cold)))
    return spring, autumn


def _spread_error(climate: NightClimate) -> float:
    """Typical error of the spread as a share of it, 0 where it was told or measured."""
    return float(climate.details.get("sd_error", fitted("sd_error"))) if climate.sd_source == "assumed" else 0.0


def date_error_days(mean_c: np.ndarray, sd_c: np.ndarray, days: np.ndarray, estimate: Estimate | None,
                    spread_error: float) -> float:
    """Typical error [days] of a date around the given day indices; spread_error: that of the spread, as a share."""
    slope = max(float(np.mean(np.abs(np.roll(mean_c, -1) - np.roll(mean_c, 1))[days])) / 2, FLATTEST_C_PER_DAY)
    spread = DAYS_PER_SD * spread_error * float(np.mean(sd_c[days])) / slope
    mean = TYPICAL_SHARE * estimate.error_c / slope if estimate is not None else 0.0
    return min(float(np.hypot(np.hypot(DATE_ERROR_DAYS, spread), mean)), LONGEST_ERROR_DAYS)


def _middle(start: int, end: int) -> np.ndarray:
    """Day indices of the middle half of the span from `start` to `end`."""
    length = (end - start) % DAYS
    return (start + np.arange(length // 4, length - length // 4)) % DAYS
