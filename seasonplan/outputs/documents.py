"""What the commands say as JSON: plan.json, and `--json` of nights, light, watch and catalogue.

Names and shapes are fixed by the design agreement (schema 1); keys beyond it may be added, never renamed. Numbers are
rounded here and nowhere earlier. A number that does not exist (no limit, no answer) is null, never NaN or infinity.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import fields, replace
from datetime import date

import numpy as np

from seasonplan.climate.crossings import autumn_index, spring_index
from seasonplan.climate.sureness import nights_line
from seasonplan.dates import DAYS, index_label, month_means
from seasonplan.model import (
    Alert,
    Daylight,
    Edge,
    Evening,
    Figure,
    HelperList,
    HungCloth,
    MoveDate,
    NightClimate,
    NightTables,
    Normals,
    OutlookNight,
    Place,
    PlaceWindow,
    Plan,
    PlantPlan,
    ShadeAdvice,
    ShoppingItem,
    Site,
    SkippedJob,
    Step,
    Stop,
    Taxon,
    Town,
    WatchReport,
)
from seasonplan.outputs.trade import days_gained

SCHEMA = 1
PERCENTS = (5, 10, 20, 50, 80, 90)
TEMPERATURE_DIGITS, LIGHT_DIGITS, HOUR_DIGITS, CHANCE_DIGITS, NIGHTS_DIGITS, AMOUNT_DIGITS = 1, 2, 2, 3, 3, 2
LABELS = tuple(index_label(index) for index in range(DAYS))


NO_PLANTS = '\n "plants": []'
"""How a plan without plants looks in to_json; no text in quotation marks can hold a line break."""


def to_json(document: dict | list) -> str:
    """JSON text in the order given, one line for each entry of the lists at the top; the same bytes every time.

    Raises ValueError where a NaN or an infinity has got in: RFC 8259 section 6 has neither.
    """
    return _lines(document, 2 if isinstance(document, dict) else 3, "") + "\n"


def _lines(value, levels: int, indent: str) -> str:
    if not levels or not value or not isinstance(value, dict | list):
        return json.dumps(value, ensure_ascii=False, allow_nan=False)
    inner = indent + " "
    if isinstance(value, dict):
        rows = [f"{inner}{json.dumps(key, ensure_ascii=False)}: {_lines(value[key], levels - 1, inner)}"
                for key in value]
        return "{\n" + ",\n".join(rows) + f"\n{indent}}}"
    return "[\n" + ",\n".join(inner + _lines(item, levels - 1, inner) for item in value) + f"\n{indent}]"


def plan_document(plan: Plan) -> dict:
    """plan.json. `plan.today` is not in it: the same inputs (the plan before among them) give the same bytes on any day
    while the season is not kept."""
    return {
        "schema": SCHEMA,
        "site": plan.site.name,
        "year": plan.year,
        "policy": plan.rules.policy,
        "nights": {"normals": normals_document(plan.scenario.normals),
                   "told": nights_line(plan.scenario.normals, plan.climate, plan.rules.units)},
        "plants": [_plant(each) for each in plan.plants],
        "steps": [_step(step) for step in plan.steps],
        "habits": [_step(step) for step in plan.habits],
        "months": [{"month": f"{month.first:%Y-%m}", "things": month.things, "minutes": month.minutes}
                   for month in plan.months],
        "shopping": [_shopping(item) for item in plan.shopping],
        "skipped": [_skipped(job) for job in plan.skipped],
        "cloths": [_cloth(cloth) for cloth in plan.cloths],
        "other_summer": plan.other_summer,
        "alerts": [_alert(alert) for alert in plan.alerts],
        "alerts_issued": plan.alerts_issued or None,
        "assumptions": list(plan.assumptions),
        "notices": list(plan.notices),
        "helper": [_helper(away) for away in plan.helper],
        "since": _since(plan),
    }


def _helper(away: HelperList) -> dict:
    return {"from": _day(away.first), "until": _day(away.until), "helper": away.helper, "before": list(away.before),
            "days": [{"date": _day(day), "do": list(lines)} for day, lines in away.days], "risk": away.risk}


def _since(plan: Plan) -> dict:
    """What the next plan needs of this one: plants that were news or are no longer there, and pests that plants.csv
    told of."""
    there = {each.plant.row or each.plant.name for each in plan.plants}
    return {"plants": {name: day and _day(day) for name, day in plan.known.items()
                       if day is not None or name not in there},
            "pests": {name: {"pest": pest, "date": _day(day)} for name, (pest, day) in plan.pests.items()}}


def plan_json(plan: Plan) -> bytes:
    """The bytes of plan.json: to_json of the plan_document, made plant by plant to spare memory (20,000 plants are
    170 MB of text, and thrice that as dictionaries)."""
    text = to_json(plan_document(replace(plan, plants=())))
    head, tail = text.split(NO_PLANTS, 1)
    if not plan.plants:
        return text.encode()
    parts, before = [head.encode()], NO_PLANTS[:-1].encode()
    for each in plan.plants:
        parts += [before, f"\n  {_lines(_plant(each), 0, '')}".encode()]
        before = b","
    return b"".join([*parts, b"\n ]", tail.encode()])


def nights_document(site: Site, normals: Normals, tables: NightTables, recorded: NightTables | None = None,
                    climate: NightClimate | None = None) -> dict:
    """`nights --json`: every threshold from the normals, then every one from the record where it is long enough."""
    document: dict = {"site": site.name, "normals": normals_document(normals)}
    if climate is not None:
        document |= {"mean_source": climate.mean_source, "sd_source": climate.sd_source, "notes": list(climate.notes)}
    sources = [tables] + ([recorded] if recorded is not None else [])
    told = {"spread": climate.sd_source} if climate is not None else {}
    return document | {"nights": [_threshold(each, k) | ({"spread": "record"} if each is recorded else told)
                                  for each in sources for k in range(len(each.thresholds_c))]}


def normals_document(normals: Normals) -> dict:
    """Where normals come from: the twelve lows, and for estimated ones how sure they are and from which stations."""
    estimate = normals.estimate
    return {"source": "given" if estimate is None else "estimated",
            "tmin_c": [_number(value, TEMPERATURE_DIGITS) for value in month_means(normals.tmin_c)],
            "error_c": None if estimate is None else _number(estimate.error_c, TEMPERATURE_DIGITS),
            "from": [] if estimate is None else [
                {"name": near.name, "km": _number(near.km, 1), "elevation_m": _number(near.elevation_m, 0)}
                for near in estimate.stations]}


def towns_document(towns: Iterable[tuple[Town, Normals]]) -> dict:
    """`towns --json`: what the table of towns knows, the likeliest first, with the normals estimated there."""
    return {"towns": [{"name": town.name, "country": town.country, "state": town.state or town.region,
                       "latitude": town.latitude, "longitude": town.longitude, "elevation_m": town.elevation_m,
                       "timezone": town.timezone, "people": town.people, "normals": normals_document(normals)}
                      for town, normals in towns]}


def light_document(daylight: Daylight, places: Sequence[Place]) -> dict:
    """`light --json`: every place on every day of the planning year."""
    kinds = {place.name: place.kind for place in places}
    dates = [day.isoformat() for day in daylight.dates]
    return {"places": [{"name": name, "kind": kinds[name], "days": _light_days(daylight, row, dates)}
                       for row, name in enumerate(daylight.places)], "notes": list(daylight.notes)}


def watch_document(report: WatchReport) -> dict:
    """`watch --json` for one site."""
    return {"site": report.site, "issued": report.issued, "source": report.source,
            "alerts": [_alert(alert) for alert in report.alerts],
            "outlook": [_outlook(night) for night in report.outlook],
            "advice": list(report.advice), "notes": list(report.notes),
            "evening": None if report.evening is None else _evening(report.evening),
            "sky": [{"kind": each.kind, "day": _day(each.day), "value": _number(each.value, TEMPERATURE_DIGITS),
                     "limit": each.limit, "plants": list(each.plants), "text": each.text, "source": each.source}
                    for each in report.sky]}


def _evening(evening: Evening) -> dict:
    return {"night": _day(evening.night), "title": evening.title, "lines": list(evening.lines), "by": evening.by}


def catalogue_document(taxa: Iterable[Taxon], evidence: Mapping[str, Sequence[Mapping[str, str]]]) -> dict:
    """`catalogue --json`: the columns of the catalogue, temperatures in °C and light in mol per day; `evidence`: the
    rows behind the figures by the taxon's key, empty where no words were given."""
    return {"taxa": [_taxon(taxon, evidence.get(taxon.key, ())) for taxon in taxa]}


