"""What a person's own thermometer taught about a source at a place, in the form that the outlook uses."""

from __future__ import annotations

from dataclasses import dataclass

UNTAUGHT_BIAS_SD_C = 0.35
"""How far a source is off at a garden on average, before any reading tells [°C]: what the first night's error of
single sites is more than that over all (memory). The most that costs nothing where forecasts have no bias: over forty
draws of the errors on half of the stations of tests/truth/watch_seasons.py, 0.25 and 0.35 cost the same, 0.5 costs
1.5 % more."""


@dataclass(frozen=True)
class Lesson:
    """By lead (index 0 = the first night; the last one holds for all beyond): bias_c, what the low at the place was
    above the forecast for it, on average [°C]; bias_sd_c, how sure that is; spread, the error's sd as a share of the
    table's or the source's own. nights: how many taught it."""

    bias_c: tuple[float, ...] = (0.0,)
    bias_sd_c: tuple[float, ...] = (UNTAUGHT_BIAS_SD_C,)
    spread: tuple[float, ...] = (1.0,)
    nights: int = 0

    def at(self, lead_days: int) -> tuple[float, float, float]:
        """(bias_c, bias_sd_c, spread) of a night so many days ahead."""
        return tuple(part[min(max(lead_days, 0), len(part) - 1)]               # type: ignore[return-value]
                     for part in (self.bias_c, self.bias_sd_c, self.spread))


NOTHING_LEARNED = Lesson()
