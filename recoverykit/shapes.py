"""Shapes: the families of curves of peak against speed that are laid through measured pulls."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Shape:
    """A family of curves F(v): a weighted sum of columns, which one parameter, the bend, shapes.

    All functions take v as a fraction of the highest measured speed, and the bend (a number that
    fits that scale, 0 where a shape has none). `columns` gives the curves that are summed up,
    `by_bend` the derivative of the only column of a shape with a bend. `stretch` gives the
    stretch of the rope as a fraction of (highest speed × mass / first slope). `meaning` turns
    the fitted values and the highest speed (m/s) into what they stand for.
    """

    name: str
    meaning: tuple[tuple[str, str, Callable], ...]
    columns: Callable
    by_bend: Callable | None = None
    greatest_bend: float = 0.0
    stretch: Callable | None = None
    wrong: bool = False

    @property
    def parameters(self) -> int:
        """How many numbers are fitted."""
        return len(self.meaning)

    def bend(self, values: np.ndarray) -> float:
        """The bend among fitted values, 0 for a shape that has none."""
        return values[-1] if self.by_bend else 0.0

    def curve(self, values: np.ndarray, v):
        """The peak (N) at a fraction of the highest measured speed."""
        columns = self.columns(np.asarray(v), self.bend(values))
        return sum(weight * column for weight, column in zip(values, columns, strict=False))

    def slopes(self, values: np.ndarray, v) -> list:
        """The slopes of the curve in each fitted value."""
        if self.by_bend is None:
            return self.columns(v, 0.0)
        weight, bend = values
        return [*self.columns(v, bend), weight * self.by_bend(v, bend)]


def _drive(v, bend):
    return bend + np.hypot(bend, v)


def _drive_by_bend(v, bend):
    root = np.hypot(bend, v)
    return 1 + np.divide(bend, root, out=np.ones_like(root), where=root > 0)


def _stiffening_stretch(v, bend):
    return v * np.sqrt(2 / (1 + np.sqrt(1 + 2 * bend * v**2)))


def _stiffening(v, bend):
    return _stiffening_stretch(v, bend) * np.sqrt(1 + 2 * bend * v**2)


def _stiffening_by_bend(v, bend):
    root = np.sqrt(1 + 2 * bend * v**2)
    return _stiffening_stretch(v, bend) * v**2 * (2 + root) / (2 * root * (1 + root))


_FIRST_SLOPE = ("first slope", "N*s/m", lambda values, top: values[0] / top)

LINE = Shape(
    "straight line",
    # F = a + b v
    (
        ("peak at standstill", "N", lambda values, top: values[0]),
        ("slope", "N*s/m", lambda values, top: values[1] / top),
    ),
    columns=lambda v, bend: [np.ones_like(v), v],
)
ORIGIN = Shape(
    "line through the origin",
    # F = v √(k m)
    (_FIRST_SLOPE,),
    columns=lambda v, bend: [v],
    stretch=lambda v, bend: v,
)
DRIVE = Shape(
    "rope with drive kept on",
    # F = D + √(D² + k m v²)
    (_FIRST_SLOPE, ("drive force", "N", lambda values, top: values[0] * values[1])),
    columns=lambda v, bend: [_drive(v, bend)],
    by_bend=_drive_by_bend,
    greatest_bend=10.0,
    stretch=_drive,
)
STIFFENING = Shape(
    "stiffening rope",
    # F = k x + c x³,  m v² = k x² + c x⁴/2
    (
        _FIRST_SLOPE,
        ("peak over first slope, at the highest speed", "", lambda v, top: _stiffening(1.0, v[1])),
    ),
    columns=lambda v, bend: [_stiffening(v, bend)],
    by_bend=_stiffening_by_bend,
    greatest_bend=1000.0,
    stretch=_stiffening_stretch,
)
SQUARE = Shape(
    "square of the speed",
    # F = a v²
    (("factor", "N*s²/m²", lambda values, top: values[0] / top**2),),
    columns=lambda v, bend: [v**2],
    wrong=True,
)
EXPONENTIAL = Shape(
    "exponential",
    # F = a exp(b v)
    (
        ("peak at standstill", "N", lambda values, top: values[0]),
        ("rate", "s/m", lambda values, top: values[1] / top),
    ),
    columns=lambda v, bend: [np.exp(bend * v)],
    by_bend=lambda v, bend: v * np.exp(bend * v),
    greatest_bend=20.0,
    wrong=True,
)
SHAPES = (LINE, ORIGIN, DRIVE, STIFFENING, SQUARE, EXPONENTIAL)