def _taxon(taxon: Taxon, evidence: Sequence[Mapping[str, str]]) -> dict:
    entry: dict = {}
    for field in fields(taxon):
        value = getattr(taxon, field.name)
        if isinstance(value, Figure):
            entry[f"{field.name}_c"] = value.value
            entry[field.name] = {"low_c": value.low, "high_c": value.high, "grade": value.grade}
        else:
            entry[field.name] = list(value) if isinstance(value, tuple) else value
    return entry | ({"evidence": [dict(row) for row in evidence]} if evidence else {})


def _number(value: float | None, digits: int) -> float | None:
    """Rounded for people; None for what is not a number, 0.0 for -0.0."""
    if value is None or not math.isfinite(value):
        return None
    return round(float(value), digits) + 0.0


def _day(value: date | None) -> str | None:
    return value.isoformat() if value is not None else None


def _plant(plan: PlantPlan) -> dict:
    plant, gained = plan.plant, days_gained(plan)
    return {
        "name": plant.name, "taxon": plant.taxon.key, "count": plant.count, "status": plan.status,
        "reason": plan.reason, "harm_c": _number(plant.harm_c, TEMPERATURE_DIGITS),
        "harm_hardened_c": _number(plant.harm_hardened_c, TEMPERATURE_DIGITS),
        "comfort_c": _number(plant.comfort_c, TEMPERATURE_DIGITS), "place": plant.place,
        "out": _move(plan.out), "in": _move(plan.back),
        "carry_in_gains_days": None if gained is None else {"spring": gained[0], "autumn": gained[1]},
        "windows": [_window(window) for window in plan.windows],
        "route": [_stop(stop) for stop in plan.route],
    }


