"""Picture: load against stretch of a rope and of a winch line, with the energy that each holds."""

import textwrap

from recoverykit.course import picture as p
from recoverykit.units.quantities import show

WIDE_AXES, NARROW_AXES = (0.135, 0.125, 0.51, 0.83), (0.24, 0.455, 0.69, 0.525)
WIDE_WORDS, NARROW_WORDS = (0.645, 0.125, 0.355, 0.83), (0, 0.02, 1, 0.32)
ROPE = {"color": p.BLUE, "linestyle": "-", "linewidth": 3.5}
ROPE_AREA = {"facecolor": "#A6CDE7", "edgecolor": p.BLUE, "hatch": ".."}
WINCH_LINE = {"color": p.RED, "linestyle": "--", "linewidth": 3.5}
WINCH_LINE_AREA = {"facecolor": "#F1BF99", "edgecolor": p.RED, "hatch": "//"}
GUESS: p.Looks = {"color": p.PURPLE, "linestyle": ":", "linewidth": 2}
# Of the words beside the axes or below them: where those on each line begin, how much lower its
# name and its numbers stand, and how many letters go into a line.
WIDE_PLACES, NARROW_PLACES = (0.7, 0.4, 0.04, 0.165, 26), (0.62, 0.26, -0.05, 0.11, 40)
GUESS_GAP = 0.06  # of the axes' height, between the labels of two guesses


class StretchPicture(p.Picture):
    """Both curves, shaded as far as they are stretched, and the learner's guess."""

    def build(self):
        """Make the artists; their values come in `update`."""
        self._axes = self.figure.add_axes(self.place(WIDE_AXES, NARROW_AXES))
        self._beside = self.figure.add_axes(self.place(WIDE_WORDS, NARROW_WORDS))
        self._beside.set(xlim=(0, self.place(1, 2)), ylim=(0, 1))
        self._beside.set_axis_off()
        self._energy = self._words(self.place(0.92, 0.9))
        areas = [self._area(WINCH_LINE_AREA), self._area(ROPE_AREA)]  # they overlap
        rope, winch_line, _, lower, _ = self.place(WIDE_PLACES, NARROW_PLACES)
        self._winch_line = (areas[0], *self._curve(WINCH_LINE), self._words(winch_line - lower))
        self._rope = (areas[1], *self._curve(ROPE), self._words(rope - lower))
        self._guesses = [self._guess_label() for _ in range(2)]  # over all that moves

    def _guess_label(self):
        label = self.moving_text(self._axes, fontsize=p.SMALL_TEXT, ha="right", va="center")
        label.set_transform(self._axes.transAxes)
        return label

    def _area(self, looks):
        return self.moving(self._axes.fill([], [], linewidth=0, alpha=0.6, **looks)[0])

    def _curve(self, looks):
        """A curve, and how far along it a line is stretched."""
        curve = self.moving(self._axes.plot([], [], **looks)[0])
        end = self.moving_line(self._axes, "o", color=p.BLACK, markersize=11, clip_on=False)
        return curve, end

    def _words(self, height):
        words = self.moving_text(self._beside, va="top", fontweight="bold")
        words.set_position((0.08, height))
        return words

    def background_of(self, result, system):
        """The kind of rope, and the ends of the axes."""
        return result.kind, self._ends(result, system)

    def move(self, result, system):
        """Show how far both lines are stretched, and the energy that they take up."""
        self._energy.set_text(show(result.energy, "energy", system))
        self._stretch(self._rope, result.rope, system)
        self._stretch(self._winch_line, result.winch_line, system)

    def _stretch(self, artists, line, system):
        area, curve, end, words = artists
        length, force = system.unit("stretch"), system.unit("force")
        stretches, loads = line.stretches.m_as(length), line.loads.m_as(force)
        stretch, load = line.peak.extension.m_as(length), line.peak.tension.m_as(force)
        curve.set_data(stretches, loads)
        upto = stretches < stretch
        area.set_xy(
            [*zip(stretches[upto], loads[upto], strict=True), (stretch, load), (stretch, 0)]
        )
        end.set_data([stretch], [load])
        end.set_marker("X" if line.peak.parts else "o")
        pull = show(line.peak.tension, "force", system)
        longer = show(line.peak.extension, "stretch", system, 2)
        words.set_text(f"parts at {pull}" if line.peak.parts else f"{pull} at {longer}")

    def _ends(self, result, system):
        """Round ends of the axes, beyond all that the fastest vehicle does to both lines."""
        peaks = result.rope.at_fastest, result.winch_line.at_fastest
        stretch = peaks[0].extension.m_as(system.unit("stretch"))
        force = max(peak.tension.m_as(system.unit("force")) for peak in peaks)
        return p.round_top(1.02 * stretch), p.round_top(1.05 * force)

    def draw_background(self, result, system):
        """Axes; beside them the names of both lines, and on them the guesses."""
        right, top = self._ends(result, system)
        self._axes.set(xlim=(0, right), ylim=(0, top))
        p.name_axes(
            self._axes,
            system,
            x=("stretch of the line", "stretch"),
            y=("pull of the line", "force"),
        )
        if self.revealed:
            rope, winch_line, *_ = self.place(WIDE_PLACES, NARROW_PLACES)
            self._write(self.place(0.99, 1), "energy to take up (shaded):")
            self._name(rope, f"rope: {result.kind}", ROPE)
            self._name(winch_line, "winch line, same length and strength", WINCH_LINE)
        if self.revealed and result.guess:
            self._draw_guesses(
                {
                    name: force.m_as(system.unit("force")) / top
                    for name, force in result.guess.items()
                }
            )

    def _name(self, height, name, looks):
        """A sample of a curve, what it is, and room for its pull and stretch."""
        self._beside.plot([0.08, 0.3], [height, height], **looks)
        *_, lower, _, length = self.place(WIDE_PLACES, NARROW_PLACES)
        self._write(height - lower, textwrap.fill(name, length), self.place(0.08, 0.4))

    def _write(self, height, words, x=0.08):
        self._beside.text(x, height, words, fontsize=p.SMALL_TEXT, va="top", color="#333333")

    def _draw_guesses(self, heights):
        """A dotted line at each guessed pull; an arrow where it lies above the axes."""
        inside = [min(height, 0.96) for height in heights.values()]
        places = p.spread_out(inside, GUESS_GAP, 0.03, 0.96)
        for (name, height), place, label in zip(
            heights.items(), places, self._guesses, strict=True
        ):
            self._axes.axhline(height * self._axes.get_ylim()[1], **GUESS)
            arrow = "↑ " if height > 1 else ""
            label.set(text=f"{arrow}guess: {name}", position=(0.99, place))
