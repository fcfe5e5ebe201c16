"""Picture: one pull in time, the samples that a meter takes of it, and the peak that it shows."""

import numpy as np

from recoverykit.course import picture as p
from recoverykit.lessons.measured_pulls.pulls_picture import GUESS_FIRST
from recoverykit.units.quantities import show

MOST_STEMS = 60  # more samples would be one dark area


class MeterPicture(p.Picture):
    """The pull as half a sine, every sample as a stem, and the highest of them."""

    def build(self):
        """Make the artists; their values come in `update`."""
        self._axes = self.figure.add_axes((0.118, 0.125, 0.845, 0.8))
        self._background_of = None
        line = self.moving_line
        self._pull = line(self._axes, "-", color=p.BLUE, linewidth=3)
        self._true = line(self._axes, "--", color=p.BLUE, linewidth=2)
        self._stems = line(self._axes, "-", color=p.GRAY, linewidth=1.2)
        self._samples = line(self._axes, "s", color=p.GRAY, markersize=7)
        self._shown = line(self._axes, "--", color=p.RED, linewidth=2)
        self._highest = line(self._axes, "D", color=p.RED, markersize=11, markeredgecolor="k")
        self._label = self.moving_text(self._axes, va="top", ha="right", fontweight="bold")

    def update(self, result, system):
        """Show a result of the meter panel."""
        pull = result.pull if result.revealed else None
        peak = 1.0 if pull is None else pull.peak.m_as(system.unit("force"))
        end = 1.0 if pull is None else p.round_top(1.2 * pull.duration.m_as("s"))
        missing = "no stiffness can be read off these pulls" if result.reason else ""
        if not result.revealed:
            missing = GUESS_FIRST
        background_of = (system, p.round_top(1.25 * peak), end, missing)
        if background_of != self._background_of:
            self._background_of = background_of
            self._draw_background(*background_of)
        for artist in self._moving:
            artist.set_visible(pull is not None)
        if pull is not None:
            self._move(pull, system, peak, end)

    def _move(self, pull, system, peak, end):
        unit = system.unit("force")
        duration, times = pull.duration.m_as("s"), pull.times.m_as("s")
        moments = np.linspace(0, duration, 121)
        self._pull.set_data([*moments, end], [*peak * np.sin(np.pi * moments / duration), 0])
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

    def _draw_background(self, system, top, end, missing):
        axes = self._axes
        self.clear_background(axes)
        axes.set_xlim(0, end)
        axes.set_ylim(0, top)
        p.name_axes(
            axes,
            system,
            x=("time since the rope came taut", "time"),
            y=("force in the line", "force"),
        )
        if missing:
            p.note(axes, 0.5, 0.5, missing, fontsize=p.TEXT + 4)
        self.redraw_background()
