"""Sliders in short, and those that stand on many panels with the same limits and steps."""

from recoverykit.course.inputs import Slider
from recoverykit.units.quantities import Q

AT_REST = Q(0, "km/h")
WEAKEST_ROPE = Q(20, "kN")


def slider(name, label, start, kind, low, high, unit, *steps) -> Slider:
    """A slider between two limits in one unit, by a metric step and a US step."""
    return Slider(name, label, start, kind, Q(low, unit), Q(high, unit), steps)


def mass_slider(start, name="mass", label="Recovery vehicle") -> Slider:
    """How heavy a vehicle is."""
    return slider(name, label, start, "mass", 1000, 9000, "kg", 50, 100).with_help(
        "Mass of the vehicle that pulls, as loaded on the day."
    )


def speed_slider(start, high, low=AT_REST, label="Speed") -> Slider:
    """How fast a vehicle goes."""
    return Slider("speed", label, start, "speed", low, high, (0.5, 0.5)).with_help(
        "Speed of the recovery vehicle at the moment the slack is gone."
    )


def strength_slider(start, low=WEAKEST_ROPE, label="Rope strength") -> Slider:
    """How strong a rope is."""
    return Slider("strength", label, start, "force", low, Q(400, "kN"), (5, 1000)).with_help(
        "Minimum breaking strength of the rope, new and dry."
    )


def length_slider(start, name="length", label="Rope length") -> Slider:
    """How long a rope is."""
    return slider(name, label, start, "length", 3, 30, "m", 0.5, 1).with_help(
        "Length of the rope between its two ends, unloaded."
    )


def stretch_slider(start) -> Slider:
    """How far a rope stretches before it breaks."""
    return slider("stretch", "Stretch at break", start, "ratio", 5, 50, "percent", 1, 1).with_help(
        "How much longer the rope is when it breaks: see the maker's sheet."
    )


def drive_slider(most) -> Slider:
    """How hard the wheels pull on, up to a number of kN."""
    return slider("drive", "Drive force", Q(0, "kN"), "force", 0, most, "kN", 0.5, 100).with_help(
        "Force with which the wheels keep pulling while the rope stretches."
    )
