"""Picture: how far a pull moves the stuck vehicle, beside what it costs the line, against speed."""

from recoverykit.course import picture as p
from recoverykit.physics.plan import CEILING
from recoverykit.units.quantities import Q, at_least, show

LEAST_TRAVEL = Q(0.5, "m")  # that the axis of ways is long, so that next to nothing looks so


class MoreSpeedPicture(p.Picture):
    """Two curves over the same speeds, with the chosen speed, half of it, and the guess."""

    narrow_height = 740

    def build(self):
        """Make the artists; their values come in `update`."""
        way = self.place((0.09, 0.125, 0.385, 0.72), (0.24, 0.58, 0.71, 0.325))
        force = self.place((0.6, 0.125, 0.385, 0.72), (0.24, 0.075, 0.71, 0.325))
        self._way, self._force = self.figure.add_axes(way), self.figure.add_axes(force)
        self._begins = [self._line(axes, ":", p.GRAY, 2.5) for axes in self._both]
        self._limit = [self._line(axes, "--", p.RED, 2) for axes in self._both]
        self._curves = [self._line(axes, "-", p.BLUE, 3.5) for axes in self._both]
        self._here_words = [
            self.moving_text(axes, va="center", fontweight="bold") for axes in self._both
        ]
        self._speed_words = [
            self.moving_text(self._way, va="top", fontsize=p.SMALL_TEXT, color="#333333")
            for _ in ("begins", "limit")
        ]
        self._halves = [self._mark(axes, "o", "white") for axes in self._both]
        self._here = [self._mark(axes, "o", p.BLACK) for axes in self._both]
        self._guess = [self._mark(axes, "D", p.PURPLE) for axes in self._both]
        self._guess_words = [self.moving_text(axes, va="top") for axes in self._both]

    @property
    def _both(self):
        return self._way, self._force

    def _line(self, axes, style, color, width):
        return self.moving_line(axes, style, color=color, linewidth=width)

    def _mark(self, axes, style, color):
        looks = {"markersize": 10, "markeredgecolor": "k", "clip_on": False}
        return self.moving_line(axes, style, color=color, **looks)

    @property
    def answer_axes(self):
        """The axes of both curves."""
        return self._both

    def background_of(self, result, system):
        """The limit of the line, whether there is a guess, and the ends of the axes."""
        return result.first, result.guess is not None, self._tops(result, system)

    def move(self, result, system):
        """Show both curves, the speeds at which something begins, and the guess."""
        curves, units = _curves(result, system)
        speed = system.unit("speed")
        speeds = result.speeds.m_as(speed)
        bought = [(each.travel, each.peak) for each in (result.here, result.half)]
        at = [each.speed.m_as(speed) for each in (result.here, result.half)]
        for number, (axes, kind) in enumerate(((self._way, "length"), (self._force, "force"))):
            here, half = (each[number].m_as(units[number]) for each in bought)
            self._curves[number].set_data(speeds, curves[number])
            self._here[number].set_data([at[0]], [here])
            self._halves[number].set_data([at[1]], [half])
            self._here_words[number].set_text(f" {show(bought[0][number], kind, system)} ")
            top = axes.get_ylim()[1]  # the words at the upper end are those of two speeds
            p.put_beside(self._here_words[number], at[0], min(here, self.place(0.7, 0.62) * top))
            self._upright(self._begins[number], result.breakout_speed.m_as(speed))
            self._upright(self._limit[number], result.limit_speed.m_as(speed))
            if result.guess:
                guess = result.guess[number + 1]
                guessed, fast = guess.m_as(units[number]), result.guess[0].m_as(speed)
                beyond = guessed > top  # then its number stands at the edge
                self._guess[number].set_data([fast], [min(guessed, top)])
                self._guess[number].set_marker("^" if beyond else "D")
                self._guess_words[number].set_text(show(guess, kind, system) if beyond else "")
                p.put_beside(self._guess_words[number], fast, 0.9 * top)
        top = self._way.get_ylim()[1]
        starts, limit = result.breakout_speed, result.limit_speed
        moves_from = f"moves from\n{show(starts, 'speed', system)}"
        at_limit = f"line at its limit\n{at_least(limit, 'speed', system)}"
        for label, words, at, height in (
            (self._speed_words[0], moves_from, starts, 0.98),
            (self._speed_words[1], at_limit, limit, self.place(0.86, 0.8)),
        ):
            label.set_text(words)
            label.set_visible(at <= result.speeds[-1])
            p.put_beside(label, at.m_as(speed), height * top)

    def _upright(self, line, speed):
        line.set_data([speed, speed], line.axes.get_ylim())

    def _tops(self, result, system):
        """Round ends of both axes: for the curves, and for a guess that is not far beyond them."""
        curves, units = _curves(result, system)
        limit = result.first.working_load_limit
        least = (LEAST_TRAVEL.m_as(units[0]), limit.m_as(units[1]))
        guesses = result.guess[1:] if result.guess else (Q(0, "m"), Q(0, "N"))
        return [
            p.round_top(1.1 * max(curve.max(), low, min(guess.m_as(unit), 2 * curve.max())))
            for curve, low, guess, unit in zip(curves, least, guesses, units, strict=True)
        ]

    def draw_background(self, result, system):
        """Both axes with the usual ceiling, and the limit of the line."""
        tops = self._tops(result, system)
        ceiling = CEILING.m_as(system.unit("speed"))
        fastest = result.speeds[-1].m_as(system.unit("speed"))
        marks = "● this speed  ○ half of it"
        guess = "◆ your guess (▲: higher)" if result.guess else ""
        travel = self.place("the stuck vehicle moves by", "stuck vehicle moves")
        force = "peak force in the line"
        for axes, top, kind, label, title, words in (
            (self._way, tops[0], "length", travel, "what it buys", marks),
            (self._force, tops[1], "force", force, "what the line sees", guess),
        ):
            axes.set(xlim=(0, fastest), ylim=(0, top))
            p.name_axes(axes, system, x=("speed as the rope comes taut", "speed"), y=(label, kind))
            axes.axvline(ceiling, color=p.GRAY, linestyle="-.", linewidth=1.5)
            heights = self.place((1.03, 1.095, 1.165), (1.045, 1.135, 1.23))
            p.note(axes, ceiling / fastest, heights[0], "usual ceiling")
            if self.revealed:
                p.note(axes, 0, heights[1], words, ha="left")
            looks: p.Looks = {"fontsize": p.TEXT + 2, "fontweight": "bold"}
            p.note(axes, 0, heights[2], title, ha="left", **looks)
        self._draw_limit(result.first.working_load_limit, tops[1], system)

    def _draw_limit(self, limit, top, system):
        height = limit.m_as(system.unit("force"))
        self._force.axhspan(height, top, facecolor="#FBEADC", hatch="//", edgecolor="#E8C4A8")
        self._force.axhline(height, color=p.RED, linestyle="--", linewidth=2)
        words = f"above working limit, {show(limit, 'force', system)}"
        p.note(self._force, 0.03, 0.96, words, ha="left")


def _curves(result, system):
    """Travels and peaks as numbers, and the units of both."""
    units = system.unit("length"), system.unit("force")
    return (result.travels.m_as(units[0]), result.peaks.m_as(units[1])), units
