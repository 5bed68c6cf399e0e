"""Writing all files or none, whatever goes wrong meanwhile."""

from __future__ import annotations

import errno
import json
import os
import subprocess
import sys
import threading
import time
from datetime import date
from pathlib import Path

import pytest

from seasonplan import files
from seasonplan.errors import InputFaults, OutputBlocked
from seasonplan.files import holding, sets
from seasonplan.model import LogEntry

OLD = {"calendar.ics": b"old calendar", "plan.json": b"old plan"}
NEW = {"calendar.ics": b"new calendar", "plan.json": b"new plan", "plan.html": b"new page"}


def contents(folder: Path) -> dict[str, bytes]:
    """Every file in the folder, hidden ones too."""
    return {path.name: path.read_bytes() for path in folder.iterdir()}


@pytest.fixture
def out(tmp_path) -> Path:
    folder = tmp_path / "out"
    files.write_all(folder, OLD)
    return folder


def test_all_files_are_written_and_nothing_else(out):
    files.write_all(out, NEW)
    assert contents(out) == NEW


def test_folders_are_made(tmp_path):
    files.write_all(tmp_path / "a" / "b", NEW)
    assert contents(tmp_path / "a" / "b") == NEW


def test_a_file_that_stays_the_same_is_left_alone(out):
    before = (out / "plan.json").stat()
    files.write_all(out, {**OLD, "calendar.ics": b"new"})
    after = (out / "plan.json").stat()
    assert (before.st_ino, before.st_mtime_ns) == (after.st_ino, after.st_mtime_ns)
    assert contents(out) == {**OLD, "calendar.ics": b"new"}


def test_a_file_keeps_its_permissions(out):
    (out / "plan.json").chmod(0o640)
    files.write_all(out, NEW)
    assert (out / "plan.json").stat().st_mode & 0o777 == 0o640


@pytest.mark.parametrize("name", ["../up", "a/b", "", ".", "..", "/etc/x"])
def test_names_that_lead_elsewhere_are_refused(out, name):
    with pytest.raises(ValueError, match="plain file name"):
        files.write_all(out, {name: b""})
    assert contents(out) == OLD


@pytest.mark.parametrize("failing", range(1, 4))
def test_a_failing_move_puts_the_earlier_ones_back(out, monkeypatch, failing):
    real, calls = os.replace, []

    def replace(source, target):
        calls.append(target)
        if len(calls) == failing:
            raise OSError(errno.EIO, "Input/output error")
        return real(source, target)

    monkeypatch.setattr(sets.os, "replace", replace)
    with pytest.raises(OutputBlocked, match="input/output error"):
        files.write_all(out, NEW)
    assert contents(out) == OLD


@pytest.mark.parametrize("failing", range(1, 7))
def test_a_full_disk_leaves_everything_as_it_was(out, monkeypatch, failing):
    """No space at the first, second ... flush: three new files, two kept old ones, one journal."""
    real, calls = os.fsync, []

    def fsync(handle):
        calls.append(handle)
        if len(calls) == failing:
            raise OSError(errno.ENOSPC, "No space left on device")
        return real(handle)

    monkeypatch.setattr(sets.os, "fsync", fsync)
    with pytest.raises(OutputBlocked, match="the disk is full.*untouched"):
        files.write_all(out, NEW)
    assert contents(out) == OLD


@pytest.mark.parametrize("stop", [KeyboardInterrupt, MemoryError])
def test_an_interruption_leaves_everything_as_it_was(out, monkeypatch, stop):
    real, calls = os.replace, []

    def replace(source, target):
        calls.append(target)
        if len(calls) == 2:
            raise stop
        return real(source, target)

    monkeypatch.setattr(sets.os, "replace", replace)
    with pytest.raises(stop):
        files.write_all(out, NEW)
    assert contents(out) == OLD


@pytest.mark.parametrize(("code", "words"), [(errno.EACCES, "not allowed"), (errno.EROFS, "the disk is read-only"),
                                             (errno.EDQUOT, "quota")])
def test_a_folder_that_cannot_be_written_says_why(out, monkeypatch, code, words):
    real = open

    def refuse(path, mode="r", *args, **kwargs):
        if "w" in mode:
            raise OSError(code, os.strerror(code))
        return real(path, mode, *args, **kwargs)

    monkeypatch.setattr(sets, "open", refuse, raising=False)
    with pytest.raises(OutputBlocked, match=words):
        files.write_all(out, NEW)
    assert contents(out) == OLD


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser may write anywhere")
def test_a_read_only_folder(out):
    out.chmod(0o555)
    try:
        with pytest.raises(OutputBlocked, match="not allowed"):
            files.write_all(out, NEW)
        assert contents(out) == OLD
    finally:
        out.chmod(0o755)


