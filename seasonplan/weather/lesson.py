"""What a person's own thermometer taught about a source at a place, in the form that the outlook uses."""

from __future__ import annotations

from dataclasses import dataclass

UNTAUGHT_BIAS_SD_C = 0.35
"""How far a source is off at a garden on average, before any reading tells [°C]: what the first night's error of single
sites is more than that over all (memory; chosen on half of the stations of tests/truth/watch_seasons.py, where it acts
on one harmful night in a hundred more at the same cost)."""


@dataclass(frozen=True)
class Lesson:
    """bias_c: what the low at the place was above the forecast for it, on average [°C]; bias_sd_c: how sure that is;
    spread: the error's sd as a share of the table's or the source's own; nights: how many taught it."""

    bias_c: float = 0.0
    bias_sd_c: float = UNTAUGHT_BIAS_SD_C
    spread: float = 1.0
    nights: int = 0


NOTHING_LEARNED = Lesson()
