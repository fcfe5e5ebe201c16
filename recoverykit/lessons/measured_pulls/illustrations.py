"""Drawings of lesson 08."""

from recoverykit.course.illustration import Illustration, pull_at_the_block


def measured_pull() -> Illustration:
    """A truck on a rope with a load cell at the block."""
    drawing = Illustration(
        122,
        "The launch truck drives off to the right on the yard rope. Between the rope and the "
        "mooring block is a load cell, which holds the highest value it has read.",
    )
    pull_at_the_block(drawing, 45, "yard rope", load_cell=True)
    drawing.write(5, 18, "load cell: holds the highest value", ha="left")
    return drawing
