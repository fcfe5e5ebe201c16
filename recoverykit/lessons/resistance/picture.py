"""Picture: a stuck vehicle, the pull that it needs, and what the tires can give."""

from matplotlib.lines import Line2D
from matplotlib.patches import Patch, Rectangle

from recoverykit.course import picture as p
from recoverykit.course.drawing import draw_legend, name_x_axis
from recoverykit.lessons.resistance.scene import Scene
from recoverykit.units.quantities import at_least, at_most, show

FOUND, WORKED, TIRES = 3.1, 1.9, 0.7  # heights of the rows
BAR = 0.42  # height of a bar
ROOM = 4.0  # height of the axes
SLOPE: p.Looks = {"facecolor": "#D0D0D0", "edgecolor": p.BLACK}
ROLLING: p.Looks = {"facecolor": "#A6CDE7", "edgecolor": p.BLUE, "hatch": ".."}
MIRE: p.Looks = {"facecolor": "#F1BF99", "edgecolor": p.RED, "hatch": "//"}
PARTS = {"slope": SLOPE, "rolling": ROLLING, "mire": MIRE}
GIVEN = {"facecolor": "#A9DCCB", "edgecolor": p.GREEN, "hatch": "\\\\"}
GUESS: p.Looks = {"color": p.PURPLE, "markersize": 10, "markeredgecolor": p.BLACK}


