"""Names for steps that stay the same for as long as the step is the same thing, whatever its date."""

from __future__ import annotations

import re
from hashlib import sha256

from seasonplan.wording import slug

DOMAIN = "seasonplan.invalid"
"""A domain that can never exist (RFC 2606), so that no uid is anybody's address."""
SEPARATOR = "\x1f"
_UID = re.compile(r"(?P<year>-?\d+)-(?P<kind>[a-z-]+?)-(?P<slug>[a-z0-9][a-z0-9-]*)-(?P<n>\d+)-(?P<mark>[0-9a-f]{8})"
                  rf"(?:@{re.escape(DOMAIN)})?")


def step_uid(site_name: str, year: int, kind: str, anchor_plant: str, occurrence: int) -> str:
    """The uid of a step: year, kind, first plant of its group, and which time it is; the mark at its end also knows
    the site and the anchor's full name. It holds no "/" and no date."""
    said = SEPARATOR.join((site_name, str(year), kind, anchor_plant, str(occurrence)))
    mark = sha256(said.encode("utf-8", "surrogatepass")).hexdigest()[:8]
    return f"{year}-{kind}-{slug(anchor_plant)}-{occurrence}-{mark}@{DOMAIN}"


def parts_of(uid: str, kinds: frozenset[str]) -> tuple[str, str, int] | None:
    """(kind, slug of the anchor, occurrence) of a uid, with or without its domain; None when it is none of ours.

    kinds: all kinds there are; a kind may hold hyphens, so the longest that fits is taken. Where a plant's name begins
    like the rest of a longer kind that can be the wrong one: ask the plan's own steps first.
    """
    if not (found := _UID.fullmatch(uid)):
        return None
    middle = f"{found['kind']}-{found['slug']}"
    fitting = [kind for kind in kinds if middle.startswith(f"{kind}-")]
    if not fitting:
        return None
    kind = max(fitting, key=len)
    return kind, middle[len(kind) + 1:], int(found["n"])
