"""What a command does with folders, from reading to writing, under one lock: the same for `cli` and for `serve`.

Stages: hold the folders; read them; build a plan of each; look over all of them together; render; write every file of
every folder, or none. A calendar is merged with the one that stands there as the last thing before it is written.
No clock, no terminal; the network only through `fetch` and `forecast`, which the caller brings.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from datetime import date
from functools import reduce
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from seasonplan import files
from seasonplan.errors import Fault, InputFaults
from seasonplan.files import Held

if TYPE_CHECKING:
    from seasonplan.deeds import Deed
    from seasonplan.model import Before, LogEntry, Plan, Reading, Round, Scenario, Step

CALENDAR, DOCUMENT, PAGE, SHEET, INDEX = "calendar.ics", "plan.json", "plan.html", "sheet.html", "index.html"
ROUND = "round.json"
SITES_WORTH_A_SECOND_PROCESS = 4
GARDENS_OF_A_ROUND = 12
"""The moves of so many gardens are kept on days of their own; more than that no week has room for. Our setting."""
Fetch = Callable[[str], bytes]
Files = dict[str, bytes]
Result = TypeVar("Result")
Progress = Callable[[Iterator[Any], int], Iterable[Any]]
"""Passes results on as they come, and may show how many of how many there are."""


@dataclass(frozen=True)
class Folders:
    """Scenario folders, where each one's files go, and where those of all together go (None: there is only one)."""

    sources: tuple[Path, ...]
    targets: tuple[Path, ...]
    together: Path | None

    @classmethod
    def of(cls, sources: Sequence[Path], out: Path | None = None) -> Folders:
        """DIR/out for each, or `out` itself, or a folder below it when there are several. Raises InputFaults."""
        _refuse_same_folders(sources)
        if len(sources) == 1:
            return cls((sources[0],), (out or sources[0] / "out",), None)
        targets = tuple(out / folder.resolve().name if out else folder / "out" for folder in sources)
        return cls(tuple(sources), targets,
                   out or Path(os.path.commonpath([folder.resolve() for folder in sources])) / "out")


@dataclass(frozen=True)
class Planned:
    """The plans of several folders, in their order, the folders that now hold their files, and what they ask of one
    person together (None: there is only one, or each has hands of its own)."""

    plans: tuple[Plan, ...]
    written: tuple[Path, ...]
    round: Round | None = None


def plan_folders(folders: Folders, today: date, *, page: bool = True, fetch: Fetch | None = None,
                 progress: Progress = lambda results, count: results, own_hands: bool = False) -> Planned:
    """Plans all folders, as one person's round or (own_hands) each for itself, and writes their files. Raises
    SeasonplanError; then nothing was written."""
    with held_folders(folders, fetch) as (scenarios, targets, together):
        plans = build_all(scenarios, today, progress, before_of(folders, targets), own_hands)
        round_ = shared_round(plans, own_hands)
        rendered = _on_both_cores(render, [(plan, page) for plan in plans], progress)
        files.merged(lambda: [
            *((target, {**made, CALENDAR: _calendar(plan, target)})
              for plan, made, target in zip(plans, rendered, targets, strict=True)),
            *([] if together is None else [(together, together_files(plans, folders, together, page, round_))])])
    return Planned(tuple(plans), (*folders.targets, *([folders.together] if folders.together else [])), round_)


def shared_round(plans: Sequence[Plan], own_hands: bool) -> Round | None:
    """What the plans ask of one person together; None where there is one garden, or each has hands of its own."""
    from seasonplan.pipeline import round_of

    return None if own_hands or len(plans) == 1 else round_of(plans)


def _round_file(found: Round) -> bytes:
    from seasonplan.outputs.documents import to_json
    from seasonplan.outputs.round import round_document

    return to_json(round_document(found)).encode()


@dataclass(frozen=True)
class Noted:
    """entries: lines that were added to log.csv, or taken off it. open: what the plan on paper had before that day and
    the log does not tell, where the log of this season begins with these lines."""

    entries: tuple[LogEntry, ...]
    open: tuple[Step, ...] = ()


def note_deed(folder: Path, deed: Deed, today: date, fetch: Fetch | None = None, plan: Plan | None = None,
              by_several: bool = False) -> Noted:
    """Adds what was done to the folder's log. Raises SeasonplanError; then the log is as it was.

    plan: that of the folder as it stands and of today, where the caller has it. by_several: two people may tell the
    same; what the log tells of that day already is not added again.
    """
    from seasonplan import deeds
    from seasonplan.inputs.log import append_entry
    from seasonplan.model.life import told_of

    with _one_held(folder, fetch) as (scenario, one):
        before = _told(folder / "out")
        if plan is None:
            [plan] = build_all([scenario], today, before=[before])
        entries = deeds.entries_of(deed, plan, before)
        if by_several and deed.pots is None:
            entries = tuple(each for each in entries if each.plant not in told_of(
                scenario.log, (each.step,), each.date, each.date, each.place))
        if not entries:
            return Noted(())
        files.change_log(one, lambda text: reduce(append_entry, entries, text))
    return Noted(entries, deeds.not_logged(plan, entries, deed.on))


