"""Invented sites, places, plants and light for tests. Every value here is made up; nothing is a real garden."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta

import numpy as np

from seasonplan.dates import DAYS, planning_days
from seasonplan.model import (
    Alert,
    Daylight,
    Figure,
    LoggedStay,
    MoveDate,
    NightClimate,
    NightTables,
    Normals,
    Place,
    PlaceWindow,
    Plan,
    Plant,
    PlantPlan,
    Rules,
    Scenario,
    ShadeAdvice,
    ShoppingItem,
    Site,
    SkippedJob,
    Step,
    Stop,
    Taxon,
)

COLD_TOWN_TMIN_C = np.array([-12.0, -10.5, -5.0, 1.0, 7.5, 12.8, 15.5, 14.4, 9.2, 3.2, -3.0, -9.0])
COLD_TOWN_SD_C = np.array([6.5, 6.2, 5.2, 4.4, 4.1, 3.6, 3.0, 3.1, 4.2, 4.4, 4.9, 6.0])
COLD_TOWN_TMAX_C = np.array([-2.0, 0.5, 7.0, 15.0, 21.5, 26.5, 29.0, 28.0, 22.5, 15.0, 6.0, 0.0])


def make_site(**given) -> Site:
    return replace(Site("Invented town", 44.5, -93.0, 250.0, "America/Chicago"), **given)


def make_taxon(**given) -> Taxon:
    """Thresholds by number (harm_c, harm_hardened_c, comfort_c); harm_c alone: two degrees hardier once hardened."""
    if "harm_c" in given:
        given.setdefault("harm_hardened_c", given["harm_c"] - 2.0)
    thresholds = {"harm": 10.0, "harm_hardened": 8.0, "comfort": 14.0}
    figures = {name: given.pop(name, None) or _listed(given.pop(f"{name}_c", value))
               for name, value in thresholds.items()}
    base = Taxon("inventia-tropica", "Inventia tropica", "invented plant", "foliage", "tropical", **figures,
                 freeze_kill=True, light_low_mol=3.0, light_high_mol=12.0, sun="shade", summer_outdoors="yes",
                 moisture="even", soap_sensitive="no", toxic_people="toxic", toxic_pets="toxic", salt_sensitive=False,
                 cuttings="water", bud_cold_c=None, source_temp="invented", source_light="invented",
                 source_other="invented")
    return replace(base, **given)


def _listed(value: float) -> Figure:
    return Figure(value, value, value, "listed")


def make_plant(name: str = "Plant one", **given) -> Plant:
    taxon = given.pop("taxon", None) or make_taxon()
    if "harm_c" in given:
        given.setdefault("harm_hardened_c", given["harm_c"] - 2.0)
    base = Plant(name, taxon, 1, 20.0, "south window", taxon.harm_c, taxon.harm_hardened_c,
                 taxon.comfort_c, taxon.light_high_mol, line=2)
    return replace(base, **given)


def make_places() -> tuple[Place, ...]:
    return (Place("south window", "indoor", faces_deg=180.0, window_width_m=1.4, window_height_m=1.3, sill_m=0.0,
                  distance_m=0.5),
            Place("porch", "outdoor", night_lift_c=1.0, faces_deg=90.0, wall_behind=True, roof_deg=50.0, room_for=20),
            Place("under the tree", "outdoor", leaf_shade=0.3, room_for=30),
            Place("lawn", "outdoor"))


def make_normals(**given) -> Normals:
    return replace(Normals(COLD_TOWN_TMIN_C, COLD_TOWN_SD_C, COLD_TOWN_TMAX_C), **given)


def make_scenario(**given) -> Scenario:
    base = Scenario(make_site(), Rules(year=2027), make_places(), (make_plant(),), make_normals())
    return replace(base, **given)


def make_daylight(places: tuple[Place, ...] | None = None, year: int = 2027, latitude_deg: float = 44.5) -> Daylight:
    """A simple invented year of light: open ground swings 15..60 mol, other places take fixed shares of it."""
    places = places or make_places()
    dates = planning_days(year, latitude_deg)
    season = np.array([0.5 - 0.5 * np.cos(2 * np.pi * (d.timetuple().tm_yday - 10) / 365) for d in dates])
    if latitude_deg < 0:
        season = 1 - season
    open_clear = 15 + 45 * season
    share = {"south window": 0.06, "porch": 0.2, "under the tree": 0.3, "lawn": 1.0}
    sun = {"south window": 3.0, "porch": 1.4, "under the tree": 2.5, "lawn": 9.0}
    part = np.array([share.get(p.name, 0.5) for p in places])[:, None]
    hours = np.array([sun.get(p.name, 4.0) for p in places])[:, None] * np.ones((1, len(dates)))
    spans = tuple(tuple(((420, 420 + int(60 * h)),) for h in row) for row in hours)
    return Daylight(dates, tuple(p.name for p in places), part * open_clear, part * open_clear * 0.6, hours,
                    part * open_clear / 6.5 * 0.6, part * 2000 * np.ones((1, len(dates))), spans,
                    np.full(len(dates), 360.0), np.full(len(dates), 1200.0), open_clear, open_clear * 0.6)


def days_from(start: date, count: int) -> list[date]:
    return [start + timedelta(days=n) for n in range(count)]

def make_night_climate(mean_c: np.ndarray | None = None, sd_c: float = 4.0) -> NightClimate:
    """A cosine year of night lows, coldest in mid-January: -11 to 15 °C unless another mean is given."""
    swing = 2.0 - 13.0 * np.cos(2 * np.pi * (np.arange(DAYS) - 15) / DAYS)
    mean_c = swing if mean_c is None else mean_c
    return NightClimate(mean_c, np.full(DAYS, sd_c), np.full(DAYS, 0.7), int(np.argmax(mean_c)),
                        int(np.argmin(mean_c)), "normals", "assumed", {}, ("The spread of nights is assumed.",))


def make_tables(climate: NightClimate, thresholds_c: Iterable[float]) -> NightTables:
    """Chances as if nights were independent and logistic: invented, but shaped like the real thing."""
    levels = np.array(sorted(set(thresholds_c)))
    p = 1 / (1 + np.exp(-1.7 * (levels[:, None] - climate.mean_c) / climate.sd_c))
    spring = (climate.turn_index - climate.cold_index) % DAYS
    forward = np.roll(p, -climate.cold_index, axis=1)
    fresh = {"expected_after": np.cumsum(forward[:, :spring][:, ::-1], 1)[:, ::-1],
             "expected_before": np.cumsum(forward[:, spring:], 1)}
    blank = np.zeros_like(p)
    after, before = blank.copy(), blank.copy()
    after[:, :spring], before[:, spring:] = fresh["expected_after"], fresh["expected_before"]
    after, before = (np.roll(a, climate.cold_index, axis=1) for a in (after, before))
    return NightTables(levels, 1 - np.exp(-0.5 * after), 1 - np.exp(-0.5 * before), after, before,
                       climate.turn_index, climate.cold_index)


def stays_of(stays) -> tuple[LoggedStay, ...]:
    """Stays from (date, place) or (date, place, cloth)."""
    return tuple(LoggedStay(*stay) for stay in stays)


def make_stop(start: date, until: date, place: str, daylight: Daylight, acclimated_dli: float = 3.0, **given) -> Stop:
    p, n = daylight.places.index(place), daylight.dates.index(start)
    base = Stop(start, until, place, float(daylight.clear_dli[p, n]), float(daylight.mean_dli[p, n]),
                float(daylight.direct_sun_h[p, n]), float(daylight.full_sun_h[p, n]), acclimated_dli,
                max(12.0, 3.5 * acclimated_dli), 2.0, why="The brightest place it is ready for.")
    return replace(base, **given)


def make_plant_plan(plant: Plant, out: date, back: date, route: tuple[Stop, ...], **given) -> PlantPlan:
    ends = (MoveDate(out, out + timedelta(days=21), out - timedelta(days=2), 0.42, 1.6, "harm"),
            MoveDate(back, back - timedelta(days=14), back + timedelta(days=1), 0.31, 0.9, "comfort"))
    reason = "Out once about 2 nights at or below its limit are to be expected before midsummer."
    window = PlaceWindow("porch", (out - timedelta(days=5), back + timedelta(days=4)), *ends, reason)
    base = PlantPlan(plant, "moves", reason, *ends, windows=(window,), route=route)
    return replace(base, **given)


def make_step(day: date, kind: str, plants: tuple[str, ...], **given) -> Step:
    base = Step(f"{day.year}-{kind}-invented-1-{day:%m%d}beef@seasonplan.invalid", day, "09:00", 30, kind,
                f"{kind.capitalize()}: {', '.join(plants)[:40]}", plants, "porch", "Do it slowly.",
                "Because the invented plan says so.")
    return replace(base, **given)


def make_plan(scenario: Scenario | None = None, today: date = date(2027, 5, 10), **given) -> Plan:
    """A season for a dozen invented plants: three waves, one that stays in, one on day trips, one that stays out.

    With a scenario, only its site, rules and folder are taken over; the plants, places and dates stay invented.
    """
    places, light = make_places(), make_daylight()
    hardy, tough, tender = (make_taxon(key=f"inventia-{k}", botanical=f"Inventia {k}", common=f"{k} invented plant",
                                       harm_c=h, comfort_c=c, light_high_mol=m, sun=s)
                            for k, h, c, m, s in (("dura", 2.0, 8.0, 40.0, "sun"),
                                                  ("media", 7.0, 12.0, 20.0, "part-sun"),
                                                  ("tenera", 12.0, 15.0, 8.0, "shade")))
    waves = ((hardy, ("Lemon", "Olive", "Rosemary by the door"), date(2027, 5, 1), date(2027, 10, 10)),
             (tough, ("Jade", "Big fig", "Umbrella", "Ivy"), date(2027, 5, 22), date(2027, 9, 26)),
             (tender, ("Aunt's peace lily", "Dumb cane"), date(2027, 6, 12), date(2027, 9, 5)))
    plans = []
    for wave, (taxon, names, out, back) in enumerate(waves):
        week = timedelta(days=7)
        legs = [(out, out + week, "porch", 2.0), (out + week, back - week, "under the tree", 5.0),
                (back - week, back, "porch", 14.0)]
        if taxon is hardy:
            legs[1:2] = [(out + week, out + 3 * week, "under the tree", 5.0),
                         (out + 3 * week, back - week, "lawn", 11.0)]
        route = tuple(make_stop(a, b, place, light, used) for a, b, place, used in legs)
        if taxon is tough:
            route = (replace(route[0], shade=ShadeAdvice("porch", 50, out + week)), *route[1:])
        plans += [make_plant_plan(make_plant(name, taxon=taxon, count=1 + (wave + n) % 3), out, back, route)
                  for n, name in enumerate(names)]
    none = MoveDate(None, None, None, None, None)
    plans += [PlantPlan(make_plant("African violet", taxon=tender), "stays-in", "No summer here is warm enough.",
                        none, none),
              PlantPlan(make_plant("Orchid", taxon=tender), "day-trips", "Nights stay too cold; warm days do it good.",
                        none, none),
              PlantPlan(make_plant("Hen and chicks", taxon=hardy), "stays-out", "No night here marks it.", none, none)]
    names = tuple(p.plant.name for p in plans)
    caution = "Read the product label first: it is the law, and it decides the dose."
    heavy = "Heavy when wet: a dolly or a second person."
    steps = (
        make_step(date(2027, 4, 24), "inspect", names, minutes=60, place="indoors"),
        make_step(date(2027, 5, 1), "move-out", names[:3], cautions=(heavy,)),
        make_step(date(2027, 5, 8), "move", names[:3], place="under the tree"),
        make_step(date(2027, 5, 15), "leach", names[:2], minutes=50, amounts=(("water_l", 32.0),)),
        make_step(date(2027, 5, 16), "spray", ("Jade",), cautions=(caution, "Wear gloves."), minutes=25),
        make_step(date(2027, 5, 22), "move-out", names[3:7], cautions=(heavy,), minutes=45),
        make_step(date(2027, 5, 22), "repot", ("Big fig",), minutes=40, start="10:00", amounts=(("mix_l", 18.0),)),
        make_step(date(2027, 6, 12), "move-out", names[7:9]),
        make_step(date(2027, 9, 5), "move-in", names[7:9]),
        make_step(date(2027, 9, 26), "move-in", names[3:7]),
        make_step(date(2027, 10, 10), "move-in", names[:3], cautions=(heavy,)))
    shopping = (ShoppingItem("potting mix", 18.0, "L", date(2027, 5, 22), (steps[6].uid,), "peat-free works"),
                ShoppingItem("water for leaching", 32.0, "L", date(2027, 5, 15), (steps[3].uid,)))
    skipped = (SkippedJob("cuttings", ("Ivy",), "No free hour before its last day.", "Give 240 minutes per day."),)
    alerts = (Alert("2027-alert-1@seasonplan.invalid", date(2027, 5, 11), "under the tree", 3.5, 1.5, 0.62, 2.0,
                    names[:3], "Carry 5 pots to the porch before sunset.", "2027-05-11T19:00", frost=True,
                    to="porch", out_again=date(2027, 5, 13), alarm="2027-05-11T17:00"),)
    base = scenario or make_scenario()
    scenario = replace(base, places=places, plants=tuple(p.plant for p in plans))
    climate = make_night_climate()
    plan = Plan(scenario, 2027, today, climate, make_tables(climate, range(-10, 21)), light, tuple(plans), steps,
                shopping, skipped, alerts, ("Pot sizes not given are taken as 15 cm.", "Invented for a test."))
    return replace(plan, **given)


def by_step(plan: Plan) -> Plan:
    """The same plan with a calendar event for each step."""
    return replace(plan, scenario=replace(plan.scenario, rules=replace(plan.rules, calendar="by-step")))
