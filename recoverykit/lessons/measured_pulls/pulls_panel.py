"""Panel: measured pulls, what looks wrong among them, and the shape that they show."""

from dataclasses import dataclass

import ipywidgets
import numpy as np

from recoverykit.course.inputs import Choice
from recoverykit.lessons.measured_pulls.outliers import OutlierList
from recoverykit.lessons.measured_pulls.pulls_picture import BEYOND, MeasuredPicture, highest_speed
from recoverykit.lessons.measured_pulls.session import SessionPanel
from recoverykit.measurements.regression import FitBand
from recoverykit.measurements.session import Answer, Session
from recoverykit.measurements.shapes import SHAPES, STIFFENING, Shape
from recoverykit.units.quantities import Q, show
from recoverykit.units.text import counted

_SHAPES = {shape.name: shape for shape in SHAPES}


@dataclass(frozen=True)
class Measured:
    """What the panel works out: the day, and one shape laid through its pulls."""

    session: Session
    shape: Shape
    fit: Answer
    speeds: Q
    curve: FitBand | None  # None: there are too few pulls for this shape
    guess: list[tuple[Q, Q]]  # the learner's (speed, force) points, if any


class MeasuredPullsPanel(SessionPanel):
    """A choice of shapes, and ticks for rows that look wrong; a picture of pulls and bands.

    It starts with the invented log of Marram Point, or with the `book` that is given. With a
    `guess`, everything stays hidden until it is committed.

    >>> panel = MeasuredPullsPanel()
    >>> panel.book.leave_out(4, 12)
    >>> print(panel.summary)
    10 pulls at 6 speeds, from 1.0 km/h to 6.0 km/h. Left out on purpose: rows 4, 12. Stiffening
    rope: at 6.0 km/h the next pull is expected between 18.9 kN and 24.1 kN (95 % band). Pulls at
    one speed scatter by 4.9 % of the peak. The pulls cannot tell apart: stiffening rope, line
    through the origin, rope with drive kept on, stiffening rope with drive kept on, straight
    line. They rule out: exponential, square of the speed.
    """

    picture_type = MeasuredPicture
    inputs = (
        Choice("shape", "Shape", STIFFENING.name, tuple(_SHAPES)).with_help(
            "The curve that is laid through the pulls."
        ),
    )

    _suspects = None

    def compute(self, shape):
        """The chosen shape through the pulls that are kept."""
        session, chosen = self.book.session, _SHAPES[shape]
        fitted = session.fit(chosen)
        speeds = np.linspace(0, BEYOND, 121) * highest_speed(session)
        return Measured(
            session=session,
            shape=chosen,
            fit=fitted,
            speeds=speeds,
            curve=fitted.value and fitted.value.band(speeds),
            guess=self._guessed_points,
        )

    def describe(self, result, system):
        """The log, the shape at the highest speed, the scatter, and the shapes that are left."""
        parts = [
            result.session.kept.summary,
            _shape_in_words(result, system),
            _scatter_in_words(result.session),
            _shapes_in_words(result.session),
        ]
        return " ".join(part for part in parts if part)

    @property
    def view(self) -> ipywidgets.Widget:
        """Rows that look wrong, to tick, above the panel's own widgets."""
        if self._suspects is None:
            self._suspects = OutlierList(self.book, self._guess)
            self._whole = ipywidgets.VBox([super().view, self._suspects.view])
        return self._whole


def _shape_in_words(result: Measured, system) -> str:
    name = result.shape.name.capitalize()
    if result.curve is None:
        return f"{name}: no curve, since {result.fit.reason}."
    top = result.session.kept.speed.max()
    band = result.fit.value.band(top)
    low, high = (
        show(max(edge, Q(0, "N")), "force", system)
        for edge in (band.prediction_low, band.prediction_high)
    )
    return (
        f"{name}: at {show(top, 'speed', system)} the next pull is expected between {low} and "
        f"{high} (95 % band)."
    )


def _scatter_in_words(session: Session) -> str:
    repeats = session.repeats.value
    if repeats is None:
        return "Nothing is known of the scatter: no speed was pulled twice."
    return f"Pulls at one speed scatter by {show(repeats.relative, 'ratio', digits=2)} of the peak."


def _shapes_in_words(session: Session) -> str:
    comparison = session.comparison
    if comparison.value is None:
        return f"No shape can be ruled out: {comparison.reason}."
    out = [c.shape.name for c in comparison.value.candidates if c.ruled_out]
    left = [c.shape.name for c in comparison.value.candidates if not c.ruled_out]
    accept = ""
    if comparison.value.suspicious:
        accept = f"First settle what looks wrong ({counted(comparison.value.suspicious, 'place')})."
    told = f"The pulls cannot tell apart: {', '.join(left)}."
    if len(left) == 1:
        told = f"The pulls leave one shape: {left[0]}."
    if not comparison.value.possible:
        told = "The pulls leave no shape that a rope can have."
    ruled_out = f"They rule out: {', '.join(out)}." if out else "They rule out none."
    return f"{accept} {told} {ruled_out}".strip()
