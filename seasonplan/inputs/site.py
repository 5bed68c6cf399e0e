"""[site] and [rules] of scenario.toml."""

from __future__ import annotations

from functools import partial
from typing import Any

from seasonplan.dates import WEEKDAYS
from seasonplan.inputs import position
from seasonplan.inputs.gathering import Wrong, did_you_mean, one_of
from seasonplan.inputs.position import metres, read_position
from seasonplan.inputs.toml_lines import Section
from seasonplan.inputs.values import choice, described, flag, line_of_text, number, whole
from seasonplan.model import Rules, Site

SITE_KEYS = ("name", *position.KEYS, "station_elevation_m", "night_offset_c", "travel_minutes", "normals", "sd_kind",
             "record", "readings")
RULE_KEYS = ("year", "policy", "harm_risk", "carry_in_nights", "freeze_risk", "carries_per_harm", "move_days",
             "minutes_per_day", "children", "pets", "units", "calendar", "summer")
FULL_DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
OFFSET_C = (-15.0, 15.0)
YEARS = (1950, 2199)
LEAST_RISK, MOST_RISK = 0.001, 0.9
CARRIES = (1, 1000)
"""From a plant worth one carry to one that is never to be risked. Our setting."""


def read_site(section: Section) -> tuple[Site, list[str], bool]:
    """The site, what had to be assumed about it, and whether its town's country measures in °F and feet. Keys that are
    wrong leave a stand-in; their fault stands."""
    section.only(SITE_KEYS)
    where, notes = read_position(section)
    named = "name" in section.values or "town" not in section.values
    name = section.need("name", line_of_text, "a name for the place, in quotes") if named else where.town.split(",")[0]
    station = section.get("station_elevation_m", metres)
    offset = section.get("night_offset_c", partial(number, low=OFFSET_C[0], high=OFFSET_C[1], unit="°C"))
    travel = section.get("travel_minutes", partial(whole, low=0, high=720, unit="minutes"))
    return Site(name or "", where.latitude, where.longitude, where.elevation_m, where.timezone, station, offset or 0.0,
                travel or 0, where.town), notes, where.imperial


def read_rules(section: Section, imperial: bool = False) -> Rules:
    """[rules]; every key has a default. imperial: whether the site's town measures in °F and feet."""
    section.only(RULE_KEYS)
    usual = usual_rules(imperial)
    risk = partial(number, low=LEAST_RISK, high=MOST_RISK)
    given: dict[str, Any] = {
        "year": section.get("year", partial(whole, low=YEARS[0], high=YEARS[1])),
        "policy": section.get("policy", partial(choice, allowed=("careful", "carry-in"))),
        "harm_risk": section.get("harm_risk", partial(risk, hint=_maybe_percent)),
        "carry_in_nights": section.get("carry_in_nights", partial(number, low=0, high=60, unit="nights")),
        "freeze_risk": section.get("freeze_risk", partial(risk, hint=_maybe_percent)),
        "carries_per_harm": section.get("carries_per_harm", partial(number, low=CARRIES[0], high=CARRIES[1],
                                                                    unit="carries")),
        "move_days": section.get("move_days", week_days),
        "minutes_per_day": section.get("minutes_per_day", partial(whole, low=10, high=1440, unit="minutes")),
        "children": section.get("children", flag),
        "pets": section.get("pets", flag),
        "units": section.get("units", partial(choice, allowed=("metric", "imperial"))),
        "calendar": section.get("calendar", partial(choice, allowed=("by-day", "by-step"))),
        "summer": section.get("summer", partial(choice, allowed=("toward-sun", "in-shade"))),
    }
    return Rules(**{key: getattr(usual, key) if value is None else value for key, value in given.items()})


def usual_rules(imperial: bool) -> Rules:
    """The rules where nothing was given."""
    return Rules(units="imperial" if imperial else "metric")


def _maybe_percent(value: float) -> str:
    return "Is it in percent? 0.10 is 10 %." if 1 <= value <= 100 else ""


def week_days(value: Any) -> tuple[str, ...]:
    """Days of the week in the order of the week, as three letters."""
    allowed = f'a list of {one_of(WEEKDAYS)}, each in quotes; an empty list means any day'
    if not isinstance(value, list):
        cause = 'Write ["sat"] with brackets.' if isinstance(value, str) else ""
        raise Wrong(f"found {described(value)}", allowed, cause)
    days = []
    for day in value:
        word = day.strip().casefold() if isinstance(day, str) else ""
        if word in FULL_DAYS:
            word = word[:3]
        if word not in WEEKDAYS:
            raise Wrong(f"found {described(day)}", allowed, did_you_mean(word, WEEKDAYS))
        if word in days:
            raise Wrong(f"{word} stands there twice", allowed)
        days.append(word)
    return tuple(day for day in WEEKDAYS if day in days)
