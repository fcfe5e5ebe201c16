"""Picture: the energy of what lets go on a scale of things, and what a tether can do about it."""

import math
import re
import textwrap

import numpy as np
from matplotlib.patches import Rectangle

from recoverykit.course import picture as p
from recoverykit.physics.recoil import EnergyRow
from recoverykit.tables.records import table
from recoverykit.units.quantities import Q, at_least, at_most

LEAST, MOST = Q(30, "J"), Q(1000, "kJ")  # the ends of the scale
GAP = 0.5  # powers of ten between two things that are named on it
LABEL_LENGTH = 12  # letters
LET_GO, PIECE, MUST, CAN = 3.3, 2.3, 1.3, 0.3  # heights of the rows
BAR = 0.4  # height of a bar
ROPE_LOOKS: p.Looks = {"facecolor": "#A6CDE7", "edgecolor": p.BLUE, "hatch": ".."}
PIECE_LOOKS: p.Looks = {"facecolor": "#F1BF99", "edgecolor": p.RED, "hatch": "//"}
MAYBE_LOOKS = {"facecolor": "#FBEADC", "edgecolor": p.RED, "linestyle": ":"}
TETHER_LOOKS = {"facecolor": "#A9DCCB", "edgecolor": p.GREEN, "hatch": "\\\\"}
HEAT_LOOKS: p.Looks = {"facecolor": "#D0D0D0", "edgecolor": p.BLACK}
CAUTION = "Teaching scale. No distance from a loaded line is enough by these figures."


class LettingGoPicture(p.Picture):
    """Bars on a scale of powers of ten, and below them how the energy is shared."""

    only_wide = True

    def build(self):
        """Make the artists; their values come in `update`."""
        self._axes = self.figure.add_axes((0.155, 0.365, 0.81, 0.44))
        self._shares = self.figure.add_axes((0.155, 0.155, 0.81, 0.06))
        bar, words = self._bar, self._words
        self._let_go = bar(LET_GO, ROPE_LOOKS), words(LET_GO)
        self._piece = bar(PIECE, MAYBE_LOOKS), words(PIECE)
        self._piece_least = bar(PIECE, PIECE_LOOKS)
        self._must = bar(MUST, MAYBE_LOOKS), words(MUST)
        self._must_least = bar(MUST, PIECE_LOOKS)
        self._can = bar(CAN, TETHER_LOOKS), words(CAN, fontweight="bold")
        self._guess = self.moving_line(
            self._axes, "D", color=p.PURPLE, markersize=10, markeredgecolor="k"
        )
        self._parts = [
            self.moving(self._shares.add_patch(Rectangle((0, 0), 0, 1, **looks)))
            for looks in (PIECE_LOOKS, ROPE_LOOKS, HEAT_LOOKS)
        ]
        self._shares_words = self.moving_text(self._shares, va="top")
        self._shares_words.set_position((0, -0.25))

    def _bar(self, height, looks):
        patch = Rectangle((_place(LEAST), height - BAR / 2), 0, BAR, linewidth=1.2, **looks)
        return self.moving(self._axes.add_patch(patch))

    def _words(self, height, **looks):
        words = self.moving_text(self._axes, va="bottom", **looks)
        words.set_position((_place(LEAST) + 0.05, height + BAR / 2 + 0.05))
        return words

    def move(self, result, system):
        """Show all energies, the guess, and how the energy of the rope is shared."""
        let_go, catch = result.let_go, result.catch
        least, must, can = (
            at_least(energy, "energy", system)
            for energy in (let_go.least_energy, catch.least_to_absorb, catch.can_absorb)
        )
        most = at_most(let_go.energy, "energy", system)
        slow = at_least(let_go.least_speed, "flight", system)
        fast = at_most(let_go.most_speed, "flight", system)
        legend = "" if result.guess is None else " (◆ your guess)"
        self._put(*self._let_go, let_go.energy, most)
        self._put(*self._piece, let_go.energy, f"{least} to {most}, {slow} to {fast}{legend}")
        self._piece_least.set_width(_place(let_go.least_energy) - _place(LEAST))
        self._put(*self._must, catch.most_to_absorb, f"{must} to {most}")
        self._must_least.set_width(_place(catch.least_to_absorb) - _place(LEAST))
        self._put(*self._can, catch.can_absorb, f"{can}: {catch.verdict}")
        guess = [] if result.guess is None else [_place(result.guess)]
        self._guess.set_data(guess, [PIECE] * len(guess))
        self._share(result)

    def _put(self, bar, label, energy, words):
        """Let a bar end at an energy, and write above it."""
        bar.set_width(_place(energy) - _place(LEAST))
        label.set_text(words)

    def _share(self, result):
        start = 0.0
        for patch, share in zip(self._parts, result.shares, strict=True):
            patch.set(x=start, width=share)
            start += share
        self._shares_words.set_text(_shares_in_words(*result.shares))

    def draw_background(self, result, system):
        """The scale with the things on it, and the caution."""
        axes, shares = self._axes, self._shares
        axes.set(xlim=(_place(LEAST), _place(MOST)), ylim=(0, 4))
        label = "energy; each line is ten times the one before"
        p.name_axes(axes, system, x=(label, "energy"), y=("", "energy"))
        axes.set_ylabel("")
        axes.grid(visible=False, axis="y")
        powers = _powers_of_ten(system)
        axes.set_xticks(
            [_place(power) for power in powers], [_round_number(e, system) for e in powers]
        )
        axes.set_yticks(
            [LET_GO, PIECE, MUST, CAN],
            ["rope holds", "flies with\nthe piece", "tether must\nabsorb", "tether can\nabsorb"],
            fontsize=p.TEXT,
        )
        self._draw_things()
        shares.set(xlim=(0, 1), ylim=(0, 1))
        shares.set_axis_off()
        p.note(shares, -0.015, 0.5, "where it goes", ha="right", fontsize=p.TEXT, color=p.BLACK)
        p.note(shares, 0.42, -2.1, CAUTION, color=p.BLACK, fontweight="bold")

    def _draw_things(self):
        """Lines at the energies of things that people can picture."""
        for row in _things():
            place = _place(Q(row.joules, "J"))
            self._axes.axvline(place, color=p.GRAY, linestyle=":", linewidth=1.5)
            part = (place - _place(LEAST)) / (_place(MOST) - _place(LEAST))
            p.note(self._axes, part, 1.02, _wrapped(row.words), va="bottom", fontsize=9)


