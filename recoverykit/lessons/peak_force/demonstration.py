"""The demonstration of lesson 03: what the line sees at a few speeds, and what is stamped on it."""

import numpy as np
from matplotlib.patches import Circle

from recoverykit.course import picture as p
from recoverykit.course.demonstration import Demonstration, Screen
from recoverykit.course.illustration import MUD, VEHICLE, WIDTH, Illustration
from recoverykit.lessons.peak_force.panel import PeakForce, PeakForcePanel
from recoverykit.physics.rigging import ABOVE
from recoverykit.units.quantities import Q, brief, display, show

SPEEDS: dict[str, Q] = {
    "metric": Q([4, 8, 16, 24, 8, 8], "km/h"),
    "US": Q([2.5, 5, 10, 15, 5, 5], "mph"),
}
FOOT_DOWN = {"metric": Q(5, "kN"), "US": Q(1100, "lbf")}
HEIGHT, GROUND, LINE = 160, 40, 64  # units of the drawing; the line is drawn higher than it is tied
# Where the parts lie between the two vehicles, by a word of their names: middle, length, kind.
PARTS = {
    "recovery point": (366, 36, "recovery point"),
    "bow shackle": (328, 40, "bow shackle"),
    "yard rope": (236, 144, "rope"),
    "soft shackle": (147, 34, "soft shackle"),
    "recovery eye": (113, 34, "eye"),
}


class PeakForceDemonstration(Demonstration):
    """Six pulls of the launch truck on a vehicle that stays where it is.

    >>> demonstration = PeakForceDemonstration()
    >>> shown = demonstration.screen(1)
    >>> shown.number, shown.sentence
    ('27.7 kN', 'One part is above its limit. The soft shackle is stamped for 26.7 kN.')
    """

    def __init__(self):
        self._panel = PeakForcePanel()

    def labels(self, system):
        """Walking pace, then the speeds, and what else is changed."""
        speeds = [brief(speed, "speed", system) for speed in SPEEDS[system.name]]
        speeds[0] = f"walking pace, {speeds[0]}"
        speeds[4] += ", foot on the gas"
        speeds[5] += ", twice the truck"
        return [f"{number} · {words}" for number, words in enumerate(speeds, 1)]

    def screen(self, step):
        """What the line sees, and the stamp that it passes."""
        panel, system = self._panel, display.system
        panel.reset()
        panel.set(speed=SPEEDS[system.name][step])
        if step == 4:
            panel.set(drive=FOOT_DOWN[system.name])
        if step == 5:
            panel.set(mass=2 * panel.values["mass"])
        result = panel.result
        number = "IT BREAKS" if result.parted else show(result.peak, "force", system)
        return Screen(number, _sentence(result, system), _drawing(result, system).figure)


def _sentence(result: PeakForce, system) -> str:
    if result.parted:
        strength = show(result.parted.breaking_strength, "force", system)
        return f"The {result.parted.name} breaks at {strength}. The rope lets go of all it holds."
    limit = show(result.first.working_load_limit, "force", system)
    above, parts = _above(result), len(result.loads)
    verdict = {
        0: "Every part is within its limit.",
        1: "One part is above its limit.",
        parts: "Every part is above its limit.",
    }.get(len(above), f"{len(above)} of {parts} parts are above their limits.")
    return f"{verdict} The {result.first.name} is stamped for {limit}."


def _above(result: PeakForce) -> list[str]:
    return [load.link.name for load in result.loads if load.verdict == ABOVE]


def _drawing(result: PeakForce, system) -> Illustration:
    """Both vehicles, every part of the line, and those above their limits marked."""
    truck = WIDTH - VEHICLE
    drawing = Illustration(HEIGHT, "The truck pulls a vehicle that does not move.")
    drawing.ground(GROUND)
    drawing.vehicle(truck, GROUND)
    drawing.sunk_vehicle(0, GROUND, MUD)
    fastest = SPEEDS[system.name].max()
    speed = brief(result.speed, "speed", system)
    drawing.arrow(truck, GROUND + 62, 12 + 84 * (result.speed / fastest).m_as(""), "")
    drawing.write(truck + VEHICLE / 2, GROUND + 84, speed)
    if result.parted:
        _draw_parted(drawing)
        return drawing
    above = _above(result)
    for name, (x, length, kind) in PARTS.items():
        if any(link.startswith(name) for link in above):
            _mark(drawing, x, length)
        drawing.part(kind, x, LINE, length, across=True)
    x, *_ = PARTS[result.first.name]
    drawing.write(
        x + 20, 15, f"{result.first.name}: {show(result.first.working_load_limit, 'force')}"
    )
    return drawing


def _mark(drawing: Illustration, x: float, length: float):
    """A red ground behind a part above its limit."""
    xs = np.array([x - length / 2, x + length / 2])
    drawing.axes.fill_between(
        xs, LINE - 24, LINE + 24, color=p.RED, alpha=0.45, linewidth=0, zorder=0
    )


def _draw_parted(drawing: Illustration):
    """The eye has torn off the stuck vehicle and flies at the truck, the rope before it."""
    axes, x = drawing.axes, 205
    axes.add_artist(Circle((VEHICLE + 4, LINE), 15, facecolor="none", edgecolor=p.RED, linewidth=3))
    for kind, middle, length in (("recovery point", 366, 36), ("bow shackle", 328, 40)):
        drawing.part(kind, middle, LINE, length, across=True)
    xs = np.linspace(x + 40, 308, 80)
    axes.plot(xs, LINE + 9 * np.sin((xs - xs[0]) / 8), color=p.BLUE, linewidth=5)
    for kind, middle in (("soft shackle", x + 30), ("eye", x)):
        drawing.part(kind, middle, LINE, 34, across=True)
    for dy in (-16, 0, 16):
        axes.plot([x - 70, x - 26], [LINE + dy] * 2, color=p.RED, linewidth=3)
