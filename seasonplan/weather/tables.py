"""Forecasts and readings as pandas tables, for use from Python. A forecast has one row per night, `night` and `tmin_c`
at least.

Further columns where they are known: tmin_p10_c, tmin_p90_c, calm_clear, wind_m_s, gust_m_s, tmax_c, rain_mm, hail,
and `issued`, the day on which a row was told (left out: today). Rows told on an earlier day, and rows of nights gone
by, are earlier forecasts: readings are held against them. The lows are those of the station behind the normals.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import TYPE_CHECKING, Any

from seasonplan.model import EarlierForecast, Forecast, ForecastNight, Reading

if TYPE_CHECKING:
    import pandas as pd

SOURCE = "table"
NUMBERS = {"tmin_p10_c": "p10_c", "tmin_p90_c": "p90_c", "wind_m_s": "wind_m_s", "gust_m_s": "gust_m_s",
           "tmax_c": "high_c", "rain_mm": "rain_mm"}
ANSWERS = {"calm_clear": "calm_clear", "hail": "hail"}


def from_frame(table: pd.DataFrame, today: date) -> tuple[Forecast, tuple[EarlierForecast, ...]]:
    """The forecast that holds today, and the earlier ones in the table. Rows without a low are left out.

    Raises ValueError where the columns or a night cannot be understood.
    """
    missing = [name for name in ("night", "tmin_c") if name not in table.columns]
    if missing:
        raise ValueError(f"the forecast has no column {missing[0]!r}; it has {', '.join(map(str, table.columns))}")
    columns = {name: table[name].tolist() for name in ("night", "tmin_c", "issued", *NUMBERS, *ANSWERS)
               if name in table.columns}
    newest: dict[date, ForecastNight] = {}
    told_on: dict[date, date] = {}
    earlier = []
    for n, low in enumerate(columns["tmin_c"]):
        night = as_day(columns["night"][n])
        if night is None or (low_c := _number(low)) is None:
            continue
        issued = as_day(columns["issued"][n]) if "issued" in columns else None
        told = issued or min(today, night)
        if told > today:
            continue
        rest = _rest(columns, n)
        earlier.append(EarlierForecast(SOURCE, told, night, low_c, rest.get("calm_clear")))
        if night >= today and told >= told_on.get(night, told):
            told_on[night] = told
            newest[night] = ForecastNight(night, low_c, (night - told).days, **rest)
    past = tuple(one for one in earlier if one.issued < today or one.night < today)
    return Forecast(SOURCE, None, tuple(newest[night] for night in sorted(newest))), past


def as_day(value: Any) -> date | None:
    """A date from what tables hold: date, datetime, Timestamp, NumPy time, ISO text; None where nothing stands there.

    Raises ValueError."""
    if isinstance(value, datetime):                   # a Timestamp is one; NaT is one too, and differs from itself
        return value.date() if value == value else None
    if isinstance(value, date):
        return value
    if isinstance(value, str):
        return date.fromisoformat(value[:10])
    if value is None or value != value:
        return None
    raise ValueError(f"the forecast has {value!r} for a date")


def _number(value: Any) -> float | None:
    try:
        found = float(value)
    except (TypeError, ValueError):
        return None
    return found if abs(found) < float("inf") else None


def _rest(columns: Mapping[str, list], n: int) -> dict[str, Any]:
    found: dict[str, Any] = {field: _number(columns[name][n]) for name, field in NUMBERS.items() if name in columns}
    for name, field in ANSWERS.items():
        told = columns[name][n] if name in columns else None
        found[field] = None if told is None or told != told else bool(told)
    return found


def readings_of(readings: Sequence[Reading] | pd.DataFrame) -> tuple[tuple[Reading, ...], tuple[EarlierForecast, ...]]:
    """Readings from a table (date, place, tmin_c), or as they are. A column forecast_c says what the forecast of the
    evening before had been, where the table of forecasts does not. Rows without a date or a low are left out."""
    if isinstance(readings, Sequence):
        return tuple(readings), ()
    missing = [name for name in ("date", "place", "tmin_c") if name not in readings.columns]
    if missing:
        raise ValueError(f"the readings have no column {missing[0]!r}; they have "
                         f"{', '.join(map(str, readings.columns))}")
    columns = [readings[name].tolist() for name in ("date", "place", "tmin_c")]
    told = readings["forecast_c"].tolist() if "forecast_c" in readings.columns else [None] * len(columns[0])
    found, earlier = [], []
    for day, place, low, forecast in zip(*columns, told, strict=True):
        when, low_c, forecast_c = as_day(day), _number(low), _number(forecast)
        if when is None or low_c is None:
            continue
        found.append(Reading(when, str(place), low_c))
        if forecast_c is not None:
            evening = when - timedelta(days=1)
            earlier.append(EarlierForecast(SOURCE, evening, evening, forecast_c))
    return tuple(found), tuple(earlier)
