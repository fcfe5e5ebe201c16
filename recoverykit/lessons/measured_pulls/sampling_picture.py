"""Picture: one pull in time, the samples that a meter takes of it, and the peak that it shows."""

import numpy as np

from recoverykit.course import picture as p
from recoverykit.units.quantities import show

MOST_STEMS = 60  # more samples would be one dark area


class MeterPicture(p.Picture):
    """The pull in time, every sample as a stem, and the highest of them."""

    def build(self):
        """Make the artists; their values come in `update`."""
        axes = self.place((0.118, 0.125, 0.845, 0.8), (0.235, 0.13, 0.715, 0.83))
        self._axes = self.figure.add_axes(axes)
        line = self.moving_line
        self._pull = line(self._axes, "-", color=p.BLUE, linewidth=3)
        self._true = line(self._axes, "--", color=p.BLUE, linewidth=2)
        self._stems = line(self._axes, "-", color=p.GRAY, linewidth=1.2)
        self._samples = line(self._axes, "s", color=p.GRAY, markersize=7)
        self._shown = line(self._axes, "--", color=p.RED, linewidth=2)
        self._highest = line(self._axes, "D", color=p.RED, markersize=11, markeredgecolor="k")
        looks = {"fontweight": "bold", "fontsize": self.place(p.TEXT, p.SMALL_TEXT)}
        self._label = self.moving_text(self._axes, va="top", ha="right", **looks)

    def background_of(self, result, system):
        """The ends of the axes; None where there is no pull to show."""
        pull = result.value
        if pull is None or not self.revealed:
            return None
        force = pull.peak.m_as(system.unit("force"))
        return p.round_top(1.2 * pull.duration.m_as("s")), p.round_top(1.25 * force)

    def move(self, result, system):
        """Show the pull and the samples of it, if there is one."""
        pull = result.value
        for artist in self._moving:
            artist.set_visible(pull is not None)
        if pull is None:
            return
        unit, end = system.unit("force"), self._axes.get_xlim()[1]
        peak, times = pull.peak.m_as(unit), pull.times.m_as("s")
        self._pull.set_data([*pull.moments.m_as("s"), end], [*pull.tension.m_as(unit), 0])
        self._true.set_data([0, end], [peak, peak])
        seen = pull.samples.m_as(unit)
        stems = times if len(times) <= MOST_STEMS else []
        self._stems.set_data(
            np.ravel([[time, time, np.nan] for time in stems]),
            np.ravel([[0, sample, np.nan] for sample in seen[: len(stems)]]),
        )
        self._samples.set_data(times, seen)
        self._samples.set_markersize(7 if len(times) <= MOST_STEMS else 3)
        shown = pull.shown.m_as(unit)
        self._shown.set_data([0, end], [shown, shown])
        at = int(np.argmax(seen)) if len(seen) else None
        self._highest.set_data(([], []) if at is None else ([times[at]], [seen[at]]))
        self._label.set_position((0.985 * end, 0.985 * self._axes.get_ylim()[1]))
        self._label.set_text(
            f"true peak {show(pull.peak, 'force', system)}\n"
            f"◆ the meter shows {show(pull.shown, 'force', system)}"
        )

    def draw_background(self, result, system):
        """Axes, or why there is nothing to show on them."""
        axes = self._axes
        end, top = self.background_of(result, system) or (1.0, 1.0)
        axes.set(xlim=(0, end), ylim=(0, top))
        p.name_axes(
            axes,
            system,
            x=(self.place("time since the rope came taut", "time"), "time"),
            y=("force in the line", "force"),
        )
        if self.revealed and result.value is None:
            words = self.place("these pulls don't show it", "these pulls\ndon't show it")
            p.note(axes, 0.5, 0.5, words, fontsize=p.TEXT + 4)
