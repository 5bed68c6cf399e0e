"""Reading a folder: what is said of one that is none, and of files that are no files."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest
from invented_files import PLACES, SITE, ZONE, texts

from seasonplan import files
from seasonplan.errors import InputFaults
from seasonplan.files import reading


def laid_out(folder: Path, **given) -> Path:
    folder.mkdir()
    for name, data in texts(**given).items():
        (folder / name).write_bytes(data)
    return folder


def test_a_folder_is_read(tmp_path):
    scenario = files.load_scenario(laid_out(tmp_path / "yard"))
    assert scenario.folder == str(tmp_path / "yard") and len(scenario.plants) == 2


def test_no_folder_and_an_empty_one(tmp_path):
    with pytest.raises(InputFaults, match="there is no such folder"):
        files.load_scenario(tmp_path / "nowhere")
    with pytest.raises(InputFaults) as caught:
        files.load_scenario(tmp_path)
    assert [fault.file for fault in caught.value.faults] == ["plants.csv", "scenario.toml"]


def test_a_folder_in_place_of_an_input_is_told_with_all_other_faults(tmp_path):
    folder = laid_out(tmp_path / "yard", toml=SITE.replace("44.5", "99") + ZONE + PLACES)
    (folder / "plants.csv").unlink()
    (folder / "plants.csv").mkdir()
    (folder / "log.csv").mkdir()
    with pytest.raises(InputFaults) as caught:
        files.load_scenario(folder)
    assert [fault.file for fault in caught.value.faults] == ["log.csv", "plants.csv", "scenario.toml"]
    assert "it is a folder" in caught.value.faults[0].found


def test_an_unreadable_extra_is_enough_to_refuse(tmp_path):
    folder = laid_out(tmp_path / "yard")
    (folder / "log.csv").mkdir()
    with pytest.raises(InputFaults, match="log.csv: it is a folder, not a file; allowed: a readable file"):
        files.load_scenario(folder)


def test_reading_files_that_are_not_there(tmp_path):
    assert files.read_if_there(tmp_path / "x") is None
    assert files.read_if_there(tmp_path / "x" / "y") is None
    with pytest.raises(InputFaults, match="there is no such file"):
        files.read_input(tmp_path / "x")
    (tmp_path / "x").write_bytes(b"1")
    assert files.read_input(tmp_path / "x") == b"1"


def test_a_pipe_does_not_hang_and_a_device_does_not_fill_the_memory(tmp_path):
    folder = laid_out(tmp_path / "yard")
    (folder / "plants.csv").unlink()
    os.mkfifo(folder / "plants.csv")
    (folder / "log.csv").symlink_to("/dev/zero")
    begun = time.monotonic()
    with pytest.raises(InputFaults) as caught:
        files.load_scenario(folder)
    assert [f"{fault.file}: {fault.found}" for fault in caught.value.faults] == [
        "log.csv: it is a device, not a file", "plants.csv: it is a pipe, not a file"]
    assert time.monotonic() - begun < 5


def test_a_file_that_is_too_large_is_not_read_and_its_limit_told(tmp_path):
    folder = laid_out(tmp_path / "yard")
    with open(folder / "log.csv", "wb") as file:
        file.truncate(reading.LARGEST_MIB * reading.MIB + 1)
    with pytest.raises(InputFaults, match="log.csv: it has 64 MiB; allowed: a readable file of at most 64 MiB"):
        files.load_scenario(folder)


def test_a_file_at_the_limit_is_read(tmp_path, monkeypatch):
    monkeypatch.setattr(reading, "MIB", 1)
    (tmp_path / "x").write_bytes(b"1" * reading.LARGEST_MIB)
    assert files.read_input(tmp_path / "x") == b"1" * reading.LARGEST_MIB
    (tmp_path / "x").write_bytes(b"1" * (reading.LARGEST_MIB + 1))
    with pytest.raises(InputFaults, match="at most 64 MiB"):
        files.read_input(tmp_path / "x")
