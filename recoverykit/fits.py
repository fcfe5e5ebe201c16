"""Fits: curves of peak against speed laid through measured pulls, with their bands."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from recoverykit.border import border, from_si, not_negative
from recoverykit.pulllog import PullLog
from recoverykit.repeats import LEVEL, step_statistics
from recoverykit.shapes import Shape
from recoverykit.units import InputError, Q
from recoverykit.wording import counted

SAME = "the same at every speed"
IN_PROPORTION = "in proportion to the peak"


_CLEARLY = 2.0  # logarithm of a likelihood ratio
_BENDS = 30  # tried before the best one is refined
_STEP = 1e-4  # relative, for slopes of what is derived from fitted values


# --- the fitted curve -------------------------------------------------------------------


@dataclass(frozen=True)
class FitBand:
    """A fitted curve with its bands: where the curve may lie, and where the next pull may lie.

    `beyond` is True where nothing was measured: there the bands hold only if the shape does.
    """

    force: Q
    confidence_low: Q
    confidence_high: Q
    prediction_low: Q
    prediction_high: Q
    beyond: np.ndarray


@dataclass(frozen=True, eq=False)
class Fit:
    """A shape laid through a log by least squares.

    `values` are the weights of the columns, then the bend; `scatter` says whether the pulls
    scatter alike at every speed or in proportion to the peak, and `residual` by how much (N, or
    a fraction of the peak). SI floats; the public methods take and give quantities.
    """

    shape: Shape
    scatter: str
    values: np.ndarray
    covariance: np.ndarray
    residual: float
    freedom: int
    lowest: float
    highest: float

    @border(speed=not_negative("speed"))
    def band(self, speed, level: float = LEVEL) -> FitBand:
        """The fitted peak with its confidence and prediction band at a speed ≥ 0.

            F ± t √(g' C g)   and   F ± t √(g' C g + s²)

        with the slopes g of the curve in its parameters, their covariance C, and the scatter s
        of single pulls; t is Student's. Exact for the straight lines, to first order for the
        others. Source: Seber & Wild, Nonlinear Regression (1989), 5.1 (memory, sure).

        >>> from recoverykit.shapes import ORIGIN
        >>> log = PullLog(Q([2, 4, 6, 2, 4, 6], "km/h"), Q([7.1, 14, 21, 7.4, 15, 22], "kN"))
        >>> band = fit(log, ORIGIN).band(Q(8, "km/h"))
        >>> print(f"{band.force.m_as('kN'):.1f} to {band.prediction_high.m_as('kN'):.1f} kN")
        28.9 to 31.3 kN
        >>> bool(band.beyond)
        True
        """
        force, confidence, prediction = self.band_si(speed, level)
        return FitBand(
            force=from_si(force, "force"),
            confidence_low=from_si(force - confidence, "force"),
            confidence_high=from_si(force + confidence, "force"),
            prediction_low=from_si(force - prediction, "force"),
            prediction_high=from_si(force + prediction, "force"),
            beyond=(speed < self.lowest * (1 - 1e-9)) | (speed > self.highest * (1 + 1e-9)),
        )

    def band_si(self, speed, level: float = LEVEL):
        """The fitted peak, and half the confidence and prediction bands (m/s in, N out)."""
        v = np.asarray(speed) / self.highest
        force = self.shape.curve(self.values, v)
        slopes = np.array(self.shape.slopes(self.values, v))
        variance = np.einsum("i...,ij,j...->...", slopes, self.covariance, slopes)
        single = self.residual * (force if self.scatter == IN_PROPORTION else 1.0)
        t = self.t(level)
        return force, t * np.sqrt(variance), t * np.sqrt(variance + single**2)

    @property
    def parameters(self) -> dict[str, tuple[Q, Q]]:
        """What was fitted, by name: each value with its standard error."""
        found = {}
        for name, unit, meaning in self.shape.meaning:
            value, error = self.derived(lambda values, of=meaning: of(values, self.highest))
            found[name] = (Q(value, unit), Q(error, unit))
        return found

    def derived(self, function: Callable) -> tuple[float, float]:
        """A number that follows from the fitted values, with its standard error (first order)."""
        steps = _STEP * np.where(self.values == 0, 1.0, np.abs(self.values))
        slopes = [
            (function(self.values + step) - function(self.values - step)) / (2 * step.sum())
            for step in np.diag(steps)
        ]
        return function(self.values), math.sqrt(slopes @ self.covariance @ slopes)

    def t(self, level: float) -> float:
        """Student's t for a two-sided band."""
        from scipy.special import stdtrit

        if not 0 < level < 1:
            raise InputError(
                f"Fit.t: level: {level!r} is not between 0 and 1; write for example level=0.95"
            )
        return float(stdtrit(self.freedom, (1 + level) / 2))


# --- fitting ----------------------------------------------------------------------------


