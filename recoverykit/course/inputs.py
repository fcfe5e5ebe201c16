"""What a learner can set on a panel: a number on a slider, a choice, a tick, a written quantity.

Each kind of input knows its limits and its widget. A panel keeps the values; a widget only shows
them, and gives back what the learner did to it.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Self

import ipywidgets
import traitlets

from recoverykit.course.html import LiveText, as_live_text
from recoverykit.course.progress import current
from recoverykit.physics.rigging_text import EXAMPLE, read_line
from recoverykit.units.parsing import Reading, read_quantity
from recoverykit.units.quantities import KINDS, METRIC, SYSTEMS, DisplaySystem, InputError, Q, brief
from recoverykit.units.text import as_sentence
from recoverykit.units.validation import Argument, to_si

LABEL_WIDTH = "150px"


@dataclass(frozen=True)
class Input:
    """What all inputs have; `help` is one plain sentence that says what is set here."""

    name: str
    label: str
    start: Any
    help: str = field(default="", kw_only=True)

    def with_help(self, sentence: str) -> Self:
        """The same input with another sentence of help."""
        return replace(self, help=sentence)

    @property
    def extremes(self) -> tuple:
        """The values at the limits, for trying every corner of a panel."""
        raise NotImplementedError

    def check(self, value) -> None:
        """Raise InputError, naming this input, if the value is not one that can be set here."""
        raise NotImplementedError

    def _fault(self, why: object) -> InputError:
        return InputError(f"{self.label}:\n  {self.name}: {why}")

    def snapped(self, value, system: DisplaySystem):
        """The value that the widget shows for a value."""
        return value

    @property
    def looks(self) -> dict[str, Any]:
        """Of a widget with its label beside it, as wide as its place."""
        return {
            "description": self.label,
            "tooltip": self.help,
            "style": {"description_width": LABEL_WIDTH},
            "layout": {"width": "auto"},
        }

    def widget(self, system: DisplaySystem) -> ipywidgets.Widget:
        """A new widget, labeled for a display system; its `value` is what the learner changes."""
        raise NotImplementedError

    def to_widget(self, widget, value, system: DisplaySystem) -> None:
        """Show a value."""
        widget.value = value

    def from_widget(self, shown, system: DisplaySystem):
        """The value that a widget's `value` stands for."""
        return shown

    def revert(self, widget) -> None:
        """Drop what a widget shows that was not taken; nothing, where all is taken."""


@dataclass(frozen=True)
class Slider(Input):
    """A quantity between two limits; `steps` are those in metric and in US units."""

    start: Q
    kind: str
    low: Q
    high: Q
    steps: tuple[float, float]

    @property
    def extremes(self) -> tuple:
        """The two limits."""
        return self.low, self.high

    def check(self, value) -> None:
        """Refuse what is not one quantity of the kind, within the limits."""
        si = KINDS[self.kind].si
        limits = Argument(self.kind, at_least=self.low.m_as(si), at_most=self.high.m_as(si))
        number = to_si(self.label, {self.name: limits}, {self.name: value})[self.name]
        if not isinstance(number, float):
            raise self._fault(f"{value} is a list; write one value")

    def widget(self, system: DisplaySystem) -> ipywidgets.SelectionSlider:
        """A slider as wide as its place, so that it is as long as can be.

        It slides over a list. One over a range of floats would answer what the kernel sends it,
        with rounding errors and in the middle of a change of its range, and the answer could not
        be told from what a learner does.
        """
        step = self._step(system)
        decimals = 0 if step >= 1 else 1 if step >= 0.1 else 2
        options = [
            (system.grouped(number, f".{decimals}f"), number) for number in self.positions(system)
        ]
        label = f"{self.label} [{system.symbol(self.kind)}]"
        return ipywidgets.SelectionSlider(options=options, **self.looks | {"description": label})

    def positions(self, system: DisplaySystem) -> list[float]:
        """The whole steps inside the limits, in the system's unit."""
        step, unit = self._step(system), system.unit(self.kind)
        # 1e-9: 0.3 / 0.1 is 2.9999999999999996, and that is the third step.
        first = math.ceil(self.low.m_as(unit) / step - 1e-9)
        last = math.floor(self.high.m_as(unit) / step + 1e-9)
        # Rounded, for 12 * 0.1 is 1.2000000000000002.
        return [round(number * step, 9) for number in range(first, last + 1)]

    def _step(self, system):
        return self.steps[list(SYSTEMS.values()).index(system)]

    def _nearest(self, value, system) -> float:
        number = value.m_as(system.unit(self.kind))
        return min(self.positions(system), key=lambda position: abs(position - number))

    def snapped(self, value, system: DisplaySystem):
        """The quantity at the position that is nearest."""
        return self.from_widget(self._nearest(value, system), system)

    def to_widget(self, widget, value, system: DisplaySystem) -> None:
        """Move the handle to the position that is nearest."""
        widget.value = self._nearest(value, system)

    def from_widget(self, shown, system: DisplaySystem):
        """The quantity at the handle; a rounded end of the slider may lie past a limit."""
        return min(max(Q(shown, system.unit(self.kind)), self.low), self.high)


