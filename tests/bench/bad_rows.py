"""A million bad rows in each file of a scenario: processor seconds until every fault that is told has been told.

    python tests/bench/bad_rows.py [ROWS]
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])]

from invented_files import texts  # noqa: E402

from seasonplan.errors import InputFaults  # noqa: E402
from seasonplan.inputs.scenario import read_scenario  # noqa: E402

KINDS = {
    "plants.csv, unknown taxa": ("plants.csv", "name,taxon,count,pot_cm,place", "Plant {n},Nonesuch {n},1,20,"),
    "plants.csv, faultless": ("plants.csv", "name,taxon,count,place", "Plant {n},Ficus elastica,1,south window"),
    "plants.csv, one name": ("plants.csv", "name,taxon,count,place", "Fig,Ficus elastica,x,south window"),
    "log.csv, no dates": ("log.csv", "date,step,plant,place", "someday,repot,Lemon,"),
    "log.csv, unknown plants": ("log.csv", "date,step,plant,place", "2027-05-01,repot,Plant {n},"),
    "nights.csv, no numbers": ("nights.csv", "date,tmin_c", "2001-01-01,warm"),
    "nights.csv, an archive": ("nights.csv", "STATION,DATE,TMIN,TMAX", "X{n},2001-01-01,warm,4"),
    "nights.csv, daily archive": ("nights.csv", "USW00094728,20010101,TMIN,10,,,S,", "USW00094728,200101,TMIN,x,,,S,"),
    "normals.csv, no months": ("normals.csv", "month,tmin_c", "{n},4"),
    "scenario.toml, unknown keys": ("scenario.toml", "[site]", "key_{n} = 1"),
    "plants.csv, too many cells": ("plants.csv", "name,taxon,count,pot_cm,place", "a,b,c,d,e,f,g"),
    "plants.csv, a quotation mark": ("plants.csv", "name,taxon,count,pot_cm,place", '"open'),
}


def main(rows: int) -> None:
    for kind, (file, header, row) in KINDS.items():
        given = texts()
        given[file] = "\n".join([header, *(row.format(n=n) for n in range(rows)), ""]).encode()
        begun = time.process_time()
        try:
            read_scenario(given, "folder")
            told = "no fault"
        except InputFaults as error:
            told = f"{len(str(error).splitlines())} lines told, the last: {str(error).splitlines()[-1][:90]}"
        print(f"{kind:30} {len(given[file]) / 2**20:5.1f} MiB {time.process_time() - begun:6.1f} s  {told}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000)
