"""The events of `watch`: one for each cold spell of a garden, from its first carry to the day on which the plants go
out again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from seasonplan.model import Alert, Scenario
from seasonplan.outputs import calendar_text as text
from seasonplan.outputs.calendar_events import EventContent, read_event, site_mark
from seasonplan.outputs.calendar_file import Block

LEAD = timedelta(hours=1)
"""A spell's event begins so long before the hour by which to carry."""
MORNING = time(9)
"""When a spell ends. Our setting."""


def spell_contents(alerts: Sequence[Alert], scenario: Scenario, name_site: bool) -> list[EventContent]:
    """Timed events, in UTC so that no reader needs a time zone. Alerts of nights gone by have no event of their own:
    that of their spell goes on or stays as history."""
    spells: dict[str, list[Alert]] = {}
    for alert in alerts:
        spells.setdefault(alert.spell or alert.uid, []).append(alert)
    return [_content(uid, sorted(those, key=lambda alert: (alert.night, alert.stays)), scenario, name_site)
            for uid, those in spells.items()]


def _content(uid: str, alerts: Sequence[Alert], scenario: Scenario, name_site: bool) -> EventContent:
    site = scenario.site
    shown, zone = site.name if name_site else "", ZoneInfo(site.timezone)

    def utc(day: date, clock: time) -> datetime:
        return datetime.combine(day, clock, zone).astimezone(UTC)

    start = utc(min(alert.began for alert in alerts), datetime.fromisoformat(min(a.by for a in alerts)).time()) - LEAD
    end = utc(max(alert.out_again or alert.night + timedelta(days=1) for alert in alerts), MORNING)
    rings = [datetime.fromisoformat(alert.alarm) for alert in alerts if alert.alarm]
    alarm = utc(min(rings).date(), min(rings).time()) - start if rings else None
    pots = {plant.name: plant.count for plant in scenario.plants}
    places = ", ".join(dict.fromkeys(alert.place for alert in alerts))
    frost = any(alert.frost for alert in alerts)
    return EventContent(uid, "alert", site_mark(site.name), start, max(end, start + LEAD),
                        text.title_line(text.spell_title(alerts, pots), shown),
                        text.spell_text(alerts, scenario.rules.units), text.place_line(places, shown),
                        ("Plants", "Frost" if frost else "Cold night"), alarm)


def ended(block: Block, today: date, timezone: str) -> EventContent | None:
    """A spell's event in a file that is over sooner than it said; None when it ends before today anyway, or cannot be
    read."""
    found, until = read_event(block), datetime.combine(today, MORNING, ZoneInfo(timezone)).astimezone(UTC)
    if found is None or not isinstance(found.end, datetime) or found.end <= until:
        return None
    over = found.summary if found.summary.startswith(text.OVER_TITLE) else text.OVER_TITLE + found.summary
    return replace(found, end=until, summary=text.title_line(over), alarm=None)
