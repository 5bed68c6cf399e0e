"""The one message of an evening and garden: what is to be done now, what stays in, what may go out again, what may
come.

Its pieces say what it asks for and announces: whoever has been told them all needs no message.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date

from seasonplan.model import Alert, Evening, Plant, SkyWarning
from seasonplan.weather.danger import Danger
from seasonplan.weather.rescue import Rescue, named, rescue_lines
from seasonplan.wording import counted, day, listed, percent, temperature


def evening_of(found: Danger, alerts: Sequence[Alert], rescued: Sequence[Rescue], before: Sequence[Alert],
               told_in: Mapping[str, Alert], sky: Sequence[SkyWarning]) -> Evening | None:
    """The message, None when there is nothing to tell. rescued: what to do tonight; told_in: by plant the alert that
    took it in on an earlier night."""
    tonight, units = found.coming.nights[0], found.plan.rules.units
    new = [rescue for rescue in rescued if rescue.kind != "stay"]
    stay = [rescue for rescue in rescued if rescue.kind == "stay"]
    back = list(_back(found, told_in, {rescue.plant.name for rescue in rescued}))
    ready = _still_outdoors([alert for alert in alerts if not alert.act], rescued)
    off = _called_off(alerts, before, tonight)
    lines = [*rescue_lines(new, units), *rescue_lines(stay, units), _figures(alerts, tonight, found.least, units),
             _back_line(back), *_ready_lines(ready, units), _off_line(off), *(warning.text for warning in sky)]
    pieces = [*(f"{tonight} in {rescue.plant.name}" for rescue in new),
              *(f"{rescue.plant.name} back {rescue.out_again}" for rescue in rescued),
              *(f"{tonight} out {plant.name}" for plant, _ in back), *(f"{alert.night} ready" for alert in ready),
              *(f"{night} off" for night in off), *(f"{warning.day} {warning.kind}" for warning in sky)]
    if not pieces:
        return None
    by = min((alert.by for alert in alerts if alert.act and not alert.stays), default=None)
    title = _title(new, stay, back, ready, off, sky, by)
    return Evening(tonight, title, tuple(filter(None, lines)), by, tuple(dict.fromkeys(pieces)))


def _still_outdoors(ready: Sequence[Alert], rescued: Sequence[Rescue]) -> list[Alert]:
    """What is announced, of the plants that are not in by then anyway."""
    away = {rescue.plant.name: rescue.out_again or date.max for rescue in rescued if rescue.kind != "cover"}
    left = [replace(alert, plants=tuple(name for name in alert.plants if away.get(name, date.min) <= alert.night))
            for alert in ready]
    return [alert for alert in left if alert.plants]


def _title(new: Sequence[Rescue], stay: Sequence[Rescue], back: Sequence[tuple[Plant, str]], ready: Sequence[Alert],
           off: Sequence[date], sky: Sequence[SkyWarning], by: str | None) -> str:
    if new:
        pots = sum(rescue.plant.count for rescue in new)
        what = {"wait": "leave {} in", "cover": "cover {}"}.get(new[0].kind if len({r.kind for r in new}) == 1 else "",
                                                              "carry {} to safety")
        return f"Tonight{f' by {by[11:]}' if by else ''}: {what.format(counted(pots, 'pot'))}"
    if stay:
        return f"Tonight {counted(sum(rescue.plant.count for rescue in stay), 'pot')} stay in"
    if back:
        return f"{counted(sum(plant.count for plant, _ in back), 'pot')} may go out again today"
    if ready:
        return f"Be ready: a cold night is likely on {day(ready[0].night)}"
    if off:
        return f"No longer expected: the cold night of {day(off[0])}"
    return sky[0].text.split(":")[0]


def _back(found: Danger, told_in: Mapping[str, Alert], inside: set[str]) -> Iterator[tuple[Plant, str]]:
    """(plant, place) of those taken in on an earlier night that are safe again where the plan has them tonight."""
    for k, plant in enumerate(found.plants):
        if plant.name in told_in and plant.name not in inside and not found.goes_in(k, 0):
            yield plant, found.coming.places[found.rows[k, 0]].name


def _back_line(back: Sequence[tuple[Plant, str]]) -> str:
    by_place: dict[str, list[Plant]] = {}
    for plant, place in back:
        by_place.setdefault(place, []).append(plant)
    return " ".join(f"May go out again today, to {place}: {named(those)}." for place, those in by_place.items())


def _figures(alerts: Sequence[Alert], tonight: date, least: float, units: str) -> str:
    acted = [alert for alert in alerts if alert.act]
    if not acted:
        return ""
    worst = max(acted, key=lambda alert: alert.chance)
    low = temperature(min(alert.low_c_at_place for alert in acted), units)
    source = "About" if worst.forecast_low_c is None else "By the forecast about"
    told = f"{source} {low} at the plants in the night of {day(tonight)}"
    if worst.chance < least:
        return f"{told}: milder, but not the night after it."
    return f"{told}; chance of harm up to {percent(worst.chance)}."


def _ready_lines(ready: Sequence[Alert], units: str) -> Iterator[str]:
    by_night: dict[date, list[Alert]] = {}
    for alert in ready:
        by_night.setdefault(alert.night, []).append(alert)
    for night, those in by_night.items():
        names = listed([name for alert in those for name in alert.plants], 6)
        low = temperature(min(alert.low_c_at_place for alert in those), units)
        yield (f"Be ready for {day(night)}, by the forecast about {low} at the plants: {names}. Nothing to do for it "
               "yet.")


def _off_line(off: Sequence[date]) -> str:
    nights = listed([day(night) for night in off])
    return f"No longer expected: the cold {'nights' if len(off) > 1 else 'night'} of {nights}." if off else ""


def _called_off(alerts: Sequence[Alert], before: Sequence[Alert], tonight: date) -> list[date]:
    """Nights that were announced and are no longer; not those over which the plants were to stay in anyway."""
    now = {alert.night for alert in alerts}
    away = {name: alert.out_again or date.max for alert in before if alert.act and alert.to for name in alert.plants}
    told = {alert.night for alert in before if not alert.act and alert.night >= tonight
            and any(away.get(name, date.min) <= alert.night for name in alert.plants)}
    return sorted(told - now)