def _shares_in_words(piece: float, either: float, heat: float) -> str:
    """The shares in whole percents: what is a least is rounded down, and what is a most up."""
    if piece + either + heat == 0:
        return ""
    least, most = math.floor(round(100 * piece, 6)), math.ceil(round(100 * heat, 6))
    words = f"{least} % at least with the piece, {100 - least - most} % with piece or rope"
    return f"{words}, {most} % at most as heat" if most else words


def _place(energy) -> float:
    """Where an energy stands on the scale: its power of ten, in joules."""
    return float(np.log10(min(max(energy, LEAST), MOST).m_as("J")))


def _powers_of_ten(system) -> list[Q]:
    """The energies on the scale that are a whole power of ten in a display system."""
    unit = system.unit("energy")
    first, last = (np.log10(end.m_as(unit)) for end in (LEAST, MOST))
    return [Q(10.0**n, unit) for n in range(int(np.ceil(first)), int(np.floor(last)) + 1)]


def _round_number(energy, system) -> str:
    return system.grouped(energy.m, ".10g")


def _wrapped(words: str) -> str:
    """Words on lines that fit beside each other, with no number parted from its unit."""
    kept_together = re.sub(r"(?<=[0-9]) (?=\S)", "\N{NO-BREAK SPACE}", words)
    return textwrap.fill(kept_together, LABEL_LENGTH)


def _things() -> list[EnergyRow]:
    """Rows of the table of energies that are far enough apart to be named beside each other."""
    chosen: list[EnergyRow] = []
    for row in table(EnergyRow):
        if not chosen or np.log10(row.joules / chosen[-1].joules) >= GAP:
            chosen.append(row)
    return chosen
