"""Drawings of lesson 02."""

from recoverykit.course import picture as p
from recoverykit.course.illustration import METAL, WIDTH, Illustration, pull_at_the_block


def rope_and_winch_line() -> Illustration:
    """The same truck on a rope, and on a winch line."""
    drawing = Illustration(
        222,
        "Two rows. Above, the launch truck stands at the end of the yard rope, whose other end is "
        "fastened to the mooring block. Below, the same on a winch line of the same length and "
        "strength as the rope. Both trucks drive off at the same speed.",
    )
    pull_at_the_block(drawing, 143, "yard rope")
    pull_at_the_block(drawing, 40, "winch line", color=METAL, width=3)
    drawing.write(WIDTH / 2, 15, "same length and strength as the rope")
    return drawing


def areas_under_the_curves() -> Illustration:
    """The same energy: a low and wide area for the rope, a tall and narrow one for the line."""
    drawing = Illustration(
        240,
        "Two charts of pull against stretch, with the same area under both lines. The rope's is "
        "low and wide: little pull, much stretch. The winch line's is tall and narrow: much pull, "
        "little stretch.",
    )
    for left, stretch, pull, color, words in (
        (25, 190, 45, p.BLUE, "rope:\nlow and wide"),
        (270, 61, 140, p.GRAY, "winch line:\ntall and narrow"),
    ):
        corner = left + stretch
        drawing.axes.fill_between([left, corner], 75, [75, 75 + pull], color=color, alpha=0.35)
        drawing.axes.plot([left, corner], [75, 75 + pull], color=color, linewidth=3)
        looks: p.Looks = {"arrowstyle": "->", "color": p.BLACK, "linewidth": 1.5}
        for end in ((left, 225), (left + 205, 75)):
            drawing.axes.annotate("", end, (left, 75), arrowprops={**looks, "shrinkA": 0})
        drawing.write(left + 30, 222, "pull")
        drawing.write(left + 205, 60, "stretch", ha="right")
        drawing.write(left + 100, 45, words, va="top")
    return drawing
