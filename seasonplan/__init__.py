"""seasonplan: when each indoor plant goes outdoors for the warm season, where it stands, and when it comes back."""

from __future__ import annotations

from typing import TYPE_CHECKING

__version__ = "1.0.0"
__all__ = ["__version__", "build_plan", "load_scenario", "watch_report"]

if TYPE_CHECKING:
    from seasonplan.files import load_scenario
    from seasonplan.pipeline import build_plan
    from seasonplan.weather.alerts import watch_report


def __getattr__(name: str):
    """Import the heavy parts only when they are asked for, so that `import seasonplan` stays light."""
    if name == "load_scenario":
        from seasonplan.files import load_scenario

        return load_scenario
    if name == "build_plan":
        from seasonplan.pipeline import build_plan

        return build_plan
    if name == "watch_report":
        from seasonplan.weather.alerts import watch_report

        return watch_report
    raise AttributeError(f"module 'seasonplan' has no attribute {name!r}")
