"""What is served: the plans of some folders as they stand now, kept up to date in the background.

A deed is written at once, through the same code and lock as the commands; the plan that follows from it is made
afterwards, while the page already shows the tick. Whatever else changes the files (a command, an editor) is noticed by
their times and planned again too.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from seasonplan import files, workflow
from seasonplan.deeds import Deed, as_seen
from seasonplan.errors import SeasonplanError
from seasonplan.model import LogEntry, Plan, SeenStep, Step

REMEMBERED = 2000
"""Forms whose number is remembered, so that one sent twice counts once."""
POLL_S = 0.02
SHOWN_AHEAD = timedelta(days=60)
"""Steps of earlier plans are remembered that far ahead: the first screen shows the next days with work."""


@dataclass(frozen=True)
class Now:
    """What stands: the plans, how often they have been made, what is wrong with the files, whether a plan is being
    made, what was noted or put off since; deeds: (garden, what was noted at once), to be taken back at once."""

    plans: tuple[Plan, ...]
    version: int
    fault: str
    busy: bool
    noted: tuple[tuple[int, LogEntry], ...]
    ticked: frozenset[str]
    today: date
    when: str
    deeds: tuple[tuple[int, tuple[LogEntry, ...]], ...] = ()


@dataclass
class Household:
    """The folders that are served. which_day, clock: the day, and the time of day as words; both come from outside."""

    folders: workflow.Folders
    which_day: Callable[[], date]
    clock: Callable[[], str]
    fetch: Callable[[str], bytes] | None = None
    own_hands: bool = False
    _plans: tuple[Plan, ...] = ()
    _version: int = 0
    _fault: str = ""
    _when: str = ""
    _noted: list[tuple[int, LogEntry]] = field(default_factory=list)
    _deeds: list[tuple[int, tuple[LogEntry, ...]]] = field(default_factory=list)
    _ticked: set[str] = field(default_factory=set)
    _once: dict[str, str] = field(default_factory=dict)
    _shown: dict[tuple[int, str], SeenStep] = field(default_factory=dict)
    _seen: tuple[dict[str, int], ...] = ()
    _day: date | None = None
    _lock: threading.RLock = field(default_factory=threading.RLock)
    _writing: threading.Lock = field(default_factory=threading.Lock)
    _wanted: threading.Event = field(default_factory=threading.Event)
    _busy: bool = False
    _stopped: bool = False
    _thread: threading.Thread | None = None

    def start(self) -> None:
        """Makes the first plans (raises what the commands would) and the thread that makes the next ones."""
        self._plan_now(self._stamps(), self.which_day())
        self._thread = threading.Thread(target=self._work, name="planning", daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """Lets the thread end."""
        self._stopped = True
        self._wanted.set()
        if self._thread is not None:
            self._thread.join(timeout=30)

    def look(self) -> Now:
        """What stands now; a plan is asked for where the files or the day have changed meanwhile."""
        if not self._planning and (self._day != self.which_day() or self._stamps() != self._seen):
            self._wanted.set()
        with self._lock:
            return Now(self._plans, self._version, self._fault, self._planning, tuple(self._noted),
                       frozenset(self._ticked), self.which_day(), self._when, tuple(self._deeds))

    @property
    def _planning(self) -> bool:
        return self._busy or self._wanted.is_set()

    def settled(self, patience_s: float) -> bool:
        """Waits until no plan is asked for; whether that came within the patience."""
        pause = threading.Event()
        for _ in range(int(patience_s / POLL_S)):
            if not self._planning:
                return True
            pause.wait(POLL_S)
        return not self._planning

    def note(self, garden: int, deed: Deed, once: str, step: Step | SeenStep | None = None) -> tuple[Step, ...]:
        """Writes a deed into a garden's log, a form sent twice only once, and asks for a plan. Raises SeasonplanError.

        Returns what the plan on paper had before that day and the log does not tell, where the log begins with it.
        """
        with self._writing:
            if once and once in self._once:
                return ()
            day = self.which_day()
            fresh = self._day == day and self._stamps() == self._seen
            noted = workflow.note_deed(self.folders.sources[garden], deed, day, self.fetch,
                                       self._plans[garden] if fresh else None, step is not None)
            self._keep(once)
        with self._lock:
            self._noted += [(garden, entry) for entry in noted.entries]
            self._deeds = [*self._deeds[-REMEMBERED:], (garden, noted.entries)]
            if step is not None and not deed.plants and deed.pots is None:
                self._ticked.add(step.uid)
        self._wanted.set()
        return noted.open

    def undo(self, garden: int, step: str, plants: Sequence[str], on: date, once: str) -> None:
        """Takes lines off a garden's log again. Raises SeasonplanError."""
        with self._writing:
            if once and once in self._once:
                return
            workflow.take_back(self.folders.sources[garden], step, plants, on, self.fetch)
            self._keep(once)
        with self._lock:
            self._noted = [(g, e) for g, e in self._noted if (g, e.step, e.date) != (garden, step, on)
                           or plants and e.plant not in plants]
            self._ticked.clear()
        self._wanted.set()

    def write(self, garden: int, change: Callable[[files.Held], dict[str, bytes]], once: str) -> None:
        """Changes files of a garden: `change` reads what stands there and gives what shall. Raises SeasonplanError;
        then nothing is changed."""
        with self._writing:
            if once and once in self._once:
                return
            with files.held(self.folders.sources[garden]) as held:
                held.write(change(held))
            self._keep(once)
        self._wanted.set()

    def shown(self, garden: int) -> dict[str, SeenStep]:
        """By uid, the steps of a garden's plans so far, of pages that may still be open somewhere."""
        with self._lock:
            return {uid: step for (n, uid), step in self._shown.items() if n == garden}

    def output(self, garden: int | None, name: str) -> bytes | None:
        """A file that was written for a garden (None: for all together, or the only one)."""
        where = self.folders.targets[garden or 0] if garden is not None or self.folders.together is None else \
            self.folders.together
        return files.read_if_there(where / name)

    def input(self, garden: int, name: str) -> bytes | None:
        """A file that the person wrote, as it stands. name: one of the names that the reader knows."""
        return files.read_if_there(self.folders.sources[garden] / name)

    def _keep(self, once: str) -> None:
        if once:
            self._once[once] = ""
            while len(self._once) > REMEMBERED:
                self._once.pop(next(iter(self._once)))

    def _work(self) -> None:
        while not self._stopped:
            self._wanted.wait()
            if self._stopped:
                return
            self._busy = True
            self._wanted.clear()
            times, day = self._stamps(), self.which_day()     # before reading: what changes meanwhile is planned again
            try:
                self._plan_now(times, day)
            except SeasonplanError as error:          # the plans stay as they were until the files are put right
                with self._lock:
                    self._fault, self._day, self._seen = str(error), day, times
            finally:
                self._busy = False

    def _plan_now(self, times: tuple[dict[str, int], ...], day: date) -> None:
        with self._lock:
            known = len(self._noted)
        planned = workflow.plan_folders(self.folders, day, fetch=self.fetch, own_hands=self.own_hands)
        with self._lock:
            self._plans, self._fault, self._when = planned.plans, "", self.clock()
            self._version, self._seen, self._day = self._version + 1, times, day
            for n, plan in enumerate(planned.plans):
                self._shown |= {(n, step.uid): as_seen(step, plan) for step in plan.steps
                                if step.date <= day + SHOWN_AHEAD}
            while len(self._shown) > REMEMBERED:
                self._shown.pop(next(iter(self._shown)))
            del self._noted[:known]
            if not self._noted:
                self._ticked.clear()

    def _stamps(self) -> tuple[dict[str, int], ...]:
        """When each file in the folders was last changed."""
        return tuple(files.stamps(folder) for folder in self.folders.sources)
