"""What sources said before, kept so that readings can be held against it: forecasts.csv beside the plan.

One line per source, day of issue and night; the last word of a day replaces the earlier one. Older lines than readings
are held against are left out, so the file stays small. It is ours: a line that cannot be understood is left out.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from datetime import date, timedelta
from zoneinfo import ZoneInfo

from seasonplan.model import EarlierForecast, Forecast, Site
from seasonplan.weather.learning import LATELY_NIGHTS

FORECASTS = "forecasts.csv"
HEADER = ("source", "issued", "night", "tmin_c", "calm_clear", "elevation_m")
KEPT = timedelta(days=LATELY_NIGHTS + 30)


def read_kept(data: bytes | None) -> tuple[EarlierForecast, ...]:
    """The forecasts of a file; none where there is no file."""
    found = []
    for row in csv.DictReader(io.StringIO((data or b"").decode("utf-8", "replace"))):
        try:
            sky, height = row["calm_clear"], row["elevation_m"]
            issued, night = (date.fromisoformat(row[name]) for name in ("issued", "night"))
            found.append(EarlierForecast(row["source"], issued, night, float(row["tmin_c"]),
                                         {"yes": True, "no": False}.get(sky), float(height) if height else None))
        except (KeyError, ValueError, TypeError):
            continue
    return tuple(found)


def kept_with(earlier: Sequence[EarlierForecast], forecast: Forecast | None, site: Site,
              today: date) -> tuple[EarlierForecast, ...]:
    """What is kept after a forecast of today: at most one word a day of every source about every night."""
    said = {(one.source, one.issued, one.night): one for one in earlier if today - one.night <= KEPT}
    if forecast is not None:
        issued = forecast.issued.astimezone(ZoneInfo(site.timezone)).date() if forecast.issued else today
        for night in forecast.nights:
            day = min(issued, night.night)
            said[forecast.source, day, night.night] = EarlierForecast(
                forecast.source, day, night.night, night.low_c, night.calm_clear, forecast.elevation_m)
    return tuple(said[key] for key in sorted(said))


def kept_bytes(kept: Sequence[EarlierForecast]) -> bytes:
    """The file."""
    out = io.StringIO()
    lines = csv.writer(out, lineterminator="\n")
    lines.writerow(HEADER)
    for one in kept:
        sky = "" if one.calm_clear is None else "yes" if one.calm_clear else "no"
        height = "" if one.elevation_m is None else f"{one.elevation_m:g}"
        lines.writerow([one.source, one.issued, one.night, f"{one.low_c:.2f}", sky, height])
    return out.getvalue().encode()
