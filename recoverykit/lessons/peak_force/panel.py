"""Panel: peak force against speed, and which link passes its limit first."""

import dataclasses
import functools
from dataclasses import dataclass

import numpy as np

from recoverykit.course.gear_picker import GearPicker
from recoverykit.course.links import first_links
from recoverykit.course.panel import Panel
from recoverykit.course.sliders import (
    drive_slider,
    length_slider,
    mass_slider,
    speed_slider,
    strength_slider,
    stretch_slider,
)
from recoverykit.lessons.peak_force.picture import PeakForcePicture
from recoverykit.lessons.peak_force.tasks import TASKS
from recoverykit.physics.formulas import peak_tension, speed_for_tension
from recoverykit.physics.rigging import (
    ABOVE,
    BREAKING_STRENGTH,
    WITHIN,
    Link,
    LinkLoad,
    RiggingLine,
    demo_line,
)
from recoverykit.physics.rope import Rope
from recoverykit.tables.marram_point import DemoPull, DemoRope, DemoVehicle
from recoverykit.tables.records import find
from recoverykit.units.quantities import InputError, Q, at_least, brief, show

FASTEST = Q(25, "km/h")  # far past the usual ceiling, to show why it stands where it does
_DEMO = find(DemoPull, name="first pull in the yard")
_ROPE = find(DemoRope, name=_DEMO.rope)


@dataclass(frozen=True)
class PeakForce:
    """What the panel works out: the pull at one speed, the whole curve, and the links' answer.

    The forces hold for as long as nothing parts, so up to the strength of `weakest`.
    """

    speed: Q
    peak: Q
    speeds: Q
    peaks: Q
    line: RiggingLine
    first: Link  # to pass its working limit
    weakest: Link  # to break
    loads: list[LinkLoad]
    limit_speed: Q | None  # None: even a standing start passes the limit
    guess: list[tuple[Q, Q]]  # the learner's (speed, force) points, if any

    @property
    def parted(self) -> Link | None:
        """The link that breaks at this speed, if one does."""
        return self.weakest if self.peak >= self.weakest.breaking_strength else None


class PeakForcePanel(Panel):
    """Sliders for vehicle, speed and rope; a picture of the peak force and each link's limits.

    The sliders start at an invented pull of Marram Point, with the driver's foot off. With a
    `guess`, the answer stays hidden until it is committed.

    >>> panel = PeakForcePanel()
    >>> panel.set(speed=Q(4, "km/h"))
    >>> print(panel.summary)
    Within working limit for every rated part. At 4 km/h the line sees 13.8 kN. The soft shackle
    is the first to reach its limit (26.7 kN), at 7.7 km/h.
    """

    picture_type = PeakForcePicture
    tasks = TASKS
    precomputed = (("speed", 26), ("mass", 4))
    inputs = (
        mass_slider(find(DemoVehicle, name=_DEMO.vehicle).mass),
        speed_slider(_DEMO.speed, FASTEST),
        stretch_slider(_ROPE.stretch_at_break),
        length_slider(_ROPE.length),
        strength_slider(_ROPE.breaking_strength),
        drive_slider(30),
    )

    def __init__(self, guess=None):
        super().__init__(guess)
        self.gear = GearPicker(
            self,
            vehicle={"mass": "mass"},
            rope={"length": "length", "strength": "strength", "stretch": "stretch"},
        )
        self.under_picture = (self.gear.view,)

    def compute(self, mass, speed, stretch, length, strength, drive):
        """The pull at this speed and at every speed, and what the links say to it."""
        rope = Rope(length, strength, stretch)
        line = _line(strength)
        first, weakest = first_links(line)
        try:
            limit_speed = speed_for_tension(mass, first.working_load_limit, rope.stiffness, drive)
        except InputError:
            limit_speed = None
        speeds = FASTEST * np.linspace(0, 1, 101)
        peak = peak_tension(mass, speed, rope.stiffness, drive)
        return PeakForce(
            speed=speed,
            peak=peak,
            speeds=speeds,
            peaks=peak_tension(mass, speeds, rope.stiffness, drive),
            line=line,
            first=first,
            weakest=weakest,
            loads=line.under(peak),
            limit_speed=limit_speed,
            guess=self._guessed_points,
        )

    def describe(self, result, system):
        """The verdict, the peak, and the first link to pass its limit."""
        if result.parted:
            return _parting_in_words(result, system)
        return f"{_pull_in_words(result, system)} {_first_in_words(result, system)}"


@functools.lru_cache
def _line(strength: Q) -> RiggingLine:
    """The demo line with its rope as strong as the slider says; kept, as are its first links."""
    links = {link.name: link for link in demo_line(_DEMO.line).links}
    rating = links[_DEMO.rope].rating
    assert rating is not None  # the ropes of Marram Point have a stamp
    stronger = dataclasses.replace(rating, value=strength, basis=BREAKING_STRENGTH)
    links[_DEMO.rope] = dataclasses.replace(links[_DEMO.rope], rating=stronger)
    return RiggingLine([*links.values()])


def _parting_in_words(result: PeakForce, system) -> str:
    assert result.parted is not None
    speed = brief(result.speed, "speed", system)
    strength = show(result.parted.breaking_strength, "force", system)
    return (
        f"The {result.parted.name} breaks, and the line is parted. "
        f"At {speed} it breaks at {strength}, before the vehicle has stopped. "
        "Everything the rope holds lets go at once."
    )


def _pull_in_words(result: PeakForce, system) -> str:
    speed, pull = brief(result.speed, "speed", system), show(result.peak, "force", system)
    sees = f"At {speed} the line sees {pull}"
    above = [load for load in result.loads if load.verdict == ABOVE]
    if not above:
        return f"{WITHIN.capitalize()} for every rated part. {sees}."
    share = f"{100 * (result.peak / result.first.working_load_limit).m_as(''):.0f} %"
    if len(above) == 1:
        return f"{ABOVE.capitalize()} for the {result.first.name}. {sees}, {share} of its limit."
    return (
        f"{ABOVE.capitalize()} for {len(above)} parts. {sees}, {share} of the limit of the "
        f"{result.first.name}."
    )


def _first_in_words(result: PeakForce, system) -> str:
    name, limit = result.first.name, show(result.first.working_load_limit, "force", system)
    if result.limit_speed is None:
        return f"The drive force alone takes the {name} past its limit ({limit}), at any speed."
    return (
        f"The {name} is the first to reach its limit ({limit}), "
        f"at {at_least(result.limit_speed, 'speed', system)}."
    )
