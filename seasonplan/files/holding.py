"""Folders held by one run at a time: what is read, merged and written meanwhile belongs together.

A folder is locked where the system has `fcntl`; elsewhere two runs at once are not kept apart. Other programs (a
calendar, a synchroniser) know nothing of the lock: what they write between our reading and our writing is noticed just
before the file is replaced, and the merge is done again on theirs.
"""

from __future__ import annotations

import errno
import os
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager, suppress
from functools import reduce
from pathlib import Path

from seasonplan.errors import OutputBlocked
from seasonplan.files.reading import Unfit, read_if_there
from seasonplan.files.sets import ChangedMeanwhile, FileSet, digest, put_right, replace_sets
from seasonplan.inputs.decoding import encoding_of, read_text
from seasonplan.inputs.gathering import Faults
from seasonplan.inputs.log import append_entry, read_log
from seasonplan.inputs.scenario import LOG
from seasonplan.model import LogEntry

try:
    import fcntl
except ImportError:                                  # a system without POSIX locks
    fcntl = None                                      # type: ignore[assignment]

LOCK_WAIT_S = 60.0
LOCK_POLL_S = 0.02
MAKE_TRIES = 20
MERGES = 5
"""How often a merge is done again because another program keeps writing. Our setting."""
REASONS = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "the disk quota is used up",
    errno.EACCES: "writing there is not allowed",
    errno.EPERM: "writing there is not allowed",
    errno.EROFS: "the disk is read-only",
    errno.ENOTDIR: "a file of that name is in the way",
    errno.EEXIST: "a file of that name is in the way",
    errno.EISDIR: "a folder of that name is in the way",
    errno.ENAMETOOLONG: "the name is too long",
    errno.ELOOP: "a link leads round in a circle",
}


class Held:
    """A folder that this run holds. Made by `held`."""

    def __init__(self, folder: Path):
        self.folder = folder
        self._seen: dict[str, str | None] = {}

    def read(self, name: str) -> bytes | None:
        """The bytes of a file in it, None when there is none. Raises InputFaults when it cannot be read."""
        data = read_if_there(self.folder / name)
        self._seen[name] = digest(data)
        return data

    def write(self, files: Mapping[str, bytes]) -> None:
        """Writes all the files or none (name, no path, to bytes). Raises OutputBlocked; ChangedMeanwhile when one that
        was read before is no longer what was read."""
        write_together([(self, files)])


@contextmanager
def held(folder: str | Path) -> Iterator[Held]:
    """Holds a folder, made when it is not there; waits for a run that holds it. Raises OutputBlocked.

    What a killed run left half done is put right first. Not to be nested for one folder: it would wait for itself.
    """
    with held_all([folder]) as [one]:
        yield one


@contextmanager
def held_all(folders: Sequence[str | Path], besides: Sequence[Held] = ()) -> Iterator[list[Held]]:
    """Holds several folders, in an order that no two runs can block each other by; one `Held` for each, the same where
    two are the same folder. besides: those that are held already."""
    paths = {os.path.realpath(folder): Path(folder) for folder in reversed(folders)}
    locked = {os.path.realpath(one.folder): one for one in besides}
    with ExitStack() as stack:
        locked |= {real: stack.enter_context(_locked(paths[real])) for real in sorted(paths) if real not in locked}
        yield [locked[os.path.realpath(folder)] for folder in folders]


def write_together(sets: Sequence[tuple[Held, Mapping[str, bytes]]]) -> None:
    """Writes the files of several folders, all of them or none. Raises OutputBlocked."""
    for _, files in sets:
        for name in files:
            if name != os.path.basename(name) or name in ("", ".", ".."):
                raise ValueError(f"{name!r} is not a plain file name")
    try:
        replace_sets(FileSet(one.folder, files, one._seen) for one, files in sets)
    except OSError as wrong:
        at = Path(wrong.filename) if isinstance(wrong.filename, str) else sets[0][0].folder / ""
        raise _blocked(at if isinstance(wrong, Unfit) else at.parent, wrong) from None


def merged(make: Callable[[], Sequence[tuple[Held, Mapping[str, bytes]]]]) -> None:
    """Writes what `make` gives; calls it again where another program wrote a file that it had read."""
    for _ in range(MERGES - 1):
        with suppress(ChangedMeanwhile):
            return write_together(make())
    write_together(make())


