"""Which hours make a night: local evening to morning in the site's time zone, named by the date of the evening."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from seasonplan.model import Forecast, ForecastNight, Site
from seasonplan.weather.reading import ForecastUnreadable
from seasonplan.wording import day as day_words
from seasonplan.wording import listed

EVENING, MORNING = time(18), time(9)
"""A night lasts from 18:00 to 09:00 by the local clock: 14 to 16 hours when the clocks change. Our setting."""
CORE_FROM, CORE_UNTIL = time(0), time(6)
"""A night counts as forecast when these hours are covered without a gap. Our setting."""
CALM_M_S, CLEAR_PERCENT = 2.5, 40.0
"""Mean wind and cloud of the night up to which it is calm and clear. Our setting."""
ENOUGH_OF_NIGHT = 0.7
"""Share of the night that wind and cloud must be told for to give a mean. Our setting."""
LONGEST_SPAN = timedelta(days=60)
"""No forecast of single nights reaches farther; a document that does has a wrong date in it. Our setting."""

Piece = tuple[datetime, datetime, float]
"""A stretch of time [UTC] with one value."""


@dataclass(frozen=True)
class NightHours:
    """One night in UTC: start .. end, the core hours of it, and the morning of the day before it."""

    evening: date
    day_start: datetime
    start: datetime
    end: datetime
    core_start: datetime
    core_end: datetime


def night_hours(evening: date, timezone: str) -> NightHours:
    """The night that begins on the evening of a date."""
    zone, next_day = ZoneInfo(timezone), evening + timedelta(days=1)

    def at(day: date, clock: time) -> datetime:
        return datetime.combine(day, clock, zone).astimezone(UTC)

    return NightHours(evening, at(evening, MORNING), at(evening, EVENING), at(next_day, MORNING),
                      at(next_day, CORE_FROM), at(next_day, CORE_UNTIL))


def nights_touched(first: datetime, last: datetime, timezone: str) -> list[NightHours]:
    """Every night that overlaps the time from `first` to `last`, in order."""
    if last - first > LONGEST_SPAN:
        raise ForecastUnreadable("", f"it runs from {first:%Y-%m-%d} to {last:%Y-%m-%d}",
                                 f"at most {LONGEST_SPAN.days} days")
    zone = ZoneInfo(timezone)
    evening = first.astimezone(zone).date() - timedelta(days=1)
    final = last.astimezone(zone).date()
    nights = [night_hours(evening + timedelta(days=n), timezone) for n in range((final - evening).days + 1)]
    return [night for night in nights if night.start < last and night.end > first]


def covered(stretches: Sequence[tuple[datetime, datetime]], start: datetime, end: datetime) -> bool:
    """Whether the stretches together leave no gap between start and end."""
    reached = start
    for begin, stop in sorted(stretches):
        if begin > reached:
            break
        reached = max(reached, stop)
    return reached >= end


def mean_over(pieces: Sequence[Piece], night: NightHours) -> float | None:
    """Mean over the night, weighted by time; None where less than ENOUGH_OF_NIGHT of it is told."""
    weights = [((min(stop, night.end) - max(begin, night.start)).total_seconds(), value)
               for begin, stop, value in pieces if begin < night.end and stop > night.start]
    told = sum(seconds for seconds, _ in weights)
    if told <= 0 or told < ENOUGH_OF_NIGHT * (night.end - night.start).total_seconds():
        return None
    return sum(seconds * value for seconds, value in weights) / told


def is_calm_clear(wind_m_s: float | None, cloud_percent: float | None) -> bool | None:
    """Calm and clear? One of the two is enough for no; None where they do not decide it."""
    if (wind_m_s is not None and wind_m_s > CALM_M_S) or (cloud_percent is not None and cloud_percent > CLEAR_PERCENT):
        return False
    return None if wind_m_s is None or cloud_percent is None else True


@dataclass
class Gathered:
    """What a reader found, before it becomes a Forecast. lows_c: by evening date; rest: further fields of each
    ForecastNight; asked: nights the source speaks of, with or without a usable value; faulty: what could not be used,
    for the person."""

    lows_c: dict[date, float] = field(default_factory=dict)
    rest: dict[date, dict[str, Any]] = field(default_factory=dict)
    asked: set[date] = field(default_factory=set)
    faulty: list[str] = field(default_factory=list)

    def add(self, evening: date, **told: Any) -> None:
        """More about a night; None says nothing."""
        self.rest.setdefault(evening, {}).update({name: value for name, value in told.items() if value is not None})


def assemble(source: str, issued: datetime | None, site: Site, found: Gathered, elevation_m: float | None,
             notes: Sequence[str] = (), ensemble: bool = False) -> Forecast:
    """The Forecast of what was gathered, with a sentence about everything missing in it.

    Raises ForecastUnreadable when there is no usable night at all.
    """
    if not found.lows_c:
        why = f" ({found.faulty[0]})" if found.faulty else ""
        raise ForecastUnreadable("", f"it holds no usable night low{why}", "at least one whole night")
    evenings = sorted(found.lows_c)
    base = evenings[0] if issued is None else min(evenings[0], issued.astimezone(ZoneInfo(site.timezone)).date())
    nights = tuple(ForecastNight(e, found.lows_c[e], (e - base).days, **found.rest.get(e, {})) for e in evenings)
    return Forecast(source, issued, nights, tuple(n for n in (*notes, *_gap_notes(found, evenings)) if n), elevation_m,
                    ensemble)


def _gap_notes(found: Gathered, evenings: Sequence[date]) -> list[str]:
    notes = []
    if found.faulty:
        notes.append(f"Values that cannot be used were left out: {listed(found.faulty, most=3)}.")
    span = {evenings[0] + timedelta(days=n) for n in range((evenings[-1] - evenings[0]).days)}
    missing = sorted((span | found.asked) - set(evenings))
    if missing:
        named = [day_words(m) for m in missing[:4]] + [""] * len(missing[4:])
        notes.append(f"The forecast has no usable low for the night of {listed(named, most=4)}; the night model stands "
                     "in.")
    return notes


def with_note(forecast: Forecast, note: str) -> Forecast:
    """The same forecast with one more sentence in front."""
    return replace(forecast, notes=(note, *forecast.notes)) if note else forecast


def add_sky(found: Gathered, nights: Sequence[NightHours], wind: Sequence[Piece], cloud: Sequence[Piece]) -> None:
    """Mean wind of each night, and whether it is calm and clear."""
    for night in nights:
        wind_m_s = mean_over(wind, night)
        found.add(night.evening, calm_clear=is_calm_clear(wind_m_s, mean_over(cloud, night)), wind_m_s=wind_m_s)


def highest_over(pieces: Sequence[Piece], night: NightHours) -> float | None:
    """The highest value from the morning before a night to its end; None where nothing is told."""
    return max((value for begin, stop, value in pieces if begin < night.end and stop > night.day_start), default=None)


def sum_over(pieces: Sequence[Piece], night: NightHours) -> float | None:
    """The sum over the same time, a piece's value spread evenly over it; None where less than ENOUGH_OF_NIGHT of the
    day is told."""
    told = total = 0.0
    for begin, stop, value in pieces:
        seconds = (min(stop, night.end) - max(begin, night.day_start)).total_seconds()
        if seconds > 0:
            told += seconds
            total += value * seconds / (stop - begin).total_seconds()
    return total if told >= ENOUGH_OF_NIGHT * (night.end - night.day_start).total_seconds() else None
