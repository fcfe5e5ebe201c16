"""Panel: where the energy of a vehicle goes, in a rope and in a winch line."""

from dataclasses import dataclass

import numpy as np

from recoverykit.course.inputs import Choice
from recoverykit.course.panel import Panel
from recoverykit.course.sliders import length_slider, mass_slider, speed_slider, strength_slider
from recoverykit.lessons.rope_spring.picture import StretchPicture
from recoverykit.lessons.rope_spring.tasks import TASKS
from recoverykit.physics.formulas import kinetic_energy
from recoverykit.physics.pull import Peak, Pull
from recoverykit.physics.rope import Rope, demo_rope, rope_kinds
from recoverykit.tables.marram_point import DemoPull, DemoVehicle
from recoverykit.tables.records import find
from recoverykit.units.quantities import Q, as_number, brief, show

FASTEST = Q(12, "km/h")
_DEMO = find(DemoPull, name="first pull in the yard")
_ROPE, _KINDS = demo_rope(_DEMO.rope), rope_kinds(_DEMO.rope)


@dataclass(frozen=True)
class Line:
    """A line that takes up the energy of a vehicle: its curve up to the break, and its peak."""

    rope: Rope
    stretches: Q
    loads: Q
    peak: Peak
    at_fastest: Peak  # the peak at the highest speed of the panel

    @property
    def taken(self):
        """The energy that it has taken up at its peak, or when it parts."""
        return self.rope.stored_energy(self.peak.extension)


@dataclass(frozen=True)
class Stretch:
    """What the panel works out: an energy, and the rope and the winch line that take it up."""

    speed: Q
    energy: Q
    kind: str
    rope: Line
    winch_line: Line
    guess: dict[str, Q]  # the learner's guessed pulls, if any, by what they are for


class StretchPanel(Panel):
    """Sliders for a rope and a vehicle; a picture of load against stretch and of the energy.

    The sliders start at an invented pull of Marram Point. Beside the rope stands a winch line, same
    length and strength, that stretches as that of Marram Point does. With a `guess`, the answer
    stays hidden until it is committed.

    >>> print(StretchPanel().summary)
    The winch line pulls 2.9 times as hard as the rope. At 4 km/h the vehicle brings 1.91 kJ.
    The rope takes it up: it stretches 0.28 m and pulls with 13.8 kN. The winch line stretches only
    0.094 m and pulls with 40.5 kN.
    """

    picture_type = StretchPicture
    tasks = TASKS
    precomputed = (("speed", 9), ("kind", 4))
    inputs = (
        Choice("kind", "Kind of rope", next(iter(_KINDS)), tuple(_KINDS)).with_help(
            "How the rope takes up load as it stretches."
        ),
        strength_slider(_ROPE.breaking_strength, label="Strength").with_help(
            "Minimum breaking strength of the rope, and of the winch line."
        ),
        length_slider(_ROPE.length, label="Length").with_help(
            "Length of the rope, and of the winch line, unloaded."
        ),
        mass_slider(find(DemoVehicle, name=_DEMO.vehicle).mass, label="Vehicle"),
        speed_slider(_DEMO.speed, FASTEST).with_help(
            "Speed of the vehicle at the moment the slack is gone."
        ),
    )

    def compute(self, kind, strength, length, mass, speed):
        """What the rope and the winch line do until they have taken up the vehicle's energy."""
        winch_line = Rope(length, strength, demo_rope("winch line").stretch_at_break)
        return Stretch(
            speed=speed,
            energy=kinetic_energy(mass, speed),
            kind=kind,
            rope=_line(_KINDS[kind](length, strength), mass, speed),
            winch_line=_line(winch_line, mass, speed),
            guess=self._guessed_pulls(),
        )

    def _guessed_pulls(self) -> dict[str, Q]:
        """The guessed pulls by the names of their boxes."""
        if self._guess is None:
            return {}
        fields = self._guess.template.fields
        return {fields[name].label.lower(): pull for name, pull in self._guessed.items()}

    def describe(self, result, system):
        """The verdict, the energy, and what each line does to take it up."""
        speed = brief(result.speed, "speed", system)
        if result.speed.m_as("m/s") == 0:
            return "Without speed the vehicle brings no energy, and neither line stretches."
        energy = show(result.energy, "energy", system)
        return (
            f"{_verdict(result)} At {speed} the vehicle brings {energy}. "
            f"{_line_in_words('The rope', 'takes it up: it stretches', result.rope, system)} "
            f"{_line_in_words('The winch line', 'stretches only', result.winch_line, system)}"
        )


def _line(rope: Rope, mass, speed) -> Line:
    stretches = np.linspace(0, 1, 201) * rope.extension_at_break
    return Line(
        rope=rope,
        stretches=stretches,
        loads=rope.tension(stretches),
        peak=Pull(mass, rope, speed).first_peak,
        at_fastest=Pull(mass, rope, FASTEST).first_peak,
    )


def _verdict(result: Stretch) -> str:
    rope, winch_line = result.rope.peak, result.winch_line.peak
    if rope.parts and winch_line.parts:
        return "Both lines part."
    if winch_line.parts:
        return "The winch line parts, and the rope holds."
    if rope.parts:
        return "The rope parts, and the winch line holds."
    times = as_number((winch_line.tension / rope.tension).m_as(""), digits=2)
    return f"The winch line pulls {times} times as hard as the rope."


def _line_in_words(name: str, stretches: str, line: Line, system) -> str:
    pull = show(line.peak.tension, "force", system)
    if line.peak.parts:
        taken = show(line.taken, "energy", system)
        return f"{name} takes up only {taken} of it before it parts, at {pull}."
    longer = show(line.peak.extension, "stretch", system, 2)
    return f"{name} {stretches} {longer} and pulls with {pull}."
