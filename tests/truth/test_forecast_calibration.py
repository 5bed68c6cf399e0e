"""Do the chances come true? Checked on the daily records that ship with the aquacrop package (version 3.1.0, folder
aquacrop/data, files *_climate.txt: eleven stations, 11 to 37 years each).

The observed low of every night, plus an invented error of the size that data/forecast_error.csv says, stands for the
forecast; then nights called 20 % must be cold in about 20 % of cases. Beyond the forecast the outlook must beat the
climate alone. The normals are the station's own monthly means and standard deviations, as a person would have them.
"""

from datetime import date, timedelta
from functools import cache
from importlib import resources

import numpy as np
import pytest

from seasonplan.climate.nights import night_climate
from seasonplan.model import Forecast, ForecastNight, NightClimate, Normals, Place, Site
from seasonplan.weather.outlook import coming_nights
from seasonplan.weather.skill import error_sd_c

SITE = Site("Invented site beside the station", 50.0, 5.0)
PORCH = Place("porch", "outdoor", roof_deg=50.0)
"""Under a roof, where the low is the screen's whatever the sky."""
ROW = np.array([[[0]]])
THRESHOLDS_C = np.array([0.0, 5.0, 10.0])
FORECAST_NIGHTS = 10
BANDS = ((0.02, 0.05), (0.05, 0.1), (0.1, 0.2), (0.2, 0.35), (0.35, 0.5), (0.5, 0.65), (0.65, 0.8), (0.8, 0.95))
WITHIN = 0.03
"""The accuracy asked for: stated chances come true within 3 points."""
CHANCE_ALONE = 0.015
"""Some 1,500 nights stand behind a band of one lead: sampling alone moves its share by so much (one sd 1.2 %, and the
three thresholds of a night are no three nights)."""
KNOWN_NIGHTS, NIGHTS_BEYOND = 3, 15
CHANCE_OF_BRIER = 5e-4
"""Beyond the fifth night the two Brier scores differ by less than their sampling error (some 2,800 forecasts of
nights 40 days apart, score about 0.08, paired differences of order 0.01: about 1e-4); three of it, and some."""
SEED = 20270603


@cache
def stations() -> tuple[tuple[str, date, np.ndarray, NightClimate], ...]:
    """(name, first date, daily lows [°C], climate of the station) of every record."""
    found = []
    folder = resources.files("aquacrop").joinpath("data")
    for path in sorted((p for p in folder.iterdir() if p.name.endswith("_climate.txt")), key=lambda p: p.name):
        with path.open() as lines:
            rows = np.loadtxt(lines, skiprows=1, usecols=(0, 1, 2, 3))
        day, month, year = (int(n) for n in rows[0, :3])
        months = [rows[rows[:, 1] == m, 3] for m in range(1, 13)]
        normals = Normals(np.array([m.mean() for m in months]), np.array([m.std() for m in months]))
        found.append((path.name, date(year, month, day), rows[:, 3], night_climate(normals, None, SITE)))
    return tuple(found)


def forecast_of(lows_c: np.ndarray, errors: np.ndarray, first_night: date) -> Forecast:
    """The invented forecast: true lows plus errors (in units of each night's standard deviation)."""
    nights = tuple(ForecastNight(first_night + timedelta(days=n), float(low + error * error_sd_c(n)), n, False)
                   for n, (low, error) in enumerate(zip(lows_c, errors, strict=True)))
    return Forecast("invented", None, nights, elevation_m=SITE.elevation_m)


@cache
def called_and_cold() -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """(chance, was it cold, threshold, lead) of every station-night and threshold, each night once."""
    rng = np.random.default_rng(SEED)
    called, cold = [], []
    for _, first, lows, climate in stations():
        errors = rng.standard_normal(len(lows))
        for start in range(1, len(lows) - FORECAST_NIGHTS, FORECAST_NIGHTS):
            span, evening = slice(start, start + FORECAST_NIGHTS), first + timedelta(days=start - 1)
            forecast = forecast_of(lows[span], errors[span], evening)
            coming = coming_nights(climate, forecast, SITE, (PORCH,), evening, FORECAST_NIGHTS)
            called.append(coming.chance(ROW, THRESHOLDS_C[None, :, None])[0])
            cold.append(lows[span] <= THRESHOLDS_C[:, None])
    grid = np.broadcast_arrays(np.stack(called), THRESHOLDS_C[:, None], np.arange(FORECAST_NIGHTS))
    return grid[0].ravel(), np.stack(cold).ravel(), grid[1].ravel(), grid[2].ravel()