def test_a_file_in_place_of_the_folder(tmp_path):
    (tmp_path / "out").write_bytes(b"mine")
    with pytest.raises(OutputBlocked, match="a file of that name is in the way"):
        files.write_all(tmp_path / "out", NEW)
    with pytest.raises(OutputBlocked, match="a file of that name is in the way"):
        files.write_all(tmp_path / "out" / "deeper", NEW)
    assert contents(tmp_path) == {"out": b"mine"}


def test_a_folder_in_place_of_a_file(out):
    (out / "plan.html").mkdir()
    with pytest.raises(OutputBlocked, match=r"plan.html: it is a folder, not a file\. Nothing was written"):
        files.write_all(out, NEW)
    assert sorted(path.name for path in out.iterdir()) == ["calendar.ics", "plan.html", "plan.json"]
    assert (out / "calendar.ics").read_bytes() == OLD["calendar.ics"]


def test_a_failed_run_leaves_no_new_folder(tmp_path, monkeypatch):
    monkeypatch.setattr(holding, "replace_sets", lambda given: (_ for _ in ()).throw(OSError(errno.ENOSPC, "full")))
    with pytest.raises(OutputBlocked):
        files.write_all(tmp_path / "a" / "b", NEW)
    assert contents(tmp_path) == {}


KILLED = """
import os, sys
from seasonplan import files
real, calls = os.{call}, []
def kill(*args):
    calls.append(args)
    if len(calls) == {number}:
        os._exit(9)
    return real(*args)
os.{call} = kill
files.write_all(sys.argv[1], {new!r})
"""


@pytest.mark.parametrize(("call", "number"), [
    ("fsync", 2), ("fsync", 6), ("replace", 1), ("replace", 2), ("replace", 3), ("unlink", 1)])
def test_after_a_killed_run_the_next_one_puts_things_right(out, call, number):
    """Killed while writing, between two moves, and at the last moment before the set counts as written."""
    code = KILLED.format(call=call, number=number, new=NEW)
    assert subprocess.run([sys.executable, "-c", code, str(out)], check=False).returncode == 9
    other = {"other.txt": b"another run"}
    files.write_all(out, other)
    assert contents(out) == OLD | other


def test_a_run_killed_after_its_last_moment_has_written(out):
    code = KILLED.format(call="unlink", number=1, new=NEW).replace("        os._exit(9)",
                                                                   "        real(*args); os._exit(9)")
    assert subprocess.run([sys.executable, "-c", code, str(out)], check=False).returncode == 9
    files.write_all(out, {"other.txt": b"another run"})
    assert contents(out) == NEW | {"other.txt": b"another run"}


def test_a_journal_cut_short_moves_nothing(out):
    (out / sets.JOURNAL).write_bytes(b'{"names": ["calendar')
    files.write_all(out, {"other.txt": b"x"})
    assert contents(out) == OLD | {"other.txt": b"x"}


def test_two_runs_at_once_do_not_mix(out, monkeypatch):
    """Both write whole sets, slowly; at every moment between runs the set is one of the two."""
    real = os.replace

    def slow(source, target):
        time.sleep(0.01)
        return real(source, target)

    monkeypatch.setattr(sets.os, "replace", slow)
    choices = [{name: f"{n} {name}".encode() for name in NEW} for n in range(4)]
    failures: list[BaseException] = []

    def run(given):
        try:
            files.write_all(out, given)
        except BaseException as error:
            failures.append(error)

    threads = [threading.Thread(target=run, args=(given,)) for given in choices]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failures == []
    assert contents(out) in choices


def test_a_run_that_holds_on_too_long_is_told_about(out, monkeypatch):
    monkeypatch.setattr(holding, "LOCK_WAIT_S", 0.1)
    entered, leave = threading.Event(), threading.Event()

    def hold():
        with files.held(out):
            entered.set()
            leave.wait(10)

    thread = threading.Thread(target=hold)
    thread.start()
    entered.wait(10)
    try:
        with pytest.raises(OutputBlocked, match="another run is writing"):
            files.write_all(out, NEW)
    finally:
        leave.set()
        thread.join()
    assert contents(out) == OLD


def test_without_locks_writing_still_works(out, monkeypatch):
    monkeypatch.setattr(holding, "fcntl", None)
    files.write_all(out, NEW)
    assert contents(out) == NEW


ENTRY = LogEntry(date(2027, 5, 1), "repot", "Lemon", "", "next size")


def test_a_log_is_begun_and_goes_on(tmp_path):
    files.append_log(tmp_path, ENTRY)
    files.append_log(tmp_path, [ENTRY, LogEntry(date(2027, 5, 2), "leach")])
    assert (tmp_path / "log.csv").read_text() == (
        "date,step,plant,place,note\n2027-05-01,repot,Lemon,,next size\n2027-05-01,repot,Lemon,,next size\n"
        "2027-05-02,leach,,,\n")
    assert [path.name for path in tmp_path.iterdir()] == ["log.csv"]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
