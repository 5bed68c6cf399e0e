"""Jobs about feeding: start, repeat on common feeding days, stop.

Feeding begins with spring growth, by the length of the day and, outdoors, by warmth, wherever a plant stands. It comes
every two weeks for the whole collection, every second time only if there is time; each plant joins on the days its own
feeding season holds: not in its first weeks outdoors, not within four weeks after repotting, not while it is treated,
succulents twice a year; and nobody is told to start who would stop within six weeks.
"""

from __future__ import annotations

from collections.abc import Iterable

from seasonplan.care.cases import SUCCULENTS, Case
from seasonplan.care.figures import days, figure
from seasonplan.care.job import After, Due, Job, Scene, Told, joined
from seasonplan.care.jobs_autumn import comes_in
from seasonplan.care.jobs_pests import treatment_spans, within
from seasonplan.care.season import Season

DAY_BEFORE, DAYS_AFTER = 3, 4
"""A feeding day may move by so many days to fall on a work day. Our setting."""
APART_DAYS = 8
"""The first common feeding day after a plant's own first feed is at least so far off. Our setting."""


def _after_repot() -> After:
    return After("repot", 1, days("feed_after_repot_days") + 1, pause=True)


def feeding_span(case: Case) -> tuple[int, int] | None:
    """(first, last) day of a plant's feeding season; None when it is too short to be worth it."""
    first = max(case.season.growth, case.joined or 0)
    while case.outdoors(first) and case.season.high_c(first) < figure("feed_high_c") and first < case.season.midsummer:
        first += 1
    if case.last_repotted is not None:
        first = max(first, case.last_repotted + days("feed_after_repot_days") + 1)
    back = comes_in(case)
    last = case.end if back is None else back - days("feed_stop_before_in_days")
    return (first, last) if last - first > 7 * days("feed_least_weeks") else None


def feeding_days(season: Season) -> list[int]:
    """Days on which the collection is fed after its first feed, every two weeks."""
    return list(range(season.growth + days("feed_gap_days") + season.later_days, season.last, days("feed_gap_days")))


def _pauses(case: Case) -> list[tuple[int, int]]:
    """(first, last) day of every time without feed: treatment, and the first weeks outdoors."""
    out = [] if case.out is None else [(case.out, case.out + days("feed_wait_after_out_days"))]
    return [*treatment_spans(case), *out]


def _feed_start(case: Case) -> Iterable[Due]:
    span = feeding_span(case)
    if span:
        pauses, latest = _pauses(case), span[1] - 7 * days("feed_least_weeks") - 1
        first = next((d for d in range(span[0], latest + 1) if not within(d, pauses)), latest + 1)
        if case.is_succulent:
            first = max(first, case.season.month_start(days("succulent_feed_month_one")))
        if first <= latest:
            common_days = (case.season.growth + case.season.later_days, *feeding_days(case.season))
            common = next((d for d in common_days if d >= first), first)
            yield Due(1, first, latest, min(common, latest), (_after_repot(),), optional=True, barred=tuple(pauses))


def _feed(case: Case) -> Iterable[Due]:
    span = feeding_span(case)
    if not span:
        return
    numbered = [(n, day) for n, day in enumerate(feeding_days(case.season), 1) if span[0] <= day < span[1] - DAYS_AFTER]
    if case.is_succulent:
        second = case.season.month_start(days("succulent_feed_month_two"))
        numbered = [(n, day) for n, day in numbered if day >= second][:1]
    back = comes_in(case)
    less = span[1] if back is None else back - days("feed_less_before_in_days")
    pauses, after = _pauses(case), (After("feed-start", 1, APART_DAYS, needed=True), _after_repot())
    for n, day in numbered:
        if (day < less or n % 2 == 0) and not within(day, pauses):
            yield Due(n, day - DAY_BEFORE, day + DAYS_AFTER, day, after, optional=True, barred=tuple(pauses),
                      spare=n % 2 == 1)


def _feed_stop(case: Case) -> Iterable[Due]:
    span = feeding_span(case)
    if span:
        yield Due(1, span[1], span[1] + 6, span[1], (After("feed-start", 1, 0, needed=True),))


_HOW = "Water first, feed half an hour later, at half the label's rate (UNL-PATIO; TMG-FEED)."


def _succulents(scene: Scene) -> str:
    dry = [p for p in scene.plants if p.taxon.group in SUCCULENTS]
    return f"Weaker still for {scene.names(dry)}: cacti and succulents get two feeds a year." if dry else ""


def _edible(scene: Scene) -> str:
    return "On anything to be eaten only what its label allows." if any(
        p.taxon.group in ("citrus", "herb-like") for p in scene.plants) else ""


def _tell_feed_start(scene: Scene) -> Told:
    return Told(f"Start feeding {scene.who} {scene.at}".rstrip(), joined([
        scene.where_they_stand, _HOW, _succulents(scene), _edible(scene)]),
        "Days are longer than nights and new growth shows; a plant just moved or repotted is left alone first "
        "(MBG-FEED).")


def _tell_feed(scene: Scene) -> Told:
    return Told(f"Feed {scene.who}", joined([
        scene.where_they_stand, _HOW, "Give each pot a quarter turn while you are there.", _succulents(scene),
        _edible(scene)]),
        "Half strength every two weeks rather than full strength monthly (TMG-FEED), less often from eight weeks "
        "before they come in. Left out: plants repotted in the last four weeks, new outdoors, under treatment, or past "
        "their last feed.")


def _tell_feed_stop(scene: Scene) -> Told:
    return Told(f"Stop feeding {scene.who}", "No more feed until new growth next spring.",
                "Four to six weeks before coming in (unconfirmed; some feed once more as nights cool). In low winter "
                "light they may need none (MBG-FEED).")


JOBS = [
    Job("feed-start", "feed", _feed_start, _tell_feed_start, "MBG-FEED; UNL-PATIO; TMG-FEED; design agreement (six "
                                                             "weeks)",
        10, 1, cautions=("feed",), once=("plant_food_bottle",)),
    Job("feed", "feed", _feed, _tell_feed, "TMG-FEED; UMD-OUT", 10, 1, whole=True, cautions=("feed",),
        follows=("feed-start",), once=("plant_food_bottle",)),
    Job("feed-stop", "note", _feed_stop, _tell_feed_stop, "memory", whole=True),
]
