"""log.csv: read, and written on."""

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from seasonplan.inputs.gathering import Faults
from seasonplan.inputs.log import LOG_HEADER, append_entry, read_log
from seasonplan.model import LogEntry

PLANTS, PLACES = ("Lemon", "Big fern"), ("porch", "south window")


def log(text, plants=PLANTS, places=PLACES):
    faults = Faults()
    entries, notes = read_log("log.csv", text.encode(), plants, places, faults)
    return entries, notes, [str(fault) for fault in faults.found]


def test_entries_come_by_date():
    entries, notes, faults = log(f"{LOG_HEADER}\n2026-06-01,leach,lemon,,\n2026-05-01,repot,Big fern,,next size\n"
                                 "2026-05-01,move-out,,PORCH,\n")
    assert entries == (LogEntry(date(2026, 5, 1), "repot", "Big fern", "", "next size", 3),
                       LogEntry(date(2026, 5, 1), "move-out", "", "porch", "", 4),
                       LogEntry(date(2026, 6, 1), "leach", "Lemon", "", "", 2))
    assert notes == [] and faults == []


@pytest.mark.parametrize("text", ["", "\n", LOG_HEADER, LOG_HEADER + "\n", "\ufeff"])
def test_an_empty_log(text):
    assert log(text) == ((), [], [])


def test_plants_that_are_gone_are_noted_and_slips_are_faults():
    entries, notes, faults = log(f"{LOG_HEADER}\n2025-05-01,repot,Old begonia,,\n2025-05-02,repot,Lemonn,,\n"
                                 "2025-05-03,move,Lemon,terrace,\n")
    assert entries == ()
    assert [note.split(" now")[0] for note in notes] == ["log.csv:2: there is no plant called Old begonia",
                                                         "log.csv:4: there is no place called terrace"]
    [fault] = faults
    assert fault.startswith("log.csv:3: row 2, plant: no plant is called") and "Did you mean Lemon?" in fault


def test_a_name_that_is_merely_similar_is_no_slip():
    entries, notes, faults = log(f"{LOG_HEADER}\n2025-05-01,repot,Small fern,,\n")
    assert (entries, len(notes), faults) == ((), 1, [])


def test_names_are_not_checked_against_files_that_could_not_be_read():
    entries, notes, faults = log(f"{LOG_HEADER}\n2025-05-01,repot,Anything,anywhere,\n", None, None)
    assert entries[0].plant == "Anything" and notes == [] and faults == []


def test_faults():
    _, _, faults = log("date,step,plant,place,note\n,repot,,,\n2025-13-01,repot,,,\n2025-05-01,,,,\n")
    assert [fault.split(":")[1] for fault in faults] == ["2", "3", "4"]


def test_a_log_is_begun_with_its_header():
    entry = LogEntry(date(2026, 5, 1), "repot", "Lemon", "porch", 'said "now", twice\nover')
    text = append_entry("", entry)
    assert text == f'{LOG_HEADER}\n2026-05-01,repot,Lemon,porch,"said ""now"", twice\nover"\n'
    assert log(text)[0][0].note == entry.note


@pytest.mark.parametrize(("before", "line"), [
    (LOG_HEADER, "\n2026-05-01,repot,Lemon,,\n"),
    (LOG_HEADER + "\r\n2026-01-01,x,,,\r\n", "2026-05-01,repot,Lemon,,\r\n"),
    ("date;step;plant;place;note\n", "2026-05-01;repot;Lemon;;\n"),
    ("Plant,Date,Step\n", "Lemon,2026-05-01,repot\n"),
    ("\ufeff" + LOG_HEADER + "\n", "2026-05-01,repot,Lemon,,\n"),
    ("\n\n" + LOG_HEADER + "\n2026-01-01,x,,,\n", "2026-05-01,repot,Lemon,,\n"),
    ("sep=;\r\ndate;step;plant\r\n", "2026-05-01;repot;Lemon\r\n"),
])
def test_the_ways_of_an_existing_log_are_kept(before, line):
    assert append_entry(before, LogEntry(date(2026, 5, 1), "repot", "Lemon")) == before + line


def test_a_column_that_is_needed_is_added():
    entry = LogEntry(date(2026, 5, 1), "repot", "Lemon", note="late")
    assert append_entry("date,step\r\n2026-01-01,x\r\n", entry) == (
        "date,step,plant,note\r\n2026-01-01,x\r\n2026-05-01,repot,Lemon,late\r\n")
    assert append_entry("\nstep;date", entry) == "\nstep;date;plant;note\nrepot;2026-05-01;Lemon;late\n"


TEXT = st.text(st.characters(exclude_categories=("Cc", "Cs", "Zl", "Zp")), max_size=20)


@settings(deadline=None, max_examples=40, derandomize=True)
@given(st.lists(st.tuples(st.dates(), st.sampled_from(["repot", "2027-leach-fig-1-ab12", "wäsche"]), TEXT), max_size=4))
def test_what_is_written_is_read_again(rows):
    text = ""
    for day, step, note in rows:
        text = append_entry(text, LogEntry(day, step, note=note))
    entries, _, faults = log(text)
    assert faults == []
    assert sorted((e.date, e.step, e.note) for e in entries) == sorted((d, s, n.strip()) for d, s, n in rows)
