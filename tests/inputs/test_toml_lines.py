"""Lines of keys in scenario.toml."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_files import faults_in

from seasonplan.inputs.gathering import Faults
from seasonplan.inputs.toml_lines import Section, key_lines, parse_toml

TEXT = '''# a comment = with a sign
title = "x"
[site]
  name = "a"   # comment
"latitude" = 1
note = """
elevation_m = 3
"""
elevation_m = 4
[[place]]
name = "one"
[[place]] # second
days = [
  "sat",
]
name = "two"
[rules]
site.year = 3
'''


def test_lines_of_keys_and_tables():
    lines = key_lines(TEXT)
    assert lines["title",] == 2 and lines["site",] == 3 and lines["site", "name"] == 4
    assert lines["site", "latitude"] == 5 and lines["site", "elevation_m"] == 9
    assert lines["place", 0, "name"] == 11 and lines["place", 1] == 12 and lines["place", 1, "name"] == 16
    assert lines["rules", "site", "year"] == 18


@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_lines_do_not_depend_on_the_ending(ending):
    assert key_lines("a = 1\n\n[b]\nc = 2\n".replace("\n", ending))["b", "c"] == 4


def test_broken_toml_is_a_fault_with_its_line():
    assert faults_in(lambda f: parse_toml("s.toml", 'a = 1\nb = "x\n', f))[0].startswith("s.toml:2: it cannot be read")
    assert faults_in(lambda f: parse_toml("s.toml", "a = 1\nb = [1,\n", f))[0].startswith("s.toml:3: it cannot be read")


def section(values, lines, faults):
    return Section("s.toml", "[site]", values, lines, ("site",), faults)


def test_a_section_finds_the_nearest_line_it_knows():
    faults = Faults()
    found = section({"a": 1, "odd": 2}, {("site",): 3, ("site", "odd"): 5}, faults)
    assert (found.line("odd"), found.line("a"), found.line()) == (5, 3, 3)
    found.only(("a", "oddly"))
    found.need("b", int, "a number")
    assert [str(fault) for fault in faults.found] == [
        "s.toml:5: [site] odd: unknown key odd; allowed: the keys a, oddly. Did you mean oddly?",
        "s.toml:3: [site]: b is missing; allowed: a number"]


@settings(deadline=None, max_examples=100, derandomize=True)
@given(st.text(alphabet='[]="\'\n\r.#ab 1{},', max_size=60))
def test_any_text_is_read_or_refused(text):
    faults = Faults()
    found = parse_toml("s.toml", text, faults)
    key_lines(text)
    assert (found is None) == bool(faults.found)
