"""Jobs with the hose: leach salts out of the mix, wash the leaves."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from seasonplan import wording as w
from seasonplan.care.amounts import leach_l, pot_cm_of, wash_soap_ml, wash_water_l
from seasonplan.care.cases import Case
from seasonplan.care.figures import days, figure
from seasonplan.care.job import After, Due, Job, Scene, Told, joined

SIZES_MOST = 8


def _leach(case: Case) -> Iterable[Due]:
    if "no-pot" in case.traits:
        return
    first, last = case.start, case.start + days("leach_within_days")
    if case.last_leached is not None and case.last_leached + days("leach_gap_least_days") > first:
        first = case.last_leached + days("leach_gap_least_days")
        last = max(last, case.last_leached + days("leach_gap_most_days"))
    if case.is_succulent:
        yield Due(1, first, max(last, case.end - days("soak_early_days")), first, warm=True)
    else:
        yield Due(1, first, last, first)
        gap = After("leach", 1, days("leach_gap_least_days"), days("leach_gap_most_days"), needed=True)
        yield Due(2, first, case.season.last, case.end - days("before_in_inspect_late_days"), (gap,), optional=True)


def _wash(case: Case) -> Iterable[Due]:
    if "no-wash" in case.traits:
        return
    if not _is_soap_washed(case):
        yield Due(1, case.start, case.start + days("wash_within_days"), case.start, (After("inspect", 1, 0),))
    if case.back is not None:
        early, late = days("before_in_inspect_early_days"), days("before_in_spray_one_late_days")
        yield Due(2, case.back - early, case.back - late, case.back - days("soak_early_days"))


def _wash_soap(case: Case) -> Iterable[Due]:
    if _is_soap_washed(case):
        test = days("soap_test_days")
        yield Due(1, case.start + 1, case.start + days("wash_within_days"), case.start + test,
                  (After("inspect", 1, 0),))


def _is_soap_washed(case: Case) -> bool:
    """Dusty by its notes, and neither sensitive to soap nor of a kind that is not washed at all."""
    return case.notes_say("dusty") and case.taxon.soap_sensitive != "yes" and "no-wash" not in case.traits


def _by_pot(scene: Scene) -> dict[float, int]:
    """Pots by their diameter [cm], large ones first."""
    counts: dict[float, int] = {}
    for plant in scene.plants:
        counts[pot_cm_of(plant)] = counts.get(pot_cm_of(plant), 0) + plant.count
    return dict(sorted(counts.items(), reverse=True))


def leach_amounts(scene: Scene) -> Mapping[str, float]:
    """Water for all pots of a step."""
    return {"water_l": sum(leach_l(cm) * n for cm, n in _by_pot(scene).items())}


def _tell_leach(scene: Scene) -> Told:
    sizes = [f"{w.volume(leach_l(cm), scene.units)} through each {w.length(cm, scene.units)} pot"
             for cm in list(_by_pot(scene))[:SIZES_MOST]]
    total = w.volume(leach_amounts(scene)["water_l"], scene.units)
    crust = "a quarter inch" if scene.units == w.IMPERIAL else f"{figure('crust_most_mm'):g} mm"
    place = scene.season.places.get(scene.place)
    inside = place is not None and not place.outdoors
    return Told(f"Leach {scene.who} {scene.at}".rstrip(), joined([
        f"Let water run through slowly and out below: {w.listed(sizes)}; {total} in all.",
        f"Scrape a white crust off first, no more than {crust} of mix.",
        "Let each pot drain fully and never stand in what ran out.",
        "Indoors: in the bath, the shower or a sink." if inside else ""]),
        "Salts from feed and tap water pile up in the mix; two pot volumes of water, every 4 to 6 months, carry them "
        "out (UNL-SALT). " + ("Due again since the last time." if scene.n > 1 else
                              "" if inside else "Easiest where the water may run off.").strip())


def _tell_wash(scene: Scene) -> Told:
    spring = scene.n == 1
    return Told(f"Wash the leaves of {scene.who} {scene.at}".rstrip(), joined([
        "A gentle spray of plain water over and under the leaves, then let them dry out of the sun."]),
        "Dust costs light, and a wash takes pests along; once a year, best when they first go out (common practice)."
        if spring else
        "Hosing before they come in rinses off dust and pests (CLEM-1454).")


def wash_amounts(scene: Scene) -> Mapping[str, float]:
    """Wash water and soap for all pots of a step."""
    water = sum(wash_water_l(cm) * n for cm, n in _by_pot(scene).items())
    return {"water_l": water, "wash_soap_ml": wash_soap_ml(water)}


def _tell_wash_soap(scene: Scene) -> Told:
    needed = wash_amounts(scene)
    unsure = [p for p in scene.plants if p.taxon.soap_sensitive == "unknown"]
    strength = figure("wash_soap_ml_per_l")
    return Told(f"Wash dusty leaves of {scene.who} with soap {scene.at}".rstrip(), joined([
        f"Stir {w.volume(needed['wash_soap_ml'] / 1000, scene.units)} of plain liquid soap into "
        f"{w.volume(needed['water_l'], scene.units)} of water ({strength / 10:g} %).",
        "Wipe or sponge the leaves, rinse with plain water straight after, let them dry in the shade.",
        f"Try one leaf a week before on {scene.names(unsure)}: whether soap marks it is not known." if unsure else ""]),
        f"Its notes speak of dust. A cleaning wash of {strength / 10:g} %: for pests only a labelled product.")




LEACH = [
    Job("leach", "hose", _leach, _tell_leach, "UNL-SALT; UMD-SALT", 10, 2.5, where="drained", series=True,
        cautions=("hose",), amounts=leach_amounts),
]
WASH = [
    Job("wash", "hose", _wash, _tell_wash, "CLEM-1454; KSU-IN; common practice, no source (once a year)", 10, 1.5,
        where="shade", no_sun=True, cautions=("hose",), follows=("inspect",)),
    Job("wash-soap", "hose", _wash_soap, _tell_wash_soap, "common practice, no source (0.5 %)", 10, 5, where="shade",
        no_sun=True, cautions=("soap-wash", "hose"), follows=("inspect",), amounts=wash_amounts, once=("gloves_pair",)),
]
