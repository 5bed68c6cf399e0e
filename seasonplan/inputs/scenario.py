"""A scenario folder's files, read into one `Scenario`, or every fault in them told at once.

scenario.toml and plants.csv must be there; the normals (else they are estimated), the record and log.csv may.
What
each file may hold is told in its own module: site, places, plants, normals (and national), record (and archive), log.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import partial
from typing import Any

from seasonplan.dates import planning_start
from seasonplan.errors import SourceUnavailable
from seasonplan.inputs.away import read_away
from seasonplan.inputs.beside import beside_stations, estimated_at
from seasonplan.inputs.decoding import read_text
from seasonplan.inputs.gathering import Faults, is_plain, same_name, shown
from seasonplan.inputs.log import read_log
from seasonplan.inputs.normals import read_normals
from seasonplan.inputs.places import read_places
from seasonplan.inputs.plants import Surroundings, read_plants
from seasonplan.inputs.readings import read_readings
from seasonplan.inputs.record import read_record
from seasonplan.inputs.site import read_rules, read_site, usual_rules
from seasonplan.inputs.toml_lines import Section, key_lines, parse_toml
from seasonplan.inputs.values import choice, line_of_text
from seasonplan.model import SD_KINDS, LogEntry, Normals, Place, Plant, Reading, Record, Rules, Scenario, Site

SCENARIO, PLANTS, LOG, AWAY = "scenario.toml", "plants.csv", "log.csv", "away.csv"
DEFAULT_FILES = {"normals": "normals.csv", "record": "nights.csv", "readings": "readings.csv"}
TABLES = ("site", "rules", "place", "away")
Fetch = Callable[[str], bytes]


@dataclass(frozen=True)
class Document:
    """scenario.toml, split into its tables; None for one that is of the wrong kind (its fault is noted)."""

    site: Section | None
    rules: Section | None
    places: list[Section] | None
    away: list[Section] | None

    def given(self, key: str) -> bool:
        """Whether [site] has this key."""
        return self.site is not None and key in self.site.values


def read_scenario(texts: Mapping[str, bytes], folder: str, fetch: Fetch | None = None) -> Scenario:
    """The scenario in `texts` (file name to bytes, see `wanted_files`).

    fetch: gets the normals when [site] names a URL for them. Raises InputFaults with all faults of all files,
    SourceUnavailable when a URL is named and cannot be fetched.
    """
    faults = Faults()
    scenario = faults.bounded(lambda: _scenario(texts, folder, fetch, faults))
    faults.raise_if_any()
    assert scenario is not None
    return scenario


def _scenario(texts: Mapping[str, bytes], folder: str, fetch: Fetch | None, faults: Faults) -> Scenario:
    notes = list[str]()
    document = _document(texts, faults)
    site, rules = _site_and_rules(document, notes)
    places, place_optional = _places(document, site, faults, notes)
    around = Surroundings(None if places is None else {same_name(place.name): place for place in places},
                          place_optional, _last_day(site, rules))
    plants = _plants(texts, around, faults, notes)
    log = _log(texts, plants, places, faults, notes)
    away = read_away(document.away if document and document.away else (), AWAY, texts.get(AWAY), faults)
    record = _record(document, texts, faults)
    readings = _readings(document, texts, places, faults)
    normals = _with_sd_kind(_normals(document, texts, fetch, site, faults), document, notes)
    faults.raise_if_any()
    assert normals is not None and plants is not None and places is not None
    if normals.estimate is None:
        normals = beside_stations(normals, site, rules.units)
    return Scenario(site, rules, places, plants, normals, record, log, away, tuple(dict.fromkeys(notes)), folder,
                    readings)


def wanted_files(scenario_toml: bytes | None) -> tuple[str, ...]:
    """Names of all files that a scenario may consist of, relative to its folder; never fails."""
    named = _named_files(scenario_toml).values()
    return (SCENARIO, PLANTS, LOG, AWAY, *(name.strip() for name in named if isinstance(name, str) and name.strip()
                                     and all(map(is_plain, name)) and not is_url(name)))


def readings_file(scenario_toml: bytes | None) -> str:
    """The name of the file with the person's readings, in a folder whose scenario has been read."""
    return str(_named_files(scenario_toml)["readings"]).strip()


