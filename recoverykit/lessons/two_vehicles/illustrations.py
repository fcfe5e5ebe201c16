"""Drawings of lesson 07."""

from recoverykit.course.illustration import (
    TOW_HEIGHT,
    VEHICLE,
    WATER,
    WIDTH,
    Illustration,
)

GROUND = 45


def two_vehicles() -> Illustration:
    """A truck on a rope whose other end is fastened to a stuck car."""
    drawing = Illustration(
        128,
        "The crew car is stuck in the creek. The slack of the yard rope between it and the "
        "launch truck is just gone. The truck drives off to the right at a small "
        "speed, out of gear.",
    )
    drawing.ground(GROUND)
    drawing.vehicle(330, GROUND)
    drawing.sunk_vehicle(18, GROUND, WATER)
    drawing.rope(18 + VEHICLE, 330, GROUND + TOW_HEIGHT)
    drawing.arrow(432, GROUND + 18, 40)
    drawing.write(WIDTH, GROUND + 70, "speed", ha="right")
    drawing.write(222, GROUND + 40, "yard rope,\nslack just gone")
    drawing.write(0, 16, "stuck in the creek", ha="left")
    drawing.write(WIDTH, 16, "out of gear", ha="right")
    return drawing
