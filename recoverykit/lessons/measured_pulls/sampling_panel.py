"""Panel: the rope behind measured pulls, and how much of their peaks the meter missed."""

from dataclasses import dataclass

import numpy as np

from recoverykit.course.sliders import mass_slider, slider
from recoverykit.lessons.measured_pulls import tasks
from recoverykit.lessons.measured_pulls.sampling_picture import MeterPicture
from recoverykit.lessons.measured_pulls.session import SessionPanel
from recoverykit.measurements.sampling import PeakCapture, peak_capture
from recoverykit.measurements.session import Answer
from recoverykit.measurements.stiffness import EffectiveStiffness
from recoverykit.physics.dynamics import pull_in_time
from recoverykit.physics.formulas import time_under_load
from recoverykit.physics.load_curve import LoadCurve
from recoverykit.physics.pull import Pull
from recoverykit.physics.rope import Rope
from recoverykit.tables.marram_point import DemoVehicle
from recoverykit.tables.records import find
from recoverykit.units.quantities import Q, at_most, brief, show
from recoverykit.units.text import as_sentence

_NEXT_TO_ALL = 0.999
_MOMENTS = 481  # of the pull in time
_CURVE_POINTS = 25  # of the rope's curve, which is a smooth one
_ROOM = 1.2  # the curve reaches so much further than the pull


@dataclass(frozen=True)
class SampledPull:
    """The rope behind measured pulls, one pull at their highest speed, and a meter's samples."""

    rope: EffectiveStiffness
    rate: Q
    capture: PeakCapture
    moments: Q  # the pull itself, in time
    tension: Q
    times: Q  # the meter's samples of it
    samples: Q

    @property
    def peak(self) -> Q:
        """The true peak."""
        return self.tension.max()

    @property
    def duration(self) -> Q:
        """How long the line is under load."""
        return self.moments[-1]

    @property
    def is_seen_whole(self) -> bool:
        """Whether the meter misses next to nothing of the peak."""
        return bool(self.capture.worst > _NEXT_TO_ALL)

    @property
    def shown(self) -> Q:
        """What a meter with peak hold shows: its highest sample."""
        return max(self.samples, default=0 * self.peak)


class MeterPanel(SessionPanel):
    """Sliders for the vehicle and the meter; a picture of one pull and its samples.

    >>> panel = MeterPanel()
    >>> panel.book.leave_out(4, 12)
    >>> print(panel.summary)
    At 10 Hz this meter may read 2.5 % low. A pull loads the line for about 0.800 s, time for 8
    samples. A reading of 21.5 kN can stand for 22.1 kN, or more if the rope gives back less than
    it took. A stiffening rope of 49.8 kN/m (between 46.2 and 53.8 kN/m) pulls like that: at 6.0
    km/h it stretches 0.432 m.
    """

    picture_type = MeterPicture
    tasks = tasks.METER
    precomputed = (("rate", 5), ("phase", 4))
    inputs = (
        mass_slider(find(DemoVehicle, name="launch truck").mass).with_help(
            "Mass of the vehicle that pulled, as loaded on the day."
        ),
        slider("rate", "Sample rate", Q(10, "Hz"), "frequency", 1, 100, "Hz", 1, 1).with_help(
            "How often in a second the meter takes a sample."
        ),
        slider(
            "phase", "First sample", Q(50, "percent"), "ratio", 0, 100, "percent", 5, 5
        ).with_help(
            "When it happens to look first: 0 % as the rope comes taut, 100 % one gap later."
        ),
    )

    def compute(self, mass, rate, phase):
        """What the meter sees of a pull on the rope that fits the pulls, if there is one."""
        found = self.book.session.stiffness(mass)
        if found.value is None:
            return found
        rope = found.value
        moments, tension = _pull_in_time(rope, mass)
        duration = moments.m[-1]
        times = (np.arange(0, duration * rate.m_as("Hz") + 1) + phase.m_as("")) / rate.m_as("Hz")
        times = Q(times[times <= duration], "s")
        samples = np.interp(times, moments, tension)
        capture = peak_capture(rate, time_under_load(mass, rope.at_peak[0]))
        return Answer(SampledPull(rope, rate, capture, moments, tension, times, samples))

    def describe(self, result, system):
        """What the meter may have missed, the time under load, stiffness and stretch."""
        pull = result.value
        if pull is None:
            return f"These pulls don't show what the meter missed. {as_sentence(result.reason)}"
        return f"{_capture_in_words(pull, system)} {_rope_in_words(pull.rope, system)}"


def _pull_in_time(rope: EffectiveStiffness, mass: Q) -> tuple[Q, Q]:
    """Moments and tensions of a pull out of gear, from the rope coming taut to its going slack.

    With the fitted T = k x (1 + b x), which gives back all of its work.
    """
    stiffness, stretch = rope.at_top[0], rope.stretch[0]
    stiffening = (rope.at_peak[0] / stiffness).m_as("") - 1
    part = np.linspace(0, 1, _CURVE_POINTS)
    x = _ROOM * part  # in stretches of the pull
    load = (1 - stiffening) * x + stiffening * x**2
    line = Rope(
        length=4 * stretch,  # whatever is long enough to stretch so far
        breaking_strength=stiffness * stretch * load[-1],
        stretch_at_break=_ROOM / 4,
        curve=LoadCurve(tuple(part), tuple(load / load[-1])),
    )
    longest = 2 * time_under_load(mass, stiffness)
    history = pull_in_time(Pull(mass, line, rope.speed), longest, samples=_MOMENTS).history
    assert history is not None  # samples were asked for
    tension = history.tension.to("N")
    taut = 1 + np.flatnonzero(tension[1:].m <= 0)[0]
    return history.time[: taut + 1].to("s"), tension[: taut + 1]


def _rope_in_words(rope: EffectiveStiffness, system) -> str:
    stiffness, low, high = (show(edge, "stiffness", system) for edge in rope.at_top)
    kind = "stiffening rope" if rope.stiffens else "straight-line rope"
    return (
        f"A {kind} of {stiffness} (between {low.partition(' ')[0]} and {high}) pulls like that: at "
        f"{show(rope.speed, 'speed', system)} it stretches "
        f"{show(rope.stretch[0], 'length', system)}."
    )


def _capture_in_words(pull: SampledPull, system) -> str:
    capture, rate = pull.capture, brief(pull.rate, "frequency", system)
    samples = float(f"{(pull.duration * pull.rate).m_as(''):.2g}")
    looks = (
        f"A pull loads the line for about {show(pull.duration, 'time', system)}, time for "
        f"{samples:g} samples."
    )
    most = capture.peak_behind(pull.peak)[1]
    if not np.isfinite(most.m):
        return f"Too slow: at {rate} this meter can miss the peak altogether. {looks}"
    if pull.is_seen_whole:
        return f"At {rate} this meter misses next to nothing of the peak. {looks}"
    return (
        f"At {rate} this meter may read {at_most(1 - capture.worst, 'ratio', system)} low. {looks} "
        f"A reading of {show(pull.peak, 'force', system)} can stand for "
        f"{at_most(most, 'force', system)}, or more if the rope gives back less than it took."
    )
