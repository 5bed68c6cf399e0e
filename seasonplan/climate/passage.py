"""The chance of any night at or below a level over a span of nights, without random numbers.

For a given departure y of the half-year (see climate.process), the chance that x stays above a moving level from night
to night is a recursion over a grid of x: drop what fell below, then pass one night on. The passing operator of a
stationary normal process with correlation r has the Hermite functions as eigenfunctions and the powers of r as
eigenvalues (Mehler's formula), so nights, sites and thresholds with different r share the same two matrices; it reads
the same in both directions of time, so spring is run backwards from the turn and autumn forwards. Over y,
Gauss-Hermite quadrature. tests/climate/test_passage.py holds the error below 1e-3 against finer grids and
multivariate normals.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from typing import NamedTuple

import numpy as np

from seasonplan.climate.curves import normal_chance
from seasonplan.climate.process import shared, standard_levels
from seasonplan.dates import DAYS
from seasonplan.model import NightClimate, NightTables

STATE_END = 5.2
STATES = 80
SMALL_SHARE, FEW_NODES, MANY_NODES = 0.05, 3, 7
"""Quadrature nodes over the half-year's departure: a few while its share of the variance is small."""
BLOCK_COLUMNS = 640
"""Columns that pass through the recursion together, so that they stay in the processor's cache."""
NEGLIGIBLE = 1e-5
LARGEST_LAG, LAG_DIGITS = 0.9, 9
FAR_LEVEL = 1e6
TINY_LAG = 1e-12
END_CORRECTION = np.float32(1 / 24)
SINGLE_THREAD_PRODUCT = 250_000
"""Multiplications in one matrix product: from about 262,000 OpenBLAS starts threads (memory; measured here)."""
HOPELESS = 1e-7
CLEANING_STEPS = 4
"""A column with less chance left than HOPELESS is emptied, as numbers near the smallest slow the processor down."""


class _Half(NamedTuple):
    """One half-year of one site: its day indices outwards from the turn, and what the recursion needs, by step."""

    days: np.ndarray
    levels: np.ndarray
    lag: np.ndarray
    share: np.ndarray


class _Grid(NamedTuple):
    """States (N,), their spacing, the square root of the normal density (N,), Hermite functions (N, modes)."""

    at: np.ndarray
    step: float
    root: np.ndarray
    waves: np.ndarray


def night_tables(climate: NightClimate, thresholds_c: Sequence[float] | np.ndarray) -> NightTables:
    """Chances and expected numbers of nights <= each threshold [°C at the site], by day; see model.NightTables."""
    return many_night_tables([climate], [thresholds_c])[0]


def many_night_tables(climates: Sequence[NightClimate],
                      thresholds_c: Sequence[Sequence[float] | np.ndarray]) -> list[NightTables]:
    """The tables of several sites in one pass; thresholds_c: one sequence of thresholds [°C] per site."""
    thresholds = [np.atleast_1d(np.asarray(t, dtype=float)) for t in thresholds_c]
    levels = [standard_levels(c, t[:, None] + np.zeros(DAYS)) for c, t in zip(climates, thresholds, strict=True)]
    halves = [half for c, rows in zip(climates, levels, strict=True) for half in _halves(c, rows)]
    stayed = iter(_stayed(halves)) if halves else iter(())
    chances = [normal_chance(rows) for rows in levels]
    tables, pairs = [], iter(halves)
    for climate, limits, chance in zip(climates, thresholds, chances, strict=True):
        after, expected_after = _by_day(next(pairs), next(stayed), chance)
        before, expected_before = _by_day(next(pairs), next(stayed), chance)
        tables.append(NightTables(limits, after, before, expected_after, expected_before, climate.turn_index,
                                  climate.cold_index, "normals"))
    return tables


def _halves(climate: NightClimate, levels: np.ndarray) -> Iterator[_Half]:
    """Spring from the day before the turn back to the coldest, then autumn from the turn to the day before it."""
    share, common = np.broadcast_to(climate.details.get("year_share", 0.0), (DAYS,)), shared(climate, levels)
    rest = (1 - climate.lag1) / (1 - share)
    length = (climate.turn_index - climate.cold_index) % DAYS
    spring = (climate.turn_index - 1 - np.arange(length)) % DAYS
    autumn = (climate.turn_index + np.arange(DAYS - length)) % DAYS
    following = (spring + 1) % DAYS
    yield _Half(spring, levels[:, spring], 1 - (1 - common[:, spring]) * rest[following], common[:, spring])
    yield _Half(autumn, levels[:, autumn], 1 - (1 - common[:, autumn]) * rest[autumn], common[:, autumn])


def _stayed(halves: Sequence[_Half]) -> list[np.ndarray]:
    """For each half, the chance (thresholds, days) that no night from the turn on to that day was at its level."""
    shape = max(len(half.days) for half in halves), sum(len(half.levels) for half in halves)
    level, lag, share = np.full(shape, -np.inf), np.zeros(shape), np.zeros(shape)
    ends = np.cumsum([len(half.levels) for half in halves])
    cuts = [(slice(0, len(half.days)), slice(end - len(half.levels), end))
            for half, end in zip(halves, ends, strict=True)]
    for half, cut in zip(halves, cuts, strict=True):
        level[cut], lag[cut], share[cut] = half.levels.T, half.lag.T, half.share.T
    stayed = stay_above(level, lag, share)
    return [stayed[cut].T for cut in cuts]


