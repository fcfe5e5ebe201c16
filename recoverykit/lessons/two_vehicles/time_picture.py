"""Picture: two vehicles and the rope between them at a moment of a pull, and force and ways."""

import numpy as np
from matplotlib.lines import Line2D

from recoverykit.course import picture as p
from recoverykit.course.drawing import VEHICLE_LENGTH, Vehicle, draw_ground, draw_legend
from recoverykit.units.quantities import show

LEFT, RIGHT = -0.6, 24.6  # ends of the drawing, in meters
HITCH = 0.75  # height of the rope over the ground, in meters
SAG = 0.5  # of a slack rope, for each meter that it is too long, up to the ground
RECOVERY: p.Looks = {"color": p.BLUE, "linewidth": 3}
STUCK: p.Looks = {"color": p.RED, "linewidth": 3}


class PullInTimePicture(p.Picture):
    """The drawing of a moment, and below it tension and ways against time, with that moment."""

    narrow_height = 600

    def build(self):
        """Make the artists; their values come in `update` and in `show_moment`."""
        places = self.place(
            [(0.01, 0.735, 0.98, 0.25), (0.118, 0.45, 0.85, 0.245), (0.118, 0.12, 0.85, 0.255)],
            [(0.01, 0.76, 0.98, 0.23), (0.24, 0.475, 0.71, 0.26), (0.24, 0.095, 0.71, 0.28)],
        )
        self._drawing, self._force, self._way = map(self.figure.add_axes, places)
        line, text = self.moving_line, self.moving_text
        self._breakout = line(self._force, "--", color=p.ORANGE, linewidth=2)
        self._tension = line(self._force, "-", color=p.BLACK, linewidth=2.5)
        self._parted = line(self._force, "X", color=p.RED, markersize=13, markeredgecolor="k")
        self._recovery = line(self._way, "-", **RECOVERY)
        self._stuck_vehicle = line(self._way, "--", **STUCK)
        self._now = [
            line(axes, "-", color=p.GRAY, linewidth=1.5) for axes in (self._force, self._way)
        ]
        self._points = [
            line(axes, "o", color=color, markersize=9, markeredgecolor="k", clip_on=False)
            for axes, color in (
                (self._force, p.BLACK),
                (self._way, p.BLUE),
                (self._way, p.RED),
            )
        ]
        self._rope = line(self._drawing, "-", color=p.BLACK, solid_capstyle="round")
        self._vehicles = [Vehicle(self._drawing, color) for color in (p.BLUE, p.RED)]
        for vehicle in self._vehicles:
            for artist in vehicle.artists:
                self.moving(artist)
        self._torn = line(self._drawing, "X", color=p.RED, markersize=13, markeredgecolor="k")
        self._breakout_words = text(self._force, ha="right", va="center", fontsize=p.SMALL_TEXT)
        size = self.place(p.TEXT, p.SMALL_TEXT)
        self._words = text(
            self._drawing, ha="center", va="bottom", fontsize=size, fontweight="bold"
        )

    @property
    def answer_axes(self):
        """The axes of the force."""
        return (self._force,)

    def update(self, result, system):
        """Show a result of the panel, at the moment that is shown."""
        self._result, self._system = result, system
        unit = {kind: system.unit(kind) for kind in ("force", "length")}
        history = result.motion.history
        self._times = history.time.m_as("s")
        self._curves = [
            history.tension.m_as(unit["force"]),
            history.recovery_travel.m_as(unit["length"]),
            history.stuck_travel.m_as(unit["length"]),
        ]
        self._ways = [
            travel.m_as("m") for travel in (history.recovery_travel, history.stuck_travel)
        ]
        self._extension = history.extension.m_as("m")
        self._breakout_at = result.pull.breakout_resistance.m_as(unit["force"])
        super().update(result, system)

    def background_of(self, result, system):
        """The ends of both axes, and the length of the rope between the pegs."""
        return self._ends(), result.pull.rope.length

    def move(self, result, system):
        """Show the curves; `show_moment` shows the vehicles."""
        lines = (self._tension, self._recovery, self._stuck_vehicle)
        for line, values in zip(lines, self._curves, strict=True):
            line.set_data(self._times, values)
        self._mark_peak()
        self._breakout.set_data([0, self._times[-1]], [self._breakout_at] * 2)
        self._breakout_words.set_position((0.985 * self._times[-1], self._breakout_at))
        words = show(result.pull.breakout_resistance, "force", system)
        self._breakout_words.set_text(f"breaks free at {words}")

    def show_moment(self, number: int) -> None:
        """Show a moment by its number in the history."""
        time = self._times[number]
        for line in self._now:
            line.set_data([time, time], line.axes.get_ylim())
        for point, values in zip(self._points, self._curves, strict=True):
            point.set_data([time], [values[number]])
        self._place(number)

    def _mark_peak(self):
        """The peak is between two moments: put it into the curve; a cross where the rope parts."""
        motion = self._result.motion
        peak = motion.peak.m_as(self._system.unit("force"))
        at = motion.peak_time.m_as("s")
        times, tension = self._times, self._curves[0]
        where = np.searchsorted(times, at, side="right")
        after = [at, at] if motion.parts else [at]
        self._tension.set_data(
            np.insert(times, where, after),
            np.insert(tension, where, [peak, 0.0] if motion.parts else [peak]),
        )
        self._parted.set_data(*(([at], [peak]) if motion.parts else ([], [])))

    def _place(self, number: int):
        """Put the vehicles and the rope between them where they are at a moment."""
        length = self._result.pull.rope.length.m_as("m")
        moved, stuck_moved = (travel[number] for travel in self._ways)
        start, end = VEHICLE_LENGTH + stuck_moved, VEHICLE_LENGTH + length + moved
        self._vehicles[0].put(end, 0)
        self._vehicles[1].put(stuck_moved, 0)
        stretched = self._extension[number]
        parts_at = self._result.motion.parts_at.m_as("s")
        parted = self._times[number] >= parts_at
        self._torn.set_data(*(([(start + end) / 2], [HITCH]) if parted else ([], [])))
        if parted:
            self._rope.set_data(*_two_ends(start, end))
            words = "parted"
        else:
            sag = min(SAG * max(-stretched, 0.0), HITCH - 0.1)
            place = np.linspace(0, 1, 21)
            self._rope.set_data(
                start + place * (end - start), HITCH - 4 * sag * place * (1 - place)
            )
            words = self._taut_in_words(number) if stretched >= 0 else "slack"
        self._rope.set_linewidth(4.5 if words not in ("slack", "parted") else 2.5)
        self._words.set_text(f"{self._times[number]:.2f} s: {words}")
        middle = (start + min(end, RIGHT)) / 2
        self._words.set_position(self.place((middle, 1.25), ((LEFT + RIGHT) / 2, 4.1)))

    def _taut_in_words(self, number: int) -> str:
        tension = self._result.motion.history.tension[number]
        stretched = self._result.motion.history.extension[number]
        force, length = (
            show(tension, "force", self._system),
            show(stretched, "length", self._system),
        )
        return f"{force}, stretched {length}"

    def _ends(self):
        """Round ends of the axes: of the forces, and of the ways on both sides of zero."""
        peak = self._result.motion.peak.m_as(self._system.unit("force"))
        travels = np.concatenate(self._curves[1:])
        far = _doubled(1.1 * max(travels.max(), -travels.min(), 0.2))
        back = (
            0.0 if travels.min() > -0.02 * far else -far / 4 if travels.min() > -far / 4 else -far
        )
        return _doubled(1.15 * max(peak, self._breakout_at)), back, far

    def draw_background(self, result, system):
        """The ground, and below it the axes of force and ways."""
        drawing, force, travel = self._drawing, self._force, self._way
        top, back, far = self._ends()
        low, high = self.place((-0.6, 2.9), (-2.3, 6.0))
        drawing.set(xlim=(LEFT, RIGHT), ylim=(low, high), aspect="equal")
        drawing.set_axis_off()
        draw_ground(drawing, LEFT, RIGHT, 0.6)
        for each, kind, low, high in ((force, "force", 0, top), (travel, "length", back, far)):
            each.set(xlim=(0, self._times[-1]), ylim=(low, high))
            label = "tension" if kind == "force" else "moved by"
            p.name_axes(each, system, x=("time after the rope came taut", "time"), y=(label, kind))
        force.set_xlabel("")
        force.set_xticklabels([])
        if back < 0:
            travel.axhline(0, color=p.BLACK, linewidth=1)
        if self.revealed:
            self._draw_starts(drawing)
            self._draw_legend(travel)

    def _draw_starts(self, drawing):
        """Both vehicles in gray, where they stood as the rope came taut."""
        length = self._result.pull.rope.length.m_as("m")
        for x, words in ((0, "stuck vehicle"), (VEHICLE_LENGTH + length, "recovery vehicle")):
            began = Vehicle(drawing, "#F0F0F0")
            began.put(x, 0)
            for artist in began.artists:
                artist.set(edgecolor="#B0B0B0", facecolor="#F0F0F0")
            drawing.text(x, 2.35, words, fontsize=p.SMALL_TEXT, va="bottom")
        middle = VEHICLE_LENGTH + length / 2, 2.35
        x, y = self.place(middle, ((LEFT + RIGHT) / 2, -2.2))
        looks: p.Looks = {"fontsize": p.SMALL_TEXT, "ha": "center", "va": "bottom"}
        drawing.text(x, y, "to scale; gray: where they began", color="#333333", **looks)

    def _draw_legend(self, axes):
        samples = [
            Line2D([], [], linestyle="-", label="recovery vehicle", **RECOVERY),
            Line2D([], [], linestyle="--", label="stuck vehicle", **STUCK),
        ]
        looks: p.Looks = {"handlelength": self.place(3, 1.5), "columnspacing": 1}
        draw_legend(axes, samples, (0, 0.98), 2, **looks)


def _doubled(value: float) -> float:
    """The next power of two, for an axis that stays while the speed is dragged a good way."""
    return 2.0 ** float(np.ceil(np.log2(value)))


def _two_ends(start: float, end: float):
    """The halves of a parted rope, hanging from both vehicles."""
    x = [start, start + 0.3, start + 2, np.nan, end - 2, end - 0.3, end]
    return x, [HITCH, 0.1, 0.05, np.nan, 0.05, 0.1, HITCH]
