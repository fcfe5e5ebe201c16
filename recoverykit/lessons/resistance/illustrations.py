"""Drawings of lesson 06."""

from recoverykit.course.illustration import Illustration, pull_out_of_mud


def steady_pull() -> Illustration:
    """A truck on wet sand that pulls a boat carrier out of mud."""
    drawing = Illustration(
        122,
        "The boat carrier stands in mud up to its wheels. A line leads from it to the "
        "launch truck, which stands on wet sand and sets a steady pull to the right.",
    )
    pull_out_of_mud(drawing, "steady pull")
    return drawing
