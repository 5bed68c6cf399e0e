"""The files of an invented scenario, as text, for tests of the readers. Nothing here is a real place or collection."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from seasonplan.errors import InputFaults
from seasonplan.inputs.gathering import Faults
from seasonplan.inputs.scenario import read_scenario
from seasonplan.model import Scenario

SITE = '[site]\nname = "Invented yard"\nlatitude = 44.5\nlongitude = -93.0\nelevation_m = 250\n'
ZONE = 'timezone = "America/Chicago"\n'
PLACES = ('\n[[place]]\nname = "south window"\nkind = "indoor"\nfaces = "s"\nwindow_width_m = 1.4\n'
          '\n[[place]]\nname = "porch"\nkind = "outdoor"\nfaces = "e"\nwall_behind = true\n')
PLANTS = ("name,taxon,count,pot_cm,place\nLemon,Citrus x limon,1,30,south window\n"
          "Ferns,Boston fern,2,20,south window\n")
LOWS_C = (-12.0, -10.5, -5.0, 1.0, 7.5, 12.8, 15.5, 14.4, 9.2, 3.2, -3.0, -9.0)
NORMALS = "month,tmin_c\n" + "".join(f"{month},{low:g}\n" for month, low in enumerate(LOWS_C, start=1))


def texts(toml: str = SITE + ZONE + PLACES, plants: str = PLANTS, normals: str | None = NORMALS,
          **others: str | bytes) -> dict[str, bytes]:
    """File name to bytes; others: nights="...", log="..."."""
    given = {"scenario.toml": toml, "plants.csv": plants, **({} if normals is None else {"normals.csv": normals}),
             **{f"{name}.csv": text for name, text in others.items()}}
    return {name: text.encode() if isinstance(text, str) else text for name, text in given.items()}


def read(*args, **given) -> Scenario:
    """The scenario that `texts` makes."""
    return read_scenario(texts(*args, **given), "folder")


def faults_of(*args, **given) -> list[str]:
    """The faults of the scenario that `texts` makes, as they are printed; none when it can be read."""
    try:
        read(*args, **given)
    except InputFaults as error:
        return [str(fault) for fault in error.faults]
    return []


def taken(reader: Callable[[Faults], Any]) -> Any:
    """What a single reader gives when it notes no fault."""
    faults = Faults()
    found = reader(faults)
    assert not faults.found, faults.found
    return found


def faults_in(reader: Callable[[Faults], object]) -> list[str]:
    """What a single reader notes."""
    faults = Faults()
    reader(faults)
    return [str(fault) for fault in faults.found]
