"""Drawings of lesson 01."""

from recoverykit.course.illustration import VEHICLE, WIDTH, Illustration

GROUND = 58


def three_speeds() -> Illustration:
    """The same truck at three speeds."""
    drawing = Illustration(
        136,
        "The launch truck three times: at walking pace with a short arrow, twice as fast with an "
        "arrow twice as long, and four times as fast with an arrow four times as long.",
    )
    drawing.ground(GROUND)
    for column, (speed, words) in enumerate(
        [(1, "walking\npace"), (2, "twice\nas fast"), (4, "four times\nas fast")]
    ):
        middle = (column + 0.5) * WIDTH / 3
        drawing.vehicle(middle - VEHICLE / 2, GROUND)
        drawing.arrow(middle - VEHICLE / 2, GROUND + 60, 24 * speed)
        drawing.write(middle, 44, words, va="top")
    return drawing
