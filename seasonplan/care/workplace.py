"""Where a session is done and when it starts: where its plants stand, out of direct sun where that matters, one thing
after another else.

Times are minutes after local midnight.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from math import isnan

from seasonplan.care.job import TOGETHER, Job
from seasonplan.care.place_by_place import Part, Span, in_a_row, lengths
from seasonplan.care.season import Season
from seasonplan.care.sessions import Session
from seasonplan.dates import DAYS
from seasonplan.model import Daylight, Step

DAY_START_MIN = 9 * 60
"""Work begins at nine. Our setting."""
EARLY_MIN, LATE_MIN = 7 * 60, 21 * 60 + 30
"""Spraying may begin at seven and is over by half past nine in the evening. Our setting."""
DUSK_MIN = 20
"""So long after sunset there is light enough to work by: civil twilight, until the sun is 6 degrees down, lasts longer
everywhere."""
MORNING_UNTIL_MIN, EVENING_FROM_MIN = 10 * 60, 16 * 60
"""Spray early or late: before ten or from four on where the shade allows it. Our setting."""
SHORTEST_SHADE_MIN = 20
"""A shaded time shorter than this is no time to spray in. Our setting."""


@dataclass(frozen=True)
class Spot:
    """A place and a start for a session. until_min: end of the shade, where that comes before the work's end.
    shade: the place into whose shade its plants are carried for it, "" where they may stay where they stand. parts: the
    places one after another, each in its own shade."""

    place: str
    start_min: int | None
    until_min: int | None = None
    shade: str = ""
    parts: tuple[Part, ...] = ()


@dataclass(eq=False)
class Workplaces:
    """The places of a season through the year, and the times already taken on each day.

    moving: per day with moves, when they begin and end and which plants are carried.
    """

    season: Season
    daylight: Daylight
    taken: dict[int, list[Span]] = field(default_factory=dict)
    moving: dict[int, tuple[float, float, frozenset[str]]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._rows = {name: n for n, name in enumerate(self.daylight.places)}
        self._first = self.daylight.dates[0].toordinal()

    def sun(self, place: str, day: int) -> tuple[Span, ...]:
        """Times of direct sun at a place."""
        row, n = self._rows.get(place), self._nth(day)
        return () if row is None or n is None else self.daylight.sun_spans[row][n]

    def _nth(self, day: int) -> int | None:
        """Which day of the daylight it is; of a day outside its year, the same time of the year."""
        n, known = day - self._first, len(self.daylight.dates)
        n = n if 0 <= n < known else n % DAYS
        return n if n < known else None

    def light_span(self, day: int) -> Span:
        """When there is light to spray by outdoors; the whole working day where the sun neither rises nor sets."""
        n = self._nth(day)
        if n is None:
            return EARLY_MIN, LATE_MIN
        up, down = float(self.daylight.sunrise_min[n]), float(self.daylight.sunset_min[n])
        return max(EARLY_MIN, EARLY_MIN if isnan(up) else up), min(LATE_MIN, LATE_MIN if isnan(down) else
                                                                   down + DUSK_MIN)

    def take(self, day: int, start: float, length: float) -> None:
        """Mark a time as taken."""
        self.taken.setdefault(day, []).append((start, start + length))

    def reserve_moves(self, moves: Iterable[Step]) -> None:
        """Take the times of given moves, one after another from nine on where they name none."""
        for step in sorted(moves, key=lambda s: (s.date, s.start or "", s.uid)):
            if not step.minutes:
                continue
            day = step.date.toordinal()
            start = self.next_free(day, step.minutes) if step.start is None else _minutes_of(step.start)
            self.take(day, start, step.minutes)
            begin, end, names = self.moving.get(day, (start, start, frozenset()))
            self.moving[day] = min(begin, start), max(end, start + step.minutes), names | frozenset(step.plants)

    def next_free(self, day: int, length: float, earliest: float = DAY_START_MIN) -> int:
        """The first start from `earliest` on that leaves so many minutes free."""
        start = earliest
        for begin, end in sorted(self.taken.get(day, ())):
            if begin < start + length and end > start:
                start = end
        return int(-(-start // 1))

    def spot(self, job: Job, day: int, length: int, stands: Sequence[tuple[str, int]],
             plants: Sequence[str] = ()) -> Spot | None:
        """Where and when a job of so many minutes is done, after its plants have been carried that day.

        stands: (place, pots) of its plants, most pots first. None where it must be out of the sun and no place is, long
        enough to begin.
        """
        here = tuple(name for name, _ in stands)
        if job.is_reminder:
            return Spot(TOGETHER.join(here), None)
        _, moved_until, carried = self.moving.get(day, (DAY_START_MIN, DAY_START_MIN, frozenset()))
        earliest = 0.0 if carried.isdisjoint(plants) else moved_until
        if not job.no_sun:
            return self._timed(here, day, length, earliest)
        return self._place_by_place(stands, day, length, earliest) or self._shaded(here, day, length, earliest)

    def in_one_go(self, session: Session, stands: Sequence[tuple[str, int]]) -> bool:
        """Whether the sun lets a session go round its places without a pause, whatever else its day holds."""
        return len(stands) == 1 or self._row(stands, session.day, session.minutes, 0.0, {}) is not None

    def _row(self, stands: Sequence[tuple[str, int]], day: int, length: int, earliest: float,
             taken: Mapping[int, Sequence[Span]]) -> tuple[Part, ...] | None:
        long = lengths(stands, length)
        free = {place: self._free_shade([place], day, earliest, taken) for place in long}
        return in_a_row(long, free, MORNING_UNTIL_MIN, EVENING_FROM_MIN)

    def _place_by_place(self, stands: Sequence[tuple[str, int]], day: int, length: int, earliest: float) -> Spot | None:
        """Several places one after another, each in its own shade; None for a single place, and where that cannot
        be."""
        parts = self._row(stands, day, length, earliest, self.taken) if len(stands) > 1 else None
        if parts is None:
            return None
        self.take(day, parts[0].start_min, length)
        return Spot(TOGETHER.join(part.place for part in parts), parts[0].start_min, parts=parts)

    def _timed(self, here: Sequence[str], day: int, length: int, earliest: float) -> Spot:
        start, place = self.next_free(day, length, max(earliest, DAY_START_MIN)), TOGETHER.join(here)
        if start + length > 24 * 60:
            return Spot(place, None)
        self.take(day, start, length)
        return Spot(place, start)

    def _shaded(self, here: tuple[str, ...], day: int, length: int, earliest: float) -> Spot | None:
        """When there is shade long enough where the plants stand, at all their places at once, early or late for
        choice; else the first place with such shade, to which they are carried; else the longest shade there is."""
        longest: tuple[float, tuple[str, ...], float, float] | None = None
        for places in [here, *((place,) for place in self._others(here))]:
            free = self._free_shade(places, day, earliest, self.taken)
            start = best_start(free, length)
            if start is not None:
                self.take(day, start, length)
                return _shaded_spot(here, places, start)
            for begin, end in free:
                if longest is None or end - begin > longest[0]:
                    longest = (end - begin, places, begin, end)
        if longest is None or longest[0] < SHORTEST_SHADE_MIN:
            return None
        _, places, begin, end = longest
        self.take(day, begin, end - begin)
        return _shaded_spot(here, places, int(-(-begin // 1)), int(end))

    def _others(self, here: Sequence[str]) -> list[str]:
        """Places to carry plants to, best first: one of theirs, others of the same kind, the rooms. Plants that stand
        indoors are not carried out."""
        places = self.season.places
        inside = not any(places[name].outdoors for name in here if name in places)
        same = [name for name, place in places.items() if place.outdoors != inside]
        rooms = [name for name, place in places.items() if not place.outdoors]
        return list(dict.fromkeys([*here, *same, *rooms]))

    def _free_shade(self, names: Sequence[str], day: int, earliest: float,
                    taken: Mapping[int, Sequence[Span]]) -> list[Span]:
        """Times out of direct sun at all of some places, with light to work by, that are not taken."""
        outside = any(self.season.places[name].outdoors for name in names if name in self.season.places)
        first, last = self.light_span(day) if outside else (EARLY_MIN, LATE_MIN)
        sunny = [span for name in names for span in self.sun(name, day)]
        return gaps([*sunny, *taken.get(day, ())], max(first, earliest), last)


def _shaded_spot(here: tuple[str, ...], places: tuple[str, ...], start: int, until: int | None = None) -> Spot:
    """A spot where plants stand, or at the place to which they are carried from there."""
    away = [name for name in here if name not in places]
    return Spot(TOGETHER.join(dict.fromkeys((*here, *places))), start, until, places[0] if away else "")


def _minutes_of(clock: str) -> int:
    hours, minutes = clock.split(":")
    return int(hours) * 60 + int(minutes)


def gaps(busy: Iterable[Span], first: float, last: float) -> list[Span]:
    """What is left of first..last between busy times, in order."""
    free, start = [], first
    for begin, end in sorted(busy):
        if begin > start:
            free.append((start, min(begin, last)))
        start = max(start, end)
    free.append((start, last))
    return [(a, b) for a, b in free if b > a]


def best_start(free: Iterable[Span], length: float) -> int | None:
    """A start within free times that leaves `length`: before ten in the morning, else the first from four on, else any;
    None where no time is long enough. Whole minutes, inside the free time."""
    starts = [(-(-begin // 1), end - length) for begin, end in free]
    starts = [(begin, latest) for begin, latest in starts if begin <= latest]
    early = [begin for begin, _ in starts if begin < MORNING_UNTIL_MIN]
    late = [max(begin, EVENING_FROM_MIN) for begin, latest in starts if latest >= EVENING_FROM_MIN]
    return int(min(early or late or [begin for begin, _ in starts])) if starts else None
