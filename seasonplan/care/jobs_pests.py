"""Jobs about pests: look, set apart, wipe, spray on schedule, look again."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial

from seasonplan.care.cases import Case
from seasonplan.care.figures import days, taxon_traits
from seasonplan.care.job import After, Due, Job, Scene, Told, joined
from seasonplan.care.logbook import is_listed, pest_names
from seasonplan.care.treatment import Course, Pest, courses, day_finders, kind_of, next_spray_day, pest


def courses_of(case: Case) -> list[Course]:
    """The courses of treatment that the log calls for."""
    if not case.finds:
        return []
    return courses(case.finds, case.clears, case.treated, *day_finders(case.season), known_before=known(case))


def known(case: Case) -> bool:
    """Whether plants.csv itself says that it has a pest that the log does not report as found this year."""
    return is_listed(case.plant.pests, case.finds)


def _course_lasts(schedule: Pest) -> int:
    """The most days from the earliest day of a course's first spray to its last check."""
    return days("treat_first_within_days") + (schedule.count - 1) * schedule.gap_most + days("recheck_most_days")


def _first_spray(case: Case) -> int:
    """When the course for a pest of plants.csv begins: outdoors, or before that where the stay is too short for it;
    never on days too hot for soap."""
    first = min(case.start + 1, case.end - _course_lasts(pest(case.plant.pests)))
    return next_spray_day(case.season, first) or first


def treatment_spans(case: Case) -> list[tuple[int, int]]:
    """(first, last) day of every course of treatment: no feed, no cuttings then."""
    spans = [(c.find.day, c.recheck or c.find.day) for c in courses_of(case)]
    if known(case):
        spans.append((_apart_from(case), _first_spray(case) + _course_lasts(pest(case.plant.pests))))
    return spans


def within(day: int, spans: Iterable[tuple[int, int]]) -> bool:
    """Whether a day lies in one of the spans."""
    return any(first <= day <= last for first, last in spans)


def _apart_from(case: Case) -> int:
    """From when a plant with a pest named in plants.csv stands apart."""
    return min(case.start - days("isolate_before_out_days"), _first_spray(case))


