"""What a scenario says, read and checked: nothing here is computed beyond unit conversion and catalogue look-up."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal, NamedTuple

import numpy as np

from seasonplan.model.atlas import Estimate, NearFrost
from seasonplan.model.life import Away, LogEntry
from seasonplan.units import LAPSE_C_PER_M


@dataclass(frozen=True)
class Site:
    """Where it is. Latitude north positive, longitude east positive [degrees].

    station_elevation_m: height of the station behind the normals, None = same as the site.
    night_offset_c: garden minus station on an ordinary night [°C].
    timezone: IANA name, never empty after reading (an unnamed zone is worked out from the longitude and flagged
    in Scenario.assumptions).
    travel_minutes: there and back for somebody who keeps several gardens, 0 = it is at home.
    town: "Leeds, GB" where the site was given as a town, else "".
    """

    name: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float = 0.0
    timezone: str = "UTC"
    station_elevation_m: float | None = None
    night_offset_c: float = 0.0
    travel_minutes: int = 0
    town: str = ""

    @property
    def night_shift_c(self) -> float:
        """What to add to a station's night low to get the site's: offset plus 5 °C per km of height [°C]."""
        if self.station_elevation_m is None:
            return self.night_offset_c
        return self.night_offset_c + LAPSE_C_PER_M * (self.station_elevation_m - self.elevation_m)

    @property
    def normals_height_m(self) -> float:
        """Height of the station whose normals these are [m]: the site's own where none is named."""
        return self.elevation_m if self.station_elevation_m is None else self.station_elevation_m


@dataclass(frozen=True)
class Rules:
    """How the person wants it decided. `year` None means the next season (dates.next_season_year). carries_per_harm:
    how many needless carries a harmed plant is worth. shut: days without moves or work, whatever the day of the week
    (nobody is there, or the day belongs to another garden); no key of scenario.toml."""

    year: int | None = None
    policy: Literal["careful", "carry-in"] = "carry-in"
    harm_risk: float = 0.10
    carry_in_nights: float = 2.0
    freeze_risk: float = 0.02
    carries_per_harm: float = 20.0
    move_days: tuple[str, ...] = ("sat", "sun")
    minutes_per_day: int = 180
    children: bool = False
    pets: bool = False
    units: Literal["metric", "imperial"] = "metric"
    calendar: Literal["by-day", "by-step"] = "by-day"
    shut: frozenset[date] = frozenset()
    summer: Literal["toward-sun", "in-shade"] = "toward-sun"


@dataclass(frozen=True)
class Place:
    """Anywhere a plant can stand. Light keys are None where the person gave none.

    faces_deg: compass bearing the place looks to, 0 = north, 90 = east. horizon_deg: light below this elevation is
    blocked. roof_deg: how high the edge of a roof stands, straight out. leaf_shade: share of light let through,
    0..1. Indoor: the window's width and height, its sill's height above the pot (negative: the sill is below the
    rim), the pot's distance from the glass [m]. measured_lux: a meter reading at bright midday; measured_dli: mol
    per day; either overrides.
    room_for: pots, None = no limit. assumed: what was filled in because the person said nothing, as sentences.
    """

    name: str
    kind: Literal["indoor", "outdoor"]
    night_lift_c: float = 0.0
    room_for: int | None = None
    faces_deg: float | None = None
    wall_behind: bool | None = None
    horizon_deg: float | None = None
    roof_deg: float | None = None
    leaf_shade: float | None = None
    window_width_m: float | None = None
    window_height_m: float | None = None
    sill_m: float | None = None
    distance_m: float | None = None
    glazing: str = "double"
    curtain: str = "none"
    measured_lux: float | None = None
    measured_dli: float | None = None
    assumed: tuple[str, ...] = ()

    @property
    def outdoors(self) -> bool:
        return self.kind == "outdoor"

    @property
    def sheltered(self) -> bool:
        """Whether wind and driving rain are broken there: a wall behind, a roof, or a tree crown."""
        return bool(self.wall_behind) or (self.roof_deg is not None and self.roof_deg < 90) or \
            (self.leaf_shade is not None and self.leaf_shade < 1)


