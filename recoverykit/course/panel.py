"""The panel frame: named inputs, a result, a sentence, a picture, and the widgets of these.

A panel can be built and driven in plain Python, without a kernel or a browser. It keeps its
values; widgets only show them, in the display system in force.
"""

import base64
import contextlib
import itertools
from collections.abc import Iterator, Sequence
from typing import Any

import ipywidgets

from recoverykit.course.forms import button, row
from recoverykit.course.guesses import Guess
from recoverykit.course.html import LiveText, as_live_text
from recoverykit.course.inputs import Input
from recoverykit.course.narrow_page import page
from recoverykit.course.picture import Picture
from recoverykit.course.task_view import TaskView
from recoverykit.course.tasks import Task, TaskRun
from recoverykit.course.units_switch import UnitsSwitch
from recoverykit.units.quantities import SYSTEMS, DisplaySystem, InputError, Q, display
from recoverykit.units.signals import Signal

WAITING = "Write down your guess first: then the answer appears here."
CONTROLS_WIDTH = 400  # CSS pixels: beside the picture on a laptop, above it on a narrow page
MOST_BESIDE = 12  # inputs; with more, the sentence is under the picture, to fit a laptop's screen


class Panel:
    """What every panel has: `inputs`, `set()`, `values`, `result`, `summary`, `figure`, `view`.

    At the start and after a switch of units, a value is what its slider shows, so a round number of
    the display system; what `set` is given stays as it is.

    With a `guess`, neither sentence nor picture give the answer away until that is committed.

    A panel of its own gives `inputs`, `picture_type`, `compute` (values in, result record out) and
    `describe` (result in, one to three plain sentences out). It never fails at its limits: where
    there is no number, `describe` says why.
    """

    inputs: tuple[Input, ...] = ()
    picture_type: type[Picture]
    tasks: tuple[Task, ...] = ()
    precomputed: tuple[tuple[str, int], ...] = ()  # on pages: what moves, to how many values
    under_picture: tuple[ipywidgets.Widget, ...] = ()  # what a panel has beyond its inputs

    def __init__(self, guess: Guess | None = None):
        self._guess = guess
        self._chosen = {each.name: each.start for each in self.inputs}
        self.values = self._snapped()
        self.narrow = page.narrow
        self._layouts: dict[bool, Picture] = {}
        self._up_to_date: set[bool] = set()
        self.changed = Signal()  # a value, or the display system
        self.task_run = TaskRun(self) if self.tasks else None
        self._view: _View | None = None
        self._refresh()
        display.switched.connect(self.show_in)
        page.changed.connect(self.show_narrow)
        if guess is not None:
            guess.changed.connect(self._refresh)

    @property
    def on_pages(self) -> tuple[Input, ...]:
        """What moves on exported pages in place of widgets that are no inputs."""
        return ()

    @property
    def revealed(self) -> bool:
        """Whether the answer may be shown: False until the learner has guessed, or skipped that."""
        return self._guess is None or self._guess.committed

    @property
    def _guessed(self) -> dict:
        """What the learner guessed, by field; empty where there is no guess."""
        return {} if self._guess is None else self._guess.values

    @property
    def _guessed_points(self) -> list[tuple[Q, Q]]:
        """The points that the learner guessed, behind those that were known."""
        return [] if self._guess is None else self._guess.points

    def compute(self, *_: Any, **values: Any):
        """The result record for these values (quantities by name)."""
        raise NotImplementedError

    def describe(self, result, system: DisplaySystem) -> str:
        """One to three plain sentences on a result."""
        raise NotImplementedError

    def set(self, **values) -> None:
        """Set inputs by name; all faults are named at once.

        Nothing is changed where there is a fault, or where computing the result fails.
        """
        known = {each.name: each for each in self.inputs}
        faults = []
        for name, value in values.items():
            try:
                if name not in known:
                    raise InputError(f"there is no input {name!r}; there are {', '.join(known)}")
                known[name].check(value)
            except InputError as fault:
                faults.append(str(fault))
        if faults:
            raise InputError("\n".join(faults))
        self._compute(self.values | values)
        self._chosen |= values

    def reset(self, *names: str) -> None:
        """Go back to the values that the panel started with; of some inputs, if they are named."""
        again = {each.name: each.start for each in self.inputs if not names or each.name in names}
        self._chosen |= again
        self._compute(self.values | self.starting(*again))

    def starting(self, *names: str) -> dict:
        """The values that some inputs start with, as they show them."""
        return {
            each.name: each.snapped(each.start, display.system)
            for each in self.inputs
            if each.name in names
        }

    def _snapped(self) -> dict:
        """The values that were chosen, as the inputs show them."""
        return {
            each.name: each.snapped(self._chosen[each.name], display.system) for each in self.inputs
        }

    def corners(self):
        """Set every combination of extreme values in turn; yield the result of each."""
        return self._visit(itertools.product(*self._extremes))

    def paired_corners(self):
        """Visit as `corners` does, but only so many that every two extreme values meet once.

        For panels with many inputs or long lists of options, whose corners are too many.
        """
        return self._visit(pairwise(self._extremes))

    @property
    def _extremes(self):
        return [each.extremes for each in self.inputs]

    def _visit(self, corners):
        before = dict(self.values)
        for corner in corners:
            self.set(**dict(zip(self.values, corner, strict=True)))
            yield self.result
        self.set(**before)

    def picture(self, narrow: bool = False) -> Picture:
        """The picture as it is now in one of its layouts, each of which is made when needed."""
        if narrow not in self._layouts:
            self._layouts[narrow] = self.picture_type(narrow)
        picture = self._layouts[narrow]
        if narrow not in self._up_to_date:
            self._up_to_date.add(narrow)
            picture.revealed = self.revealed
            picture.update(self.result, display.system)
        return picture

    @property
    def _picture(self):
        return self.picture(self.narrow)

    @property
    def figure(self):
        """The kept matplotlib figure of the layout in use."""
        return self._picture.figure

    def png(self, narrow: bool = False) -> bytes:
        """The picture as it is now, as a PNG file."""
        return self.picture(narrow).png()

    def show_narrow(self, narrow: bool) -> None:
        """Show the picture in its layout for phones, or in the one for all else."""
        self.narrow = narrow
        self._show()

    @property
    def view(self) -> ipywidgets.Widget:
        """The panel's widgets: sliders, picture and sentence. Made once, when first asked for."""
        if self._view is None:
            self._view = _View(self)
            self._show()
        return self._view.box

    def show_in(self, system: DisplaySystem) -> None:
        """Follow a switch of the display system."""
        self._compute(self._snapped())

    def _refresh(self, *_):
        self._compute(self.values)

    def _compute(self, values: dict):
        # Values that cannot be worked out must not stay behind, to fail again at the next change.
        result = self.compute(**values)
        summary = self.describe(result, display.system) if self.revealed else WAITING
        self.values, self.result, self.summary = values, result, summary
        if self.task_run and self.revealed:
            self.task_run.follow()
        self._up_to_date.clear()
        self._show()
        self.changed.send()

    def _show(self):
        if self._view is not None:
            self._view.show(self._picture, self.summary)

    def _repr_mimebundle_(self, **kwargs):
        # The picture and the sentence are for readers without a kernel, and for static pages.
        return self.view._repr_mimebundle_(**kwargs) | {
            "image/png": base64.b64encode(self.png()).decode(),
            "text/plain": self.summary,
        }


