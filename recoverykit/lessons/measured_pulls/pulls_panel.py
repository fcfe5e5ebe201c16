"""Panel: measured pulls, what looks wrong among them, and the shape that they show."""

from dataclasses import dataclass

import ipywidgets
import numpy as np

from recoverykit.course.inputs import Choice
from recoverykit.lessons.measured_pulls import tasks
from recoverykit.lessons.measured_pulls.outliers import OutlierList
from recoverykit.lessons.measured_pulls.pulls_picture import BEYOND, MeasuredPicture, highest_speed
from recoverykit.lessons.measured_pulls.session import LEFT_OUT, SessionPanel
from recoverykit.measurements.regression import FitBand
from recoverykit.measurements.session import Answer, Session
from recoverykit.measurements.shapes import SHAPES, STIFFENING, Shape
from recoverykit.units.quantities import Q, at_least, at_most, show
from recoverykit.units.text import as_sentence, counted

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
    The stiffening rope fits these pulls, and so do 4 other curves. 10 pulls at 6 speeds, from 1.0
    km/h to 6.0 km/h. Left out on purpose: rows 4, 12. At 6.0 km/h, expect the next pull between
    18.9 kN and 24.2 kN (95 % band). Pulls at one speed scatter by 4.9 %. Ruled out: exponential,
    square of the speed.
    """

    picture_type = MeasuredPicture
    tasks = tasks.PULLS
    precomputed = (("shape", 7), (LEFT_OUT, 2))
    inputs = (
        Choice("shape", "Shape", STIFFENING.name, tuple(_SHAPES)).with_help(
            "The curve drawn through the pulls."
        ),
    )

    _suspects = None

    def compute(self, shape):
        """The chosen shape through the pulls that are kept."""
        session, chosen = self.book.session, _SHAPES[shape]
        fitted = session.fit(chosen)
        guessed = [speed for speed, _ in self._guessed_points]
        speeds = np.linspace(0, 1, 121) * max([BEYOND * highest_speed(session), *guessed])
        return Measured(
            session=session,
            shape=chosen,
            fit=fitted,
            speeds=speeds,
            curve=fitted.value and fitted.value.band(speeds),
            guess=self._guessed_points,
        )

    def describe(self, result, system):
        """Whether the curve fits; then the log, the next pull, the scatter, and what is out."""
        parts = [
            _verdict(result),
            result.session.kept.summary,
            _next_pull_in_words(result, system),
            _scatter_in_words(result.session),
            _ruled_out_in_words(result.session),
        ]
        return " ".join(part for part in parts if part)

    @property
    def view(self) -> ipywidgets.Widget:
        """Rows that look wrong, to tick, above the panel's own widgets."""
        if self._suspects is None:
            self._suspects = OutlierList(self.book, self._guess)
            self._whole = ipywidgets.VBox([super().view, self._suspects.view])
        return self._whole


def _verdict(result: Measured) -> str:
    """Whether the chosen curve fits, in one sentence."""
    comparison, name = result.session.comparison.value, result.shape.name
    if comparison is None or result.curve is None:
        return f"There are too few pulls to tell whether the {name} fits."
    if comparison.suspicious:
        places = counted(comparison.suspicious, "place")
        look = "looks" if comparison.suspicious == 1 else "look"
        return f"Don't trust any curve yet: {places} in this log {look} wrong."
    if not comparison.possible:
        return "No curve a real rope could have fits these pulls."
    if comparison.of(result.shape).ruled_out:
        return f"The {name} misses these pulls: it's ruled out."
    others = sum(not each.ruled_out for each in comparison.candidates) - 1
    if not others:
        return f"Of all the curves here, only the {name} fits these pulls."
    also = f"so {'does' if others == 1 else 'do'} {counted(others, 'other curve')}"
    return f"The {name} fits these pulls, and {also}."


def _next_pull_in_words(result: Measured, system) -> str:
    if result.curve is None:
        return as_sentence(result.fit.reason)
    top = result.session.kept.speed.max()
    band = result.fit.value.band(top)
    low = at_least(max(band.prediction_low, Q(0, "N")), "force", system)
    high = at_most(band.prediction_high, "force", system)
    speed = show(top, "speed", system)
    return f"At {speed}, expect the next pull between {low} and {high} (95 % band)."


def _scatter_in_words(session: Session) -> str:
    repeats = session.repeats.value
    if repeats is None:
        return "The scatter is unknown: no speed was pulled twice."
    return f"Pulls at one speed scatter by {show(repeats.relative, 'ratio', digits=2)}."


def _ruled_out_in_words(session: Session) -> str:
    comparison = session.comparison
    if comparison.value is None:
        return f"No curve can be ruled out: {comparison.reason}."
    out = [c.shape.name for c in comparison.value.candidates if c.ruled_out]
    return f"Ruled out: {', '.join(out)}." if out else "No curve is ruled out."
