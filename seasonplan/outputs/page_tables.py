"""Rows of the page's tables: texts in the person's units; a cell that lists plants is a tuple of their names."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from datetime import date

from seasonplan import wording as w
from seasonplan.data import table
from seasonplan.dates import MONTH_NAMES
from seasonplan.model import MoveDate, Plan, PlantPlan
from seasonplan.outputs.page_groups import STATUS_WORDS, Group, autumn_odds, by_row, names_of, pots, spring_odds, waves
from seasonplan.outputs.trade import days_gained

MANY_PLANTS = 60
"""Above this many rows of plants, equal ones share a row."""
FEW_NAMES = 6
MID_MONTH = 15
EVERY_WEEKS = 2
DECIDED_WORDS = {"harm": "harmful nights", "freeze": "the chance of a freeze", "comfort": "the normal night low",
                 "season": "the ends of the year", "": "—"}
TRADE_HEADS = ("Group", "Careful", "Carry-in", "Weeks gained", "Nights to carry in", "Planned", "Chance of any then")
PLANT_HEADS = ("Plant", "Kind", "What happens", "Pots", "Out", "In", "Harm", "Comfort")
Row = list[str | tuple[str, ...]]

METHOD_SOURCES = (
    "Daily light from solar energy: Faust and Logan 2018, HortScience 53:1250–1257.",
    "Average light from sunshine hours or temperatures: Allen, Pereira, Raes and Smith 1998, FAO Irrigation and "
    "Drainage Paper 56, equations 35 and 50.",
    "Position of the sun: Reda and Andreas 2004, Solar Energy 76:577–589, as computed by the pvlib library.",
    "Lifting: NIOSH Applications Manual for the Revised Lifting Equation, publication 94-110.",
)


def wave_rows(plan: Plan) -> list[Row]:
    """[day, way, pots, plants] of every day on which plants leave the house or come back."""
    way_words = {"out": "out", "in": "back in"}
    return [[w.day(day), way_words[way], str(pots(plans)), names_of(plans)] for way, day, plans in waves(plan)]


def group_rows(plan: Plan, groups: Sequence[Group]) -> list[list[str]]:
    """[group, pots, harm, comfort, out, in, decided by] of every threshold group."""
    units = plan.rules.units
    return [[f"{g.letter}: {w.listed(g.names, FEW_NAMES)}", str(g.pots), _harm_words(g, units),
             w.temperature(g.comfort_c, units), _days(g.out_days), _days(g.back_days),
             f"{DECIDED_WORDS[g.leader.out.decided_by]}; {DECIDED_WORDS[g.leader.back.decided_by]}"] for g in groups]


def _harm_words(group: Group, units: str) -> str:
    """Fresh from indoors, and once hardened where that differs."""
    fresh, hardened = (w.temperature(c, units) for c in group.bearing.harms)
    return fresh if fresh == hardened else f"{fresh}, hardened {hardened}"


def _days(days: Sequence[date]) -> str:
    if len(days) > 2:
        return f"{w.short_day(days[0])} … {w.short_day(days[-1])}"
    return w.listed([w.short_day(d) for d in days]) or "—"


def trade_rows(plan: Plan, groups: Sequence[Group]) -> list[list[str]]:
    """What each policy gives for each group: dates, weeks gained by carrying in, nights to carry in."""
    return [_trade_row(plan, group) for group in groups]


def _trade_row(plan: Plan, group: Group) -> list[str]:
    out, back = group.leader.out, group.leader.back
    gained = days_gained(group.leader)
    weeks = "—" if gained is None else f"{sum(gained) / 7:.1f}".replace("-", "−")
    return [f"{group.letter}: {w.listed(group.names, FEW_NAMES)}", _two(out.careful, back.careful),
            _two(out.carry_in, back.carry_in), weeks, _nights(plan, group, out.carry_in, back.carry_in),
            _two(out.date, back.date), _chances(out, back)]


def _two(out: date | None, back: date | None) -> str:
    return w.date_span(out, back) if out and back else "no dates"


def _nights(plan: Plan, group: Group, out: date | None, back: date | None) -> str:
    if out is None or back is None:
        return "—"
    spring, autumn = float(spring_odds(plan, group, [out])[1][0]), float(autumn_odds(plan, group, [back])[1][0])
    return f"{spring:.1f} in spring, {autumn:.1f} in autumn"


def _chances(out: MoveDate, back: MoveDate) -> str:
    """The chance of any harmful night that the planned dates leave, in spring and in autumn."""
    texts = [f"{w.percent(end.chance_of_harm)} in {when}" for end, when in ((out, "spring"), (back, "autumn"))
             if end.chance_of_harm is not None]
    return ", ".join(texts) or "—"


def chance_rows(plan: Plan, groups: Sequence[Group], spring: Sequence[date], autumn: Sequence[date]) -> list[list[str]]:
    """[date, group, chance, nights] every other week of both seasons: the curves of the chart as numbers."""
    rows = []
    for days, odds in ((spring, spring_odds), (autumn, autumn_odds)):
        some = days[:: 7 * EVERY_WEEKS]
        curves = [odds(plan, group, some) for group in groups]
        rows += [[w.day(day), group.letter, w.percent(float(chance[n])), f"{nights[n]:.1f}"]
                 for n, day in enumerate(some) for group, (chance, nights) in zip(groups, curves, strict=True)]
    return rows


def light_rows(plan: Plan, places: Sequence[str]) -> list[list[str]]:
    """[place, month, clear day, average day, direct sun, when] in the middle of every month."""
    light = plan.daylight
    middles = [n for n, day in enumerate(light.dates) if day.day == MID_MONTH]
    return [[place, MONTH_NAMES[light.dates[n].month - 1], w.light(float(light.clear_dli[row, n])),
             w.light(float(light.mean_dli[row, n])), w.hours(float(light.direct_sun_h[row, n])),
             w.spans(light.sun_spans[row][n])]
            for place in places for row in [light.places.index(place)] for n in middles]


def plant_rows(plan: Plan) -> list[Row]:
    """[plant, kind, what happens, pots, out, in, harm, comfort, why]; many equal plants share a row."""
    return [_plant_row(plan, group) for group in by_row(plan.plants, len(plan.plants) > MANY_PLANTS)]


def _plant_row(plan: Plan, group: Sequence[PlantPlan]) -> Row:
    lead, units = group[0], plan.rules.units
    ends = [w.day(end.date) if end.date else "" for end in (lead.out, lead.back)]
    return [names_of(group), f"{lead.plant.taxon.botanical} ({lead.plant.taxon.common})",
            STATUS_WORDS[lead.status], str(pots(group)), *ends, w.temperature(lead.plant.harm_c, units),
            w.temperature(lead.plant.comfort_c, units), lead.reason]


def shopping_rows(plan: Plan) -> list[list[str]]:
    """[item, amount, needed by, note] in order of need."""
    units = plan.rules.units
    return [[item.item, w.amount(item.amount, item.unit, units), w.day(item.needed_by), item.note]
            for item in sorted(plan.shopping, key=lambda item: item.needed_by)]


def skipped_rows(plan: Plan) -> list[Row]:
    """[job, plants, why, what would help]."""
    return [[job.kind, job.plants, job.reason, job.remedy] for job in plan.skipped]


def stay_rows(plan: Plan) -> list[Row]:
    """[plants, what happens, why] of plants without a route, one row per answer."""
    found: dict[tuple[str, str], list[PlantPlan]] = defaultdict(list)
    for each in plan.plants:
        if not each.route:
            found[each.status, each.reason].append(each)
    return [[names_of(plans), STATUS_WORDS[status], reason] for (status, reason), plans in found.items()]


def taxon_rows(plan: Plan) -> list[list[str]]:
    """[kind, sources of night limits, of light, of the rest] of every kind grown, by name."""
    taxa = {p.plant.taxon.key: p.plant.taxon for p in plan.plants}
    return [[taxon.botanical, taxon.source_temp, taxon.source_light, taxon.source_other]
            for taxon in sorted(taxa.values(), key=lambda t: t.botanical)]


def citations(rows: Sequence[Sequence[str]]) -> list[tuple[str, str]]:
    """(key, citation) of every source key that these taxon rows name, in the order of the source table."""
    words = {word.strip(" ;,()") for row in rows for cell in row[1:] for word in cell.split()}
    return [(row["key"], row["citation"]) for row in table("sources") if row["key"] in words]


def cautions(plan: Plan) -> list[str]:
    """Every caution of the plan once, in the order of the steps."""
    return list(dict.fromkeys(caution for step in plan.steps for caution in step.cautions))


def night_source(plan: Plan) -> str:
    """Where the nights come from, as a sentence."""
    spread = {"assumed": "their spread from night to night is an estimate, since none was given"}.get(
        plan.climate.sd_source, f"their spread from the {plan.climate.sd_source}")
    return f"Night lows: mean from the {plan.climate.mean_source} ({plan.scenario.normals.source}), {spread}."
