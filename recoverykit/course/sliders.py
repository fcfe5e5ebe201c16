"""Sliders that stand on many panels, with the same limits and steps on each."""

from recoverykit.course.inputs import Slider
from recoverykit.units.quantities import Q

AT_REST = Q(0, "km/h")
WEAKEST_ROPE = Q(20, "kN")


def mass_slider(
    start,
    *,
    name="mass",
    label="Recovery vehicle",
    help="Mass of the vehicle that pulls, as loaded on the day.",
) -> Slider:
    """How heavy a vehicle is."""
    return Slider(
        name=name,
        label=label,
        kind="mass",
        low=Q(1000, "kg"),
        high=Q(9000, "kg"),
        start=start,
        steps=(50, 100),
        help=help,
    )


def speed_slider(
    start,
    high,
    *,
    low=AT_REST,
    label="Speed",
    help="Speed of the recovery vehicle at the moment the slack is gone.",
) -> Slider:
    """How fast a vehicle goes."""
    return Slider(
        name="speed",
        label=label,
        kind="speed",
        low=low,
        high=high,
        start=start,
        steps=(0.5, 0.5),
        help=help,
    )


def strength_slider(
    start,
    *,
    low=WEAKEST_ROPE,
    label="Rope strength",
    help="Minimum breaking strength of the rope, new and dry.",
) -> Slider:
    """How strong a rope is."""
    return Slider(
        name="strength",
        label=label,
        kind="force",
        low=low,
        high=Q(400, "kN"),
        start=start,
        steps=(5, 1000),
        help=help,
    )


def length_slider(
    start,
    *,
    name="length",
    label="Rope length",
    help="Length of the rope between its two ends, unloaded.",
) -> Slider:
    """How long a rope is."""
    return Slider(
        name=name,
        label=label,
        kind="length",
        low=Q(3, "m"),
        high=Q(30, "m"),
        start=start,
        steps=(0.5, 1),
        help=help,
    )


def stretch_slider(start) -> Slider:
    """How far a rope stretches before it breaks."""
    return Slider(
        name="stretch",
        label="Stretch at break",
        kind="ratio",
        low=Q(5, "percent"),
        high=Q(50, "percent"),
        start=start,
        steps=(1, 1),
        help="How much longer the rope is when it breaks: see the maker's sheet.",
    )


def drive_slider(
    high, *, help="Force with which the wheels keep pulling while the rope stretches."
) -> Slider:
    """How hard the wheels pull on."""
    return Slider(
        name="drive",
        label="Drive force",
        kind="force",
        low=Q(0, "kN"),
        high=high,
        start=Q(0, "kN"),
        steps=(0.5, 100),
        help=help,
    )
