"""Picture: energy of motion against speed, and the drop that has as much."""

from matplotlib.ticker import MaxNLocator

from recoverykit.course import picture as p
from recoverykit.course.drawing import VEHICLE_HEIGHT, VEHICLE_LENGTH, Vehicle, draw_ground
from recoverykit.units.quantities import show

ROOM = 5.6  # meters of width and height in the drawing
GROUND = 0.7  # meters of it below the ground


class EnergyPicture(p.Picture):
    """The curve, the learner's place on it and at half the speed, the guess, and the drop."""

    narrow_height = 540

    def build(self):
        """Make the artists; their values come in `update`."""
        left, bottom, size = self.place((0.66, 0.125, 0.33), (0.03, 0.02, 0.5))
        axes = self.place((0.135, 0.125, 0.475, 0.8), (0.24, 0.46, 0.73, 0.49))
        self._axes = self.figure.add_axes(axes)
        self._drop = self.figure.add_axes((left, bottom, size, size * self.width / self.height))
        line, text = self.moving_line, self.moving_text
        self._curve = line(self._axes, "-", color=p.BLUE, linewidth=3.5)
        self._guess = line(self._axes, "D:", color=p.PURPLE, markersize=9, markeredgecolor="k")
        self._steps = line(self._axes, "--", color=p.GRAY, linewidth=1.5)
        whole = {"color": p.BLACK, "clip_on": False}  # also where it lies on an edge of the axes
        self._half = line(self._axes, "o", markersize=9, markerfacecolor="white", **whole)
        self._here = line(self._axes, "o", markersize=11, **whole)
        # In the corner that the curve never comes to.
        size = self.place(p.TEXT, p.SMALL_TEXT)
        self._label = text(self._axes, va="top", fontsize=size, fontweight="bold", linespacing=1.5)
        self._label.set_transform(self._axes.transAxes)
        self._label.set_position((0.03, 0.97))
        self._vehicle = Vehicle(self._drop)
        self._height = line(self._drop, "_-", color=p.RED, linewidth=2.5, markersize=12)
        self._height_label = text(self._drop, color=p.RED, ha="center", fontweight="bold")
        for artist in self._vehicle.artists:
            self.moving(artist)

    def background_of(self, result, system):
        """The end of the axis of energies."""
        return p.round_top(result.energies[-1].m_as(system.unit("energy")))

    def move(self, result, system):
        """Show the energy at the speed and at half of it, the guess, and the drop."""
        speed, energy = system.unit("speed"), system.unit("energy")
        self._curve.set_data(result.speeds.m_as(speed), result.energies.m_as(energy))
        here, held = result.speed.m_as(speed), result.energy.m_as(energy)
        half, held_at_half = here / 2, result.energy_at_half.m_as(energy)
        self._here.set_data([here], [held])
        self._half.set_data([half], [held_at_half])
        self._steps.set_data([0, here, here, half, half], [held, held, 0, 0, held_at_half])
        energies = (show(e, "energy", system) for e in (result.energy, result.energy_at_half))
        guess = "\n◆ your guess" if result.guess else ""
        self._label.set_text("● {}\n○ {} at half speed".format(*energies) + guess)
        self._guess.set_data(
            [at.m_as(speed) for at, _ in result.guess],
            [guessed.m_as(energy) for _, guessed in result.guess],
        )
        height = result.height.m_as("m")
        self._vehicle.put((ROOM - VEHICLE_LENGTH) / 2, height)
        self._height.set_data([0.25, 0.25], [0, height])
        self._height_label.set_position((ROOM / 2, height + VEHICLE_HEIGHT + 0.2))
        self._height_label.set_text(show(result.height, "length", system, 2))

    def draw_background(self, result, system):
        """Axes and ceiling; beside them the ground that the vehicle drops to."""
        self._axes.set_xlim(0, result.speeds[-1].m_as(system.unit("speed")))
        self._axes.set_ylim(0, self.background_of(result, system))
        p.name_axes(self._axes, system, x=("speed", "speed"), y=("energy of the vehicle", "energy"))
        self._axes.xaxis.set_major_locator(MaxNLocator(steps=[1, 2, 5, 10]))
        p.draw_ceiling(self._axes, system)
        self._drop.set_xlim(0, ROOM)
        self._drop.set_ylim(-GROUND, ROOM - GROUND)
        self._drop.axis("off")
        if self.revealed:
            draw_ground(self._drop, 0, ROOM, GROUND)
            x, y = self.place((0.5, 1.12), (1.44, 0.5))
            p.note(
                self._drop, x, y, "as much energy as the\nsame vehicle dropped\nfrom this height"
            )
