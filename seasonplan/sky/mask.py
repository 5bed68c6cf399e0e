"""What a place sees of the sky: one mask over directions for porch, tree, lawn and window.

A mask gives the share of light that passes from each direction (azimuth from north over east, elevation). The sun
uses it at the sun's own position, the diffuse sky uses its cosine-weighted integral (isotropic sky: on a clear day the
sky near the sun is brighter, but that part follows the beam so closely that a place with sun gets it with the sun, and
a place without should not be credited with it).

Outdoors the light falls on a horizontal plane, as open-ground DLI is stated. Indoors it comes from the side, where a
horizontal plane would call a plant beside a bright window dark and one facing the window would flatter it. Leaves hold
every angle, so the average over leaf angles is used: half the light from all directions together (half the fluence
rate; a canopy with spherical leaf angles meets any beam with half its leaf area). Under an open, evenly bright sky
this equals the light on a horizontal plane, so indoor and outdoor figures are of one kind.

Geometry outdoors: `horizon_deg` blocks all round below that elevation. A roof's edge is a straight eave without end,
along the wall: it stands `roof_deg` high straight out across `faces` and arctan(tan roof_deg * cos away) to the sides;
the roof hides the sky above it and all behind. A wall behind (only where the person says so) is endless to both sides
and rises `wall_height_ratio` times its distance, so that it hides nearly the whole half of the sky behind the place.
Indoors: the window rectangle, its middle straight in front of the pot, seen from the pot's rim, and the horizon
before it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from seasonplan.model import Place
from seasonplan.sky.glass import curtain_shares, glass_transmittance
from seasonplan.sky.settings import settings

GRID_DEG = 2.0
WINDOW_WORDS = {"faces_deg": "looking to {:g}° (north 0°, east 90°)", "window_width_m": "{:g} m wide",
                "window_height_m": "{:g} m high", "sill_m": "its sill {:g} m above the pot",
                "distance_m": "{:g} m from the pot"}


@dataclass(frozen=True)
class Window:
    """A window seen from the pot: width, height, height of the sill above the pot, distance of the glass [m]."""

    width_m: float
    height_m: float
    sill_m: float
    distance_m: float
    glazing: str
    curtain: str


@dataclass(frozen=True)
class Mask:
    """The geometry of a place with nothing left open. window: None outdoors. notes: what was assumed, as sentences."""

    faces_deg: float
    wall_behind: bool
    horizon_deg: float
    roof_deg: float
    leaf_share: float
    window: Window | None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Shares:
    """How a place turns irradiance into light besides the sun itself.

    sky: diffuse horizontal -> light at the place. ground: global horizontal -> light at the place by reflection
    outside. pane: beam through the glass, per m2 of it -> light at the place by reflection in the room.
    """

    sky: float
    ground: float
    pane: float


def mask_of(place: Place, latitude_deg: float) -> Mask:
    """The mask of a place; light keys it leaves out are filled with defaults and said in `notes`."""
    return _window_mask(place) if place.kind == "indoor" else _outdoor_mask(place, latitude_deg)


def openness(mask: Mask, azimuth_deg: np.ndarray, elevation_deg: np.ndarray) -> np.ndarray:
    """Share (0..1) of each direction not hidden by roof, fence, wall or window frame; edges softened."""
    seen = outside_openness(mask, azimuth_deg, elevation_deg)
    return seen if mask.window is None else seen * frame_openness(mask, azimuth_deg, elevation_deg)


def filter_share(mask: Mask, azimuth_deg: np.ndarray, elevation_deg: np.ndarray) -> np.ndarray | float:
    """Share of light from an open direction that leaves, glass and curtain let through.

    What a curtain scatters counts as if it kept its way: it reaches as many leaves as it misses.
    """
    if mask.window is None:
        return mask.leaf_share
    facing = facing_cosine(mask, azimuth_deg, elevation_deg)
    through, _ = curtain_shares(mask.window.curtain)
    return mask.leaf_share * through * settings().clean_glass * glass_transmittance(mask.window.glazing, facing)


def unscattered_share(mask: Mask) -> float:
    """Part of the sunlight let through that still comes straight from the sun and counts as direct."""
    return 1.0 if mask.window is None else curtain_shares(mask.window.curtain)[1]


def pane_share(mask: Mask, azimuth_deg: np.ndarray, elevation_deg: np.ndarray) -> np.ndarray:
    """Light through a square metre of the window's glass per light on a plane facing the direction it comes from."""
    assert mask.window is not None
    facing = facing_cosine(mask, azimuth_deg, elevation_deg)
    seen = outside_openness(mask, azimuth_deg, elevation_deg) * mask.leaf_share
    return seen * facing * settings().clean_glass * glass_transmittance(mask.window.glazing, facing)


