"""The panel frame: named inputs, a result, a sentence, a picture, and sliders that drive them.

A panel can be built and driven in plain Python, without a kernel or a browser. It keeps its
values as quantities; sliders only show them, in the display system in force.
"""

import base64
import html
import itertools
import math
import re
from dataclasses import dataclass

import ipywidgets

from recoverykit.figures.picture import WIDTH, Picture
from recoverykit.units import (
    KINDS,
    SYSTEMS,
    Argument,
    DisplaySystem,
    InputError,
    Q,
    display,
    to_si,
)

CONTROLS_WIDTH = 400  # CSS pixels: beside the picture on a laptop, above it on a narrow page


@dataclass(frozen=True)
class Input:
    """One thing that the learner sets: its limits, where it starts, and what it means.

    `steps` are those of the slider in metric and in US units; `help` is one plain sentence.
    """

    name: str
    label: str
    kind: str
    low: Q
    high: Q
    start: Q
    steps: tuple[float, float]
    help: str

    @property
    def argument(self) -> Argument:
        """The limits, as the border of the library checks them."""
        si = KINDS[self.kind].si
        return Argument(self.kind, at_least=self.low.m_as(si), at_most=self.high.m_as(si))

    def slider_range(self, system: DisplaySystem) -> tuple[float, float, float]:
        """First and last whole step inside the limits, and the step."""
        step = self.steps[list(SYSTEMS.values()).index(system)]
        low, high = (limit.m_as(system.unit(self.kind)) / step for limit in (self.low, self.high))
        # 1e-9: 0.3 / 0.1 is 2.9999999999999996, and that is the third step.
        return math.ceil(low - 1e-9) * step, math.floor(high + 1e-9) * step, step