def _named_files(scenario_toml: bytes | None) -> dict[str, object]:
    text = read_text(SCENARIO, scenario_toml or b"", Faults())
    site = (parse_toml(SCENARIO, text or "", Faults()) or {}).get("site")
    given = site if isinstance(site, dict) else {}
    return {key: given.get(key, usual) for key, usual in DEFAULT_FILES.items()}


def is_url(name: str) -> bool:
    """Whether a file name is to be fetched."""
    return name.casefold().startswith(("http://", "https://"))


def _document(texts: Mapping[str, bytes], faults: Faults) -> Document | None:
    """None, its fault noted, when the file cannot be read at all."""
    if not _there(texts, SCENARIO, faults, "the file with [site], [rules] and [[place]]"):
        return None
    text = read_text(SCENARIO, texts[SCENARIO], faults)
    values = None if text is None else parse_toml(SCENARIO, text, faults)
    if text is None or values is None:
        return None
    lines = key_lines(text)
    Section(SCENARIO, "", values, lines, (), faults).only(TABLES)
    site, rules = (None if (table := _table(values, name, lines, faults)) is None else
                   Section(SCENARIO, f"[{name}]", table, lines, (name,), faults) for name in ("site", "rules"))
    places, away = (_list(values, name, lines, faults) for name in ("place", "away"))
    return Document(site, rules, None if places is None else [
        Section(SCENARIO, f"[[place]] {shown(place.get('name', n + 1))}", place, lines, ("place", n), faults)
        for n, place in enumerate(places)], None if away is None else [
        Section(SCENARIO, f"[[away]] {n + 1}", each, lines, ("away", n), faults) for n, each in enumerate(away)])


def _there(texts: Mapping[str, bytes], file: str, faults: Faults, what: str) -> bool:
    if file not in texts:
        faults.add(file, 0, "", "there is no such file in the folder", what)
    return file in texts


def _table(values: dict[str, Any], name: str, lines: Mapping, faults: Faults) -> dict[str, Any] | None:
    table = values.get(name, {})
    if isinstance(table, dict):
        return table
    faults.add(SCENARIO, lines.get((name,)) or lines.get((name, 0)) or 1, name, "it is not one table",
               f"one table, [{name}]", "Single brackets, once.")
    return None


def _list(values: dict[str, Any], name: str, lines: Mapping, faults: Faults) -> list[dict[str, Any]] | None:
    tables = values.get(name, [])
    if isinstance(tables, list) and all(isinstance(each, dict) for each in tables):
        return tables
    faults.add(SCENARIO, lines.get((name,), 1), name, "it is not a list of tables",
               f"[[{name}]] with double brackets, once for each")
    return None


def _site_and_rules(document: Document | None, notes: list[str]) -> tuple[Site, Rules]:
    """Stand-ins for what cannot be read; its fault is noted."""
    site = Site("", 0.0, 0.0)
    imperial = False
    if document and document.site:
        site, about_it, imperial = read_site(document.site)
        notes += about_it
    rules = read_rules(document.rules, imperial) if document and document.rules else usual_rules(imperial)
    return site, rules


def _places(document: Document | None, site: Site, faults: Faults,
            notes: list[str]) -> tuple[tuple[Place, ...] | None, bool]:
    """(places, whether plants may leave theirs out); None when not all could be read, so that no plant is blamed."""
    if document is None or document.places is None:
        return None, True
    before = len(faults.found)
    places, optional = read_places(document.places, site.latitude_deg)
    if len(faults.found) > before:
        return None, True
    notes += [note for place in places for note in place.assumed]
    return places, optional


