"""The physics of pulling a stuck vehicle with a stretchy rope, for a course in notebooks."""

from recoverykit.measurements.pull_log import PullLog
from recoverykit.measurements.reading import empty_log, read_log
from recoverykit.measurements.sampling import peak_capture
from recoverykit.physics.dynamics import pull_in_time
from recoverykit.physics.formulas import (
    kinetic_energy,
    peak_tension,
    reduced_mass,
    series_stiffness,
    speed_for_tension,
)
from recoverykit.physics.load_curve import LoadCurve
from recoverykit.physics.pull import Pull
from recoverykit.physics.rigging import Link, Rating, RiggingLine
from recoverykit.physics.rope import Rope, RopePartsError
from recoverykit.units.parsing import read_quantity
from recoverykit.units.quantities import InputError, Q, display, show

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
]