def test_a_log_keeps_its_encoding(tmp_path, encoding):
    (tmp_path / "log.csv").write_bytes("date,step,note\r\n2026-01-01,x,für\r\n".encode(encoding))
    files.append_log(tmp_path, LogEntry(date(2027, 5, 1), "y", note="später"))
    data = (tmp_path / "log.csv").read_bytes()
    assert data.decode(encoding) == "date,step,note\r\n2026-01-01,x,für\r\n2027-05-01,y,später\r\n"
    assert data == data.decode(encoding).encode(encoding)


def test_a_log_that_cannot_be_read_is_not_written_on(tmp_path):
    (tmp_path / "log.csv").write_bytes(b"date,step\n\xff")
    with pytest.raises(InputFaults, match="log.csv:2"):
        files.append_log(tmp_path, ENTRY)
    assert (tmp_path / "log.csv").read_bytes() == b"date,step\n\xff"


def test_a_log_with_a_fault_is_not_written_on(tmp_path):
    (tmp_path / "log.csv").write_text("day,step\n")
    with pytest.raises(InputFaults, match="unknown column day"):
        files.append_log(tmp_path, ENTRY)
    assert (tmp_path / "log.csv").read_text() == "day,step\n"


def test_many_hands_on_one_log_lose_nothing(tmp_path):
    threads = [threading.Thread(target=files.append_log, args=(tmp_path, LogEntry(date(2027, 5, n + 1), "x")))
               for n in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len((tmp_path / "log.csv").read_text().splitlines()) == 9


def linked(out: Path, name: str, to: Path) -> Path:
    """A link in the folder, as a synchroniser makes them; the file it leads to."""
    (out / name).unlink(missing_ok=True)
    (out / name).symlink_to(to)
    return to


def test_a_link_is_written_through(out, tmp_path):
    (tmp_path / "synced").mkdir()
    far = linked(out, "calendar.ics", tmp_path / "synced" / "garden.ics")
    far.write_bytes(b"old calendar")
    page = linked(out, "plan.html", tmp_path / "synced" / "not there yet.html")
    files.write_all(out, NEW)
    assert (out / "calendar.ics").is_symlink() and (out / "plan.html").is_symlink()
    assert far.read_bytes() == NEW["calendar.ics"] and page.read_bytes() == NEW["plan.html"]
    assert sorted(path.name for path in far.parent.iterdir()) == ["garden.ics", "not there yet.html"]


@pytest.mark.parametrize(("call", "number"), [("fsync", 2), ("replace", 2), ("unlink", 1)])
def test_after_a_killed_run_a_file_behind_a_link_is_put_right_too(out, tmp_path, call, number):
    (tmp_path / "synced").mkdir()
    far = linked(out, "calendar.ics", tmp_path / "synced" / "garden.ics")
    far.write_bytes(OLD["calendar.ics"])
    code = KILLED.format(call=call, number=number, new=NEW)
    assert subprocess.run([sys.executable, "-c", code, str(out)], check=False).returncode == 9
    files.write_all(out, {})
    assert contents(out) == OLD and contents(far.parent) == {"garden.ics": OLD["calendar.ics"]}


def test_a_link_that_leads_round_in_a_circle(out):
    (out / "a").symlink_to(out / "b")
    (out / "b").symlink_to(out / "a")
    with pytest.raises(OutputBlocked, match="round in a circle"):
        files.write_all(out, {"a": b"new"})


def test_what_somebody_wrote_after_a_killed_run_stays(out):
    """Killed between two moves; then a person saves a calendar of their own over the half-written set."""
    code = KILLED.format(call="replace", number=3, new=NEW)
    assert subprocess.run([sys.executable, "-c", code, str(out)], check=False).returncode == 9
    (out / "calendar.ics").write_bytes(b"mine")
    files.write_all(out, {})
    assert contents(out) == {**OLD, "calendar.ics": b"mine"}


def test_a_journal_of_another_hand_reaches_no_other_folder(out, tmp_path):
    (tmp_path / "precious").write_bytes(b"x")
    (out / sets.JOURNAL).write_text(json.dumps({"kept": [], "new": {"../precious": sets.digest(b"x")}}))
    files.write_all(out, {})
    assert (tmp_path / "precious").read_bytes() == b"x" and contents(out) == OLD


@pytest.mark.parametrize("failing", range(1, 6))
def test_several_folders_are_written_all_or_none(tmp_path, monkeypatch, failing):
    folders = [tmp_path / "a", tmp_path / "b"]
    for folder in folders:
        files.write_all(folder, OLD)
    real, calls = os.replace, []

    def replace(source, target):
        calls.append(target)
        if len(calls) == failing:
            raise OSError(errno.EIO, "Input/output error", str(target))
        return real(source, target)

    monkeypatch.setattr(sets.os, "replace", replace)
    with files.held_all(folders) as held, pytest.raises(OutputBlocked, match="input/output error"):
        files.write_together([(one, NEW) for one in held])
    assert [contents(folder) for folder in folders] == [OLD, OLD]
