"""seasonplan: when each indoor plant goes outdoors for the warm season, where it stands, and when it comes back.

What a program of your own needs is here: `load_scenario`, `build_plan`, `watch_report`, the objects that they take and
give, and the errors. Everything else may change between versions.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

__version__ = "1.0.0"
__all__ = [
    "Alert", "Away", "Before", "Fault", "InputFaults", "LogEntry", "Normals", "OutputBlocked", "Place", "PlaceWindow",
    "Plan", "Plant", "PlantPlan", "Record", "Rules", "Scenario", "SeasonplanError", "ShoppingItem", "Site",
    "SourceUnavailable", "Step", "Stop", "Taxon", "WatchReport", "__version__", "build_plan", "load_scenario",
    "watch_report",
]

if TYPE_CHECKING:
    from seasonplan.errors import Fault, InputFaults, OutputBlocked, SeasonplanError, SourceUnavailable
    from seasonplan.files import load_scenario
    from seasonplan.model import (
        Alert,
        Away,
        Before,
        LogEntry,
        Normals,
        Place,
        PlaceWindow,
        Plan,
        Plant,
        PlantPlan,
        Record,
        Rules,
        Scenario,
        ShoppingItem,
        Site,
        Step,
        Stop,
        Taxon,
        WatchReport,
    )
    from seasonplan.pipeline import build_plan
    from seasonplan.weather.alerts import watch_report
else:
    def __getattr__(name: str) -> object:
        """Imports the heavy parts only when they are asked for, so that `import seasonplan` stays light. (Hidden from
        type checkers, who would take any name for a good one.)"""
        from importlib import import_module

        homes = {"build_plan": "pipeline", "load_scenario": "files", "watch_report": "weather.alerts"}
        for home in (homes.get(name, "model"), "errors"):
            if name in __all__ and hasattr(import_module(f"seasonplan.{home}"), name):
                return getattr(import_module(f"seasonplan.{home}"), name)
        raise AttributeError(f"module 'seasonplan' has no attribute {name!r}")
