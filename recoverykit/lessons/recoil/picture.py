"""Picture: a piece that has let go, where it may fly, and its energy on a scale of things."""

import re
import textwrap

import numpy as np
from matplotlib.colors import to_rgb
from matplotlib.figure import Figure
from matplotlib.patches import FancyBboxPatch, Rectangle
from matplotlib.transforms import Affine2D, Bbox

from recoverykit.course import picture as p
from recoverykit.course.drawing import name_x_axis
from recoverykit.course.parts import draw_part
from recoverykit.physics.recoil import CAUTION, MAY_PART, NOT_ALONE, PARTS, energy_scale
from recoverykit.units.quantities import Q, at_least, at_most

# The scene, seen from above, in CSS pixels.
SCENE_HEIGHT, MIDDLE = 200, 100  # it and the line of pull
VEHICLE, VEHICLE_WIDTH = 92, 44
TETHER = 68  # length of the tether
SPREAD = 45.0  # how far off the line of pull the shading falls to a third
SHADES = 0.16, 0.62  # of the shading, at the edges and along the line of pull
ANYWHERE = "Pieces can fly anywhere here: along the line, past both ends, off the picture."
TETHER_LOOKS = {NOT_ALONE: ("-", "tether taut"), MAY_PART: (":", "tether may part")}
PIECE_LENGTHS = {"soft shackle": 34, "bow shackle": 34, "recovery point": 44}

# The scale of energies.
LABEL_LENGTH = 13  # letters of the name of a thing
LEAST, MOST = Q(30, "J"), Q(1000, "kJ")  # its ends
HELD, PIECE, MUST, CAN = 3.3, 2.3, 1.3, 0.3  # heights of the rows
ROWS = {
    HELD: "rope holds",
    PIECE: "piece gets",
    MUST: "tether must\nabsorb",
    CAN: "tether can\nabsorb",
}
BAR = 0.36  # height of a bar
HELD_LOOKS: p.Looks = {"facecolor": "#A6CDE7", "edgecolor": p.BLUE, "hatch": ".."}
LEAST_LOOKS: p.Looks = {"facecolor": "#F1BF99", "edgecolor": p.RED, "hatch": "//"}
MOST_LOOKS: p.Looks = {"facecolor": "#FBEADC", "edgecolor": p.RED, "linestyle": ":"}
CAN_LOOKS: p.Looks = {"facecolor": "#A9DCCB", "edgecolor": p.GREEN, "hatch": "\\\\"}


