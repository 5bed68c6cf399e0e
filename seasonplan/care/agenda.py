"""The agenda of a season: every job dated, placed, timed and put into words, with the moves given beside them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date

from seasonplan import wording as w
from seasonplan.care import cautions
from seasonplan.care.cases import cases_of, with_stays
from seasonplan.care.doneness import done_ledger
from seasonplan.care.job import Scene, joined
from seasonplan.care.jobs import REGISTRY, all_kinds
from seasonplan.care.level import Board, Leveller
from seasonplan.care.logbook import REDATED, PlantLog, read_entries
from seasonplan.care.season import Season, season_of
from seasonplan.care.sessions import Ledger, Nominal, Refusal, Session, collect
from seasonplan.care.shopping import shopping_list
from seasonplan.care.uids import WHOLE_COLLECTION, step_uid
from seasonplan.care.workplace import Spot, Workplaces
from seasonplan.model import Agenda, Daylight, PlantPlan, Scenario, SkippedJob, Step


def build_agenda(scenario: Scenario, plants: Sequence[PlantPlan], daylight: Daylight, year: int,
                 moves: Sequence[Step]) -> Agenda:
    """All steps of a planning year in order of date and time, what to buy, and what did not fit.

    plants: in plants.csv order. moves: fixed steps; they come first on the minutes of their days and stand in the
    result as they are, but for the cautions that their plants and places call for. Deterministic.
    """
    season = with_stays(season_of(scenario, year), plants)
    found = _levelled(season, plants, moves)
    steps = _with_cautions(moves, plants, season)
    skipped = [*_over_by_moves(season, moves), *_refused(found.refused, plants)]
    places = Workplaces(season, daylight)
    places.reserve_moves(moves)
    for session in sorted(found.sessions, key=_timing_order):
        step, refusal = _step(session, season, plants, places)
        steps += [step] if step else []
        skipped += [refusal] if refusal else []
    steps = _with_things_to_have(sorted(steps, key=_reading_order))
    return Agenda(tuple(steps), shopping_list(steps, scenario.rules.units), tuple(skipped))


def _with_cautions(moves: Sequence[Step], plans: Sequence[PlantPlan], season: Season) -> list[Step]:
    """Moves with their own cautions and those for weight, wind and what is harmful to chew."""
    plants = {plan.plant.name: plan.plant for plan in plans}
    found = []
    for step in moves:
        carried = [plants[name] for name in step.plants if name in plants]
        more = cautions.for_move(carried, step.place, season.rules)
        found.append(replace(step, cautions=tuple(dict.fromkeys((*step.cautions, *more)))))
    return found


def _levelled(season: Season, plans: Sequence[PlantPlan], moves: Sequence[Step]) -> Leveller:
    """The sessions: first as if nothing had been logged this year, then with pests found, then with what was done.

    Each later levelling keeps the days of the one before wherever the rules still allow them.
    """
    kinds = frozenset(all_kinds())
    logs = read_entries(season.scenario.log, plans, season.first, season.last, kinds, {})
    history = {name: PlantLog(before=log.before) for name, log in logs.items()}
    found = _level(season, plans, moves, history, {}, {})
    if any(log.finds or log.clears for log in logs.values()):
        pests = {name: PlantLog(log.finds, log.clears, [], log.before) for name, log in logs.items()}
        found = _level(season, plans, moves, pests, by_member(found.sessions), {})
    if any(log.done for log in logs.values()):
        planned = by_member(found.sessions)
        steps = {_uid(s, season, plans): (*s.key, [plans[m].plant.name for m in s.members]) for s in found.sessions}
        logs = read_entries(season.scenario.log, plans, season.first, season.last, kinds, steps)
        found = _level(season, plans, moves, logs, planned, done_ledger(plans, logs, REGISTRY, planned))
    return found


def _level(season: Season, plans: Sequence[PlantPlan], moves: Sequence[Step], logs: dict[str, PlantLog],
           nominal: Nominal, done: Ledger) -> Leveller:
    board = Board(season.rules.minutes_per_day)
    for step in moves:
        board.used_min[step.date.toordinal()] += step.minutes
    leveller = Leveller(season, [plan.plant.count for plan in plans], board, nominal, done)
    needs, refused = collect(REGISTRY, cases_of(plans, season, logs))
    leveller.run(needs)
    leveller.refused[:0] = [r for r in refused if not _all_done(r, done)]
    return leveller


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
    return step_uid(season.scenario.site.name, season.year, session.job.kind, anchor, n)


BEFORE_MOVES = frozenset(job.kind for job in REGISTRY if job.before_moves)
_RANKS = {kind: rank for rank, kind in enumerate(all_kinds())}


def _timing_order(session: Session) -> tuple:
    """Within a day: what precedes the moves and what needs shade choose their times first, the rest like with like."""
    job = session.job
    return (session.day, not job.before_moves, not job.no_sun, job.family, _RANKS[job.kind], session.n, session.members)


def _reading_order(step: Step) -> tuple:
    """By date; what comes before the moves, the rest by start; reminders and moves without a start lead."""
    kind = step.kind
    return step.date, kind not in BEFORE_MOVES, step.start or "", kind in _RANKS, _RANKS.get(kind), step.uid


def _step(session: Session, season: Season, plans: Sequence[PlantPlan],
          places: Workplaces) -> tuple[Step | None, SkippedJob | None]:
    """A session as a step; a SkippedJob where it can only be had by running over, or not at all."""
    job, day = session.job, session.day
    scene = Scene(job, session.n, day, session.due, tuple(plans[m] for m in session.members), season)
    names = tuple(plant.name for plant in scene.plants)
    spot = places.spot(job, day, session.minutes, scene.stands, names)
    if spot is None:
        return None, SkippedJob(job.kind, names, f"no place is out of direct sun long enough on {_day(day)}",
                                "hang shade cloth, or wait for an overcast day")
    scene = replace(scene, place=spot.place, start_min=spot.start_min, over_min=session.over_min)
    told = job.tell(scene)
    why = joined([told.why, _sun_note(session, spot, places), _over_note(session, season)])
    keys = cautions.applying((*job.cautions, *(("heavy",) if job.carried else ())), scene.plants, spot.place)
    step = Step(_uid(session, season, plans), date.fromordinal(day),
                None if spot.start_min is None else w.clock(spot.start_min), session.minutes, job.kind, told.title,
                names, spot.place, told.detail, why, cautions.sentences(keys, season.rules),
                tuple(map(date.fromordinal, session.due)),  # type: ignore[arg-type]
                tuple(job.amounts(scene).items()) if job.amounts else ())
    return step, _runs_over(session, names, season)


def _sun_note(session: Session, spot: Spot, places: Workplaces) -> str:
    """Why a session that shuns the sun begins when it does."""
    if not session.job.no_sun:
        return ""
    spans = places.sun(spot.place, session.day)
    note = f"Direct sun there {w.spans(spans)}." if spans else "No direct sun there that day."
    if spot.until_min is not None:
        note += f" The shade lasts until {w.clock(spot.until_min)}: stop then and go on at the same time next day."
    return note


def _over_note(session: Session, season: Season) -> str:
    if not session.over_min:
        return ""
    limit = w.duration(season.rules.minutes_per_day)
    return (f"This day runs {w.duration(session.over_min)} over your {limit}: this step protects the plants and does "
            "not wait.")


def _runs_over(session: Session, names: tuple[str, ...], season: Season) -> SkippedJob | None:
    if not session.over_min:
        return None
    limit = w.duration(season.rules.minutes_per_day)
    over = w.duration(session.over_min)
    return SkippedJob(session.job.kind, names, f"kept on {_day(session.day)}, which runs {over} over your "
                      f"{limit}", f"{over} more on that day, or a helper")


def _over_by_moves(season: Season, moves: Sequence[Step]) -> list[SkippedJob]:
    """Days that the moves alone make run over."""
    by_day: dict[date, list[Step]] = defaultdict(list)
    for step in moves:
        by_day[step.date].append(step)
    limit, found = season.rules.minutes_per_day, []
    for day, steps in sorted(by_day.items()):
        over = sum(step.minutes for step in steps) - limit
        if over > 0:
            names = tuple(dict.fromkeys(name for step in steps for name in step.plants))
            found.append(SkippedJob(steps[0].kind, names, f"carrying on {w.day(day)} runs {w.duration(over)} over your "
                                    f"{w.duration(limit)}", f"{w.duration(over)} more on that day, or a helper"))
    return found


def _refused(refused: Iterable[Refusal], plans: Sequence[PlantPlan]) -> list[SkippedJob]:
    """Refusals for the person, those of one kind for one reason together."""
    groups: dict[tuple[str, str, str], set[int]] = defaultdict(set)
    for refusal in refused:
        groups[refusal.kind, refusal.reason, refusal.remedy].update(refusal.members)
    return [SkippedJob(kind, tuple(plans[m].plant.name for m in sorted(members)), reason, remedy)
            for (kind, reason, remedy), members in groups.items()]


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
