"""Drawings of lesson 09."""

from recoverykit.course import picture as p
from recoverykit.course.illustration import TOW_HEIGHT, VEHICLE, WIDTH, Illustration

GROUND = 45


def tethered_shackle() -> Illustration:
    """A shackle in a line, with a tether that is meant to hold it back."""
    drawing = Illustration(
        122,
        "A stretched yard rope leads from the stuck vehicle to a bow shackle at the launch truck. "
        "A slack tether ties the shackle to the truck.",
    )
    drawing.ground(GROUND)
    drawing.vehicle(0, GROUND, p.ORANGE)
    drawing.vehicle(WIDTH - VEHICLE, GROUND)
    height, shackle, end = GROUND + TOW_HEIGHT, 325, WIDTH - VEHICLE
    drawing.rope(VEHICLE, shackle - 14, height)
    drawing.part("bow shackle", shackle, height, 44, across=True)
    drawing.axes.plot([shackle + 22, end], [height] * 2, color=p.BLACK, linewidth=3)
    xs, ys = [shackle, shackle + 22, end - 12, end], [height - 14, 16, 16, height - 5]
    drawing.axes.plot(xs, ys, color=p.RED, linewidth=3, linestyle="--", zorder=5)
    drawing.write(205, height + 22, "yard rope")
    drawing.write(shackle, height + 38, "bow shackle")
    drawing.write(shackle - 12, 18, "tether", ha="right")
    return drawing
