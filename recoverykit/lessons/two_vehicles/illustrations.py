"""Drawings of lesson 07."""

from recoverykit.course.illustration import WATER, WIDTH, Illustration, pull_of_a_sunk_vehicle


def two_vehicles() -> Illustration:
    """A truck on a rope whose other end is fastened to a stuck car."""
    drawing = Illustration(
        128,
        "The crew car is stuck in the creek. The slack of the yard rope between it and the "
        "launch truck is just gone. The truck drives off to the right at a small "
        "speed, out of gear.",
    )
    pull_of_a_sunk_vehicle(drawing, WATER, "yard rope,\nslack just gone")
    drawing.write(WIDTH, 93, "speed", ha="right")
    drawing.write(0, 16, "stuck in the creek", ha="left")
    drawing.write(WIDTH, 16, "out of gear", ha="right")
    return drawing