TOXICITY = ("none", "irritant", "toxic", "deadly")
"""Classes of toxicity, the mildest first. "none" means not known to be harmful."""
FREEZE_C = 0.0
HARDENING_DAYS = (14.0, 42.0)
"""Days outdoors at which a plant begins to bear colder nights than fresh from indoors, and bears all it will: from the
second to the sixth week (design agreement)."""


def harm_after_c(harm_c: float, harm_hardened_c: float, days_out: float | np.ndarray) -> np.ndarray:
    """The low at which one night marks a plant after so many days outdoors [°C]: harm_c fresh from indoors, a straight
    line from the second to the sixth week, harm_hardened_c from then on. Arrays of days give arrays."""
    begin, end = HARDENING_DAYS
    return np.asarray(harm_c - (harm_c - harm_hardened_c) * np.clip((days_out - begin) / (end - begin), 0.0, 1.0))


class Bearing(NamedTuple):
    """What nights a plant bears outdoors: fresh from indoors, hardened, what it likes [°C]; whether 0 °C kills it."""

    harm_c: float
    hardened_c: float
    comfort_c: float
    freeze_kill: bool

    def after_c(self, days_out: float | np.ndarray) -> np.ndarray:
        """The low at which one night marks it after so many days outdoors [°C]."""
        return harm_after_c(self.harm_c, self.hardened_c, days_out)

    @property
    def harms(self) -> tuple[float, float]:
        return self.harm_c, self.hardened_c

    @property
    def freeze_c(self) -> float:
        """The low that must not come at all under "carry-in" where a freeze kills it: 0 °C, or lower for one that takes
        frost [°C]."""
        return min(FREEZE_C, self.hardened_c)


class Figure(NamedTuple):
    """A figure of the catalogue with its range and how well it is known: measured | listed | group | memory | given."""

    value: float
    low: float
    high: float
    grade: str

    @property
    def guessed(self) -> bool:
        """Whether it rests on what is known of the plant's relatives, or on memory."""
        return self.grade in ("group", "memory")


@dataclass(frozen=True)
class Taxon:
    """One row of the catalogue; the columns are explained in inputs.taxa.

    harm, harm_hardened, comfort: night thresholds [°C], see harm_after_c. climate: tropical | subtropical | arid |
    temperate. sun: deep-shade | shade | part-sun | sun. summer_outdoors: yes | sheltered | no. moisture: dry | even |
    moist. soap_sensitive: yes | no | unknown. toxic_people, toxic_pets: none | irritant | toxic | deadly (not known
    counts as toxic). cuttings: water | soil | division | none. bud_cold_c: nights that set its buds, None where it
    needs none.
    """

    key: str
    botanical: str
    common: str
    group: str
    climate: str
    harm: Figure
    harm_hardened: Figure
    comfort: Figure
    freeze_kill: bool
    light_low_mol: float
    light_high_mol: float
    sun: str
    summer_outdoors: str
    moisture: str
    soap_sensitive: str
    toxic_people: str
    toxic_pets: str
    salt_sensitive: bool
    cuttings: str
    bud_cold_c: float | None
    source_temp: str
    source_light: str
    source_other: str
    synonyms: tuple[str, ...] = ()

    @property
    def harm_c(self) -> float:
        return self.harm.value

    @property
    def harm_hardened_c(self) -> float:
        return self.harm_hardened.value

    @property
    def comfort_c(self) -> float:
        return self.comfort.value

    @property
    def toxic_worst(self) -> str:
        """The worse of the two classes of toxicity, to people and to pets."""
        return max(self.toxic_people, self.toxic_pets, key=TOXICITY.index)