def leaf_weight(mask: Mask, elevation_deg: np.ndarray) -> np.ndarray | float:
    """Weight of light from each direction: sine of its elevation outdoors (horizontal plane), one half indoors."""
    return np.maximum(np.sin(np.radians(elevation_deg)), 0.0) if mask.window is None else 0.5


def facing_cosine(mask: Mask, azimuth_deg: np.ndarray, elevation_deg: np.ndarray) -> np.ndarray:
    """Cosine of the angle between a direction and the bearing the place faces, 0 from behind."""
    across = np.cos(np.radians(azimuth_deg - mask.faces_deg))
    return np.maximum(np.cos(np.radians(elevation_deg)) * across, 0.0)


def outside_openness(mask: Mask, azimuth_deg: np.ndarray, elevation_deg: np.ndarray) -> np.ndarray:
    """Share not hidden by horizon, roof and the wall behind. Below the horizontal nothing is hidden."""
    seen = np.ones(np.broadcast(azimuth_deg, elevation_deg).shape)
    if mask.horizon_deg > 0:
        seen = seen * np.where(elevation_deg >= 0, _ramp(elevation_deg - mask.horizon_deg), 1.0)
    if mask.roof_deg < 90:
        out = np.cos(np.radians(azimuth_deg - mask.faces_deg))
        seen = seen * _ramp(np.degrees(np.arctan(np.tan(np.radians(mask.roof_deg)) * out)) - elevation_deg)
    if mask.wall_behind:
        backward = -np.cos(np.radians(azimuth_deg - mask.faces_deg))
        top_deg = np.degrees(np.arctan(settings().wall_height_ratio * np.maximum(backward, 0.0)))
        seen = seen * np.where((backward > 0) & (elevation_deg >= 0), _ramp(elevation_deg - top_deg), 1.0)
    return seen


def frame_openness(mask: Mask, azimuth_deg: np.ndarray, elevation_deg: np.ndarray) -> np.ndarray:
    """Share of each direction that lies within the window rectangle."""
    window = mask.window
    assert window is not None
    aside = (azimuth_deg - mask.faces_deg + 180) % 360 - 180
    half_deg = np.degrees(np.arctan(window.width_m / 2 / window.distance_m))
    reach = np.maximum(np.cos(np.radians(aside)), 0.0) / window.distance_m
    bottom = np.degrees(np.arctan(window.sill_m * reach))
    top = np.degrees(np.arctan((window.sill_m + window.height_m) * reach))
    return _band(aside, -half_deg, half_deg) * _band(elevation_deg, bottom, top)


def shares_of(mask: Mask) -> Shares:
    """Integrals of the mask over the sky and the ground."""
    azimuth, elevation, solid = _directions()
    arrives = leaf_weight(mask, elevation) * solid / np.pi
    above = elevation > 0
    seen = openness(mask, azimuth, elevation)
    passed = seen * filter_share(mask, azimuth, elevation) * arrives
    if mask.window is None:
        hidden = mask.leaf_share * (1 - seen) * arrives
        return Shares(passed[above].sum(), settings().blocked_reflection * hidden[above].sum(), 0.0)
    bounced = _bounced(mask, mask.window)
    sky_in, ground_in = _through_pane(mask)
    ground = settings().ground_reflectance * passed[~above].sum()
    return Shares(passed[above].sum() + bounced * sky_in, ground + bounced * ground_in, bounced)


