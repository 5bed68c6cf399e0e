"""How the time of routing grows with the collection: ratios within one process, run with `-m bench`."""

import time
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from invented import make_daylight, make_plant, make_taxon

from seasonplan.data import table
from seasonplan.decisions.route import RouteRequest, routes
from seasonplan.model import Place, Rules

RUNS = 5
OUTDOOR = tuple(f"spot {n}" for n in range(10))


def garden(room: int | None = None):
    """Two rooms and ten places from deep shade to open ground, with their light."""
    places = (Place("south window", "indoor"), Place("north window", "indoor"),
              *(Place(name, "outdoor", room_for=room) for name in OUTDOOR))
    light = make_daylight(places)
    share = np.array([0.06, 0.02, *np.linspace(0.08, 1.0, len(OUTDOOR)) ** 1.3])[:, None]
    clear = share * light.open_clear_dli
    return places, replace(light, clear_dli=clear, mean_dli=0.7 * clear, full_sun_h=clear / 6.5 * 0.6)


def collection(pots: int) -> list[RouteRequest]:
    """Plants of the whole catalogue in turn, with three waves and spans that differ from place to place."""
    rows = table("catalogue")
    requests = []
    for n in range(pots):
        row = rows[n * 7 % len(rows)]
        taxon = make_taxon(key=row["key"], botanical=row["botanical"], sun=row["sun"],
                           light_low_mol=float(row["light_low_mol"]), light_high_mol=float(row["light_high_mol"]))
        leave, back = date(2027, 5, 1) + timedelta(days=7 * (n % 3)), date(2027, 10, 2) - timedelta(days=7 * (n % 3))
        spans = {name: (leave + timedelta(days=k % 3), back - timedelta(days=3 * (k % 3)))
                 for k, name in enumerate(OUTDOOR)}
        plant = make_plant(f"plant {n:05d}", taxon=taxon, place=("south window", "north window")[n % 2])
        requests.append(RouteRequest(plant, spans, leave, back))
    return requests


def best_s(pots: int, room: int | None = None) -> float:
    """Seconds of the best of several runs."""
    places, light = garden(room)
    requests, found = collection(pots), []
    for _ in range(RUNS):
        start = time.perf_counter()
        routes(requests, places, light, Rules())
        found.append(time.perf_counter() - start)
    return min(found)


@pytest.mark.bench
def test_two_thousand_pots_take_no_more_than_four_times_the_time_of_twenty():
    ratio = best_s(2000) / best_s(20)
    assert ratio <= 4


@pytest.mark.bench
def test_two_thousand_pots_that_compete_for_room_stay_within_ten_times():
    ratio = best_s(2000, room=180) / best_s(20, room=2)
    assert ratio <= 10


@pytest.mark.bench
def test_twenty_thousand_pots_take_seconds():
    assert best_s(20_000) < 30
