"""Fits: curves of peak against speed laid through measured pulls, with their bands."""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from recoverykit.measurements.pull_log import PullLog
from recoverykit.measurements.repeatability import step_statistics, student_t
from recoverykit.measurements.shapes import Shape
from recoverykit.units.quantities import InputError, Q
from recoverykit.units.text import counted
from recoverykit.units.validation import from_si, not_negative, takes_quantities

SAME = "the same at every speed"
IN_PROPORTION = "in proportion to the peak"


_CLEARLY = 2.0  # logarithm of a likelihood ratio
# A fit that the pulls settle needs 5 to 20; one that runs into its limits would never end.
_MOST_STEPS = 40
_CONVERGED = 1e-12  # relative change of the values, and of the squares
_IMAGINARY = 1e-30


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

    `values` are those of the shape's curve; `scatter` says whether the pulls scatter alike at
    every speed or in proportion to the peak, and `residual` by how much (N, or a fraction of the
    peak). SI floats; the public methods take and give quantities.
    """

    shape: Shape
    scatter: str
    values: np.ndarray
    covariance: np.ndarray
    residual: float
    degrees_of_freedom: int
    lowest: float
    highest: float

    @takes_quantities(speed=not_negative("speed"))
    def band(self, speed) -> FitBand:
        """The fitted peak with its 95 % confidence and prediction band at a speed ≥ 0.

            F ± t √(g' C g + c²)   and   F ± t √(g' C g + c² + s²)

        with the slopes g of the curve in its parameters, their covariance C, the misfit c of the
        shape (nil for all but the general rope), and the scatter s of single pulls; t is
        Student's. Exact for the straight lines, to first order for the
        others. Source: Seber & Wild, Nonlinear Regression (1989), 5.1 (memory, sure).

        >>> from recoverykit.measurements.shapes import ORIGIN
        >>> log = PullLog(Q([2, 4, 6, 2, 4, 6], "km/h"), Q([7.1, 14, 21, 7.4, 15, 22], "kN"))
        >>> band = fit(log, ORIGIN).band(Q(8, "km/h"))
        >>> print(f"{band.force.m_as('kN'):.1f} to {band.prediction_high.m_as('kN'):.1f} kN")
        28.9 to 31.3 kN
        >>> bool(band.beyond)
        True
        """
        force, confidence, prediction = self.band_si(speed)
        return FitBand(
            force=from_si(force, "force"),
            confidence_low=from_si(force - confidence, "force"),
            confidence_high=from_si(force + confidence, "force"),
            prediction_low=from_si(force - prediction, "force"),
            prediction_high=from_si(force + prediction, "force"),
            beyond=(speed < self.lowest * (1 - 1e-9)) | (speed > self.highest * (1 + 1e-9)),
        )

    def band_si(self, speed):
        """The fitted peak, and half the confidence and prediction bands (m/s in, N out)."""
        v = np.asarray(speed) / self.highest
        force = self.shape.curve(self.values, v)
        slopes = slopes_of(lambda values: self.shape.curve(values, np.ravel(v)), self.values)
        slopes = slopes.reshape(-1, *v.shape)
        variance = np.einsum("i...,ij,j...->...", slopes, self.covariance, slopes)
        variance += (self.shape.misfit * force) ** 2
        single = self.residual * (force if self.scatter == IN_PROPORTION else 1.0)
        return force, self.t * np.sqrt(variance), self.t * np.sqrt(variance + single**2)

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
        slopes = np.ravel(slopes_of(function, self.values))
        return function(self.values), math.sqrt(slopes @ self.covariance @ slopes)

    @property
    def t(self) -> float:
        """Student's t for a two-sided band."""
        return student_t(self.degrees_of_freedom)


# --- fitting ----------------------------------------------------------------------------


def fit(log: PullLog, shape: Shape, scatter: str | None = None) -> Fit:
    """Lay a shape through the pulls of a log by (weighted) least squares.

    Minimizes Σ (F − F(v))², or, where pulls scatter in proportion to the peak, that sum with
    each term divided by the square of its speed step's mean peak. `scatter` is SAME or
    IN_PROPORTION; without it, the log decides (`scatters_of`). Range: more pulls than the shape
    has parameters, and at least as many different speeds above 0. Raises InputError otherwise.
    Pulls at the meter's full scale are left out, see `PullLog.below_full_scale`. Source:
    scipy.optimize.least_squares, within the limits of the shape.

    >>> from recoverykit.measurements.shapes import ORIGIN
    >>> log = PullLog(Q([2, 4, 6, 2, 4, 6], "km/h"), Q([7.1, 14, 21, 7.4, 15, 22], "kN"))
    >>> slope, error = fit(log, ORIGIN).parameters["first slope"]
    >>> print(*(f"{value.m_as('kN/(km/h)'):.2f}" for value in (slope, error)))
    3.61 0.04
    """
    log = log.below_full_scale
    return fit_points(shape, points_of(log, scatter or scatters_of(log)[0]))


def fit_points(shape: Shape, points: "Points") -> Fit:
    """Lay a shape through pulls gathered by speed; see `fit`."""
    if points.pulls <= shape.parameters or np.sum(points.speed > 0) < shape.parameters:
        raise InputError(
            f"fit: {counted(points.pulls, 'pull')} at {counted(len(points.speed), 'speed')} cannot "
            f"show a {shape.name}; pull at least {shape.parameters} different speeds above 0, and "
            f"{shape.parameters + 1} times in all"
        )
    values, error = least_squares(shape, points)
    degrees_of_freedom = points.pulls - shape.parameters
    residual = math.sqrt((error + np.sum(points.within)) / degrees_of_freedom)
    slopes = slopes_of(lambda values: shape.curve(values, points.speed), values)
    inverse = np.linalg.pinv(slopes * np.sqrt(points.weight))
    return Fit(
        shape,
        points.scatter,
        values,
        residual**2 * inverse.T @ inverse,
        residual,
        degrees_of_freedom,
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
    from scipy import optimize

    root = np.sqrt(points.weight)

    def curve(values):
        return root * shape.curve(values, points.speed)

    if shape.linear:
        slopes = slopes_of(curve, np.array(shape.start(1.0))).T
        values = np.linalg.lstsq(slopes, root * points.peak)[0]
        return values, float(np.sum((curve(values) - root * points.peak) ** 2))
    found = optimize.least_squares(
        lambda values: curve(values) - root * points.peak,
        shape.start(points.peak.max()),
        jac=lambda values: slopes_of(curve, values).T,
        bounds=(shape.low, shape.high),
        x_scale="jac",
        method="dogbox",
        xtol=_CONVERGED,
        ftol=_CONVERGED,
        gtol=None,
        max_nfev=_MOST_STEPS,
    )
    return found.x, 2 * found.cost


def slopes_of(function: Callable, values: np.ndarray) -> np.ndarray:
    """The slopes of an analytic function in each of its values, one row each.

    By a step along the imaginary axis, which leaves nothing to cancel: exact to all digits.
    Source: Squire & Trapp, Using Complex Variables to Estimate Derivatives, SIAM Rev. 40 (1998)
    (memory, sure).

    >>> slopes_of(lambda values: values[0] ** 2 + values[1], np.array([3.0, 1.0])).tolist()
    [[6.0], [1.0]]
    """
    stepped = values[:, np.newaxis] + 1j * _IMAGINARY * np.eye(len(values))
    return np.imag(function(stepped[..., np.newaxis])) / _IMAGINARY
