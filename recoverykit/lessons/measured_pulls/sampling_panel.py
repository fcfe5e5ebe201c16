"""Panel: the rope behind measured pulls, and how much of their peaks the meter missed."""

from dataclasses import dataclass

import numpy as np

from recoverykit.course.inputs import Slider
from recoverykit.course.sliders import mass_slider
from recoverykit.lessons.measured_pulls.sampling_picture import MeterPicture
from recoverykit.lessons.measured_pulls.session import SessionPanel
from recoverykit.measurements.sampling import PeakCapture, peak_capture
from recoverykit.measurements.stiffness import EffectiveStiffness
from recoverykit.physics.formulas import time_under_load
from recoverykit.tables.marram_point import DemoVehicle
from recoverykit.tables.records import find
from recoverykit.units.quantities import Q, show

_NEXT_TO_ALL = 0.999


@dataclass(frozen=True)
class SampledPull:
    """The rope behind measured pulls, one pull at their highest speed, and a meter's samples."""

    rope: EffectiveStiffness
    capture: PeakCapture
    peak: Q
    duration: Q
    times: Q
    samples: Q

    @property
    def shown(self) -> Q:
        """What a meter with peak hold shows: its highest sample."""
        return max(self.samples, default=0 * self.peak)


@dataclass(frozen=True)
class Metered:
    """What the panel works out: a pull as a meter sees it, or the reason why there is none."""

    pull: SampledPull | None  # None: no stiffness can be read off the pulls
    reason: str = ""


class MeterPanel(SessionPanel):
    """Sliders for the vehicle and the meter; a picture of one pull and its samples.

    >>> panel = MeterPanel()
    >>> panel.book.leave_out(4, 12)
    >>> print(panel.summary)
    The peaks are those of a stiffening rope of 49.8 kN/m over its whole stretch (95 % band 46.2
    kN/m to 53.8 kN/m): at 6.0 km/h it stretches by 0.432 m. Hold that against the length of the
    rope and its stretch at break. A pull loads it for about 0.784 s, time for 7.8 samples: for
    half a sine, the pull of a straight rope, the meter shows up to 2.0 % less than the true peak.
    A reading of 21.5 kN can stand for 22.0 kN. A stiffening rope has a sharper peak, of which the
    meter misses more.
    """

    picture_type = MeterPicture
    inputs = (
        mass_slider(
            find(DemoVehicle, name="launch truck").mass,
            help="Mass of the vehicle that pulled, as loaded on the day.",
        ),
        Slider(
            name="rate",
            label="Meter looks",
            kind="frequency",
            low=Q(1, "Hz"),
            high=Q(100, "Hz"),
            start=Q(10, "Hz"),
            steps=(1, 1),
            help="How often in a second the meter takes a sample.",
        ),
        Slider(
            name="phase",
            label="First sample",
            kind="ratio",
            low=Q(0, "percent"),
            high=Q(100, "percent"),
            start=Q(50, "percent"),
            steps=(5, 5),
            help="When it happens to look first: 0 % as the rope comes taut, 100 % one gap later.",
        ),
    )

    def compute(self, mass, rate, phase):
        """The rope that fits the pulls, and what the meter sees of one of them."""
        found = self.book.session.stiffness(mass)
        if found.value is None:
            return Metered(None, found.reason)
        rope = found.value
        stiffness, stretch = rope.at_top[0], rope.stretch[0]
        peak = (stiffness * stretch).to("N")
        duration = time_under_load(mass, stiffness)
        times = (np.arange(0, (duration * rate).m_as("") + 1) + phase.m_as("")) / rate.to("Hz").m
        times = times[times <= duration.m_as("s")]
        samples = peak * np.sin(np.pi * times / duration.m_as("s"))
        capture = peak_capture(rate, duration)
        return Metered(SampledPull(rope, capture, peak, duration, Q(times, "s"), samples))

    def describe(self, result, system):
        """Stiffness and stretch, the time under load, and what the meter may have missed."""
        pull = result.pull
        if pull is None:
            return f"The stiffness is unknown, and with it all that follows: {result.reason}."
        return f"{_rope_in_words(pull.rope, system)} {_capture_in_words(pull, system)}"


def _rope_in_words(rope: EffectiveStiffness, system) -> str:
    stiffness, *edges = (show(edge, "stiffness", system) for edge in rope.at_top)
    line = f"a line of {stiffness}"
    if rope.stiffens:
        line = f"a stiffening rope of {stiffness} over its whole stretch"
    return (
        f"The peaks are those of {line} (95 % band {' to '.join(edges)}): at "
        f"{show(rope.speed, 'speed', system)} it stretches by "
        f"{show(rope.stretch[0], 'length', system)}. Hold that against the length of the rope and "
        f"its stretch at break."
    )


def _capture_in_words(pull: SampledPull, system) -> str:
    duration, capture = show(pull.duration, "time", system), pull.capture
    looks = f"A pull loads it for about {duration}, time for {capture.samples:.2g} samples:"
    reading = show(pull.peak, "force", system)
    most = capture.peak_behind(pull.peak)[1]
    if not np.isfinite(most.m):
        return f"{looks} the meter can miss the peak altogether, so use a faster one."
    if capture.worst > _NEXT_TO_ALL:
        return f"{looks} the meter misses next to nothing of the peak."
    missed = show(1 - capture.worst, "ratio", system)
    sharper = " A stiffening rope has a sharper peak, of which the meter misses more."
    return (
        f"{looks} for half a sine, the pull of a straight rope, the meter shows up to {missed} "
        f"less than the true peak. A reading of {reading} can stand for "
        f"{show(most, 'force', system)}.{sharper * pull.rope.stiffens}"
    )
