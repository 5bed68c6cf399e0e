"""A sun plant and a shade plant on the places of the shipped scenario Fallowmere, in its own light, day by day.

Checked once by hand and kept: on 29 May the oleander leaves a window of 8.3 mol; behind the house 14.7 mol clear are
within 3.5 * 8.3 = 29, and 1.2 full-sun hours within the 1.5 of the first week. Every row keeps clear <= allowed and
sun <= allowed. When the scenario or the light model changes, look at the new table (`table`) before keeping it.
"""

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
READ_OFF = 0.06
"""The tables are printed to one decimal."""


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


def table(rows) -> str:
    """Every third day: day, place, A, clear, allowed, S, full sun, allowed."""
    return "\n".join(f"{day:%m-%d} {stop.place.replace(' ', '-'):20}{a:6.1f}{clear:6.1f}{allowed:7.1f}{s:6.1f}{sun:6.1f}"
                     f"{allowed_sun:6.1f}" for day, stop, a, s, clear, _, sun, allowed, allowed_sun in rows[::3])


TABLES = {}


@pytest.mark.parametrize("name", TABLES)
def test_day_by_day(name, scenario, light):
    found = [line.split() for line in table(rows_of(name, scenario, light)).splitlines()]
    kept = [line.split() for line in TABLES[name].strip().splitlines()]
    assert [line[:2] for line in found] == [line[:2] for line in kept]
    for mine, told in zip(found, kept, strict=True):
        assert [float(n) for n in mine[2:]] == pytest.approx([float(n) for n in told[2:]], abs=READ_OFF), told[0]


def test_the_sun_plant_reaches_the_lawn_in_three_weeks_and_the_shade_plant_never_does(scenario, light):
    sun, shade = (rows_of(name, scenario, light) for name in TABLES)
    first = next(row[0] for row in sun if row[1].place == "lawn")
    assert (first - OUT).days <= 23
    assert "lawn" not in {row[1].place for row in shade} and max(row[6] for row in shade) <= 1.5