def _inspect(case: Case) -> Iterable[Due]:
    start = case.start
    before = days("inspect_before_out_days")
    yield Due(1, start - before, start + days("inspect_after_out_days"), start - before // 2)


def _isolate(case: Case) -> Iterable[Due]:
    if known(case):
        day = _apart_from(case)
        yield Due(1, day, day + 6, day, exact=True)
    for course in courses_of(case):
        yield Due(course.n(1), course.find.day, course.find.day, course.find.day, exact=True)


def _wipe(case: Case) -> Iterable[Due]:
    if known(case):
        day = _apart_from(case)
        yield Due(1, day, day + 13, day, (After("isolate", 1, 0),))
    for course in courses_of(case):
        for k, day in enumerate(course.wipes, 1):
            yield Due(course.n(k), day, day, day, exact=True)


def _treat(key: str, case: Case) -> Iterable[Due]:
    schedule = pest(key)
    if case.plant.pests == key and known(case):
        first = _first_spray(case)
        last = first + days("treat_first_within_days")
        yield Due(1, first, last, first, (After("isolate", 1, 0),))
        for n in range(2, schedule.count + 1):
            gaps = (After(kind_of(key), n - 1, schedule.gap_least, schedule.gap_most, needed=True),)
            yield Due(n, first, case.season.last, first, gaps)
    for course in courses_of(case):
        if course.find.pest == key:
            for k, day in enumerate(course.sprays, 1):
                yield Due(course.n(k), day, day, day, exact=True)


def _recheck(case: Case) -> Iterable[Due]:
    if known(case):
        schedule = pest(case.plant.pests)
        gap = After(kind_of(schedule.key), schedule.count, days("recheck_least_days"), days("recheck_most_days"), True)
        yield Due(1, case.season.first, case.season.last, case.season.first, (gap,))
    for course in courses_of(case):
        if course.recheck is not None:
            yield Due(course.n(1), course.recheck, course.recheck, course.recheck, exact=True)


def _tell_inspect(scene: Scene) -> Told:
    return Told(f"Inspect {scene.who} for pests", joined([
        "Look under the leaves, in leaf joints, along the stems and under the rim of the pot, with a lens if you have "
        "one.",
        "Anything that moves, sticks or speckles: set the plant apart at once and log it "
        "(step found-scale, found-mealybug, found-spider-mite, found-aphid, found-whitefly or found-unknown)."]),
        "Pests travel with the plant; before it goes out they are easiest to keep to one pot.")


def _tell_isolate(scene: Scene) -> Told:
    return Told(f"Set {scene.who} apart", joined([
        "Stand it where its leaves touch no other plant, and use no shared saucer or tool.",
        "Look over its neighbours today: pests walk and drift to the next pot."]),
        "A pest is known on it: now, rather than on the next free day.")


def _tell_wipe(scene: Scene) -> Told:
    return Told(f"Wipe the pests off {scene.who}", joined([
        "Wipe leaves (both sides) and stems with a damp cloth; lift single scales and mealybugs off with a swab dipped "
        "in rubbing alcohol, tried on one leaf first.",
        "Put cloth and what comes off in the bin, not on the compost.",
        "Discarding a badly infested plant can be the right answer (UC-74172)."]),
        "What is wiped off need not be sprayed; sprays miss what sits in folds.")


def _tell_treat(key: str, scene: Scene) -> Told:
    schedule = pest(key)
    k, planned = (scene.n - 1) % 10 + 1, schedule.count
    tender = [p for p in scene.plants if p.taxon.soap_sensitive == "yes"]
    edible = [p for p in scene.plants if "edible" in taxon_traits(p.taxon.key)]
    gap = " to ".join(map(str, dict.fromkeys((schedule.gap_least, schedule.gap_most))))
    return Told(f"Treat {scene.who} for {schedule.name} ({k} of {planned})", joined([
        f"Look for {schedule.look_for}.",
        "Find out first which pest it is." if key == "unknown" else "",
        "Wet every leaf, above and below, and every stem with a labelled insecticidal soap, at label strength; it acts "
        "only while it is wet. The label decides over everything said here.",
        f"Soap can mark {scene.names(tender)}: there only what its label allows for it, else wiping by hand." if tender
        else "",
        f"Only a product whose label names food plants on {scene.names(edible)}." if edible else "",
        "In shade, early or late, when no bees fly; leave it there until dry.",
        "Granules for the soil do not control mites." if key == "spider-mite" else "",
        "Log a check that finds nothing as pest-clear: the sprays that are left fall away."]),
        f"Spray {k} of {planned}, every {gap} days, because soap leaves nothing behind once dry. The label's interval "
        "goes first.")


def _tell_recheck(scene: Scene) -> Told:
    return Told(f"Check {scene.who} again for pests", joined([
        "Look everywhere the pest sat, with a lens. None: log pest-clear and let the plant rejoin the others.",
        "Some left: log what you found (found-scale and so on) and the sprays go on from that day."]),
        "The last spray is a few days back: what survived shows now.")


JOBS = [
    Job("inspect", "look", _inspect, _tell_inspect, "CLEM-1454; our setting (when)", 5, 1.5, safety=True),
    Job("isolate", "carry", _isolate, _tell_isolate, "MSU-ISO; ISU-1994", 0, 3, safety=True, carried=True),
    Job("hand-wipe", "look", _wipe, _tell_wipe, "ISU-1994; UC-74172", 5, 6, where="shade", safety=True,
        cautions=("alcohol", "sap"), follows=("isolate",), once=("gloves_pair", "rubbing_alcohol_bottle")),
    *(Job(f"treat-{key}", "spray", partial(_treat, key), partial(_tell_treat, key),
          "CLEM-SOAP; MTL-SOAP; data/pests.csv", 10, 3, where="shade", no_sun=True, safety=True, series=True,
          cautions=("spray", "granules"), follows=("isolate",), once=("gloves_pair", "labelled_soap_bottle"))
      for key in pest_names()),
    Job("pest-recheck", "look", _recheck, _tell_recheck, "UKY-SOAP (common practice, no source)", 5, 2, safety=True,
        follows=tuple(f"treat-{key}" for key in pest_names())),
]
