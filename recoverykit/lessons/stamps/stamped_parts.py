"""Drawings of parts with room for a stamp on them: metal to stamp, or a tag sewn on.

Axes have equal scales in CSS pixels. Each part lies across the page about its middle, WIDTH long
and HEIGHT high, and is pulled to the right.
"""

import functools
import math
from collections.abc import Callable

from matplotlib.patches import Circle, FancyBboxPatch, Rectangle

from recoverykit.course import picture as p
from recoverykit.course.parts import EDGE, METAL

WIDTH, HEIGHT = 350, 112
LEG = 33  # how far from the middle the legs of a shackle are, or the lines on a tag
TAG_LINE = 18
SHACKLE = "bow shackle"


def draw_stamped(axes, kind: str, x: float, y: float) -> list[tuple[float, float]]:
    """Draw a part of a kind in KINDS about a place; where three lines go that stand on it."""
    KINDS[kind](axes, x, y)
    if "shackle" in kind and kind != "soft shackle":
        return [(x - 10, y + LEG), (x - 10, y - LEG), (x - 10, y)]
    return [(x + 48, y + TAG_LINE), (x + 48, y), (x + 48, y - TAG_LINE)]


def _box(axes, x, y, width, height, rounding, **looks):
    shape = f"round,pad=0,rounding_size={rounding}"
    axes.add_artist(FancyBboxPatch((x, y), width, height, boxstyle=shape, **(EDGE | looks)))


def _shackle(axes, x, y):
    """A bow shackle: both legs are wide enough for a line of letters."""
    _box(axes, x - 160, y - 50, 300, 100, 50, facecolor=METAL)
    _box(axes, x - 124, y - 17, 265, 34, 17, facecolor="white")
    axes.add_artist(Rectangle((x + 121, y - 51), 24, 102, facecolor="white"))  # its ears end here
    axes.add_artist(Rectangle((x + 112, y - 54), 17, 108, facecolor="#8A8A8A", **EDGE))  # the pin
    axes.add_artist(Rectangle((x + 106, y + 46), 29, 10, facecolor="#8A8A8A", **EDGE))


def _sideways(axes, x, y):
    _shackle(axes, x, y)
    looks: p.Looks = {"width": 4, "headwidth": 14, "headlength": 13, "color": p.RED, "shrink": 0}
    axes.annotate("", (x + 158, y + 54), (x + 158, y - 54), arrowprops=looks)


def _tagged_rope(axes, x, y, start, width=24):
    """A rope or strap to the right, from a place left of the middle, with a tag sewn on."""
    _box(axes, x + start, y - width / 2, 173 - start, width, 2, facecolor=p.BLUE)
    _tag(axes, x, y)


def _tag(axes, x, y):
    _box(axes, x - 80, y - 37, 256, 74, 4, facecolor="white")
    _box(axes, x - 76, y - 33, 248, 66, 2, fill=False, linestyle=":", linewidth=1)


def _soft_shackle(axes, x, y):
    _box(axes, x - 160, y - 24, 320, 48, 24, fill=False, edgecolor=p.BLACK, linewidth=13)
    _box(axes, x - 160, y - 24, 320, 48, 24, fill=False, edgecolor=p.BLUE, linewidth=10)
    axes.add_artist(Circle((x - 160, y), 15, facecolor=p.BLUE, **EDGE))  # its knot
    _tag(axes, x, y)


def _choked(axes, x, y):
    axes.add_artist(Circle((x - 130, y), 33, facecolor=p.BLUE, **EDGE))
    axes.add_artist(Circle((x - 130, y), 22, facecolor=METAL, **EDGE))
    _tagged_rope(axes, x, y, -105, 40)
    axes.add_artist(Rectangle((x - 108, y - 27), 13, 54, facecolor=p.BLUE, **EDGE))  # its own eye


def _pair(axes, x, y, degrees):
    length, angle = 55, math.radians(degrees)
    across, along = length * math.sin(angle), length * math.cos(angle)
    for side in (across, -across):
        for color, width in ((p.BLACK, 10), (p.BLUE, 8)):
            axes.plot([x - 95, x - 95 - along], [y, y + side], color=color, linewidth=width)
        axes.add_artist(Circle((x - 95 - along, y + side), 7, facecolor=METAL, **EDGE))
    _tagged_rope(axes, x, y, -100, 14)


def _eye(axes, x, y):
    _box(axes, x - 160, y - 19, 62, 38, 19, fill=False, edgecolor=p.BLACK, linewidth=11)
    _box(axes, x - 160, y - 19, 62, 38, 19, fill=False, edgecolor=p.BLUE, linewidth=8)


def _bowline(axes, x, y):
    _eye(axes, x, y)
    _tagged_rope(axes, x, y, -100)
    axes.add_artist(Circle((x - 97, y), 16, facecolor=p.BLUE, **EDGE))
    for shift in (-7, 0, 7):
        axes.plot([x - 104 + shift, x - 90 + shift], [y - 9, y + 9], color=p.BLACK, linewidth=2)


def _wet_rope(axes, x, y):
    _eye(axes, x, y)
    _tagged_rope(axes, x, y, -100)
    for across, down in ((-140, 42), (-118, 30), (-96, 44), (-165, 30), (150, 46), (120, 44)):
        axes.plot(x + across, y - down, "o", color=p.SKY, markeredgecolor=p.BLACK, markersize=7)


KINDS: dict[str, Callable] = {
    SHACKLE: _shackle,
    "shackle pulled sideways": _sideways,
    "soft shackle": _soft_shackle,
    "choked sling": _choked,
    "pair at 30°": functools.partial(_pair, degrees=30),
    "pair at 60°": functools.partial(_pair, degrees=60),
    "rope with a bowline": _bowline,
    "wet rope": _wet_rope,
}
