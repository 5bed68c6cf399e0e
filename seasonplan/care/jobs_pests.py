"""Jobs about pests: look, set apart, wipe, spray on schedule, look again; and new plants, which stand apart first.

A pest that the list or the log tells of is treated from that day, wherever the plant stands: nothing waits for summer.
"""

from __future__ import annotations

from collections.abc import Iterable

from seasonplan.care.cases import Case
from seasonplan.care.figures import days, taxon_traits
from seasonplan.care.job import After, Due, Job, Scene, Told, joined
from seasonplan.care.logbook import RECHECK, TREAT
from seasonplan.care.treatment import EPISODE, SHARED_DAYS, Course, pest
from seasonplan.model import Plant


def treatment_spans(case: Case) -> list[tuple[int, int]]:
    """(first, last) day of every course of treatment: no feed, no cuttings then. A check that is put off from day to
    day does not make it longer."""
    most = days("recheck_most_days")
    return [(course.find.day, min(course.end, max((*course.sprays, *course.wipes), default=course.end) + most))
            for course in case.courses]


def within(day: int, spans: Iterable[tuple[int, int]]) -> bool:
    """Whether a day lies in one of the spans."""
    return any(first <= day <= last for first, last in spans)


def _inspect(case: Case) -> Iterable[Due]:
    if case.joined is None:
        before = days("inspect_before_out_days")
        yield Due(1, case.start - before, case.start + days("inspect_after_out_days"), case.start - 7)


def _isolate(case: Case) -> Iterable[Due]:
    for course in case.courses:
        if not course.goes_on and not case.is_over(course):
            yield Due(course.n(1), course.find.day, course.find.day, course.find.day, exact=True,
                      earlier=_is_earlier(case, course))


def _is_earlier(case: Case, course: Course) -> bool:
    """Whether a course of treatment began in the planning year before."""
    return course.find.day < case.season.first


def _wipe(case: Case) -> Iterable[Due]:
    for course in case.courses:
        for k, day in enumerate(course.wipes, 1):
            yield Due(course.n(k), day, day, day, exact=True, earlier=_is_earlier(case, course))


def _treat(case: Case) -> Iterable[Due]:
    for course in case.courses:
        for k, day in enumerate(course.sprays, 1):
            before = (After(TREAT, course.n(k - 1), course.gap),) if k > 1 else ()
            first = min(course.sprays[k - 2] + course.gap, day) if k > 1 else day
            yield Due(course.n(k), first, day + SHARED_DAYS, day, before, earlier=_is_earlier(case, course))


def _recheck(case: Case) -> Iterable[Due]:
    for course in case.courses:
        if course.recheck is not None:
            yield Due(course.n(1), course.recheck, course.recheck, course.recheck, exact=True,
                      earlier=_is_earlier(case, course))


def _new_plant(case: Case) -> Iterable[Due]:
    if (new := case.new_on) is not None:
        second, earlier = new + days("new_plant_second_look_days"), new < case.season.first
        yield Due(1, new, new + days("new_plant_first_look_days"), new, exact=True, earlier=earlier)
        yield Due(2, second, new + 2 * days("new_plant_apart_days"), second, (After("new-plant", 1, 4),),
                  earlier=earlier)


def _tell_inspect(scene: Scene) -> Told:
    return Told(f"Inspect {scene.who} for pests", joined([
        scene.where_they_stand,
        "Look under the leaves, in leaf joints, along the stems and under the rim of the pot, with a lens if you have "
        "one.",
        "Anything that moves, sticks or speckles: set the plant apart at once and log it "
        "(step found-scale, found-mealybug, found-spider-mite, found-aphid, found-whitefly or found-unknown)."]),
        "Pests travel with the plant; before it goes out they are easiest to keep to one pot.")


def _tell_isolate(scene: Scene) -> Told:
    return Told(f"Set {scene.who} apart", joined([
        "Stand each where its leaves touch no other plant, and use no shared saucer or tool.",
        "Look over their neighbours today: pests walk and drift to the next pot."]),
        "A pest is known on it: now, rather than on the next free day.")


_WIPE = ("Wipe leaves (both sides) and stems with a damp cloth; lift single scales and mealybugs off with a swab "
         "dipped in rubbing alcohol, tried on one leaf first.")


def _tell_wipe(scene: Scene) -> Told:
    return Told(f"Wipe the pests off {scene.who}", joined([
        scene.where_they_stand, _WIPE,
        "Put cloth and what comes off in the bin, not on the compost.",
        "Discarding a badly infested plant can be the right answer (UC-74172)."]),
        "The days are too hot for soap until later; what is wiped off need not be sprayed.")


def _pests_of(scene: Scene) -> dict[str, list[Plant]]:
    """The plants of a spray by their pests."""
    found: dict[str, list[Plant]] = {}
    for plan, keys in zip(scene.plans, scene.pests, strict=True):
        for key in keys:
            found.setdefault(key, []).append(plan.plant)
    return found


