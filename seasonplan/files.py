"""The only module that opens paths. Outputs are written all or none, and by one run at a time.

How a set of files is written: each beside its place under a temporary name and flushed to the disk; the files that
stand there now are kept under another; a journal that names them all is written; then each new file is moved into its
place, and the journal removed, which is the moment the set counts as written. A failure before that moment puts the
old files back at once. After a killed run or a power cut the next run finds the journal and puts them back. A folder is
locked meanwhile where the system has `fcntl`; elsewhere two runs at once are not kept apart.
"""

from __future__ import annotations

import errno
import json
import os
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path

from seasonplan.errors import Fault, InputFaults, OutputBlocked
from seasonplan.inputs.decoding import encoding_of, read_text
from seasonplan.inputs.gathering import Faults
from seasonplan.inputs.log import append_entry, read_log
from seasonplan.inputs.scenario import LOG, SCENARIO, read_scenario, wanted_files
from seasonplan.model import LogEntry, Scenario

try:
    import fcntl
except ImportError:                                   # a system without POSIX locks
    fcntl = None                                      # type: ignore[assignment]

NEW, OLD, JOURNAL = ".seasonplan-new", ".seasonplan-old", ".seasonplan-journal"
LOCK_WAIT_S = 20.0
LOCK_POLL_S = 0.02
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
}


def load_scenario(folder: str | Path, fetch: Callable[[str], bytes] | None = None) -> Scenario:
    """Reads a scenario folder. Raises InputFaults, or SourceUnavailable when its normals are a URL out of reach."""
    base = Path(folder)
    if not base.is_dir():
        raise InputFaults([Fault(str(folder), 0, "", "there is no such folder", "a folder with scenario.toml")])
    unreadable: list[Fault] = []
    texts: dict[str, bytes] = {}
    _read_into(texts, base, (SCENARIO,), unreadable)
    _read_into(texts, base, wanted_files(texts.get(SCENARIO)), unreadable)
    if not unreadable:
        return read_scenario(texts, str(folder), fetch)
    try:
        read_scenario(texts, str(folder))
    except InputFaults as error:
        told = {fault.file for fault in unreadable}
        unreadable += [fault for fault in error.faults if fault.file not in told]
    raise InputFaults(unreadable)


def _read_into(texts: dict[str, bytes], base: Path, names: Sequence[str], unreadable: list[Fault]) -> None:
    for name in names:
        try:
            data = read_if_there(base / name, name)
        except InputFaults as error:
            unreadable += error.faults
        else:
            if data is not None:
                texts[name] = data


def read_if_there(path: str | Path, called: str = "") -> bytes | None:
    """The bytes of a file; None when there is none. Raises InputFaults when it is there and cannot be read.

    called: the name for faults, when it is not the path.
    """
    try:
        return _bytes_of(path)
    except OSError as wrong:
        raise InputFaults([Fault(called or str(path), 0, "", f"it cannot be read ({wrong.strerror})",
                                 "a readable file")]) from None


def _bytes_of(path: str | Path) -> bytes | None:
    """The bytes of a file; None when there is none. Raises OSError when it is there and cannot be read."""
    try:
        with open(path, "rb") as file:
            return file.read()
    except (FileNotFoundError, NotADirectoryError):
        return None


def read_input(path: str | Path) -> bytes:
    """The bytes of a file that must be there. Raises InputFaults."""
    data = read_if_there(path)
    if data is None:
        raise InputFaults([Fault(str(path), 0, "", "there is no such file", "the path of a file")])
    return data


def append_log(folder: str | Path, entries: LogEntry | Sequence[LogEntry]) -> None:
    """Adds lines to the folder's log.csv, which is replaced as a whole. Raises InputFaults, OutputBlocked."""
    base = Path(folder)
    with _one_run_at_a_time(base):
        data = read_if_there(base / LOG) or b""
        faults = Faults()
        text = read_text(LOG, data, faults)
        read_log(LOG, data, None, None, faults)
        faults.raise_if_any()
        for entry in [entries] if isinstance(entries, LogEntry) else entries:
            text = append_entry(text or "", entry)
        _replace_set(base, {LOG: (text or "").encode(encoding_of(data))})


