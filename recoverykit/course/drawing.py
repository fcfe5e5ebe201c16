"""Drawings: vehicles and other things of a recovery, made of plain shapes to a scale of meters."""

from matplotlib.patches import PathPatch
from matplotlib.path import Path
from matplotlib.transforms import Affine2D

from recoverykit.course import picture as p

VEHICLE_LENGTH, VEHICLE_HEIGHT = 4.6, 1.9  # meters, of the vehicle that is drawn

# From the rear bumper, along the bottom, round the hood and over the roof.
_BODY = [(0, 0.45), (4.6, 0.45), (4.6, 0.95), (4.45, 1.1), (3.3, 1.15), (2.8, 1.9), (0, 1.9)]
_WINDOWS = [
    [(0.35, 1.2), (0.35, 1.7), (1.35, 1.7), (1.35, 1.2)],
    [(1.6, 1.2), (1.6, 1.7), (2.65, 1.7), (3.0, 1.2)],
]
_AXLES = [(0.9, 0.42), (3.7, 0.42)]
_TIRE, _RIM = 0.42, 0.2


class Vehicle:
    """A vehicle seen from the side, facing right: the artists that it is made of, and its place.

    Axes should have equal scales in both directions, in meters (or feet, with the `scale`).
    """

    def __init__(self, axes, color: str = p.SKY):
        self._place = Affine2D()
        transform = self._place + axes.transData
        looks = {"edgecolor": p.BLACK, "linewidth": 1.5, "transform": transform}
        shapes = [
            (_closed(_BODY), color),
            (Path.make_compound_path(*map(_closed, _WINDOWS)), "white"),
            (_circles(_AXLES, _TIRE), "#333333"),
            (_circles(_AXLES, _RIM), "white"),
        ]
        self.artists = [
            axes.add_artist(PathPatch(path, facecolor=face, **looks)) for path, face in shapes
        ]

    def put(self, x: float, y: float, scale: float = 1.0, tilt: float = 0.0) -> None:
        """Put the lower left corner at a place; `scale` is what one meter is on the axes.

        It is turned about that corner by the `tilt` (rad), its front up.
        """
        self._place.clear().scale(scale).rotate(tilt).translate(x, y)


def draw_ground(axes, left: float, right: float, depth: float) -> None:
    """Draw the ground below zero, hatched to a depth."""
    axes.fill_between([left, right], -depth, 0, facecolor="#EEEEEE", hatch="///", edgecolor=p.GRAY)
    axes.plot([left, right], [0, 0], color=p.BLACK, linewidth=1.5)


def name_x_axis(axes, system, label: str, kind: str) -> None:
    """Name the one axis of a picture whose rows are no quantities."""
    p.name_axes(axes, system, x=(label, kind), y=("", kind))
    axes.set_ylabel("")
    axes.grid(visible=False, axis="y")
    axes.xaxis.set_major_formatter(p.in_groups(system))


def draw_legend(axes, samples, place: tuple[float, float], columns: int, **looks) -> None:
    """Say above the axes what samples of artists stand for; `place` is the lower left corner."""
    axes.legend(
        handles=samples,
        loc="lower left",
        bbox_to_anchor=place,
        borderaxespad=0,
        ncols=columns,
        frameon=False,
        fontsize=p.SMALL_TEXT,
        **looks,
    )


def _closed(corners) -> Path:
    return Path([*corners, corners[0]], closed=True)


def _circles(centers, radius: float) -> Path:
    return Path.make_compound_path(*(Path.circle(center, radius) for center in centers))