class LettingGoPicture(p.Picture):
    """The scene from above, and below it bars on a scale of powers of ten."""

    narrow_height = 520

    def build(self):
        """Make the artists; their values come in `update`."""
        self._axes = self.figure.add_axes(
            self.place((0.155, 0.125, 0.81, 0.345), (0.04, 0.115, 0.89, 0.38))
        )
        height = SCENE_HEIGHT / self.height
        self._scene = self.figure.add_axes((0, 1 - height, 1, height))
        self._scene.set(xlim=(0, self.width), ylim=(0, SCENE_HEIGHT))
        self._build_bars()
        self._build_scene()

    def _build_bars(self):
        bar, words = self._bar, self._words
        self._held = bar(HELD, HELD_LOOKS), words(HELD)
        self._piece = bar(PIECE, MOST_LOOKS), words(PIECE)
        self._piece_least = bar(PIECE, LEAST_LOOKS)
        self._must = bar(MUST, MOST_LOOKS), words(MUST)
        self._must_least = bar(MUST, LEAST_LOOKS)
        self._can = bar(CAN, CAN_LOOKS), words(CAN, fontweight="bold")
        self._guess = self.moving_line(
            self._axes, "D", color=p.PURPLE, markersize=10, markeredgecolor="k"
        )

    def _bar(self, height, looks):
        patch = Rectangle((_place(LEAST), height - BAR / 2), 0, BAR, linewidth=1.2, **looks)
        return self.moving(self._axes.add_artist(patch))

    def _words(self, height, **looks):
        size = self.place(p.TEXT, p.SMALL_TEXT)
        words = self.moving_text(self._axes, va="bottom", fontsize=size, **looks)
        words.set_position((_place(LEAST) + 0.05, height + BAR / 2 + 0.05))
        return words

    def _build_scene(self):
        """What moves in the scene; until the guess, the line as it is rigged."""

        def strand(color, width):
            looks = {"color": color, "linewidth": width, "solid_capstyle": "round"}
            return self.moving(self._scene.plot([], [], **looks)[0], before_guess=True)

        self._rope = strand(p.BLUE, 5)
        self._tether = strand(p.GREEN, 3.5)
        self._streaks = self.moving_line(self._scene, "-", color=p.BLACK, linewidth=2)
        self._pieces = {kind: self._made(kind) for kind in PIECE_LENGTHS}
        size = self.place(p.TEXT, p.SMALL_TEXT)
        looks = {"fontsize": size, "fontweight": "bold", "ha": "center"}
        self._speed = self.moving_text(self._scene, va="bottom", **looks)
        self._fate = self.moving_text(self._scene, va="top", **looks)

    def _made(self, kind) -> Affine2D:
        """Draw a kind of piece, and give what puts it in its place."""
        scene, place = self._scene, Affine2D()
        patches, lines = len(scene.patches), len(scene.lines)
        draw_part(scene, kind, 0, 0, PIECE_LENGTHS[kind])
        for artist in [*scene.patches[patches:], *scene.lines[lines:]]:
            artist.set_transform(place + scene.transData)
            self.moving(artist, before_guess=True)
        return place

    def scene(self) -> tuple[Figure, Bbox]:
        """The figure, and where in it the scene is, in inches: for showing the scene alone."""
        inches = self.figure.dpi_scale_trans.inverted()
        return self.figure, self._scene.get_window_extent().transformed(inches)

    # --- what moves ---------------------------------------------------------------------

    def move(self, result, system):
        """Show what flies, all energies, and the guess."""
        let_go, catch = result.let_go, result.catch
        self._move_scene(result, system)
        can, held, least, must = (
            written(energy, "energy", system)
            for written, energy in (
                (at_least, catch.can_absorb),
                (at_most, let_go.energy),
                (at_least, let_go.least_energy),
                (at_least, catch.least_to_absorb),
            )
        )
        guessed = "" if result.guess is None else self.place("  ◆ your guess", "  ◆ guess")
        self._put(HELD, self._held, let_go.energy, held)
        self._put(PIECE, self._piece, let_go.energy, between(least, held) + guessed)
        self._piece_least.set_width(_place(let_go.least_energy) - _place(LEAST))
        self._put(MUST, self._must, catch.most_to_absorb, between(must, held))
        self._must_least.set_width(_place(catch.least_to_absorb) - _place(LEAST))
        self._put(CAN, self._can, catch.can_absorb, can)
        guess = [] if result.guess is None else [_place(result.guess)]
        self._guess.set_data(guess, [PIECE] * len(guess))

    def _put(self, row, drawn, energy, words):
        """Let a bar end at an energy, and write above it."""
        bar, label = drawn
        bar.set_width(_place(energy) - _place(LEAST))
        name = ROWS[row].replace("\n", " ") + ": "
        label.set_text(self.place("", name) + words)

    def _move_scene(self, result, system):
        stuck, truck = self._ends
        let_go, verdict, speed = result.let_go, result.catch.verdict, ""
        at, fate = truck - TETHER, ""
        tether = np.array([[truck - TETHER, truck], [MIDDLE, MIDDLE]])
        rope, streaks, style = _wave(stuck, at), np.empty((2, 0)), "-"
        if not self.revealed or let_go.tension.magnitude == 0 or result.rope_parts:
            at = truck - TETHER / 2
            tether = _wave(at, truck) - [[0], [18]]
            rope = np.array([[stuck, at], [MIDDLE, MIDDLE]])
            if self.revealed and result.rope_parts:
                end = (at - stuck) / 3
                rope, fate = _apart(_wave(stuck, stuck + end), _wave(at - end, at)), "rope parted"
        elif verdict == PARTS:
            at = stuck + 0.35 * (truck - stuck)
            rope, fate = _wave(stuck, at), "tether parted"
            tether = _apart(_wave(at, at + 36), _wave(truck - 24, truck))
            tail = [at + 26, at + self.place(96, 60)]
            streaks = _apart(*([tail, [y, y]] for y in (MIDDLE - 14, MIDDLE + 14)))
        else:
            style, fate = TETHER_LOOKS[verdict]
        if fate and not result.rope_parts:
            slow = at_least(let_go.least_speed, "flight", system)
            fast = at_most(let_go.most_speed, "flight", system)
            speed = between(slow, fast)
        self._rope.set_data(*rope)
        self._tether.set_data(*tether)
        self._tether.set_linestyle(style)
        self._streaks.set_data(*streaks)
        for kind, place in self._pieces.items():
            x = at if kind == result.piece else -1000  # off the picture
            place.clear().rotate_deg(90).translate(x, MIDDLE)
        for words, text, x, y in (
            (self._speed, speed, at, MIDDLE + 24),
            (self._fate, fate, truck - TETHER / 2, MIDDLE - 24),
        ):
            words.set_position((x, y))
            words.set_text(text)

    # --- what stays ---------------------------------------------------------------------

    @property
    def _ends(self) -> tuple[float, float]:
        """Where the line is fastened: the front of the stuck vehicle, the rear of the truck."""
        end = self.place(74 + VEHICLE, 22 + VEHICLE)
        return end, self.width - end

    def draw_background(self, result, system):
        """The ground where pieces may fly, both vehicles, and the scale with the things on it."""
        self._draw_scene()
        axes = self._axes
        axes.set(xlim=(_place(LEAST), _place(MOST)), ylim=(0, 4))
        ten_times = self.place("; each line is ten times the one before", ", times ten each line")
        name_x_axis(axes, system, f"energy{ten_times}", "energy")
        powers = _powers_of_ten(system)
        axes.set_xticks(
            [_place(power) for power in powers],
            [system.grouped(power.m, ".10g") for power in powers],
        )
        axes.set_yticks(*self.place(([*ROWS], [*ROWS.values()]), ([], [])), fontsize=p.TEXT)
        self._draw_things()

    def _draw_scene(self):
        scene = self._scene
        scene.set_axis_off()
        if not scene.images:  # which stay
            off = np.abs(np.linspace(-1, 1, SCENE_HEIGHT)) * MIDDLE  # the line of pull
            edge, middle = SHADES
            pixels = np.empty((SCENE_HEIGHT, 1, 4))
            pixels[..., :3] = to_rgb(p.RED)
            pixels[:, 0, 3] = edge + (middle - edge) * np.exp(-((off / SPREAD) ** 2))
            scene.imshow(pixels, extent=(0, self.width, 0, SCENE_HEIGHT), aspect="auto", zorder=0)
        stuck, truck = self._ends
        for rear, color in ((stuck - VEHICLE, p.ORANGE), (truck, p.SKY)):
            _draw_vehicle(scene, rear, color)
        for height, words in ((0.91, ANYWHERE), (0.08, CAUTION)):
            p.note(scene, 0.5, height, textwrap.fill(words, self.place(90, 42)), fontweight="bold")

    def _draw_things(self):
        """Lines at the energies of things that people can picture."""
        last = 0.0
        for row in energy_scale():
            place = _place(Q(row.joules, "J"))
            if place - last < self.place(0.5, 1.1):  # powers of ten; a name needs so much room
                continue
            last = place
            self._axes.axvline(place, color=p.GRAY, linestyle=":", linewidth=1.5)
            part = (place - _place(LEAST)) / (_place(MOST) - _place(LEAST))
            p.note(self._axes, part, 1.02, _wrapped(row.words), va="bottom", fontsize=9)


