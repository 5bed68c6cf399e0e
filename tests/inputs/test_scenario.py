"""Whole scenarios: what makes one, what does not, and that nothing else than these two ever happens."""

import subprocess
import sys

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_files import NORMALS, PLACES, PLANTS, SITE, ZONE, faults_of, read, texts

from seasonplan.errors import InputFaults, SourceUnavailable
from seasonplan.inputs.scenario import read_scenario, wanted_files
from seasonplan.model import Scenario

URL = "https://normals.invalid/USX1.csv"
WITH_URL = SITE + f'normals = "{URL}"\n' + ZONE + PLACES


def test_a_scenario_is_read_whole():
    found = read(nights="date,tmin_c\n2020-01-01,-3\n", log="date,step\n2026-05-01,repot\n")
    assert (found.folder, found.site.name, len(found.places), len(found.plants)) == ("folder", "Invented yard", 2, 2)
    assert found.record.tmin_c.tolist() == [-3] and found.log[0].step == "repot"
    assert found.assumptions == ()


def test_reading_is_repeatable():
    assert read().plants == read().plants and read().places == read().places


def test_files_may_have_other_names():
    toml = SITE + 'normals = "low.csv"\nrecord = "old/all.csv"\n' + ZONE + PLACES
    assert wanted_files(toml.encode()) == ("scenario.toml", "plants.csv", "log.csv", "away.csv", "low.csv",
                                              "old/all.csv", "readings.csv")
    given_files = texts(toml) | {"low.csv": NORMALS.encode(), "old/all.csv": b"date,tmin_c\n2020-01-01,-3\n"}
    found = read_scenario(given_files, "folder")
    assert found.normals.source == "low.csv" and len(found.record.dates) == 1


@pytest.mark.parametrize("data", [None, b"", b"\xff", b"x =", b"site = 3", b"[site]\nnormals = 5\nrecord = ''",
                                  b'[site]\nnormals = "a\\u0000b"'])
def test_wanted_files_never_fails(data):
    assert wanted_files(data)[:3] == ("scenario.toml", "plants.csv", "log.csv")
    assert not any("\0" in name or not name.strip() for name in wanted_files(data))


def test_normals_from_a_url_are_fetched():
    asked = []

    def fetch(url):
        asked.append(url)
        return NORMALS.encode()

    found = read_scenario(texts(WITH_URL), "folder", fetch)
    assert asked == [URL] and found.normals.source == URL
    assert URL not in wanted_files(WITH_URL.encode())


def test_a_url_without_a_way_to_fetch_it():
    with pytest.raises(SourceUnavailable, match="normals.invalid"):
        read_scenario(texts(WITH_URL), "folder")


def test_nothing_is_fetched_while_something_else_is_wrong():
    with pytest.raises(InputFaults, match="latitude"):
        read_scenario(texts(WITH_URL.replace("44.5", "99")), "folder", lambda url: pytest.fail("fetched"))


def test_faults_in_fetched_normals_name_the_url():
    with pytest.raises(InputFaults) as caught:
        read_scenario(texts(WITH_URL), "folder", lambda url: NORMALS.replace("15.5", "71.2").encode())
    assert str(caught.value).startswith(f"{URL}:8: row 7 (July)")


def test_a_source_that_fails_stays_a_source_that_failed():
    def fetch(url):
        raise SourceUnavailable(url, "no answer")

    with pytest.raises(SourceUnavailable, match="no answer"):
        read_scenario(texts(WITH_URL), "folder", fetch)


def test_faults_come_by_file_and_line():
    found = faults_of(SITE.replace("44.5", "99") + "zzz = 1\n" + PLACES, PLANTS.replace(",1,", ",0,"),
                      NORMALS.replace("15.5", "x"))
    assert [fault.split(": ")[0] for fault in found] == ["normals.csv:8", "plants.csv:2", "scenario.toml:3",
                                                         "scenario.toml:6"]


WITH_SD = "month,tmin_c,tmin_sd_c\n" + "".join(f"{row},4\n" for row in NORMALS.splitlines()[1:])


