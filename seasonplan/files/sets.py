"""How a set of files is written, all of them or none.

Each file is written beside its place under a temporary name and flushed to the disk; the files that stand there now are
kept under another; a journal that names them all, with the digests of the new ones, is written; then each new file is
moved into its place, and the journal removed, which is the moment the set counts as written. A failure before that
moment puts the old files back at once. After a killed run or a power cut the next run finds the journal and puts them
back, except where somebody has written another file there since. A file that is a link is written where the link leads.
(A hard link is not written through: backups are made of them.)
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from hashlib import blake2b
from pathlib import Path
from typing import Any

from seasonplan.errors import OutputBlocked
from seasonplan.files.reading import bytes_of

NEW, OLD, JOURNAL = ".seasonplan-new", ".seasonplan-old", ".seasonplan-journal"


class ChangedMeanwhile(OutputBlocked):
    """A file that was read to be merged is no longer what was read: some program wrote it in between."""


@dataclass(frozen=True)
class FileSet:
    """Files for one folder. seen: digests of those that were read before (None: there was none)."""

    base: Path
    files: Mapping[str, bytes]
    seen: Mapping[str, str | None]


def digest(data: bytes | None) -> str | None:
    """What tells one content from another; None of no file."""
    return None if data is None else blake2b(data, digest_size=16).hexdigest()


def replace_sets(sets: Iterable[FileSet]) -> None:
    """Writes all sets or none; the locks of their folders are held. Raises ChangedMeanwhile, OSError."""
    changed = [one for given in sets if (one := _changed(given)).files]
    try:
        for one in changed:
            _stage(one)
        for one in changed:
            for name in one.files:
                _move(one, name)
            _flush_folders(one)
        for one in changed:
            os.unlink(one.base / JOURNAL)
    except BaseException:
        for one in changed:
            put_right(one.base)
        raise
    for one in changed:
        put_right(one.base)


def _changed(given: FileSet) -> FileSet:
    return FileSet(given.base, {name: data for name, data in given.files.items()
                                if bytes_of(given.base / name) != data}, given.seen)


def _stage(one: FileSet) -> None:
    for name, data in one.files.items():
        place = _place(one.base, name)
        _write_flushed(_beside(place, NEW), data, like=place)
    kept = [name for name in one.files if _keep(_place(one.base, name))]
    journal = {"kept": kept, "new": {name: digest(data) for name, data in one.files.items()}}
    _write_flushed(one.base / JOURNAL, json.dumps(journal).encode())
    _flush_folders(one)


def _move(one: FileSet, name: str) -> None:
    place = _place(one.base, name)
    if name in one.seen and digest(bytes_of(place)) != one.seen[name]:
        raise ChangedMeanwhile(f"{one.base / name}: another program wrote it meanwhile. Nothing was written.")
    os.replace(_beside(place, NEW), place)


def _place(base: Path, name: str) -> Path:
    """Where a file really stands: a link is followed, to its end and also when nothing is there yet."""
    path = base / name
    return Path(os.path.realpath(path)) if path.is_symlink() else path


def _beside(place: Path, kind: str) -> Path:
    return place.parent / f".{place.name}{kind}"


def _write_flushed(path: Path, data: bytes, like: Path | None = None) -> None:
    with open(path, "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    if like is not None and like.exists():
        os.chmod(path, like.stat().st_mode & 0o777)


def _keep(place: Path) -> bool:
    """Keeps the file that stands there now under another name; False when there is none."""
    data = bytes_of(place)
    if data is not None:
        _write_flushed(_beside(place, OLD), data, like=place)
    return data is not None


def put_right(base: Path) -> None:
    """Puts old files back when the journal of an unfinished set is there, and clears temporary names away."""
    journal = _read_journal(base)
    for name, new in journal.get("new", {}).items():
        place = _place(base, name)
        if digest(bytes_of(place)) == new:
            with suppress(FileNotFoundError):
                if name in journal["kept"]:
                    os.replace(_beside(place, OLD), place)
                else:
                    os.unlink(place)
    if (base / JOURNAL).exists():
        os.unlink(base / JOURNAL)
    _clear(base)


def _clear(base: Path) -> None:
    for path in list(base.iterdir()):
        if path.is_symlink():
            for kind in (NEW, OLD):
                with suppress(OSError):
                    _beside(_place(base, path.name), kind).unlink()
        elif path.name.startswith(".") and path.name.endswith((NEW, OLD)):
            path.unlink()


def _read_journal(base: Path) -> dict[str, Any]:
    """Nothing where it was cut off while it was written (no file had been moved yet) or is none of ours."""
    try:
        found = json.loads(bytes_of(base / JOURNAL) or b"{}")
        plain = all(name == os.path.basename(name) for name in found.get("new", {}))
        return found if plain and isinstance(found.get("kept", []), list) else {}
    except (ValueError, AttributeError):
        return {}


def _flush_folders(one: FileSet) -> None:
    for folder in sorted({one.base, *(_place(one.base, name).parent for name in one.files)}):
        with suppress(OSError):                       # systems that cannot open a folder flush it themselves
            handle = os.open(folder, os.O_RDONLY)
            try:
                os.fsync(handle)
            finally:
                os.close(handle)
