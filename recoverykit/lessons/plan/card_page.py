"""The pull card as a page of paper, in black and white."""

import numpy as np
from matplotlib.figure import Figure

from recoverykit.course.page import SHADE, Column, Page
from recoverykit.lessons.plan.card_content import (
    END_OF_LADDER,
    SIGNALS,
    SIGNALS_NOTE,
    TITLE,
    PullCard,
    Table,
)
from recoverykit.physics.plan import REST, STOP_RULES
from recoverykit.units.quantities import InputError

SIZES = tuple(9.5 - 0.25 * step for step in range(13))  # points; the largest that fits is taken
ROW_TO_WRITE_ON, TALLEST_ROW = 6.5, 12.0  # mm
GAP = 2.2  # mm, between two sections
NOTE = 5.5  # mm, from line to line to write notes on
LINE_SHARES = (0.34, 0.28, 0.19, 0.19)  # of the width: the columns of the tables
LADDER_SHARES = (0.055, 0.14, 0.24, 0.185, 0.14, 0.12, 0.12)


def card_page(card: PullCard, paper: str) -> Figure:
    """Lay a card out on a paper, "A4" or "Letter", in the largest text that fits.

    Raises InputError for another paper, and for a card that does not fit on one page.
    """
    for size in SIZES:
        spare = _Sheet(paper, size).lay(card, ROW_TO_WRITE_ON)
        if spare >= 0:
            sheet = _Sheet(paper, size)
            taller = ROW_TO_WRITE_ON + spare / len(card.ladder.rows)
            sheet.lay(card, min(taller, TALLEST_ROW))
            return sheet.figure
    raise InputError(
        "The card does not fit on one page: take one system of units, or a line with fewer parts."
    )


class _Sheet(Page):
    """The page of a card."""

    def lay(self, card: PullCard, row_height: float) -> float:
        """Write a card; returns how much room is left below it: less than nothing if none is."""
        column = self.all
        self._head(column, card)
        self._facts(column, card.facts)
        self.heading(column, "The line, every rating on one basis")
        self._table(column, card.line, LINE_SHARES)
        column.y += GAP
        self.heading(column, "Ladder of pulls")
        self.paragraph(column, card.case)
        if card.work:
            self.paragraph(column, card.work, weight="bold")
        column.y += 1
        self._table(column, card.ladder, LADDER_SHARES, row_height, bold_columns=(0, 1))
        column.y += 1
        self.bullets(column, card.ladder_rules)
        self.paragraph(column, END_OF_LADDER, weight="bold")
        column.y += GAP
        self._two_columns(column, card)
        self.boxed(column, card.cautions)
        column.y += 1.5
        self.paragraph(column, f"{card.assumed} {card.sources}", size=0.85 * self.size)
        return self.bottom - column.y

    def _head(self, column, card):
        size = 2.1 * self.size
        self.write(column.left, column.y, TITLE, size, "bold")
        beside = column.left + self.measure(TITLE, size, "bold") + 8
        right = column.left + column.width
        self._to_fill_in(beside, right, column.y + 2.5, card.occasion)
        column.y += self.line_height(size) + 1
        if card.mark:
            self._mark(column, card)
        column.y += 2
        self._to_fill_in(column.left, right, column.y, card.vehicles)
        column.y += self.line_height() + GAP

    def _mark(self, column, card):
        """What the card is, across the page, and in white on black with the reason below."""
        self.across(card.mark)
        size = 1.5 * self.size
        height = self.line_height(size) + 1
        self.box(column.left, column.y, column.width, height, facecolor="black")
        middle = column.left + column.width / 2
        self.write(middle, column.y + 1, card.mark, size, "bold", ha="center", color="white")
        column.y += height + 1
        self.paragraph(column, card.why_marked, weight="bold")

    def _to_fill_in(self, left, right, y, labels):
        """Labels side by side, each with a line to write on."""
        width = (right - left) / len(labels)
        for number, label in enumerate(labels):
            end = left + (number + 1) * width - 4 * (number + 1 < len(labels))
            self.blank(Column(left + number * width, end - left - number * width, y), label)

    def _facts(self, column, facts):
        width, top = column.width / len(facts), column.y
        for number, (title, value, remark) in enumerate(facts):
            inside = Column(column.left + number * width + 2, width - 4, top + 1.2)
            self.paragraph(inside, title)
            self.paragraph(inside, value, 1.35 * self.size, "bold")
            self.paragraph(inside, remark, 0.9 * self.size)
            column.y = max(column.y, inside.y + 1)
        for number in range(len(facts)):
            left = column.left + number * width
            self.box(left, top, width, column.y - top, linewidth=1.2)
        column.y += GAP

    def _table(self, column, table: Table, shares, row_height=0.0, bold_columns=()):
        """A table; its marked row and the bold columns stand out."""
        widths = [share * column.width for share in shares]
        titles = ["normal"] * len(widths)
        self.row(column, table.titles, widths, titles, 0.9 * self.size, facecolor=SHADE)
        for number, cells in enumerate(table.rows):
            weights = [
                "bold" if number == table.marked or place in bold_columns else "normal"
                for place in range(len(cells))
            ]
            self.row(column, cells, widths, weights, height=row_height)

    def _two_columns(self, column, card):
        width = (column.width - 7) / 2
        left = Column(column.left, width, column.y)
        right = Column(column.left + width + 7, width, column.y)
        self.heading(left, "Stop rules")
        self.bullets(left, STOP_RULES)
        left.y += GAP
        self.heading(left, "Keep clear")
        self.bullets(left, card.keep_clear)
        left.y += GAP
        self.heading(left, "After every pull")
        self.paragraph(left, REST)
        self.heading(right, "Roles")
        self._roles(right, card.roles)
        right.y += GAP
        self.heading(right, "Hand signals")
        self._signals(right)
        column.y = max(left.y, right.y)
        self._notes(left if left.y < right.y else right, column.y)
        column.y += GAP

    def _roles(self, column, roles):
        """Each role with a line for a name, and what is to be done below."""
        names = max(self.measure(name, self.size, "bold") for name, _ in roles) + 2
        for name, words in roles:
            self.write(column.left, column.y + 1.2, name, weight="bold")
            column.y += self.line_height() + 1.4
            self.rule(column.left + names, column.left + column.width, column.y - 0.5)
            self.paragraph(column, words)

    def _signals(self, column):
        """Each signal in bold, and beside it how it is given."""
        names = max(self.measure(name, self.size, "bold") for name, _ in SIGNALS) + 2.5
        for name, words in SIGNALS:
            self.write(column.left, column.y, name, weight="bold")
            inside = Column(column.left + names, column.width - names, column.y)
            self.paragraph(inside, words)
            column.y = inside.y + 0.6
        self.paragraph(column, SIGNALS_NOTE)

    def _notes(self, column, bottom):
        """Lines to write on down to a place, if there is room for two."""
        top = column.y + GAP
        if bottom - top > self.line_height(1.15 * self.size) + 1.2 + 2 * NOTE:
            column.y = top
            self.heading(column, "Notes")
            for y in np.arange(column.y + NOTE, bottom, NOTE):
                self.rule(column.left, column.left + column.width, y)
