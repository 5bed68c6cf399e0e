"""What a person reads in the terminal: what to do next, then why. Returns text; the command line prints it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence

from seasonplan import wording as w
from seasonplan.climate.nights import night_climate
from seasonplan.climate.sureness import nights_line
from seasonplan.model import Alert, OutlookNight, Plant, Scenario, WatchReport
from seasonplan.outputs.daybook import NAME_MOST
from seasonplan.outputs.sheet import Cell, Column, Sheet
from seasonplan.outputs.terminal_all import bullets, names_of
from seasonplan.outputs.terminal_catalogue import GRADE_WORDS, catalogue_details, catalogue_table
from seasonplan.outputs.terminal_plan import plan_summary
from seasonplan.outputs.terminal_tables import light_table, nights_table

__all__ = ["catalogue_details", "catalogue_table", "check_text", "light_table", "nights_table", "plan_summary",
           "watch_text"]

WIDTH = 80
WORTH_SHOWING = 0.005
"""Chances below this on every night are not listed."""
CLEARLY_MORE = 0.15
"""So much more of a chance than in the row above is worth a row of its own. Our setting."""
DAY, TEXT = Column("", fixed=True), Column("")


def check_text(scenario: Scenario, folder: str, colour: bool = False, width: int = WIDTH,
               notices: Sequence[str] = ()) -> str:
    """What was read, for a scenario without faults. notices: what to look at all the same."""
    plants, site = scenario.plants, scenario.site
    outdoors = sum(place.outdoors for place in scenario.places)
    count = sum(plant.count for plant in plants)
    sheet = Sheet()
    sheet.heading(f"{folder}: {site.name}, all in order")
    record = f", a record of {len(scenario.record.dates)} nights" if scenario.record is not None else ""
    climate = night_climate(scenario.normals, scenario.record, site)
    beside = climate.mean_source == "record" and scenario.normals.estimate is None
    normals = f"; normals from {scenario.normals.source} beside it" if beside else ""
    sheet.line(f"{w.counted(len(plants), 'plant')} in {w.counted(count, 'pot')}; "
               f"{w.counted(len(scenario.places) - outdoors, 'place')} indoors and {outdoors} outdoors{record}"
               f"{normals}; {w.counted(len(scenario.log), 'log entry', 'log entries')}.")
    sheet.line(nights_line(scenario.normals, climate, scenario.rules.units),
               "warning" if scenario.normals.doubt else "quiet")
    for notice in notices:
        sheet.line(notice, "warning")
    bullets(sheet, "Assumed", scenario.assumptions)
    bullets(sheet, "Night limits that rest on a guess", _guesses(plants, scenario.rules.units))
    return sheet.text(colour, width)


def _guesses(plants: Sequence[Plant], units: str) -> list[str]:
    """Which night limits are guesses of the catalogue and of which plants, and what to do about it."""
    found: dict[str, dict[str, list[str]]] = {}
    for plant in plants:
        for what, figure, own in (("Harmed at", plant.taxon.harm, plant.harm_c),
                                  ("Likes nights from", plant.taxon.comfort, plant.comfort_c)):
            if figure.guessed and figure.value == own:
                said = (f"{w.temperature(figure.value, units)} ({w.temperature(figure.low, units)} to "
                        f"{w.temperature(figure.high, units)})")
                found.setdefault(f"{what}, {GRADE_WORDS[figure.grade]}", {}).setdefault(said, []).append(plant.name)
    lines = [f"{what}: {'; '.join(f'{w.listed(names, 5)} {said}' for said, names in alike.items())}."
             for what, alike in sorted(found.items())]
    return [*lines, "If you know better, give harm_c, harm_hardened_c or comfort_c in plants.csv."] if lines else []


def watch_text(report: WatchReport, units: str, colour: bool = False, width: int = WIDTH) -> str:
    """What `watch` found: the evening's message first, then its figures, advice on planned days, the outlook in three
    spans, and what to know about the numbers."""
    sheet = Sheet()
    issued = f", issued {report.issued}" if report.issued else ""
    sheet.heading(f"{report.site}: nights ahead")
    sheet.line(f"From {report.source or 'the night normals alone'}{issued}.", "quiet")
    if report.evening is not None:
        sheet.line(report.evening.title, "warning" if report.evening.by else "plain")
        for line in report.evening.lines:
            sheet.line(line)
    if not any(alert.act for alert in report.alerts):
        nothing = "No pot needs carrying" if report.sky else "Nothing needs doing"
        sheet.line(f"{nothing} tonight, as far as can be told.")
    _alerts(sheet, report.alerts, units)
    bullets(sheet, "Planned days", report.advice)
    bullets(sheet, "About the numbers", report.notes)
    _outlook(sheet, report.outlook, units)
    return sheet.text(colour, width)


def _alerts(sheet: Sheet, alerts: Sequence[Alert], units: str) -> None:
    if not alerts:
        return
    sheet.heading("The nights behind it")
    sheet.line("Chances allow for error and for what is usual then.", "quiet")
    rows = []
    for alert in sorted(alerts, key=lambda a: (a.night, a.level, a.place)):
        lead = ("Frost" if alert.frost else "Cold") + (": act" if alert.level == "act" else ": keep watch")
        low, level = (w.temperature(value, units) for value in (alert.low_c_at_place, alert.threshold_c))
        source = "by the forecast about" if alert.forecast_low_c is not None else "about"
        figures = (f"{source} {low} at the plants, a chance of {w.percent(alert.chance)} of {level} or "
                   "colder")
        rows.append((Cell(f"{w.day(alert.night)}\n{lead}", "warning" if alert.act else "plain"),
                     f"{alert.place}, {figures}: {names_of(alert.plants)}."))
    sheet.table((DAY, TEXT), rows, heads=False)


def _outlook(sheet: Sheet, nights: Sequence[OutlookNight], units: str) -> None:
    """For each threshold the highest chance of a single night in three spans, at the place where it is highest."""
    if not nights:
        return
    first = min(night.night for night in nights)
    worst: dict[float, dict[str, list[float]]] = defaultdict(lambda: defaultdict(lambda: [0.0, 0.0, 0.0]))
    for night in nights:
        days = (night.night - first).days
        span = 0 if days < 3 else 1 if days < 10 else 2
        chances = worst[night.threshold_c][night.place]
        chances[span] = max(chances[span], night.chance_harm)
    coldest = {level: max(places, key=lambda name: max(places[name])) for level, places in sorted(worst.items())}
    levels = _telling({level: worst[level][place] for level, place in coldest.items()})
    rows = [(w.temperature(level, units), *map(w.percent, worst[level][coldest[level]]),
             w.one_line(coldest[level], NAME_MOST)) for level in levels]
    sheet.heading("Outlook: highest chance of a night this cold at the plants")
    if not rows:
        sheet.line("Under 1 % on any night for every plant outdoors.")
    sheet.table((Column("At or below", figures=True), Column("nights 1 to 3", figures=True),
                 Column("4 to 10", figures=True), Column("after", figures=True), Column("at the coldest place")), rows)
    if levels and any(level > levels[0] for level in coldest if level not in levels):
        sheet.line("Levels whose chances are hardly higher than in the row above are left out.", "quiet")


def _telling(chances: Mapping[float, Sequence[float]]) -> list[float]:
    """The levels that are worth a row: the coldest with a chance at all, then each with clearly more of one in any span
    than the row before."""
    kept: list[float] = []
    for level, spans in chances.items():
        before = chances[kept[-1]] if kept else [0.0] * len(spans)
        more = max(chance - other for chance, other in zip(spans, before, strict=True))
        if more >= (CLEARLY_MORE if kept else WORTH_SHOWING):
            kept.append(level)
    return kept
