"""The pull card as a page of paper, in black and white."""

from matplotlib.figure import Figure

from recoverykit.course.page import SHADE, Column, Page
from recoverykit.lessons.plan.card_content import (
    BLANKS,
    CHECKS,
    CREW,
    DANGER,
    FOLLOW,
    SIGN,
    SIGNALS,
    SIGNALS_TITLE,
    SOURCES,
    TICK,
    TITLE,
    WHO_STOPS,
    PullCard,
    Table,
)
from recoverykit.physics.plan import STOP_RULES
from recoverykit.units.quantities import InputError

SIZES = (13.0, 12.5, 12.0, 11.5, 11.0)
SMALL_PRINT = 0.75  # of the size: what nobody reads during a pull
ROW_TO_WRITE_ON, TALLEST_ROW = 6.0, 12.0  # mm
GAP = 0.8  # mm, between two sections
MEASURED, GO_ON = 4, 6  # columns of the ladder to write in
COLUMN_PADDING, GO_ON_WIDTH, MEASURED_WIDTH = 2.6, 14.5, 16.0  # mm
DESCENT = 0.4  # mm, of letters below the last line
SIGNAL_SHARES = (0, 0.33, 0.8)  # where each column begins


def card_page(card: PullCard, paper: str) -> Figure:
    """Lay a card out on a paper, "A4" or "Letter", in the largest text that fits.

    Raises InputError for another paper, and for a card that does not fit on one page.
    """
    for size in SIZES:
        spare = _Sheet(paper, size).lay(card, ROW_TO_WRITE_ON)
        if spare >= DESCENT:
            sheet = _Sheet(paper, size)
            taller = ROW_TO_WRITE_ON + (spare - DESCENT) / len(card.ladder.rows)
            sheet.lay(card, min(taller, TALLEST_ROW))
            return sheet.figure
    raise InputError(
        "The card does not fit on one page: take one system of units, or a line with fewer parts."
    )


class _Sheet(Page):
    """The page of a card."""

    def lay(self, card: PullCard, row_height: float) -> float:
        """Write a card; returns how much room is left below it: less than nothing if none is."""
        column, small = self.all, SMALL_PRINT * self.size
        self._head(column, card)
        self.paragraph(column, card.limit, weight="bold")
        self.paragraph(column, card.rope)
        if card.work:
            self.paragraph(column, card.work, weight="bold")
        self.paragraph(column, f"{card.case} {card.work_caution}".strip(), small)
        column.y += GAP
        self.heading(column, "Before the pull")
        self._ticks(column, CHECKS)
        self._ticks(column, card.parts, small)
        column.y += GAP
        self.heading(column, f"Ladder of pulls, {card.pegs}")
        self._table(column, card.ladder, row_height)
        column.y += GAP
        self._crew_and_signals(column)
        for words in card.wheel:
            self.paragraph(column, words)
        column.y += GAP
        self.paragraph(column, WHO_STOPS, weight="bold")
        self.paragraph(column, " ".join((*STOP_RULES, card.keep_clear)))
        column.y += GAP
        self.boxed(column, (DANGER, FOLLOW))
        column.y += GAP
        self._to_fill_in(column, SIGN)
        self.paragraph(column, f"{card.assumed} {SOURCES}", small)
        return self.bottom - column.y

    def _head(self, column, card):
        size = 1.6 * self.size
        self.write(column.left, column.y, TITLE, size, "bold")
        beside = column.left + self.measure(TITLE, size, "bold") + 6
        right = Column(beside, column.left + column.width - beside, column.y + 1.5)
        self._to_fill_in(right, BLANKS[0])
        column.y = right.y
        for labels in BLANKS[1:]:
            self._to_fill_in(column, labels)
        if card.mark:
            self._mark(column, card)

    def _mark(self, column, card):
        """What the card is, across the page, and in white on black with the reason below."""
        self.across(card.mark)
        size = 1.2 * self.size
        height = self.line_height(size) + 1
        self.box(column.left, column.y, column.width, height, facecolor="black")
        middle = column.left + column.width / 2
        self.write(middle, column.y + 0.5, card.mark, size, "bold", ha="center", color="white")
        column.y += height + 0.5
        self.paragraph(column, card.why_marked, SMALL_PRINT * self.size, weight="bold")

    def _to_fill_in(self, column, labels):
        """Labels side by side, each with a line to write on; longer labels have more room."""
        shares = [len(label) + 6 for label in labels]
        left, top = column.left, column.y
        for label, share in zip(labels, shares, strict=True):
            width = column.width * share / sum(shares)
            inside = Column(left, width - 3, top)
            self.blank(inside, label)
            left += width
        column.y = inside.y

    def _ticks(self, column, things, size=None):
        """Things to tick, one after the other in as many lines as it takes."""
        self.paragraph(column, "   ".join(f"{TICK}{thing}" for thing in things), size)

    def _table(self, column, table: Table, height):
        """The ladder; its first two columns stand out."""
        columns = zip(table.titles, *table.rows, strict=True)
        widths = [self._width_of(*cells) for cells in columns]
        widths[GO_ON] = GO_ON_WIDTH
        widths[MEASURED] += column.width - sum(widths)
        if widths[MEASURED] < MEASURED_WIDTH:
            column.y += self.height  # too large a text
            return
        size, normal = SMALL_PRINT * self.size, ["normal"] * len(widths)
        self.row(column, table.titles, widths, normal, size, facecolor=SHADE)
        for cells in table.rows:
            self.row(column, cells, widths, ["bold", *normal[1:]], height=height)

    def _width_of(self, title, *cells):
        """As wide as a column needs; of a cell with two sentences, the first counts."""
        firsts = (self.measure(cell.partition(". ")[0]) for cell in cells)
        return max(self.measure(title, SMALL_PRINT * self.size), *firsts) + COLUMN_PADDING

    def _crew_and_signals(self, column):
        left = Column(column.left, 0.36 * column.width, column.y)
        right = Column(left.width + 4 + left.left, column.width - left.width - 4, column.y)
        self.heading(left, "Crew")
        for name in CREW:
            self.blank(left, name)
        self.heading(right, SIGNALS_TITLE)
        places = [right.left + share * right.width for share in SIGNAL_SHARES]
        for words in SIGNALS:
            self.write(places[0], right.y, words[0], weight="bold")
            for place, each in zip(places[1:], words[1:], strict=True):
                self.write(place, right.y, each)
            right.y += self.line_height()
        column.y = max(left.y, right.y) + GAP