def fit(log: PullLog, shape: Shape, scatter: str | None = None) -> Fit:
    """Lay a shape through the pulls of a log by (weighted) least squares.

    Minimises Σ (F − F(v))², or, where pulls scatter in proportion to the peak, that sum with
    each term divided by the square of its speed step's mean peak. `scatter` is SAME or
    IN_PROPORTION; without it, the log decides (`scatters_of`). Range: more pulls than the shape
    has parameters, and at least as many different speeds above 0. Raises InputError otherwise.
    Source: Golub & Pereyra (1973), variable projection: the weights are linear, so that only
    the bend is searched, by scipy.optimize.

    >>> from recoverykit.shapes import ORIGIN
    >>> log = PullLog(Q([2, 4, 6, 2, 4, 6], "km/h"), Q([7.1, 14, 21, 7.4, 15, 22], "kN"))
    >>> slope, error = fit(log, ORIGIN).parameters["first slope"]
    >>> print(*(f"{value.m_as('kN/(km/h)'):.2f}" for value in (slope, error)))
    3.61 0.04
    """
    points = points_of(log, scatter or scatters_of(log)[0])
    if points.pulls <= shape.parameters or np.sum(points.speed > 0) < shape.parameters:
        raise InputError(
            f"fit: {counted(points.pulls, 'pull')} at {counted(len(points.speed), 'speed')} cannot "
            f"show a {shape.name}; pull at least {shape.parameters} different speeds above 0, and "
            f"{shape.parameters + 1} times in all"
        )
    values, error = least_squares(shape, points)
    freedom = points.pulls - shape.parameters
    residual = math.sqrt((error + np.sum(points.within)) / freedom)
    slopes = np.array(shape.slopes(values, points.speed)) * np.sqrt(points.weight)
    inverse = np.linalg.pinv(slopes)
    return Fit(
        shape,
        points.scatter,
        values,
        residual**2 * inverse.T @ inverse,
        residual,
        freedom,
        points.lowest,
        points.highest,
    )


def scatters_of(log: PullLog) -> tuple[str, ...]:
    """How the pulls may scatter, as far as the repeats can tell; a fit goes by the first.

    SAME or IN_PROPORTION alone where that is clear (a likelihood at least e² = 7.4 times that of
    the other, for normal scatter within the speed steps). Otherwise both, IN_PROPORTION first: it
    keeps the band wide at the fast end, where people can be hurt, though then it may be too
    narrow at the slow end.
    """
    pulls, _, mean, squares = step_statistics(log)
    alike, relative = np.sum(squares), np.sum(squares / mean**2)
    if relative == 0:
        return IN_PROPORTION, SAME
    times = np.sum(pulls - 1) / 2 * math.log(alike / relative)
    gain = times - np.sum((pulls - 1) * np.log(mean))
    if abs(gain) < _CLEARLY:
        return IN_PROPORTION, SAME
    return (IN_PROPORTION,) if gain > 0 else (SAME,)


@dataclass(frozen=True)
class Points:
    """Pulls gathered by speed: all that least squares needs, however many there are.

    Speeds are fractions of `highest`; `weight` counts the pulls at a speed, each by its scatter;
    `within` are the weighted squares about their mean; `step` is the speed step of each.
    """

    speed: np.ndarray
    peak: np.ndarray
    weight: np.ndarray
    within: np.ndarray
    step: np.ndarray
    pulls: int
    lowest: float
    highest: float
    scatter: str

    def keep(self, chosen: np.ndarray) -> "Points":
        """Only the chosen speeds, on the same scale."""
        arrays = ("speed", "peak", "weight", "within", "step")
        return replace(self, **{name: getattr(self, name)[chosen] for name in arrays})


def points_of(log: PullLog, scatter: str) -> Points:
    """Gather the pulls of a log by speed, weighted for a kind of scatter."""
    if scatter not in (SAME, IN_PROPORTION):
        raise InputError(
            f'fit: scatter: {scatter!r} is neither; write scatter="{SAME}" or "{IN_PROPORTION}"'
        )
    speed, first, place = np.unique(log.speed_si, return_index=True, return_inverse=True)
    if speed[-1] == 0:
        raise InputError("fit: every pull has speed 0; a curve needs pulls at several speeds")
    count = np.bincount(place)
    peak = np.bincount(place, weights=log.peak_si) / count
    step = log.step[first]
    unit = np.ones(len(speed))
    if scatter == IN_PROPORTION:
        unit = step_statistics(log)[2][step] ** -2.0
    squares = np.bincount(place, weights=(log.peak_si - peak[place]) ** 2)
    top = float(speed[-1])
    return Points(
        speed / top, peak, count * unit, squares * unit, step, len(log), speed[0], top, scatter
    )


def least_squares(shape: Shape, points: Points) -> tuple[np.ndarray, float]:
    """The values that fit best, and the weighted squares that are left about the means."""
    root = np.sqrt(points.weight)
    target = root * points.peak

    def weights(bend: float):
        columns = np.array(shape.columns(points.speed, bend)) * root
        if len(columns) == 1:
            best = columns @ target / np.sum(columns**2)
        else:
            best = np.linalg.lstsq(columns.T, target)[0]
        return best, float(np.sum((target - best @ columns) ** 2))

    if shape.by_bend is None:
        return weights(0.0)
    bend = _best_bend(lambda bend: weights(bend)[1], shape.greatest_bend)
    best, error = weights(bend)
    return np.array([*best, bend]), error


def _best_bend(error: Callable[[float], float], greatest: float) -> float:
    """The bend of least error from 0 to `greatest`: the best of a few tried, then refined."""
    from scipy.optimize import minimize_scalar

    tried = np.concatenate([[0.0], np.geomspace(1e-3, greatest, _BENDS)])
    errors = [error(bend) for bend in tried]
    best = int(np.argmin(errors))
    between = (tried[max(best - 1, 0)], tried[min(best + 1, _BENDS)])
    found = minimize_scalar(error, bounds=between, method="bounded", options={"xatol": 1e-10})
    return found.x if found.fun < errors[best] else tried[best]
