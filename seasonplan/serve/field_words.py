"""What the columns of plants.csv and the keys of a place are called on a form, and what may stand there."""

from __future__ import annotations

FIRST = ("name", "taxon", "count", "pot_cm", "place", "kind", "room_for", "faces", "wall_behind", "window_width_m",
         "window_height_m", "distance_m")
"""Fields that a form begins with; the others stand below it, folded, until they hold something."""
WORDS = {
    "name": ("Name", "as you call it"), "taxon": ("Kind", "botanical, trade or common name"), "count": ("Pots", ""),
    "pot_cm": ("Pot", "cm across the top"), "place": ("Stands indoors at", ""),
    "last_repotted": ("Last repotted", "2027-05-29"), "last_leached": ("Last leached", "2027-05-29"),
    "root_bound": ("Root-bound", ""), "pests": ("Pests", ""),
    "harm_c": ("Night that marks it", "°C, fresh from indoors"),
    "harm_hardened_c": ("Night that marks it once hardened", "°C"),
    "comfort_c": ("Nights it likes", "°C, usually at least"), "light_high_mol": ("Most light it bears", "mol a day"),
    "arrived": ("With you since", "2027-05-29"), "left": ("Gone since", "2027-05-29"), "notes": ("Notes", ""),
    "kind": ("Indoors or outdoors", ""), "night_lift_c": ("Warmer at night than the open ground", "°C"),
    "room_for": ("Room for", "pots"), "faces": ("Faces", "compass point or degrees"),
    "wall_behind": ("Wall behind it", ""), "horizon_deg": ("Fence, house or trees hide the sky up to", "degrees"),
    "roof_deg": ("Edge of the roof stands at", "degrees above the horizon"),
    "leaf_shade": ("Light that leaves or cloth let through", "0 to 1"),
    "window_width_m": ("Window, width", "m"), "window_height_m": ("Window, height", "m"),
    "sill_m": ("Sill above the pot", "m"), "distance_m": ("Distance from the window", "m"),
    "glazing": ("Glazing", ""), "curtain": ("Curtain", ""),
    "measured_lux": ("Light measured at noon", "lux"), "measured_dli": ("Light measured", "mol a day"),
}
"""Label and what may stand there."""


def words(key: str) -> tuple[str, str]:
    """(label, help) of a column or key; its own name where it has no other."""
    return WORDS.get(key, (key.replace("_", " "), ""))