def take_back(folder: Path, step: str = "", plants: Sequence[str] = (), on: date | None = None,
              fetch: Fetch | None = None) -> Noted:
    """Takes the last such lines off the folder's log. Raises SeasonplanError; then the log is as it was."""
    from seasonplan import deeds
    from seasonplan.inputs.log import without_entries

    with _one_held(folder, fetch) as (scenario, one):
        entries = deeds.undone(scenario.log, step, plants, on)
        files.change_log(one, lambda text: without_entries(text, entries))
    return Noted(entries)


def note_reading(folder: Path, low_c: float, place: str, on: date, fetch: Fetch | None = None) -> Reading:
    """Writes what a thermometer showed into the folder's readings; one of that morning and place gives way."""
    from seasonplan.inputs.gathering import Wrong
    from seasonplan.inputs.readings import outdoor_name, with_reading
    from seasonplan.model import Reading

    with _one_held(folder, fetch) as (scenario, one):
        outdoors = [each.name for each in scenario.places if each.outdoors]
        try:
            name = outdoor_name(place or (outdoors[0] if len(outdoors) == 1 else ""), scenario.places)
        except Wrong as wrong:
            raise InputFaults([Fault("--place", 0, "", wrong.found if place else "it is not said which thermometer was "
                                     "read", wrong.allowed, wrong.cause)]) from None
        reading = Reading(on, name, low_c)
        _change_readings(folder, one, lambda text: with_reading(text, scenario.readings, reading))
    return reading


def take_reading_back(folder: Path, place: str = "", on: date | None = None,
                      fetch: Fetch | None = None) -> list[Reading]:
    """Takes the last reading off the folder's readings: at a place, or of a morning."""
    from seasonplan.inputs.log import without_entries
    from seasonplan.inputs.readings import same_reading

    with _one_held(folder, fetch) as (scenario, one):
        gone = same_reading(scenario.readings, on, place)
        if not gone:
            raise InputFaults([Fault("reading", 0, "", "there is no such reading", "one that stands in the readings")])
        _change_readings(folder, one, lambda text: without_entries(text, gone))
    return gone


def _change_readings(folder: Path, one: Held, change: Callable[[str], str]) -> None:
    from seasonplan.inputs.readings import read_readings
    from seasonplan.inputs.scenario import SCENARIO, readings_file

    name = readings_file(files.read_if_there(folder / SCENARIO))
    if Path(name).name != name:
        raise InputFaults([Fault(name, 0, "", "the readings stand in another folder, and only files of this one are "
                                 "written", "a reading added to that file by hand")])
    files.change_table(one, name, lambda data, faults: read_readings(name, data, None, faults), change)


@contextmanager
def _one_held(folder: Path, fetch: Fetch | None) -> Iterator[tuple[Scenario, Held]]:
    """A scenario as it was read while its folder is held."""
    if not folder.is_dir():
        load_all([folder], fetch)                     # says what is wrong with it
    with files.held(folder) as one:
        [scenario] = load_all([folder], fetch)
        yield scenario, one


def load_all(folders: Sequence[Path], fetch: Fetch | None = None) -> list[Scenario]:
    """Reads every folder; the faults of all of them are raised together, each file named with its folder."""
    scenarios: list[Scenario] = []
    faults: list[Fault] = []
    for folder in folders:
        try:
            scenarios.append(files.load_scenario(folder, fetch))
        except InputFaults as error:
            faults += [replace(fault, file=str(folder / fault.file)) if len(folders) > 1 and fault.file != str(folder)
                       else fault for fault in error.faults]
    if faults:
        raise InputFaults(faults)
    _refuse_twins(scenarios, folders)
    return scenarios


def _refuse_same_folders(folders: Sequence[Path]) -> None:
    seen: dict[str, Path] = {}
    twice = [(folder, other) for folder in folders if (other := seen.setdefault(os.path.realpath(folder), folder))
             is not folder]
    if twice:
        raise InputFaults([Fault(str(folder), 0, "", "the same folder twice", "each folder once",
                                 f"{other} names it too.") for folder, other in twice])


