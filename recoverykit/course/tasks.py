"""Tasks of a panel: what to set, one after the other, and what there was to see."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

from recoverykit.units.quantities import METRIC, DisplaySystem, Q, brief, display


@dataclass(frozen=True)
class Round:
    """A quantity that is a round number in each display system, in that system's unit."""

    kind: str
    metric: float
    us: float

    def quantity(self, system: DisplaySystem) -> Q:
        """The quantity that is set in a display system.

        >>> Round("speed", 4, 2.5).quantity(METRIC)
        <Quantity(4, 'kilometer / hour')>
        """
        return Q(self.metric if system is METRIC else self.us, system.unit(self.kind))

    def text(self, system: DisplaySystem) -> str:
        """The quantity as it is written in a display system."""
        return brief(self.quantity(system), self.kind, system)


Setting: TypeAlias = Mapping[str, Any]  # of inputs by name; a Round where it is a quantity


@dataclass(frozen=True)
class Task:
    """Something to try, from a panel's starting values on.

    `text` says what to do and what to look for. It has the settings' quantities by their inputs'
    names in braces, those of the second setting as in {speed_2}. The task is done when all settings
    were made in turn; or with `reached`, as soon as that holds of the panel's result, and the
    settings are one way there. `seen` says afterwards what there was to see, with the same numbers.

    >>> task = Task("Go from {speed} to {speed_2}.", "It doubled.", (
    ...     {"speed": Round("speed", 4, 2.5)}, {"speed": Round("speed", 8, 5)}))
    >>> task.words(METRIC)
    'Go from 4 km/h to 8 km/h.'
    """

    text: str
    seen: str
    settings: tuple[Setting, ...]
    reached: Callable[[Any], bool] | None = None

    def words(self, system: DisplaySystem) -> str:
        """What to do, in the units of a display system."""
        return self.text.format(**self._numbers(system))

    def seen_in(self, system: DisplaySystem) -> str:
        """What there was to see, in the units of a display system."""
        return self.seen.format(**self._numbers(system))

    def _numbers(self, system):
        return {
            name if step == 1 else f"{name}_{step}": value.text(system)
            for step, setting in enumerate(self.settings, 1)
            for name, value in setting.items()
            if isinstance(value, Round)
        }

    def settings_in(self, system: DisplaySystem) -> list[dict[str, Any]]:
        """What to set, one after the other, as `Panel.set` takes it."""
        return [
            {
                name: value.quantity(system) if isinstance(value, Round) else value
                for name, value in setting.items()
            }
            for setting in self.settings
        ]


class TaskRun:
    """Where a learner is in the tasks of a panel: which one is shown, and which ones are done."""

    def __init__(self, panel):
        self._panel = panel
        self.number = 0
        self.done: set[int] = set()
        self._step = 0
        self.moved_too = False  # whether a setting was made, but with other values changed as well

    @property
    def task(self) -> Task:
        """The task that is shown."""
        return self._panel.tasks[self.number]

    @property
    def is_done(self) -> bool:
        """Whether the task that is shown is done."""
        return self.number in self.done

    def go(self, by: int) -> None:
        """Go to another task, from the panel's starting values on."""
        self.number = (self.number + by) % len(self._panel.tasks)
        self._step = 0
        self._panel.reset()

    def follow(self) -> None:
        """See whether the task, or its next step, is done by what is set now."""
        self.moved_too = False
        if self.is_done:
            return
        if self.task.reached is not None:
            done = self.task.reached(self._panel.result)
        else:
            done = self._takes_a_step() and self._step == len(self.task.settings)
        if done:
            self.done.add(self.number)

    def _takes_a_step(self) -> bool:
        asked = self.task.settings_in(display.system)[self._step]
        start = {each.name: each.start for each in self._panel.inputs}
        if not self._shows(asked):
            return False
        self.moved_too = not self._shows(start | asked)
        self._step += not self.moved_too
        return not self.moved_too

    def _shows(self, wanted: Setting) -> bool:
        """Whether the inputs show these values, as far as they can."""
        system, values = display.system, self._panel.values
        return all(
            each.snapped(values[each.name], system) == each.snapped(wanted[each.name], system)
            for each in self._panel.inputs
            if each.name in wanted
        )