@dataclass(frozen=True)
class Plant:
    """A row of plants.csv, catalogue facts joined on. `count` pots that always move together.

    taxon: never None; an unknown taxon with its own thresholds gets a Taxon of careful defaults (and an assumption).
    harm_c, harm_hardened_c, comfort_c, light_high_mol: the row's own value, else the taxon's. place: name
    of its indoor place.
    pot_cm None: not given (jobs assume 15 cm and say so). root_bound / dates None: not given.
    arrived: the day it joined, None = it was there all along. left: the day it went, nothing to do for it from then on.
    tall_cm: height above the rim of its pot. row: the row of plants.csv of which these pots are a part, since the log
    says that only some of it moved; empty: they are the row.
    line: line in plants.csv.
    """

    name: str
    taxon: Taxon
    count: int
    pot_cm: float | None
    place: str
    harm_c: float
    harm_hardened_c: float
    comfort_c: float
    light_high_mol: float
    last_repotted: date | None = None
    last_leached: date | None = None
    root_bound: bool | None = None
    pests: str = "none"
    notes: str = ""
    line: int = 0
    arrived: date | None = None
    left: date | None = None
    tall_cm: float | None = None
    row: str = ""

    def harm_after_c(self, days_out: float) -> float:
        """The low at which one night marks it after so many days outdoors [°C]; see harm_after_c of this module."""
        return float(harm_after_c(self.harm_c, self.harm_hardened_c, days_out))

    @property
    def bearing(self) -> Bearing:
        """Its thresholds together; plants alike in them have the same windows."""
        return Bearing(self.harm_c, self.harm_hardened_c, self.comfort_c, self.taxon.freeze_kill)


SD_KINDS = ("about-daily-mean", "all-nights", "within-month")
"""What a printed standard deviation of night lows is: about the normal of each date, over all nights of the month (of
all years together), or within that month of single years, averaged."""


@dataclass(frozen=True, eq=False)
class Normals:
    """Night-temperature normals of the station, before any shift [°C].

    tmin_c: (12,) monthly means or (365,) daily; tmin_sd_c: same shape or (12,), None when not given; sd_kind: one of
    SD_KINDS, "" when not said. tmin_lowest_c: (12,) mean of each month's lowest night, None when not given.
    tmax_c, sunshine_h (hours per day), ghi_mj (MJ m-2 per day): (12,) monthly means, None when not given.
    source: where the table came from, for the reader ("normals.csv", a URL).
    estimate: how sure it is where nobody gave it and it was worked out from stations round about; else None.
    near_frost: days of frost of stations near by, None where there are none. from_stations: quantities ("tmax_c", ...)
    that were not given and were taken from the stations round about. doubt: a question to the person
    where the lows given are far from what the stations say.
    """

    tmin_c: np.ndarray
    tmin_sd_c: np.ndarray | None = None
    tmax_c: np.ndarray | None = None
    sunshine_h: np.ndarray | None = None
    ghi_mj: np.ndarray | None = None
    source: str = "normals.csv"
    estimate: Estimate | None = None
    sd_kind: str = ""
    tmin_lowest_c: np.ndarray | None = None
    near_frost: NearFrost | None = None
    from_stations: tuple[str, ...] = ()
    doubt: str = ""


@dataclass(frozen=True, eq=False)
class Record:
    """A daily record of the station [°C]: dates (n,) datetime64[D] rising, tmin_c and tmax_c (n,), NaN = missing."""

    dates: np.ndarray
    tmin_c: np.ndarray
    tmax_c: np.ndarray


@dataclass(frozen=True)
class Reading:
    """What the person's minimum thermometer showed at an outdoor place [°C]. date: the morning on which it was read."""

    date: date
    place: str
    tmin_c: float
    line: int = 0


@dataclass(frozen=True, eq=False)
class Scenario:
    """One folder, read whole. `places` holds at least one indoor and, if none was given, two assumed outdoor ones.

    assumptions: sentences for the person about everything filled in on reading. folder: as the person typed it.
    """

    site: Site
    rules: Rules
    places: tuple[Place, ...]
    plants: tuple[Plant, ...]
    normals: Normals
    record: Record | None = None
    log: tuple[LogEntry, ...] = ()
    away: tuple[Away, ...] = ()
    assumptions: tuple[str, ...] = ()
    folder: str = ""
    readings: tuple[Reading, ...] = ()