def _bounced(mask: Mask, window: Window) -> float:
    """Light at the place by reflection in the room, per light through the glass [per m2 of it].

    The light through the window, reflected to and fro as in an integrating sphere of the room's surface and mean
    reflectance, makes the same radiance everywhere: flux * R / (pi * surface * (1 - R)) (integrating-sphere relation,
    as in the reflected part of the average daylight factor).
    """
    _, elevation, solid = _directions()
    s = settings()
    flux_m2 = window.width_m * window.height_m * curtain_shares(window.curtain)[0]
    radiance = flux_m2 * s.room_reflectance / (np.pi * s.room_surface_m2 * (1 - s.room_reflectance))
    return radiance * float((leaf_weight(mask, elevation) * solid).sum())


def _through_pane(mask: Mask) -> tuple[float, float]:
    """Light through the glass per diffuse horizontal, and per global horizontal irradiance (reflected outside)."""
    azimuth, elevation, solid = _directions()
    bare = replace(mask, horizon_deg=0.0, roof_deg=90.0)
    through, seen = (pane_share(m, azimuth, elevation) * solid / np.pi for m in (bare, mask))
    above, s = elevation > 0, settings()
    hidden = (through - seen)[above].sum()
    return seen[above].sum(), s.blocked_reflection * hidden + s.ground_reflectance * through[~above].sum()


@cache
def _directions() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Azimuth, elevation [degrees] and solid angle [sr] of a grid over the whole sphere, flat arrays."""
    azimuth = np.arange(GRID_DEG / 2, 360, GRID_DEG)
    elevation = np.arange(-90 + GRID_DEG / 2, 90, GRID_DEG)
    height, around = np.meshgrid(elevation, azimuth, indexing="ij")
    edge = np.radians(GRID_DEG / 2)
    solid = np.radians(GRID_DEG) * (np.sin(np.radians(height) + edge) - np.sin(np.radians(height) - edge))
    return around.ravel(), height.ravel(), solid.ravel()


def _ramp(inside_deg: np.ndarray) -> np.ndarray:
    """0 to 1 across an edge; inside_deg: angle on the lit side of it."""
    return np.clip(inside_deg / settings().edge_softness_deg + 0.5, 0.0, 1.0)


def _band(angle_deg: np.ndarray, low_deg: np.ndarray | float, high_deg: np.ndarray | float) -> np.ndarray:
    """1 between two edges; narrow bands keep their area."""
    return _ramp(angle_deg - low_deg) - _ramp(angle_deg - high_deg)


def _outdoor_mask(place: Place, latitude_deg: float) -> Mask:
    notes = []
    wall, faces = place.wall_behind, place.faces_deg
    built = " and ".join(["a wall"] * bool(wall) + ["a roof"] * (place.roof_deg is not None))
    if built and faces is None:
        notes.append(f"{place.name}: it has {built} but nothing says where it faces; the sunny side is assumed.")
    if faces is None:
        faces = 180.0 if latitude_deg >= 0 else 0.0
    return Mask(faces, bool(wall), *_cover(place), None, tuple(notes))


def _window_mask(place: Place) -> Mask:
    s = settings()
    typical = {"faces_deg": s.typical_faces_deg, "window_width_m": s.typical_width_m,
               "window_height_m": s.typical_height_m, "sill_m": s.typical_sill_m, "distance_m": s.typical_distance_m}
    given = {key: getattr(place, key) for key in typical if getattr(place, key) is not None}
    if not given:
        typical["distance_m"] = s.typical_room_distance_m
    missing = [WINDOW_WORDS[key].format(size) for key, size in typical.items() if key not in given]
    value = typical | given
    window = Window(value["window_width_m"], value["window_height_m"], value["sill_m"],
                    max(value["distance_m"], s.nearest_glass_m), place.glazing, place.curtain)
    notes = (f"{place.name}: the window is assumed to be as follows: {', '.join(missing)}.",) if missing else ()
    return Mask(value["faces_deg"], False, *_cover(place), window, notes)


def _cover(place: Place) -> tuple[float, float, float]:
    """horizon_deg, roof_deg and leaf share; nothing in the way where they are not given."""
    return (place.horizon_deg or 0.0, 90.0 if place.roof_deg is None else place.roof_deg,
            1.0 if place.leaf_shade is None else place.leaf_shade)
