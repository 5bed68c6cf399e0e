"""Jobs of the way back: look over, hose, soak and spray twice, last check, keep apart; less light, water and feed."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from seasonplan import wording as w
from seasonplan.care.cases import Case
from seasonplan.care.figures import days, figure, taxon_traits
from seasonplan.care.job import After, Cannot, Due, Job, Scene, Told, joined
from seasonplan.model import Plant

DARKER = 0.8
"""A stop with less than this share of the light of the one before it goes down in light. Our setting."""
EARLIER_DAYS = 14
"""By so much earlier a plant is looked over where nobody is there later. Our setting."""
STICKY_PESTS = ("scale", "mealybug")


def comes_in(case: Case) -> int | None:
    """The day it comes in for the winter; None where it does not, or has left by then."""
    return case.back if case.back is not None and (case.gone is None or case.back < case.gone) else None


def _is_sprayed(plant: Plant, traits: frozenset[str]) -> bool:
    return plant.taxon.soap_sensitive != "yes" and "no-wash" not in traits


def _descend(case: Case) -> Iterable[Due]:
    day = _descent_day(case)
    if day is not None and comes_in(case) is not None:
        yield Due(1, day, day + days("before_in_inspect_early_days"), day)


def _descent_day(case: Case) -> int | None:
    """The day of the first stop after midsummer that is darker than the one before it."""
    route = case.plan.route
    return next((now.date.toordinal() for before, now in zip(route, route[1:], strict=False)
                 if now.date.toordinal() > case.season.midsummer and now.mean_dli < DARKER * before.mean_dli), None)


def _inspect_before_in(case: Case) -> Iterable[Due | Cannot]:
    back = comes_in(case)
    if back is None:
        return
    late = back - days("before_in_inspect_late_days")
    first, last = _with_work(case, back - days("before_in_inspect_early_days"), late)
    yield Due(1, first, last, late - days("before_in_spray_gap_days"))
    open_until = max((c.recheck for c in case.courses if c.recheck and c.find.day < back), default=0)
    if open_until > back:
        day, until = (w.day(date.fromordinal(day)) for day in (back, open_until))
        yield Cannot(f"the nights send it in on {day}, before the last check of its treatment on {until}",
                     "give it a room of its own, apart from all others, and go on with the treatment there")


def _with_work(case: Case, first: int, last: int) -> tuple[int, int]:
    """The days of a look or spray before coming in; where none of them is a day of work (nobody is there), those from
    before it until the way in."""
    if case.season.workdays_in(first, last, past=True):
        return first, last
    return first - EARLIER_DAYS, max(last, (case.back or last) - 1)


def _treat_before_in(case: Case) -> Iterable[Due]:
    back = comes_in(case)
    if back is None or not _is_sprayed(case.plant, case.traits):
        return
    early = back - days("before_in_inspect_early_days")
    if any(course.recheck is not None and course.recheck >= early and course.find.day < back
           for course in case.courses):
        return
    first, last = _with_work(case, back - days("before_in_spray_two_early_days"),
                             back - days("before_in_spray_two_late_days"))
    yield Due(1, first, last, back - days("before_in_spray_two_best_days"),
              (After("inspect-before-in", 1, days("before_in_spray_gap_days"), soft=True),))


def quarantine_span(case: Case) -> int:
    """Days to keep it apart after coming in: longer after scale or mealybug."""
    seen = {find.pest for find in case.finds}
    return days("quarantine_scale_days" if seen & set(STICKY_PESTS) else "quarantine_days")


def _quarantine(case: Case) -> Iterable[Due]:
    if (back := comes_in(case)) is not None:
        yield Due(1, back, back, back, exact=True)


def _quarantine_end(case: Case) -> Iterable[Due]:
    if (back := comes_in(case)) is not None:
        day = back + quarantine_span(case)
        yield Due(1, day, day + days("quarantine_end_within_days"), day)
    if case.came_in is not None:                      # before this planning year began
        day = case.came_in + quarantine_span(case)
        yield Due(2, day, day + days("quarantine_end_within_days"), day, earlier=True)


def _tell_descend(scene: Scene) -> Told:
    return Told("From here on down in light, never back into more sun", joined([
        "Each plant's moves say where it goes next; no move back into more sun for any of them."]),
        "Sun to light shade to heavy shade to indoors in a week (CLEM-1454), six weeks for figs and other "
        "leaf-droppers (JEH-5-102): leaves that meet the dark too fast are dropped.")


def _tell_inspect_in(scene: Scene) -> Told:
    sprayed = [plan.plant for plan in scene.plans if _is_sprayed(plan.plant, taxon_traits(plan.plant.taxon.key))]
    bare = [plant for plant in scene.plants if plant not in sprayed]
    hot = scene.season.too_hot(scene.day)
    soaked = any(plant.taxon.moisture != "dry" for plant in scene.plants)
    dry = [plant for plant in scene.plants if plant.taxon.moisture == "dry"]
    what = "Look over, hose and spray" if sprayed and not hot else "Look over and hose"
    return Told(f"{what} {scene.who} before coming in", joined([
        scene.where_they_stand,
        "Leaves above and below, stems, leaf joints, under the rim; lift each from its pot and look at roots and drain "
        "holes for insects, slugs and ants (CLEM-1454).",
        "Rinse the leaves with plain water, over and under.",
        f"Soak each pot to the rim in lukewarm water for about {figure('soak_minutes'):g} minutes, several at once in "
        f"a tub, then drain (KSU-IN){f'; not {scene.names(dry)}' if dry else ''}." if soaked else "",
        "Then labelled insecticidal soap or horticultural oil, at label strength, every leaf above and below; leave "
        "there until dry." if sprayed and not hot else
        "Too hot for soap: wipe the leaves with a damp cloth at dawn instead." if sprayed else "",
        f"No soap on {scene.names(bare)}: look twice." if bare else "",
        "Found something: log it (found-scale, found-mealybug ...) and plan again; moving in waits for the "
        "treatment."]),
        "Two weeks before coming in there is still time to treat. Spray, wait several days, spray again (CLEM-1454).")


def _tell_treat_in(scene: Scene) -> Told:
    return Told(f"Spray {scene.who} again before coming in", joined([
        scene.where_they_stand,
        "Labelled insecticidal soap or horticultural oil, at label strength, every leaf above and below, every stem.",
        "In shade, early or late, when no bees fly; leave there until dry."]),
        "The second spray meets what hatched since the first, best 2 to 3 days before coming in (CLEM-1454); of your "
        "days this is the nearest.")


LAST_CHECK = ("Before the door a last look under leaves, in joints and at the drain holes. Anything alive: it does "
              "not come in with the others; log it (found-scale ...) and plan again.")
"""Said with every move indoors for the winter, and counted there: nothing comes in before its last check."""
LAST_CHECK_POT_MIN = 1
"""Our setting."""


def _tell_quarantine(scene: Scene) -> Told:
    sticky = [plant for plant, courses in zip(scene.plants, scene.courses, strict=True)
              if any(course.find.pest in STICKY_PESTS for course in courses)]
    weeks = days("quarantine_scale_days") // 7
    return Told(f"Keep {scene.who} apart from the others indoors, and water less", joined([
        "A room of its own or a window away from plants that stayed in, for two weeks; "
        f"{weeks} weeks after scale or mealybug" + (f": {scene.names(sticky)}." if sticky else "."),
        "Test the mix by finger and wait longer between waterings: less light, less thirst.",
        "Some older leaves yellow and fall: pick them up, water no more for it, do not feed. Drop that goes on after a "
        "month: look for pests and wet roots.",
        f"From a bright room to the final place over {figure('final_place_least_weeks'):g} to "
        f"{figure('final_place_most_weeks'):g} weeks (KSU-IN)."]),
        "What was missed hatches in the first warm weeks indoors: one to two weeks apart (MSU-ISO).")


def _tell_quarantine_end(scene: Scene) -> Told:
    return Told(f"Look over {scene.who} and end their time apart", joined([
        scene.where_they_stand,
        "Under leaves, in joints, sticky spots on the sill.",
        "Clean: back to their places. Not clean: log it (found-scale ...) and plan again."]),
        "Their weeks apart are over.")


JOBS = [
    Job("descend-light", "note", _descend, _tell_descend, "CLEM-1454; JEH-5-102", whole=True),
    Job("inspect-before-in", "spray", _inspect_before_in, _tell_inspect_in, "CLEM-1454; KSU-IN; UMD-OUT", 15, 6,
        no_sun=True, safety=True, carried=True, cautions=("spray", "hose"), late_days=8,
        once=("gloves_pair", "labelled_soap_bottle")),
    Job("treat-before-in", "spray", _treat_before_in, _tell_treat_in, "CLEM-1454; UMD-OUT", 10, 2,
        no_sun=True, soap=True, safety=True, cautions=("spray",), follows=("inspect-before-in",),
        once=("gloves_pair", "labelled_soap_bottle")),
    Job("quarantine", "note", _quarantine, _tell_quarantine, "MSU-ISO; memory (four weeks); CLEM-1454 (water); "
        "JEH-5-102 (leaf drop); KSU-IN (final place)", safety=True),
    Job("quarantine-end", "look", _quarantine_end, _tell_quarantine_end, "MSU-ISO", 5, 1, whole=True,
        any_time=True, late_days=30),
]
