"""Stiffness: what the rope must be like that gave the measured peaks."""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from recoverykit.measurements.regression import Fit
from recoverykit.units.quantities import InputError, Q
from recoverykit.units.validation import from_si, positive, takes_quantities

_OPEN = math.log(100)  # a band that reaches a hundredfold both ways says nothing


@dataclass(frozen=True)
class EffectiveStiffness:
    """The stiffness that would give the fitted peaks, and the stretch that it implies.

    `first` is the stiffness of the first centimeters, `at_top` the peak over the stretch at the
    highest measured speed, `at_peak` the slope dT/dx at that peak; they differ only for a
    stiffening rope. Each comes with its 95 % band: middle, low, high.
    """

    first: tuple[Q, Q, Q]
    at_top: tuple[Q, Q, Q]
    at_peak: tuple[Q, Q, Q]
    stretch: tuple[Q, Q, Q]
    speed: Q

    @property
    def stiffens(self) -> bool:
        """Whether the rope is stiffer over its whole stretch than over the first centimeters."""
        first, top = self.first[0].m_as("N/m"), self.at_top[0].m_as("N/m")
        return not math.isclose(first, top, rel_tol=0.005)


@takes_quantities(mass=positive("mass"))
def effective_stiffness(fit, mass):
    """Stiffness of the rope that would give a fitted curve, for a vehicle of mass m.

        k = (first slope)² / m,   x = F / k, or for the stiffening rope the root of m v² = k x² + …

    from the peak F = v √(k m) of a line through the origin; with drive, and for a stiffening
    rope, from the first slope of √(k m). Bands are of first order, on a logarithmic scale.
    Range: fits of ORIGIN, DRIVE and STIFFENING; mass m > 0, known without error. Raises InputError
    otherwise. Source: Gere, Mechanics of Materials, section 2.8.

    >>> from recoverykit import show
    >>> from recoverykit.measurements.regression import fit
    >>> from recoverykit.measurements.pull_log import PullLog
    >>> from recoverykit.measurements.shapes import ORIGIN
    >>> log = PullLog(Q([2, 4, 6, 2, 4, 6], "km/h"), Q([7.1, 14, 21, 7.4, 15, 22], "kN"))
    >>> found = effective_stiffness(fit(log, ORIGIN), Q(3100, "kg"))
    >>> print(*(show(edge, "stiffness") for edge in found.first))
    54.5 kN/m 51.2 kN/m 58.1 kN/m
    >>> print(*(show(edge, "length") for edge in found.stretch))
    0.397 m 0.385 m 0.410 m
    """
    shape, top = fit.shape, fit.highest
    if shape.stretch is None:
        raise InputError(
            f"effective_stiffness: fit: a {shape.name} says nothing about the rope; use a fit of "
            f"ORIGIN, DRIVE or STIFFENING"
        )

    def stretch(values):
        return shape.stretch(values) * top**2 * mass / shape.curve(values, 1.0)

    def first(values):
        return shape.meaning[0][2](values, top) ** 2 / mass

    def at_top(values):
        return shape.curve(values, 1.0) / stretch(values)

    return EffectiveStiffness(
        _positive_band(fit, first, "stiffness"),
        _positive_band(fit, at_top, "stiffness"),
        _positive_band(fit, lambda values: shape.tangent(values) * at_top(values), "stiffness"),
        _positive_band(fit, stretch, "length"),
        from_si(top, "speed"),
    )


def _positive_band(fit: Fit, function: Callable, kind: str) -> tuple[Q, Q, Q]:
    """A positive number that follows from a fit, and its 95 % band: middle, low, high."""
    middle, error = fit.derived(lambda values: np.log(function(values)))
    half = fit.t * error
    if half > _OPEN:
        raise InputError(
            "effective_stiffness: fit: these pulls leave the stiffness open; measure at more speeds"
        )
    edges = (middle, middle - half, middle + half)
    return tuple(from_si(math.exp(edge), kind) for edge in edges)
