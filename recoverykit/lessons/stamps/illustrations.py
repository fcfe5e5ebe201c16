"""Drawings of lesson 04."""

import math

from matplotlib.patches import Arc, Rectangle

from recoverykit.course import picture as p
from recoverykit.course.illustration import WIDTH, Illustration
from recoverykit.lessons.stamps.panel import StampsPanel


def two_stamps() -> Illustration:
    """The two parts that the panel begins with, and what is stamped on each."""
    start = StampsPanel().result
    stamps = {
        name: "\n".join(stamp.lines)
        for name, stamp in (("bow shackle", start.a), ("soft shackle", start.b))
    }
    on_each = "; ".join(f"{name}: {stamp}" for name, stamp in stamps.items()).replace("\n", ", ")
    drawing = Illustration(255, f"Two parts with their stamps. {on_each}.", shown=340)
    for letter, middle, (kind, stamp) in zip("AB", (189, 67), stamps.items(), strict=True):
        drawing.part(kind, 62, middle, 112, scale=1.8)
        looks: p.Looks = {"facecolor": "#F4F4F4", "edgecolor": p.GRAY}
        drawing.axes.add_artist(Rectangle((128, middle - 54), 345, 78, **looks))
        drawing.write(130, middle + 44, f"{letter}  {kind}", ha="left", fontweight="bold")
        drawing.write(300, middle - 15, stamp)
    return drawing


def limit_and_strength() -> Illustration:
    """What of a part's strength is for work, and what the maker keeps back."""
    drawing = Illustration(
        120,
        "A bar of force from zero to the breaking strength. The first fifth, up to the working "
        "load limit, is for work; the rest is kept back by the maker.",
    )
    looks: p.Looks = {"edgecolor": p.BLACK, "linewidth": 1.2}
    drawing.axes.add_artist(Rectangle((20, 45), 88, 30, facecolor=p.SKY, **looks))
    drawing.axes.add_artist(Rectangle((108, 45), 352, 30, facecolor="#F5D08A", hatch="//", **looks))
    drawing.write(20, 95, "working load limit", ha="left")
    drawing.write(460, 95, "breaking strength", ha="right")
    drawing.write(20, 25, "for work", ha="left")
    drawing.write(284, 25, "kept back by the maker")
    return drawing


def leg_angle() -> Illustration:
    """Two legs at an angle to the line of pull."""
    drawing = Illustration(
        190,
        "A line from the left ends in a joint. From it two legs spread to the right, each at the "
        "angle theta to the line of pull.",
    )
    angle, joint, length = math.radians(32), (200, 95), 150
    drawing.rope(20, joint[0], joint[1])
    drawing.axes.plot([joint[0], 460], [joint[1]] * 2, color=p.GRAY, linestyle=":", linewidth=2)
    for side in (1, -1):
        end = (joint[0] + length * math.cos(angle), joint[1] + side * length * math.sin(angle))
        drawing.axes.plot(*zip(joint, end, strict=True), color=p.BLUE, linewidth=5)
        drawing.axes.plot(*end, "o", color=p.BLACK, markersize=9)
        drawing.write(end[0] + 32, end[1], "leg")
    drawing.axes.add_artist(Arc(joint, 130, 130, theta1=0, theta2=32, linewidth=2))
    drawing.write(283, 115, "θ")
    drawing.write(100, 120, "line")
    drawing.write(WIDTH - 20, 75, "line of pull", ha="right")
    return drawing
