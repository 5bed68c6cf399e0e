"""CSV tables as spreadsheet programs save them: the same rows whatever the wrapping."""

import codecs

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from invented_files import faults_in

from seasonplan.inputs import tables
from seasonplan.inputs.decoding import header_of
from seasonplan.inputs.gathering import Faults
from seasonplan.inputs.tables import commas_are_decimal, read_loose, read_table

KNOWN = ("name", "size", "note")
PLAIN = "name,size,note\nfig,1.5,tall\nfern,2.25,\n"
ROWS = [{"name": "fig", "size": "1.5", "note": "tall"}, {"name": "fern", "size": "2.25", "note": ""}]


def table(data: bytes, faults: Faults | None = None):
    return read_table("a.csv", data, KNOWN, ("name",), Faults() if faults is None else faults, numeric=("size",))


def rows(data: bytes):
    faults = Faults()
    found = table(data, faults)
    assert not faults.found
    return [{name: row.text(name) for name in KNOWN} for row in found.rows]


@pytest.mark.parametrize("data", [
    PLAIN.encode(),
    codecs.BOM_UTF8 + PLAIN.encode(),
    PLAIN.encode("utf-16"),
    codecs.BOM_UTF16_BE + PLAIN.encode("utf-16-be"),
    PLAIN.encode("utf-32"),
    PLAIN.replace("\n", "\r\n").encode(),
    PLAIN.replace("\n", "\r").encode(),
    PLAIN.replace(",", ";").encode(),
    PLAIN.replace(",", "\t").encode(),
    b"sep=;\r\n" + PLAIN.replace(",", ";").encode(),
    PLAIN.replace(",", ";").replace(".", ",").encode(),
    PLAIN.replace("1.5", '"1,5"').replace("2.25", '"2,25"').encode(),
    PLAIN.replace("name,size", " Name , SIZE").encode(),
    (PLAIN + ",,\n\n,,\n").encode(),
    ("\n\n" + PLAIN).encode(),
    PLAIN.replace("\n", ",,\n").encode(),
    PLAIN.replace("fern,2.25,", "fern,2.25").encode(),
    PLAIN.replace("fig,", '"fig" ,').replace('"fig" ', '" fig "').encode(),
], ids=["plain", "utf8-mark", "utf16", "utf16-be", "utf32", "crlf", "cr", "semicolons", "tabs", "sep-line",
        "decimal-commas", "quoted-commas", "header-case", "trailing-rows", "leading-rows", "trailing-columns",
        "short-row", "blanks"])
def test_one_table_in_many_wrappings(data):
    assert rows(data) == ROWS


def test_lines_are_counted_through_quoted_line_breaks():
    found = table(b'name,note\nfig,"one\ntwo\nthree"\nfern,x\n')
    assert [row.line for row in found.rows] == [2, 5]
    assert found.rows[0].text("note") == "one\ntwo\nthree"
    assert [row.line for row in table(b"sep=;\nname;note\nfig;x\n").rows] == [3]


@pytest.mark.parametrize(("data", "words"), [
    ("name,size\nfig,1.5\nGärten,2\n".encode("cp1252"), "a.csv:3: byte 0xE4 cannot be read as UTF-8"),
    (codecs.BOM_UTF16_LE + b"n\x00a", "UTF-16"),
    (b"n\x00a\x00\n\x00", "NUL"),
    (b"", "the file is empty"),
    (b"\n\n", "the file is empty"),
    (b'name\n"fig\n', "a.csv:2: the row cannot be read"),
    (b"name,sise\nfig,1\n", "unknown column sise; allowed: the columns name, size, note. Did you mean size?"),
    (b"size\n1\n", "the column name is missing"),
    (b"name,name\na,b\n", "stands there 2 times"),
    (b"name,,size\na,b,1\n", "column 2 has no name"),
    (b"name,size\nfig,1,5\n", "a.csv:2: row 1: 3 cells under 2 columns"),
    (b"name;size\na;1,5\nb;1.500\n", "a.csv:3: row 2, size: found 1.500 in a file with decimal commas"),
])
def test_faults_carry_their_line(data, words):
    assert any(words in fault for fault in faults_in(lambda faults: table(data, faults)))


def test_a_row_whose_cells_cannot_be_told_apart_is_blamed_once():
    faults = Faults()
    row = table(b"name,size\nfig,1,5\n", faults).rows[0]
    assert row.need("name", str, "a name") is None and row.get("size", float) is None
    assert len(faults.found) == 1


@pytest.mark.parametrize(("cells", "decimal"), [
    (["1,5"], True), (["0,125"], True), (["1234,567"], True), (["-12,25", "1,500"], True),
    (["1,500"], False), (["12,345", "7"], False), (["1.5"], False), ([], False)])
def test_commas_are_decimal_only_beyond_doubt(cells, decimal):
    assert commas_are_decimal(cells) is decimal


def test_a_doubtful_comma_is_left_and_refused():
    found = table(b"name;size\nfig;1,500\n")
    assert found.rows[0].text("size") == "1,500"


def test_loose_tables_keep_any_column():
    found = read_loose("a.csv", b'"STATION","DATE","x"\n"A","01"," 1 "\n', Faults())
    assert (found.cell(0, "STATION"), found.cell(0, "X"), found.cell(0, "NONE"), found.line(0)) == ("A", "1", "", 2)
    assert list(read_loose("a.csv", b"A,1\n", Faults(), ("K", "V")).rows) == [0]
    assert read_loose("a.csv", b"\xff", Faults()) is None


def test_the_header_is_seen_without_a_fault():
    assert header_of(b"\na;b\n1;2\n") == ["a", "b"]
    assert header_of(b"\xff\xfe\xff") == [] and header_of(b"") == []


@settings(deadline=None, max_examples=150, derandomize=True)
@given(st.binary(max_size=200))
def test_no_bytes_break_the_reader(data):
    faults = Faults()
    found = table(data, faults)
    assert found is not None or faults.found


@settings(deadline=None, max_examples=100, derandomize=True)
@given(st.lists(st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\0"), max_size=9), max_size=4))
def test_any_cell_survives_quoting(cells):
    body = "".join('"{}"\n'.format(cell.replace('"', '""')) for cell in cells)
    found = table(b"name\n" + body.encode())
    assert [row.text("name") for row in found.rows] == [cell.strip() for cell in cells if cell.strip()]


def test_a_table_with_more_rows_than_anyone_needs_is_read_to_its_limit(monkeypatch):
    monkeypatch.setattr(tables, "MOST_ROWS", 3)
    rows = "a\n1\n2\nx\n4\n\n"
    assert faults_in(lambda f: read_table("t.csv", rows.encode(), ("a",), ("a",), f)) == [
        "t.csv:5: more than 3 rows; allowed: at most 3; no more were read"]
    assert faults_in(lambda f: read_table("t.csv", rows[:-3].encode(), ("a",), ("a",), f)) == []


def test_a_header_as_wide_as_a_book_is_one_fault():
    assert faults_in(lambda f: read_table("t.csv", b"," * 1_000_000, ("a",), ("a",), f)) == [
        "t.csv: the file is empty; allowed: a first line with the columns a"]
    assert faults_in(lambda f: read_table("t.csv", b"a" + b",x" * 1_000_000, ("a", "b"), ("a",), f)) == [
        "t.csv:1: header: 1000001 columns; allowed: the columns a, b"]
