"""Panel: how far measured pulls carry, and how wrong a straight line may be beyond them."""

from dataclasses import dataclass

from recoverykit.course.inputs import Choice, Text
from recoverykit.course.sliders import speed_slider
from recoverykit.lessons.measured_pulls.extrapolation_picture import ExtrapolationPicture
from recoverykit.lessons.measured_pulls.pulls_picture import BEYOND, highest_speed
from recoverykit.lessons.measured_pulls.record_content import limit_speed_of
from recoverykit.lessons.measured_pulls.session import SessionPanel
from recoverykit.measurements.extrapolation import line_extrapolation, next_step
from recoverykit.measurements.regression import Fit
from recoverykit.measurements.session import Answer, Session, answer
from recoverykit.measurements.shapes import LINE, ROPE
from recoverykit.physics.rigging import WORKING_LOAD_LIMIT, Link, Rating, RiggingLine, demo_line
from recoverykit.units.parsing import read_quantity
from recoverykit.units.quantities import Q

OWN = "my own limit"
DEMO_LINES = ("yard line", "line over a tow ball")
FASTEST = Q(15, "km/h")


@dataclass(frozen=True)
class Extrapolation:
    """What the panel works out: the limit speed, the curves behind it, and one speed carried to."""

    session: Session
    line: RiggingLine | None  # None: no limit of one's own was given, and one is needed
    limit: Answer  # a LimitSpeed
    fits: tuple[Fit, ...]  # the general rope, and the straight line
    fit_to: Q | None  # the rope is drawn to here: one step beyond the measured speeds
    line_extrapolation: Answer  # a LineExtrapolation
    shown_to: Q  # the end of the picture


class ExtrapolationPanel(SessionPanel):
    """A line or a limit, and a speed to carry on to; a picture of the bands and the limit.

    The invented lines are for the invented log: for another one a limit of one's own counts, or
    there is no limit speed. Giving that limit selects it.

    >>> panel = ExtrapolationPanel()
    >>> panel.book.leave_out(4, 12)
    >>> panel.set(speed=Q(10, "km/h"))
    >>> print(panel.summary)
    BEYOND THE MEASURED SPEEDS, which end at 6.0 km/h. At 6.3 km/h the next pull may meet the
    working limit of 26.7 kN (soft shackle): there the upper edge of the band reaches it. No pull
    was measured there: go up by small steps, and measure each. BEYOND THE MEASURED SPEEDS. At 10.0
    km/h the straight line says 35.0 kN; a rope that stiffens as in these pulls gives 38.9 kN, and
    up to 42.5 kN for all that they can tell: the straight line may be too low by 18 %.
    """

    picture_type = ExtrapolationPicture
    inputs = (
        Choice("line", "Line", DEMO_LINES[0], (*DEMO_LINES, OWN)).with_help(
            "The line whose lowest working load limit counts, or a limit of your own."
        ),
        Text("own_limit", "My own limit", "", "force", Q(0.1, "kN"), Q(1000, "kN")).with_help(
            "The lowest working load limit of your own line, with its unit, like 20 kN."
        ),
        speed_slider(Q(8, "km/h"), FASTEST, low=Q(0.5, "km/h"), label="Carried on to").with_help(
            "A speed, measured or not, at which the straight line and the rope are compared."
        ),
    )

    def set(self, **values) -> None:
        """Set inputs by name; a limit of one's own is selected by giving it."""
        if "own_limit" in values:
            values = {"line": OWN} | values
        super().set(**values)

    def compute(self, line, own_limit, speed):
        """The limit speed of the line, and both curves at one speed."""
        session, comparison = self.book.session, self.book.session.comparison.value
        rigged = None
        if line == OWN:
            rigged = _rig(own_limit) if own_limit else None
        elif session.invented:
            rigged = demo_line(line)
        limit = limit_speed_of(session, rigged)
        met = limit.value and limit.value.speed
        return Extrapolation(
            session=session,
            line=rigged,
            limit=limit,
            fits=tuple(comparison.of(shape).fit for shape in (ROPE, LINE)) if comparison else (),
            fit_to=comparison and next_step(comparison).speed,
            line_extrapolation=answer(line_extrapolation, session.kept, speed),
            shown_to=max(BEYOND * highest_speed(session), speed, met or Q(0, "km/h")),
        )

    def describe(self, result, system):
        """The limit speed with all that it hangs on, and the straight line against the rope."""
        return " ".join(
            found.value.summary if found.value else f"{what} is unknown: {found.reason}."
            for what, found in (
                ("The limit speed", result.limit),
                ("How wrong a straight line may be", result.line_extrapolation),
            )
        )


def _rig(own_limit: str) -> RiggingLine:
    limit = read_quantity(own_limit, "force").quantity
    return RiggingLine([Link("your own limit", Rating(limit, WORKING_LOAD_LIMIT))])
