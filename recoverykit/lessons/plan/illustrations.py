"""Drawings of lesson 10."""

from recoverykit.course.illustration import Illustration, pull_out_of_mud


def planned_pull() -> Illustration:
    """The pull that is to be planned."""
    drawing = Illustration(
        122,
        "The boat carrier stands in mud up to its wheels. The yard line leads from it to the "
        "launch truck, which stands on wet sand.",
    )
    pull_out_of_mud(drawing, "yard line")
    return drawing
