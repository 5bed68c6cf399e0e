"""A sun plant and a shade plant on the places of the shipped scenario Fallowmere, in its own light."""

from datetime import date
from pathlib import Path

import pytest
from plain_route import daily

from seasonplan.dates import planning_days
from seasonplan.decisions.route import RouteRequest, routes
from seasonplan.files import load_scenario
from seasonplan.model import Rules
from seasonplan.sky.daylight import daylight

FALLOWMERE = Path(__file__).parent.parent.parent / "scenarios" / "fallowmere"
OUT, BACK = date(2027, 5, 29), date(2027, 9, 12)


@pytest.fixture(scope="module")
def scenario():
    return load_scenario(FALLOWMERE)


@pytest.fixture(scope="module")
def light(scenario):
    return daylight(scenario.site, scenario.places, scenario.normals, planning_days(2027, scenario.site.latitude_deg))


def rows_of(name: str, scenario, light):
    plant = next(p for p in scenario.plants if p.name == name)
    spans = {p.name: (OUT, BACK) for p in scenario.places if p.outdoors}
    request = RouteRequest(plant, spans, OUT, BACK)
    stops = routes([request], scenario.places, light, Rules())[0].stops
    return daily(request, stops, light)


TABLES = ("Potted oleander", "Kentia palm")


def test_the_sun_plant_reaches_the_lawn_in_three_weeks_and_the_shade_plant_never_does(scenario, light):
    sun, shade = (rows_of(name, scenario, light) for name in TABLES)
    first = next(row[0] for row in sun if row[1].place == "lawn")
    assert (first - OUT).days <= 23
    assert "lawn" not in {row[1].place for row in shade} and max(row[6] for row in shade) <= 1.5
