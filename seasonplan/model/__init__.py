"""The frozen objects that stages hand to each other: what was read (`given`, `life`) and what was found (`found`,
`work`, `watched`)."""

from seasonplan.model.atlas import Estimate, NearFrost, NearStation, Town
from seasonplan.model.found import (
    Daylight,
    Edge,
    HungCloth,
    MoveDate,
    NightClimate,
    NightTables,
    PlaceWindow,
    Plan,
    PlantPlan,
    ShadeAdvice,
    Stop,
)
from seasonplan.model.given import (
    SD_KINDS,
    Bearing,
    Figure,
    Normals,
    Place,
    Plant,
    Reading,
    Record,
    Rules,
    Scenario,
    Site,
    Taxon,
)
from seasonplan.model.life import (
    Away,
    Before,
    LogEntry,
    LoggedStay,
    SeenStep,
    is_kept,
    log_note,
)
from seasonplan.model.watched import (
    Alert,
    EarlierForecast,
    Evening,
    Forecast,
    ForecastNight,
    OutlookNight,
    SkyWarning,
    WatchReport,
)
from seasonplan.model.work import (
    Agenda,
    HelperList,
    MonthLoad,
    Round,
    RoundDay,
    ShoppingItem,
    SkippedJob,
    Step,
)

__all__ = [
    "Evening", "SkyWarning", "Agenda", "Alert", "Away", "Bearing", "Before", "Daylight", "EarlierForecast", "Edge",
    "Estimate", "Figure", "Forecast", "ForecastNight", "HelperList", "HungCloth", "LogEntry", "LoggedStay",
    "MonthLoad", "MoveDate", "NearFrost", "NearStation", "NightClimate", "NightTables", "Normals", "OutlookNight",
    "Place", "PlaceWindow", "Plan", "Plant", "PlantPlan", "Reading", "Record", "Round", "RoundDay", "Rules",
    "SD_KINDS", "Scenario", "SeenStep", "ShadeAdvice", "ShoppingItem", "Site", "SkippedJob", "Step", "Stop", "Taxon",
    "Town", "WatchReport", "is_kept", "log_note",
]
