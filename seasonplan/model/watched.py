"""What the weather brings: forecasts, the outlook, alerts, and the report that `watch` makes of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from functools import cached_property
from typing import Literal


@dataclass(frozen=True)
class ForecastNight:
    """night: the date on whose evening it begins. low_c: the lowest screen temperature forecast. calm_clear: True /
    False where the source tells wind and cloud, None where it does not. lead_days: 0 = the first night of the issue.
    wind_m_s: mean wind of the night. p10_c, p90_c: the 10th and 90th percentile of the low by the source's own
    spread. high_c, gust_m_s, rain_mm, hail: warmest, strongest gust, rain and whether hail is told, from the morning of
    that date to the next. None where the source does not tell it."""

    night: date
    low_c: float
    lead_days: int
    calm_clear: bool | None = None
    wind_m_s: float | None = None
    p10_c: float | None = None
    p90_c: float | None = None
    high_c: float | None = None
    gust_m_s: float | None = None
    rain_mm: float | None = None
    hail: bool | None = None


@dataclass(frozen=True)
class Forecast:
    """nights in order, at least one. issued: when the source made it (UTC), None when it does not say.
    notes: sentences the person must see (stale copy, nights missing). elevation_m: the height the lows are for, where
    they are for the site's own position; None = they are for the station behind the normals. ensemble: the percentiles
    are a distribution of the low itself, and not the size of the error of low_c."""

    source: str
    issued: datetime | None
    nights: tuple[ForecastNight, ...]
    notes: tuple[str, ...] = ()
    elevation_m: float | None = None
    ensemble: bool = False


@dataclass(frozen=True)
class EarlierForecast:
    """What a source said on the day `issued` about the low of a night [°C]. elevation_m, calm_clear: see Forecast and
    ForecastNight."""

    source: str
    issued: date
    night: date
    low_c: float
    calm_clear: bool | None = None
    elevation_m: float | None = None


@dataclass(frozen=True)
class OutlookNight:
    """One night at one place for one threshold: mean and sd of the low at the plant [°C], chance of <= threshold,
    chance of <= 0 °C. from_forecast: False beyond the forecast's last night."""

    night: date
    place: str
    threshold_c: float
    low_c: float
    sd_c: float
    chance_harm: float
    chance_frost: float
    from_forecast: bool


@dataclass(frozen=True)
class Alert:
    """Plants in danger at one place on one night. level: "act" (tonight: do something) or "keep-watch" (a later night
    that will probably ask for it).

    action: a sentence that says what to do and where to; to: the place named in it, None when none; by: local date and
    time before sunset "YYYY-MM-DDTHH:MM"; out_again: the day on which the plants may go back, None where that cannot be
    said yet or they stay in for the winter. frost: the low at the plant may reach 0 °C. chance: of threshold_c or
    colder, for the most tender of the plants. stays: its plants were taken in on an earlier night and
    only stay in; spell: the uid of the cold spell it belongs to; alarm: the local date and
    time at which a calendar rings for it, None where it is too late for that or nothing must be done.
    """

    uid: str
    night: date
    place: str
    forecast_low_c: float | None
    low_c_at_place: float
    chance: float
    threshold_c: float
    plants: tuple[str, ...]
    action: str
    by: str
    level: Literal["act", "keep-watch"] = "act"
    frost: bool = False
    to: str | None = None
    out_again: date | None = None
    stays: bool = False
    spell: str = ""
    alarm: str | None = None

    @property
    def began(self) -> date:
        """The night with which its spell began, as the spell's uid has it."""
        try:
            return min(date.fromisoformat(self.spell.removeprefix("watch-")[:10]), self.night)
        except ValueError:
            return self.night

    @property
    def act(self) -> bool:
        """Whether something must be done for that night now."""
        return self.level == "act"


@dataclass(frozen=True)
class SkyWarning:
    """Something else that the sky brings: gusts [m/s], heat [°C], rain [mm] or hail on a day and the night after it.
    limit: from where on it is told; plants: those it is about; text: one plain sentence; source: of the limit."""

    kind: Literal["gusts", "heat", "rain", "hail"]
    day: date
    value: float | None
    limit: float
    plants: tuple[str, ...]
    text: str
    source: str


@dataclass(frozen=True)
class Evening:
    """The one message of an evening. night: the one that begins then; title: for a lock screen; lines: the rest, one
    thing each; by: local date and time by which to be done, None where nothing must; pieces: what it asks for and
    announces, one short text each, the same as long as that is the same."""

    night: date
    title: str
    lines: tuple[str, ...]
    by: str | None
    pieces: tuple[str, ...]

    @property
    def text(self) -> str:
        return "\n".join(self.lines)


@dataclass(frozen=True, eq=False)
class WatchReport:
    """What `watch` found at one site. advice: sentences about planned move days that no longer look right; evening: the
    one message, None when nothing is to tell.

    outlook_of: gives the outlook, night by night; it is worked out when it is asked for.
    """

    site: str
    issued: str
    source: str
    alerts: tuple[Alert, ...]
    outlook_of: Callable[[], tuple[OutlookNight, ...]] = tuple
    advice: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    sky: tuple[SkyWarning, ...] = ()
    evening: Evening | None = None

    @cached_property
    def outlook(self) -> tuple[OutlookNight, ...]:
        """Every coming night at every place and threshold."""
        return self.outlook_of()
