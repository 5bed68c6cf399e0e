"""Why a plant goes when it goes, in sentences with numbers, in the units the person chose."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import numpy as np

from seasonplan import wording as w
from seasonplan.decisions.windows import SHORTEST_STAY_DAYS, WindowFinder
from seasonplan.model import Bearing, Edge, MoveDate, Place, PlaceWindow, Plant, Rules

TRIP_HIGH_C = 18.0
"""A day whose normal high reaches this, and the plant's comfort threshold plus TRIP_MARGIN_C, is warm enough for a day
outdoors. Our setting."""
TRIP_MARGIN_C = 4.0
TRIP_DAYS = 42
"""Fewer such days than this in a year are not worth the carrying. Our setting."""
COMFORT_MET_C = 0.25
"""Normal lows that miss comfort by less than this are not called cooler than it likes [°C]. Our setting."""
GUESS_WORDS = {"group": "a guess for its group", "memory": "a figure from memory"}
EXTRA_LIFTS_C = (1.0, 2.0, 3.0, 4.0)
"""How much warmer a place is tried when no place of the scenario gives a window [°C]."""


def out_sentence(bearing: Bearing, move: MoveDate, rules: Rules, place: str, odds: bool = True) -> str:
    """Why this is the day to go out, and how sure (odds: with the chances, which `move` holds as numbers)."""
    lead = {
        "comfort": _comfort_lead(bearing, move, rules, place, ("reaches", "begin")),
        "freeze": f"the chance of a freeze still to come has fallen to {w.percent(rules.freeze_risk)}",
        "harm": f"{_harm_lead(rules, 'still to come before midsummer')}: {_marks(bearing, rules)}",
        "season": "no night that would mark it is to be expected in this half of the year",
    }.get(move.decided_by, "")
    return _sentence(lead, _odds(move, "from then until midsummer") if odds else "", guess_words(move))


def back_sentence(bearing: Bearing, move: MoveDate, rules: Rules, place: str, odds: bool = True) -> str:
    """Why this is the day to come in, and how sure (odds: as in out_sentence)."""
    lead = {
        "comfort": _comfort_lead(bearing, move, rules, place, ("falls below", "end")),
        "freeze": f"the chance that a freeze has come by then reaches {w.percent(rules.freeze_risk)}",
        "harm": f"{_harm_lead(rules, 'between midsummer and then')}: {_marks(bearing, rules)}",
        "season": "the planning year ends",
    }.get(move.decided_by, "")
    return _sentence(lead, _odds(move, "from midsummer until then") if odds else "", guess_words(move))


def _sentence(*parts: str) -> str:
    return ". ".join(part for part in parts if part)


def guess_words(move: MoveDate) -> str:
    """What a guess behind a date costs, in one sentence; empty where it costs nothing."""
    if move.earliest is None or move.latest is None or (move.earliest == move.latest and not move.guess_may_forbid):
        return ""
    worst = ", or no season at all" if move.guess_may_forbid else ""
    return f"The date hangs on {GUESS_WORDS[move.guess]}: {w.day(move.earliest)} to {w.day(move.latest)}{worst}"


def _comfort_lead(bearing: Bearing, move: MoveDate, rules: Rules, place: str, verbs: tuple[str, str]) -> str:
    """verbs: what the normal low does there; what the mildest weeks do."""
    short_c = 0.0 if move.normal_low_c is None else bearing.comfort_c - move.normal_low_c
    if short_c <= COMFORT_MET_C:
        return (f"the normal night low there ({place}) {verbs[0]} {w.temperature(bearing.comfort_c, rules.units)}, "
                "where it likes to live")
    return (f"the six weeks with the mildest nights there ({place}) {verbs[1]}: normal low "
            f"{w.temperature(move.normal_low_c or 0.0, rules.units)}, {w.temperature_span(short_c, rules.units)} "
            "cooler than it likes")


def _harm_lead(rules: Rules, when: str) -> str:
    if rules.policy == "careful":
        return f"the chance of a night that marks it {when} keeps within {w.percent(rules.harm_risk)}"
    return f"nights that mark it {when} keep within the {w.trimmed(rules.carry_in_nights)} you carry in"


def _marks(bearing: Bearing, rules: Rules) -> str:
    """From which low on a night marks it."""
    fresh = f"{w.temperature(bearing.harm_c, rules.units)} or colder"
    if bearing.harm_c == bearing.hardened_c:
        return fresh
    return f"{fresh} when fresh from indoors, {w.temperature(bearing.hardened_c, rules.units)} after six weeks out"


def _odds(move: MoveDate, when: str) -> str:
    """How sure: the expected number of harmful nights and the chance of any."""
    if move.chance_of_harm is None or move.expected_cold_nights is None:
        return ""
    nights = move.expected_cold_nights
    how_many = "fewer than 0.1 nights" if nights < 0.05 else w.counted(round(nights, 1), "night")
    return f"Expected {when}: {how_many} that mark it, chance of any {w.percent(move.chance_of_harm)}"


def trade_sentence(out: MoveDate, back: MoveDate) -> str:
    """What the bolder policy buys: days more outdoors against nights carried in; empty where there is no trade."""
    if None in (out.careful, out.carry_in, back.careful, back.carry_in):
        return ""
    gained = (out.careful - out.carry_in).days + (back.carry_in - back.careful).days  # type: ignore[operator]
    if gained == 0:
        return "Careful and carry-in give the same dates"
    more = f"{w.counted(round(abs(gained) / 7, 1), 'week')} {'more' if gained > 0 else 'fewer'} outdoors"
    return (f"Careful: {w.day(out.careful)} to {w.day(back.careful)}; carry-in: "  # type: ignore[arg-type]
            f"{w.day(out.carry_in)} to {w.day(back.carry_in)}, {more}")  # type: ignore[arg-type]


def moves_reason(bearing: Bearing, out: PlaceWindow, back: PlaceWindow, rules: Rules, odds: bool = True) -> str:
    """The reason shown in the plan for a plant of these thresholds that goes out and comes back. odds: with the chances
    of its dates."""
    text = f"Out because {out_sentence(bearing, out.out, rules, out.place, odds)}. " \
           f"In because {back_sentence(bearing, back.back, rules, back.place, odds)}."
    text += _cooler_words(bearing, out, rules)
    trade = trade_sentence(out.out, back.back)
    return text + (f" {trade}." if trade else "")


def _cooler_words(bearing: Bearing, window: PlaceWindow, rules: Rules) -> str:
    """By how much nights stay cooler than it likes, where they do."""
    if window.cooler_c <= COMFORT_MET_C:
        return ""
    alone = "comfort" not in (window.out.decided_by, window.back.decided_by)
    return (f" Nights here stay up to {w.temperature_span(window.cooler_c, rules.units)} cooler than it likes (comfort "
            f"{w.temperature(bearing.comfort_c, rules.units)} on fewer than six weeks that harm allows)"
            f"{', so harm alone decides' if alone else ', so it has the six mildest'}.")


def all_year_reason(plant: Plant, rules: Rules) -> str:
    """Why a plant may stay outdoors through the year."""
    return (f"Nights at or below {w.temperature(plant.harm_hardened_c, rules.units)}, which would mark it once "
            "hardened, are too rare here to bring it in: it may live outdoors all year. Watch forecasts in the cool "
            "season all the same.")


def kept_in_reason(plant: Plant) -> str:
    """Why the catalogue keeps a plant indoors."""
    common = plant.taxon.common
    return f"{common[:1].upper()}{common[1:]} is better left indoors all year: the catalogue's own judgement."


def no_window_reason(plant: Plant, windows: Sequence[PlaceWindow], places: Sequence[Place], rules: Rules,
                     warmer: tuple[float, PlaceWindow] | None, trips: tuple[date, date] | None) -> tuple[str, str]:
    """(status, reason) of a plant that no place can have: why, and the best that can be done instead."""
    harm = _marks(plant.bearing, rules)
    if not windows:
        return "stays-in", "There is no outdoor place for it; add one to the scenario."
    names = w.listed(list(dict.fromkeys(x.place for x in windows)), 3)
    late = any(x.span is not Edge.NEVER for x in windows)
    if late:
        text, warmer = "Too little of its season is left to harden it off; it goes out next year.", None
    elif any(x.reason == "short" for x in windows):
        text = f"Nights allow it fewer than {SHORTEST_STAY_DAYS} days outdoors ({names}): not worth two moves."
    else:
        text = f"No date keeps the nights that mark it within the {rules.policy} policy ({names}): {harm}."
    if warmer is not None:
        lift, window = warmer
        span = window.span
        when = "all year" if isinstance(span, Edge) else f"from {w.day(span[0])} to {w.day(span[1])}"
        text += (f" A place {w.temperature_span(lift, rules.units)} warmer at night (a roofed porch against a heated "
                 f"wall) would have it {when}.")
    if trips is None and late:
        return "stays-in", text
    if trips is None:
        return "stays-in", text + " It stays in: give it the brightest window and do its yearly jobs on a mild day."
    return "day-trips", text + (f" Day trips suit it from {w.day(trips[0])} to {w.day(trips[1])}: out in shade on days "
                                f"above {w.temperature(TRIP_HIGH_C, rules.units)}, back in by evening.")


def day_trip_span(finder: WindowFinder, plant: Plant, tmax_c: np.ndarray,
                  begun: date | None = None) -> tuple[date, date] | None:
    """First and last date on which the normal high allows a day outdoors while the plant is there; None where there are
    too few.

    tmax_c: (365,) normal highs at the site [°C]. begun: the day on which the season's log begins, where it says so.
    """
    warm = tmax_c[finder.index] >= max(TRIP_HIGH_C, plant.comfort_c + TRIP_MARGIN_C)
    since = max(plant.arrived or date.min, begun or date.min)
    there = [since <= day < (plant.left or date.max) for day in finder.dates]
    days = np.flatnonzero(warm & there)
    if len(days) < TRIP_DAYS:
        return None
    return finder.dates[int(days[0])], finder.dates[int(days[-1])]

