"""What the stages found: the night climate, daylight, windows, routes, steps, alerts, and the plan that holds them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from enum import Enum
from typing import TYPE_CHECKING, Any, Literal

import numpy as np

if TYPE_CHECKING:
    import pandas as pd

from seasonplan.model.given import Place, Plant, Rules, Scenario, Site
from seasonplan.model.life import is_kept
from seasonplan.model.watched import Alert
from seasonplan.model.work import HelperList, MonthLoad, ShoppingItem, SkippedJob, Step

Day = date
"""The type, for annotations in classes that have a field named `date`."""


class Edge(Enum):
    """An ordinary answer to "when?" that is not a date."""

    NEVER = "never"
    ALL_YEAR = "all-year"


@dataclass(frozen=True, eq=False)
class NightClimate:
    """Night lows at the site (station shift applied), one value per day of the 365-day year.

    mean_c, sd_c, lag1 (correlation of day d with day d - 1): (365,). turn_index: the day on which mean_c is highest,
    where spring ends and autumn begins; cold_index: the opposite end of winter. mean_source: "normals", "estimated" or
    "record"; sd_source: "normals", "lowest", "sd-and-lowest", "record" or "assumed". details: further parameters of the
    model (year-to-year part, skew ...), documented in climate.process. notes: sentences for the person.
    """

    mean_c: np.ndarray
    sd_c: np.ndarray
    lag1: np.ndarray
    turn_index: int
    cold_index: int
    mean_source: str
    sd_source: str
    details: dict[str, Any] = field(default_factory=dict)
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class NightTables:
    """Chances for a set of thresholds [°C at the site]; every array is (len(thresholds_c), 365) by day index.

    chance_after[k, d]: chance of a night <= threshold from day d up to (not including) the turn; 0 outside spring.
    chance_before[k, d]: chance of one from the turn through day d; 0 outside autumn. expected_after, expected_before:
    the expected number of such nights over the same spans. Spring half: cold_index .. turn_index, autumn half:
    turn_index .. cold_index, both cyclic. `source`: "normals" or "record".
    """

    thresholds_c: np.ndarray
    chance_after: np.ndarray
    chance_before: np.ndarray
    expected_after: np.ndarray
    expected_before: np.ndarray
    turn_index: int
    cold_index: int
    source: str = "normals"


@dataclass(frozen=True, eq=False)
class Daylight:
    """Light at every place on every date of the planning year.

    Arrays (places, dates): clear_dli, mean_dli [mol m-2 d-1], direct_sun_h [clock hours], full_sun_h [full-sun
    hours, see units.FULL_SUN_HOUR_MOL], peak_ppfd [umol m-2 s-1], all for clear sky except mean_dli.
    sun_spans[p][n]: ((from_min, until_min), ...) minutes after local midnight when direct sun reaches the place.
    sunrise_min, sunset_min: (dates,) minutes after local midnight; NaN where the sun does not rise or set.
    open_clear_dli, open_mean_dli: (dates,) on open ground.
    """

    dates: tuple[date, ...]
    places: tuple[str, ...]
    clear_dli: np.ndarray
    mean_dli: np.ndarray
    direct_sun_h: np.ndarray
    full_sun_h: np.ndarray
    peak_ppfd: np.ndarray
    sun_spans: tuple[tuple[tuple[tuple[int, int], ...], ...], ...]
    sunrise_min: np.ndarray
    sunset_min: np.ndarray
    open_clear_dli: np.ndarray
    open_mean_dli: np.ndarray
    notes: tuple[str, ...] = ()

    def to_frame(self) -> pd.DataFrame:
        """One row per place and date."""
        import pandas as pd

        index = pd.MultiIndex.from_product([self.places, self.dates], names=["place", "date"])
        columns = ("clear_dli", "mean_dli", "direct_sun_h", "full_sun_h", "peak_ppfd")
        return pd.DataFrame({name: getattr(self, name).ravel() for name in columns}, index=index).reset_index()


@dataclass(frozen=True)
class MoveDate:
    """One end of a plant's season.

    date: the day it moves, None when it does not. careful, carry_in: what each policy gives at the place it first
    (or last) stands in, before move days are honoured; None when that policy gives no date. chance_of_harm: chance
    of a night that marks it, hardened as it is by then, between `date` and midsummer (autumn: between midsummer and
    `date`) at that place;
    expected_cold_nights: how many such nights to expect. decided_by: "harm" | "freeze" | "comfort" | "season".
    normal_low_c: the normal low at the place on that date. guess: "group" | "memory" where the figure that decided is
    such a guess of the catalogue; earliest, latest: between which dates it lies if the guess is off by its range;
    guess_may_forbid: with the range's worst value there is no season at all.
    """

    date: date | None
    careful: Day | None
    carry_in: Day | None
    chance_of_harm: float | None
    expected_cold_nights: float | None
    decided_by: str = ""
    normal_low_c: float | None = None
    guess: str = ""
    earliest: Day | None = None
    latest: Day | None = None
    guess_may_forbid: bool = False


@dataclass(frozen=True)
class PlaceWindow:
    """When a plant may live at one outdoor place: first date in, first date out (exclusive), or an Edge.

    ALL_YEAR with an `out.date`: all year from then on, once hardened. cooler_c: by how much the normal low of the
    coolest day inside it lies below the plant's comfort.
    """

    place: str
    span: tuple[date, date] | Edge
    out: MoveDate
    back: MoveDate
    reason: str
    cooler_c: float = 0.0


@dataclass(frozen=True)
class ShadeAdvice:
    """What makes a place fit until a date: a shade cloth that keeps off so many percent of the light."""

    place: str
    percent: int
    until: date


@dataclass(frozen=True)
class HungCloth:
    """A shade cloth over a place, from the day it is hung to the day it comes off. plants: all that stand under it at
    some time. season: it hangs so long that it is a property of the place."""

    place: str
    percent: int
    first: date
    last: date
    area_m2: float
    plants: tuple[str, ...]
    season: bool


@dataclass(frozen=True)
class Stop:
    """A stay: from `date` to `until` (exclusive) at `place`. Light figures are those of the arrival day.

    acclimated_dli: what the plant is used to [mol]; allowed_dli, allowed_full_sun_h: the limits on arrival
    (math.inf = no limit). why: a sentence with numbers. shade: set when the stay is only right with that shade.
    """

    date: date
    until: Day
    place: str
    clear_dli: float
    mean_dli: float
    direct_sun_h: float
    full_sun_h: float
    acclimated_dli: float
    allowed_dli: float
    allowed_full_sun_h: float
    why: str = ""
    shade: ShadeAdvice | None = None


@dataclass(frozen=True)
class PlantPlan:
    """What happens to one plant. status: "moves" | "stays-in" | "stays-out" | "day-trips".

    windows: one per outdoor place, for the page and the route. route: outdoor stays only, without a gap from
    out.date to back.date; before and after it the plant stands at plant.place. trips: first and last date for day trips
    (status "day-trips"). lacks: the shade without which it cannot go out at all, a sentence. brief: the reason without
    the chances that `out` and `back` hold as numbers; "" where it has none.
    """

    plant: Plant
    status: Literal["moves", "stays-in", "stays-out", "day-trips"]
    reason: str
    out: MoveDate
    back: MoveDate
    windows: tuple[PlaceWindow, ...] = ()
    route: tuple[Stop, ...] = ()
    trips: tuple[Day, Day] | None = None
    lacks: str = ""
    brief: str = ""


@dataclass(frozen=True, eq=False)
class Plan:
    """Everything the outputs show. `site_tables`: chances at the plants' thresholds, for the page.

    today: the day the plan was asked for; in a season that is not kept it decides only what is past or due. habits:
    what takes no time of its own, said once on the day it begins (steps of 0 minutes). helper: one for each time away.
    known, pests, alerts, alerts_issued: what the next plan needs of this one (see Before). cloths: those that hang for
    a season, a property of their places. other_summer: what the other `summer` rule would give, one sentence. notices:
    what to know before all else, sentences.
    """

    scenario: Scenario
    year: int
    today: date
    climate: NightClimate
    site_tables: NightTables
    daylight: Daylight
    plants: tuple[PlantPlan, ...]
    steps: tuple[Step, ...]
    shopping: tuple[ShoppingItem, ...]
    skipped: tuple[SkippedJob, ...]
    alerts: tuple[Alert, ...]
    assumptions: tuple[str, ...]
    habits: tuple[Step, ...] = ()
    helper: tuple[HelperList, ...] = ()
    known: Mapping[str, Day | None] = field(default_factory=dict)
    pests: Mapping[str, tuple[str, Day]] = field(default_factory=dict)
    alerts_issued: str = ""
    cloths: tuple[HungCloth, ...] = ()
    other_summer: str = ""
    notices: tuple[str, ...] = ()

    @property
    def alerts_ahead(self) -> tuple[Alert, ...]:
        """The alerts of nights that are not over on the plan's day; one that `watch` meant before six in the morning
        counts as well."""
        running = self.alerts_issued.startswith(self.today.isoformat()) and self.alerts_issued[11:13] < "06"
        first = self.today - timedelta(days=running)
        return tuple(alert for alert in self.alerts if alert.night >= first)

    @property
    def kept(self) -> bool:
        """Whether this season goes by the log; see is_kept."""
        return is_kept(self.scenario.log, self.daylight.dates[0], self.daylight.dates[-1], self.today)

    @property
    def opened(self) -> tuple[Step, ...]:
        """Steps that were due, were never done, and have been dated afresh."""
        return tuple(step for step in self.steps if step.open_since is not None)

    @property
    def months(self) -> tuple[MonthLoad, ...]:
        """What each month asks for, of the months that ask for anything, in order."""
        work: dict[Day, list[Step]] = defaultdict(list)
        for step in self.steps:
            work[step.date.replace(day=1)].append(step)
        return tuple(MonthLoad(first, len({step.thing or step.uid for step in work[first] if step.minutes}),
                               sum(step.minutes for step in work[first])) for first in sorted(work))

    @property
    def site(self) -> Site:
        return self.scenario.site

    @property
    def rules(self) -> Rules:
        return self.scenario.rules

    @property
    def places(self) -> tuple[Place, ...]:
        return self.scenario.places

    def to_frame(self) -> pd.DataFrame:
        """One row per stay outdoors: plant, taxon, place, date, until and the light figures."""
        import pandas as pd

        rows = [{"plant": p.plant.name, "taxon": p.plant.taxon.key, "place": s.place, "date": s.date, "until": s.until,
                 "clear_dli": s.clear_dli, "mean_dli": s.mean_dli, "direct_sun_h": s.direct_sun_h,
                 "full_sun_h": s.full_sun_h, "acclimated_dli": s.acclimated_dli} for p in self.plants for s in p.route]
        return pd.DataFrame(rows, columns=["plant", "taxon", "place", "date", "until", "clear_dli", "mean_dli",
                                           "direct_sun_h", "full_sun_h", "acclimated_dli"])

    def steps_frame(self) -> pd.DataFrame:
        """One row per step."""
        import pandas as pd

        columns = ["uid", "date", "start", "minutes", "kind", "title", "plants", "place", "detail", "why"]
        return pd.DataFrame([{c: getattr(s, c) for c in columns} for s in self.steps], columns=columns)
