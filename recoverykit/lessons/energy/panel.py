"""Panel: the energy of a moving vehicle against its speed."""

from dataclasses import dataclass

import numpy as np

from recoverykit.course.panel import Panel
from recoverykit.course.sliders import mass_slider, speed_slider
from recoverykit.lessons.energy.picture import EnergyPicture
from recoverykit.lessons.energy.tasks import TASKS
from recoverykit.physics.formulas import drop_height, kinetic_energy
from recoverykit.physics.recoil import energy_scale
from recoverykit.tables.marram_point import DemoPull, DemoVehicle
from recoverykit.tables.records import find
from recoverykit.units.quantities import Q, brief, show

FASTEST = Q(20, "km/h")
_DEMO = find(DemoPull, name="first pull in the yard")


@dataclass(frozen=True)
class Energy:
    """What the panel works out: the energy at one speed and at half of it, and the whole curve."""

    mass: Q
    speed: Q
    energy: Q
    energy_at_half: Q
    height: Q  # of the drop that has as much energy
    speeds: Q
    energies: Q
    guess: list[tuple[Q, Q]]  # the learner's (speed, energy) points, if any


class EnergyPanel(Panel):
    """Sliders for mass and speed; a picture of the energy, and of the drop that has as much.

    The sliders start at an invented pull of Marram Point. With a `guess`, the answer stays hidden
    until it is committed.

    >>> panel = EnergyPanel()
    >>> panel.set(speed=Q(8, "km/h"))
    >>> print(panel.summary)
    At 8 km/h the vehicle carries 7.65 kJ. At half the speed it carries a quarter of that,
    1.91 kJ. It's like dropping the same vehicle, 3100 kg, from 0.25 m. Or like a 75 kg person
    falling 10 m.
    """

    picture_type = EnergyPicture
    tasks = TASKS
    precomputed = (("speed", 17), ("mass", 4))
    inputs = (
        mass_slider(find(DemoVehicle, name=_DEMO.vehicle).mass, label="Vehicle").with_help(
            "Mass of the vehicle, as loaded on the day."
        ),
        speed_slider(_DEMO.speed, FASTEST).with_help("Speed of the vehicle."),
    )

    def compute(self, mass, speed):
        """The energy at this speed, at half of it, and at every speed."""
        speeds = FASTEST * np.linspace(0, 1, 101)
        return Energy(
            mass=mass,
            speed=speed,
            energy=kinetic_energy(mass, speed),
            energy_at_half=kinetic_energy(mass, speed / 2),
            height=drop_height(speed),
            speeds=speeds,
            energies=kinetic_energy(mass, speeds),
            guess=self._guessed_points,
        )

    def describe(self, result, system):
        """The energy, a quarter of it at half the speed, and what has as much."""
        mass, speed = show(result.mass, "mass", system), brief(result.speed, "speed", system)
        if result.energy.m_as("J") == 0:
            return f"A vehicle weighing {mass} has no energy of motion while it stands still."
        energy, quarter = (
            show(energy, "energy", system) for energy in (result.energy, result.energy_at_half)
        )
        return (
            f"At {speed} the vehicle carries {energy}. At half the speed it carries a quarter of "
            f"that, {quarter}. It's like dropping the same vehicle, {mass}, from "
            f"{show(result.height, 'length', system, 2)}. {_fall_in_words(result.energy, system)}"
        )


def _fall_in_words(energy, system) -> str:
    """How far the person in the table of energies would fall for this energy."""
    *_, fall = (row for row in energy_scale() if row.height is not None)
    height = fall.height * (energy.m_as("J") / fall.joules)
    person = brief(fall.mass, "mass", system)
    return f"Or like a {person} person falling {show(height, 'length', system, 2)}."
