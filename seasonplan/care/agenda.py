"""The agenda of a season: every job dated, placed, timed and put into words, with the moves given beside them."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from seasonplan import wording as w
from seasonplan.care import cautions
from seasonplan.care.carried import of_this_season
from seasonplan.care.cases import cases_of, with_stays
from seasonplan.care.doneness import done_ledger
from seasonplan.care.job import TOGETHER, Scene, at_place, joined
from seasonplan.care.jobs import REGISTRY, all_kinds
from seasonplan.care.jobs_autumn import LAST_CHECK, LAST_CHECK_POT_MIN
from seasonplan.care.level import Board, Leveller
from seasonplan.care.logbook import REDATED, Planned, PlantLog, read_entries
from seasonplan.care.place_by_place import Part, split
from seasonplan.care.rounds import NOWHERE_ELSE, Elsewhere
from seasonplan.care.season import Season, season_of
from seasonplan.care.sessions import Ledger, Nominal, Refusal, Session, collect
from seasonplan.care.shopping import shopping_list
from seasonplan.care.things import with_things
from seasonplan.care.treatment import Course
from seasonplan.care.uids import step_uid
from seasonplan.care.workplace import Spot, Workplaces
from seasonplan.model import Agenda, Daylight, Plant, PlantPlan, Scenario, SkippedJob, Step
from seasonplan.model.work import WHOLE_COLLECTION


@dataclass(frozen=True)
class Lived:
    """What has happened so far. today: the day on which a season that is kept goes on, None on paper. begun: the day on
    which its log begins, where it says so. ill_since: since when the plan knows of the pest that plants.csv names.
    opens: the first day that this plan knows anything of, where that is long before its year."""

    today: date | None = None
    begun: date | None = None
    ill_since: Mapping[str, date] = field(default_factory=dict)
    opens: date | None = None

    def on(self, season: Season) -> Season:
        return replace(season, today=None if self.today is None else self.today.toordinal(),
                       begun=None if self.begun is None else self.begun.toordinal())


ON_PAPER = Lived()


def build_agenda(scenario: Scenario, plants: Sequence[PlantPlan], daylight: Daylight, year: int,
                 moves: Sequence[Step], lived: Lived = ON_PAPER, elsewhere: Elsewhere = NOWHERE_ELSE) -> Agenda:
    """All steps of a planning year in order of date and time, what to buy, and what did not fit; habits apart.

    plants: in plants.csv order. moves: fixed steps; they come first on the minutes of their days and stand in the
    result as they are, but for the cautions that their plants and places call for. elsewhere: what other gardens ask of
    the same person. Deterministic.
    """
    season = season_of(scenario, year)
    season = with_stays(replace(season, later_days=elsewhere.later_days, opens=min(
        season.opens, season.opens if lived.opens is None else lived.opens.toordinal())), plants)
    moves = _with_cautions(moves, plants, season)
    steps = list(moves)
    places = Workplaces(season, daylight)
    found, courses = _levelled(_Work(season, plants, moves, {name: day.toordinal() for name, day in
                                                             lived.ill_since.items()}, elsewhere, places), lived)
    skipped = [*_days_over(season, moves, found.sessions, plants), *_refused(found.refused, plants, lived.today)]
    places.reserve_moves(moves)
    habits: list[Step] = []
    for session in sorted(found.sessions, key=_timing_order):
        step, refusal = _step(session, season, plants, places, courses)
        if step is not None:
            (habits if session.job.is_reminder else steps).append(step)
        skipped += [refusal] if refusal else []
    steps = with_things(_with_things_to_have(sorted(steps, key=_reading_order)))
    return Agenda(tuple(steps), shopping_list(steps, scenario.rules.units), tuple(skipped),
                  tuple(_on_days_of_work(sorted(habits, key=_reading_order), steps, lived.today)),
                  tuple(_treated(plants, courses, lived.today)))


def _treated(plans: Sequence[PlantPlan], courses: Sequence[Sequence[Course]], today: date | None) -> Iterable[str]:
    """Plants that plants.csv says have a pest, and whose treatment the log tells to be over."""
    for plan, found in zip(plans, courses, strict=True):
        if plan.plant.pests not in ("", "none") and not any(
                today is None or course.end >= today.toordinal() for course in found):
            yield plan.plant.name


def _on_days_of_work(habits: Iterable[Step], steps: Sequence[Step], today: date | None) -> list[Step]:
    """Habits on days that have work anyway: the nearest within their time, else the last in the week before it, else
    their own."""
    days = sorted({step.date for step in steps})
    found = []
    for habit in habits:
        if today is not None and habit.date < today:            # it has begun
            found.append(habit)
            continue
        first, last = habit.due or (habit.date, habit.date)
        inside = days[bisect_left(days, first):bisect_right(days, last)]
        near = min(inside, key=lambda day: abs(day - habit.date), default=None)
        before = days[bisect_left(days, first - HABIT_WITHIN):bisect_left(days, first)]
        found.append(replace(habit, date=near or (before or [habit.date])[-1]))
    return sorted(found, key=_reading_order)


def _with_last_check(step: Step, plants: Sequence[Plant]) -> Step:
    """A move indoors with the last look before the door."""
    pots = sum(plant.count for plant in plants)
    return replace(step, minutes=step.minutes + LAST_CHECK_POT_MIN * pots, detail=joined([LAST_CHECK, step.detail]))


def _with_cautions(moves: Sequence[Step], plans: Sequence[PlantPlan], season: Season) -> list[Step]:
    """Moves with their own cautions, those for weight, wind and what is harmful to chew, and the last check."""
    plants = {plan.plant.name: plan.plant for plan in plans}
    found = []
    for step in moves:
        carried = [plants[name] for name in step.plants if name in plants]
        more = cautions.for_move(carried, step.place, season.rules)
        step = replace(step, cautions=tuple(dict.fromkeys((*step.cautions, *more))))
        found.append(_with_last_check(step, carried) if step.kind == "move-in" else step)
    return found


def _levelled(work: _Work, lived: Lived) -> tuple[Leveller, list[tuple[Course, ...]]]:
    """The sessions, and the courses of treatment of each plant: first as if nothing had been logged this year, then
    with pests found, then with what was done, and in a season that is kept from today on.

    Each later levelling keeps the days of the one before wherever the rules still allow them.
    """
    season, plans = work.season, work.plans
    raw, logs = work.read({})
    history = {name: PlantLog([find for find in log.finds if find not in raw[name].finds] if name in raw else log.finds,
                              before=log.before) for name, log in logs.items()}
    found, courses = work.level(season, history, {}, {})
    if any(log.clears or log.finds != history[name].finds for name, log in logs.items()):
        pests = {name: PlantLog(log.finds, log.clears, [], log.before) for name, log in logs.items()}
        found, courses = work.level(season, pests, by_member(found.sessions), {})
    if lived.today is not None or any(log.done for log in logs.values()):
        planned = by_member(found.sessions)
        _, logs = work.read({_uid(s, season, plans): (*s.key, [plans[m].plant.name for m in s.members])
                             for s in found.sessions})
        found, courses = work.level(lived.on(season), logs, planned, done_ledger(plans, logs, REGISTRY, planned))
        found.sessions = [_open(session, planned, lived.on(season)) for session in found.sessions]
    return found, courses


def _open(session: Session, planned: Nominal, season: Season) -> Session:
    """A session marked with the day it was due, where that is past and the log of that day was kept already."""
    if season.today is None or session.job.is_reminder or session.spare:       # nobody is late with those
        return session
    if session.due[0] > season.today:                # what came before it was late: it is not due yet
        return session
    due = [planned[session.key][m].day for m in session.members if m in planned.get(session.key, {})]
    first = season.opens if session.job.any_time else season.first
    past = [day for day in due if max(first, season.begun or 0) <= day < season.today]
    return replace(session, open_since=min(past)) if past else session


@dataclass(frozen=True, eq=False)
class _Work:
    """What every levelling of a season shares."""

    season: Season
    plans: Sequence[PlantPlan]
    moves: Sequence[Step]
    ill_since: Mapping[str, int]
    elsewhere: Elsewhere
    places: Workplaces

    def read(self, planned: Planned) -> tuple[dict[str, PlantLog], dict[str, PlantLog]]:
        """(what the log says by plant, the same as this season has it, with the pests that plants.csv names)."""
        season = self.season
        raw = read_entries(season.scenario.log, self.plans, season.first, season.last, frozenset(all_kinds()), planned)
        return raw, of_this_season(raw, self.plans, season, TREATMENT, self.ill_since)

    def level(self, season: Season, logs: Mapping[str, PlantLog], nominal: Nominal,
              done: Ledger) -> tuple[Leveller, list[tuple[Course, ...]]]:
        busy = {day.toordinal(): minutes for day, minutes in self.elsewhere.minutes.items()}
        board = Board(self.elsewhere.limit_min or season.rules.minutes_per_day, travel_min=self.elsewhere.travel_min,
                      elsewhere=frozenset(busy))
        board.used_min.update(busy)
        for step in self.moves:
            board.go(step.date.toordinal(), step.minutes)
        leveller = Leveller(season, [plan.plant.count for plan in self.plans], board, nominal, done)
        cases = cases_of(self.plans, season, logs)
        needs, refused = collect(REGISTRY, cases)
        leveller.run(needs)
        leveller.sessions = split(leveller.sessions, self.plans, self.places.in_one_go)
        leveller.refused[:0] = [r for r in refused if not _all_done(r, done)]
        courses: list[tuple[Course, ...]] = [()] * len(self.plans)
        for case in cases:
            for member in case.members:
                courses[member] = case.courses
        return leveller, courses


def _all_done(refusal: Refusal, done: Ledger) -> bool:
    return all(any(m in real for (kind, _), real in done.items() if kind == refusal.kind) for m in refusal.members)


def by_member(sessions: Iterable[Session]) -> dict[tuple[str, int], dict[int, Session]]:
    """Sessions by (kind, occurrence) and plant."""
    found: dict[tuple[str, int], dict[int, Session]] = defaultdict(dict)
    for session in sessions:
        found[session.key].update(dict.fromkeys(session.members, session))
    return dict(found)


def _uid(session: Session, season: Season, plans: Sequence[PlantPlan]) -> str:
    anchor = WHOLE_COLLECTION if session.anchor < 0 else plans[session.anchor].plant.name
    n = session.n + (REDATED if session.redated else 0)
    return step_uid(season.scenario.site.name, season.year - session.earlier, session.job.kind, anchor, n)


TREATMENT = frozenset(job.kind for job in REGISTRY if job.episodes)
HABIT_WITHIN = timedelta(days=7)
"""Our setting."""
_RANKS = {kind: rank for rank, kind in enumerate(all_kinds())}


def _timing_order(session: Session) -> tuple:
    """Within a day: what needs shade chooses its times first, the rest like with like."""
    job = session.job
    return (session.day, not job.no_sun, job.family, _RANKS[job.kind], session.n, session.members)


def _reading_order(step: Step) -> tuple:
    """By date and start; habits and moves without a start lead."""
    kind = step.kind
    return step.date, step.start or "", kind in _RANKS, _RANKS.get(kind), step.uid


def _step(session: Session, season: Season, plans: Sequence[PlantPlan],
          places: Workplaces, courses: Sequence[tuple[Course, ...]]) -> tuple[Step | None, SkippedJob | None]:
    """A session as a step; a SkippedJob where it can only be had by running over, or not at all."""
    job, day = session.job, session.day
    scene = Scene(job, session.n, day, session.due, tuple(plans[m] for m in session.members), season,
                  courses=tuple(courses[m] for m in session.members))
    names = tuple(plant.name for plant in scene.plants)
    spot = places.spot(job, day, session.minutes, scene.stands, names)
    if spot is None:
        return None, SkippedJob(job.kind, names, f"no place is out of direct sun long enough on {_day(day)}",
                                "hang shade cloth, or wait for an overcast day")
    scene = replace(scene, place=spot.place, start_min=spot.start_min, over_min=session.over_min)
    told = job.tell(scene)
    row = _row_line(spot.parts)
    why = joined([told.why, _sun_note(session, spot, places), _over_note(session, season)])
    carry = (f"Carry what stands in the sun into the shade {at_place(spot.shade)} for it, and back once it is dry."
             if spot.shade else "")
    keys = cautions.applying((*job.cautions, *(("heavy",) if job.carried else ())), scene.plants, spot.place)
    step = Step(_uid(session, season, plans), date.fromordinal(day),
                None if spot.start_min is None else w.clock(spot.start_min), session.minutes, job.kind, told.title,
                names, spot.place, joined([carry, row, told.detail]), why, cautions.sentences(keys, season.rules),
                tuple(map(date.fromordinal, session.due)),  # type: ignore[arg-type]
                tuple(job.amounts(scene).items()) if job.amounts else (),
                None if session.open_since is None else date.fromordinal(session.open_since), session.spare,
                tuple((part.place, w.clock(part.start_min), part.minutes) for part in spot.parts))
    return step, None


def _row_line(parts: Sequence[Part]) -> str:
    """When to be where, of work that goes from place to place."""
    said = [f"{at_place(part.place)} from {w.clock(part.start_min)}" for part in parts]
    return f"One place after another, each in its shade: {w.listed(said, len(said))}." if said else ""


def _sun_note(session: Session, spot: Spot, places: Workplaces) -> str:
    """Why a session that shuns the sun begins when it does."""
    if not session.job.no_sun or spot.parts:
        return ""
    worked_at = [spot.shade] if spot.shade else spot.place.split(TOGETHER)
    spans = sorted({span for name in worked_at for span in places.sun(name, session.day)})
    there = at_place(spot.shade) if spot.shade else "there"
    note = f"Direct sun {there} {w.spans(spans)}." if spans else f"No direct sun {there} that day."
    if spot.until_min is not None:
        note += f" The shade lasts until {w.clock(spot.until_min)}: stop then and go on at the same time next day."
    return note


def _over_note(session: Session, season: Season) -> str:
    if not session.over_min:
        return ""
    limit = w.duration(season.rules.minutes_per_day)
    return (f"This day runs {w.duration(session.over_min)} over your {limit}: this step protects the plants and does "
            "not wait.")


def _days_over(season: Season, moves: Sequence[Step], sessions: Sequence[Session],
               plans: Sequence[PlantPlan]) -> list[SkippedJob]:
    """Days that run over because of what protects the plants and does not wait, each said once."""
    limit, by_day = season.rules.minutes_per_day, defaultdict[int, list[Step]](list)
    for step in moves:
        by_day[step.date.toordinal()].append(step)
    over: dict[int, tuple[int, str, tuple[str, ...], str]] = {}
    for day, steps in by_day.items():
        more = sum(step.minutes for step in steps) - limit
        if more > 0:
            names = tuple(dict.fromkeys(name for step in steps for name in step.plants))
            over[day] = more, steps[0].kind, names, "carrying"
    for session in sorted(sessions, key=lambda s: s.minutes):
        if session.over_min:
            names = tuple(plans[m].plant.name for m in session.members)
            over[session.day] = session.over_min, session.job.kind, names, "work"
    return [SkippedJob(kind, names, f"{what} on {_day(day)} runs {w.duration(more)} over your {w.duration(limit)} and "
                       "does not wait", f"{w.duration(more)} more on that day, or a helper", kept=True)
            for day, (more, kind, names, what) in sorted(over.items())]


def _refused(refused: Iterable[Refusal], plans: Sequence[PlantPlan], today: date | None) -> list[SkippedJob]:
    """Refusals for the person, those of one kind for one reason together; none whose time is over in a season that is
    kept."""
    groups: dict[tuple[str, str, str, bool], set[int]] = defaultdict(set)
    for refusal in refused:
        if today and refusal.last is not None and refusal.last < today.toordinal():
            continue
        groups[refusal.kind, refusal.reason, refusal.remedy, refusal.spare].update(refusal.members)
    return [SkippedJob(kind, tuple(plans[m].plant.name for m in sorted(members)), reason, remedy,
                       optional=spare) for (kind, reason, remedy, spare), members in groups.items()]


def _with_things_to_have(steps: list[Step]) -> list[Step]:
    """Things needed once (gloves, a bottle of soap) entered with the first step that uses them."""
    needed = {job.kind: job.once for job in REGISTRY if job.once}
    have: set[str] = set()
    found = []
    for step in steps:
        new = [key for key in needed.get(step.kind, ()) if key not in have]
        have.update(new)
        found.append(replace(step, amounts=(*step.amounts, *((key, 1.0) for key in new))) if new else step)
    return found


def _day(day: int) -> str:
    return w.day(date.fromordinal(day))
