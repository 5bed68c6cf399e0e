"""Rows of plants.csv and places of scenario.toml, changed as text: what was not touched keeps its bytes as far as the
format allows, and the whole folder is checked as the commands check it before anything is written."""

from __future__ import annotations

import csv
import io
import re
import tomllib
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from seasonplan.errors import Fault, InputFaults
from seasonplan.files import Held
from seasonplan.inputs.decoding import encoding_of, separator_of
from seasonplan.inputs.places import COMMON_KEYS, INDOOR_KEYS, OUTDOOR_KEYS
from seasonplan.inputs.scenario import PLANTS, SCENARIO, read_scenario, wanted_files
from seasonplan.units import c_to_fahrenheit, fahrenheit_to_c

PLANT_FIELDS = ("name", "taxon", "count", "pot_cm", "place", "last_repotted", "last_leached", "root_bound", "pests",
                "harm_c", "harm_hardened_c", "comfort_c", "light_high_mol", "arrived", "left", "notes")
"""Columns that the page offers."""
PLACE_FIELDS = {"outdoor": (*COMMON_KEYS, *OUTDOOR_KEYS), "indoor": (*COMMON_KEYS, *INDOOR_KEYS)}
TEXT_KEYS = ("name", "kind", "glazing", "curtain")
TRUTHS = {"yes": "true", "true": "true", "no": "false", "false": "false"}
BLOCK = re.compile(r"^[ \t]*\[\[[ \t]*place[ \t]*\]\]", re.MULTILINE)
NEXT_TABLE = re.compile(r"^[ \t]*\[", re.MULTILINE)
NUMBER = re.compile(r"[+-]?\d+(?:\.\d+)?")
READINGS = "readings.csv"
Fetch = Callable[[str], bytes] | None


def checked(held: Held, changes: Mapping[str, bytes], folder: Path, fetch: Fetch) -> dict[str, bytes]:
    """The changes, where the folder with them is in order. Raises InputFaults with all that is not."""
    scenario_toml = changes.get(SCENARIO) or held.read(SCENARIO)
    texts = {}
    for name in (SCENARIO, *wanted_files(scenario_toml)):
        data = changes[name] if name in changes else held.read(name)
        if data is not None:
            texts[name] = data
    read_scenario(texts, str(folder), fetch)
    return dict(changes)


def with_plant(data: bytes, name: str, values: Mapping[str, str]) -> bytes:
    """plants.csv with one row's cells changed; name "" for a row more. A column that is missing is added."""
    encoding = encoding_of(data)
    text = data.decode(encoding)
    separator, body = separator_of(text)
    told = text[:text.index("\n") + 1] if body is not text else ""
    rows = list(csv.reader(io.StringIO(body.lstrip("\n") if told else body, newline=""), delimiter=separator))
    head = next(n for n, row in enumerate(rows) if any(cell.strip() for cell in row))
    columns = [cell.strip().lower() for cell in rows[head]]
    for key in (key for key, value in values.items() if value and key not in columns):
        columns.append(key)
        rows[head].append(key)
    row = next((row for row in rows[head + 1:] if row and _cell(row, columns, "name") == name), None) if name else None
    if name and row is None:
        raise InputFaults([Fault(PLANTS, 0, "", f"there is no plant '{name}' any more", "a plant of plants.csv",
                                 "Was the file changed meanwhile? Look at the page again.")])
    if row is None:
        while len(rows) > head + 1 and not any(cell.strip() for cell in rows[-1]):
            rows.pop()
        rows.append(row := [])
    for key, value in values.items():
        if key in columns:
            row += [""] * (columns.index(key) + 1 - len(row))
            row[columns.index(key)] = value
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=separator, lineterminator="\r\n" if "\r\n" in text else "\n").writerows(rows)
    return (told + out.getvalue()).encode(encoding)


def readings_file(scenario_toml: bytes) -> str:
    """The file in the folder that readings go into."""
    site = tomllib.loads(scenario_toml.decode(encoding_of(scenario_toml))).get("site", {})
    name = site.get("readings", READINGS) if isinstance(site, dict) else READINGS
    if not isinstance(name, str) or name != Path(name).name or name in ("", ".", ".."):
        raise InputFaults([Fault(SCENARIO, 0, "[site] readings", f"{name!r} is no file in the garden's folder",
                                 "a plain name such as readings.csv")])
    return name


