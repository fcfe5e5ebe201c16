"""Panel: what more speed buys, in force and in movement."""

from dataclasses import dataclass

import numpy as np

from recoverykit.course.links import first_links
from recoverykit.course.panel import Panel
from recoverykit.lessons.two_vehicles.inputs import (
    DEMO,
    FASTEST,
    HELD_INPUTS,
    KINDS,
    ROPE,
    pull_as_set,
)
from recoverykit.lessons.two_vehicles.speed_picture import MoreSpeedPicture
from recoverykit.lessons.two_vehicles.tasks import SPEED_TASKS
from recoverykit.physics.dynamics import Motion, pull_in_time
from recoverykit.physics.rigging import Link, demo_line
from recoverykit.units.quantities import Q, as_number, at_least, brief, show

FOLLOWED = Q(4.0, "s")
SPEEDS = 61  # of the curves: one each 0.2 km/h
_ROPES = {kind: make(ROPE.length, ROPE.breaking_strength) for kind, make in KINDS.items()}
_FIRST, _ = first_links(demo_line(DEMO.line))


@dataclass(frozen=True)
class SpeedResult:
    """The peak of a pull, and how far the stuck vehicle has come."""

    speed: Q
    peak: Q
    travel: Q
    still_moves: bool


@dataclass(frozen=True)
class MoreSpeed:
    """What the panel works out: pulls at every speed, at the chosen one, and at half of it."""

    speeds: Q
    peaks: Q
    travels: Q
    here: SpeedResult
    half: SpeedResult
    breakout: Q
    breakout_speed: Q  # the speed at which the stuck vehicle begins to move
    first: Link  # the first of the line to pass its working limit
    limit_speed: Q  # the speed at which it does
    guess: tuple[Q, Q, Q] | None  # the learner's speed, way and peak


class MoreSpeedPanel(Panel):
    """Sliders for a pull; how far the stuck vehicle moves and what the line bears, against speed.

    They start at an invented case of Marram Point. The recovery vehicle is out of gear. With a
    `guess`, the answer stays hidden until it is committed.

    >>> panel = MoreSpeedPanel()
    >>> panel.set(speed=Q(8, "km/h"))
    >>> print(panel.summary)
    It moves, and the line stays within its working limit. The line sees 21.1 kN, and the stuck
    vehicle moves 1.27 m. That's 1.6 times the force and 5.1 times the distance at half the speed.
    It starts to move at 3.5 km/h. The line's limit comes at 10.6 km/h.
    """

    picture_type = MoreSpeedPicture
    tasks = SPEED_TASKS
    precomputed = (("speed", 10),)
    inputs = HELD_INPUTS

    def compute(self, kind, speed, **values):
        """All the pulls at once, and the two speeds at which something begins."""
        kmh = np.linspace(0, FASTEST.m_as("km/h"), SPEEDS)
        here = speed.m_as("km/h")
        speeds = Q(np.append(kmh, [here, here / 2]), "km/h")
        pull = pull_as_set(_ROPES[kind], speed=speeds, **values)
        motion = pull_in_time(pull, FOLLOWED)
        return MoreSpeed(
            speeds=speeds[:SPEEDS],
            peaks=motion.peak[:SPEEDS],
            travels=motion.stuck_travel[:SPEEDS],
            here=_speed_result(speeds, motion, SPEEDS),
            half=_speed_result(speeds, motion, SPEEDS + 1),
            breakout=values["breakout"],
            breakout_speed=pull.speed_for_tension(values["breakout"]),
            first=_FIRST,
            limit_speed=pull.speed_for_tension(_FIRST.working_load_limit),
            guess=self._guessed_point(),
        )

    def _guessed_point(self) -> tuple[Q, Q, Q] | None:
        """The speed that the guess is for, and the guessed way and peak."""
        values = self._guessed
        if self._guess is None or not values:
            return None
        return self._guess.numbers.fast, values["travel"], values["peak"]

    def describe(self, result, system):
        """What the speed buys, half of it, and the speeds at which something begins."""
        if result.here.speed.magnitude == 0:
            return "Nothing moves: no speed, no pull."
        sentences = [
            _verdict_in_words(result, system),
            _here_in_words(result, system),
            _half_in_words(result),
            _speeds_in_words(result, system),
        ]
        return " ".join(filter(None, sentences))


def _speed_result(speeds, motion: Motion, number: int) -> SpeedResult:
    return SpeedResult(
        speed=speeds[number],
        peak=motion.peak[number],
        travel=motion.stuck_travel[number],
        still_moves=bool(motion.stuck_speed[number].magnitude > 0),
    )


def _verdict_in_words(result: MoreSpeed, system) -> str:
    if result.here.peak > result.first.working_load_limit:
        return f"Too fast: the {result.first.name} is above its working limit."
    if result.breakout_speed > FASTEST:
        return f"It stays put at any speed up to {brief(FASTEST, 'speed', system)}."
    if result.here.travel.magnitude == 0:
        return "Too slow: the line is loaded for nothing."
    return "It moves, and the line stays within its working limit."


def _here_in_words(result: MoreSpeed, system) -> str:
    here = result.here
    sees = f"The line sees {show(here.peak, 'force', system)}, and the stuck vehicle"
    if here.travel.magnitude == 0:
        return f"{sees} stays put."
    travel, end = show(here.travel, "length", system), show(FOLLOWED, "time", system, 1)
    still = f" in {end} and is still moving" if here.still_moves else ""
    return f"{sees} moves {travel}{still}."


def _half_in_words(result: MoreSpeed) -> str:
    """What the last half of the speed has bought."""
    here, half = result.here, result.half
    if here.travel.magnitude == 0:
        return ""
    force = f"{as_number((here.peak / half.peak).m_as(''), digits=2)} times the force"
    if half.travel.magnitude == 0:
        return f"That's {force} at half the speed, which doesn't move it."
    distance = f"{as_number((here.travel / half.travel).m_as(''), digits=2)} times the distance"
    return f"That's {force} and {distance} at half the speed."


def _speeds_in_words(result: MoreSpeed, system) -> str:
    """From which speed the stuck vehicle moves, and from which the line sees too much."""
    sentences = []
    if result.breakout_speed <= FASTEST:
        sentences.append(f"It starts to move at {show(result.breakout_speed, 'speed', system)}.")
    if result.limit_speed <= FASTEST:
        limit = at_least(result.limit_speed, "speed", system)
        sentences.append(f"The line's limit comes at {limit}.")
    return " ".join(sentences)
