"""What learners fill in and press, and where the reply stands."""

import contextlib
from collections.abc import Callable, Iterator, Sequence

import ipywidgets

from recoverykit.course.html import LiveText, as_html, as_live_text
from recoverykit.course.page import PAPER_OF, PAPERS
from recoverykit.course.picture import GREEN, RED
from recoverykit.course.progress import Progress, follow_name
from recoverykit.course.questions import COMMITTED, KEPT, RIGHT, Feedback
from recoverykit.course.templates import ChoiceField, NumberField
from recoverykit.units.quantities import KINDS, SYSTEMS, DisplaySystem, display
from recoverykit.units.text import in_brackets

WIDTH = "760px"  # of a text, so that its lines stay short enough to read


class Asked:
    """What all that is asked has on the page: a `text`, a `view` with boxes, and a reply."""

    view: ipywidgets.Widget

    @property
    def text(self) -> str:
        """What is asked."""
        raise NotImplementedError

    def __init__(self, progress: Progress):
        self._progress = progress
        self._prompt = ipywidgets.HTML(layout={"max_width": WIDTH})
        # Room for two lines from the start: what comes below does not jump when they appear.
        self._reply = LiveText(layout={"max_width": WIDTH, "min_height": "52px"})
        self.sentence = ""  # the last reply

    def _has_new_learner(self) -> bool:
        """Whether somebody else was named in another lesson; if so, this turns to their answers."""
        before = self._progress
        follow_name()
        return self._progress is not before

    def _say(self, feedback: Feedback | None):
        notice = self._progress.take_notice()
        said = feedback.sentence if feedback else ""
        note = in_brackets(self._progress.not_yet_told(feedback.note)) if feedback else ""
        self.sentence = f"{said}{note} {notice}".strip()
        well = feedback is not None and feedback.verdict in (RIGHT, COMMITTED, KEPT)
        edge = f"border-left: 4px solid {GREEN if well else RED}; padding-left: 8px"
        live_text = as_live_text(self.sentence)
        self._reply.value = f'<div style="{edge}">{live_text}</div>' if self.sentence else ""

    def _repr_mimebundle_(self, **kwargs):
        # The text is for readers without a kernel, and for static pages.
        return self.view._repr_mimebundle_(**kwargs) | {
            "text/plain": self.text,
            "text/html": paragraph(self.text),
        }


class NumberBox:
    """A line to write a number with its unit on; Enter, or leaving it, sends it."""

    def __init__(self, field: NumberField):
        self._label, self._kind = field.label, KINDS[field.kind]
        self.widget = text_line(label_width="150px")

    @property
    def typed(self) -> str:
        """What is written in it."""
        return self.widget.value

    @typed.setter
    def typed(self, text: str):
        self.widget.value = text

    def relabel(self, fill: Callable[[str], str]):
        """Write the label anew, with the numbers put in, and an example in the units in use."""
        self.widget.description = fill(self._label)
        example = dict(zip(SYSTEMS, self._kind.examples, strict=True))[display.system.name]
        self.widget.placeholder = f"number and unit, like {example}"

    def on_enter(self, callback: Callable[[], None]):
        """Call back when something was written, or all of it taken away."""
        self.widget.observe(lambda _: callback(), "value")


class ChoiceBox:
    """Answers to choose one from."""

    def __init__(self, field: ChoiceField):
        self._field = field
        self.widget = ipywidgets.RadioButtons(
            options=list(field.options),
            value=None,
            tooltip="Choose one",
            layout={"width": "auto", "max_width": WIDTH},
            style={"description_width": "150px"},
        )

    @property
    def typed(self) -> str:
        """The name of the chosen answer; nothing if none is chosen."""
        return self.widget.value or ""

    @typed.setter
    def typed(self, name: str):
        self.widget.value = name if name in self._field.options else None

    def relabel(self, fill: Callable[[str], str]):
        """Write the label and the answers anew, with the numbers put in."""
        chosen = self.typed
        self.widget.description = fill(self._field.label)
        self.widget.options = [(fill(text), name) for name, text in self._field.options.items()]
        self.typed = chosen

    def on_enter(self, callback: Callable[[], None]):
        """Choosing sends nothing: arrow keys pass over every option on the way to one."""


def box_for(field: NumberField | ChoiceField) -> NumberBox | ChoiceBox:
    """The box in which a field is filled in."""
    return NumberBox(field) if isinstance(field, NumberField) else ChoiceBox(field)


def dropdown(label: str, options: Sequence, width: str = "300px") -> ipywidgets.Dropdown:
    """A list to pull down, with its label beside it."""
    return ipywidgets.Dropdown(
        options=options,
        description=label,
        style={"description_width": "60px"},
        layout={"width": width, "max_width": "100%"},
    )


def text_line(label: str = "", label_width: str = "auto", **looks: str) -> ipywidgets.Text:
    """A line to write on; its value changes with Enter, or when it is left."""
    return ipywidgets.Text(
        description=label,
        continuous_update=False,
        style={"description_width": label_width},
        layout={"width": "520px", "max_width": "100%"},
        **looks,
    )


class PaperChoice(ipywidgets.Dropdown):
    """The paper to print on; the usual one goes with the units."""

    def __init__(self):
        super().__init__(options=list(PAPERS), description="Paper")
        self.style.description_width = "60px"
        self.show_in(display.system)
        display.switched.connect(self.show_in)

    def show_in(self, system: DisplaySystem) -> None:
        """Follow a switch of the display system."""
        self.value = PAPER_OF[system.name]


def button(label: str, tooltip: str, callback: Callable[[], object]) -> ipywidgets.Button:
    """A button as wide as its label."""
    made = ipywidgets.Button(description=label, tooltip=tooltip, layout={"width": "auto"})
    made.on_click(lambda _: callback())
    return made


@contextlib.contextmanager
def at_work(sentence: str, reply: ipywidgets.HTML, *buttons: ipywidgets.Button) -> Iterator[None]:
    """Say what is being done, and let these buttons wait until it is."""
    reply.value = as_live_text(sentence)
    for each in buttons:
        each.disabled = True
    try:
        yield
    finally:
        for each in buttons:
            each.disabled = False


def row(*widgets: ipywidgets.Widget) -> ipywidgets.HBox:
    """Widgets side by side, in more lines where there is no room."""
    return ipywidgets.HBox(widgets, layout={"flex_flow": "row wrap"})


def paragraph(text: str) -> str:
    """HTML of a text to read, with nothing in it taken for HTML."""
    return f'<p style="font-size: 16px; line-height: 1.45; margin: 0">{as_html(text)}</p>'
