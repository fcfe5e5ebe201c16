"""Rows of a log that look wrong, each with a tick to leave it out, and one to let it stay."""

from collections.abc import Callable

import ipywidgets

from recoverykit.course.forms import WIDTH, row
from recoverykit.course.html import LiveText, as_html, as_live_text
from recoverykit.measurements.pull_log import PullLog
from recoverykit.measurements.session import CurrentSession, Session, answer
from recoverykit.units.text import as_sentence

MOST = 30  # rows with a tick; a log with more has something wrong with it as a whole

NONE = "No row in this log looks wrong."
SOME = (
    "These rows look wrong. Ask whoever wrote them down. Then leave a row out, for a reason, or "
    "tick that it's checked and stays."
)


class OutlierList:
    """Two ticks and a sentence for every row that looks wrong."""

    def __init__(self, book: CurrentSession, guess=None):
        self._book = book
        self._guess = guess
        self._log: PullLog | None = None
        self._ticks: dict[int, ipywidgets.Checkbox] = {}  # to leave a row out
        self._settled: dict[int, ipywidgets.Checkbox] = {}  # to let it stay
        self._reply = LiveText(layout={"max_width": WIDTH})
        self.view = ipywidgets.VBox(layout={"margin": "8px"})
        self.follow()
        book.changed.connect(self.follow)
        if guess is not None:
            guess.changed.connect(self.follow)

    def follow(self, *_) -> None:
        """Follow a change of the log, of what is left out of it, or of the guess."""
        session = self._book.session
        if self._guess is not None and not self._guess.committed:
            self._log, self._ticks, self.view.children = None, {}, ()
        elif session.log is not self._log:
            self._log = session.log
            self._list(session)
        for number, tick in self._ticks.items():
            tick.value = number in session.kept.left_out
            self._settled[number].value = number in session.kept.accepted

    def _list(self, session: Session):
        findings = session.log.outliers
        self._ticks, self._settled = {}, {}
        children = [ipywidgets.HTML(as_live_text(SOME if findings else NONE))]
        for finding in findings[:MOST]:
            sentence = as_sentence(finding)
            if finding.row is not None and finding.row not in self._ticks:
                number = finding.row
                self._ticks[number] = self._tick(
                    number, f"Leave out row {number}", sentence, "left_out", self._book.leave_out
                )
                stays = f"Row {number} is checked, and stays"
                self._settled[number] = self._tick(
                    number, stays, sentence, "accepted", self._book.accept
                )
                children.append(row(self._ticks[number], self._settled[number]))
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

    def _tick(self, number: int, label: str, tooltip: str, marked: str, mark: Callable):
        """A tick by which a row is, or is not, one of those `marked` in the log that is kept."""
        tick = ipywidgets.Checkbox(
            description=label,
            tooltip=tooltip,
            indent=False,
            layout={"width": "auto", "margin": "2px 24px 2px 2px"},
        )

        def ticked(change):
            rows = set(getattr(self._book.session.kept, marked))
            if change["new"] == (number in rows):
                return
            self._reply.value = ""
            if reason := answer(mark, *sorted(rows ^ {number})).reason:
                self._reply.value = as_live_text(as_sentence(reason))
                self.follow()

        tick.observe(ticked, "value")
        return tick
