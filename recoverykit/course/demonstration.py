"""A demonstration for a room: steps as buttons, and for each one number, one sentence, one picture.

An instructor presses; the back row reads. The looks of its page are in present.css.
"""

import io
from abc import ABC, abstractmethod
from dataclasses import dataclass

import ipywidgets
from matplotlib.figure import Figure
from matplotlib.transforms import Bbox

from recoverykit.course.html import LiveText, as_live_text
from recoverykit.course.units_switch import UnitsSwitch
from recoverykit.units.quantities import SYSTEMS, DisplaySystem, display

PIXELS = 1600  # width of a picture


@dataclass(frozen=True)
class Screen:
    """What one step shows; of its figure all, or what lies in a `box` in inches."""

    number: str
    sentence: str
    figure: Figure
    box: Bbox | None = None

    def png(self) -> bytes:
        """The picture as a PNG file."""
        file = io.BytesIO()
        width = self.figure.get_figwidth() if self.box is None else self.box.width
        self.figure.savefig(file, format="png", dpi=PIXELS / width, bbox_inches=self.box)
        return file.getvalue()


class Demonstration(ABC):
    """Buttons, a number, a sentence and a picture; a demonstration of its own gives two methods."""

    _view: ipywidgets.Widget | None = None

    @abstractmethod
    def labels(self, system: DisplaySystem) -> list[str]:
        """What stands on the buttons of the steps."""

    @abstractmethod
    def screen(self, step: int) -> Screen:
        """What a step shows, counted from 0, in the display system in force."""

    @property
    def view(self) -> ipywidgets.Widget:
        """The widgets. Made once, when first asked for."""
        if self._view is None:
            self._view = self._make()
            self.press(0)
            display.switched.connect(self.show_in)
        return self._view

    def press(self, step: int) -> None:
        """Show a step, as its button does."""
        shown = self.screen(step)
        for buttons in self._buttons.values():
            buttons.index = step
        self._number.value = as_live_text(shown.number)
        self._sentence.value = as_live_text(shown.sentence)
        self._picture.value = shown.png()

    def show_in(self, system: DisplaySystem) -> None:
        """Follow a switch of the display system."""
        for each, buttons in self._buttons.items():
            buttons.layout.display = None if each is system else "none"
        self.press(self._buttons[system].index)

    def _make(self):
        self._buttons = {}
        for system in SYSTEMS.values():
            buttons = ipywidgets.ToggleButtons(
                options=self.labels(system), description="Step", style={"button_width": "auto"}
            )
            buttons.layout.display = None if system is display.system else "none"
            buttons.observe(self._pressed, "index")
            self._buttons[system] = buttons
        self._number, self._sentence = LiveText(), LiveText()
        self._picture = ipywidgets.Image(format="png")
        for widget, name in (
            (self._number, "number"),
            (self._sentence, "sentence"),
            (self._picture, "picture"),
        ):
            widget.add_class(f"recoverykit-{name}")
        top = ipywidgets.HBox([UnitsSwitch(), *self._buttons.values()])
        return ipywidgets.VBox([top, self._number, self._sentence, self._picture])

    def _pressed(self, change):
        if change["owner"] is self._buttons[display.system]:
            self.press(change["new"])

    def _repr_mimebundle_(self, **kwargs):
        return self.view._repr_mimebundle_(**kwargs)
