"""`start`: driven through a pseudo-terminal by people who answer well and badly, and by options without a question."""

import fcntl
import json
import os
import pty
import re
import select
import signal
import subprocess
import sys
import termios
import tomllib
from contextlib import suppress

import pytest
from click.testing import CliRunner

from seasonplan.cli import main
from seasonplan.files import load_scenario

TODAY = "2027-03-01"
PATIENCE_S = 120
"""On a busy machine a terminal may be slow."""
TEN = ("3 pothos, jade plant, lemon tree 30 cm, Ficus elastica Burgundy, two snake plants, monstera, spider plant, "
       "peace lily, hibiscus, kentia palm")
WELL = ["Leeds", TEN, "south: jade, lemon, hibiscus; north: the rest", "balcony south, under a birch, lawn", "cat",
        "sat, 2 h"]


def _as_a_person_has_it() -> None:
    """A terminal of its own, and Ctrl-C heard even where the tests run in the background, deaf to it."""
    fcntl.ioctl(0, termios.TIOCSCTTY, 0)
    signal.signal(signal.SIGINT, signal.SIG_DFL)


class Terminal:
    """`start` on a pseudo-terminal. typed: lines sent so far; printed: all it said."""

    def __init__(self, folder, *options):
        ours, theirs = pty.openpty()
        self.child = subprocess.Popen([sys.executable, "-m", "seasonplan", "start", str(folder), "--today", TODAY,
                                       *options], stdin=theirs, stdout=theirs, stderr=theirs, close_fds=True,
                                      env={**os.environ, "TERM": "dumb", "COLUMNS": "160"},
                                      start_new_session=True, preexec_fn=_as_a_person_has_it)
        os.close(theirs)
        self.ours, self.printed, self.prompts = ours, "", 0

    def until_it_waits(self) -> bool:
        """False when it has ended instead."""
        while not re.search(r"(^|\n)(  )?> \Z", self.printed.replace("\r", "")):
            ready, _, _ = select.select([self.ours], [], [], PATIENCE_S)
            try:
                piece = os.read(self.ours, 4096) if ready else b""
            except OSError:
                piece = b""
            if not piece:
                return False
            self.printed += piece.decode(errors="replace")
        self.prompts += 1
        return True

    def answer(self, *lines: str) -> str:
        """Types lines, one for each prompt; what it said since."""
        start = len(self.printed)
        for line in lines:
            assert self.until_it_waits(), self.printed
            self.printed += "\n"
            os.write(self.ours, line.encode() + b"\n")
        self.until_it_waits()
        self.prompts -= 1
        return self.printed[start:].replace("\r", "")

    def key(self, key: bytes) -> int:
        """Presses a key and waits for the end; the exit code."""
        assert self.until_it_waits(), self.printed
        self.printed += "\n"
        for _ in range(20):                              # a signal just before the terminal is read waits for a key
            os.write(self.ours, key)
            with suppress(subprocess.TimeoutExpired):
                self.child.wait(1.5)
                break
        return self.end()

    def end(self) -> int:
        while self.until_it_waits():
            raise AssertionError(self.printed)
        return self.child.wait(PATIENCE_S)

    def close(self) -> None:
        self.child.kill()
        self.child.wait(PATIENCE_S)
        os.close(self.ours)


@pytest.fixture
def terminal():
    """Makes terminals, and lets none of them stay."""
    opened = []
    yield lambda folder, *options: opened.append(Terminal(folder, *options)) or opened[-1]
    for each in opened:
        each.close()


def run(*words: str):
    return CliRunner().invoke(main, [*map(str, words)])


def files(folder):
    return {p.name: p.read_bytes() for p in folder.iterdir() if p.is_file()}


def test_six_answers_make_a_plan_for_ten_plants(tmp_path, terminal):
    person = terminal(tmp_path / "mine")
    person.answer(*WELL)
    assert person.end() == 0 and person.prompts + 1 == 6, person.printed
    scenario = load_scenario(tmp_path / "mine")
    assert len(scenario.plants) == 10 and scenario.plants[0].count == 3 and scenario.plants[2].pot_cm == 30
    assert [p.name for p in scenario.plants if p.place == "south window"] == ["jade plant", "lemon tree", "hibiscus"]
    assert [p.name for p in scenario.places if p.outdoors] == ["balcony south", "under a birch", "lawn"]
    assert scenario.rules.pets and not scenario.rules.children
    assert scenario.rules.move_days == ("sat",) and scenario.rules.minutes_per_day == 120
    given = run("start", tmp_path / "given", "--today", TODAY, *(word for pair in zip(
        ("--town", "--plants", "--windows", "--outdoors", "--household", "--time"), WELL, strict=True)
        for word in pair))
    assert given.exit_code == 0, given.output
    assert files(tmp_path / "given") == files(tmp_path / "mine")


