"""Drawings of lesson 05."""

from matplotlib.patches import Circle, FancyBboxPatch

from recoverykit.course import picture as p
from recoverykit.course.illustration import TOW_HEIGHT, VEHICLE, WIDTH, Illustration

GROUND = 34


def line_of_five_parts() -> Illustration:
    """The yard line between two vehicles, its parts numbered."""
    drawing = Illustration(
        114,
        "A line of five parts between two vehicles. From the launch truck on the left: 1, its "
        "recovery point; 2, a bow shackle; 3, the yard rope; 4, a soft shackle; 5, the recovery "
        "eye of the stuck vehicle on the right.",
        shown=340,
    )
    drawing.ground(GROUND)
    drawing.vehicle(0, GROUND)
    drawing.vehicle(WIDTH - VEHICLE, GROUND)
    drawing.write(0, 11, "launch truck", ha="left")
    drawing.write(WIDTH, 11, "stuck vehicle", ha="right")
    height = GROUND + TOW_HEIGHT
    parts = [
        ("recovery point", 110, 26),
        ("bow shackle", 142, 38),
        ("rope", 240, 158),
        ("soft shackle", 338, 38),
        ("eye", 370, 26),
    ]
    for number, (kind, middle, length) in enumerate(parts, start=1):
        drawing.part(kind, middle, height, length, across=True)
        drawing.axes.add_artist(Circle((middle, 95), 14, facecolor="white", edgecolor=p.BLACK))
        drawing.write(middle, 94, str(number))
    return drawing


def same_pull_everywhere() -> Illustration:
    """Load cells between the parts of a line, which all show the same."""
    drawing = Illustration(
        80, "Three load cells one behind the other in a line. All three show the same pull."
    )
    drawing.rope(10, WIDTH - 10, 40)
    for middle in (95, 240, 385):
        box = FancyBboxPatch(
            (middle - 58, 20), 116, 40, boxstyle="round,pad=0", facecolor="white", zorder=3
        )
        drawing.axes.add_artist(box)
        drawing.write(middle, 39, "same pull", zorder=4)
    return drawing
