"""What holds for every route, over invented sites, places, light and collections.

The light rule is worked out once more in plain loops (plain_route): no stop breaks it on any day, under either way of
stepping a lag; no place holds more pots than it has room for; no plant stands outside its spans; every day is
accounted for; stops last three days; the order of the rows does not matter.
"""

from dataclasses import dataclass, field, replace
from datetime import timedelta

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from invented import make_daylight, make_plant, make_taxon, stays_of
from plain_route import all_faults

from seasonplan.dates import next_move_day, previous_move_day
from seasonplan.decisions.route import RouteRequest, routes
from seasonplan.model import Daylight, Place, Rules

NAMES = ("porch", "tree", "steps", "lawn", "roof", "yard")
KINDS = {"sun": (12.0, 45.0), "part-sun": (5.0, 20.0), "shade": (3.0, 10.0), "deep-shade": (2.0, 5.0)}
MOVE_DAYS = (("sat", "sun"), ("sat", "sun"), ("sat", "sun"), ("wed",), ("mon", "thu"), ())
SUMMERS = ("toward-sun", "toward-sun", "in-shade")
MANY = settings(deadline=None, max_examples=30, derandomize=True)


@st.composite
def yards(draw):
    """(places, light): up to six places of any brightness; the sun's path may open or close a place for some weeks."""
    names = NAMES[:draw(st.integers(1, len(NAMES)))]
    room = st.sampled_from([None, None, 1, 2, 4, 7])
    places = (Place("south window", "indoor"), Place("north window", "indoor"),
              *(Place(name, "outdoor", room_for=draw(room)) for name in names))
    light = make_daylight(places, latitude_deg=draw(st.sampled_from([44.5, 44.5, 60.0, -35.0])))
    share = np.array([0.06, 0.02] + [draw(st.sampled_from([0.04, 0.1, 0.15, 0.2, 0.3, 0.5, 1.0])) for _ in names])
    beam = np.array([0.0, 0.0] + [draw(st.sampled_from([0.0, 0.3, 0.6, 0.85])) for _ in names])
    clear = share[:, None] * light.open_clear_dli
    for row in range(2, len(places)):
        start, length, factor = draw(st.tuples(st.integers(0, 364), st.integers(0, 90), st.sampled_from([0.4, 1.7])))
        clear[row, start:start + length] *= factor
    sky = draw(st.sampled_from([0.35, 0.6, 0.8]))
    return places, replace(light, clear_dli=clear, mean_dli=sky * clear, full_sun_h=beam[:, None] * clear / 6.5,
                           peak_ppfd=draw(st.sampled_from([20.0, 35.0])) * clear,
                           open_mean_dli=sky * light.open_clear_dli)


@dataclass(frozen=True, eq=False)
class Collection:
    """Plants that ask for routes, and where; the light is left out of its short description."""

    requests: list[RouteRequest]
    places: tuple[Place, ...]
    light: Daylight = field(repr=False)
    rules: Rules

    def routes(self):
        return routes(self.requests, self.places, self.light, self.rules)

    def faults(self, results):
        return all_faults(self.requests, results, self.places, self.light, self.rules)


@st.composite
def collections(draw, logged: bool = False):
    """Up to ten invented plants with spans of their own at every place."""
    places, light = draw(yards())
    rules = Rules(move_days=draw(st.sampled_from(MOVE_DAYS)), summer=draw(st.sampled_from(SUMMERS)))
    outdoor = [p.name for p in places if p.outdoors]
    year = len(light.dates)
    requests = []
    for n in range(draw(st.integers(1, 10))):
        kind = draw(st.sampled_from(sorted(KINDS)))
        low, high = KINDS[kind]
        taxon = make_taxon(sun=kind, light_low_mol=low, light_high_mol=high,
                           botanical=draw(st.sampled_from(["Ficus inventa", "Inventia prima"])))
        plant = make_plant(f"plant {draw(st.integers(0, 99)):02d} {n}", taxon=taxon,
                           count=draw(st.sampled_from([1, 1, 2, 3])),
                           place=draw(st.sampled_from(["south window", "north window"])))
        first, last = draw(st.integers(20, 165)), draw(st.integers(180, year - 20))
        spans = {}
        for name in outdoor:
            if draw(st.booleans()) or draw(st.booleans()):
                start, end = first + draw(st.integers(0, 20)), last - draw(st.integers(0, 20))
                if start < end:
                    spans[name] = (light.dates[start], light.dates[end])
        if draw(st.integers(0, 12)) == 0:
            spans = dict.fromkeys(outdoor, (light.dates[0], light.dates[-1] + timedelta(days=1)))
        if not spans:
            continue
        leave = next_move_day(min(s[0] for s in spans.values()), rules.move_days)
        back = max(s[1] for s in spans.values())
        back = back if back > light.dates[-1] else previous_move_day(back, rules.move_days)
        if leave < back:
            stays = draw(logs(leave, outdoor, light.dates[0], light.dates[-1])) if logged else ()
            free = stays[-1][0] + timedelta(days=draw(st.integers(0, 40))) if stays and draw(st.booleans()) else None
            requests.append(RouteRequest(plant, spans, leave, back, stays_of(stays), free))
    return Collection(requests, places, light, rules)


@st.composite
def logs(draw, leave, outdoor, first, last):
    """Up to four moves that really happened, the first about when the plant was to leave."""
    day, stays = leave + timedelta(days=draw(st.integers(-4, 9))), []
    for _ in range(draw(st.integers(0, 4))):
        stays.append((day, draw(st.sampled_from([*outdoor, "south window"])), draw(st.sampled_from([0, 0, 50]))))
        day += timedelta(days=draw(st.integers(1, 30)))
    return tuple(stay for stay in stays if first <= stay[0] <= last)


@MANY
@given(collections())
def test_no_route_breaks_a_rule_and_every_day_is_accounted_for(collection):
    results = collection.routes()
    assert collection.faults(results) == []
    for result in results:
        assert bool(result.stops) != bool(result.blocked)


@settings(MANY, max_examples=10)
@given(collections(), st.randoms(use_true_random=False))
def test_the_order_of_plants_does_not_matter(collection, random):
    order = list(range(len(collection.requests)))
    random.shuffle(order)
    shuffled = replace(collection, requests=[collection.requests[n] for n in order])
    results = collection.routes()
    assert shuffled.routes() == [results[n] for n in order]


@MANY
@given(collections(logged=True))
def test_routes_go_on_lawfully_from_whatever_really_happened(collection):
    """Only what the log itself dictates is excused: pots that it crowds together are not counted here."""
    results = collection.routes()
    assert [fault for fault in collection.faults(results) if " pots" not in fault] == []