def write_all(folder: str | Path, files: Mapping[str, bytes]) -> None:
    """Writes all the files into the folder, made when it is not there, or none of them.

    files: name (no path) to bytes; a file that has these bytes already is left alone. Raises OutputBlocked with the
    reason; what stood there before then still stands.
    """
    with held(folder) as one:
        one.write(files)


def append_log(folder: str | Path, entries: LogEntry | Sequence[LogEntry]) -> None:
    """Adds lines to the folder's log.csv, which is replaced as a whole. Raises InputFaults, OutputBlocked."""
    added = [entries] if isinstance(entries, LogEntry) else entries
    with held(folder) as one:
        change_log(one, lambda text: reduce(append_entry, added, text))


def change_log(one: Held, change: Callable[[str], str]) -> None:
    """Replaces the log.csv of a held folder by what `change` makes of its text. Raises InputFaults, OutputBlocked."""
    change_table(one, LOG, lambda data, faults: read_log(LOG, data, None, None, faults), change)


def change_table(one: Held, name: str, check: Callable[[bytes, Faults], object], change: Callable[[str], str]) -> None:
    """Replaces a table of a held folder by what `change` makes of its text, in the same encoding. check: notes what is
    wrong with it. Raises InputFaults, OutputBlocked."""
    def changed() -> list[tuple[Held, Mapping[str, bytes]]]:
        data = one.read(name) or b""
        faults = Faults()
        text = read_text(name, data, faults)
        check(data, faults)
        faults.raise_if_any()
        return [(one, {name: change(text or "").encode(encoding_of(data))})]

    merged(changed)


@contextmanager
def _locked(base: Path) -> Iterator[Held]:
    made = _make_folder(base)
    handle = None
    try:
        try:
            handle = _lock(base, made)
            put_right(base)
        except OSError as wrong:
            raise _blocked(base, wrong) from None
        yield Held(base)
    finally:
        _take_away(made)
        if handle is not None:
            os.close(handle)                          # releases the lock


def _make_folder(base: Path) -> list[Path]:
    """Makes a folder with its parents; those that were made, innermost first. Tries again where a run that found
    nothing to write took one of them away meanwhile."""
    made: list[Path] = []
    for left in reversed(range(MAKE_TRIES)):
        try:
            for path in (*reversed(base.parents), base):
                if not path.is_dir():
                    with suppress(FileExistsError):   # another run was quicker, or a file stands there
                        path.mkdir()
                        made.insert(0, path)
            os.stat(f"{base}/.")
            break
        except OSError as wrong:
            if left and isinstance(wrong, FileNotFoundError):
                continue
            _take_away(made)
            raise _blocked(base, wrong) from None
    return made


def _take_away(made: Sequence[Path]) -> None:
    """Folders that were made and stayed empty."""
    for path in made:
        with suppress(OSError):
            path.rmdir()


def _lock(base: Path, made: list[Path]) -> int | None:
    """An open handle of the locked folder; None where there are no locks. Adds to `made` what it has to make again."""
    if not fcntl:
        return None
    until = time.monotonic() + LOCK_WAIT_S
    while True:
        made += _make_folder(base)                    # a run that failed may have taken it away while we waited
        with suppress(FileNotFoundError):             # and again between the making and the opening
            handle = os.open(base, os.O_RDONLY)
            try:
                _wait(base, handle, until)
                if os.path.samestat(os.fstat(handle), os.stat(base)):
                    return handle
            except BaseException:
                os.close(handle)
                raise
            os.close(handle)


def _wait(base: Path, handle: int, until: float) -> None:
    while True:
        try:
            return fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            if time.monotonic() > until:
                raise OutputBlocked(f"{base}: another run is writing there and has not finished in {LOCK_WAIT_S:.0f} "
                                    "seconds. Nothing was written.") from None
            time.sleep(LOCK_POLL_S)
        except OSError:                               # a disk that knows no locks
            return None


def _blocked(base: Path, wrong: OSError) -> OutputBlocked:
    told = isinstance(wrong, Unfit)                   # it says itself what there is
    reason = (None if told else REASONS.get(wrong.errno or 0)) or (wrong.strerror or str(wrong)).lower()
    return OutputBlocked(f"{base}: {reason}. Nothing was written; what stood there before is untouched.")
