"""Jobs of the way back: less light, look over, two sprays, soak, last check, keep apart, water less, bear leaf drop."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from seasonplan import wording as w
from seasonplan.care.cases import Case
from seasonplan.care.figures import days, figure
from seasonplan.care.job import After, Cannot, Due, Job, Scene, Told, joined
from seasonplan.care.jobs_pests import courses_of, known

DARKER = 0.8
"""A stop with less than this share of the light of the one before it goes down in light. Our setting."""
STICKY_PESTS = ("scale", "mealybug")


def _sprayed_before_in(case: Case) -> bool:
    return case.taxon.soap_sensitive != "yes" and "no-wash" not in case.traits


def _descend(case: Case) -> Iterable[Due]:
    if case.back is None or not case.moves:
        return
    day = _descent_day(case)
    if day is None:
        first = case.back - days("descend_days")
        yield Due(1, first, first + 3, first, optional=True)
    else:
        yield Due(1, day, day, day, exact=True)


def _descent_day(case: Case) -> int | None:
    """The day of the first stop after midsummer that is darker than the one before it."""
    route = case.plan.route
    return next((now.date.toordinal() for before, now in zip(route, route[1:], strict=False)
                 if now.date.toordinal() > case.season.midsummer and now.mean_dli < DARKER * before.mean_dli), None)


def _inspect_before_in(case: Case) -> Iterable[Due]:
    if case.back is not None:
        yield Due(1, case.back - days("before_in_inspect_early_days"), case.back - days("before_in_inspect_late_days"),
                  case.back - days("soak_early_days"))


def _treat_before_in(case: Case) -> Iterable[Due]:
    if case.back is None or not _sprayed_before_in(case):
        return
    early = case.back - days("before_in_spray_one_early_days")
    if any(course.recheck is not None and course.recheck >= early for course in courses_of(case)):
        return
    yield Due(1, early, case.back - days("before_in_spray_one_late_days"),
              case.back - days("before_in_spray_one_late_days"), (After("inspect-before-in", 1, 0, soft=True),))
    yield Due(2, case.back - days("before_in_spray_two_early_days"), case.back - days("before_in_spray_two_late_days"),
              case.back - days("before_in_spray_two_best_days"),
              (After("treat-before-in", 1, days("before_in_spray_gap_days")),))


def _soak(case: Case) -> Iterable[Due]:
    if case.back is not None and case.taxon.moisture != "dry" and "no-pot" not in case.traits:
        yield Due(1, case.back - days("soak_early_days"), case.back - days("soak_late_days"),
                  case.back - days("before_in_spray_two_early_days"))


def _last_check(case: Case) -> Iterable[Due | Cannot]:
    if case.back is None:
        return
    yield Due(1, case.back - days("last_check_early_days"), case.back, case.back,
              (After("treat-before-in", 2, 0, soft=True),))
    open_until = max((c.recheck for c in courses_of(case) if c.recheck and c.find.day < case.back), default=0)
    if open_until > case.back:
        back, until = (w.day(date.fromordinal(day)) for day in (case.back, open_until))
        yield Cannot(f"the nights send it in on {back}, before the last check of its treatment on {until}",
                     "give it a room of its own, apart from all others, and go on with the treatment there")


def quarantine_span(case: Case) -> int:
    """Days to keep it apart after coming in: longer after scale or mealybug."""
    seen = {find.pest for find in case.finds} | ({case.plant.pests} if known(case) else set())
    return days("quarantine_scale_days" if seen & set(STICKY_PESTS) else "quarantine_days")


def _quarantine(case: Case) -> Iterable[Due]:
    if case.back is not None:
        yield Due(1, case.back, case.back, case.back, exact=True)


def _quarantine_end(case: Case) -> Iterable[Due]:
    if case.back is not None:
        day = case.back + quarantine_span(case)
        yield Due(1, day, day + days("quarantine_end_within_days"), day, optional=True)


def _water_less(case: Case) -> Iterable[Due]:
    if case.back is not None:
        yield Due(1, case.back, case.back + days("water_less_within_days"), case.back + 1, optional=True)


def _leaf_drop(case: Case) -> Iterable[Due]:
    if case.back is not None and not case.is_succulent:
        yield Due(1, case.back, case.back + days("water_less_within_days"), case.back + days("turn_after_out_days"),
                  optional=True)


def _tell_descend(scene: Scene) -> Told:
    stays = []
    for plan in scene.plans[:6]:
        rest = [s.place for s in plan.route if s.until.toordinal() > scene.day]
        stays.append(f"{w.one_line(plan.plant.name, 60)}: {', then '.join(rest)}, then {plan.plant.place}"
                     if rest else "")
    more = len(scene.plans) - 6
    return Told(f"Take {scene.who} down in light from now on", joined([
        *stays, f"And {more} more as their moves say." if more > 0 else "",
        "No move back into more sun from here."]),
        "Sun to light shade to heavy shade to indoors in a week (CLEM-1454), six weeks for figs and other "
        "leaf-droppers (JEH-5-102): leaves that meet the dark too fast are dropped.")


def _tell_inspect_in(scene: Scene) -> Told:
    dry = [p for p in scene.plants if p.taxon.soap_sensitive == "yes"]
    return Told(f"Inspect {scene.who} before they come in", joined([
        "Leaves above and below, stems, leaf joints, under the rim.",
        "Lift the plant from its pot and look at roots and drain holes for insects, slugs and ants (CLEM-1454).",
        "Found something: log it (found-scale, found-mealybug ...) and plan again; moving in waits for the treatment.",
        f"Look twice at {scene.names(dry)}: soap marks them, so they get no spray before coming in." if dry else ""]),
        "Two weeks before coming in there is still time to treat.")


def _tell_treat_in(scene: Scene) -> Told:
    return Told(f"Spray {scene.who} before coming in ({scene.n} of 2)", joined([
        "Labelled insecticidal soap or horticultural oil, at label strength, every leaf above and below, every stem.",
        "In shade, early or late, when no bees fly; leave there until dry."]),
        "Spray, wait several days, spray again (CLEM-1454): the second meets what hatched since."
        if scene.n == 1 else
        "The second spray, best 2 to 3 days before coming in (CLEM-1454); of your days this is the nearest.")


def _tell_soak(scene: Scene) -> Told:
    return Told(f"Soak {scene.who} to drive out soil insects", joined([
        f"Pot up to the rim in lukewarm water for about {figure('soak_minutes'):g} minutes, several at once in a tub, "
        "then drain fully.",
        "Not on the day they are carried: a soaked pot is at its heaviest."]),
        "Ants, worms and fungus gnats leave the mix under water (KSU-IN).")


def _tell_last_check(scene: Scene) -> Told:
    return Told(f"Last pest check of {scene.who} before the door", joined([
        "A last look under leaves, in joints and at the drain holes.",
        "Anything alive: it does not come in with the others. Log it (found-scale ...) and plan again."]),
        "Nothing comes in before its last check.")


def _tell_quarantine(scene: Scene) -> Told:
    sticky = [p for p in scene.plants if p.pests in STICKY_PESTS]
    weeks = days("quarantine_scale_days") // 7
    return Told(f"Keep {scene.who} apart from the others indoors", joined([
        "A room of its own or a window away from plants that stayed in, for two weeks.",
        f"{weeks} weeks after scale or mealybug" + (f": {scene.names(sticky)}." if sticky else ".")]),
        "What was missed hatches in the first warm weeks indoors: one to two weeks apart (MSU-ISO).")


def _tell_quarantine_end(scene: Scene) -> Told:
    return Told(f"Look over {scene.who} and end their time apart", joined([
        "Under leaves, in joints, sticky spots on the sill.",
        "Clean: back to their places. Not clean: log it (found-scale ...) and plan again."]),
        "Their weeks apart are over.")


def _tell_water_less(scene: Scene) -> Told:
    return Told(f"Water {scene.who} less from now on", joined([
        "Test the mix by finger and wait longer between waterings: less light, less thirst."]),
        "Indoors a pot dries far slower than outdoors; wet mix in low light rots roots.")


def _tell_leaf_drop(scene: Scene) -> Told:
    return Told(f"Expect some leaf drop on {scene.who}", joined([
        "Some older leaves yellow and fall: pick them up, water no more for it, do not feed.",
        f"Move from a bright room to the final place over {figure('final_place_least_weeks'):g} to "
        f"{figure('final_place_most_weeks'):g} weeks (KSU-IN). Drop that goes on after a month: look for pests and wet "
        "roots."]),
        "Leaves grown outdoors are made for more light than a room gives.")


JOBS = [
    Job("descend-light", "note", _descend, _tell_descend, "CLEM-1454; JEH-5-102"),
    Job("inspect-before-in", "look", _inspect_before_in, _tell_inspect_in, "CLEM-1454", 5, 2.5, safety=True,
        carried=True),
    Job("treat-before-in", "spray", _treat_before_in, _tell_treat_in, "CLEM-1454; UMD-OUT", 10, 2, where="shade",
        no_sun=True, safety=True, cautions=("spray",), follows=("inspect-before-in",),
        once=("gloves_pair", "labelled_soap_bottle")),
    Job("soak", "hose", _soak, _tell_soak, "KSU-IN", 10, 2, where="drained", carried=True, cautions=("hose",)),
    Job("last-check", "look", _last_check, _tell_last_check, "CLEM-1454", 5, 1, safety=True,
        before_moves=True, follows=("treat-before-in",)),
    Job("quarantine", "note", _quarantine, _tell_quarantine, "MSU-ISO; memory (four weeks)", safety=True),
    Job("quarantine-end", "look", _quarantine_end, _tell_quarantine_end, "MSU-ISO", 5, 1, where="indoors"),
    Job("water-less", "note", _water_less, _tell_water_less, "CLEM-1454; memory"),
    Job("expect-leaf-drop", "note", _leaf_drop, _tell_leaf_drop, "JEH-5-102; KSU-IN"),
]