def test_two_commands_to_a_calendar_of_ones_own_town(tmp_path):
    begun = run("start", tmp_path / "g", "--today", TODAY, "--town", "Leeds", "--plants", "3 pothos, jade plant, lemon")
    assert begun.exit_code == 0 and "?" not in begun.output, begun.output
    planned = run("plan", tmp_path / "g", "--today", TODAY, "--no-page")
    assert planned.exit_code == 0, planned.output
    calendar = (tmp_path / "g" / "out" / "calendar.ics").read_text()
    assert "lemon" in calendar and "Leeds" in calendar and "Bingley" in planned.output


def test_someone_who_answers_badly_is_told_why_and_loses_nothing(tmp_path, terminal):
    person = terminal(tmp_path / "g")
    said = person.answer("")
    assert "needed" in said
    assert "Did you mean" not in person.answer("qqqqxx") and "no town is called" in person.printed.casefold()
    assert "-90 to 90" in person.answer("200, 10")
    assert "1  Springfield, Missouri" in person.answer("Springfield") and "Illinois" in person.printed
    assert "number from 1 to" in person.answer("77")
    assert "Springfield, Illinois, US" in person.answer("3") and (tmp_path / "g" / "scenario.toml").exists()
    assert "names no plant" in person.answer("12")
    assert "1 to 100,000 pots" in person.answer("0 jade, blorfwort") and "What instead of" in person.printed
    assert "Enter: 3 ferns, blorfwort" in person.answer("3 ferns", "<")    # the open question left, nothing lost
    said = person.answer("3 ferns, potos, blorfwort")
    assert "1  Boston fern" in said
    assert "in no table" in person.answer("1")                   # the fern is settled, blorfwort is open
    assert "-4 to 64.4 °F" in person.answer("1000") and "In °C" not in person.printed
    assert "What light" in person.answer("50")                   # a bare number is in the country's degrees
    assert "is taken as pothos" in person.answer("3")
    assert "0 to 360" in person.answer("400")
    assert "Did you mean south" in person.answer("suoth")
    assert "no plant of yours" in person.answer("east: tulip, potos").casefold() and "Boston" in person.printed
    assert "4 of 6" in person.answer("", "pothos") and "Enter: east: pothos" in person.answer("<")
    assert "degrees are meant" in person.answer("1")
    assert "Enter: 200" in person.answer("200", "<", "")
    assert "is no place" in person.answer("on the moon")
    assert "10 to 95 % of shade" in person.answer("cloth 5 %")
    assert "Where does the balcony face" in person.answer("balcony, lawn")
    assert "5 of 6" in person.answer("west") and "none. Which of them?" in person.answer("yes")
    assert "3 h, or 3 min?" in person.answer("two dogs", "sat 3")
    person.answer("saturday 90 min")
    assert person.end() == 0, person.printed
    scenario = load_scenario(tmp_path / "g")
    own = scenario.plants[2]
    assert [p.name for p in scenario.plants] == ["Boston fern", "pothos", "blorfwort"] and scenario.plants[0].count == 3
    assert own.harm_c == pytest.approx(10, abs=0.1) and own.taxon.sun == "sun"
    assert scenario.rules.units == "imperial" and scenario.rules.minutes_per_day == 90
    assert scenario.places[0].faces_deg == 200 and scenario.places[1].faces_deg == 270


def test_leaving_keeps_the_answers_and_the_same_command_goes_on(tmp_path, terminal):
    person = terminal(tmp_path / "g")
    person.answer(*WELL[:2])
    assert person.key(b"\x04") == 2 and "is kept in" in person.printed and "plans already" in person.printed
    assert len(load_scenario(tmp_path / "g").plants) == 10
    again = terminal(tmp_path / "g")
    again.answer(*WELL[2:])
    assert again.end() == 0 and "3 of 6" in again.printed and "2 of 6" not in again.printed, again.printed
    run("start", tmp_path / "whole", "--today", TODAY, "--town", WELL[0], "--plants", WELL[1], "--windows", WELL[2],
        "--outdoors", WELL[3], "--household", WELL[4], "--time", WELL[5])
    assert files(tmp_path / "g") == files(tmp_path / "whole")


def test_a_killed_run_loses_nothing_and_nothing_answered_leaves_no_folder(tmp_path, terminal):
    person = terminal(tmp_path / "g")
    person.answer("Leeds")
    os.killpg(person.child.pid, signal.SIGKILL)
    assert person.child.wait(PATIENCE_S) and "#? where: Leeds" in (tmp_path / "g" / "scenario.toml").read_text()
    other = terminal(tmp_path / "none")
    assert other.key(b"\x03") == 2 and "nothing is kept" in other.printed and not (tmp_path / "none").exists()


