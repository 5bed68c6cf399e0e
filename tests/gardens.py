"""Six invented gardens from 60 degrees north to 43 south, twenty kinds of plant in each, as scenario folders.

Everything here is made up: no garden is real, and the normals are round numbers of the kind that such latitudes have.
"""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

KINDS = ("olea-europaea", "hibiscus-rosa-sinensis", "citrus-x-limon", "bougainvillea-glabra", "nerium-oleander",
         "crassula-ovata", "strelitzia-reginae", "pelargonium-x-hortorum", "ficus-benjamina", "hoya-carnosa",
         "cymbidium-hybrids", "coleus-scutellarioides", "chlorophytum-comosum", "monstera-deliciosa",
         "epipremnum-aureum", "spathiphyllum-wallisii", "howea-forsteriana", "phalaenopsis-hybrids",
         "nephrolepis-exaltata", "aspidistra-elatior")
"""Eight of class sun, five of part-sun, seven of shade and deep shade."""
FEW = ("Big lemon", "Red hibiscus", "Gardenia", "Window pothos", "Snake plants", "Jade tree", "Ming aralia",
       "Holiday cactus", "Kentia palm")
"""Plants of the shipped Fallowmere: a garden of these is planned in a third of the time."""
ROOMS = """[[place]]
name = "bright window"
kind = "indoor"
faces = "{sunny}"
window_width_m = 1.4
window_height_m = 1.3
distance_m = 0.5

[[place]]
name = "middle of the room"
kind = "indoor"
faces = "east"
window_width_m = 1.2
window_height_m = 1.2
distance_m = 1.8
"""


class Garden(NamedTuple):
    """latitude, longitude [degrees], timezone, whether south, monthly lows and highs [°C] from January, outdoor
    places."""

    latitude: float
    longitude: float
    timezone: str
    tmin_c: tuple[float, ...]
    tmax_c: tuple[float, ...]
    places: str


def place(name: str, **keys) -> str:
    """One outdoor [[place]]."""
    lines = [f'{key} = "{value}"' if isinstance(value, str) else f"{key} = {str(value).lower()}"
             for key, value in keys.items()]
    return "\n".join(["[[place]]", f'name = "{name}"', 'kind = "outdoor"', *lines, ""])


LAWN = place("lawn")
GARDENS = {
    "60 N, wooden house": Garden(
        60.2, 24.9, "Europe/Helsinki", (-8, -9, -5, 1, 6, 11, 14, 13, 8, 4, -1, -5),
        (-2, -2, 2, 9, 15, 20, 22, 21, 15, 8, 3, 0),
        place("glass porch", faces="south", wall_behind=True, roof_deg=70, leaf_shade=0.6, night_lift_c=2.0,
              room_for=12)
        + place("under the birch", leaf_shade=0.4, horizon_deg=10, room_for=16)
        + place("north wall", faces="north", wall_behind=True, horizon_deg=12, room_for=12) + LAWN),
    "43 N, porch, tree and lawn": Garden(
        43.1, -89.4, "America/Chicago", (-12, -10, -4, 2, 8, 14, 17, 16, 11, 4, -2, -9),
        (-3, 0, 6, 14, 21, 26, 28, 27, 23, 15, 7, -1),
        place("porch", faces="north-east", wall_behind=True, roof_deg=50, night_lift_c=1.0, room_for=12)
        + place("under the maple", leaf_shade=0.25, horizon_deg=10, room_for=16)
        + place("lawn", horizon_deg=8)),
    "33 N, desert house": Garden(
        33.4, -112.0, "America/Phoenix", (7, 9, 12, 16, 21, 26, 29, 28, 25, 18, 11, 7),
        (19, 21, 25, 30, 35, 40, 41, 40, 37, 31, 24, 19),
        place("carport", faces="west", roof_deg=45, wall_behind=True, night_lift_c=1.0)
        + place("shade sail", leaf_shade=0.3, room_for=20)
        + place("east wall", faces="east", wall_behind=True, horizon_deg=10)
        + place("gravel yard")),
    "10 N, verandah and roof": Garden(
        10.0, -84.1, "America/Costa_Rica", (16, 16, 17, 18, 18, 18, 18, 18, 17, 17, 17, 16),
        (27, 28, 29, 30, 28, 27, 27, 27, 27, 26, 26, 26),
        place("verandah", faces="north", wall_behind=True, roof_deg=45, room_for=15)
        + place("mango tree", leaf_shade=0.15, room_for=20)
        + place("roof terrace", room_for=30)),
    "28 S, only a lawn": Garden(
        -28.0, 153.4, "Australia/Brisbane", (21, 21, 20, 17, 14, 11, 10, 11, 14, 16, 18, 20),
        (28, 28, 27, 26, 23, 21, 21, 22, 24, 25, 26, 28),
        LAWN),
    "43 S, only a shady balcony": Garden(
        -43.5, 172.6, "Pacific/Auckland", (12, 12, 10, 7, 4, 2, 1, 2, 4, 6, 8, 11),
        (22, 22, 20, 17, 14, 12, 11, 12, 15, 17, 19, 21),
        place("balcony", faces="south", wall_behind=True, roof_deg=60, night_lift_c=1.5)),
}


def write(folder: Path, garden: Garden, summer: str = "") -> Path:
    """The garden as a scenario folder; pots of four sizes, in two rooms. summer: a value of that rule, "" for none."""
    folder.mkdir(parents=True, exist_ok=True)
    sunny = "south" if garden.latitude > 0 else "north"
    rule = f'summer = "{summer}"\n' if summer else ""
    (folder / "scenario.toml").write_text(
        f'[site]\nname = "Invented {folder.name}"\nlatitude = {garden.latitude}\nlongitude = {garden.longitude}\n'
        f'elevation_m = 20\ntimezone = "{garden.timezone}"\n\n[rules]\nyear = 2027\n{rule}\n'
        f"{ROOMS.format(sunny=sunny)}\n{garden.places}", encoding="utf-8")
    rows = [f"{m},{low},{high}" for m, (low, high) in enumerate(zip(garden.tmin_c, garden.tmax_c, strict=True), 1)]
    (folder / "normals.csv").write_text("\n".join(["month,tmin_c,tmax_c", *rows]) + "\n", encoding="utf-8")
    plants = [f"{key.split('-')[0].title()},{key},{1 + n % 3},{(14, 20, 28, 38)[n % 4]},"
              f"{'bright window' if n % 2 else 'middle of the room'}" for n, key in enumerate(KINDS)]
    (folder / "plants.csv").write_text("\n".join(["name,taxon,count,pot_cm,place", *plants]) + "\n", encoding="utf-8")
    return folder


def thin_out(folder: Path) -> None:
    """Leaves a copy of the shipped Fallowmere a few of its plants, for tests of what is done with a plan; other gardens
    stay as they are."""
    file = folder / "plants.csv"
    header, *rows = file.read_text(encoding="utf-8").splitlines(keepends=True)
    few = [row for row in rows if row.split(",")[0] in FEW]
    if len(few) == len(FEW):
        file.write_text("".join([header, *few]), encoding="utf-8")
