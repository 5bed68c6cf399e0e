"""Between which dates a plant may live outdoors at a place, and which condition decided.

Two policies look at the nights that mark the plant, fresh from indoors on its way out and hardened on its way in
(climate.exposure). "careful": the first date after which the chance of any such night before midsummer is within
harm_risk. "carry-in": the first date after which no more than carry_in_nights such nights are to be expected and, for
a plant that a freeze kills, the chance of a freeze is within freeze_risk; what is careful enough is always enough.
Autumn is the mirror image. Beyond that a plant waits for the normal low to reach its comfort, and leaves when it falls
below; where that leaves it fewer than COMFORT_DAYS days, comfort gives way night by night, the mildest first, until it
has so many or harm alone decides. So a plant that bears more or asks for less never has the shorter season.

Inside, days are positions counted from the coldest day of the year (climate.exposure); the planning year's dates are
looked up last.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from functools import cache, partial
from typing import NamedTuple

import numpy as np

from seasonplan.climate.at_plant import SeasonLift, season_lift
from seasonplan.climate.exposure import HARDENED, Exposure, ladder_c
from seasonplan.data import table
from seasonplan.dates import DAYS, day_index
from seasonplan.model import Bearing, Edge, MoveDate, NightClimate, NightTables, Place, PlaceWindow, Plant, Rules

COMFORT_DAYS = 42
"""Days at or above comfort that a plant waits for before it makes do with less: six weeks (design agreement)."""
SHORTEST_STAY_DAYS = 21
"""A stay shorter than this is not worth two moves: two weeks to harden off and one to run the light down again.
Our setting."""
POLICIES = ("careful", "carry-in")


def site_thresholds_c(plants: Iterable[Plant], places: Iterable[Place], climate: NightClimate,
                      extra_lifts_c: Sequence[float] = ()) -> np.ndarray:
    """The levels, as seen at the site, that the windows of these plants at these places need [°C], rising."""
    lifts = {season_lift(p, climate).harm_c for p in places if p.outdoors} | {0.0} | set(extra_lifts_c)
    return ladder_c({bearing for p in plants for bearing in (p.bearing, *_doubted(p))}, lifts)


def _doubted(plant: Plant) -> tuple[Bearing, ...]:
    """What it bears at the ends of the catalogue's ranges."""
    taxon, bearing = plant.taxon, plant.bearing
    return tuple(bearing._replace(harm_c=harm_c, hardened_c=hardened_c) for harm_c, hardened_c in
                 ((taxon.harm.low, taxon.harm_hardened.low), (taxon.harm.high, taxon.harm_hardened.high)))


class Span(NamedTuple):
    """A run of allowed dates as positions in the planning year: first day out, day of coming in (or an Edge)."""

    run: tuple[int, int] | Edge


def longest_run(allowed: np.ndarray) -> Span:
    """The longest run of true days in a planning year (the first of equals): an Edge when it is all or nothing."""
    if allowed.all():
        return Span(Edge.ALL_YEAR)
    if not allowed.any():
        return Span(Edge.NEVER)
    steps = np.flatnonzero(np.diff(np.concatenate(([0], allowed.astype(np.int8), [0]))))
    starts, ends = steps[::2], steps[1::2]
    best = int(np.argmax(ends - starts))
    return Span((int(starts[best]), int(ends[best]) - 1))


class Season(NamedTuple):
    """A season as positions from the coldest day: day of going out, day of coming in; what harm alone would allow
    (`last` for one that goes out on `start`); whether it may then stay for good."""

    start: int
    end: int
    first: int
    last: int
    all_year: bool

    @property
    def days(self) -> int:
        return self.end - self.start


