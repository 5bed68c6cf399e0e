"""Reading: regular files only, and none that is larger than anything a garden could need."""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path

from seasonplan.errors import Fault, InputFaults
from seasonplan.inputs.gathering import nearest
from seasonplan.inputs.scenario import SCENARIO, read_scenario, wanted_files
from seasonplan.model import Scenario

MIB = 1024 * 1024
LARGEST_MIB = 64
"""A file that is read may have so much [MiB]: a century of nights of one station has 2, 20,000 pots have 3, their
calendar 40. Our setting."""
LARGEST_OF = {SCENARIO: 1}
"""Files of which less is enough: a thousand places have 0.2 MiB."""
KINDS = {stat.S_IFDIR: "a folder", stat.S_IFIFO: "a pipe", stat.S_IFSOCK: "a socket", stat.S_IFCHR: "a device",
         stat.S_IFBLK: "a device"}


class Unfit(OSError):
    """There is something of that name that is no regular file, or one that is too large; strerror says which."""


def load_scenario(folder: str | Path, fetch: Callable[[str], bytes] | None = None) -> Scenario:
    """Reads a scenario folder. Raises InputFaults, or SourceUnavailable when its normals are a URL out of reach."""
    base = Path(folder)
    if not base.is_dir():
        raise InputFaults([no_folder(folder)])
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


def no_folder(folder: str | Path) -> Fault:
    """What is said of a scenario folder that is none: nothing of that name, a file."""
    path = Path(folder)
    if path.exists():
        found, cause = "it is a file, not a folder", f"Did you mean '{path.parent}'?"
    else:
        beside = [each.name for each in path.parent.iterdir() if each.is_dir()] if path.parent.is_dir() else []
        near = nearest(path.name, beside, most=1)
        found = "there is no such folder"
        cause = f"Did you mean '{path.parent / near[0]}'?" if near else f"Make one with: seasonplan start {folder}"
    return Fault(str(folder), 0, "", found, "a folder with scenario.toml and plants.csv", cause)


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
    most_mib = LARGEST_OF.get(Path(path).name, LARGEST_MIB)
    try:
        return bytes_of(path, most_mib)
    except OSError as wrong:
        found = wrong.strerror if isinstance(wrong, Unfit) else f"it cannot be read ({wrong.strerror})"
        raise InputFaults([Fault(called or str(path), 0, "", found or "it cannot be read",
                                 f"a readable file of at most {most_mib} MiB")]) from None


def bytes_of(path: str | Path, most_mib: int = LARGEST_MIB) -> bytes | None:
    """The bytes of a regular file; None when there is none. Raises OSError when it is there and cannot be read, Unfit
    without having opened it when it is no regular file (a pipe would hang, a device never end)."""
    try:
        _check(os.stat(path), most_mib, str(path))
        with open(path, "rb", opener=lambda name, flags: os.open(name, flags | getattr(os, "O_NONBLOCK", 0))) as file:
            _check(os.fstat(file.fileno()), most_mib, str(path))
            data = file.read(most_mib * MIB + 1)
    except (FileNotFoundError, NotADirectoryError):
        return None
    if len(data) > most_mib * MIB:                    # it grew meanwhile
        raise Unfit(errno.EFBIG, f"it is larger than {most_mib} MiB", str(path))
    return data


def _check(found: os.stat_result, most_mib: int, path: str) -> None:
    if not stat.S_ISREG(found.st_mode):
        kind = KINDS.get(stat.S_IFMT(found.st_mode), "something else")
        raise Unfit(errno.EISDIR if stat.S_ISDIR(found.st_mode) else errno.EINVAL, f"it is {kind}, not a file",
                    path)
    if found.st_size > most_mib * MIB:
        raise Unfit(errno.EFBIG, f"it has {found.st_size / MIB:.4g} MiB", path)


def read_input(path: str | Path) -> bytes:
    """The bytes of a file that must be there. Raises InputFaults."""
    data = read_if_there(path)
    if data is None:
        raise InputFaults([Fault(str(path), 0, "", "there is no such file", "the path of a file")])
    return data


def stamps(folder: str | Path) -> dict[str, int]:
    """When each file right in a folder was last changed [ns]; of none where the folder cannot be read."""
    found = {}
    with suppress(OSError), os.scandir(folder) as entries:
        for entry in entries:
            if entry.is_file() and not entry.name.startswith("."):
                found[entry.name] = entry.stat().st_mtime_ns
    return found
