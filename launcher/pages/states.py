"""A panel as data: its controls, and for each setting of them the picture and the sentence.

A page without Python shows one of these states. Which inputs move, and through how many positions,
stands beside the inputs of a panel, in `precomputed`; all others keep their starting values. What a
task asks for is among the positions; where it needs an input that stays, its settings are states of
their own, each shown at the press of a button.
"""

import itertools
import math
import operator
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from launcher.pages.tiles import Tiles
from recoverykit.course.inputs import Choice, Input, Slider, Tick
from recoverykit.course.panel import Panel
from recoverykit.course.tasks import Task
from recoverykit.units.quantities import brief, display

MOMENTS_APART = 4  # of a pull that is played
SHOWN_AS = {Slider: "slider", Tick: "tick"}  # all else is a list to choose from


@dataclass(frozen=True)
class Control:
    """An input that moves on the page, and the values that it moves through."""

    input: Input
    values: Sequence[Any]

    @property
    def start(self) -> int:
        """The number of the value that the panel starts with."""
        return self.place(self.input.start)

    def place(self, value) -> int:
        """The number of a value, as it is shown."""
        return self.values.index(self.input.snapped(value, display.system))

    @property
    def texts(self) -> list[str]:
        """The values in words, in the display system in force."""
        return [in_words(value, self.input) for value in self.values]


def in_words(value, each: Input) -> str:
    """A value of an input as people write it.

    >>> from recoverykit.lessons import TimedDistancePanel
    >>> speed, _ = TimedDistancePanel().inputs
    >>> in_words(speed.start, speed)
    '4 km/h'
    """
    if isinstance(value, bool):
        return "yes" if value else "no"
    return brief(value, each.kind) if isinstance(each, Slider) else str(value)


def values_in_words(panel: Panel, values: Mapping[str, Any]) -> str:
    """Values of a panel's inputs in one line, without those that are empty; of a tick, its label.

    >>> from recoverykit.lessons import TimedDistancePanel
    >>> panel = TimedDistancePanel()
    >>> values_in_words(panel, panel.values)
    'Speed: 4 km/h; Between the pegs: 10 m'
    """
    known = _inputs_by_name(panel)
    return "; ".join(
        known[name].label + ("" if value is True else f": {in_words(value, known[name])}")
        for name, value in values.items()
        if value != ""
    )


def _inputs_by_name(panel: Panel) -> dict[str, Input]:
    return {each.name: each for each in (*panel.inputs, *panel.on_pages)}


def controls(panel: Panel) -> list[Control]:
    """The inputs of a panel that move on the page, in the display system in force."""
    known = _inputs_by_name(panel)
    return [
        Control(known[name], _values(known[name], most, _asked_for(panel, name)))
        for name, most in panel.precomputed
    ]


def _asked_for(panel: Panel, name: str) -> list:
    """The values of an input that tasks ask for which can be done with what moves."""
    return [
        setting[name]
        for task in panel.tasks
        if _can_be_done(task, panel)
        for setting in task.settings_in(display.system)
        if name in setting
    ]


def _can_be_done(task: Task, panel: Panel) -> bool:
    moved = dict(panel.precomputed).keys()
    return all(setting.keys() <= moved for setting in task.settings)


def shown_settings(panel: Panel) -> list[list[dict]]:
    """For each task, the settings that are shown at the press of a button."""
    return [
        [] if _can_be_done(task, panel) else task.settings_in(display.system)
        for task in panel.tasks
    ]


