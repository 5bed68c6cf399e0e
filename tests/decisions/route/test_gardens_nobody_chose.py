"""What the route promises a person, in gardens nobody chose: sun within four weeks, no needless cloth, no cloth on and
off and on, a gentle first day and a gentle last one.

Limits are written out here in plain loops; nothing is taken from the route but its answer. Where a promise can be kept
at all is decided by a climb or by a place that needs no search (`climbs`, `bare_place`, `dark_enough`). These are a few
gardens of many: DEVELOPERS.md says how often a longer run finds one in which a promise is broken.
"""

from dataclasses import replace
from datetime import date, timedelta
from random import Random

import numpy as np
import pytest
from invented import make_daylight, make_plant, make_taxon
from plain_route import CAPS, WEEKDAYS, faults_of, room_light, through

from seasonplan.decisions.route import RouteRequest, routes
from seasonplan.model import Daylight, Place, Rules

CLOTHS = (0, 20, 30, 40, 50, 60, 70, 80, 90)
KINDS = {"sun": (12.0, 45.0), "part-sun": (5.0, 20.0), "shade": (3.0, 10.0), "deep-shade": (2.0, 5.0)}
SIX_WEEKS = 42
GARDENS = 24
"""So many gardens a promise, drawn by their number alone. (Hypothesis draws others when other modules are loaded.)"""


class Garden:
    """Plants, places with room for all, and their light. No dataclass: it would print all of the light."""

    def __init__(self, requests: list[RouteRequest], places: tuple[Place, ...], light: Daylight, rules: Rules):
        self.requests, self.places, self.light, self.rules = requests, places, light, rules

    def __repr__(self) -> str:
        """Mean, clear light [mol] and full-sun hours of each place on the day the first plant may leave."""
        day = min(request.leave_on for request in self.requests)
        places = ", ".join(f"{place} {self.mean(place, day):.2f}/{self.on(self.light.clear_dli, place, day):.2f}/"
                           f"{self.on(self.light.full_sun_h, place, day):.1f}" for place in self.light.places)
        plants = ", ".join(f"{r.plant.taxon.sun} {r.leave_on}..{r.back_by}" for r in self.requests)
        return f"<{day}: {places}; {plants}; {self.rules.move_days}>"

    def routes(self):
        return routes(self.requests, self.places, self.light, self.rules)

    def on(self, values: np.ndarray, place: str, day: date) -> float:
        return float(values[self.light.places.index(place)][(day - self.light.dates[0]).days])

    def mean(self, place: str, day: date) -> float:
        return self.on(self.light.mean_dli, place, day)

    def bearable(self, request: RouteRequest, day: date) -> float:
        """Light of the brightest place that a plant can bear on a day, thinned to what it can bear [mol]."""
        high, cap = request.plant.light_high_mol, CAPS[request.plant.taxon.sun]
        return max(self.mean(p, day) * min(1.0, high / max(self.mean(p, day), 1e-9),
                                           cap / max(self.on(self.light.full_sun_h, p, day), 1e-9))
                   for p in request.spans)


def gardens(broken=(), **drawn):
    """A test over gardens nobody chose; those in which the promise is known to be broken have to fail."""
    return pytest.mark.parametrize("garden", [
        pytest.param(lambda n=n: garden_of(n, **drawn), id=str(n), marks=[pytest.mark.xfail(
            strict=True, raises=AssertionError, reason="broken here; see DEVELOPERS.md")] if n in broken else [])
        for n in range(GARDENS)])


def garden_of(number: int, kinds=tuple(KINDS), most_plants=3) -> Garden:
    """One to four places of drawn light, rooms of drawn light, plants whose season is six weeks or longer."""
    drawn = Random(number)
    names = ("porch", "tree", "steps", "lawn")[:drawn.randint(1, 4)]
    places = (Place("window", "indoor"), *(Place(name, "outdoor") for name in names))
    light = make_daylight(places, latitude_deg=drawn.choice([44.5, -35.0]))
    share = np.array([drawn.uniform(0.03, 0.12), *(drawn.uniform(0.04, 1.0) for _ in names)])
    direct = np.array([0.0, *(drawn.choice([0.05, 0.3, 0.6, 0.85]) for _ in names)])
    clear, sky = share[:, None] * light.open_clear_dli, drawn.uniform(0.5, 0.8)
    light = replace(light, clear_dli=clear, mean_dli=sky * clear, full_sun_h=direct[:, None] * clear / 6.5,
                    peak_ppfd=drawn.choice([20.0, 35.0]) * clear, open_mean_dli=sky * light.open_clear_dli)
    rules = Rules(move_days=drawn.choice([("sat", "sun"), ("wed",), ()]))
    requests = []
    for n in range(drawn.randint(1, most_plants)):
        kind = drawn.choice(kinds)
        low, high = KINDS[kind]
        plant = make_plant(f"plant {n}", taxon=make_taxon(sun=kind, light_low_mol=low, light_high_mol=high),
                           light_high_mol=high, place="window")
        leave = _on_move_day(light.dates[drawn.randint(90, 180)], rules, 1)
        back = _on_move_day(leave + timedelta(days=drawn.randint(SIX_WEEKS + 6, 160)), rules, -1)
        requests.append(RouteRequest(plant, dict.fromkeys(names, (leave, back)), leave, back))
    return Garden(requests, places, light, rules)


