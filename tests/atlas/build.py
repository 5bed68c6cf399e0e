"""Builds the package's packed tables from their text form: `python tests/atlas/build.py FOLDER`.

FOLDER holds stations.csv.xz, towns.tsv.xz and other-names.tsv.xz (columns below), and land-50m.json, the land of the
Natural Earth 1:50m map (public domain) as the npm package world-atlas 2.0.2 carries it. Written: seasonplan/data/
stations.bin, towns.bin and coast.bin. The same text gives the same bytes.

Stations far from what their neighbours say (check_far_from_neighbours) are left out, and days of frost of a station
that tells more than a month has, or of a country that counts something else. Normals are kept to 0.1 °C, sunshine to
0.1 h a day, days of frost to 0.1, positions to 0.01 degrees, people to hundreds.
"""

from __future__ import annotations

import json
import lzma
import re
import sys
from io import StringIO
from pathlib import Path

import numpy as np
import pandas as pd

from seasonplan.atlas.nearby import CoastPoints, Heights, coast_share, relief
from seasonplan.atlas.tables import Stations, folded
from seasonplan.data.packed import pack

DATA = Path(__file__).parents[2] / "seasonplan" / "data"
MONTH_DAYS = np.array([31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31])
COAST_STEP_KM = 12.0
FROST_IS_OTHER = ("Armenia", "Mongolia")
"""Countries whose days of frost do not fit their mean lows (13 a month too few near 0 °C: days below 0 all day?)."""
KM_PER_DEGREE = 111.2
ALIKE = str.maketrans("АВЕКМНОРСТХ", "ABEKMHOPCTX")
"""Cyrillic capitals that stand in station names for the Latin ones they look like."""
SHORT = {"n": "N", "s": "S", "e": "E", "w": "W", "nw": "NW", "sw": "SW", "ne": "NE", "se": "SE", "nne": "NNE",
         "ene": "ENE", "ese": "ESE", "sse": "SSE", "ssw": "SSW", "wsw": "WSW", "wnw": "WNW", "nnw": "NNW",
         "ap": "airport", "intl": "international", "rgnl": "regional", "muni": "municipal"}


def station_name(raw: str) -> str:
    """"AlgerDarElBeida", "TUPELO_RGNL_AP" as a reader would write them."""
    words = re.sub(r"(?<=[a-z])(?=[A-Z0-9])", " ", raw.translate(ALIKE).replace("_", " ")).split()
    loud = raw.upper() == raw
    return " ".join(SHORT.get(word.lower(), word.capitalize() if loud else word) for word in words)


def coast_points(land: dict) -> np.ndarray:
    """(n, 2) latitude and longitude [degrees] along the shores, about COAST_STEP_KM apart."""
    scale, shift = (np.array(land["transform"][key]) for key in ("scale", "translate"))
    found = []
    for arc in land["arcs"]:
        lon, lat = (np.cumsum(np.array(arc), axis=0) * scale + shift).T
        edge = np.abs(lon) > 179.9
        step = np.hypot(np.diff(lon) * np.cos(np.radians(lat[:-1])), np.diff(lat)) * KM_PER_DEGREE
        step[edge[:-1] & edge[1:]] = 0.0
        along = np.concatenate([[0.0], np.cumsum(step)])
        at = np.arange(0.0, along[-1], COAST_STEP_KM)
        found.append(np.stack([np.interp(at, along, lat), np.interp(at, along, lon)], axis=1))
    return np.concatenate(found)


def in_patches(lat: np.ndarray, lon: np.ndarray, degrees: float = 2.0) -> np.ndarray:
    """An order in which neighbours on the ground stand near each other."""
    return np.lexsort((lon, np.round(lon / degrees), np.round(lat / degrees)))


def hundredths(degrees: np.ndarray) -> np.ndarray:
    return np.round(degrees * 100).astype(np.int32)


def months(table: pd.DataFrame, quantity: str) -> np.ndarray:
    return table[[f"{quantity}_{m}" for m in range(1, 13)]].to_numpy(dtype=float)