class _View:
    """The widgets of one panel."""

    def __init__(self, panel: Panel):
        self._panel = panel
        self._placing = False
        self._background = b""
        self._system: DisplaySystem | None = None
        self._in_place: dict[str, Any] = {}  # the values that the widgets in sight show
        # One set for each display system, of which one is hidden: so no slider's range changes.
        self._sets = {
            system: ipywidgets.VBox([self._widget(each, system) for each in panel.inputs])
            for system in SYSTEMS.values()
        }
        for inputs in self._sets.values():
            inputs.add_class("recoverykit-inputs")
        self._sentence = LiveText(layout={"margin": "10px 2px"})
        layout = {"max_width": "100%", "height": "auto", "grid_area": "1 / 1"}
        # One over the other: the first is sent when it changes, which it seldom does.
        self._layers = [ipywidgets.Image(format="png", layout=layout) for _ in range(2)]
        tip = "Put everything back where it started"
        again = button("Starting values", tip, self._start_again)
        self._tasks = TaskView(panel) if panel.tasks else None
        tasks, others = ([self._tasks], self._tasks.buttons) if self._tasks else ([], ())
        buttons = row(*others, again)
        controls = ipywidgets.VBox(
            [UnitsSwitch(), *self._sets.values(), *tasks, buttons],
            layout={"flex": f"1 1 {CONTROLS_WIDTH}px", "min_width": "0"},
        )
        self._shown = ipywidgets.VBox([ipywidgets.GridBox(self._layers), *panel.under_picture])
        column = controls if len(panel.inputs) <= MOST_BESIDE else self._shown
        column.children += (self._sentence,)
        self.box = ipywidgets.HBox([controls, self._shown], layout={"flex_flow": "row wrap"})

    def _widget(self, each: Input, system: DisplaySystem) -> ipywidgets.Widget:
        widget = each.widget(system)
        widget.observe(lambda change: self._moved(each, change["new"], system), "value")
        return widget

    def _moved(self, each: Input, shown, system: DisplaySystem):
        if not self._placing:
            self._in_place[each.name] = each.from_widget(shown, system)
            self._panel.set(**{each.name: self._in_place[each.name]})

    def _start_again(self):
        for each, widget in self._in_sight():
            each.revert(widget)
        self._panel.reset()

    def show(self, picture: Picture, summary: str):
        """Show a new picture and sentence, and put the widgets where the values are."""
        if display.system is not self._system:
            self._system, self._in_place = display.system, {}
            for system, box in self._sets.items():
                box.layout.display = None if system is display.system else "none"
        with self._placed_by_us():
            for each, widget in self._in_sight():
                value = self._panel.values[each.name]
                if value is not self._in_place.get(each.name):
                    each.to_widget(widget, value, display.system)
                    self._in_place[each.name] = value
        for layer in self._layers:
            layer.layout.width = f"{picture.width}px"
        self._shown.layout.flex = f"0 1 {picture.width}px"
        background, moving = picture.layers()
        if background is not self._background:  # comparing and sending it takes long
            self._background = background
            self._layers[0].value = background
        self._layers[1].value = moving
        self._sentence.value = as_live_text(summary)
        if self._tasks:
            self._tasks.show()

    def _in_sight(self):
        return zip(self._panel.inputs, self._sets[display.system].children, strict=True)

    @contextlib.contextmanager
    def _placed_by_us(self):
        """Changes of widgets in here are not the learner's."""
        self._placing = True
        try:
            yield
        finally:
            self._placing = False


def pairwise(choices: Sequence[Sequence]) -> Iterator[tuple]:
    """Rows with one value of each choice, so that every two values of two choices share a row.

    >>> rows = list(pairwise([(0, 1)] * 10))
    >>> len(rows) < 12
    True
    >>> {(row[2], row[7]) for row in rows} == {(0, 0), (0, 1), (1, 0), (1, 1)}
    True
    >>> list(pairwise(["ab"]))
    [('a',), ('b',)]
    """
    if len(choices) == 1:  # there is nothing to pair it with
        yield from itertools.product(*choices)
        return
    places = [[(place, index) for index in range(len(c))] for place, c in enumerate(choices)]
    still_apart = {
        pair for two in itertools.combinations(places, 2) for pair in itertools.product(*two)
    }
    while still_apart:
        row = list(min(still_apart))
        taken = {place for place, _ in row}
        for values in places:
            if values[0][0] not in taken:
                row.append(max(values, key=lambda v: _count_apart(v, row, still_apart)))
        row.sort()
        still_apart -= set(itertools.combinations(row, 2))
        yield tuple(choices[place][index] for place, index in row)


def _count_apart(value, row, still_apart) -> int:
    return sum(tuple(sorted((value, other))) in still_apart for other in row)
