"""Jobs at the potting bench and with the knife: look at roots, repot, take cuttings and pot them up, prune."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from seasonplan import wording as w
from seasonplan.care.amounts import head_space_cm, mix_for, mix_to_buy_l, next_pot_cm, pot_cm_of, pot_volume_l
from seasonplan.care.cases import Case
from seasonplan.care.figures import days, figure
from seasonplan.care.job import After, Cannot, Due, Job, Scene, Told, joined, shown
from seasonplan.care.jobs_pests import treatment_spans, within
from seasonplan.model import Plant

PRUNINGS_MOST = 8
LINES_MOST = 8


def last_repot_day(case: Case) -> int:
    """The last day on which it may still be repotted: early enough in summer, and before coming in."""
    last = case.season.midsummer + days("repot_last_after_midsummer_days")
    return last if case.back is None else min(last, case.back - days("repot_before_in_days"))


def _inspect_roots(case: Case) -> Iterable[Due]:
    if case.plant.root_bound is not None or "no-pot" in case.traits:
        return
    known_since = case.last_repotted
    if known_since is None or case.start - known_since > days("roots_unsure_after_days"):
        last = min(last_repot_day(case), case.season.midsummer + days("review_within_days"))
        first = min(case.start, last - days("review_within_days"))
        yield Due(1, first, last, case.start + days("turn_after_out_days"), optional=True, spare=True)


def repot_due(case: Case) -> Iterable[Due | Cannot]:
    """When a root-bound plant is repotted: two weeks after it went out, else indoors before that."""
    if case.plant.root_bound is not True or "no-pot" in case.traits:
        return
    if case.last_repotted is not None and case.last_repotted > case.start - days("repot_recent_days"):
        return
    last = last_repot_day(case)
    first = case.start + days("repot_after_out_days")
    leached = (After("leach", 1, days("leach_before_repot_days") + 1),)
    if first + 6 <= last:
        yield Due(1, first, last, first, leached, avoid=case.sun_steps)
        return
    first, before_out = case.start - days("repot_indoors_before_out_days"), case.start - days("turn_after_out_days")
    if first + 6 <= min(last, before_out):
        yield Due(1, first, min(last, before_out), before_out, leached, avoid=case.sun_steps)
        return
    yield Cannot("its time outdoors leaves no day for it: not later than four weeks after midsummer, not within eight "
                 "weeks of coming in", "repot it indoors in early spring, before it goes out")


def _cuttings(case: Case) -> Iterable[Due]:
    first = case.start + days("repot_after_out_days")
    last = min(case.end - days("cuttings_before_in_days"),
               case.season.midsummer + days("repot_last_after_midsummer_days"))
    if case.taxon.cuttings != "water" or first > last:
        return
    treated = treatment_spans(case)
    if within(first, treated) or within(last, treated):
        return
    yield Due(1, first, last, case.start + days("cuttings_after_out_days"))


def _pot_up(case: Case) -> Iterable[Due]:
    if case.taxon.cuttings == "water":
        least, most = days("cuttings_root_least_days"), days("cuttings_root_most_days")
        gap = After("cuttings", 1, least, most, needed=True, best=(least + most) // 2)
        yield Due(1, case.season.first, case.season.last, case.season.first, (gap,))


def _prune(case: Case) -> Iterable[Due]:
    if "vine" not in case.traits and not case.notes_say("leggy"):
        return
    first, last = case.start + days("repot_after_out_days"), case.end - days("prune_before_in_days")
    ideal = case.start + days("prune_first_after_out_days")
    if first > last:
        return
    yield Due(1, first, min(last, ideal + days("repot_after_out_days")), ideal)
    slack = days("prune_slack_days")
    for n in range(2, PRUNINGS_MOST + 1):
        gap = case.prune_gap(ideal)
        ideal += gap
        if ideal - slack > last:
            return
        yield Due(n, first, last, ideal, (After("prune", n - 1, gap - slack, gap + slack, needed=True, best=gap),),
                  optional=True)


def _tell_inspect_roots(scene: Scene) -> Told:
    return Told(f"Look at the roots of {scene.who}", joined([
        "Push a finger into the mix: where it barely enters, the plant is root-bound. Or slip it from its pot: roots "
        "circle all round.",
        "Root-bound: write root_bound = yes into plants.csv and plan again; repotting is dated then."]),
        "Neither when it was last repotted nor the state of its roots is known. Repot by what you find, not by date.")


def _by_next_pot(scene: Scene) -> dict[float, int]:
    counts: dict[float, int] = {}
    for plant in scene.plants:
        size = next_pot_cm(pot_cm_of(plant), scene.units)
        counts[size] = counts.get(size, 0) + plant.count
    return counts


def repot_amounts(scene: Scene) -> Mapping[str, float]:
    """Mix of each kind and pots of each size for a step."""
    needed: dict[str, float] = {}
    for plant in scene.plants:
        mix = mix_for(plant.taxon.group)
        needed[f"{mix.key}_l"] = needed.get(f"{mix.key}_l", 0.0) + mix_to_buy_l(pot_cm_of(plant),
                                                                                scene.units) * plant.count
    for cm, n in sorted(_by_next_pot(scene).items()):
        needed[pot_key(cm)] = needed.get(pot_key(cm), 0.0) + n
    return needed


def pot_key(cm: float) -> str:
    """The amount key of a pot: "pot_33_cm"."""
    return f"pot_{round(cm)}_cm"


def _repot_line(plant: Plant, units: str) -> str:
    cm = pot_cm_of(plant)
    new, mix = next_pot_cm(cm, units), mix_for(plant.taxon.group)
    each = " each" if plant.count > 1 else ""
    return (f"{shown(plant.name)}: {w.length(cm, units)} to {w.length(new, units)}, "
            f"{w.volume(mix_to_buy_l(cm, units), units)} of {mix.name}{each}, "
            f"{w.length(head_space_cm(new), units)} free below the rim.")


def _tell_repot(scene: Scene) -> Told:
    lines = [_repot_line(plant, scene.units) for plant in scene.plants]
    if len(lines) > LINES_MOST:
        lines = [*lines[:LINES_MOST], f"And {len(lines) - LINES_MOST} more, likewise."]
    weeks = days("feed_after_repot_days") // 7
    wider = "1 to 2 in, large ones 2 to 3 in" if scene.units == w.IMPERIAL else "2 to 5 cm, large ones 5 to 8 cm"
    return Told(f"Repot {scene.who} {scene.at}".rstrip(), joined([
        *lines,
        f"The new pots are the next sizes that are sold, {wider} wider.",
        "Water the day before. Loosen circling roots, set it no deeper than it stood, fill in, water.",
        f"Shade for up to {days('repot_shade_days') // 7} weeks, no feed for more than {weeks} weeks."]),
        "Root-bound by your list. Early in the season the roots fill the new mix before the light fades; not in the "
        "week of a step into more sun where that can be helped.")


def cutting_amounts(scene: Scene) -> Mapping[str, float]:
    """One small pot, full of mix, for the cuttings of each plant."""
    cm, n = figure("cutting_pot_cm"), len(scene.plants)
    return {"mix_l": pot_volume_l(cm) * n, pot_key(cm): n}


def _tell_cuttings(scene: Scene) -> Told:
    return Told(f"Take cuttings of {scene.who} {scene.at}".rstrip(), joined([
        "Cut healthy tips just below a leaf joint, strip the lower leaves, stand them in a jar of water.",
        f"Bright, no direct sun, at {w.temperature(figure('cutting_low_c'), scene.units)} to "
        f"{w.temperature(figure('cutting_high_c'), scene.units)}; new water every "
        f"{days('cutting_water_least_days')} to {days('cutting_water_most_days')} days."]),
        "These root in water in three to four weeks (common practice); started now, roots settle in mix before the "
        "plants come in.")


def _tell_pot_up(scene: Scene) -> Told:
    units = scene.units
    pot, root = figure("cutting_pot_cm"), figure("cutting_root_cm")
    return Told(f"Pot up the cuttings of {w.counted(len(scene.plants), 'plant')}", joined([
        f"Those with roots of {w.length(root, units)} or more: a {w.length(pot, units)} pot each plant, "
        f"{w.volume(pot_volume_l(pot), units)} of mix, kept moist and shaded for a week.",
        "Shorter roots: back into fresh water and look again in a week."]),
        "Three to five weeks in water; longer roots break when potted.")


def _tell_prune(scene: Scene) -> Told:
    return Told(f"Prune {scene.who} {scene.at}".rstrip(), joined([
        "Pinch or cut the last few inches of every long shoot just above a leaf; take the barest back further."
        if scene.units == w.IMPERIAL else
        "Pinch or cut the last 5 to 10 cm of every long shoot just above a leaf; take the barest back further.",
        "Healthy tips make cuttings."]),
        "Trailers branch where they are cut; every 6 weeks in bright light to every 12 in dim (common practice).")


JOBS = [
    Job("inspect-roots", "potting", _inspect_roots, _tell_inspect_roots, "MU-TRINKLEIN; common practice, no source",
        5, 3, carried=True),
    Job("repot", "potting", repot_due, _tell_repot, "MU-TRINKLEIN (when root-bound, not by date); memory (limits)", 15,
        12, carried=True, cautions=("mix", "sap"), amounts=repot_amounts),
    Job("prune", "cutting", _prune, _tell_prune, "UNL-PATIO; common practice, no source (interval)", 5, 4, series=True,
        cautions=("sap",), once=("gloves_pair",), spare=True, whole=True, late_days=30),
    Job("cuttings", "cutting", _cuttings, _tell_cuttings, "common practice, no source", 10, 4,
        cautions=("sap",), spare=True, whole=True),
    Job("pot-up-cuttings", "potting", _pot_up, _tell_pot_up, "common practice, no source", 10, 5,
        cautions=("mix",), follows=("cuttings",), amounts=cutting_amounts, spare=True, whole=True, late_days=14),
]
