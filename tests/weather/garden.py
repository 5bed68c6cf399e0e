"""An invented garden in the last days of May: who stands where, and forecasts for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

from invented import make_daylight, make_night_climate, make_plan, make_plant, make_plant_plan, make_scenario, make_stop

from seasonplan.model import Forecast, ForecastNight, Place, Plan, Plant, PlantPlan
from seasonplan.weather.danger import Danger, danger
from seasonplan.weather.outlook import coming_nights
from seasonplan.weather.standing import standing

OUT, BACK = date(2027, 5, 15), date(2027, 9, 20)
WINDOW = Place("south window", "indoor", room_for=3)
ROOM = Place("north room", "indoor")
PORCH = Place("porch", "outdoor", night_lift_c=1.0, roof_deg=50.0, room_for=20)
GLASS = Place("cold frame", "outdoor", night_lift_c=8.0, roof_deg=20.0, room_for=2)
LAWN = Place("lawn", "outdoor")
PLACES = (WINDOW, ROOM, PORCH, GLASS, LAWN)


def garden_plant(name: str, harm_c: float, **given) -> Plant:
    """A plant that never hardens, unless it is told."""
    return make_plant(name, **{"harm_c": harm_c, "harm_hardened_c": harm_c, **given})


def standing_at(plant: Plant, place: str, out: date = OUT, back: date = BACK) -> PlantPlan:
    """A plant that stands at one place from `out` to `back`; indoors all year where the place is ""."""
    if not place:
        return make_plant_plan(plant, out, back, (), status="stays-in")
    stop = make_stop(out, back, "lawn", make_daylight(year=out.year))
    return make_plant_plan(plant, out, back, (replace(stop, place=place),))


def make_garden(standing: Sequence[PlantPlan], places: Sequence[Place] = PLACES, today: date = date(2027, 6, 1),
                **scenario) -> Plan:
    base = make_plan(today=today, climate=make_night_climate())
    given = make_scenario(places=tuple(places), plants=tuple(p.plant for p in standing), **scenario)
    return replace(base, scenario=given, plants=tuple(standing), steps=(), daylight=make_daylight(tuple(places)))


def make_forecast(first: date, lows_c: Sequence[float], calm_clear: bool | None = False, wind_m_s: float | None = 1.0,
                  elevation_m: float | None = 250.0, issued: datetime | None = None) -> Forecast:
    """Consecutive nights for the site's own height."""
    nights = tuple(ForecastNight(first + timedelta(days=n), low, n, calm_clear, wind_m_s)
                   for n, low in enumerate(lows_c))
    return Forecast("Invented forecast", issued, nights, (), elevation_m)


def look_ahead(plan: Plan, lows_c: Sequence[float], today: date = date(2027, 6, 1), **told) -> Danger:
    """The danger of the nights from today on, by a forecast of these lows."""
    forecast = make_forecast(today, lows_c, **told)
    return danger(plan, coming_nights(plan.climate, forecast, plan.site, plan.places, today, 30), standing(plan))