@dataclass(frozen=True)
class Choice(Input):
    """One of a few names."""

    start: str
    options: Sequence[str]

    @property
    def extremes(self) -> tuple:
        """Every option."""
        return tuple(self.options)

    def check(self, value) -> None:
        """Refuse what is not one of the options."""
        if value not in self.options:
            there = ", ".join(map(repr, self.options))
            raise self._fault(f"{value!r:.60} is none of {there}")

    def widget(self, system: DisplaySystem) -> ipywidgets.Dropdown:
        """A list to pull down."""
        return ipywidgets.Dropdown(options=self.options, **self.looks)


@dataclass(frozen=True)
class Tick(Input):
    """Yes or no."""

    start: bool = False

    @property
    def extremes(self) -> tuple:
        """Without and with the tick."""
        return False, True

    def check(self, value) -> None:
        """Refuse what is neither True nor False."""
        if not isinstance(value, bool):
            raise self._fault(f"{value!r:.60} is neither True nor False")

    def widget(self, system: DisplaySystem) -> ipywidgets.Checkbox:
        """A box to tick."""
        return ipywidgets.Checkbox(
            description=self.label, tooltip=self.help, indent=False, layout={"width": "auto"}
        )


@dataclass(frozen=True)
class Text(Input):
    """A quantity as people write it, between two limits; its value is the text itself.

    A box that starts empty may be emptied again: its value is then "".
    """

    start: str
    kind: str
    low: Q
    high: Q

    @property
    def extremes(self) -> tuple:
        """The two limits, written out, and nothing where the box may be empty."""
        empty = ("",) if self.may_be_empty("") else ()
        return *empty, *(brief(limit, self.kind, METRIC) for limit in (self.low, self.high))

    def read(self, text: str) -> Reading:
        """The quantity that a text stands for. Raises InputError where there is none."""
        reading = read_quantity(text, self.kind)
        if not self.low <= reading.quantity <= self.high:
            low, high = brief(self.low, self.kind), brief(self.high, self.kind)
            raise InputError(f"{text!r} is not between {low} and {high}")
        return reading

    def may_be_empty(self, text) -> bool:
        """Whether a text is empty, and may be."""
        return text == self.start == ""

    def check(self, value) -> None:
        """Refuse what cannot be read, or is outside the limits."""
        if self.may_be_empty(value):
            return
        try:
            self.read(value)
        except InputError as fault:
            raise self._fault(fault) from None

    def widget(self, system: DisplaySystem) -> "TextBox":
        """A line to write on, with a reply below."""
        return TextBox(self)

    def revert(self, widget: "TextBox") -> None:
        """Write down again what was taken last."""
        widget.revert()


@dataclass(frozen=True)
class Rows(Input):
    """The rows of a line of the learner's own; "": none. It is chosen elsewhere on the page."""

    start: str = ""

    @property
    def extremes(self) -> tuple:
        """No line, and one."""
        return "", EXAMPLE

    def check(self, value) -> None:
        """Refuse what cannot be read."""
        if value:
            try:
                read_line(value)
            except InputError as fault:
                raise self._fault(fault) from None

    def widget(self, system: DisplaySystem) -> ipywidgets.HTML:
        """Nothing to be seen."""
        return ipywidgets.HTML(layout={"display": "none"})


class TextBox(ipywidgets.VBox):
    """A line to write on. `value` is the last text that could be read; a reply says why not."""

    value = traitlets.Unicode()

    def __init__(self, text: Text):
        self._text = text
        self._line = ipywidgets.Text(continuous_update=False, **text.looks)
        self._reply = LiveText(layout={"margin": "0 8px"})
        super().__init__([self._line, self._reply])
        self._line.observe(lambda change: self._typed(change["new"]), "value")
        self.observe(lambda _: self.revert(), "value")

    def revert(self):
        """Write down again what was taken last."""
        self._line.value = self.value
        self._say("")

    def _typed(self, typed: str):
        typed = typed.strip()
        try:
            note = "" if self._text.may_be_empty(typed) else self._text.read(typed).note
            note = current().not_yet_told(note)
        except InputError as fault:
            kept = f"keeps to {self.value}" if self.value else "has no number"
            self._say(f"{fault}. Until then the panel {kept}")
            return
        self.value = typed  # after which `revert` takes the last reply away
        self._say(note)

    def _say(self, said: str):
        self._reply.value = as_live_text(as_sentence(said)) if said else ""