def _draw_vehicle(axes, rear: float, color: str) -> None:
    """Draw a vehicle from above that faces right, its rear bumper at a place."""
    looks: p.Looks = {"edgecolor": p.BLACK, "linewidth": 1.5, "zorder": 2}
    bottom = MIDDLE - VEHICLE_WIDTH / 2
    for x in (rear + 10, rear + VEHICLE - 28):
        for y in (bottom - 4, bottom + VEHICLE_WIDTH - 4):
            axes.add_artist(Rectangle((x, y), 18, 8, facecolor="#333333", **looks))
    body = FancyBboxPatch(
        (rear, bottom), VEHICLE, VEHICLE_WIDTH, boxstyle="round,pad=0,rounding_size=8"
    )
    body.set(facecolor=color, **looks)
    axes.add_artist(body)
    for x, width in ((rear + 8, 8), (rear + 0.6 * VEHICLE, 10)):
        glass = Rectangle((x, bottom + 6), width, VEHICLE_WIDTH - 12, facecolor="white", **looks)
        axes.add_artist(glass)


def _wave(start: float, end: float) -> np.ndarray:
    """A slack strand between two places on the line of pull: its points."""
    xs, waves = np.linspace(start, end, 60), max(1, round((end - start) / 90))
    return np.array([xs, MIDDLE + 7 * np.sin(waves * 2 * np.pi * (xs - start) / (end - start))])


def _apart(one, other) -> np.ndarray:
    """Two strands with a gap between them: their points."""
    return np.hstack([one, [[np.nan], [np.nan]], other])


def between(low: str, high: str) -> str:
    """A band of two numbers with one unit."""
    return f"{low.rpartition(' ')[0]} to {high}"


def _place(energy) -> float:
    """Where an energy stands on the scale: its power of ten, in joules."""
    return float(np.log10(min(max(energy, LEAST), MOST).m_as("J")))


def _powers_of_ten(system) -> list[Q]:
    """The energies on the scale that are a whole power of ten in a display system."""
    unit = system.unit("energy")
    first, last = (np.log10(end.m_as(unit)) for end in (LEAST, MOST))
    return [Q(10.0**n, unit) for n in range(int(np.ceil(first)), int(np.floor(last)) + 1)]


def _wrapped(words: str) -> str:
    """Words on lines that fit beside each other, with no number parted from its unit."""
    kept_together = re.sub(r"(?<=[0-9]) (?=\S)", "\N{NO-BREAK SPACE}", words)
    return textwrap.fill(kept_together, LABEL_LENGTH)