def _on_move_day(day: date, rules: Rules, way: int) -> date:
    while rules.move_days and WEEKDAYS[day.weekday()] not in rules.move_days:
        day += timedelta(days=way)
    return day


def ready(garden: Garden, request: RouteRequest, place: str, percent: int, day: date, out: int, a: float,
          s: float) -> bool:
    """Whether a plant may stand at a place under a cloth for the week from a day on, used to a and s."""
    kind, part = request.plant.taxon.sun, 1 - percent / 100
    for n in range(7):
        clear, mean, sun, peak = (part * garden.on(values, place, day + timedelta(days=n)) for values in (
            garden.light.clear_dli, garden.light.mean_dli, garden.light.full_sun_h, garden.light.peak_ppfd))
        allowed_sun = min(max(s + 3, 2.2 * s), CAPS[kind], 1.5 if out + n < 7 else 99.0)
        if not (clear <= 0.98 * max(3.5 * a, 12) and sun <= 0.98 * allowed_sun and mean <= request.plant.light_high_mol
                and a / 9 <= mean <= 9 * a and (peak <= 325 or out + n >= 7 or kind in ("sun", "part-sun"))):
            return False
        a, s = a + (mean - a) / 7, s + (sun - s) / 4
    return True


def climbs(garden: Garden, request: RouteRequest, first: date) -> bool:
    """Whether a plant that goes each week, four times at most, to the brightest place under the lightest cloth that it
    is ready for has three quarters of what it can bear after four weeks, and twice what its room has."""
    a, s, mean = room_light(request, garden.light, first), 0.0, 0.0
    for week in range(4):
        day = first + timedelta(days=7 * week)
        open_to = [(1 - percent / 100, place, percent) for place in request.spans for percent in CLOTHS
                   if ready(garden, request, place, percent, day, 7 * week, a, s)]
        if not open_to:
            return False
        part, place, _ = max(open_to, key=lambda way: way[0] * garden.mean(way[1], day))
        for n in range(7):
            mean = part * garden.mean(place, day + timedelta(days=n))
            sun = part * garden.on(garden.light.full_sun_h, place, day + timedelta(days=n))
            a, s = a + (mean - a) / 7, s + (sun - s) / 4
    best = garden.bearable(request, first + timedelta(days=28))
    return mean >= 0.75 * best and best > 2 * room_light(request, garden.light, first)


def light_on(garden: Garden, stops, day: date) -> float:
    return next((through(stop) * garden.mean(stop.place, day) for stop in stops if stop.date <= day < stop.until), 0.0)


def in_the_dark(garden: Garden, request: RouteRequest, stops) -> str:
    """What is wrong with the light of a sun plant four weeks after it went out; "" for nothing."""
    out = stops[0].date
    day = out + timedelta(days=28)
    had, best = light_on(garden, stops, day), garden.bearable(request, day)
    if had >= 0.7 * best - 1e-6 or not climbs(garden, request, out):
        return ""
    return f"{request.plant.name}: {had:.1f} of {best:.1f} mol on {day}, out {out} .. {stops[-1].until}"


@gardens(kinds=("sun", "part-sun"), most_plants=1)
def test_a_sun_plant_stands_in_the_sun_within_four_weeks(garden):
    garden = garden()
    """One plant a garden: several share its days of moving, and may wait for each other."""
    for request, result in zip(garden.requests, garden.routes(), strict=True):
        assert result.stops or not climbs(garden, request, request.leave_on), result.blocked
        assert not result.stops or not (found := in_the_dark(garden, request, result.stops)), found


def churn(request: RouteRequest, stops) -> str:
    """What is wrong with the number and the length of stops; "" for nothing."""
    out = stops[0].date
    for stop in stops:
        if (stop.until - stop.date).days < (5 if (stop.until - out).days > 21 else 3):
            return f"{request.plant.name} stays {(stop.until - stop.date).days} days from {stop.date}"
    return "" if len(stops) <= 6 else f"{request.plant.name} has {len(stops)} stops"


