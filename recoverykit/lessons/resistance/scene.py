"""Drawing: a stuck vehicle as deep as it is, what was done about it, and what pulls it."""

import numpy as np
from matplotlib.patches import Ellipse, Polygon, Rectangle
from matplotlib.transforms import Affine2D

from recoverykit.course import picture as p
from recoverykit.course.drawing import VEHICLE_HEIGHT, VEHICLE_LENGTH, Vehicle
from recoverykit.physics.ground import StuckVehicle
from recoverykit.units.quantities import Q

# Meters, as all here: how far a vehicle is drawn below the ground.
SUNK = {None: 0.0, "wheels": 0.6, "fenders": 0.95, "cab": 1.35}
MIDDLE, RUN = 5.4, 3.3  # of the slope: its middle, and half its length
HITCH = 0.75  # height of a line's end on a vehicle
LOW, HIGH = -1.5, 3.4  # ends of the drawing
MUD, GROUND, WOOD = "#A98467", "#E4E4E4", "#D9B382"
CRATES = (0.5, 1.1, 1.7)  # of the load, where they stand on the roof
CRATE = 0.52


class Scene:
    """The artists of the drawing, all of which move; what is on the slope is tilted with it."""

    def __init__(self, axes):
        axes.set_axis_off()
        axes.set(ylim=(LOW, HIGH), aspect="equal")
        width = axes.bbox.width / axes.bbox.height * (HIGH - LOW)
        axes.set_xlim(0, width)
        self._truck_at = width - VEHICLE_LENGTH - 0.6
        self._width, self._slope = width, Affine2D()
        self._on_slope = self._slope + axes.transData
        self._axes = axes
        self.artists = []
        self._ground = self._shape(GROUND)
        self._rope = axes.plot([], [], color=p.BLUE, linewidth=4)[0]
        self.artists.append(self._rope)
        self._vehicle, self._truck = Vehicle(axes, p.ORANGE), Vehicle(axes, p.SKY)
        self.artists += [*self._vehicle.artists, *self._truck.artists]
        self._tires = [
            self._add(Ellipse((x, 0), 1.15, 0.62, facecolor="#333333"), self._on_slope)
            for x in (-1.4, 1.4)
        ]
        self._mud = self._shape(MUD, self._on_slope)
        self._boards = [self._shape(WOOD, self._on_slope) for _ in range(2)]
        self._crates = [self._crate(self._on_slope) for _ in CRATES]
        self._unloaded = self._crate(axes.transData)
        self._heap = self._shape(MUD)

    def _add(self, patch, transform):
        patch.set(edgecolor=p.BLACK, linewidth=1.2, transform=transform)
        self.artists.append(self._axes.add_artist(patch))
        return patch

    def _shape(self, color, transform=None):
        return self._add(
            Polygon(np.zeros((3, 2)), facecolor=color), transform or self._axes.transData
        )

    def _crate(self, transform):
        return self._add(Rectangle((0, 0), CRATE, CRATE, facecolor=WOOD), transform)

    def show(self, stuck: StuckVehicle) -> None:
        """Show a stuck vehicle in its mire, on its slope, after the work."""
        assert isinstance(stuck.slope, Q)  # the panel knows it
        tilt, sunk = stuck.slope.m_as("rad"), SUNK[stuck.mire]
        rise = RUN * np.tan(tilt)
        left, right = MIDDLE - RUN, MIDDLE + RUN
        self._slope.clear().rotate(tilt).translate(MIDDLE, 0)
        self._ground.set_xy(
            [
                (0, LOW), (0, -rise), (left, -rise), (right, rise),
                (self._width, rise), (self._width, LOW),
            ]
        )  # fmt: skip
        x, y = self._slope.transform((-VEHICLE_LENGTH / 2, -sunk))
        self._vehicle.put(x, y, tilt=tilt)
        self._truck.put(self._truck_at, rise)
        hitch = self._slope.transform((VEHICLE_LENGTH / 2, HITCH - sunk))
        self._rope.set_data([hitch[0], self._truck_at], [hitch[1], rise + HITCH])
        dug = "dig out" in stuck.reductions
        self._show_mud(sunk, dug, rise)
        boards = "lay boards" in stuck.reductions
        for board, (start, end) in zip(
            self._boards, (((-1.1, -sunk), (0.9, -sunk)), ((1.7, -sunk), (3.6, 0))), strict=True
        ):
            board.set_visible(board.get_visible() and boards)
            (x, y), (far, up) = start, end
            board.set_xy([(x, y), (far, up), (far, up + 0.16), (x, y + 0.16)])
        for tire in self._tires:
            tire.set_visible(tire.get_visible() and "air down" in stuck.reductions)
            tire.set_center((tire.get_center()[0], 0.31 - sunk))
        for crate, x in zip(self._crates, CRATES, strict=True):
            crate.set_xy((x - VEHICLE_LENGTH / 2, VEHICLE_HEIGHT - sunk))
        unloaded = stuck.unloaded.magnitude > 0
        self._crates[-1].set_visible(self._crates[-1].get_visible() and not unloaded)
        self._unloaded.set_visible(self._unloaded.get_visible() and unloaded)
        self._unloaded.set_xy((1.2, -rise))

    def _show_mud(self, sunk, dug, rise):
        """The mud in front of the vehicle; where it was dug, in front of its wheels, none."""
        self._mud.set_visible(self._mud.get_visible() and sunk > 0)
        end = RUN - 0.1
        pit = [(-1.9, 0), (-1.7, -sunk), (2.4, -sunk), (end, 0)] if dug else [(end, 0)]
        self._mud.set_xy([(-end, -LOW - 6), (-end, 0), *pit, (end, -LOW - 6)])
        self._heap.set_visible(self._heap.get_visible() and dug)
        self._heap.set_xy([(0.1, -rise), (0.6, 0.5 - rise), (1.0, -rise)])