def _move(move: MoveDate) -> dict:
    return {"date": _day(move.date), "careful": _day(move.careful), "carry_in": _day(move.carry_in),
            "chance_of_harm": _number(move.chance_of_harm, CHANCE_DIGITS),
            "expected_cold_nights": _number(move.expected_cold_nights, NIGHTS_DIGITS),
            "decided_by": move.decided_by, "guess": move.guess or None, "earliest": _day(move.earliest),
            "latest": _day(move.latest)}


def _window(window: PlaceWindow) -> dict:
    dated = None if isinstance(window.span, Edge) else window.span
    return {"place": window.place, "when": "dates" if dated else window.span.value,  # type: ignore[union-attr]
            "date": _day(dated[0]) if dated else None, "until": _day(dated[1]) if dated else None,
            "out": _move(window.out), "in": _move(window.back), "reason": window.reason,
            "cooler_c": _number(window.cooler_c, TEMPERATURE_DIGITS)}


def _stop(stop: Stop) -> dict:
    return {"date": _day(stop.date), "until": _day(stop.until), "place": stop.place,
            "clear_dli": _number(stop.clear_dli, LIGHT_DIGITS), "mean_dli": _number(stop.mean_dli, LIGHT_DIGITS),
            "direct_sun_h": _number(stop.direct_sun_h, HOUR_DIGITS),
            "full_sun_h": _number(stop.full_sun_h, HOUR_DIGITS),
            "acclimated_dli": _number(stop.acclimated_dli, LIGHT_DIGITS),
            "allowed_dli": _number(stop.allowed_dli, LIGHT_DIGITS),
            "allowed_full_sun_h": _number(stop.allowed_full_sun_h, HOUR_DIGITS),
            "why": stop.why, "shade": _shade(stop.shade)}


def _cloth(cloth: HungCloth) -> dict:
    return {"place": cloth.place, "percent": cloth.percent, "first": _day(cloth.first), "last": _day(cloth.last),
            "area_m2": _number(cloth.area_m2, AMOUNT_DIGITS), "plants": list(cloth.plants)}


def _shade(shade: ShadeAdvice | None) -> dict | None:
    if shade is None:
        return None
    return {"place": shade.place, "percent": shade.percent, "until": _day(shade.until)}