def covered_again(request: RouteRequest, stops) -> str:
    """A cloth on and off and on; "" for none. One of the last six weeks, for the way down, is none once more."""
    cover, end = [stop.shade is not None for stop in stops], stops[-1].until
    for n, stop in enumerate(stops):
        if n and cover[n] and not cover[n - 1] and any(cover[:n - 1]) and (end - stop.date).days > 42:
            return f"{request.plant.name}: under a cloth once more from {stop.date}, in on {end}"
    return ""


@gardens()
def test_nothing_moves_more_than_six_times_or_stays_for_less_than_five_days(garden):
    garden = garden()
    for request, result in zip(garden.requests, garden.routes(), strict=True):
        assert not result.stops or not (found := churn(request, result.stops)), found
        assert faults_of(request, result, garden.light, garden.rules) == []


@gardens()
def test_no_cloth_goes_on_and_off_and_on(garden):
    garden = garden()
    for request, result in zip(garden.requests, garden.routes(), strict=True):
        assert not result.stops or not (found := covered_again(request, result.stops)), found


def bare_place(garden: Garden, request: RouteRequest, stops) -> str | None:
    """A place where a shade plant could stand without a cloth, and in light enough for it, from its first day to three
    weeks before its last."""
    first, last = stops[0].date, max(stops[0].date, stops[-1].until - timedelta(days=21))
    days = [first + timedelta(days=n) for n in range((last - first).days + 1)]
    room, high, cap = room_light(request, garden.light, first), request.plant.light_high_mol, CAPS[
        request.plant.taxon.sun]
    for place in request.spans:
        bears = all(request.plant.taxon.light_low_mol <= garden.mean(place, day) <= high
                    and garden.on(garden.light.full_sun_h, place, day) <= cap
                    and garden.on(garden.light.clear_dli, place, day) <= 12 for day in days)
        if bears and ready(garden, request, place, 0, first, 0, room, 0.0):
            return place
    return None


def needless(garden: Garden, request: RouteRequest, stops) -> str:
    """The cloth of a shade plant that a place would have done without; "" for none."""
    early = [stop for stop in stops if stop.shade and (stops[-1].until - stop.date).days > 21]
    place = bare_place(garden, request, stops) if early else None
    return "" if place is None else f"{request.plant.name}: under a cloth from {early[0].date}, not at the bare {place}"


@gardens(kinds=("shade", "deep-shade"))
def test_a_shade_plant_has_no_cloth_where_a_place_is_dark_enough(garden):
    garden = garden()
    for request, result in zip(garden.requests, garden.routes(), strict=True):
        assert not result.stops or not (found := needless(garden, request, result.stops)), found


def dark_enough(garden: Garden, request: RouteRequest, day: date) -> bool:
    """Whether some place under some cloth is within the room's light and three times it, with something to spare, and
    within reach of one step from the brightest that the plant can bear."""
    room, best = room_light(request, garden.light, day), garden.bearable(request, day)
    return any(1.1 * room <= (1 - percent / 100) * garden.mean(place, day) <= 2.7 * room
               and best <= 9 * (1 - percent / 100) * garden.mean(place, day)
               for place in request.spans for percent in CLOTHS)


def rough(garden: Garden, request: RouteRequest, stops) -> str:
    """What is wrong with the first day and the last; "" for nothing."""
    name, first, end = request.plant.name, stops[0].date, stops[-1].until - timedelta(days=1)
    rise = light_on(garden, stops, first) / room_light(request, garden.light, first)
    if rise > 10 + 1e-6:
        return f"{name} goes out to {rise:.1f} times its room"
    last, room = light_on(garden, stops, end), room_light(request, garden.light, end)
    if not dark_enough(garden, request, end):
        return ""
    if last > 3 * room + 1e-6:
        return f"{name} comes in from {last:.2f} mol to {room:.2f} on {end}"
    down = len(stops) > 1 and light_on(garden, stops, stops[-1].date) < light_on(
        garden, stops, stops[-1].date - timedelta(days=1))
    return f"{name} goes down to {last:.2f} mol, its room has {room:.2f}" if down and last < room - 1e-6 else ""


@gardens()
def test_the_first_day_and_the_last_are_gentle(garden):
    garden = garden()
    for request, result in zip(garden.requests, garden.routes(), strict=True):
        assert not result.stops or not (found := rough(garden, request, result.stops)), found