def _values(each: Input, most: int, asked: list) -> list:
    """At most so many values: those asked for, where it starts, and evenly spread ones."""
    if isinstance(each, Choice):
        needed = {each.start, *asked}
        others = [option for option in each.options if option not in needed]
        kept = needed | set(others[: max(0, most - len(needed))])
        return [option for option in each.options if option in kept]
    if not isinstance(each, Slider):
        return list(each.extremes)[:most]
    system = display.system
    positions = each.positions(system)
    start, *others = (_nearest(value, each, positions) for value in (each.start, *asked))
    step = -(-(len(positions) - 1) // (most - 1))
    needed = {0, start, *others, len(positions) - 1}
    numbers = needed | set(range(start % step, len(positions), step))
    while len(numbers) > max(most, len(needed)):
        numbers.remove(min(numbers - needed, key=lambda number: _room(number, numbers)))
    return [each.from_widget(positions[number], system) for number in sorted(numbers)]


def _nearest(value, each: Slider, positions: list[float]) -> int:
    number = value.m_as(display.system.unit(each.kind))
    return min(range(len(positions)), key=lambda place: abs(positions[place] - number))


def _room(number: int, kept: set[int]) -> int:
    return min(abs(number - other) for other in kept - {number})


# --- states -----------------------------------------------------------------------------


def states_of(panel: Panel) -> dict:
    """All that a page shows of a panel, in the display system in force.

    Of what is in `precomputed`, the first one's values change first from state to state, over a
    background that the others change, which is slow to draw.
    """
    sentences, narrow, wide = [], Tiles(), Tiles()
    reached: list[list[int]] = [[] for _ in panel.tasks]
    for number, _ in enumerate(visited(panel)):
        sentences.append(panel.summary)
        for layout in (narrow, wide):
            for picture in drawn(panel, layout is narrow):
                layout.add(picture)
        for states, task in zip(reached, panel.tasks, strict=True):
            if task.reached and task.reached(panel.result):
                states.append(number)
    return {
        "controls": _controls_as_data(panel),
        "fixed": fixed_in_words(panel),
        "tasks": list(_tasks_as_data(panel, reached)),
        "moments": [f"{text} s" for text, _ in _moments(panel)],
        "sentences": sentences,
        "pictures": {"narrow": narrow.packed(), "wide": wide.packed()},
    }


def visited(panel: Panel) -> Iterator[None]:
    """Set a panel to each of its states in turn: to what moves, then to what tasks ask for."""
    start_again(panel)
    moved = controls(panel)[::-1]
    for values in itertools.product(*(control.values for control in moved)):
        panel.set(**{each.input.name: value for each, value in zip(moved, values, strict=True)})
        yield
    for setting in itertools.chain(*shown_settings(panel)):
        start_again(panel)
        panel.set(**setting)
        yield
    start_again(panel)


def start_again(panel: Panel) -> None:
    """Put a panel back where it starts on the page."""
    panel.reset()
    panel.set(**_started_on_pages(panel))


def _started_on_pages(panel: Panel) -> dict[str, Any]:
    return {each.name: each.start for each in panel.on_pages}


def _tasks_as_data(panel: Panel, reached: list[list[int]]) -> Iterator[dict]:
    """Tasks in words, with their own states, which are the last ones of all.

    Of a task's steps, each is the numbers of the states that take it; all of them in turn do it.
    """
    moved = controls(panel)
    own = itertools.count(math.prod(len(each.values) for each in moved))
    for task, shown, found in zip(panel.tasks, shown_settings(panel), reached, strict=True):
        numbers = [next(own) for _ in shown]
        asked = numbers or [_number(moved, each) for each in task.settings_in(display.system)]
        yield {
            "words": task.words(display.system),
            "seen": task.seen_in(display.system),
            "shown": [
                {"state": number, "text": values_in_words(panel, setting)}
                for number, setting in zip(numbers, shown, strict=True)
            ],
            "steps": [found] if task.reached else [[number] for number in asked],
        }


def _number(moved: list[Control], setting: Mapping[str, Any]) -> int:
    """The number of the state with a setting, and all else as it starts."""
    places = (
        each.place(setting[each.input.name]) if each.input.name in setting else each.start
        for each in moved
    )
    return sum(map(operator.mul, places, _steps(moved)))


def _steps(moved: list[Control]) -> list[int]:
    """How many states lie between two values of each control."""
    counts = [len(each.values) for each in moved]
    return [math.prod(counts[:number]) for number in range(len(counts))]


def drawn(panel: Panel, narrow: bool) -> Iterator[np.ndarray]:
    """The picture of a state in one layout; of a pull that is played, at each of its moments."""
    for _, number in _moments(panel):
        panel.show_moment(number)
        yield panel.picture(narrow).pixels()
    if not _moments(panel):
        yield panel.picture(narrow).pixels()


def _moments(panel: Panel) -> Sequence[tuple[str, int]]:
    """What the page plays, if anything: every few moments of a pull, in words and by number."""
    player = getattr(panel, "player", None)
    return player.slider.options[::MOMENTS_APART] if player else ()


def _controls_as_data(panel: Panel) -> list[dict]:
    """Controls in the order of the panel's inputs, each with its step from state to state."""
    moved = controls(panel)
    data = {
        each.input.name: _as_data(each) | {"step": step}
        for each, step in zip(moved, _steps(moved), strict=True)
    }
    return [data[name] for name in _inputs_by_name(panel) if name in data]


def _as_data(control: Control) -> dict:
    each = control.input
    return {
        "label": each.label,
        "shown_as": SHOWN_AS.get(type(each), "list"),
        "texts": control.texts,
        "start": control.start,
    }


def fixed_in_words(panel: Panel) -> str:
    """What the inputs that do not move on the page are set to; empty where all of them move.

    >>> from recoverykit.lessons import TimedDistancePanel
    >>> fixed_in_words(TimedDistancePanel())
    ''
    """
    moved = dict(panel.precomputed)
    values = panel.values | _started_on_pages(panel)
    fixed = {name: value for name, value in values.items() if name not in moved}
    return values_in_words(panel, fixed)