@dataclass(eq=False)
class WindowFinder:
    """Windows for many plants at one site. Results are kept by (bearing, lift), so 20,000 pots cost no more than their
    distinct thresholds."""

    climate: NightClimate
    tables: NightTables
    rules: Rules
    dates: tuple[date, ...]
    _kept: dict = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.index = np.array([day_index(d) for d in self.dates])
        self.exposure = Exposure(self.climate, self.tables)
        self.position = self.exposure.position(self.index)
        self.turn = self.exposure.turn

    def _once(self, key: tuple, work):
        """What `work` gives, worked out the first time a key is asked for."""
        if key not in self._kept:
            self._kept[key] = work()
        return self._kept[key]

    def lift(self, place: Place) -> SeasonLift:
        """What a place adds to the nights of the season."""
        return self._once(("lift", place.name), lambda: season_lift(place, self.climate))

    def odds_out(self, day: date, bearing: Bearing, lift: SeasonLift) -> tuple[float, float]:
        """(chance, expected number) of nights that mark a plant between its going out on a date and midsummer."""
        at = self._position_of(day)
        if at >= self.turn:
            return 0.0, 0.0
        chance, expected = self.exposure.going_out(bearing, lift.harm_c)
        return float(chance[at]), float(expected[at])

    def odds_back(self, day: date, out_day: date, bearing: Bearing, lift: SeasonLift) -> tuple[float, float]:
        """The same between midsummer and its coming in on a date, for a plant that went out on `out_day`."""
        at, out = self._position_of(day), self._position_of(out_day)
        if at < self.turn:
            return 0.0, 0.0
        outs, row = self._outs(0 if out > at else min(out, self.turn))
        chance, expected = self._coming_in(bearing, lift, outs)
        return float(chance[row, at - self.turn]), float(expected[row, at - self.turn])

    def _position_of(self, day: date) -> int:
        return int(self.position[min(max((day - self.dates[0]).days, 0), len(self.dates) - 1)])

    def _outs(self, out: int) -> tuple[np.ndarray, int]:
        """Positions of going out that are looked at together, and which of them `out` (up to the turn) is: by the turn
        all that went out sooner are hardened alike."""
        soonest = max(self.turn - HARDENED, 0)
        return (np.array([soonest]), 0) if out <= soonest else (np.arange(soonest, self.turn + 1), out - soonest)

    def _coming_in(self, bearing: Bearing, lift: SeasonLift, outs: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """(chance, expected) (len(outs), days of autumn) for a plant that went out at those positions."""
        return self._once(("in", bearing.harms, lift, len(outs)),
                          lambda: self.exposure.coming_in(bearing, lift.harm_c, outs))

    def _freeze(self, bearing: Bearing, lift: SeasonLift) -> np.ndarray:
        """(365,) chance of a freeze still to come, or come, by position; 0 for a plant that takes one."""
        return self.exposure.fixed(bearing.freeze_c, lift.harm_c)[0] if bearing.freeze_kill else np.zeros(DAYS)

    def _allowed(self, policy: str, chance: np.ndarray, expected: np.ndarray, freeze: np.ndarray) -> np.ndarray:
        careful = chance <= self.rules.harm_risk
        if policy == "careful":
            return careful
        return careful | ((expected <= self.rules.carry_in_nights) & (freeze <= self.rules.freeze_risk))

    def first_out(self, policy: str, bearing: Bearing, lift: SeasonLift) -> int:
        """Position from which on harm lets a plant fresh from indoors go out on any day of spring."""
        def work() -> int:
            chance, expected = self.exposure.going_out(bearing, lift.harm_c)
            allowed = self._allowed(policy, chance, expected, self._freeze(bearing, lift)[:self.turn])
            return 0 if allowed.all() else int(np.flatnonzero(~allowed)[-1]) + 1

        return self._once(("first", policy, bearing, lift), work)

    def last_in(self, policy: str, bearing: Bearing, lift: SeasonLift, out: int) -> int:
        """Position up to which harm lets a plant that went out at `out` stay."""
        outs, row = self._outs(out)

        def work() -> np.ndarray:
            allowed = self._allowed(policy, *self._coming_in(bearing, lift, outs),
                                    self._freeze(bearing, lift)[self.turn:])
            return np.where(allowed.all(axis=1), DAYS - 1, self.turn - 1 + np.argmin(allowed, axis=1))

        return int(self._once(("last", policy, bearing, lift, len(outs)), work)[row])

    def stays_for_good(self, policy: str, bearing: Bearing, lift: SeasonLift) -> bool:
        """Whether harm lets a hardened plant stay outdoors through the year."""
        chance, expected = self.exposure.fixed(bearing.hardened_c, lift.harm_c)
        return bool(self._allowed(policy, chance, expected, self._freeze(bearing, lift)).all())

    def season(self, policy: str, bearing: Bearing, lift: SeasonLift) -> Season:
        """The season under a policy, comfort and the six weeks it gives way for included."""
        return self._once(("season", policy, bearing, lift), lambda: self._season(policy, bearing, lift))

    def _season(self, policy: str, bearing: Bearing, lift: SeasonLift) -> Season:
        first = self.first_out(policy, bearing, lift)
        last_in = partial(self.last_in, policy, bearing, lift)
        normal_c = self.climate.mean_c[self.exposure.order] + lift.normal_c
        liked = liked_span(normal_c >= bearing.comfort_c, self.turn)
        start = max(first, liked[0])
        end = min(last_in(start), liked[1])
        if end - start < COMFORT_DAYS:
            start, end = self._grown(start, end, first, last_in, normal_c)
        last = last_in(start)
        ever = last == DAYS - 1 == end and start == first and self.stays_for_good(policy, bearing, lift)
        return Season(start, end, first, last, ever)

    def _grown(self, start: int, end: int, first: int, last_in, normal_c: np.ndarray) -> tuple[int, int]:
        """A season too short for comfort, longer by its mildest neighbouring days, within what harm allows."""
        if end < start:
            start = end = self.turn - 1
        last = last_in(start)
        while end - start < COMFORT_DAYS and (start > first or end < last):
            if end == last or (start > first and normal_c[start - 1] >= normal_c[end + 1]):
                start -= 1
                last = last_in(start)
            else:
                end += 1
        return start, end

    def safe_until(self, span: tuple[date, date], bearing: Bearing, place: Place) -> date:
        """The day by which harm has any plant in that went out within a span, however late: one that leaves the house
        after the span's first day is less hardened on each night of it."""
        back, lift, policy = span[1], self.lift(place), self.rules.policy
        while (back - span[0]).days > SHORTEST_STAY_DAYS:
            latest = self._position_of(back - timedelta(days=SHORTEST_STAY_DAYS))
            if self._position_of(back) <= self.last_in(policy, bearing, lift, min(latest, self.turn)):
                break
            back -= timedelta(days=1)
        return back

    def window(self, bearing: Bearing, lift: SeasonLift, place: str) -> PlaceWindow:
        """The window of such a plant at a place of that lift, under the rules' policy."""
        return PlaceWindow(place, *self._once(("window", bearing, lift), lambda: self._find(bearing, lift)))

    def windows(self, bearing: Bearing, places: tuple[Place, ...], cool_nights: bool = False) -> tuple[PlaceWindow,
                                                                                                       ...]:
        """One window per place; the same object for plants that are alike. cool_nights: harm alone ends them."""
        def of(place: Place) -> PlaceWindow:
            liked = self.window(bearing, self.lift(place), place.name)
            if not cool_nights:
                return liked
            borne = self.window(bearing._replace(comfort_c=bearing.harm_c), self.lift(place), place.name)
            return with_cool_nights(liked, borne)

        key = ("windows", bearing, tuple(p.name for p in places), cool_nights)
        return self._once(key, lambda: tuple(map(of, places)))

    def _find(self, bearing: Bearing, lift: SeasonLift):
        season = self.season(self.rules.policy, bearing, lift)
        run = self._dates_of(season).run
        too_short = not isinstance(run, Edge) and run[1] - run[0] < SHORTEST_STAY_DAYS
        if run is Edge.NEVER or too_short:
            run, reason = Edge.NEVER, "short" if season.days > 1 else "never"
        else:
            reason = "all-year" if run is Edge.ALL_YEAR else "both"
        ends = tuple(self._move_date(side, run, season, bearing, lift) for side in (0, 1))
        span = run if isinstance(run, Edge) else (self.dates[run[0]], self.dates[run[1]])
        cooler_c = 0.0 if run is Edge.NEVER else self._cooler_c(season, bearing, lift)
        return span, *ends, "cool" if reason == "both" and cooler_c else reason, cooler_c

    def _cooler_c(self, season: Season, bearing: Bearing, lift: SeasonLift) -> float:
        """By how much the normal low of the coolest day of a season lies below comfort [°C]; 0 where it does not."""
        days = self.exposure.order[season.start:season.end + 1]
        return max(0.0, bearing.comfort_c - float(self.climate.mean_c[days].min()) - lift.normal_c)

    def _dates_of(self, season: Season) -> Span:
        if season.all_year:
            return Span(Edge.ALL_YEAR)
        return longest_run((self.position >= season.start) & (self.position <= season.end))

    def _policy_day(self, side: int, policy: str, bearing: Bearing, lift: SeasonLift) -> date | None:
        """What a policy gives before comfort, for a plant that goes out when comfort lets it."""
        season = self.season(policy, bearing, lift)
        alone = season._replace(start=season.first, end=season.last)
        run = self._dates_of(alone).run
        return None if isinstance(run, Edge) or alone.days < SHORTEST_STAY_DAYS else self.dates[run[side]]

    def _move_date(self, side: int, run, season: Season, bearing: Bearing, lift: SeasonLift) -> MoveDate:
        careful, carry_in = (self._policy_day(side, policy, bearing, lift) for policy in POLICIES)
        if isinstance(run, Edge):
            out = run is Edge.ALL_YEAR and side == 0 and season.start > 0
            day = self.dates[int(np.argmax(self.position == season.start))] if out else None
            return MoveDate(day, careful, carry_in, None, None, "harm" if out else "")
        out, day = self.dates[run[0]], self.dates[run[side]]
        odds = self.odds_back(day, out, bearing, lift) if side else self.odds_out(day, bearing, lift)
        normal_c = float(self.climate.mean_c[self.index[run[side]]]) + lift.normal_c
        return MoveDate(day, careful, carry_in, *odds, self._decider(side, run, season, bearing, lift), normal_c)

    def _decider(self, side: int, run: tuple[int, int], season: Season, bearing: Bearing, lift: SeasonLift) -> str:
        """Which condition would be broken one day further out: comfort, freeze, harm, or none (the season's edge)."""
        if season.end < season.last if side else season.start > season.first:
            return "comfort"
        if run[side] == (len(self.dates) - 1 if side else 0) or (season.end == DAYS - 1 if side else season.start == 0):
            return "season"
        if self.rules.policy == "careful":
            return "harm"
        if side:
            outs, row = self._outs(min(season.start, self.turn))
            expected = self._coming_in(bearing, lift, outs)[1][row, season.end + 1 - self.turn]
        else:
            expected = self.exposure.going_out(bearing, lift.harm_c)[1][season.start - 1]
        return "harm" if expected > self.rules.carry_in_nights else "freeze"


def liked_span(liked: np.ndarray, turn: int) -> tuple[int, int]:
    """First and last position of the run of liked days around the turn; (turn, turn - 1) where there is none."""
    if liked.all():
        return 0, DAYS - 1
    if not liked[turn]:
        return turn, turn - 1
    before, after = np.flatnonzero(~liked[:turn]), np.flatnonzero(~liked[turn:])
    return (int(before[-1]) + 1 if len(before) else 0), (turn + int(after[0]) - 1 if len(after) else DAYS - 1)


def place_windows(finder: WindowFinder, plant: Plant, places: Sequence[Place]) -> tuple[PlaceWindow, ...]:
    """One window per outdoor place that suits the plant's need for shelter, in the places' order. What sets its buds in
    cool nights stays out until harm alone sends it in."""
    suitable = suitable_places(plant, places)
    return finder.windows(plant.bearing, suitable, plant.taxon.key.startswith(cool_night_taxa()))


@cache
def cool_night_taxa() -> tuple[str, ...]:
    """Taxa (keys or the beginnings of keys) that want the cool nights of autumn; see data/care_taxa.csv."""
    return tuple(row["taxon"] for row in table("care_taxa") if row["trait"] == "cool-nights")


def with_cool_nights(liked: PlaceWindow, borne: PlaceWindow) -> PlaceWindow:
    """A window that begins where nights are liked and ends where they are still borne."""
    if isinstance(liked.span, Edge) or isinstance(borne.span, Edge) or borne.span[1] <= liked.span[1]:
        return liked
    return replace(liked, span=(liked.span[0], borne.span[1]), back=borne.back,
                   reason=f"{liked.reason} Its cool nights in autumn set the buds: it stays for them while they do no "
                          f"harm.")


def suitable_places(plant: Plant, places: Sequence[Place]) -> tuple[Place, ...]:
    """Outdoor places the taxon may stand in: a taxon that wants shelter keeps off open ground where there is
    anything else."""
    outdoor = tuple(p for p in places if p.outdoors)
    if plant.taxon.summer_outdoors != "sheltered":
        return outdoor
    return tuple(p for p in outdoor if p.sheltered) or outdoor
