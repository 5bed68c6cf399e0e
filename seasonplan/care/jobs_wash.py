"""Jobs with the hose: leach salts out of the mix, wash the leaves."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from seasonplan import wording as w
from seasonplan.care.amounts import leach_l, pot_cm_of, wash_soap_ml, wash_water_l
from seasonplan.care.cases import Case
from seasonplan.care.figures import days, figure, mentions
from seasonplan.care.job import After, Due, Job, Scene, Told, joined
from seasonplan.care.jobs_pots import repot_due
from seasonplan.model import Plant

SIZES_MOST = 8


def is_repotted(case: Case) -> bool:
    """Whether it is to be repotted this season: fresh mix needs no leaching, before nor after."""
    return any(isinstance(due, Due) for due in repot_due(case))


def _leach(case: Case) -> Iterable[Due]:
    if "no-pot" in case.traits or is_repotted(case):
        return
    first, last = case.start, case.start + days("leach_within_days")
    if case.last_leached is not None and case.last_leached + days("leach_gap_least_days") > first:
        first = case.last_leached + days("leach_gap_least_days")
        last = max(last, case.last_leached + days("leach_gap_most_days"))
    spans = case.draining(first, last)
    lately = case.last_leached is not None and case.start - case.last_leached < days("leach_lately_days")
    spare = lately and not case.taxon.salt_sensitive
    if case.is_succulent:
        yield from (Due(1, *span, span[0], warm=True, spare=spare) for span in spans[:1])
        return
    yield from (Due(1, *span, span[0], spare=spare) for span in spans[:1])
    if case.taxon.salt_sensitive:
        gap = After("leach", 1, days("leach_gap_least_days"), days("leach_gap_most_days"), needed=True)
        yield from (Due(2, *span, span[0], (gap,)) for span in case.draining(first, case.season.last)[-1:])


def _wash(case: Case) -> Iterable[Due]:
    if "no-wash" not in case.traits:
        yield Due(1, case.start, case.start + days("wash_within_days"), case.start, (After("inspect", 1, 0),))


def is_soap_washed(plant: Plant) -> bool:
    """Dusty by its notes, and not sensitive to soap."""
    return mentions(plant.notes, "dusty") and plant.taxon.soap_sensitive != "yes"


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
    rooms = [scene.season.places[name] for name, _ in scene.stands if name in scene.season.places]
    inside = bool(rooms) and not any(room.outdoors for room in rooms)
    return Told(f"Leach {scene.who} {scene.at}".rstrip(), joined([
        scene.where_they_stand,
        f"Let water run through slowly and out below: {w.listed(sizes)}; {total} in all.",
        f"Scrape a white crust off first, no more than {crust} of mix.",
        "Let each pot drain fully and never stand in what ran out.",
        "Indoors: in the bath, the shower or a sink." if inside else ""]),
        "Salts from feed and tap water pile up in the mix; two pot volumes of water, every 4 to 6 months, carry them "
        "out (UNL-SALT). " + ("Due again since the last time." if scene.n > 1 else
                              "" if inside else "Easiest where the water may run off.").strip())


def wash_amounts(scene: Scene) -> Mapping[str, float]:
    """Water and soap for the plants of a step that are washed with soap."""
    water = sum(wash_water_l(pot_cm_of(plant)) * plant.count for plant in scene.plants if is_soap_washed(plant))
    return {"water_l": water, "wash_soap_ml": wash_soap_ml(water)} if water else {}


def _tell_wash(scene: Scene) -> Told:
    dusty = [plant for plant in scene.plants if is_soap_washed(plant)]
    return Told(f"Wash the leaves of {scene.who} {scene.at}".rstrip(), joined([
        scene.where_they_stand,
        "A gentle spray of plain water over and under the leaves, then let them dry out of the sun.",
        _soap_line(scene, dusty) if dusty else ""]),
        "Dust costs light, and a wash takes pests along; once a year, best when they first go out (common practice).")


def _soap_line(scene: Scene, dusty: Sequence[Plant]) -> str:
    needed, strength = wash_amounts(scene), figure("wash_soap_ml_per_l")
    unsure = [plant for plant in dusty if plant.taxon.soap_sensitive == "unknown"]
    test = f" Try one leaf a week before on {scene.names(unsure)}: soap may mark it." if unsure else ""
    return (f"Dusty by its notes: {scene.names(dusty)}. {w.volume(needed['wash_soap_ml'] / 1000, scene.units)} of "
            f"plain liquid soap in {w.volume(needed['water_l'], scene.units)} of water ({strength / 10:g} %): wipe or "
            f"sponge, rinse with plain water straight after. For pests only a labelled product.{test}")


LEACH = [
    Job("leach", "hose", _leach, _tell_leach, "UNL-SALT; UMD-SALT", 10, 2.5, series=True,
        cautions=("hose",), amounts=leach_amounts, whole=True, late_days=60),
]
WASH = [
    Job("wash", "hose", _wash, _tell_wash, "CLEM-1454; KSU-IN; common practice, no source (once a year; 0.5 %)",
        10, 2, no_sun=True, soap=True, spare=True, whole=True, cautions=("hose",
                                                                                 "soap-wash"), follows=("inspect",),
        amounts=wash_amounts, late_days=30),
]
