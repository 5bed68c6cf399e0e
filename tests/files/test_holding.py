"""One run at a time, and what other programs write meanwhile."""

from __future__ import annotations

import os
import threading
import time
from datetime import date

import pytest

from seasonplan import files
from seasonplan.errors import OutputBlocked
from seasonplan.files import holding
from seasonplan.model import LogEntry


def test_what_is_read_merged_and_written_is_one_run_s_work(tmp_path):
    """Eight runs add one each to a number: with a gap in the lock some would be lost."""
    def add():
        with files.held(tmp_path / "out") as held:
            count = int(held.read("n") or b"0")
            time.sleep(0.005)
            held.write({"n": str(count + 1).encode()})

    threads = [threading.Thread(target=add) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert (tmp_path / "out" / "n").read_bytes() == b"8"


def test_what_another_program_wrote_after_the_reading_is_not_written_over(tmp_path):
    with files.held(tmp_path) as held:
        held.read("a")
        (tmp_path / "a").write_bytes(b"theirs")
        with pytest.raises(files.ChangedMeanwhile, match="another program wrote it meanwhile"):
            held.write({"b": b"ours", "a": b"ours"})
    assert {path.name: path.read_bytes() for path in tmp_path.iterdir()} == {"a": b"theirs"}


def test_a_merge_is_done_again_on_what_another_program_wrote(tmp_path):
    writes = [b"theirs", b"theirs again"]

    def make():
        old = held.read("a") or b""
        if writes:
            (tmp_path / "a").write_bytes(writes.pop(0))
        return [(held, {"a": old + b" and ours"})]

    with files.held(tmp_path) as held:
        files.merged(make)
    assert (tmp_path / "a").read_bytes() == b"theirs again and ours"


def test_a_merge_that_never_settles_is_given_up(tmp_path):
    calls = []

    def make():
        held.read("a")
        calls.append((tmp_path / "a").write_bytes(b"%d" % len(calls)))
        return [(held, {"a": b"ours"})]

    with files.held(tmp_path) as held, pytest.raises(OutputBlocked, match="meanwhile. Nothing was written"):
        files.merged(make)
    assert len(calls) == holding.MERGES and (tmp_path / "a").read_bytes() == b"4"


def test_a_line_saved_into_the_log_meanwhile_is_kept(tmp_path, monkeypatch):
    real, once = holding.append_entry, []

    def slow(text, entry):
        if not once:                                  # between the reading of the log and its writing
            once.append((tmp_path / "log.csv").write_text("date,step\n2027-04-30,by-hand\n"))
        return real(text, entry)

    monkeypatch.setattr(holding, "append_entry", slow)
    files.append_log(tmp_path, LogEntry(date(2027, 5, 1), "leach"))
    assert (tmp_path / "log.csv").read_text() == "date,step\n2027-04-30,by-hand\n2027-05-01,leach\n"


def test_two_that_want_the_same_folders_in_turn_do_not_block_each_other(tmp_path):
    a, b, failures = tmp_path / "a", tmp_path / "b", []

    def run(first, second):
        try:
            for _ in range(20):
                with files.held_all([first, second]) as [one, other]:
                    assert (one.folder, other.folder) == (first, second)
        except BaseException as error:
            failures.append(error)

    threads = [threading.Thread(target=run, args=pair) for pair in ((a, b), (b, a))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(30)
    assert failures == [] and not any(thread.is_alive() for thread in threads)
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_another_run_takes_away_while_it_is_made_is_made_again(tmp_path, monkeypatch):
    folder, looked, real = tmp_path / "new" / "out", [], os.stat

    def taken_once(path, *given, **options):
        if path == f"{folder}/." and not looked:
            looked.append(path)
            folder.rmdir()
        return real(path, *given, **options)

    monkeypatch.setattr(os, "stat", taken_once)
    with files.held(folder) as one:
        assert looked and one.folder.is_dir()
    assert list(tmp_path.iterdir()) == []


def test_one_folder_under_two_names_is_held_once(tmp_path):
    (tmp_path / "link").symlink_to(tmp_path / "real")
    (tmp_path / "real").mkdir()
    with files.held_all([tmp_path / "real", tmp_path / "link"]) as [one, other]:
        assert one is other
        with files.held_all([tmp_path / "link"], besides=[one]) as [again]:
            assert again is one


def test_a_folder_taken_away_while_it_was_waited_for_is_made_again(tmp_path):
    """The first run makes it, writes nothing and takes it away; the second had it open by then."""
    inside, leave = threading.Event(), threading.Event()

    def first():
        with files.held(tmp_path / "out"):
            inside.set()
            leave.wait(10)

    def second():
        files.write_all(tmp_path / "out", {"a": b"x"})

    threads = [threading.Thread(target=first), threading.Thread(target=second)]
    threads[0].start()
    inside.wait(10)
    threads[1].start()
    time.sleep(0.1)
    leave.set()
    for thread in threads:
        thread.join(10)
    assert (tmp_path / "out" / "a").read_bytes() == b"x"


def test_what_fails_inside_is_not_called_a_blocked_folder(tmp_path):
    with pytest.raises(ConnectionError), files.held(tmp_path / "out"):
        raise ConnectionError("no network")
    assert list(tmp_path.iterdir()) == []