def _last_day(site: Site, rules: Rules) -> date | None:
    """Last day of the planning year, when it is given."""
    return None if rules.year is None else planning_start(rules.year + 1, site.latitude_deg) - timedelta(days=1)


def _plants(texts: Mapping[str, bytes], around: Surroundings, faults: Faults,
            notes: list[str]) -> tuple[Plant, ...] | None:
    """None when anything about them is wrong."""
    if not _there(texts, PLANTS, faults, "the plants, one row each"):
        return None
    before = len(faults.found)
    plants, about_them = faults.bounded(lambda: read_plants(PLANTS, texts[PLANTS], around, faults)) or ((), [])
    notes += about_them
    return plants if len(faults.found) == before else None


def _log(texts: Mapping[str, bytes], plants: Collection[Plant] | None, places: Collection[Place] | None, faults: Faults,
         notes: list[str]) -> tuple[LogEntry, ...]:
    if LOG not in texts:
        return ()
    names, where = ([each.name for each in given] if given else None for given in (plants, places))
    entries, about_them = faults.bounded(lambda: read_log(LOG, texts[LOG], names, where, faults)) or ((), [])
    notes += about_them
    return entries


def _file_name(document: Document | None, key: str) -> str | None:
    """The file's name; None, its fault noted, when what was given is no name."""
    if document is None or document.site is None or key not in document.site.values:
        return DEFAULT_FILES[key]
    return document.site.get(key, line_of_text)


def _no_such_file(document: Document | None, key: str, name: str, allowed: str) -> None:
    """A fault on the line that names the file."""
    if document and document.site:
        document.site.fault(key, f'there is no file "{shown(name)}"', allowed)


def _record(document: Document | None, texts: Mapping[str, bytes], faults: Faults) -> Record | None:
    name = _file_name(document, "record")
    if name is not None and name in texts:
        return faults.bounded(lambda: read_record(name, texts[name], faults))
    if name and document and document.given("record"):
        _no_such_file(document, "record", name, "a file in the scenario's folder")
    return None


def _readings(document: Document | None, texts: Mapping[str, bytes], places: Sequence[Place] | None,
              faults: Faults) -> tuple[Reading, ...]:
    name = _file_name(document, "readings")
    if name is not None and name in texts:
        return faults.bounded(lambda: read_readings(name, texts[name], places, faults)) or ()
    if name and document and document.given("readings"):
        _no_such_file(document, "readings", name, "a file in the scenario's folder")
    return ()


def _with_sd_kind(normals: Normals | None, document: Document | None, notes: list[str]) -> Normals | None:
    """The normals with what [site] says their standard deviation is."""
    kind = None if document is None or document.site is None else document.site.get(
        "sd_kind", partial(choice, allowed=SD_KINDS))
    if normals is None or kind is None:
        return normals
    if normals.tmin_sd_c is None:
        notes.append("sd_kind in [site] says what tmin_sd_c is; the normals have no such column, it changes nothing.")
    return replace(normals, sd_kind=kind)


def _normals(document: Document | None, texts: Mapping[str, bytes], fetch: Fetch | None, site: Site,
             faults: Faults) -> Normals | None:
    """Fetches only when nothing else is wrong: what the person wrote comes first. Without a table an estimate."""
    name = _file_name(document, "normals")
    if name is None:
        return None
    if name in texts:
        return faults.bounded(lambda: read_normals(name, texts[name], faults))
    if is_url(name):
        faults.raise_if_any()
        if fetch is None:
            raise SourceUnavailable(name, "the normals are to be fetched from there, and nothing is fetched here")
        fetched = fetch(name)
        return faults.bounded(lambda: read_normals(name, fetched, faults))
    if document and document.given("normals"):
        _no_such_file(document, "normals", name, "a file in the scenario's folder, or a URL")
    elif not faults.found:
        return estimated_at(site)
    return None
