"""Lines of keys in scenario.toml."""

import tomllib

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


VALUES = {
    "1": {}, '"x # = [y]"': {}, r"'it\'": {}, "1979-05-27 07:32:00.5": {}, "-3.5e2": {}, "[]": {}, "{}": {},
    '"""\nelevation_m = 3\n\\"""\n[site]\n"""': {}, "'''\n[[place]]\n'''": {}, '"""a"""""': {},
    '{ a = 1, "b c" = { d = [1, 2] } } # """': {("a",): 0, ("b c",): 0, ("b c", "d"): 0, ("b c", "d", 1): 0},
    "[ # '''\n1,\n\n[2,\n3]]": {(0,): 1, (1,): 3, (1, 0): 3, (1, 1): 4},
    "[\n  {a = 1},\n  {b.c = 2, a = [\n3]},\n]": {(0,): 1, (0, "a"): 1, (1,): 2, (1, "b", "c"): 2, (1, "a", 0): 3},
}
"""A value, and the lines of what is in it, counted from its own first."""
HEADERS = {"[a{n}]": ("a{n}",), "[ 'b{n}' . c ]  # \"\"\"": ("b{n}", "c"), "[[list]]": ("list",),
           "[list.sub{n}]": ("list", "sub{n}"), '# """ no header': ()}


@settings(deadline=None, max_examples=60, derandomize=True)
@given(st.lists(st.tuples(st.sampled_from(sorted(HEADERS)), st.lists(st.sampled_from(sorted(VALUES)), max_size=3)),
                max_size=5), st.sampled_from(["\n", "\r\n"]))
def test_every_line_is_that_of_its_key_whatever_stands_between(parts, ending):
    """Documents put together from parts whose lines are known."""
    lines, wanted, at, entry = ["[[list]]"], {("list", 0): 1}, ("list", 0), 0
    for n, (header, values) in enumerate(parts):
        lines.append(header.format(n=n))
        if names := tuple(name.format(n=n) for name in HEADERS[header]):
            entry += header == "[[list]]"
            at = (names[0], entry, *names[1:]) if names[0] == "list" else names
            wanted[at] = len(lines)
        for k, value in enumerate(values):
            key = f"k{n}_{k}"
            lines += ["", f'  "{key}" = {value}']
            first = len(lines)
            lines[-1:] = lines[-1].split("\n")
            wanted[*at, key] = first
            wanted |= {(*at, key, *inside): first + below for inside, below in VALUES[value].items()}
    text = ending.join(lines)
    tomllib.loads(text)
    found = key_lines(text)
    assert {path: found.get(path) for path in wanted} == wanted


@settings(deadline=None, max_examples=100, derandomize=True)
@given(st.text(alphabet='[]="\'\n\r.#ab 1{},', max_size=60))
def test_any_text_is_read_or_refused(text):
    faults = Faults()
    found = parse_toml("s.toml", text, faults)
    key_lines(text)
    assert (found is None) == bool(faults.found)