def off_by(called: np.ndarray, cold: np.ndarray, low: float, high: float) -> float:
    """By how much more often than stated the nights of a band were cold."""
    band = (called >= low) & (called < high)
    assert band.sum() > 700
    return float((cold[band] - called[band]).mean())


def test_there_is_enough_to_judge_by():
    called, *_ = called_and_cold()
    assert len(stations()) == 11 and len(called) > 300_000


@pytest.mark.parametrize("band", BANDS)
def test_stated_chances_of_the_first_seven_nights_come_true_within_three_points(band):
    called, cold, _, leads = called_and_cold()
    assert abs(off_by(called[leads < 7], cold[leads < 7], *band)) <= WITHIN


@pytest.mark.parametrize("lead", range(FORECAST_NIGHTS))
def test_at_every_lead_they_do(lead):
    called, cold, _, leads = called_and_cold()
    off = [off_by(called[leads == lead], cold[leads == lead], *band) for band in BANDS]
    assert max(map(abs, off)) <= WITHIN + CHANCE_ALONE and abs(np.mean(off)) <= WITHIN / 2


@pytest.mark.parametrize("threshold", THRESHOLDS_C)
def test_at_every_threshold_they_do(threshold):
    called, cold, levels, _ = called_and_cold()
    off = [off_by(called[levels == threshold], cold[levels == threshold], *band) for band in BANDS]
    assert max(map(abs, off)) <= WITHIN + CHANCE_ALONE


def test_an_overconfident_outlook_would_fail_this_check():
    """The same check turns red when the errors are twice as large as promised: it is able to fail."""
    rng, (_, first, lows, climate) = np.random.default_rng(SEED), stations()[0]
    called, cold = [], []
    for start in range(1, len(lows) - 1, 2):
        evening = first + timedelta(days=start - 1)
        forecast = forecast_of(lows[start:start + 1], 2 * rng.standard_normal(1), evening)
        called.append(coming_nights(climate, forecast, SITE, (PORCH,), evening, 1).chance(ROW[0], 5.0)[0, 0])
        cold.append(lows[start] <= 5.0)
    band = [low <= c < high for c in called for low, high in BANDS[:1]]
    assert np.array(cold)[band].mean() - np.array(called)[band].mean() > WITHIN


@cache
def brier_scores() -> tuple[np.ndarray, np.ndarray]:
    """Mean Brier scores (Brier 1950, Mon. Wea. Rev. 78:1-3) of outlook and of climate alone, by night beyond."""
    rng = np.random.default_rng(SEED + 1)
    nights = KNOWN_NIGHTS + NIGHTS_BEYOND
    outlook, alone, cases = np.zeros(nights), np.zeros(nights), 0
    for _, first, lows, climate in stations():
        for start in range(1, len(lows) - nights, 40):
            evening, span = first + timedelta(days=start - 1), lows[start:start + nights]
            forecast = forecast_of(span[:KNOWN_NIGHTS], rng.standard_normal(KNOWN_NIGHTS), evening)
            with_it, without = (coming_nights(climate, f, SITE, (PORCH,), evening, nights) for f in (forecast, None))
            cold = span <= THRESHOLDS_C[:, None]
            outlook += ((with_it.chance(ROW, THRESHOLDS_C[None, :, None])[0] - cold) ** 2).sum(axis=0)
            alone += ((without.chance(ROW, THRESHOLDS_C[None, :, None])[0] - cold) ** 2).sum(axis=0)
            cases += len(THRESHOLDS_C)
    return outlook[KNOWN_NIGHTS:] / cases, alone[KNOWN_NIGHTS:] / cases


def test_for_five_nights_beyond_the_forecast_the_outlook_beats_the_climate():
    outlook, alone = brier_scores()
    assert (outlook[:5] < alone[:5]).all()
    assert outlook[0] < 0.9 * alone[0]


def test_after_that_it_is_never_worse():
    outlook, alone = brier_scores()
    assert (outlook[5:] < alone[5:] + CHANCE_OF_BRIER).all()
