"""The three pvlib modules this package uses, without the second that pvlib's package file costs.

`import pvlib` runs a package file that imports every part of pvlib, and with them scipy's optimisers (measured 1.05 s).
Sun position, air mass and the clear sky need three modules only (0.04 s). `load` imports those through a private,
empty package object and then takes every trace of it out of `sys.modules`, so that a later `import pvlib` by
anyone runs as if this had never happened.
"""

from __future__ import annotations

import importlib
import importlib.util
import sys
from dataclasses import dataclass
from functools import cache
from types import ModuleType

NEEDED = ("spa", "atmosphere", "clearsky")


@dataclass(frozen=True)
class PvlibParts:
    """pvlib.spa (NREL solar position algorithm), pvlib.atmosphere (air mass), pvlib.clearsky (Ineichen, turbidity)."""

    spa: ModuleType
    atmosphere: ModuleType
    clearsky: ModuleType


@cache
def load() -> PvlibParts:
    """The three modules; the whole of pvlib when somebody has imported it already. ImportError without pvlib."""
    if "pvlib" in sys.modules:
        return PvlibParts(*(importlib.import_module(f"pvlib.{name}") for name in NEEDED))
    spec = importlib.util.find_spec("pvlib")
    if spec is None:
        raise ImportError("pvlib is not installed")
    scipy_linalg_is_ours = "scipy.linalg" not in sys.modules
    sys.modules["pvlib"] = importlib.util.module_from_spec(spec)
    if scipy_linalg_is_ours:
        sys.modules["scipy.linalg"] = _hankel_only()
    try:
        return PvlibParts(*(importlib.import_module(f"pvlib.{name}") for name in NEEDED))
    finally:
        for name in [n for n in sys.modules if n == "pvlib" or n.startswith("pvlib.")]:
            del sys.modules[name]
        if scipy_linalg_is_ours:
            del sys.modules["scipy.linalg"]


def _hankel_only() -> ModuleType:
    """A stand-in for scipy.linalg (0.2 s): pvlib.clearsky takes `hankel` from it, for `detect_clearsky` alone."""
    stand_in = ModuleType("scipy.linalg")

    def hankel(*args, **kwargs):
        raise RuntimeError("detect_clearsky needs the whole of pvlib: import pvlib")

    stand_in.hankel = hankel  # type: ignore[attr-defined]
    return stand_in
