"""What a person answers to `start`, read and checked: where, plants, windows, places outdoors, household, time."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Whereabouts:
    """town: as scenario.toml names it, "" where latitude and longitude say it [degrees]. imperial: how its country
    measures. told: what was understood, a sentence without its stop."""

    town: str
    name: str
    latitude: float
    longitude: float
    imperial: bool = False
    told: str = ""


@dataclass(frozen=True)
class NewPlace:
    """A place to write down: `keys` are those of [[place]] beyond name and kind, in the order to be written; about:
    what its leaf_shade was taken from."""

    name: str
    kind: str
    keys: tuple[tuple[str, object], ...] = ()
    about: str = ""


@dataclass(frozen=True)
class NewPlant:
    """A row of plants.csv. sun: its class (deep-shade, shade, part-sun, sun). own: harm_c, comfort_c [°C] and
    light_high_mol of a plant that is in no table, else None. told: what was understood of the typed name, a sentence,
    empty where it is the plant's own. place: "" until a window is named."""

    name: str
    taxon: str
    sun: str
    count: int = 1
    pot_cm: float | None = None
    own: tuple[float, float, float] | None = None
    told: str = ""
    place: str = ""


@dataclass(frozen=True)
class Answers:
    """All that `start` asks. None: not answered yet; () for windows and places outdoors: the usual ones are assumed.
    household: (children, pets). time: (days as mon..sun, () for any; minutes on such a day)."""

    where: Whereabouts
    plants: tuple[NewPlant, ...] | None = None
    windows: tuple[NewPlace, ...] = ()
    outdoors: tuple[NewPlace, ...] = ()
    household: tuple[bool, bool] | None = None
    time: tuple[tuple[str, ...], int] | None = None
