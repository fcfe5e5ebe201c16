"""Panel: a pull in time, played and scrubbed."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from recoverykit.course.panel import Panel
from recoverykit.course.player import Player
from recoverykit.course.sliders import drive_slider, strength_slider
from recoverykit.lessons.two_vehicles.inputs import HELD_INPUTS, KINDS, ROPE, pull_as_set
from recoverykit.lessons.two_vehicles.tasks import PULL_TASKS
from recoverykit.lessons.two_vehicles.time_picture import PullInTimePicture
from recoverykit.physics.dynamics import Motion, pull_in_time
from recoverykit.physics.pull import Pull
from recoverykit.units.quantities import Q, show

FOLLOWED = Q(2.0, "s")
MOMENTS = 51  # one each 0.04 s; each costs about 0.3 ms of a slider's move
HALF_SPEED = 80  # ms on the page for each moment


@dataclass(frozen=True)
class PulledInTime:
    """What the panel works out: a pull, and how it goes."""

    pull: Pull
    motion: Motion

    @property
    def slack_from(self) -> Q | None:
        """The first moment at which the rope is slack again; None if it is not, or has parted."""
        history = self.motion.history
        if history is None or self.motion.parts:
            return None
        slack = history.extension.magnitude < 0
        return history.time[np.argmax(slack)] if slack.any() else None


class PullInTimePanel(Panel):
    """Sliders for a pull; both vehicles and the rope at a moment, and force and ways over time.

    They start at an invented case of Marram Point, with the driver's foot off. With a `guess`,
    everything stays hidden until it is committed. `player` plays the pull, and `show_moment` shows
    one of its MOMENTS.

    >>> panel = PullInTimePanel()
    >>> print(panel.summary)
    The stuck vehicle moves 0.248 m. The line sees 13.0 kN at most, 0.33 s after the rope comes
    taut. The rope goes slack after about 0.64 s.
    """

    picture_type = PullInTimePicture
    tasks = PULL_TASKS
    precomputed = (("speed", 4),)
    inputs = (
        *HELD_INPUTS,
        drive_slider(15).with_help("Force with which the wheels keep pulling all the while."),
        strength_slider(ROPE.breaking_strength),
    )

    def __init__(self, guess=None):
        self.player = Player(
            [f"{time:.2f}" for time in np.linspace(0, FOLLOWED.m_as("s"), MOMENTS)],
            HALF_SPEED,
            self.show_moment,
        )
        self.under_picture = (self.player.view,)
        self._moment = 0
        super().__init__(guess)

    def compute(self, kind, strength, **values):
        """The pull in time."""
        pull = pull_as_set(KINDS[kind](ROPE.length, strength), **values)
        return PulledInTime(
            pull=pull,
            motion=pull_in_time(pull, FOLLOWED, samples=MOMENTS),
        )

    def show_moment(self, number: int) -> None:
        """Show another moment of the same pull; nothing is worked out anew."""
        self._moment = number
        self._show()

    def picture(self, narrow=False):
        """The picture, at the moment that is shown."""
        picture: Any = super().picture(narrow)
        picture.show_moment(self._moment)
        return picture

    def describe(self, result, system):
        """What the stuck vehicle does, the peak, and whether the rope goes slack or parts."""
        if result.motion.peak.magnitude == 0:
            return "Nothing pulls: no speed, no drive force."
        moves, peak = _travel_in_words(result, system), _peak_in_words(result, system)
        if result.motion.parts:
            return f"The rope parts: everything it held lets go at once. {peak} {moves}"
        return " ".join(filter(None, [moves, peak, _slack_in_words(result, system)]))


def _peak_in_words(result: PulledInTime, system) -> str:
    motion, peak = result.motion, show(result.motion.peak, "force", system)
    if motion.parts:
        return f"It parts at {peak}, {show(motion.parts_at, 'time', system)} after it comes taut."
    if not motion.peak_is_past:
        first = show(result.pull.first_peak.tension, "force", system)
        return (
            f"After {show(FOLLOWED, 'time', system, 1)} the line sees {peak}, and that's still "
            f"rising. The first peak comes later: {first}."
        )
    time = show(motion.peak_time, "time", system, 2)
    return f"The line sees {peak} at most, {time} after the rope comes taut."


def _travel_in_words(result: PulledInTime, system) -> str:
    motion = result.motion
    if motion.stuck_travel.magnitude == 0:
        needed = show(result.pull.breakout_resistance, "force", system)
        return f"The stuck vehicle stays put: it takes {needed} to break it free."
    travel = show(motion.stuck_travel, "length", system)
    if motion.stuck_speed.magnitude > 0:
        end = show(FOLLOWED, "time", system, 1)
        return f"The stuck vehicle moves {travel} in {end} and is still moving."
    return f"The stuck vehicle moves {travel}."


def _slack_in_words(result: PulledInTime, system) -> str:
    if result.slack_from is None:
        return ""
    return f"The rope goes slack after about {show(result.slack_from, 'time', system, 2)}."
