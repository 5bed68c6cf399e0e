"""Jobs about the stay itself: lifting, wind, children and pets, water, turning, midsummer, the last repotting."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from seasonplan import wording as w
from seasonplan.care.cases import Case, is_large, is_tall
from seasonplan.care.cautions import class_for, is_windy
from seasonplan.care.figures import days, figure, taxon_traits
from seasonplan.care.job import Due, Job, Scene, Told, joined, shown
from seasonplan.care.lifting import lift_note, lift_of
from seasonplan.care.season import Season, runs

WEEK = 6
FIRST_WEEKS, MIDSUMMER_CHECK_AFTER = 21, 56
"""Daily looks at the water: so many days from the first day outdoors, and so many after midsummer. Our setting."""
LINES_MOST = 12


def _heavy_lift(case: Case) -> Iterable[Due]:
    if case.out is not None and lift_of(case.plant).how != "alone":
        yield Due(1, case.out - days("heavy_before_out_days"), case.out - 1, case.out - days("turn_after_out_days"))


def _tell_heavy(scene: Scene) -> Told:
    lines = [f"{shown(plant.name)}: {lift_note(plant, scene.units)}." for plant in scene.plants[:LINES_MOST]]
    more = len(scene.plants) - LINES_MOST
    return Told(f"Arrange help for {w.counted(scene.pots, 'heavy pot')}", joined([
        *lines, f"And {more} more." if more > 0 else "",
        "Weigh one pot on a bathroom scale to check. A tall plant that sways is harder than its weight says."]),
        "Weights from the pot's size, wet mix and plant; limits from the revised NIOSH lifting equation, arms round a "
        "pot lifted from the ground to a table.")


def _secure(case: Case) -> Iterable[Due]:
    """Tall plants as they go out, wherever to; others when they first stand where wind can take them."""
    large, tall = is_large(case.plant), is_tall(case.plant)
    for stop in case.plan.route if case.goes_out else ():
        place = case.season.places.get(stop.place)
        if tall or is_windy(stop.place) or (large and place is not None and not place.sheltered):
            day = stop.date.toordinal()
            yield Due(1, day, day + WEEK, day)
            return


def _tell_secure(scene: Scene) -> Told:
    tall = [plant for plant in scene.plants if is_tall(plant)]
    return Told(f"Secure {scene.who} against wind {scene.at}".rstrip(), joined([
        scene.where_they_stand,
        f"Tall: {scene.names(tall)}. A stake to two thirds of the height, tied in two places with a loose figure of "
        f"eight."
        if tall else "",
        "Tie to something firm, low and loosely; weigh or wedge the pots; hang nothing over an edge.",
        "Look again when strong wind is forecast, and lay tall ones down or take them in."]),
        "A full crown catches wind; a pot that falls from a height can kill.")


def _deter_pets(case: Case) -> Iterable[Due]:
    if case.season.rules.pets and case.goes_out and case.season.outside is not None:
        first = case.season.outside[0]
        yield Due(1, first, first + WEEK, first)


def _tell_deter(scene: Scene) -> Told:
    return Told(f"Keep pets from chewing {scene.who}", joined([
        "From the day each goes out.",
        "Reach first: on a stand, behind a low fence, or where pets do not go.",
        "Then harmless repellents: citrus peel on the mix, pebbles or cones over it, a pot of grass of their own to "
        "chew."]), "New plants at nose height get tried in the first days.")


def _out_of_reach(case: Case) -> Iterable[Due]:
    rules = case.season.rules
    if not (rules.children or rules.pets) or class_for(case.plant, rules) == "none":
        return
    outside, back = case.season.outside, case.season.first_back
    first = outside[0] if case.goes_out and outside is not None else case.start
    yield Due(1, first, first + WEEK, first)
    if case.back is not None and back is not None:
        yield Due(2, back, back + WEEK, back)


def _tell_reach(scene: Scene) -> Told:
    classes = {label: [p for p in scene.plants if class_for(p, scene.season.rules) == label]
               for label in ("deadly", "toxic", "irritant")}
    told = [f"{label.capitalize()}: {scene.names(found)}." for label, found in classes.items() if found]
    return Told(f"Put {scene.who} out of reach", joined([
        "As each goes out:" if scene.n == 1 and scene.plans[0].status == "moves" else
        "As each comes in:" if scene.n == 2 else "",
        *told,
        "What is deadly stands where nobody can come who chews, or not here at all." if classes["deadly"] else "",
        "High up or behind a door, fallen leaves picked up too.",
        "If any was eaten, ring a poison centre, a doctor or a vet at once and say which plant."]),
        "Children or pets are declared, and the catalogue counts these as harmful when chewed; a plant on no list "
        "counts as toxic.")


def hot_spans(season: Season) -> list[tuple[int, int]]:
    """Unbroken spans of days so hot that pots outdoors are looked at daily, while any plant is outdoors."""
    first, last = season.outside or (1, 0)
    return runs(day for day in range(first, last + 1) if season.high_c(day) >= figure("water_daily_high_c"))


def _water_daily(case: Case) -> Iterable[Due]:
    if case.goes_out and case.season.outside is not None:
        day = case.season.outside[0]
        yield Due(1, day, day + WEEK, day)


def _tell_water(scene: Scene) -> Told:
    season = scene.season
    hot = [w.date_span(date.fromordinal(first), date.fromordinal(last)) for first, last in hot_spans(season)]
    dry = [p for p in scene.plants if p.taxon.moisture == "dry"]
    limit = w.temperature(figure("water_daily_high_c"), scene.units)
    first = season.outside[0] if season.outside is not None else scene.day
    until = max(first + FIRST_WEEKS, season.midsummer + MIDSUMMER_CHECK_AFTER)
    return Told("Look at the water every day outdoors, from today", joined([
        f"Daily in the first weeks, around midsummer (until about {w.short_day(date.fromordinal(until))}), in wind "
        f"and in heat: a finger into the mix or lift the pot, in the morning; twice a day above {limit}.",
        f"Normal highs are above {limit} {w.listed(hot)}." if hot else "",
        "After rain too: under a roof or a full crown none reaches the mix, elsewhere saucers and cachepots stand "
        "full. Empty them.",
        f"Dry: water until about {figure('water_drain_share'):g} % drains out below.",
        f"Let most of the mix dry first: {scene.names(dry)}." if dry else ""]),
        "Outdoors a pot dries in a day that lasts a week indoors, and many need water daily around midsummer "
        "(UNL-PATIO). Check, do not water by the calendar.")


def _turn(case: Case) -> Iterable[Due]:
    if case.goes_out and case.season.outside is not None:
        day = case.season.outside[0] + days("turn_after_out_days")
        yield Due(1, day, day + WEEK, day)


def _tell_turn(scene: Scene) -> Told:
    return Told("Turn every pot a quarter once a week, from today", joined([
        "A quarter turn, always the same way, when you check water; feeding days remind you of it.",
        "Not pots that are tied, and not a plant in bud: it may drop them."]),
        "Growth leans to the light; a weekly quarter turn keeps it even (UNL-PATIO).")


def _review(case: Case) -> Iterable[Due]:
    day = case.season.midsummer
    if case.outdoors(day) and (case.back is None or case.back > day + days("review_within_days")):
        yield Due(1, day, day + days("review_within_days"), day + 1)


def _tell_review(scene: Scene) -> Told:
    short = [p for p in scene.plants if "short-of-light" in taxon_traits(p.taxon.key)]
    return Told(f"Midsummer review of {scene.who}", joined([
        "The sun stands at its highest: walk round at midday and see whose leaves it reaches now.",
        "Bleached or papery patches: one step back into shade. Long thin shoots: one step lighter.",
        f"{scene.names(short)}: short of light behind a curtain, should have filled out by now (about a month in part "
        "shade, common practice)." if short else "",
        "Look under leaves for pests; lift a pot or two: roots out of the holes mean root-bound.",
        "Snails and slugs hide under rims and pots."]),
        "From here the sun's path sinks; what is wrong now has half the season left to mend.")


def _last_repot(case: Case) -> Iterable[Due]:
    day = case.season.midsummer + days("repot_last_after_midsummer_days")
    if case.outdoors(day) and "no-pot" not in case.traits:
        yield Due(1, day - WEEK, day, day)


def _tell_last_repot(scene: Scene) -> Told:
    return Told("Last day for repotting this season", joined([
        "Root-bound plants still waiting: today, or wait for spring.",
        "Not one that comes in within eight weeks."]),
        "Four weeks after midsummer: roots need the rest of the season to fill new mix.")


JOBS = [
    Job("heavy-lift", "note", _heavy_lift, _tell_heavy, "NIOSH-94-110", cautions=("heavy",)),
    Job("out-of-reach", "note", _out_of_reach, _tell_reach, "memory (which plants); design agreement",
        cautions=("deadly", "toxic"), safety=True, whole=True),
    Job("deter-pets", "note", _deter_pets, _tell_deter, "common practice, no source", whole=True,
        cautions=("repellent",)),
    Job("secure-wind", "carry", _secure, _tell_secure, "common practice, no source", 5, 3, safety=True,
        cautions=("balcony", "ladder"), whole=True, late_days=60),
    Job("water-daily", "note", _water_daily, _tell_water, "UNL-PATIO; common practice, no source (29 °C)", whole=True),
    Job("turn", "note", _turn, _tell_turn, "UNL-PATIO", whole=True),
    Job("midsummer-review", "look", _review, _tell_review, "common practice, no source", 10, 1, whole=True,
        late_days=14),
    Job("last-repot", "note", _last_repot, _tell_last_repot, "memory", whole=True),
]