def _refuse_twins(scenarios: Sequence[Scenario], folders: Sequence[Path]) -> None:
    """Two sites of one name would write the same events into one calendar."""
    seen: dict[str, Path] = {}
    faults = []
    for scenario, folder in zip(scenarios, folders, strict=True):
        other = seen.setdefault(scenario.site.name, folder)
        if other != folder:
            faults.append(Fault(str(folder / "scenario.toml"), 0, "[site] name", f"'{scenario.site.name}' again",
                                "a name of its own for each site", f"{other} calls its site the same; a line "
                                f'name = "{folder.resolve().name}" under [site] tells them apart'))
    if faults:
        raise InputFaults(faults)


@contextmanager
def held_folders(folders: Folders, fetch: Fetch | None) -> Iterator[tuple[list[Scenario], list[Held], Held | None]]:
    """(scenarios, targets, together): the scenarios as they were read while their folders are held, as the targets
    are. What is wrong with them is told before a target is made."""
    with files.held_all([folder for folder in folders.sources if folder.is_dir()]) as sources:
        scenarios = load_all(folders.sources, fetch)
        wanted = [*folders.targets, *([] if folders.together is None else [folders.together])]
        with files.held_all(wanted, besides=sources) as held:
            yield scenarios, held[:len(folders.targets)], None if folders.together is None else held[-1]


def build_all(scenarios: Sequence[Scenario], today: date | Sequence[date],
              progress: Progress = lambda results, count: results,
              before: Sequence[Before | None] = (), own_hands: bool = True) -> list[Plan]:
    """A plan of each scenario: as the round of one person, or each for itself where every garden has hands of its own.
    today: of all, or of each; before: what the plans before these said."""
    from seasonplan.pipeline import build_plan, build_round, with_moves, with_shared_jobs

    told, days = before or [None] * len(scenarios), [today] * len(scenarios) if isinstance(today, date) else today
    jobs = list(zip(scenarios, days, told, strict=True))
    if own_hands or len(scenarios) == 1:
        return _on_both_cores(build_plan, jobs, progress)
    if len(scenarios) <= GARDENS_OF_A_ROUND:
        return build_round(scenarios, days, told)
    return with_shared_jobs(_on_both_cores(with_moves, jobs, progress))


def before_of(folders: Folders, targets: Sequence[Held]) -> list[Before | None]:
    """What the plans before these said: those in their targets, else those in the gardens' own folders, so that a plan
    written elsewhere for once knows the same."""
    return [_told(target.folder) or _told(source / "out") for source, target in
            zip(folders.sources, targets, strict=True)]


def _told(folder: Path) -> Before | None:
    from seasonplan.inputs.previous import read_before

    with suppress(InputFaults):                       # too large, or no file: then nothing is known of it
        return read_before(files.read_if_there(folder / DOCUMENT))
    return None


def render(plan: Plan, page: bool) -> Files:
    """The files of a plan that depend on nothing but the plan: all but the calendar."""
    from seasonplan.outputs.documents import plan_json

    made = {DOCUMENT: plan_json(plan)}
    if page:
        from seasonplan.outputs.page import render_page
        from seasonplan.outputs.shed import render_shed

        made |= {PAGE: render_page(plan).encode(), SHEET: render_shed(plan).encode()}
    return made


def _calendar(plan: Plan, target: Held) -> bytes:
    from seasonplan.outputs.calendar import render_calendar

    return render_calendar(plan, target.read(CALENDAR), str(target.folder / CALENDAR))


def together_files(plans: Sequence[Plan], folders: Folders, together: Held, page: bool, round_: Round | None) -> Files:
    """The combined calendar, the round and the index page of several sites."""
    from seasonplan.outputs.calendar import combine

    made = {CALENDAR: combine(plans, together.read(CALENDAR), str(together.folder / CALENDAR))}
    if round_ is not None:
        made[ROUND] = _round_file(round_)
    if page:
        from seasonplan.outputs.page import render_index

        links = [Path(os.path.relpath(target / PAGE, together.folder)).as_posix() for target in folders.targets]
        made[INDEX] = render_index(list(zip(links, plans, strict=True))).encode()
    return made


def _on_both_cores(work: Callable[..., Result], jobs: Sequence[tuple[Any, ...]], progress: Progress) -> list[Result]:
    """The results of all jobs in their order; more processes help when there are many."""
    if len(jobs) < SITES_WORTH_A_SECOND_PROCESS:
        return [work(*job) for job in jobs]
    from concurrent.futures import ProcessPoolExecutor

    with ProcessPoolExecutor(min(os.cpu_count() or 1, len(jobs))) as pool:
        return list(progress(pool.map(work, *zip(*jobs, strict=True), chunksize=max(1, len(jobs) // 16)), len(jobs)))