def _spray_line(scene: Scene, key: str, plants: list[Plant]) -> str:
    schedule, k = pest(key), (scene.n - 1) % EPISODE + 1
    gap = " to ".join(map(str, dict.fromkeys((schedule.gap_least, schedule.gap_most))))
    first = " Find out first which pest it is." if key == "unknown" else ""
    return (f"{schedule.name.capitalize()} ({k} of {schedule.count}, every {gap} days) on {scene.names(plants)}: look "
            f"for {schedule.look_for}.{first}")


def _tell_treat(scene: Scene) -> Told:
    by_pest = _pests_of(scene)
    k, planned = (scene.n - 1) % EPISODE + 1, max(pest(key).count for key in by_pest)
    tender = [p for p in scene.plants if p.taxon.soap_sensitive == "yes"]
    edible = [p for p in scene.plants if "edible" in taxon_traits(p.taxon.key)]
    what = pest(next(iter(by_pest))).name if len(by_pest) == 1 else "pests"
    return Told(f"Treat {scene.who} for {what} ({k} of {planned})", joined([
        *(_spray_line(scene, key, plants) for key, plants in by_pest.items()),
        scene.where_they_stand,
        f"{_WIPE} What comes off goes in the bin." if k == 1 else "",
        "Wet every leaf, above and below, and every stem with a labelled insecticidal soap, at label strength; it acts "
        "only while it is wet. The label decides over everything said here.",
        f"Soap can mark {scene.names(tender)}: there only what its label allows for it, else wiping by hand." if tender
        else "",
        f"Only a product whose label names food plants on {scene.names(edible)}." if edible else "",
        "In shade, early or late, when no bees fly; leave it there until dry.",
        "Granules for the soil do not control mites." if "spider-mite" in by_pest else "",
        "Discarding a badly infested plant can be the right answer (UC-74172)." if k == 1 else "",
        "Log a check that finds nothing as pest-clear: the sprays that are left fall away."]),
        "Soap leaves nothing behind once dry, so what hatches needs the next spray. The label's interval goes first.")


def _tell_recheck(scene: Scene) -> Told:
    return Told(f"Check {scene.who} again for pests", joined([
        scene.where_they_stand,
        "Look everywhere the pest sat, with a lens. None: log pest-clear and let the plant rejoin the others.",
        "Some left: log what you found (found-scale and so on) and the sprays go on from that day."]),
        "The last spray is a few days back: what survived shows now.")


def _tell_new(scene: Scene) -> Told:
    weeks = days("new_plant_apart_days") // 7
    look = ("Leaves above and below, stems, leaf joints, drain holes, with a lens. Found something: log it "
            "(found-scale ...) and plan again.")
    if scene.n == 1:
        return Told(f"Set the new {scene.who} apart and look it over", joined([
            f"A room or window of its own, no shared saucer or tool, for one to {weeks} weeks.", look]),
            "What a new plant brings shows within two weeks (MSU-ISO); until then it stands apart.")
    return Told(f"Look over the new {scene.who} and end the time apart", joined([
        look, "Clean: it joins the others, and its way outdoors begins if enough of the season is left."]),
        "One to two weeks apart are over (MSU-ISO).")


JOBS = [
    Job("new-plant", "look", _new_plant, _tell_new, "MSU-ISO", 5, 2, safety=True, late_days=30, any_time=True),
    Job("isolate", "carry", _isolate, _tell_isolate, "MSU-ISO; ISU-1994", 0, 3, safety=True, carried=True,
        episodes=True, late_days=60, any_time=True),
    Job("hand-wipe", "look", _wipe, _tell_wipe, "ISU-1994; UC-74172", 5, 6, safety=True,
        episodes=True, any_time=True, cautions=("alcohol", "sap"), follows=("isolate",), once=("gloves_pair",
        "rubbing_alcohol_bottle")),
    Job(TREAT, "spray", _treat, _tell_treat, "CLEM-SOAP; MTL-SOAP; data/pests.csv", 10, 4, no_sun=True,
        soap=True, safety=True, series=True, episodes=True, any_time=True, cautions=("spray", "granules"),
        follows=("isolate",),
        once=("gloves_pair", "labelled_soap_bottle", "rubbing_alcohol_bottle")),
    Job(RECHECK, "look", _recheck, _tell_recheck, "UKY-SOAP (common practice, no source)", 5, 2, safety=True,
        episodes=True, any_time=True, follows=(TREAT,)),
]
LOOK = [
    Job("inspect", "look", _inspect, _tell_inspect, "CLEM-1454; our setting (when)", 5, 1.5, safety=True, whole=True,
        late_days=7),
]
"""Placed after the other looks, so that it joins one of them."""
