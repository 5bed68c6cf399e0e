"""A forecast as a pandas table, for use from Python: one row per night, `night` and `tmin_c` at least.

Further columns where they are known: tmin_p10_c, tmin_p90_c, calm_clear, wind_m_s, gust_m_s, tmax_c, rain_mm, hail,
and `issued`, the day on which a row was told (left out: today). Rows told on an earlier day, and rows of nights gone
by, are earlier forecasts: readings are held against them. The lows are those of the station behind the normals.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from seasonplan.model import EarlierForecast, Forecast, ForecastNight

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
        earlier.append(EarlierForecast(SOURCE, told, night, low_c))
        if night >= today and told >= told_on.get(night, told):
            told_on[night] = told
            newest[night] = ForecastNight(night, low_c, (night - told).days, **_rest(columns, n))
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
