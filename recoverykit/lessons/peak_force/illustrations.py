"""Drawings of lesson 03."""

from recoverykit.course.illustration import Illustration, pull_at_the_block


def anchored_pull() -> Illustration:
    """A truck on a rope whose other end does not move."""
    drawing = Illustration(
        122,
        "The launch truck drives off to the right, out of gear. The slack of the yard rope "
        "behind it is just gone; its other end is fastened to the mooring block, which does "
        "not move.",
    )
    pull_at_the_block(drawing, 45, "yard rope,\nslack just gone")
    drawing.write(0, 18, "does not move", ha="left")
    drawing.write(480, 18, "out of gear", ha="right")
    return drawing