def test_sd_kind_says_what_the_sd_is():
    toml = SITE + 'sd_kind = "Within-Month"\n' + ZONE + PLACES
    assert read(toml, normals=WITH_SD).normals.sd_kind == "within-month"
    assert read(normals=WITH_SD).normals.sd_kind == ""
    assert not any("sd_kind" in note for note in read(toml, normals=WITH_SD).assumptions)
    without = read(toml)
    assert without.normals.sd_kind == "within-month" and any("changes nothing" in note for note in without.assumptions)


def test_no_files_at_all():
    with pytest.raises(InputFaults) as caught:
        read_scenario({}, "folder")
    assert [fault.file for fault in caught.value.faults] == ["plants.csv", "scenario.toml"]


def test_reading_stays_light():
    """No pandas, pvlib or scipy for reading alone."""
    code = ("import sys, seasonplan.inputs.scenario, seasonplan.files; "
            "print(sorted({'pandas', 'scipy', 'pvlib', 'matplotlib', 'icalendar'} & set(sys.modules)))")
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert out.strip() == "[]"


def read_or_refused(files) -> bool:
    """Whether reading gives a whole scenario, or faults that can be printed one a line."""
    try:
        found = read_scenario(files, "folder")
    except InputFaults as error:
        return all(fault.file and fault.found and "\n" not in str(fault) for fault in error.faults) and str(error) != ""
    return isinstance(found, Scenario) and len(found.normals.tmin_c) in (12, 365)


SIGNS = [b"\n", b'"', b",", b"=", b"nan", b"-", b"[", b"0"]
KEYS = ("name", "latitude", "elevation_m", "timezone", "normals", "record", "year", "policy", "harm_risk", "move_days",
        "minutes_per_day", "children", "units", "faces", "roof_deg", "leaf_shade", "glazing", "measured_lux",
        "room_for")
GOOD = texts(nights="date,tmin_c\n2020-01-01,-3\n2020-01-02,4\n", log="date,step,plant\n2026-05-01,repot,Lemon\n")
NAMES = sorted(GOOD)


@settings(deadline=None, max_examples=70, derandomize=True)
@given(st.sampled_from(NAMES), st.binary(max_size=120))
def test_any_bytes_for_any_file(name, data):
    assert read_or_refused(GOOD | {name: data})


@settings(deadline=None, max_examples=150, derandomize=True)
@given(st.sampled_from(NAMES), st.data())
def test_any_edit_of_any_file(name, data):
    """A good file with a stretch of it replaced."""
    good = GOOD[name]
    start = data.draw(st.integers(0, len(good)))
    end = data.draw(st.integers(start, min(len(good), start + 12)))
    new = data.draw(st.one_of(st.text(max_size=8).map(lambda text: text.encode("utf-8", "surrogatepass")),
                              st.binary(max_size=4), st.sampled_from(SIGNS)))
    assert read_or_refused(GOOD | {name: good[:start] + new + good[end:]})


SCALARS = st.one_of(st.integers(), st.floats(), st.booleans(), st.text(max_size=6).filter(lambda t: "'" not in t))


def toml_of(value) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    return repr(value) if not isinstance(value, str) else "'" + value + "'"


@settings(deadline=None, max_examples=70, derandomize=True)
@given(st.sampled_from(["[site]", "[rules]", 'kind = "indoor"', 'kind = "outdoor"']), st.data())
def test_any_value_for_any_key(anchor, data):
    line = f"{data.draw(st.sampled_from(KEYS))} = {toml_of(data.draw(SCALARS))}\n"
    toml = (SITE + ZONE + "[rules]\n" + PLACES).replace(f"{anchor}\n", f"{anchor}\n{line}", 1)
    assert read_or_refused(GOOD | {"scenario.toml": toml.encode("utf-8", "surrogatepass")})


@settings(deadline=None, max_examples=70, derandomize=True)
@given(st.lists(st.lists(st.one_of(st.sampled_from(["Lemon", "lemon", "1", "30", "south window", "porch", "", "nan"]),
                                   st.text(max_size=5), st.integers().map(str)), min_size=3, max_size=6), max_size=4))
def test_any_rows_of_plants(rows):
    body = "".join(",".join('"' + cell.replace('"', '""') + '"' for cell in row) + "\n" for row in rows)
    text = "name,taxon,count,pot_cm,place\n" + body
    assert read_or_refused(GOOD | {"plants.csv": text.encode("utf-8", "surrogatepass")})
