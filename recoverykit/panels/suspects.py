"""Rows of a log that look wrong, each with a tick to leave it out."""

import ipywidgets

from recoverykit.logbook import DayOfPulls, LogBook
from recoverykit.panels.boxes import WIDTH
from recoverykit.panels.words import LiveText, as_html, as_live_text
from recoverykit.units import InputError

MOST = 30  # rows with a tick; a log with more has something wrong with it as a whole

NONE = "No row of this log looks wrong."
SOME = (
    "These rows look wrong. They stay in until you leave them out: ask whoever wrote them down, "
    "and tick a row only for a reason."
)


class Suspects:
    """A tick and a sentence for every row that looks wrong."""

    def __init__(self, book: LogBook, guess=None):
        self._book = book
        self._guess = guess
        self._log = None
        self._ticks: dict[int, ipywidgets.Checkbox] = {}
        self._reply = LiveText(layout={"max_width": WIDTH})
        self.view = ipywidgets.VBox(layout={"margin": "8px"})
        self.show_day(book.day)
        book.watch(self)
        if guess is not None:
            guess.watch(lambda: self.show_day(book.day))

    def show_day(self, day: DayOfPulls) -> None:
        """Follow a change of the log, or of what is left out of it."""
        hidden = self._guess is not None and not self._guess.committed
        if not hidden and day.log is not self._log:
            self._log = day.log
            self._list(day)
        for row, tick in self._ticks.items():
            tick.value = row in day.kept.left_out

    def _list(self, day: DayOfPulls):
        findings = day.log.suspicions
        self._ticks = {}
        children = [ipywidgets.HTML(as_live_text(SOME if findings else NONE))]
        for finding in findings[:MOST]:
            sentence = as_sentence(finding)
            if finding.row is not None and finding.row not in self._ticks:
                tick = ipywidgets.Checkbox(
                    description=f"Leave out row {finding.row}",
                    tooltip=sentence,
                    indent=False,
                    layout={"width": "auto"},
                )
                tick.observe(
                    lambda change, row=finding.row: self._ticked(row, change["new"]), "value"
                )
                self._ticks[finding.row] = tick
                children.append(tick)
            children.append(
                ipywidgets.HTML(
                    f'<div style="line-height: 1.4">{as_html(sentence)}</div>',
                    layout={"max_width": WIDTH, "margin": "0 0 0 24px"},
                )
            )
        if len(findings) > MOST:
            more = f"And {len(findings) - MOST:,} more places."
            children.append(ipywidgets.HTML(as_html(more)))
        self.view.children = (*children, self._reply)

    def _ticked(self, row: int, out: bool):
        left_out = set(self._book.day.kept.left_out)
        if out == (row in left_out):
            return
        try:
            self._book.leave_out(*sorted(left_out ^ {row}))
            self._reply.value = ""
        except InputError as fault:
            self._reply.value = as_live_text(as_sentence(str(fault).partition(": ")[2]))
            self.show_day(self._book.day)


def as_sentence(said) -> str:
    """What was found, from a capital letter to a full stop.

    >>> as_sentence("row 4 is empty")
    'Row 4 is empty.'
    """
    text = str(said)
    return f"{text[:1].upper()}{text[1:]}."
