"""Panel: peak force against speed, and which link passes its limit first."""

from dataclasses import dataclass

import numpy as np

from recoverykit.figures.peak_force import PeakForcePicture
from recoverykit.panels.base import Input, Panel
from recoverykit.pull import peak_tension, speed_for_tension
from recoverykit.rigging import (
    ABOVE,
    BREAKING_STRENGTH,
    WITHIN,
    Link,
    LinkLoad,
    Rating,
    RiggingLine,
)
from recoverykit.rope import Rope
from recoverykit.units import InputError, Q, show

FASTEST = Q(25, "km/h")  # far past the usual ceiling, to show why it stands where it does


@dataclass(frozen=True)
class PeakForce:
    """What the panel reckons: the pull at one speed, the whole curve, and the links' answer.

    The forces hold for as long as nothing parts, so up to `line.first_to_break`'s strength.
    """

    speed: Q
    peak: Q
    speeds: Q
    peaks: Q
    line: RiggingLine
    loads: list[LinkLoad]
    limit_speed: Q | None  # None: even a standing start passes the limit
    guess: list | None  # the learner's (speed, force) points
    revealed: bool  # False until the learner has guessed

    @property
    def parted(self) -> Link | None:
        """The link that breaks at this speed, if one does."""
        weakest = self.line.first_to_break
        return weakest if self.peak >= weakest.breaking_strength else None


class PeakForcePanel(Panel):
    """Sliders for vehicle, speed and rope; peak force, and each link's limits.

    `hardware` are the links besides the rope, `rope_factor` is the design factor on the rope's
    breaking strength. With a `guess`, curve and answer stay hidden until it is committed.

    >>> panel = PeakForcePanel()
    >>> panel.set(speed=Q(5, "km/h"))
    """

    inputs = (
        Input(
            "mass",
            "Recovery vehicle",
            "mass",
            Q(1000, "kg"),
            Q(9000, "kg"),
            Q(2800, "kg"),
            (50, 100),
            "Mass of the vehicle that pulls, as loaded on the day.",
        ),
        Input(
            "speed",
            "Speed",
            "speed",
            Q(0, "km/h"),
            FASTEST,
            Q(2, "km/h"),
            (0.5, 0.5),
            "Speed of the recovery vehicle at the moment the slack is gone.",
        ),
        Input(
            "stretch",
            "Stretch at break",
            "ratio",
            Q(5, "percent"),
            Q(50, "percent"),
            Q(30, "percent"),
            (1, 1),
            "How much longer the rope is when it breaks; look in the maker's sheet.",
        ),
        Input(
            "length",
            "Rope length",
            "length",
            Q(3, "m"),
            Q(30, "m"),
            Q(8, "m"),
            (0.5, 1),
            "Length of the rope between its two ends, unloaded.",
        ),
        Input(
            "strength",
            "Rope strength",
            "force",
            Q(20, "kN"),
            Q(400, "kN"),
            Q(110, "kN"),
            (5, 1000),
            "Minimum breaking strength of the rope, new and dry.",
        ),
        Input(
            "drive",
            "Drive force",
            "force",
            Q(0, "kN"),
            Q(30, "kN"),
            Q(0, "kN"),
            (0.5, 100),
            "Force with which the wheels keep pulling while the rope stretches.",
        ),
    )
    picture_type = PeakForcePicture

    def __init__(self, hardware=(), rope_factor=3, guess=None):
        self._hardware = tuple(hardware)
        self._rope_factor = rope_factor
        self._guess = guess
        super().__init__()
        if guess is not None:
            guess.watch(self._refresh)

    def reckon(self, mass, speed, stretch, length, strength, drive):
        """The pull at this speed and at every speed, and what the links say to it."""
        rope = Rope(length, strength, stretch)
        rating = Rating(strength, BREAKING_STRENGTH, self._rope_factor)
        line = RiggingLine([*self._hardware, Link("kinetic rope", rating)])
        limit = line.first_past_working_limit.working_load_limit
        try:
            limit_speed = speed_for_tension(mass, limit, rope.stiffness, drive)
        except InputError:
            limit_speed = None
        speeds = np.linspace(0, 1, 101) * FASTEST
        peak = peak_tension(mass, speed, rope.stiffness, drive)
        return PeakForce(
            speed=speed,
            peak=peak,
            speeds=speeds,
            peaks=peak_tension(mass, speeds, rope.stiffness, drive),
            line=line,
            loads=line.under(peak),
            limit_speed=limit_speed,
            guess=self._guess and self._guess.points,
            revealed=self._guess is None or self._guess.committed,
        )

    def describe(self, result, system):
        """The peak, the links that it takes past a limit, and the first link to pass its own."""
        if not result.revealed:
            return "Write down your guess first: then the curve and the answer appear here."
        return " ".join(
            [
                _pull_in_words(result, system),
                _first_in_words(result, system),
                _unrated_in_words(result),
            ]
        ).strip()


def _pull_in_words(result: PeakForce, system) -> str:
    speed = show(result.speed, "speed", system)
    if result.parted:
        strength = show(result.parted.breaking_strength, "force", system)
        return (
            f"At {speed} the {result.parted.name} breaks at {strength}, before the vehicle has "
            f"stopped: what the rope holds is let go at once."
        )
    above = [load for load in result.loads if load.verdict == ABOVE]
    pull = f"At {speed} the line is pulled with {show(result.peak, 'force', system)}"
    if not above:
        return f"{pull}: {WITHIN} for every link with a known rating."
    shares = ", ".join(
        f"{load.link.name} ({load.over_working_limit:.0%} of its limit)" for load in above
    )
    return f"{pull}: {ABOVE} for {shares}."


def _first_in_words(result: PeakForce, system) -> str:
    first = result.line.first_past_working_limit
    limit = f"{first.name} ({show(first.working_load_limit, 'force', system)})"
    if result.limit_speed is None:
        return f"The drive force alone takes the {limit} past its working limit, at any speed."
    return (
        f"The first link to pass its working limit is the {limit}, "
        f"at {show(result.limit_speed, 'speed', system)}."
    )


def _unrated_in_words(result: PeakForce) -> str:
    if not result.line.unrated:
        return ""
    names = ", ".join(link.name for link in result.line.unrated)
    return f"No working limit is known for: {names}. So it is unknown whether the line holds."
