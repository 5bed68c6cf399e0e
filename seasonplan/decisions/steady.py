"""A plan that stays: what was done as planned changes nothing, and what was done otherwise changes the plan of those
plants only.

The plan on paper is what the season began with. A plant whose log says what that plan asked for keeps it to the end.
The others (late, rescued, bought, put elsewhere) are planned anew, each from the last that is known of it, beside those
that stay; only a move that was missed is dated from today on.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import zip_longest
from typing import TYPE_CHECKING

from seasonplan.decisions.going import Going
from seasonplan.decisions.route import RouteRequest, RouteResult, routes, routes_beside
from seasonplan.decisions.windows import cool_night_taxa
from seasonplan.model import Daylight, Place, Plant, Rules

if TYPE_CHECKING:
    from seasonplan.decisions.outings import Outing

Outings = Callable[[Going, bool], Mapping[str, "Outing"]]
"""The outing of every plant of the Going's scenario that may go out, by name, as far as that season is; and whether
pests found meanwhile hold a plant outdoors."""
Routed = dict[str, tuple["Outing", RouteResult]]
NOTHING: Routed = {}


@dataclass(frozen=True, eq=False)
class Steady:
    """outings: how the outings are found; weight_kg: of one watered pot."""

    outings: Outings
    going: Going
    places: Sequence[Place]
    daylight: Daylight
    rules: Rules
    weight_kg: Callable[[Plant], float]

    def routed(self) -> Routed:
        """The outing and the route of every plant that may go out."""
        since = replace(self.going, today=None)
        known = self.outings(since, True)
        if self.going.today is None:
            joined = {p.name for p in self.going.scenario.plants if self.going.apart_until(p) is not None}
            settled = self._way(since, {}, True, known.keys() - joined)
            settled |= self._way(since, settled, True, known.keys() - settled)
        else:
            settled, meant = self._kept(known)
            settled |= self._way(self.going, settled, True, known.keys() - settled, meant)
        return {name: settled[name] for name in known if name in settled}

    def _kept(self, known: Mapping[str, Outing]) -> tuple[Routed, Routed]:
        """The ways that are kept to the end: those on paper of the plants that followed them, then those that were made
        after the first move that was otherwise, after the second, and so on, of the plants that followed these; and
        the last way that was meant for each of the others."""
        paper = self._way(self._paper(), {}, False)
        settled = {name: paper[name] for name, outing in known.items() if name in paper
                   and self._follows(outing, paper[name][1])}
        meant = paper.copy()
        moves = {name: len(self.going.stays(outing.plant)) for name, outing in known.items() if name not in settled}
        for told in range(max(moves.values(), default=0) + 1):
            names = {name for name, count in moves.items() if count >= told and name not in settled
                     and not (name in meant and self._agrees(known[name], meant[name][1], told))}
            way = self._way(replace(self.going, today=None, told=told), settled, True, names, meant)
            meant |= way
            settled |= {name: one for name, one in way.items() if self._follows(known[name], one[1])}
        return settled, meant

    def _paper(self) -> Going:
        """The season as it began: without the log, but for the day on which that begins, and without those that joined,
        with those that are gone by now."""
        going, scenario = self.going, self.going.scenario
        plants = [plant for plant in scenario.plants if going.apart_until(plant) is None]
        return replace(going, today=None, gone=(), scenario=replace(
            scenario, log=(), plants=(*plants, *(replace(plant, left=None) for plant in going.gone))))

    def _way(self, going: Going, settled: Routed, checked: bool, names: Collection[str] | None = None,
             meant: Routed = NOTHING) -> Routed:
        """The ways of some plants, all when none is named, beside those that are settled, on the days and under the
        cloths that were meant for them as far as that does."""
        found = {} if names is not None and not names else {
            name: way for name, way in self.outings(going, checked).items() if names is None or name in names}
        requests = requests_of(found.values(), going, self.weight_kg)
        garden = self.places, self.daylight, self.rules
        beside, before = (self._asked(ways, going) for ways in (
            settled.values(), [meant[name] for name in found if name in meant]))
        results = routes_beside(requests, beside, *garden, before) if beside or before else routes(requests, *garden)
        return {name: (outing, result) for (name, outing), result in zip(found.items(), results, strict=True)}

    def _asked(self, ways: Iterable[tuple[Outing, RouteResult]],
               going: Going) -> list[tuple[RouteRequest, RouteResult]]:
        """Ways that lead outdoors, each with what was asked of the route."""
        kept = [way for way in ways if way[1].stops]
        return list(zip(requests_of((outing for outing, _ in kept), going, self.weight_kg),
                        (result for _, result in kept), strict=True))

    def _follows(self, outing: Outing, planned: RouteResult) -> bool:
        """Whether what is known of a plant is what was planned for it, with nothing missed and nothing new that keeps
        it from coming in on its day."""
        if planned.stops:
            until, held = planned.stops[-1].until, outing.not_before
            if until > outing.back or held is not None and until < held:
                return False
        return self._agrees(outing, planned) and not self._missed(outing, planned)

    def _agrees(self, outing: Outing, planned: RouteResult, told: int | None = None) -> bool:
        """Whether the moves that the log tells, or the first of them, are the first that were planned."""
        rooms = {place.name for place in self.places if not place.outdoors}
        made = [(stay.date, "", 0) if stay.place in rooms else (stay.date, stay.place, stay.cloth)
                for stay in self.going.stays(outing.plant)[:told]]
        return moves_of(planned)[:len(made)] == made

    def _missed(self, outing: Outing, result: RouteResult) -> bool:
        """Whether a way asks for a move before today that the log does not tell."""
        today, done = self.going.today, {stay.date for stay in self.going.stays(outing.plant)}
        return today is not None and any(day < today and day not in done for day, _, _ in moves_of(result))


def requests_of(found: Iterable[Outing], going: Going, weight_kg: Callable[[Plant], float]) -> list[RouteRequest]:
    """What is asked of the route for some outings. weight_kg: of one watered pot."""
    return [RouteRequest(o.plant, o.spans, o.leave, o.back, going.stays(o.plant), going.free_from(o.plant),
                         o.not_before, weight_kg(o.plant), o.plant.taxon.key.startswith(cool_night_taxa()))
            for o in found]


def moves_of(result: RouteResult) -> list[tuple[date, str, int]]:
    """Every move of a way: its day, where to ("" for indoors), and the percent of the cloth there."""
    found: list[tuple[date, str, int]] = []
    for stop, after in zip_longest(result.stops, result.stops[1:]):
        found.append((stop.date, stop.place, stop.shade.percent if stop.shade is not None else 0))
        if after is None or after.date != stop.until:
            found.append((stop.until, "", 0))
    return found