class Panel:
    """What every panel has: `inputs`, `set()`, `values`, `result`, `summary`, `figure`, `view`.

    A panel of its own gives `inputs`, `picture_type`, `reckon` (values in, result record out) and
    `describe` (result in, one to three plain sentences out). It never fails at its limits: where
    there is no number, `describe` says why.
    """

    inputs: tuple[Input, ...] = ()
    picture_type: type[Picture]

    def __init__(self):
        self.values = {each.name: each.start for each in self.inputs}
        self._picture = self.picture_type()
        self._view = None
        self._refresh()
        display.watch(self)

    def reckon(self, **values):
        """The result record for these values (quantities by name)."""
        raise NotImplementedError

    def describe(self, result, system: DisplaySystem) -> str:
        """One to three plain sentences on a result."""
        raise NotImplementedError

    def set(self, **values) -> None:
        """Set inputs by name, as quantities; all faults are named and then nothing is changed."""
        known = {each.name: each.argument for each in self.inputs}
        if unknown := [name for name in values if name not in known]:
            raise InputError(
                f"{type(self).__name__}: there is no input {', '.join(map(repr, unknown))}; "
                f"there are {', '.join(known)}"
            )
        floats = to_si(type(self).__name__, {name: known[name] for name in values}, values)
        if several := [name for name, value in floats.items() if not isinstance(value, float)]:
            raise InputError(f"{type(self).__name__}: {', '.join(several)}: write one value each")
        self.values |= values
        self._refresh()

    def reset(self) -> None:
        """Go back to the values that the panel started with."""
        self.set(**{each.name: each.start for each in self.inputs})

    def corners(self):
        """Set every combination of lowest and highest inputs in turn; yield the result of each."""
        before = dict(self.values)
        for corner in itertools.product(*((each.low, each.high) for each in self.inputs)):
            self.set(**dict(zip(self.values, corner, strict=True)))
            yield self.result
        self.set(**before)

    @property
    def figure(self):
        """The kept matplotlib figure."""
        return self._picture.figure

    def png(self) -> bytes:
        """The picture as it is now, as a PNG file."""
        return self._picture.png()

    @property
    def view(self) -> ipywidgets.Widget:
        """The panel's widgets: sliders, picture and sentence. Made once, when first asked for."""
        if self._view is None:
            self._view = _View(self)
            self._show()
        return self._view.box

    def show_in(self, system: DisplaySystem) -> None:
        """Follow a switch of the display system."""
        if self._view is not None:
            self._view.fit_sliders(system)
        self._refresh()

    def _refresh(self, *_):
        self.result = self.reckon(**self.values)
        self.summary = self.describe(self.result, display.system)
        self._picture.update(self.result, display.system)
        if self._view is not None:
            self._show()

    def _show(self):
        self._view.show(self.png(), self.summary)

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
        self._sliders = {each.name: self._slider(each) for each in panel.inputs}
        self._sentence = ipywidgets.HTML(layout={"margin": "12px 8px"})
        self._image = ipywidgets.Image(
            format="png", layout={"width": f"{WIDTH}px", "max_width": "100%", "height": "auto"}
        )
        again = ipywidgets.Button(
            description="Starting values", tooltip="Put all sliders back where they started"
        )
        again.on_click(lambda _: panel.reset())
        controls = ipywidgets.VBox(
            [units_switch(), *self._sliders.values(), again, self._sentence],
            layout={"flex": f"1 1 {CONTROLS_WIDTH}px", "min_width": "0"},
        )
        shown = ipywidgets.VBox([self._image], layout={"flex": f"0 1 {WIDTH}px"})
        self.box = ipywidgets.HBox([controls, shown], layout={"flex_flow": "row wrap"})
        self.fit_sliders(display.system)

    def _slider(self, each: Input) -> ipywidgets.FloatSlider:
        slider = ipywidgets.FloatSlider(
            tooltip=each.help,
            style={"description_width": "150px"},
            layout={"width": "auto"},
        )
        slider.observe(lambda change: self._moved(each, change["new"]), "value")
        return slider

    def _moved(self, each: Input, value: float):
        if not self._placing:
            quantity = Q(value, display.system.unit(each.kind))
            self._panel.set(**{each.name: min(max(quantity, each.low), each.high)})

    def fit_sliders(self, system: DisplaySystem):
        """Give the sliders the range, step and unit of a display system."""
        self._placing = True
        for each in self._panel.inputs:
            slider = self._sliders[each.name]
            low, high, step = each.slider_range(system)
            with slider.hold_trait_notifications():  # or a low above the old high is refused
                slider.min, slider.max, slider.step = low, high, step
            slider.description = f"{each.label} [{system.symbol(each.kind)}]"
            slider.readout_format = ".0f" if step >= 1 else ".1f"
        self._placing = False

    def show(self, png: bytes, summary: str):
        """Show a new picture and sentence, and put the sliders where the values are."""
        self._placing = True
        for each in self._panel.inputs:
            value = self._panel.values[each.name].m_as(display.system.unit(each.kind))
            self._sliders[each.name].value = value
        self._placing = False
        self._image.value = png
        self._sentence.value = as_live_text(summary)


def as_live_text(text: str) -> str:
    """HTML that screen readers read out when it changes; numbers stay with their units."""
    kept_together = re.sub(r"(?<=[0-9]) (?=\S)", "\N{NO-BREAK SPACE}", html.escape(text))
    return (
        '<div role="status" aria-live="polite" style="font-size: 16px; line-height: 1.45">'
        f"{kept_together}</div>"
    )


def units_switch() -> ipywidgets.ToggleButtons:
    """Buttons that switch all that is shown in a lesson between metric and US units."""
    return _UnitsSwitch(
        options=[("km/h, kN, kg", "metric"), ("mph, lbf, lb", "US")],
        value=display.system.name,
        description="Units",
        style={"button_width": "120px", "description_width": "150px"},
        layout={"width": "auto"},
    )


class _UnitsSwitch(ipywidgets.ToggleButtons):
    def __init__(self, **looks):
        super().__init__(**looks)
        self.observe(lambda change: display.use(change["new"]), "value")
        display.watch(self)

    def show_in(self, system: DisplaySystem):
        """Follow a switch that was made elsewhere."""
        self.value = system.name
