"""Drawings of the parts of a line, seen from above, made of plain shapes.

Axes have equal scales in CSS pixels; the line runs down the page. Each part is drawn about its
middle and reaches up and down to the parts beside it.
"""

import math
from collections.abc import Callable

import numpy as np
from matplotlib.patches import Circle, Ellipse, FancyBboxPatch, Rectangle

from recoverykit.course import picture as p

METAL = "#B0B0B0"
EDGE: p.Looks = {"edgecolor": p.BLACK, "linewidth": 1.3}
LEG = 42  # length of the legs of a bridle


def draw_part(axes, kind: str, x: float, y: float, height: float, angle: float = 0.0) -> None:
    """Draw a part of a kind in PARTS at a place; `angle` (rad) is that of the legs of a bridle."""
    PARTS[kind](axes, x, y, height, angle)


def draw_vehicle(axes, x: float, y: float, height: float) -> None:
    """Draw the end of a vehicle, its middle at a place."""
    round_corners = "round,pad=0,rounding_size=8"
    corner = (x - 40, y - height / 2)
    axes.add_artist(
        FancyBboxPatch(corner, 80, height, boxstyle=round_corners, facecolor=p.SKY, **EDGE)
    )
    for wheel in (x - 46, x + 36):
        axes.add_artist(Rectangle((wheel, y - 11), 10, 22, facecolor="#333333", **EDGE))


def _strand(axes, xs, ys, width: float = 5.0, color: str = p.BLUE):
    axes.plot(xs, ys, color=p.BLACK, linewidth=width + 2, solid_capstyle="butt", zorder=0.9)
    axes.plot(xs, ys, color=color, linewidth=width, solid_capstyle="butt", zorder=0.9)


def broken_edges(kind: str, x: float, y: float) -> np.ndarray:
    """The corners of a gap with ragged edges, where a part of a kind at a place has broken."""
    half = 50 if kind in ("bridle", "two eyes") else 25
    across = np.linspace(x - half, x + half, half // 5 * 2 + 1)
    ragged = y + 4 * (-1.0) ** np.arange(len(across))
    upper, lower = np.column_stack([across, ragged + 9]), np.column_stack([across, ragged - 9])
    return np.concatenate([upper, lower[::-1]])


def _through(axes, x, y, height):
    """The line, on its way through a part."""
    _strand(axes, [x, x], [y - height / 2, y + height / 2], 3, METAL)


def _recovery_point(axes, x, y, height, _):
    _through(axes, x, y, height)
    axes.add_artist(Rectangle((x - 16, y + 2), 32, height / 2 - 2, facecolor=METAL, **EDGE))
    axes.add_artist(Circle((x, y), 13, facecolor=METAL, **EDGE))
    axes.add_artist(Circle((x, y), 6, facecolor="white", **EDGE))


def _tow_ball(axes, x, y, height, _):
    axes.add_artist(Rectangle((x - 6, y), 12, height / 2, facecolor=METAL, **EDGE))
    axes.add_artist(Circle((x, y), 12, facecolor="#6E6E6E", **EDGE))
    axes.add_artist(Circle((x - 4, y + 4), 3, facecolor="white"))
    _loop(axes, x, y - 4, height / 2 - 4, 28)


def _bow_shackle(axes, x, y, height, _):
    _through(axes, x, y, height)
    bow = np.radians(np.linspace(140, 400, 27))
    xs = np.concatenate([[x - 11], x + 17 * np.cos(bow), [x + 11]])
    ys = np.concatenate([[y + 17], y - 5 + 17 * np.sin(bow), [y + 17]])
    _strand(axes, xs, ys, 6, METAL)
    # Its pin, and the pin's head.
    axes.add_artist(Rectangle((x - 22, y + 12), 44, 7, facecolor="#6E6E6E", **EDGE))
    axes.add_artist(Rectangle((x + 18, y + 8), 8, 15, facecolor="#6E6E6E", **EDGE))


def _rope(axes, x, y, height, _):
    for end in (1, -1):
        _loop(axes, x, y + end * (height / 2 - 11), end * 11, 16)
    core = max(height / 2 - 20, 4)
    _strand(axes, [x, x], [y - core, y + core], 9)
    for twist in np.arange(y - core + 3, y + core - 5, 7):
        axes.plot([x - 5, x + 5], [twist, twist + 5], color=p.BLACK, linewidth=0.8, zorder=0.9)


def _loop(axes, x, y, reach, width):
    """An eye of a rope: both strands close at one end, round at the other."""
    turn = np.linspace(0, np.pi, 15)
    xs = np.concatenate([[x], x + width / 2 * np.cos(turn), [x]])
    ys = np.concatenate([[y - reach], y + math.copysign(7, reach) * np.sin(turn), [y - reach]])
    _strand(axes, xs, ys, 4)


def _knotted_rope(axes, x, y, height, angle):
    _rope(axes, x, y, height, angle)
    axes.add_artist(Circle((x, y), 12, facecolor=p.BLUE, **EDGE))
    for rise in (-9, 0, 9):
        axes.plot([x - 9, x + 9], [y + rise - 5, y + rise + 5], color=p.BLACK, linewidth=2)


def _soft_shackle(axes, x, y, height, _):
    _through(axes, x, y, height)
    axes.add_artist(Ellipse((x, y), 22, 0.75 * height, fill=False, edgecolor=p.BLUE, linewidth=4))
    axes.add_artist(Circle((x + 11, y), 6, facecolor=p.BLUE, **EDGE))


def _eye(axes, x, y, height, _):
    _through(axes, x, y, height)
    axes.add_artist(Rectangle((x - 13, y - height / 2), 26, 10, facecolor=METAL, **EDGE))
    axes.add_artist(Circle((x, y), 11, fill=False, edgecolor=p.BLACK, linewidth=5))


def _bridle(axes, x, y, height, angle):
    out, down = _reach_of_legs(angle)
    foot, joint = y - height / 2, y - height / 2 + down
    _strand(axes, [x, x], [joint, y + height / 2], 3, METAL)
    for side in (-out, out):
        _strand(axes, [x, x + side], [joint, foot])


def _strap(axes, x, y, height, _):
    _strand(axes, [x, x], [y - height / 2, y + height / 2], 14, p.ORANGE)


def _two_eyes(axes, x, y, height, angle):
    out, _ = _reach_of_legs(angle)
    for side in (-out, out):
        _eye(axes, x + side, y, height, angle)


def _reach_of_legs(angle):
    """How far out and down the legs of a bridle go, at their true angle."""
    return LEG * math.sin(angle), LEG * math.cos(angle)


PARTS: dict[str, Callable] = {
    "recovery point": _recovery_point,
    "tow ball": _tow_ball,
    "bow shackle": _bow_shackle,
    "rope": _rope,
    "knotted rope": _knotted_rope,
    "soft shackle": _soft_shackle,
    "eye": _eye,
    "bridle": _bridle,
    "strap": _strap,
    "two eyes": _two_eyes,
}
