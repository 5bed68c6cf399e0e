"""The frozen objects that stages hand to each other: what was read (`given`) and what was found (`found`)."""

from seasonplan.model.found import (
    Agenda,
    Alert,
    Daylight,
    Edge,
    Forecast,
    ForecastNight,
    MoveDate,
    NightClimate,
    NightTables,
    OutlookNight,
    PlaceWindow,
    Plan,
    PlantPlan,
    ShadeAdvice,
    ShoppingItem,
    SkippedJob,
    Step,
    Stop,
    WatchReport,
)
from seasonplan.model.given import Bearing, LogEntry, Normals, Place, Plant, Record, Rules, Scenario, Site, Taxon

__all__ = [
    "Agenda", "Alert", "Bearing", "Daylight", "Edge", "Forecast", "ForecastNight", "LogEntry", "MoveDate",
    "NightClimate",
    "NightTables", "Normals", "OutlookNight", "Place", "PlaceWindow", "Plan", "Plant", "PlantPlan", "Record", "Rules",
    "Scenario", "ShadeAdvice", "ShoppingItem", "Site", "SkippedJob", "Step", "Stop", "Taxon", "WatchReport",
]
