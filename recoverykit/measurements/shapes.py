"""Shapes: the families of curves of peak against speed that are laid through measured pulls."""

import itertools
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

_MOST_STEPS = 60  # of Newton's method, which needs fewer than 20
_LEAST_DRIVE = 1e-9  # share of the work; at 0 the root at standstill is a double one


@dataclass(frozen=True)
class Shape:
    """A family of curves F(v).

    `curve` gives the peak (N) for fitted values and a speed v, a fraction of the highest measured
    one. `meaning` turns the values and the highest speed (m/s) into what they stand for. The fit
    searches from `start`, given the highest measured peak (N), between `low` and `high`. All of
    them are analytic, so that they can be differentiated along the imaginary axis.

    `rope` tells shapes that follow from the energy of a vehicle on a rope; only these may be
    carried beyond the measured speeds. `stretch` gives the stretch of such a rope at the highest
    speed, as a fraction of (mass × highest speed² / peak). `misfit` widens the bands: it is the
    share of the peak by which a real rope may lie off the fitted shape. `tangent` gives the
    stiffness at the highest peak itself, dT/dx, over the mean stiffness up to it, T/x. `linear`
    marks curves that are linear in their values, which are fitted without a search.
    """

    name: str
    meaning: tuple[tuple[str, str, Callable], ...]
    curve: Callable
    start: Callable
    low: float | tuple[float, ...] = 0.0
    high: float | tuple[float, ...] = np.inf
    stretch: Callable | None = None
    misfit: float = 0.0
    tangent: Callable | None = None
    linear: bool = False

    @property
    def rope(self) -> bool:
        """Whether the shape follows from the energy of a vehicle on a rope."""
        return self.stretch is not None

    @property
    def parameters(self) -> int:
        """How many numbers are fitted."""
        return len(self.meaning)


def _peak(v, peak, stiffening, drive):
    """The peak of a rope that stiffens, under a constant drive.

    From ½ m v² + D x = ∫ T dx with T = k x (1 + b x). In terms of the peak and the stretch at
    the highest speed, with h (`stiffening`) the share of b k x² in that peak and r (`drive`) the
    share of the drive in that work e, it reads

        e (1 − r) v² + e r x = (1 − h) x²/2 + h x³/3,   e = 1/2 − h/6

    which Newton solves from the right: x = max(1, v) is never below the root, and the curve is
    convex.
    """
    work = _work(stiffening)
    x = np.maximum(1.0, v) + 0 * work
    for _ in range(_MOST_STEPS):
        left = x * ((1 - stiffening) * x / 2 + stiffening * x**2 / 3 - work * drive)
        left = left - work * (1 - drive) * v**2
        step = left / ((1 - stiffening) * x + stiffening * x**2 - work * drive)
        x = x - step
        if np.all(np.abs(step) <= 1e-10 * np.abs(x) + 1e-15):
            break
    return peak * x * (1 - stiffening + stiffening * x)


def _work(stiffening):
    """The work of stretching a rope to its peak, over peak × stretch."""
    return 0.5 - stiffening / 6


def _most_stretch(stiffening, drive):
    """The stretch at the highest speed, over mass × speed² / peak."""
    return 0.5 / (_work(stiffening) * (1 - drive))


def _first_slope(top, peak, stiffening, drive):
    """√(k m) of the first stretch: the peak over the speed of a slow pull without drive."""
    return peak / top * np.sqrt((1 - stiffening) / _most_stretch(stiffening, drive))


def _rope(name: str, stiffens: bool = False, driven: bool = False, **more) -> Shape:
    """A rope that stiffens or not, with the drive kept on or not.

    Of its peak, stiffening and drive only those are fitted that it has; the others are nil.
    """
    fitted = (True, stiffens, driven)

    def whole(values):
        """Peak, stiffening and drive."""
        given = iter(values)
        return [next(given) if each else 0.0 for each in fitted]

    def only_fitted(*each):
        return tuple(itertools.compress(each, fitted))

    def drive_force(values, top):
        peak, stiffening, drive = whole(values)
        return peak * drive * _work(stiffening)

    looks = {
        "curve": lambda values, v: _peak(v, *whole(values)),
        "start": lambda peak: only_fitted(peak, 0.3, 0.2),
        "low": only_fitted(0.0, 0.0, _LEAST_DRIVE),
        "high": only_fitted(np.inf, 1.0, 1.0),
        "stretch": lambda values: _most_stretch(*whole(values)[1:]),
        "tangent": lambda values: 1 + whole(values)[1],
    }
    meaning = only_fitted(
        ("first slope", "N*s/m", lambda values, top: _first_slope(top, *whole(values))),
        ("share of the stiffening in the highest peak", "", lambda values, top: values[1]),
        ("drive force", "N", drive_force),
    )
    return Shape(name, meaning, **(looks | more))


LINE = Shape(
    "straight line",
    # F = a + b v
    (
        ("peak at standstill", "N", lambda values, top: values[0]),
        ("slope", "N*s/m", lambda values, top: values[1] / top),
    ),
    curve=lambda values, v: values[0] + values[1] * v,
    start=lambda peak: (0.0, peak),
    low=-np.inf,
    linear=True,
)
# F = v √(k m)
ORIGIN = _rope("line through the origin", curve=lambda values, v: values[0] * v, linear=True)
# F = D + √(D² + k m v²)
DRIVE = _rope("rope with drive kept on", driven=True)
# ½ m v² = ∫ T dx, T = k x (1 + b x)
STIFFENING = _rope("stiffening rope", stiffens=True)
# ½ m v² + D x = ∫ T dx, T = k x (1 + b x): the three ropes above are limits of it
ROPE = _rope(
    "stiffening rope with drive kept on",
    stiffens=True,
    driven=True,
    # Of the kinds of rope in the tables, fitted without scatter and carried one step on: up to
    # 2.3 % too low (tests/simulations); the rest is for ropes that no table has.
    misfit=0.03,
)
SQUARE = Shape(
    "square of the speed",
    # F = a v²
    (("factor", "N*s²/m²", lambda values, top: values[0] / top**2),),
    curve=lambda values, v: values[0] * v**2,
    start=lambda peak: (peak,),
    linear=True,
)
EXPONENTIAL = Shape(
    "exponential",
    # F = a exp(b v)
    (
        ("peak at standstill", "N", lambda values, top: values[0]),
        ("rate", "s/m", lambda values, top: values[1] / top),
    ),
    curve=lambda values, v: values[0] * np.exp(values[1] * v),
    start=lambda peak: (0.2 * peak, 1.6),
    high=(np.inf, 20.0),
)
SHAPES = (LINE, ORIGIN, DRIVE, STIFFENING, ROPE, SQUARE, EXPONENTIAL)
IMPOSSIBLE = (SQUARE, EXPONENTIAL)  # for any rope; the straight line is merely no rope's own
