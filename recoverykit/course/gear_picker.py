"""Values of a panel out of the learner's own gear, in place of those of Marram Point."""

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import ipywidgets

from recoverykit.course.forms import WIDTH, dropdown, row
from recoverykit.course.gear import Gear, in_a_sentence, line_of, mass_of, named, rope_figures
from recoverykit.course.html import LiveText, as_live_text
from recoverykit.course.panel import Panel
from recoverykit.physics.rigging_text import read_line
from recoverykit.units.quantities import METRIC, InputError, at_least
from recoverykit.units.text import as_sentence, listed

DEMO = "Marram Point"
Values = Mapping[str, Any]


class GearPicker:
    """A list for each kind of gear that a panel takes values from: Marram Point, or what is mine.

    `takes` gives, for a kind of gear ("vehicle", "rope" or "line"), the names of the panel's
    inputs by what is known of it. Hidden where the learner keeps no such gear.
    """

    def __init__(self, panel: Panel, folder: Path = Path(), **takes: Mapping[str, str]):
        self._panel = panel
        self._gear = Gear(folder)
        self._takes = takes
        self._taken: dict[str, Values] = {}  # by kind of gear, what the panel was set to
        self._shown = dict.fromkeys(takes, DEMO)  # by kind of gear, the name of that
        self.sentence = ""
        self._reply = LiveText(layout={"max_width": WIDTH})
        self.choices: dict[str, ipywidgets.Dropdown] = {}
        for kind in takes:
            choice = dropdown(kind.capitalize(), [DEMO, *self._names(kind)])
            choice.observe(lambda change, kind=kind: self._pick(kind, change["new"]), "value")
            choice.layout.display = None if len(choice.options) > 1 else "none"
            self.choices[kind] = choice
        self.view = ipywidgets.VBox([row(*self.choices.values()), self._reply])
        panel.changed.connect(self._follow)

    def _names(self, kind: str) -> list[str]:
        gear = self._gear
        files = {"vehicle": gear.vehicles, "rope": gear.ropes, "line": gear.lines}
        try:
            return files[kind].names()
        except OSError:
            return []

    def _pick(self, kind: str, name: str) -> None:
        """Set the panel to what is known of a piece of gear, or say why not."""
        if name == self._shown[kind]:  # the list was put back there
            return
        takes = self._takes[kind]
        said = ""
        try:
            if name == DEMO:
                self._panel.reset(*takes.values())
            else:
                known, said = _KNOWN[kind](self._gear, name)
                taken = {takes[what]: value for what, value in known.items() if what in takes}
                self._panel.set(**taken)
                self._taken[kind] = taken
            self._shown[kind] = name
        except (InputError, OSError) as fault:
            said = f"Not taken. {in_a_sentence(fault)}"
            self.choices[kind].value = self._shown[kind]
        self.sentence = said
        self._reply.value = as_live_text(said) if said else ""

    def _follow(self) -> None:
        """Say Marram Point where the panel has gone back there by itself."""
        for kind, taken in self._taken.items():
            now = {name: self._panel.values[name] for name in taken}
            if now != taken and now == self._panel.starting(*taken):
                self.choices[kind].value = DEMO


def _of_vehicle(gear: Gear, name: str) -> tuple[Values, str]:
    return {"mass": mass_of(named(gear.vehicles.rows(), name, "vehicle"))}, ""


def _of_rope(gear: Gear, name: str) -> tuple[Values, str]:
    return rope_figures(named(gear.ropes.rows(), name, "rope")), ""


def _of_line(gear: Gear, name: str) -> tuple[Values, str]:
    """The rows of a line, and its lowest working load limit; none where a part is unrated."""
    own = line_of(gear, named(gear.lines.rows(), name, "line"))
    line = read_line(own.text).quantity
    if line.unrated or line.working_load_limit is None:
        names = ", ".join(link.name for link in line.unrated)
        why = f" {as_sentence(listed(own.unrated))}" if own.unrated else ""
        said = f"Unknown: no working load limit is known for {names}.{why}"
        return {"rows": own.text, "limit": ""}, said
    return {"rows": own.text, "limit": at_least(line.working_load_limit, "force", METRIC)}, ""


_KNOWN: Mapping[str, Callable[[Gear, str], tuple[Values, str]]] = {
    "vehicle": _of_vehicle,
    "rope": _of_rope,
    "line": _of_line,
}
