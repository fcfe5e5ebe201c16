"""The ways in which a part of lesson 04 can be rigged."""

from recoverykit.physics.rigging import Factor, bridle, factor
from recoverykit.units.quantities import Q

# How a part is drawn, and what its rigging leaves of it.
RIGGED: dict[str, tuple[str, tuple[Factor, ...]]] = {
    "straight, as stamped": ("soft shackle", ()),
    "choked": ("choked sling", (factor("choked"),)),
    "a pair, as a bridle 30° off the pull": ("pair at 30°", (bridle(Q(30, "degree")),)),
    "a pair, as a bridle 60° off the pull": ("pair at 60°", (bridle(Q(60, "degree")),)),
    "a rope tied with a bowline": ("rope with a bowline", (factor("bowline"),)),
    "a wet polyamide rope": ("wet rope", (factor("wet"),)),
    "a shackle pulled 90° sideways": (
        "shackle pulled sideways",
        (factor("shackle pulled 90° sideways"),),
    ),
}