def _by_day(half: _Half, stayed: np.ndarray, chance: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Chance and expected number of nights by day index, (thresholds, 365), zero outside the half.

    The chance of any is held between the largest chance of one night and the expected number, which bound it
    exactly: so what cannot happen is 0 and what must is 1.
    """
    any_night, expected = np.zeros_like(chance), np.zeros_like(chance)
    expected[:, half.days] = np.cumsum(chance[:, half.days], axis=1)
    most_likely = np.maximum.accumulate(chance[:, half.days], axis=1)
    bounded = np.clip(1 - stayed, most_likely, np.minimum(expected[:, half.days], 1.0))
    any_night[:, half.days] = np.maximum.accumulate(bounded, axis=1)
    return any_night, expected


def stay_above(level: np.ndarray, lag: np.ndarray, share: np.ndarray) -> np.ndarray:
    """Chance that z has been above its level on every step so far.

    level: (steps, columns) on the standard normal scale, infinities allowed; lag: correlation of step s with step
    s - 1 (row 0 unused), yearly part included; share: variance share of the yearly part. Returns (steps, columns).
    Correlations of the rest are held to 0..LARGEST_LAG.
    """
    fast_lag = np.clip(np.round((lag - share) / (1 - share), LAG_DIGITS), 0.0, LARGEST_LAG)
    nodes, weights = np.polynomial.hermite_e.hermegauss(_nodes_needed(float(share.max(initial=0.0))))
    grid = _state_grid(_modes_needed(float(fast_lag[1:].max(initial=0.0))))
    stayed = np.empty(level.shape)
    block = BLOCK_COLUMNS // len(nodes)
    for start in range(0, level.shape[1], block):
        cut = np.s_[:, start:start + block]
        given = (level[cut][..., None] - np.sqrt(share[cut])[..., None] * nodes) / np.sqrt(1 - share[cut])[..., None]
        lags = np.repeat(fast_lag[cut], len(nodes), axis=1)
        by_node = _recursion(given.reshape(lags.shape), lags, grid).reshape(given.shape)
        stayed[cut] = by_node @ (weights / weights.sum())
    return stayed


def _recursion(level: np.ndarray, lag: np.ndarray, grid: _Grid) -> np.ndarray:
    """stay_above for one block without a yearly part, in single precision: (steps, columns).

    Columns are laid out as (bundles, columns of a bundle), the state as (bundles, N, columns of a bundle): products
    of bundles stay below the size from which linear algebra libraries start threads that cost more than they bring.
    """
    width = max(1, SINGLE_THREAD_PRODUCT // grid.waves.size)
    level = _bundled(level / grid.step, width, -np.inf)
    log_lag = _bundled(np.log(np.maximum(lag, TINY_LAG)), width, 0.0)
    powers = np.arange(grid.waves.shape[1], dtype=np.float32)[:, None]
    upper_edge = (grid.at / grid.step + 0.5).astype(np.float32)[:, None]
    state = np.zeros((level.shape[1], len(grid.at), width), dtype=np.float32) + grid.root[:, None]
    stayed = np.empty(level.shape)
    damping = None
    for s in range(len(level)):
        if s:
            if damping is None or not np.array_equal(log_lag[s], log_lag[s - 1]):
                damping = np.exp(powers * log_lag[s][:, None, :])
            state = grid.waves @ (damping * (grid.waves.T @ state))
        state *= _kept(upper_edge - level[s][:, None, :])
        stayed[s] = (grid.root @ state) * grid.step
        if s % CLEANING_STEPS == 0:
            state *= (stayed[s] > HOPELESS)[:, None, :]
    return stayed.reshape(len(level), -1)[:, :lag.shape[1]]


def _kept(cells_above: np.ndarray) -> np.ndarray:
    """Weights of the states (bundles, N, width) that integrate what lies above the level, to third order.

    cells_above: upper edge of each state's cell less the level, in cells. In the cell that the level cuts, a share is
    left; as its centre lies off the state's, and for the end correction of the midpoint rule (f'/24, Euler and
    Maclaurin), part of its weight moves to the state above.
    """
    kept = np.clip(cells_above, 0.0, 1.0)
    moved = (kept * (1.0 - kept) * 0.5 - END_CORRECTION) * ((cells_above > 0.0) & (cells_above <= 1.0))
    kept -= moved
    kept[:, 1:] += moved[:, :-1]
    return kept


def _bundled(values: np.ndarray, width: int, filler: float) -> np.ndarray:
    """(steps, columns) to (steps, bundles, width) in single precision, infinities held to +-FAR_LEVEL."""
    missing = -values.shape[1] % width
    filled = np.pad(values, ((0, 0), (0, missing)), constant_values=filler)
    return np.clip(filled, -FAR_LEVEL, FAR_LEVEL).astype(np.float32).reshape(len(values), -1, width)


def _nodes_needed(largest_share: float) -> int:
    return 1 if largest_share == 0 else FEW_NODES if largest_share <= SMALL_SHARE else MANY_NODES


def _modes_needed(largest_lag: float) -> int:
    """How many Hermite functions it takes until the rest of the geometric series is negligible."""
    if largest_lag < 0.01:
        return 2
    return int(np.clip(np.ceil(np.log(NEGLIGIBLE * (1 - largest_lag)) / np.log(largest_lag)), 2, STATES))


@cache
def _state_grid(modes: int) -> _Grid:
    step = 2 * STATE_END / STATES
    at = -STATE_END + step * (np.arange(STATES) + 0.5)
    root = np.exp(-at * at / 4)
    root /= np.sqrt(np.sum(root * root) * step)
    waves = np.empty((STATES, modes))
    waves[:, 0], waves[:, 1] = root, at * root
    for n in range(2, modes):
        waves[:, n] = (at * waves[:, n - 1] - np.sqrt(n - 1) * waves[:, n - 2]) / np.sqrt(n)
    return _Grid(at, step, root.astype(np.float32), (waves * np.sqrt(step)).astype(np.float32))
