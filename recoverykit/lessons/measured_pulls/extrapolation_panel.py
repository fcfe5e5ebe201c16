"""Panel: how far measured pulls carry, and how wrong a straight line may be beyond them."""

from dataclasses import dataclass

from recoverykit.course.gear_picker import GearPicker
from recoverykit.course.inputs import Choice, Text
from recoverykit.course.sliders import speed_slider
from recoverykit.lessons.measured_pulls import tasks
from recoverykit.lessons.measured_pulls.extrapolation_picture import ExtrapolationPicture
from recoverykit.lessons.measured_pulls.pulls_picture import BEYOND, highest_speed
from recoverykit.lessons.measured_pulls.record_content import limit_speed_of
from recoverykit.lessons.measured_pulls.session import SessionPanel
from recoverykit.measurements.extrapolation import LineExtrapolation, line_extrapolation, next_step
from recoverykit.measurements.regression import Fit
from recoverykit.measurements.session import Answer, CurrentSession, Session, answer
from recoverykit.measurements.shapes import LINE, ROPE
from recoverykit.physics.rigging import WORKING_LOAD_LIMIT, Link, Rating, RiggingLine, demo_line
from recoverykit.units.parsing import read_quantity
from recoverykit.units.quantities import Q, at_least, at_most, show
from recoverykit.units.text import as_sentence, counted

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
    The next pull at 6.3 km/h may hit the limit: BEYOND THE MEASURED SPEEDS. Nobody measured past
    6.0 km/h: go up in small steps. The limit is 26.7 kN (soft shackle), where the band's upper edge
    meets it. At 10.0 km/h the straight line says 35.0 kN. A stiffening rope may reach 42.5 kN: the
    line may be too low by 17.7 %.
    """

    picture_type = ExtrapolationPicture
    tasks = tasks.EXTRAPOLATION
    precomputed = (("speed", 4), ("line", 2))
    left_out_on_pages = True
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

    def __init__(self, book: CurrentSession | None = None, guess=None):
        super().__init__(book, guess)
        self.gear = GearPicker(self, line={"limit": "own_limit"})
        self.under_picture = (self.gear.view,)

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
        """The limit speed; then what it hangs on, and the straight line against the rope."""
        parts = [_limit_speed_in_words(result.limit, system)]
        line = result.line_extrapolation
        if line.value is None:
            parts.append(f"How wrong a straight line may be is unknown: {line.reason}.")
        else:
            parts.append(_line_in_words(line.value, system))
        return " ".join(parts)


def _limit_speed_in_words(found: Answer, system) -> str:
    limit = found.value
    if limit is None or limit.speed is None:
        return f"No limit speed yet. {as_sentence(limit.unknown if limit else found.reason)}"
    at, force = at_least(limit.speed, "speed", system), show(limit.limit, "force", system)
    verdict = f"The next pull at {at} may hit the limit"
    if limit.suspicious:
        odd = counted(limit.suspicious, "odd place")
        verdict = f"Don't rely on this yet: settle {odd} in the log first. {verdict}"
    basis = f"The limit is {force} ({limit.link}), where the band's upper edge meets it."
    if not limit.beyond:
        return f"{verdict}. {basis}"
    measured = show(limit.measured_to, "speed", system)
    return (
        f"{verdict}: BEYOND THE MEASURED SPEEDS. Nobody measured past {measured}: go up in small "
        f"steps. {basis}"
    )


def _line_in_words(on: LineExtrapolation, system) -> str:
    says = show(on.straight, "force", system) if on.straight.m > 0 else "no force at all"
    text = (
        f"At {show(on.speed, 'speed', system)} the straight line says {says}. A stiffening rope "
        f"may reach {at_most(on.stiffest, 'force', system)}"
    )
    if on.short_at_most.m <= 0:
        return f"{text}, no more than the line."
    return f"{text}: the line may be too low by {at_most(on.short_at_most, 'ratio', system)}."


def _rig(own_limit: str) -> RiggingLine:
    limit = read_quantity(own_limit, "force").quantity
    return RiggingLine([Link("your own limit", Rating(limit, WORKING_LOAD_LIMIT))])
