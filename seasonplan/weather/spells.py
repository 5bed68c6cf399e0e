"""Cold spells: nights in a row, with at most one mild one between, are one event with one name, from the first carry to
the day on which the plants go out again; and the hour at which a calendar rings for them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from hashlib import sha256

from seasonplan.model import Alert
from seasonplan.wording import slug

RINGS_BEFORE = timedelta(hours=2)
"""How long before the hour by which to be done the calendar rings. Our setting."""
READ_AGAIN_WITHIN = timedelta(hours=1)
"""A calendar program that subscribes to the file may look at it no sooner than that: an alarm rings no earlier after
the file was written. Our setting."""
LATEST_RING = timedelta(minutes=15)
"""An alarm later than that before the hour is no help: the event then says "now". Our setting."""
RING_STEP_MIN = 5
FORGOTTEN_AFTER = timedelta(days=10)
"""Nobody knows where a plant stands that was taken in so long ago, without a word since. Our setting."""


def with_spells(alerts: Sequence[Alert], before: Sequence[Alert], site_name: str) -> tuple[Alert, ...]:
    """The alerts with the names of their spells. before: those of the last report, whose names go on."""
    names: dict[date, str] = {}
    known = {alert.spell: _span([other for other in before if other.spell == alert.spell])
             for alert in before if alert.spell}
    for nights in _runs(sorted({alert.night for alert in alerts})):
        first, last = nights[0] - timedelta(days=1), nights[-1] + timedelta(days=1)
        going_on = [name for name, (begin, end) in known.items() if begin <= last and end >= first]
        name = min(going_on) if going_on else spell_uid(site_name, nights[0])
        known.pop(name, None)
        names.update(dict.fromkeys(nights, name))
    return tuple(replace(alert, spell=names[alert.night]) for alert in alerts)


def _span(alerts: Sequence[Alert]) -> tuple[date, date]:
    """First night of a spell, and the day before the plants go out again."""
    ends = [alert.out_again - timedelta(days=1) if alert.out_again else alert.night for alert in alerts]
    return min(alert.night for alert in alerts), max(*ends, *(alert.night for alert in alerts))


def _runs(nights: Sequence[date]) -> list[list[date]]:
    found: list[list[date]] = []
    for night in nights:
        if found and night - found[-1][-1] <= timedelta(days=2):
            found[-1].append(night)
        else:
            found.append([night])
    return found


def spell_uid(site_name: str, first_night: date) -> str:
    """The uid of the spell that begins with a night."""
    mark = sha256(f"{site_name}\x1f{first_night}".encode("utf-8", "surrogatepass")).hexdigest()[:8]
    return f"watch-{first_night.isoformat()}-{slug(site_name, 'site')}-{mark}@seasonplan.invalid"


def still_in(before: Sequence[Alert], tonight: date) -> Mapping[str, Alert]:
    """By plant: the alert that told to take it in before tonight, where it was to go out again today at the soonest."""
    found: dict[str, Alert] = {}
    for alert in sorted((one for one in before if one.act and one.night < tonight), key=lambda one: one.night):
        if (alert.out_again or tonight) >= tonight and tonight - alert.night <= FORGOTTEN_AFTER:
            found.update(dict.fromkeys(alert.plants, alert))
    return found


def with_alarms(alerts: Sequence[Alert], written: datetime, before: Sequence[Alert] = ()) -> tuple[Alert, ...]:
    """The alerts with the hour at which a calendar rings for what must be carried. written: the local time at which the
    file is written, without a zone. before: those of the last report, whose hours stand in the file already."""
    earliest, known = _rounded_up(written + READ_AGAIN_WITHIN), {one.uid: one.alarm for one in before if one.alarm}
    found = []
    for alert in alerts:
        by = datetime.fromisoformat(alert.by)
        at = max(by - RINGS_BEFORE, earliest)
        rings = alert.act and not alert.stays and at <= by - LATEST_RING
        alarm = known.get(alert.uid) if alert.act else None
        found.append(replace(alert, alarm=alarm or (at.isoformat(timespec="minutes") if rings else None)))
    return tuple(found)


def _rounded_up(moment: datetime) -> datetime:
    up = -(moment.minute + (moment.second > 0)) % RING_STEP_MIN + (moment.second > 0)
    return (moment + timedelta(minutes=up)).replace(second=0, microsecond=0)