def write_all(folder: str | Path, files: Mapping[str, bytes]) -> None:
    """Writes all the files into the folder, made when it is not there, or none of them.

    files: name (no path) to bytes; a file that has these bytes already is left alone. Raises OutputBlocked with the
    reason; what stood there before then still stands.
    """
    base = Path(folder)
    for name in files:
        if name != os.path.basename(name) or name in ("", ".", ".."):
            raise ValueError(f"{name!r} is not a plain file name")
    made = _make_folder(base)
    try:
        with _one_run_at_a_time(base):
            _replace_set(base, files)
    except BaseException:
        for path in made:
            with suppress(OSError):
                path.rmdir()
        raise


def _make_folder(base: Path) -> list[Path]:
    """Makes a folder with its parents; those that were made, innermost first."""
    made = [path for path in (base, *base.parents) if not path.exists()]
    try:
        base.mkdir(parents=True, exist_ok=True)
    except OSError as wrong:
        raise _blocked(base, wrong) from None
    return made


@contextmanager
def _one_run_at_a_time(base: Path) -> Iterator[None]:
    """Holds the folder's lock, after what a killed run left has been put right. OSError leaves as OutputBlocked."""
    try:
        handle = os.open(base, os.O_RDONLY) if fcntl else None
    except OSError as wrong:
        raise _blocked(base, wrong) from None
    try:
        if handle is not None:
            _wait_for_lock(base, handle)
        _put_right(base)
        yield
    except OSError as wrong:
        raise _blocked(base, wrong) from None
    finally:
        if handle is not None:
            os.close(handle)                          # releases the lock


def _wait_for_lock(base: Path, handle: int) -> None:
    until = time.monotonic() + LOCK_WAIT_S
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
    reason = REASONS.get(wrong.errno or 0) or (wrong.strerror or str(wrong)).lower()
    return OutputBlocked(f"{base}: {reason}. Nothing was written; what stood there before is untouched.")


def _beside(base: Path, name: str, kind: str) -> Path:
    return base / f".{name}{kind}"


def _replace_set(base: Path, files: Mapping[str, bytes]) -> None:
    """The lock is held. See the module's docstring."""
    changed = {name: data for name, data in files.items() if _bytes_of(base / name) != data}
    if not changed:
        return
    try:
        for name, data in changed.items():
            _write_flushed(_beside(base, name, NEW), data, like=base / name)
        kept = [name for name in changed if _keep(base, name)]
        _write_flushed(base / JOURNAL, json.dumps({"names": list(changed), "kept": kept}).encode())
        _flush_folder(base)
        for name in changed:
            os.replace(_beside(base, name, NEW), base / name)
        _flush_folder(base)
        os.unlink(base / JOURNAL)
    except BaseException:
        _put_right(base)
        raise
    _put_right(base)


def _write_flushed(path: Path, data: bytes, like: Path | None = None) -> None:
    with open(path, "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    if like is not None and like.exists():
        os.chmod(path, like.stat().st_mode & 0o777)


def _keep(base: Path, name: str) -> bool:
    """Keeps the file that stands there now under another name; False when there is none."""
    data = _bytes_of(base / name)
    if data is not None:
        _write_flushed(_beside(base, name, OLD), data, like=base / name)
    return data is not None


def _put_right(base: Path) -> None:
    """Puts old files back when the journal of an unfinished set is there, and clears temporary names away."""
    journal = _read_journal(base)
    for name in journal.get("names", ()):
        if name in journal["kept"]:
            with suppress(FileNotFoundError):
                os.replace(_beside(base, name, OLD), base / name)
        else:
            with suppress(FileNotFoundError):
                os.unlink(base / name)
    if (base / JOURNAL).exists():
        os.unlink(base / JOURNAL)
    for path in base.glob(".*"):
        if path.name.endswith((NEW, OLD)):
            path.unlink()


def _read_journal(base: Path) -> dict[str, list[str]]:
    try:
        return json.loads(_bytes_of(base / JOURNAL) or b"{}")
    except ValueError:                                # cut off while it was written: nothing had been moved yet
        return {}


def _flush_folder(base: Path) -> None:
    with suppress(OSError):                           # systems that cannot open a folder flush it themselves
        handle = os.open(base, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
