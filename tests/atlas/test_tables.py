"""The packed tables: they unpack to what was packed, are small, load quickly, and only when they are asked for."""

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from seasonplan.atlas.tables import coast, folded, stations, towns
from seasonplan.data.packed import Packed, pack
from seasonplan.units import BELIEVABLE

DATA = Path(__file__).parents[2] / "seasonplan" / "data"
MOST_BYTES = 1_200_000


def test_what_is_packed_comes_back():
    columns = {"steps": np.arange(-500, 500, dtype=np.int16), "wild": np.array([7, -3, 250_000], np.int32),
               "months": np.arange(36, dtype=np.int16).reshape(12, 3), "bytes": np.array([255, 0, 7], np.uint8),
               "names": ["Łódź", "", "Köln"]}
    packed = Packed(pack(columns))
    for name, values in columns.items():
        if name == "names":
            assert packed.text(name).split("\n") == values
        else:
            assert np.array_equal(packed.numbers(name), values) and packed.numbers(name).dtype == values.dtype
    assert pack(columns) == pack(columns)


def test_the_tables_are_small():
    assert sum(path.stat().st_size for path in DATA.glob("*.bin")) < MOST_BYTES


def test_the_stations_are_believable():
    table = stations()
    assert len(table.names) == len(table.latitude) == table.low_c.shape[1] == 12_537
    assert table.low_c.min() > -70 and table.low_c.max() < 40 and np.nanmin(table.high_c - table.low_c) > 0
    assert np.isnan(table.high_c).any(axis=0).mean() < 0.02
    rows, hours = table.sparse("sun")
    assert hours.shape == (12, len(rows)) and len(rows) > 1_600 and hours.max() <= 24
    rows, days = table.sparse("frost")
    assert len(rows) > 2_900 and days.max() <= 31


def test_the_towns_are_whole():
    table = towns()
    columns = (table.names, table.also, table.countries, table.regions, table.zone_row, table.latitude, table.people)
    assert {len(column) for column in columns} == {32_847}
    leeds = table.names.index("Leeds")
    assert (table.countries[leeds], table.zones[table.zone_row[leeds]]) == ("GB", "Europe/London")
    assert table.latitude[leeds] == pytest.approx(53.80, abs=0.01) and table.elevation_m[leeds] < 100


@pytest.mark.parametrize(("column", "quantity"), [("elevation_m", "elevation_m"), ("latitude", "latitude"),
                                                  ("longitude", "longitude")])
def test_every_town_can_be_planned_for(column, quantity):
    """Tromsø, Suva, Hastings and others: the source has no height where its terrain model sees the sea."""
    low, high = BELIEVABLE[quantity]
    values = getattr(towns(), column)
    assert values.min() >= low and values.max() <= high


def test_shores_lie_near_the_sea():
    latitude, longitude = coast()
    assert len(latitude) > 20_000 and np.abs(latitude).max() <= 90 and np.abs(longitude).max() <= 180


@pytest.mark.parametrize(("typed", "plain"), [
    ("Łódź", "lodz"), ("Saint-Étienne", "st etienne"), ("St. John’s", "st johns"), ("Straße", "strasse"),
    ("Fort  Worth", "ft worth"), ("Zürich\nSão Paulo", "zurich\nsao paulo")])
def test_names_are_folded(typed, plain):
    assert folded(typed) == plain


def test_no_table_is_loaded_before_a_garden_is_read():
    """Counted as opened files of the package's data. (A garden's own normals are held against the stations.)"""
    code = ("import sys; opened = []\n"
            "sys.addaudithook(lambda event, args: opened.append(str(args[0])) if event == 'open' else None)\n"
            "import seasonplan.cli, seasonplan.inputs.scenario, seasonplan.inputs.towns\n"
            "from seasonplan.inputs.catalogue import understand\n"
            "understand('Pothos')\n"
            "print([name for name in opened if name.endswith('.bin')])")
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert out.strip() == "[]"
