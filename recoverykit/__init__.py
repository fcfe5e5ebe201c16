"""The physics of pulling a stuck vehicle with a stretchy rope, for a course in notebooks."""

from recoverykit.curve import LoadCurve
from recoverykit.fieldlog import empty_log, read_log
from recoverykit.formulas import (
    kinetic_energy,
    peak_tension,
    reduced_mass,
    series_stiffness,
    speed_for_tension,
)
from recoverykit.meter import peak_capture
from recoverykit.motion import pull_in_time
from recoverykit.pull import Pull
from recoverykit.pulllog import PullLog
from recoverykit.reading import read_quantity
from recoverykit.rigging import Link, Rating, RiggingLine
from recoverykit.rope import Rope, RopePartsError, temperature_rise
from recoverykit.units import InputError, Q, display, show

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
    "empty_log",
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
]
