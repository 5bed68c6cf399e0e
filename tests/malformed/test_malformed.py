"""A hand-made folder of faulty scenarios: each ends in InputFaults that names the file, the line and what is wrong.

Every case folder holds only the files that differ from `_good`; expected.csv says what is left out, where the fault is
and which words its report must hold. Everything in them is invented.
"""

from __future__ import annotations

import csv
import shutil
from pathlib import Path

import pytest

from seasonplan.errors import InputFaults
from seasonplan.files import load_scenario
from seasonplan.inputs.scenario import read_scenario

HERE = Path(__file__).parent
LEAST_CASES = 100
MOST_FAULTS = 4


def expected() -> list[dict[str, str]]:
    with (HERE / "expected.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def texts_of(case: dict[str, str]) -> dict[str, bytes]:
    """The case's whole scenario: the good files, overlaid."""
    files = [*(HERE / "_good").iterdir(), *(HERE / case["case"]).iterdir()]
    return {file.name: file.read_bytes() for file in files if file.name != case["without"]}


def test_the_good_folder_is_good():
    scenario = load_scenario(HERE / "_good")
    assert [plant.name for plant in scenario.plants] == ["Lemon", "Ferns", "Fig"]
    assert len(scenario.log) == 2


def test_every_folder_is_expected():
    folders = {path.name for path in HERE.iterdir() if path.is_dir() and not path.name.startswith("_")}
    assert folders == {case["case"] for case in expected()}
    assert len(folders) >= LEAST_CASES


@pytest.mark.parametrize("case", expected(), ids=lambda case: case["case"])
def test_the_fault_is_told_once_with_its_place(case):
    with pytest.raises(InputFaults) as caught:
        read_scenario(texts_of(case), "folder")
    told = [str(fault) for fault in caught.value.faults if str(fault).startswith(case["where"] + ":")]
    assert told, f"nothing about {case['where']} in:\n{caught.value}"
    for words in case["words"].split(" | "):
        assert any(words in line for line in told), f"{words!r} is not in:\n" + "\n".join(told)
    assert len(caught.value.faults) <= MOST_FAULTS, f"one mistake, told too often:\n{caught.value}"


def test_a_folder_read_from_the_disk_tells_the_same(tmp_path):
    shutil.copytree(HERE / "_good", tmp_path / "folder")
    shutil.copytree(HERE / "normals-in-fahrenheit", tmp_path / "folder", dirs_exist_ok=True)
    with pytest.raises(InputFaults) as caught:
        load_scenario(tmp_path / "folder")
    assert str(caught.value) == ("normals.csv:8: row 7 (July), tmin_c: found 71.2; allowed: -70 to 45 °C. "
                                 "Is the column in °F?")


def test_faults_of_all_files_are_told_together():
    texts = {name: data for case in expected() if case["case"] in
             ("latitude-too-big", "plants-count-zero", "normals-in-fahrenheit", "nights-word", "log-date-missing")
             for name, data in texts_of(case).items() if (HERE / case["case"] / name).exists()}
    with pytest.raises(InputFaults) as caught:
        read_scenario(texts, "folder")
    assert [fault.file for fault in caught.value.faults] == ["log.csv", "nights.csv", "normals.csv", "plants.csv",
                                                             "scenario.toml"]
