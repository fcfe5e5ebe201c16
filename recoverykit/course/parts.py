"""Drawings of the parts of a line, seen from above, made of plain shapes.

Axes have equal scales in CSS pixels; the line runs down the page. Each part is drawn about its
middle and reaches up and down to the parts beside it.
"""

import math
from collections.abc import Callable

from matplotlib.patches import Arc, Circle, Ellipse, FancyBboxPatch, Rectangle

from recoverykit.course import picture as p

METAL = "#B0B0B0"
EDGE: p.Looks = {"edgecolor": p.BLACK, "linewidth": 1.3}
HALF_WIDTH = 28  # of the legs of a bridle, at most


def draw_part(axes, kind: str, x: float, y: float, height: float, angle: float = 0.0) -> None:
    """Draw a part of a kind in PARTS at a place; `angle` (rad) is that of the legs of a bridle."""
    PARTS[kind](axes, x, y, height, angle)


def draw_vehicle(axes, x: float, y: float, height: float) -> None:
    """Draw the end of a vehicle, its middle at a place."""
    axes.add_patch(
        FancyBboxPatch(
            (x - 34, y - height / 2),
            68,
            height,
            boxstyle="round,pad=0,rounding_size=8",
            facecolor=p.SKY,
            **EDGE,
        )
    )
    for wheel in (x - 40, x + 30):
        axes.add_patch(Rectangle((wheel, y - 11), 10, 22, facecolor="#333333", **EDGE))


def _strand(axes, xs, ys, width: float = 5.0, color: str = p.BLUE):
    axes.plot(xs, ys, color=p.BLACK, linewidth=width + 2, solid_capstyle="butt", zorder=0.9)
    axes.plot(xs, ys, color=color, linewidth=width, solid_capstyle="butt", zorder=0.9)


def _through(axes, x, y, height):
    """The line, on its way through a part."""
    _strand(axes, [x, x], [y - height / 2, y + height / 2], 3, METAL)


def _recovery_point(axes, x, y, height, _):
    _through(axes, x, y, height)
    axes.add_patch(Rectangle((x - 16, y + 2), 32, height / 2 - 2, facecolor=METAL, **EDGE))
    axes.add_patch(Circle((x, y), 13, facecolor=METAL, **EDGE))
    axes.add_patch(Circle((x, y), 6, facecolor="white", **EDGE))


def _tow_ball(axes, x, y, height, _):
    _through(axes, x, y, height)
    axes.add_patch(Rectangle((x - 6, y), 12, height / 2, facecolor=METAL, **EDGE))
    axes.add_patch(Circle((x, y), 12, facecolor="#6E6E6E", **EDGE))


def _bow_shackle(axes, x, y, height, _):
    _through(axes, x, y, height)
    axes.add_patch(Arc((x, y - 3), 30, 30, theta1=125, theta2=55, linewidth=6, color="#6E6E6E"))
    axes.plot([x - 18, x + 18], [y + 11, y + 11], color=p.BLACK, linewidth=6)


def _rope(axes, x, y, height, _):
    _strand(axes, [x, x], [y - height / 2, y + height / 2], 9)


def _knotted_rope(axes, x, y, height, angle):
    _rope(axes, x, y, height, angle)
    axes.add_patch(Circle((x, y), 12, facecolor=p.BLUE, **EDGE))
    for rise in (-9, 0, 9):
        axes.plot([x - 9, x + 9], [y + rise - 5, y + rise + 5], color=p.BLACK, linewidth=2)


def _soft_shackle(axes, x, y, height, _):
    _through(axes, x, y, height)
    axes.add_patch(Ellipse((x, y), 22, 0.75 * height, fill=False, edgecolor=p.BLUE, linewidth=4))
    axes.add_patch(Circle((x + 11, y), 6, facecolor=p.BLUE, **EDGE))


def _eye(axes, x, y, height, _):
    _through(axes, x, y, height)
    axes.add_patch(Rectangle((x - 13, y - height / 2), 26, 10, facecolor=METAL, **EDGE))
    axes.add_patch(Circle((x, y), 11, fill=False, edgecolor=p.BLACK, linewidth=5))


def _bridle(axes, x, y, height, angle):
    out, down = _reach_of_legs(height, angle)
    for side in (-out, out):
        ends = [y + height / 2, y + height / 2 - down, y - height / 2]
        _strand(axes, [x, x + side, x + side], ends)


def _two_eyes(axes, x, y, height, angle):
    out, _ = _reach_of_legs(height, angle)
    for side in (-out, out):
        _eye(axes, x + side, y, height, angle)


def _reach_of_legs(height, angle):
    """How far out and down the legs of a bridle go, at their true angle."""
    out = min(HALF_WIDTH, height * math.tan(angle))
    return out, out / math.tan(angle)


PARTS: dict[str, Callable] = {
    "recovery point": _recovery_point,
    "tow ball": _tow_ball,
    "bow shackle": _bow_shackle,
    "rope": _rope,
    "knotted rope": _knotted_rope,
    "soft shackle": _soft_shackle,
    "eye": _eye,
    "bridle": _bridle,
    "two eyes": _two_eyes,
}