def test_one_question_back(tmp_path, terminal):
    person = terminal(tmp_path / "g")
    assert "first question" in person.answer("<")
    assert "Enter: jade plant" in person.answer("Leeds", "jade plant", "<")
    assert "2 plants, 3 pots" in person.answer("+ 2 pothos")
    assert "Enter: Leeds" in person.answer("<", "<")
    person.answer("York, GB", "", "", "", "")
    scenario = load_scenario(tmp_path / "g")
    assert scenario.site.town == "York, GB" and [p.name for p in scenario.plants] == ["jade plant", "pothos"]


@pytest.mark.parametrize("options, said", [
    (["--town", "Springfield", "--plants", "jade plant"], "Springfield, Missouri"),
    (["--town", "Leeds", "--plants", "blorfwort, jade plant"], "blorfwort (10 °C, sun)"),
    (["--town", "Leeds", "--plants", "ivy"], "English ivy (Hedera helix)"),
    (["--town", "Leeds", "--plants", "jade plant", "--windows", "400", "--time", "never"], "--windows: found 400"),
    (["--town", "Leeds", "--plants", "jade plant", "--windows", "south: fig"], "the rest"),
])
def test_a_wrong_option_names_the_choices_and_leaves_no_folder(tmp_path, options, said):
    result = run("start", tmp_path / "g", *options)
    assert result.exit_code == 2 and said in result.output, result.output
    assert not (tmp_path / "g").exists()


def test_every_fault_of_the_options_is_told_at_once(tmp_path):
    result = run("start", tmp_path / "g", "--town", "Lds", "--plants", "12", "--time", "never", "--household", "yes")
    assert result.exit_code == 2
    assert all(name in result.output for name in ("--town", "--plants", "--time", "--household"))


def test_it_never_overwrites(tmp_path):
    (tmp_path / "plants.csv").write_text("mine")
    options = ("--town", "Leeds", "--plants", "jade plant")
    assert run("start", tmp_path, *options).exit_code == 2 and files(tmp_path) == {"plants.csv": b"mine"}
    (tmp_path / "g").mkdir()
    (tmp_path / "g" / "normals.csv").write_text("month,tmin_c\n" + "".join(f"{n},5\n" for n in range(1, 13)))
    assert run("start", tmp_path / "g", *options, "--today", TODAY).exit_code == 0
    assert load_scenario(tmp_path / "g").normals.estimate is None
    again = run("start", tmp_path / "g", *options)
    assert again.exit_code == 2 and "already there" in again.output


def test_an_unfinished_file_changed_by_hand_is_not_overwritten(tmp_path, terminal):
    terminal(tmp_path / "g").answer(*WELL[:2])
    path = tmp_path / "g" / "plants.csv"
    path.write_text(path.read_text().replace("jade plant", "my jade"))
    result = run("start", tmp_path / "g", "--windows", "south")
    assert result.exit_code == 2 and "changed by hand" in result.output and "my jade" in path.read_text()


def test_in_mid_season_the_plan_starts_from_today(tmp_path):
    for day, begins in (("2027-02-01", False), ("2027-07-15", True)):
        folder = tmp_path / day
        assert run("start", folder, "--today", day, "--town", "Leeds", "--plants", TEN).exit_code == 0
        assert (folder / "log.csv").exists() == begins
    assert run("plan", tmp_path / "2027-07-15", "--today", "2027-07-15", "--no-page").exit_code == 0
    document = json.loads((tmp_path / "2027-07-15" / "out" / "plan.json").read_text())
    assert all(step["date"] >= "2027-07-15" for step in document["steps"])


def test_what_the_comments_say_there_is_there_is(tmp_path):
    run("start", tmp_path / "g", "--today", TODAY, "--town", "Leeds", "--plants", "jade plant")
    path = tmp_path / "g" / "scenario.toml"
    text = re.sub(r"(?m)^# (?=\[\[|[a-z_]+ = )", "", path.read_text())
    text = text.replace("measured_lux", "# measured_lux", 1)
    assert len(tomllib.loads(text)["rules"]) == 9 and len(tomllib.loads(text)["place"]) == 2
    path.write_text(text)
    (tmp_path / "g" / "plants.csv").write_text((tmp_path / "g" / "plants.csv").read_text().replace(
        "jade plant,crassula-ovata,1,,", "jade plant,crassula-ovata,1,,kitchen window"))
    scenario = load_scenario(tmp_path / "g")
    assert scenario.away and scenario.site.night_offset_c == -1 and scenario.rules.policy == "careful"