def _step(step: Step) -> dict:
    return {"uid": step.uid, "date": _day(step.date), "start": step.start, "minutes": step.minutes, "kind": step.kind,
            "title": step.title, "plants": list(step.plants), "place": step.place, "detail": step.detail,
            "why": step.why, "cautions": list(step.cautions),
            "due": [_day(day) for day in step.due] if step.due else None,
            "amounts": {key: _number(value, AMOUNT_DIGITS) for key, value in step.amounts},
            "open_since": _day(step.open_since), "optional": step.optional,
            "parts": [{"place": place, "start": start, "minutes": minutes} for place, start, minutes in step.parts],
            "thing": step.thing}


def _shopping(item: ShoppingItem) -> dict:
    return {"item": item.item, "amount": _number(item.amount, AMOUNT_DIGITS), "unit": item.unit,
            "needed_by": _day(item.needed_by), "for_steps": list(item.for_steps), "note": item.note}


def _skipped(job: SkippedJob) -> dict:
    return {"kind": job.kind, "plants": list(job.plants), "reason": job.reason, "remedy": job.remedy,
            "kept": job.kept, "optional": job.optional}


def _alert(alert: Alert) -> dict:
    return {"uid": alert.uid, "level": alert.level, "night": _day(alert.night), "place": alert.place,
            "forecast_low_c": _number(alert.forecast_low_c, TEMPERATURE_DIGITS),
            "low_c_at_place": _number(alert.low_c_at_place, TEMPERATURE_DIGITS),
            "chance": _number(alert.chance, CHANCE_DIGITS),
            "threshold_c": _number(alert.threshold_c, TEMPERATURE_DIGITS), "frost": alert.frost,
            "plants": list(alert.plants), "action": alert.action, "act": alert.act, "to": alert.to, "by": alert.by,
            "out_again": _day(alert.out_again), "stays": alert.stays, "spell": alert.spell, "alarm": alert.alarm}


def _outlook(night: OutlookNight) -> dict:
    return {"night": _day(night.night), "place": night.place,
            "threshold_c": _number(night.threshold_c, TEMPERATURE_DIGITS),
            "low_c": _number(night.low_c, TEMPERATURE_DIGITS), "sd_c": _number(night.sd_c, TEMPERATURE_DIGITS),
            "chance_harm": _number(night.chance_harm, CHANCE_DIGITS),
            "chance_frost": _number(night.chance_frost, CHANCE_DIGITS), "from_forecast": night.from_forecast}


def _threshold(tables: NightTables, k: int) -> dict:
    return {"threshold_c": _number(tables.thresholds_c[k], 2), "source": tables.source,
            "spring_last": {str(p): _label(spring_index(tables, k, p)) for p in PERCENTS},
            "autumn_first": {str(p): _label(autumn_index(tables, k, p)) for p in PERCENTS},
            "expected_after": _by_label(tables.expected_after[k]),
            "expected_before": _by_label(tables.expected_before[k])}


def _label(index: int | None) -> str | None:
    return None if index is None else LABELS[index % DAYS]


def _by_label(curve: np.ndarray) -> dict[str, float]:
    return dict(zip(LABELS, _rounded(curve, NIGHTS_DIGITS), strict=True))


def _light_days(daylight: Daylight, row: int, dates: Sequence[str]) -> list[dict]:
    columns = [_rounded(daylight.clear_dli[row], LIGHT_DIGITS), _rounded(daylight.mean_dli[row], LIGHT_DIGITS),
               _rounded(daylight.direct_sun_h[row], HOUR_DIGITS), _rounded(daylight.full_sun_h[row], HOUR_DIGITS),
               _rounded(daylight.peak_ppfd[row], 0)]
    names = ("date", "clear_dli", "mean_dli", "direct_sun_h", "full_sun_h", "peak_ppfd")
    return [dict(zip(names, day, strict=True)) for day in zip(dates, *columns, strict=True)]


def _rounded(values: np.ndarray, digits: int) -> list:
    """(n,) numbers rounded, None where there is none."""
    found = (np.round(np.asarray(values, float), digits) + 0.0).tolist()
    return [value if math.isfinite(value) else None for value in found]
