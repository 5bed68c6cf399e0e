"""What the person must know about the numbers of a report: where they come from, what is missing, what was learned."""

from __future__ import annotations

from collections.abc import Iterator

from seasonplan.climate.at_plant import loses_to_sky
from seasonplan.climate.sureness import nights_line
from seasonplan.model import Forecast, Plan
from seasonplan.weather.learning import UNHEARD, Learned
from seasonplan.weather.outlook import ComingNights
from seasonplan.weather.skill import error_sd_c, own_spread_c
from seasonplan.wording import counted, day, temperature_span, trimmed

OFFERED_AFTER_NIGHTS = 30
"""So many nights of readings make a number that can stand in scenario.toml. Our setting."""
TOLD_FROM_C = 0.15
"""A smaller bias is none to speak of [°C]. Our setting."""


def notes_of(plan: Plan, forecast: Forecast | None, coming: ComingNights, taught: Learned) -> tuple[str, ...]:
    """The sentences, in the order of their weight."""
    nights_told = nights_line(plan.scenario.normals, plan.climate, plan.rules.units)
    if forecast is None:
        return ("No forecast was asked for: chances are those of the night normals for the date, and only a night that "
                "is rather harmful than not raises an alert. A forecast tells far more.", nights_told)
    units, known = plan.rules.units, [night for night in coming.told if night is not None]
    notes = list(forecast.notes)
    if coming.told[0] is None:
        notes.append("The forecast says nothing about tonight; the night model answers for it.")
    if len(known) < len(forecast.nights):
        reach = f" after {day(known[-1].night)}" if known else ""
        notes.append(f"Forecast nights{reach} are too far ahead to say more than the normals.")
    notes += learned_notes(plan, taught, forecast.source)
    if known and not taught.nights:
        notes.append(_error_note(known[0].lead_days, own_spread_c(known[0]) is not None, units))
    if any(night.calm_clear is None for night in known) and any(map(loses_to_sky, plan.places)):
        notes.append("The forecast does not say which nights are clear and calm: their usual share is allowed for in "
                     "the open.")
    return (*notes, nights_told)


def _error_note(lead_days: int, own: bool, units: str) -> str:
    if own:
        return "How sure a night's low is comes from the source's own spread."
    spread = temperature_span(error_sd_c(lead_days) or 0.0, units)
    return (f"Forecasts of the first night's low miss by about {spread} (standard deviation), later ones by more; "
            "yours may do better or worse. Chances weigh the forecast against what is usual for the date.")


def learned_notes(plan: Plan, taught: Learned, source: str) -> Iterator[str]:
    """What the readings taught about the source, place by place, and what they offer for scenario.toml."""
    units = plan.rules.units
    for name, nights in taught.nights.items():
        lesson = taught.lessons[name]
        bias_c, _, spread = lesson.at(0)
        if nights <= UNHEARD:
            yield f"The thermometer at {name} has been read on {counted(nights, 'night')}: too few to learn from."
            continue
        misses = temperature_span(spread * (error_sd_c(0) or 0.0), units)
        warm = f"{temperature_span(abs(bias_c), units)} too {'warm' if bias_c < 0 else 'cold'}" \
            if abs(bias_c) >= TOLD_FROM_C else "right on average"
        yield (f"By your thermometer at {name}, {counted(nights, 'night')}, the lows of {source} are {warm} and miss "
               f"by about {misses}: allowed for.")
    if taught.evenings:
        yield "Your readings fit the forecasts by the evening's date and are taken so; the morning's is asked for."
    yield from _offers(plan, taught)


def _offers(plan: Plan, taught: Learned) -> Iterator[str]:
    """The garden's own numbers, with their uncertainty, once there are enough nights and they differ from the given."""
    read = {name: nights for name, nights in taught.nights.items() if nights >= OFFERED_AFTER_NIGHTS}
    shared, sd = taught.source_c
    if read and abs(shared) > 2 * sd:
        offset = trimmed(plan.site.night_offset_c + shared)
        yield (f"If that is your garden and not the source, night_offset_c = {offset} (± {trimmed(sd)}) under [site] "
               "says so to the plan as well.")
    lifts = {place.name: place.night_lift_c for place in plan.places}
    for name in read if len(read) > 1 else ():
        bias_c, bias_sd_c = taught.lifts[name]
        if abs(bias_c) > 2 * bias_sd_c:
            yield (f"Your readings put {name} at night_lift_c = {trimmed(lifts[name] + bias_c)} (± "
                   f"{trimmed(bias_sd_c)}); it stands at {trimmed(lifts[name])}.")
