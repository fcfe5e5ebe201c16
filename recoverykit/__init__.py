"""The physics of pulling a stuck vehicle with a stretchy rope, for a course in notebooks."""

from recoverykit.fieldlog import read_log, write_template
from recoverykit.meter import peak_capture
from recoverykit.motion import pull_in_time
from recoverykit.pull import (
    Pull,
    kinetic_energy,
    peak_tension,
    reduced_mass,
    series_stiffness,
    speed_for_tension,
)
from recoverykit.pulllog import PullLog
from recoverykit.rigging import Link, Rating, RiggingLine
from recoverykit.rope import LoadCurve, Rope, RopePartsError, temperature_rise
from recoverykit.units import InputError, Q, display, read_quantity, show

__all__ = [
    "InputError",
    "Link",
    "LoadCurve",
    "Pull",
    "PullLog",
    "Q",
    "Rating",
    "RiggingLine",
    "Rope",
    "RopePartsError",
    "display",
    "kinetic_energy",
    "peak_capture",
    "peak_tension",
    "pull_in_time",
    "read_log",
    "read_quantity",
    "reduced_mass",
    "series_stiffness",
    "show",
    "speed_for_tension",
    "temperature_rise",
    "write_template",
]
