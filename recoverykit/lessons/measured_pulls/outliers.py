"""Rows of a log that look wrong, each with a tick to leave it out, and one to let it stay."""

import ipywidgets

from recoverykit.course.forms import WIDTH, row
from recoverykit.course.html import LiveText, as_html, as_live_text
from recoverykit.measurements.pull_log import PullLog
from recoverykit.measurements.session import CurrentSession, Session
from recoverykit.units.quantities import InputError
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
        self.show_session(book.session)
        book.changed.connect(self.show_session)
        if guess is not None:
            guess.changed.connect(self._show_open_session)

    def show_session(self, session: Session) -> None:
        """Follow a change of the log, or of what is left out of it."""
        hidden = self._guess is not None and not self._guess.committed
        if hidden:
            self._log, self._ticks, self.view.children = None, {}, ()
        elif session.log is not self._log:
            self._log = session.log
            self._list(session)
        for number, tick in self._ticks.items():
            tick.value = number in session.kept.left_out
            self._settled[number].value = number in session.kept.accepted

    def _show_open_session(self):
        self.show_session(self._book.session)

    def _list(self, session: Session):
        findings = session.log.outliers
        self._ticks, self._settled = {}, {}
        children = [ipywidgets.HTML(as_live_text(SOME if findings else NONE))]
        for finding in findings[:MOST]:
            sentence = as_sentence(finding)
            if finding.row is not None and finding.row not in self._ticks:
                number = finding.row
                self._ticks[number] = _tick(
                    f"Leave out row {number}", sentence, number, self._leave_out
                )
                self._settled[number] = _tick(
                    f"Row {number} is checked, and stays", sentence, number, self._accept
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

    def _leave_out(self, number: int, out: bool):
        left_out = set(self._book.session.kept.left_out)
        if out == (number in left_out):
            return
        try:
            self._book.leave_out(*sorted(left_out ^ {number}))
            self._reply.value = ""
        except InputError as fault:
            self._reply.value = as_live_text(as_sentence(str(fault).partition(": ")[2]))
            self._show_open_session()

    def _accept(self, number: int, stays: bool):
        accepted = set(self._book.session.kept.accepted)
        if stays != (number in accepted):
            self._book.accept(*sorted(accepted ^ {number}))
            self._reply.value = ""


def _tick(label: str, tooltip: str, number: int, ticked) -> ipywidgets.Checkbox:
    tick = ipywidgets.Checkbox(
        description=label,
        tooltip=tooltip,
        indent=False,
        layout={"width": "auto", "margin": "2px 24px 2px 2px"},
    )
    tick.observe(lambda change: ticked(number, change["new"]), "value")
    return tick
