"""Jobs about feeding: start, repeat on common feeding days, less in autumn, stop.

Feeding days come every two weeks for the whole collection; each plant joins on the days its own feeding season holds:
not before new growth, not within four weeks after repotting, not while it is treated, succulents twice a year.
"""

from __future__ import annotations

from collections.abc import Iterable

from seasonplan import wording as w
from seasonplan.care.cases import SUCCULENTS, Case
from seasonplan.care.figures import days
from seasonplan.care.job import After, Due, Job, Scene, Told, joined
from seasonplan.care.jobs_pests import treatment_spans, within
from seasonplan.care.season import Season

DAY_BEFORE, DAYS_AFTER = 3, 4
"""A feeding day may move by so many days to fall on a work day. Our setting."""
APART_DAYS = 8
"""The first common feeding day after a plant's own first feed is at least so far off. Our setting."""


def _after_repot() -> After:
    return After("repot", 1, days("feed_after_repot_days") + 1)


def feeding_span(case: Case) -> tuple[int, int] | None:
    """(first, last) day of a plant's feeding season; None when it is too short to be worth it."""
    wait = days("feed_wait_after_out_days") if case.goes_out else 0
    first = case.start + wait
    if case.last_repotted is not None:
        first = max(first, case.last_repotted + days("feed_after_repot_days") + 1)
    last = case.end - (days("feed_stop_before_in_days") if case.back is not None else 0)
    return (first, last) if last - first >= days("feed_shortest_days") else None


def feeding_days(season: Season) -> list[int]:
    """Days on which the collection is fed, every two weeks from three weeks after the first plants go out."""
    wait = days("feed_wait_after_out_days")
    first = season.start if season.outside is None else max(season.outside[0], season.start) + wait
    return list(range(first + days("feed_gap_days"), season.last, days("feed_gap_days")))


def _feed_start(case: Case) -> Iterable[Due]:
    span = feeding_span(case)
    if span:
        treated = treatment_spans(case)
        first = next((d for d in range(*span) if not within(d, treated)), span[1])
        if case.is_succulent:
            first = max(first, case.season.month_start(days("succulent_feed_month_one")))
        if first < span[1]:
            yield Due(1, first, span[1] - 1, first, (_after_repot(),), optional=True)


def _feed(case: Case) -> Iterable[Due]:
    span = feeding_span(case)
    if not span:
        return
    numbered = [(n, day) for n, day in enumerate(feeding_days(case.season), 1) if span[0] <= day < span[1] - DAYS_AFTER]
    if case.is_succulent:
        second = case.season.month_start(days("succulent_feed_month_two"))
        numbered = [(n, day) for n, day in numbered if day >= second][:1]
    less = case.end - days("feed_less_before_in_days") if case.back is not None else span[1]
    treated = treatment_spans(case)
    after = (After("feed-start", 1, APART_DAYS, needed=True), _after_repot())
    for n, day in numbered:
        if (day < less or n % 2 == 0) and not within(day, treated):
            yield Due(n, day - DAY_BEFORE, day + DAYS_AFTER, day, after, optional=True)


def _feed_less(case: Case) -> Iterable[Due]:
    span = feeding_span(case)
    if span and case.back is not None and not case.is_succulent:
        day = case.back - days("feed_less_before_in_days")
        if span[0] + days("feed_gap_days") <= day:
            yield Due(1, day, day + 6, day, optional=True)


def _feed_stop(case: Case) -> Iterable[Due]:
    span = feeding_span(case)
    if span:
        yield Due(1, span[1], span[1] + 6, span[1], optional=True)


_HOW = "Water first, feed half an hour later, at half the label's rate (UNL-PATIO; TMG-FEED)."


def _succulents(scene: Scene) -> str:
    dry = [p for p in scene.plants if p.taxon.group in SUCCULENTS]
    return f"Weaker still for {scene.names(dry)}: cacti and succulents get two feeds a year." if dry else ""


def _edible(scene: Scene) -> str:
    return "On anything to be eaten only what its label allows." if any(
        p.taxon.group in ("citrus", "herb-like") for p in scene.plants) else ""


def _tell_feed_start(scene: Scene) -> Told:
    return Told(f"Start feeding {scene.who} {scene.at}".rstrip(), joined([_HOW, _succulents(scene), _edible(scene)]),
                "New growth shows by now; a plant just moved or repotted is left alone first (MBG-FEED).")


def _tell_feed(scene: Scene) -> Told:
    where = [f"{w.counted(n, 'pot')} {place}" for place, n in scene.stands[:6]]
    return Told(f"Feed {scene.who}", joined([
        _HOW, f"They stand: {w.listed(where)}." if len(where) > 1 else "",
        "Give each pot a quarter turn while you are there.", _succulents(scene), _edible(scene)]),
        "Half strength every two weeks rather than full strength monthly (TMG-FEED). Left out: plants repotted in the "
        "last four weeks, under treatment, or past their last feed.")


def _tell_feed_less(scene: Scene) -> Told:
    return Told(f"Feed {scene.who} less from now on", "Only on every second feeding day from here.",
                "About eight weeks before they come in: soft growth made now is lost indoors.")


def _tell_feed_stop(scene: Scene) -> Told:
    return Told(f"Stop feeding {scene.who}", "No more feed until new growth next spring.",
                "Four to six weeks before coming in (unconfirmed; some feed once more as nights cool). In low winter "
                "light they may need none (MBG-FEED).")


JOBS = [
    Job("feed-start", "feed", _feed_start, _tell_feed_start, "MBG-FEED; UNL-PATIO; TMG-FEED", 10, 1, cautions=("feed",),
        follows=("repot",), once=("plant_food_bottle",)),
    Job("feed", "feed", _feed, _tell_feed, "TMG-FEED; UMD-OUT", 10, 1, whole=True, cautions=("feed",),
        follows=("repot", "feed-start"), once=("plant_food_bottle",)),
    Job("feed-less", "note", _feed_less, _tell_feed_less, "our setting"),
    Job("feed-stop", "note", _feed_stop, _tell_feed_stop, "memory"),
]
