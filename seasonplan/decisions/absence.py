"""Days on which nobody is there: no moves, and plants that such nights could mark go out later or come in before.

With a helper the season goes on, and the helper carries. Without one a plant whose chance of a harmful night in that
time is worth a carry goes out after it, where it lies at the beginning of its stay outdoors, and comes in before it,
where it lies at the end; in the middle it stays, and the plan says which risk that is (care.absence).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from seasonplan.climate.harmful_nights import any_of, harmful_nights
from seasonplan.dates import next_move_day, previous_move_day
from seasonplan.decisions.route import Spans
from seasonplan.model import Away, NightClimate, Plant, Scenario

NEAR_OUT_DAYS, NEAR_IN_DAYS = 21, 28
"""A time away that begins within so many days after a plant would go out, or ends within so many before it would come
in, is worth a later start or an earlier end of its season. Our setting."""


def days_away(away: Iterable[Away]) -> frozenset[date]:
    """Every day on which nobody is there."""
    return frozenset(span.first + timedelta(days=n) for span in away for n in range((span.until - span.first).days))


@dataclass(frozen=True, eq=False)
class Absence:
    """What times away without a helper do to the days of a plant."""

    scenario: Scenario
    climate: NightClimate

    def around(self, plant: Plant, spans: Spans, leave: date, back: date, outdoors: bool) -> tuple[date, date]:
        """(leave, back) moved out of times away that are too risky. outdoors: it stands out already."""
        rules = self.scenario.rules
        for span in self.scenario.away:
            if span.helper or not (leave < span.until and span.first < back) or not self._risky(plant, spans, leave,
                                                                                                span):
                continue
            if not outdoors and (span.first - leave).days <= NEAR_OUT_DAYS:
                leave = next_move_day(span.until, rules.move_days, rules.shut)
            elif (back - span.until).days <= NEAR_IN_DAYS:
                back = previous_move_day(span.first - timedelta(days=1), rules.move_days, rules.shut)
        return leave, back

    def _risky(self, plant: Plant, spans: Spans, out: date, span: Away) -> bool:
        """Whether carrying would pay, at the coldest of the places that are open to it then."""
        worst = max((self._chance(plant, spans, name, out, span) for name in spans), default=0.0)
        return worst * self.scenario.rules.carries_per_harm >= 1 - worst

    def _chance(self, plant: Plant, spans: Spans, name: str, out: date, span: Away) -> float:
        place = next(place for place in self.scenario.places if place.name == name)
        first, until = max(span.first, spans[name][0]), min(span.until, spans[name][1])
        return any_of(harmful_nights(self.climate, plant, place, out, first, until))