class HoldingPicture(p.Picture):
    """The stuck vehicle; below it bars of the pull needed, before and after the work, and given."""

    narrow_height = 660

    def build(self):
        """Make the artists; their values come in `update`."""
        place = self.place((0.135, 0.115, 0.82, 0.495), (0.22, 0.075, 0.74, 0.61))
        self._axes = self.figure.add_axes(place)
        scene = self.place((0.01, 0.71, 0.98, 0.29), (0.01, 0.84, 0.98, 0.16))
        self._scene = Scene(self.figure.add_axes(scene))
        for artist in self._scene.artists:
            self.moving(artist, before_guess=True)
        self._strip = self._rectangle(0, ROOM, facecolor=p.GREEN, alpha=0.18)
        self._found = self._row(FOUND, PARTS)
        self._worked = self._row(WORKED, PARTS)
        self._tires = self._row(TIRES, {"tires": GIVEN})
        self._guess = self.moving_line(self._axes, "D", **GUESS, clip_on=False)
        self._guess_words = self.moving_text(self._axes, ha="right", va="center")
        self._verdict = self.moving_text(self._axes, va="center", fontweight="bold")

    def _rectangle(self, bottom, height, **looks):
        return self.moving(self._axes.add_artist(Rectangle((0, bottom), 0, height, **looks)))

    def _row(self, height, looks):
        """The bars of a row, the range at their end, and what both say in numbers."""
        bars = {
            name: self._rectangle(height - BAR / 2, BAR, linewidth=1, **look)
            for name, look in looks.items()
        }
        band = self.moving_line(self._axes, "|-", color=p.BLACK, linewidth=2.5, markersize=15)
        size = self.place(p.TEXT, p.SMALL_TEXT)
        return height, bars, band, self.moving_text(self._axes, va="bottom", fontsize=size)

    def background_of(self, result, system):
        """The ends of the axis, the limit of the line, and whether there is a guess."""
        return self._ends(result, system), result.limit, result.guess is not None

    def move(self, result, system):
        """Show the vehicle, both pulls that it needs, what the tires give, and the guess."""
        self._scene.show(result.pull.stuck_vehicle)
        unit = system.unit("force")
        tires = result.pull.available.band
        self._fill(self._found, result.found, system)
        self._fill(self._worked, result.worked, system)
        self._fill_row(self._tires, {"tires": tires.median}, tires, system)
        self._strip.set(x=tires.low.m_as(unit), width=(tires.high - tires.low).m_as(unit))
        self._show_guess(result.guess, system)
        self._verdict.set_position((self._place_of_words(), 0.2))
        self._verdict.set_text(result.pull.verdict.partition(":")[0])

    def _show_guess(self, guess, system):
        """The guess in the row of what was found; if it is far off, its number at the edge."""
        if guess is None:
            return
        at, end = guess.m_as(system.unit("force")), self._axes.get_xlim()[1]
        beyond = at > end
        self._guess.set_data([min(at, end)], [FOUND])
        self._guess.set_marker(">" if beyond else "D")
        self._guess_words.set_text(show(guess, "force", system) if beyond else "")
        self._guess_words.set_position((0.97 * end, FOUND))

    def _fill(self, row, needed, system):
        self._fill_row(row, needed.parts, needed.band, system)

    def _fill_row(self, row, parts, band, system):
        height, bars, whisker, words = row
        unit = system.unit("force")
        end = min(0.0, *(part.m_as(unit) for part in parts.values()))
        for name, part in parts.items():
            # A slope that helps has no bar: the other parts begin as far left of zero.
            width = max(part.m_as(unit), 0.0)
            bars[name].set(x=end, width=width)
            end += width
        whisker.set_data([band.low.m_as(unit), band.high.m_as(unit)], [height] * 2)
        words.set_position((self._place_of_words(), height + BAR / 2 + 0.04))
        low, high = at_least(band.low, "force", system), at_most(band.high, "force", system)
        words.set_text(f"{show(band.median, 'force', system)} ({low} to {high})")

    def _place_of_words(self):
        left, right = self._axes.get_xlim()
        return left + 0.01 * (right - left)

    def _ends(self, result, system):
        """Round ends of the axis: what was found and what is there, not what work has changed."""
        unit = system.unit("force")
        forces = (result.found.band.high, result.pull.available.band.high, result.limit)
        far = max(force.m_as(unit) for force in forces)
        guess = 0 if result.guess is None else result.guess.m_as(unit)
        right = p.round_top(1.05 * max(far, guess if guess < 2 * far else 0))
        helped = -result.found.parts["slope"].m_as(unit)
        return (-p.round_top(1.05 * helped) if helped > 0 else 0.0), right

    def draw_background(self, result, system):
        """Axes, the limit of the line, and what the bars stand for."""
        axes, ends = self._axes, self._ends(result, system)
        axes.set(xlim=ends, ylim=(0, ROOM))
        name_x_axis(axes, system, "steady pull", "force")
        axes.set_yticks(
            [FOUND, WORKED, TIRES],
            ["needed,\nas found", "needed,\nafter the\nwork", "tires\ncan give"],
            fontsize=p.TEXT,
        )
        axes.locator_params(axis="x", nbins=self.place(8, 4), prune=self.place(None, "upper"))
        axes.axvline(0, color=p.BLACK, linewidth=1)
        if self.revealed:
            self._draw_limit(result.limit, ends, system)
        self._draw_legend(result.guess is not None)

    def _draw_limit(self, limit, ends, system):
        """Where the weakest rated part of the line comes to its working limit."""
        left, right = ends
        at = limit.m_as(system.unit("force"))
        self._axes.axvline(at, color=p.ORANGE, linestyle="--", linewidth=2)
        place = (at - left) / (right - left)
        what = self.place("lowest working limit of the line", "line's working limit")
        room = self.place(0.27, 0.36)  # for half of the words
        words = f"{what}, {show(limit, 'force', system)}"
        p.note(self._axes, min(max(place, room), 1 - room), self.place(1.045, 1.027), words)

    def _draw_legend(self, has_guess):
        samples = [
            Patch(label="for the slope", **SLOPE),
            Patch(label="for rolling", **ROLLING),
            Patch(label="for the mire", **MIRE),
            *[Line2D([], [], linestyle="", marker="D", label="your guess", **GUESS)] * has_guess,
        ]
        place, columns = self.place(((0, 1.09), len(samples)), ((-0.28, 1.05), 2))
        draw_legend(self._axes, samples, place, columns)