def with_reading(data: bytes | None, day: str, place: str, low: str, imperial: bool) -> bytes:
    """A table of readings with one more; a new one in the person's unit where there is none. What is no number is put
    down as it is, so that the reader says what is wrong."""
    text = (data or b"").decode(encoding_of(data or b""))
    if not text.strip():
        text = f"date,place,{'tmin_f' if imperial else 'tmin_c'}\n"
    separator, body = separator_of(text)
    columns = next(csv.reader(io.StringIO(body.lstrip("\n"), newline=""), delimiter=separator))
    columns = [column.strip().lower() for column in columns]
    value = low.replace(",", ".")
    if NUMBER.fullmatch(value) and imperial != ("tmin_f" in columns):
        value = f"{fahrenheit_to_c(float(value)) if imperial else c_to_fahrenheit(float(value)):.1f}"
    cells = {"date": day, "place": place, "tmin_c": value, "tmin_f": value}
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=separator, lineterminator="\r\n" if "\r\n" in text else "\n").writerow(
        [cells.get(column, "") for column in columns])
    return ((text if text.endswith("\n") else text + "\n") + out.getvalue()).encode(encoding_of(data or b""))


def _cell(row: Sequence[str], columns: Sequence[str], key: str) -> str:
    at = columns.index(key) if key in columns else -1
    return " ".join(row[at].split()) if 0 <= at < len(row) else ""


def with_place(data: bytes, name: str, values: Mapping[str, str]) -> bytes:
    """scenario.toml with one place's keys changed, those left empty taken away; name "" for a place more."""
    encoding = encoding_of(data)
    text = data.decode(encoding)
    before = tomllib.loads(text)
    lines = {key: f"{key} = {_toml(key, value)}" for key, value in values.items() if value}
    if not name:
        ended = text if text.endswith("\n") else text + "\n"
        return (ended + "\n[[place]]\n" + "\n".join(lines.values()) + "\n").encode(encoding)
    start, end = _block(text, before, name)
    block = text[start:end]
    for key in values:
        block = _with_key(block, key, lines.get(key))
    changed = text[:start] + block + text[end:]
    _only_that(before, tomllib.loads(changed), name)
    return changed.encode(encoding)


def _toml(key: str, value: str) -> str:
    """A value as TOML writes it; what is no number where one is due stays text, and the reader says so."""
    if key in TEXT_KEYS or key == "faces" and not NUMBER.fullmatch(value):
        return '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'
    if key == "wall_behind":
        return TRUTHS.get(value.lower(), f'"{value}"')
    return value if NUMBER.fullmatch(value) else '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _block(text: str, document: Mapping, name: str) -> tuple[int, int]:
    """Where a place's block starts and ends."""
    places = document.get("place", [])
    starts = [found.start() for found in BLOCK.finditer(text)]
    at = next((n for n, place in enumerate(places) if " ".join(str(place.get("name", "")).split()) == name), None)
    if at is None or len(starts) != len(places):
        raise InputFaults([Fault(SCENARIO, 0, "[[place]]", f"the place '{name}' cannot be found as a block of its own",
                                 "one [[place]] block for each place", "Change it in the file itself.")])
    following = NEXT_TABLE.search(text, text.index("\n", starts[at]))
    return starts[at], following.start() if following else len(text)


def _with_key(block: str, key: str, line: str | None) -> str:
    """A block with one key's line put, replaced or (None) taken away; a comment behind it stays."""
    found = re.search(rf"^[ \t]*{re.escape(key)}[ \t]*=[^\n]*$", block, re.MULTILINE)
    if found is None:
        body = block.rstrip()
        return block if line is None else f"{body}\n{line}{block[len(body):] or chr(10)}"
    if line is None:
        return block[:found.start()] + block[found.end():].removeprefix("\n")
    comment = re.search(r"\s+#[^\"'\n]*$", found[0])
    return block[:found.start()] + line + (comment[0] if comment else "") + block[found.end():]


def _only_that(before: Mapping, after: Mapping, name: str) -> None:
    """Raises InputFaults where the change of text has changed more than the one place."""
    def others(document: Mapping) -> tuple:
        places = document.get("place", [])
        return ({key: value for key, value in document.items() if key != "place"}, len(places),
                [place for place in places if " ".join(str(place.get("name", "")).split()) != name])

    if others(before) != others(after):
        raise InputFaults([Fault(SCENARIO, 0, "[[place]]", f"'{name}' is written in a way that the page cannot change",
                                 "one key a line", "Change it in the file itself.")])


def place_values(data: bytes, name: str) -> dict[str, str]:
    """What scenario.toml says of a place, as the page shows it."""
    for place in tomllib.loads(data.decode(encoding_of(data))).get("place", []):
        if " ".join(str(place.get("name", "")).split()) == name:
            return {key: ("yes" if value else "no") if isinstance(value, bool) else str(value)
                    for key, value in place.items()}
    return {}


def plant_values(data: bytes, name: str) -> dict[str, str]:
    """What plants.csv says of a plant, cell by cell."""
    text = data.decode(encoding_of(data))
    separator, body = separator_of(text)
    every = csv.reader(io.StringIO(body, newline=""), delimiter=separator)
    rows = [row for row in every if any(cell.strip() for cell in row)]
    columns = [cell.strip().lower() for cell in rows[0]] if rows else []
    row = next((row for row in rows[1:] if _cell(row, columns, "name") == name), [])
    return {key: _cell(row, columns, key) for key in columns} if row else {}

