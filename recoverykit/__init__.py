"""The physics of pulling a stuck vehicle with a stretchy rope, for a course in notebooks."""

from recoverykit.pull import kinetic_energy, peak_tension, series_stiffness, speed_for_tension
from recoverykit.rigging import Link, Rating, RiggingLine
from recoverykit.rope import Rope, RopePartsError
from recoverykit.units import InputError, Q, display, read_quantity, show

__all__ = [
    "InputError",
    "Link",
    "Q",
    "Rating",
    "RiggingLine",
    "Rope",
    "RopePartsError",
    "display",
    "kinetic_energy",
    "peak_tension",
    "read_quantity",
    "series_stiffness",
    "show",
    "speed_for_tension",
]
