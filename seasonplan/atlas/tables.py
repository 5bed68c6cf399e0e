"""The tables of stations and towns, unpacked when they are first asked for; where they come from stands in
data/atlas_credits.csv, how they are built in tests/atlas/build.py."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from functools import cache, cached_property

import numpy as np

from seasonplan.data.packed import Packed, read_packed

BARRED = str.maketrans({"ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "æ": "ae", "œ": "oe", "ı": "i", "ħ": "h",
                        "ə": "a", "’": "", "'": "", "‘": "", "ʻ": "", "`": "", "´": ""})
SHORTENED = {"saint": "st", "sankt": "st", "sainte": "ste", "mount": "mt", "fort": "ft"}
_ACCENTS = re.compile("[\u0300-\u036f]+")
_BETWEEN = re.compile(r"[^\w\n]+|_+")
_LONG = re.compile(rf"\b({'|'.join(SHORTENED)})\b")


def folded(name: str) -> str:
    """A town's name without what people vary: case, accents, hyphens, dots, apostrophes, Saint for St. Several names
    may stand in it by line."""
    bare = name.casefold().translate(BARRED)
    if not bare.isascii():
        bare = _ACCENTS.sub("", unicodedata.normalize("NFKD", bare))
    spaced = _BETWEEN.sub(" ", bare)
    return "\n".join(line.strip() for line in _LONG.sub(lambda word: SHORTENED[word[0]], spaced).split("\n"))


@dataclass(frozen=True)
class Stations:
    """The stations: monthly normals (12, n), positions and what surrounds them (n,)."""

    packed: Packed
    COAST_STEPS = 200
    """Steps in which the share of shore is kept."""
    UNKNOWN = -999

    @cached_property
    def latitude(self) -> np.ndarray:
        return self.packed.numbers("latitude") / 100

    @cached_property
    def longitude(self) -> np.ndarray:
        return self.packed.numbers("longitude") / 100

    @cached_property
    def elevation_m(self) -> np.ndarray:
        return self.packed.numbers("elevation").astype(float)

    @cached_property
    def low_c(self) -> np.ndarray:
        """Mean daily minimum of each month [°C]."""
        return self.packed.numbers("low") / 10

    @cached_property
    def high_c(self) -> np.ndarray:
        """Mean daily maximum of each month [°C], NaN where the station does not tell it."""
        span = self.packed.numbers("range")
        return self.low_c + np.where(span == self.UNKNOWN, np.nan, span / 10)

    @cached_property
    def coast(self) -> np.ndarray:
        """How much of the sea is felt, see nearby.coast_share."""
        return self.packed.numbers("coast") / self.COAST_STEPS

    @cached_property
    def relief_m(self) -> np.ndarray:
        """Height above the country round about, see nearby.relief."""
        return self.packed.numbers("relief").astype(float)

    @cached_property
    def names(self) -> list[str]:
        return self.packed.text("name").split("\n")

    def sparse(self, quantity: str) -> tuple[np.ndarray, np.ndarray]:
        """(rows (k,), values (12, k)) of what only some stations tell: "sun" [hours a day], "frost" [days]."""
        return self.packed.numbers(f"{quantity}_row"), self.packed.numbers(quantity) / 10


@dataclass(frozen=True)
class Towns:
    """The towns, in no order that means anything; columns as lists and arrays (n,)."""

    packed: Packed
    SEA_M, SHORE_M = -9999, 5.0
    """What the source says of 50 towns whose point its terrain model has in the sea, and the height taken for them: our
    setting."""

    @cached_property
    def names(self) -> list[str]:
        return self.packed.text("name").split("\n")

    @cached_property
    def also(self) -> list[str]:
        """Other names, folded, joined by |; empty for towns of under 100,000 people."""
        return self.packed.text("also").split("\n")

    @cached_property
    def countries(self) -> list[str]:
        """ISO 3166 codes."""
        return self.packed.text("country").split("\n")

    @cached_property
    def regions(self) -> list[str]:
        """Codes of states and provinces; data/regions.csv names some."""
        return self.packed.text("region").split("\n")

    @cached_property
    def zones(self) -> list[str]:
        """All time zones; zone_row tells which is a town's."""
        return self.packed.text("zone").split("\n")

    @cached_property
    def zone_row(self) -> np.ndarray:
        return self.packed.numbers("zone_row")

    @cached_property
    def latitude(self) -> np.ndarray:
        return self.packed.numbers("latitude") / 100

    @cached_property
    def longitude(self) -> np.ndarray:
        return self.packed.numbers("longitude") / 100

    @cached_property
    def elevation_m(self) -> np.ndarray:
        height_m = self.packed.numbers("elevation").astype(float)
        return np.where(height_m == self.SEA_M, self.SHORE_M, height_m)

    @cached_property
    def people(self) -> np.ndarray:
        return self.packed.numbers("people") * 100


@cache
def stations() -> Stations:
    return Stations(read_packed("stations"))


@cache
def towns() -> Towns:
    return Towns(read_packed("towns"))


@cache
def coast() -> tuple[np.ndarray, np.ndarray]:
    """Latitude and longitude [degrees] of points along the shores of the seas."""
    packed = read_packed("coast")
    return packed.numbers("latitude") / 100, packed.numbers("longitude") / 100
