"""The list for days on which nobody is there: what to do before, what a helper does on which day, which risk stays."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from math import isfinite

from seasonplan import wording as w
from seasonplan.care.figures import figure
from seasonplan.care.job import at_place, shown
from seasonplan.care.jobs_home import FIRST_WEEKS, MIDSUMMER_CHECK_AFTER
from seasonplan.care.logbook import place_on
from seasonplan.care.season import Season
from seasonplan.climate.at_plant import usual_lift_c
from seasonplan.climate.harmful_nights import any_of, harmful_nights
from seasonplan.model import Away, Daylight, HelperList, NightClimate, Place, PlantPlan, Stop

INDOOR_LOOK_DAYS = 7
"""A helper looks at the pots indoors once in so many days. Our setting."""
COOL_LOOK_DAYS = 2
"""And at those outdoors, where no day asks for a daily look. Our setting."""
BEFORE_SUNSET_MIN = 60
"""Plants are carried in so long before sunset. Our setting."""
NO_RISK = 0.005
"""A chance below this is told as none. Our setting."""
RISKS_MOST, NAMES_MOST = 3, 6


@dataclass(frozen=True, eq=False)
class Helper:
    """What the lists of a season are made from."""

    season: Season
    plans: Sequence[PlantPlan]
    climate: NightClimate
    light: Daylight

    def lists(self, away: Iterable[Away]) -> tuple[HelperList, ...]:
        """One for each time away that touches the planning year."""
        first, last = self.light.dates[0], self.light.dates[-1]
        return tuple(self._list(span) for span in away if span.first <= last and span.until > first)

    def _list(self, span: Away) -> HelperList:
        days = tuple((day, tuple(self._day(day, span))) for day in _days(span)) if span.helper else ()
        return HelperList(span.first, span.until, span.helper, tuple(self._before(span)), days, self._risk(span))

    def _before(self, span: Away) -> list[str]:
        pots = sum(plan.plant.count for plan in self.plans)
        outside = sum(plan.plant.count for plan in self.plans if self._stops(plan, span))
        lines = [f"Water all {w.counted(pots, 'pot')} well on the evening before, and empty the saucers."]
        if outside and not span.helper:
            lines.append(f"Nobody waters {w.counted(outside, 'pot')} outdoors for "
                         f"{w.counted(len(_days(span)), 'day')}: "
                         "ask somebody, or set up wicks or a drip line and try it for two days first.")
        if span.helper:
            lines += ["Show the helper where each plant stands, where it goes when a night is too cold, and the can."]
        return lines

    def _day(self, day: date, span: Away) -> list[str]:
        """What a helper does on a day; an empty list where nothing is to be done."""
        n, lines = (day - span.first).days, []
        outside, inside = self._standing(day)
        if outside and (self._is_thirsty(day) or n % COOL_LOOK_DAYS == 0):
            lines.append(f"Water outdoors, where the mix is dry a finger deep: {_places(outside)}.")
        if inside and n % INDOOR_LOOK_DAYS == 0:
            lines.append(f"The same indoors: {_places(inside)}.")
        return [*lines, *(self._watch(span) if n == 0 else self._carries(day))]

    def _is_thirsty(self, day: date) -> bool:
        """Whether pots outdoors are looked at daily: the first weeks outdoors, around midsummer, and in heat."""
        season, number = self.season, day.toordinal()
        first = season.outside[0] if season.outside is not None else number
        return number < first + FIRST_WEEKS or season.high_c(number) >= figure("water_daily_high_c") or \
            -INDOOR_LOOK_DAYS <= number - season.midsummer <= MIDSUMMER_CHECK_AFTER

    def _standing(self, day: date) -> tuple[dict[str, int], dict[str, int]]:
        """Pots by place, outdoors and in."""
        outside: dict[str, int] = defaultdict(int)
        inside: dict[str, int] = defaultdict(int)
        for plan in self.plans:
            name = place_on(plan, day)
            (outside if self._place(name).outdoors else inside)[name] += plan.plant.count
        return outside, inside

    def _watch(self, span: Away) -> list[str]:
        """Said once: at which forecast who comes in, of all that any night of a time away could mark."""
        found = defaultdict(list)
        for plan in self.plans:
            for stop in self._stops(plan, span):
                first, until = max(stop.date, span.first), min(stop.until, span.until)
                if any_of(self._nights(plan, stop, first, until)) >= NO_RISK:
                    found[stop.place].append(plan)
        return [f"Every evening: {self._carry(name, plans, span.first)}" for name, plans in found.items()]

    def _carries(self, day: date) -> list[str]:
        """A line for every place from which plants come in if the coming night turns out cold, on days on which that is
        likely enough to pay."""
        rules, found = self.season.rules, defaultdict(list)
        worst = 0.0
        for plan in self.plans:
            for stop in plan.route:
                if stop.date <= day < stop.until:
                    chance = float(self._nights(plan, stop, day, day + timedelta(days=1))[0])
                    if chance * rules.carries_per_harm >= 1 - chance:
                        found[stop.place].append(plan)
                        worst = max(worst, chance)
        return [f"Look well tonight (about one such night in {round(1 / worst)} is so cold): "
                f"{self._carry(name, plans, day)}" for name, plans in found.items()]

    def _carry(self, name: str, plans: list[PlantPlan], day: date) -> str:
        lift_c = usual_lift_c(self._place(name), float(self.climate.sd_c.mean()))
        level_c = max(plan.plant.harm_after_c((day - plan.route[0].date).days) for plan in plans) - lift_c
        who = w.listed([shown(plan.plant.name) for plan in plans], NAMES_MOST)
        rooms = w.listed(list(dict.fromkeys(plan.plant.place for plan in plans)))
        return (f"at a forecast of {w.temperature(level_c, self.season.rules.units)} or below: {who} from {name} to "
                f"{rooms}{self._by(day)}, out again in the morning.")

    def _by(self, day: date) -> str:
        n = (day - self.light.dates[0]).days
        if not 0 <= n < len(self.light.dates) or not isfinite(self.light.sunset_min[n]):
            return ""
        return f" by {w.clock(float(self.light.sunset_min[n]) - BEFORE_SUNSET_MIN)}"

    def _risk(self, span: Away) -> str:
        """Which risk remains: with a helper only what no forecast tells."""
        chances = [(any_of(self._nights(plan, stop, max(stop.date, span.first), min(stop.until, span.until))), plan,
                    stop)
                   for plan in self.plans for stop in self._stops(plan, span)]
        worth = [c for c in sorted(chances, key=lambda c: (-c[0], c[1].plant.line)) if c[0] >= NO_RISK]
        told = w.listed([f"{shown(plan.plant.name)} {at_place(stop.place)} {w.percent(chance)}"
                         for chance, plan, stop in worth[:RISKS_MOST]])
        if not worth:
            return "By the season's usual nights none of those days is likely to mark a plant that stands outdoors."
        if span.helper:
            return (f"Without carrying, a night that marks it would be met by {told} at most; with it only by a night "
                    f"much "
                    "colder than its forecast.")
        return (f"Nobody carries: a night that marks it is met by {told} at most, by the season's usual nights. Look "
                f"at the "
                "forecast on the last evening.")

    def _stops(self, plan: PlantPlan, span: Away) -> list[Stop]:
        return [stop for stop in plan.route if stop.date < span.until and span.first < stop.until]

    def _nights(self, plan: PlantPlan, stop: Stop, first: date, until: date):
        return harmful_nights(self.climate, plan.plant, self._place(stop.place), plan.route[0].date, first, until)

    def _place(self, name: str) -> Place:
        return self.season.places[name]


def _days(span: Away) -> list[date]:
    return [span.first + timedelta(days=n) for n in range((span.until - span.first).days)]


def _places(pots: dict[str, int]) -> str:
    return w.listed([f"{w.counted(count, 'pot')} {at_place(name)}" for name, count in pots.items()])