def packed_stations(table: pd.DataFrame, heights: Heights, coast: CoastPoints) -> bytes:
    lat, lon, height = (table[name].to_numpy(dtype=float) for name in ("lat", "lon", "elev_m"))
    low, high = (np.round(months(table, name) * 10) for name in ("tmin", "tmax"))
    sun, frost = months(table, "sun_h") / MONTH_DAYS, months(table, "frost_days")
    columns: dict = {
        "name": [station_name(name) for name in table["name"]],
        "latitude": hundredths(lat), "longitude": hundredths(lon), "elevation": np.round(height).astype(np.int16),
        "low": low.T.astype(np.int16), "range": np.nan_to_num((high - low).T, nan=Stations.UNKNOWN).astype(np.int16),
        "coast": np.round([Stations.COAST_STEPS * coast_share(coast, *at) for at in zip(lat, lon, strict=True)]
                          ).astype(np.uint8),
        "relief": np.round([relief(heights, *at) for at in zip(lat, lon, height, strict=True)]).astype(np.int16)}
    for name, values, kind in (("sun", sun, np.uint8), ("frost", frost, np.int16)):
        whole = (~np.isnan(values) & (values <= 31)).all(axis=1)
        if name == "frost":
            whole &= ~table["country"].isin(FROST_IS_OTHER).to_numpy()
        columns[f"{name}_row"] = np.flatnonzero(whole).astype(np.int16)
        columns[name] = np.round(values[whole] * 10).astype(kind).T.copy()
    return pack(columns)


def packed_towns(table: pd.DataFrame, other: dict[tuple[str, str, str], str]) -> bytes:
    zones = sorted(set(table["timezone"]))
    names = [sorted({plain for name in other.get(key, "").split("|") if (plain := folded(name))} - {folded(key[2])})
             for key in zip(table["country"], table["admin1"], table["name"], strict=True)]
    return pack({
        "name": list(table["name"]), "also": ["|".join(each) for each in names],
        "country": list(table["country"]), "region": list(table["admin1"]), "zone": zones,
        "zone_row": np.searchsorted(zones, table["timezone"]).astype(np.int16),
        "latitude": hundredths(table["lat"].to_numpy()), "longitude": hundredths(table["lon"].to_numpy()),
        "elevation": table["elevation_m"].to_numpy().astype(np.int16),
        "people": (table["population"].to_numpy() // 100).astype(np.int32)})


def main(folder: Path) -> None:
    def text(name: str) -> str:
        return lzma.decompress((folder / name).read_bytes()).decode("utf-8")

    stations = pd.read_csv(StringIO(text("stations.csv.xz")))
    stations = stations[stations["check_far_from_neighbours"] == 0]
    stations = stations.iloc[in_patches(stations["lat"].to_numpy(), stations["lon"].to_numpy())]
    towns = pd.read_csv(StringIO(text("towns.tsv.xz")), sep="\t", keep_default_na=False)
    towns = towns.iloc[np.lexsort((towns["lat"], towns["admin1"], towns["country"]))]
    others = pd.read_csv(StringIO(text("other-names.tsv.xz")), sep="\t", keep_default_na=False)
    other = {(row.country, row.admin1, row.name): row.other_names
             for row in others.set_index("name", drop=False).itertuples(index=False)}
    coast = CoastPoints(*coast_points(json.loads((folder / "land-50m.json").read_text())).T)
    heights = Heights(*(np.concatenate([stations[one].to_numpy(dtype=float), towns[two].to_numpy(dtype=float)])
                        for one, two in (("lat", "lat"), ("lon", "lon"), ("elev_m", "elevation_m"))))
    shore = pack({"latitude": hundredths(coast.latitude), "longitude": hundredths(coast.longitude)})
    for name, data in (("stations", packed_stations(stations, heights, coast)), ("towns", packed_towns(towns, other)),
                       ("coast", shore)):
        (DATA / f"{name}.bin").write_bytes(data)
        print(f"{name}.bin {len(data)} bytes")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
