"""Curve: how a rope takes up load, as parts of its breaking strength and its stretch at break."""

import functools
import itertools
from collections.abc import Callable
from dataclasses import dataclass
from numbers import Real

import numpy as np

from recoverykit.units.quantities import InputError, Q

# What a curve can be asked for.
LOAD, ENERGY, SLOPE = range(3)

_MOST_POINTS = 100
_MOST_STEPS = 200  # of a root search; halving alone needs 60


@dataclass(frozen=True)
class LoadCurve:
    """How a kind of rope takes up load: fractions of the breaking strength against stretch.

    `stretch` is a part of the stretch at break, `load` a part of the breaking strength: plain
    numbers that rise from 0 to 1. Between the points runs a cubic that never turns back
    (monotone), so that each load belongs to one stretch; its integral and inverse are exact.
    Range: 2 to 100 points, both rising strictly from 0 to 1. Raises InputError otherwise.
    Source: Fritsch and Carlson, Monotone Piecewise Cubic Interpolation, SIAM J. Numer. Anal. 17
    (1980), as in scipy's PchipInterpolator.

    >>> curve = LoadCurve(stretch=(0, 0.5, 1), load=(0, 0.25, 1))
    >>> print(f"{curve.load_at(0.75):.3f} {curve.stretch_at(0.25):.3f}")
    0.547 0.500
    >>> print(f"{curve.energy_at(1.0):.3f}, or {LINEAR.energy_at(1.0)} on a straight line")
    0.333, or 0.5 on a straight line
    """

    stretch: tuple[float, ...]
    load: tuple[float, ...]

    def __post_init__(self):
        for name in ("stretch", "load"):
            object.__setattr__(self, name, _rising_fractions(name, getattr(self, name)))
        if len(self.stretch) != len(self.load):
            raise InputError(
                f"LoadCurve: {len(self.stretch)} stretches and {len(self.load)} loads came; "
                f"give one load for each stretch"
            )

    def load_at(self, stretch):
        """The load at a stretch, both as fractions."""
        return self.look_up(stretch, LOAD)[0]

    def energy_at(self, stretch):
        """The work of stretching so far, over breaking strength times stretch at break."""
        return self.look_up(stretch, ENERGY)[0]

    def look_up(self, stretch, *what: int) -> list:
        """Any of LOAD, ENERGY and SLOPE at a stretch: one search for all of them."""
        tables = [self.pieces[which] for which in what]
        if len(self.stretch) == 2:
            return [np.polyval(table[:, 0], stretch) for table in tables]
        piece = self.knots[1:-1].searchsorted(stretch, side="right")
        beyond = stretch - self.knots.take(piece)
        return [np.polyval(table[:, piece], beyond) for table in tables]

    def stretch_at(self, load):
        """The stretch at a load, both as fractions: the inverse of `load_at`."""

        def excess(stretch):
            value, slope = self.look_up(stretch, LOAD, SLOPE)
            return value - load, slope

        stretch = rising_root(excess, np.zeros(np.shape(load)), 1.0)
        # The break itself is known, and where the curve ends flat it is hard to find.
        return np.where(np.asarray(load) == 1, 1.0, stretch)[()]

    @functools.cached_property
    def pieces(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Polynomials of load, energy and slope between the points, highest power first.

        One column a piece, in powers of the stretch beyond the piece's first point.
        """
        if len(self.stretch) == 2:
            return np.array([[1.0], [0.0]]), np.array([[0.5], [0.0], [0.0]]), np.array([[1.0]])
        # Loading scipy takes longer than all the rest of the library, and the straight line of
        # the first lessons needs none of it.
        from scipy.interpolate import PchipInterpolator

        load = PchipInterpolator(self.stretch, self.load)
        return load.c, load.antiderivative().c, load.derivative().c

    @functools.cached_property
    def slopes(self) -> tuple[np.ndarray, np.ndarray]:
        """The least and the greatest slope within each piece."""
        widths = np.diff(self.stretch)
        slope = self.pieces[2]
        # A slope is at most a parabola: its extremes are at the ends or where it turns.
        places = [np.zeros_like(widths), widths]
        if len(slope) == 3:
            with np.errstate(divide="ignore", invalid="ignore"):
                turn = -slope[1] / (2 * slope[0])
            places.append(np.where((turn > 0) & (turn < widths), turn, 0.0))
        # A curve that does not turn back falls nowhere; less than zero is a rounding.
        values = [np.maximum(np.polyval(slope, place), 0.0) for place in places]
        return np.min(values, axis=0), np.max(values, axis=0)

    @functools.cached_property
    def knots(self) -> np.ndarray:
        """The stretches of the points: where one piece goes over into the next."""
        return np.array(self.stretch)


def _fraction(point) -> float:
    if isinstance(point, Q) and point.check(""):
        return float(point.m_as(""))
    if isinstance(point, Real):
        return float(point)
    raise TypeError(f"{point!r} is not a plain number")


def _rising_fractions(name: str, given) -> tuple[float, ...]:
    try:
        points = tuple(_fraction(point) for point in given)
    except (TypeError, ValueError):
        points = ()
    rises = all(before < after for before, after in itertools.pairwise(points))
    if not (2 <= len(points) <= _MOST_POINTS and rises and points[0] == 0 and points[-1] == 1):
        raise InputError(
            f"LoadCurve: {name}: {given!r:.60} is not 2 to {_MOST_POINTS} numbers that rise from "
            f"0 to 1; write for example {name}=(0, 0.5, 1)"
        )
    return points


def rising_root(excess: Callable, low, high):
    """Where a rising function passes zero, between `low` (not above it) and `high` (not below it).

    `excess` gives value and slope at a place. Newton's steps, or halves of the bracket where a
    step would leave it or the one before did not halve the value: without that, Newton can swing
    for ever about a bend of the function. For scalars or arrays.

    >>> print(f"{rising_root(lambda x: (x**2 - 2, 2 * x), 0, 2):.6f}")
    1.414214
    """
    low, high = np.broadcast_arrays(np.asarray(low, float), np.asarray(high, float))
    root, before = high, np.full(high.shape, np.inf)
    for _ in range(_MOST_STEPS):
        value, slope = excess(root)
        low, high = np.where(value < 0, root, low), np.where(value < 0, high, root)
        with np.errstate(divide="ignore", invalid="ignore"):
            step = root - value / slope
        # Newton's error falls with its own square: a last step of 1e-9 leaves 1e-18.
        near = 1e-9 * root + 1e-16
        nearer = (np.abs(value) <= before / 2) | (np.abs(step - root) <= near)
        newton = nearer & (step >= low) & (step <= high)
        step = np.where(newton, step, (low + high) / 2)
        before = np.where(newton, np.abs(value), np.inf)
        accepted = np.abs(step - root) <= near
        root = step
        if np.all(accepted):
            break
    return root[()]


LINEAR = LoadCurve(stretch=(0.0, 1.0), load=(0.0, 1.0))
