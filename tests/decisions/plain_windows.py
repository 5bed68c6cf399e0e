"""The windows once more, day by day in plain loops from what they are said to be: what decisions/windows.py must give
for any plant, lift and climate, to the last field. Only the chances themselves are taken from climate/exposure.py."""

import numpy as np

from seasonplan.model import Edge, MoveDate, PlaceWindow

YEAR, SIX_WEEKS, THREE_WEEKS = 365, 42, 21


class PlainSeason:
    """A plant's season under a policy. Days count from the coldest one; `start`: goes out, `end`: comes in."""

    def __init__(self, finder, policy, bearing, lift):
        self.finder, self.policy, self.bearing, self.lift = finder, policy, bearing, lift
        self.turn = finder.turn
        self.out_chance, self.out_expected = finder.exposure.going_out(bearing, lift.harm_c)
        self.freeze = finder.exposure.fixed(bearing.freeze_c, lift.harm_c)[0]
        self.normal_c = [finder.climate.mean_c[(finder.climate.cold_index + p) % YEAR] + lift.normal_c
                         for p in range(YEAR)]
        self.first = self.turn
        while self.first > 0 and self.out_ok(self.first - 1):
            self.first -= 1
        self.start, self.end = self.liked_part()
        if self.end - self.start < SIX_WEEKS:
            self.grow()
        self.last = self.last_of(self.start)
        self.for_good = (self.start == self.first and self.end == self.last == YEAR - 1 and self.hardened_all_year())

    def ok(self, chance, expected, freeze):
        rules = self.finder.rules
        return chance <= rules.harm_risk or (
            self.policy == "carry-in" and expected <= rules.carry_in_nights
            and (freeze <= rules.freeze_risk or not self.bearing.freeze_kill))

    def out_ok(self, p):
        return self.ok(self.out_chance[p], self.out_expected[p], self.freeze[p])

    def coming_in(self, out):
        """(chance, expected) by day of autumn."""
        chance, expected = self.finder.exposure.coming_in(self.bearing, self.lift.harm_c,
                                                          np.array([min(out, self.turn)]))
        return chance[0], expected[0]

    def last_of(self, out):
        chance, expected = self.coming_in(out)
        p = self.turn - 1
        while p + 1 < YEAR and self.ok(chance[p + 1 - self.turn], expected[p + 1 - self.turn], self.freeze[p + 1]):
            p += 1
        return p

    def hardened_all_year(self):
        chance, expected = self.finder.exposure.fixed(self.bearing.hardened_c, self.lift.harm_c)
        return all(self.ok(chance[p], expected[p], self.freeze[p]) for p in range(YEAR))

    def liked_part(self):
        """The run of days around the turn whose normal low it likes, as far as harm lets it."""
        liked = [c >= self.bearing.comfort_c for c in self.normal_c]
        start, end = self.turn, self.turn - 1
        while liked[self.turn] and start > 0 and liked[start - 1]:
            start -= 1
        while liked[self.turn] and end + 1 < YEAR and liked[end + 1]:
            end += 1
        start = max(start, self.first)
        return start, min(end, self.last_of(start))

    def grow(self):
        """Day by day to the milder side, earlier where both are alike, until six weeks or all that harm allows."""
        if self.end < self.start:
            self.start = self.end = self.turn - 1
        while self.end - self.start < SIX_WEEKS:
            earlier, later = self.start > self.first, self.end < self.last_of(self.start)
            if earlier and later:
                earlier = self.normal_c[self.start - 1] >= self.normal_c[self.end + 1]
            if not earlier and not later:
                return
            self.start, self.end = (self.start - 1, self.end) if earlier else (self.start, self.end + 1)


def place_of(finder, day):
    """Position of a date, from the coldest day."""
    return int(finder.position[(day - finder.dates[0]).days])


def longest(finder, start, end):
    """The longest run of dates of the planning year inside positions, the first of equals; None without any."""
    best, run = None, []
    for day in finder.dates:
        run = [*run, day] if start <= place_of(finder, day) <= end else []
        if run and (best is None or len(run) > len(best)):
            best = run
    return best


def plain_window(finder, bearing, lift, place):
    seasons = {policy: PlainSeason(finder, policy, bearing, lift) for policy in ("careful", "carry-in")}
    season = seasons[finder.rules.policy]

    def by_harm_alone(policy, side):
        other = seasons[policy]
        run = None if other.for_good else longest(finder, other.first, other.last)
        whole = run is None or len(run) == len(finder.dates)
        return None if whole or other.last - other.first < THREE_WEEKS else run[side]

    def stays(day=None, word=""):
        return tuple(MoveDate(day if not side else None, *(by_harm_alone(p, -side) for p in seasons), None, None,
                              word if not side else "") for side in (0, 1))

    run = longest(finder, season.start, season.end)
    cooler_c = max(0.0, bearing.comfort_c - min(season.normal_c[season.start:season.end + 1], default=0.0))
    if season.for_good or (run is not None and len(run) == len(finder.dates)):
        first = next(d for d in finder.dates if place_of(finder, d) == season.start)
        ends = stays(first, "harm") if season.for_good and season.start > 0 else stays()
        return PlaceWindow(place, Edge.ALL_YEAR, *ends, "all-year", cooler_c)
    if run is None or (run[-1] - run[0]).days < THREE_WEEKS:
        return PlaceWindow(place, Edge.NEVER, *stays(), "short" if season.end - season.start > 1 else "never", 0.0)
    moves = tuple(MoveDate(day, *(by_harm_alone(p, -side) for p in seasons), *odds(season, run, side),
                           decider(season, run, side), season.normal_c[place_of(finder, day)])
                  for side, day in enumerate((run[0], run[-1])))
    return PlaceWindow(place, (run[0], run[-1]), *moves, "cool" if cooler_c > 0 else "both", cooler_c)


def odds(season, run, side):
    at, out = place_of(season.finder, run[-side]), place_of(season.finder, run[0])
    if side == 0:
        return (season.out_chance[at], season.out_expected[at]) if at < season.turn else (0.0, 0.0)
    if at < season.turn:
        return 0.0, 0.0
    chance, expected = season.coming_in(0 if out > at else out)
    return chance[at - season.turn], expected[at - season.turn]


def decider(season, run, side):
    """What would be broken a day further out."""
    if (season.end < season.last) if side else (season.start > season.first):
        return "comfort"
    edge = season.finder.dates[-side]
    if run[-side] == edge or (season.end == YEAR - 1 if side else season.start == 0):
        return "season"
    if season.policy == "careful":
        return "harm"
    expected = (season.coming_in(season.start)[1][season.end + 1 - season.turn] if side
                else season.out_expected[season.start - 1])
    return "harm" if expected > season.finder.rules.carry_in_nights else "freeze"
