"""My gear on the page: a form for vehicles, ropes, parts and lines, kept as files."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import ipywidgets

from recoverykit.course.forms import WIDTH, button, paragraph, row
from recoverykit.course.gear import (
    BASES,
    DRIVEN,
    FRONT,
    REAR,
    UNITS,
    Gear,
    OwnLine,
    check_part,
    check_rope,
    check_vehicle,
    in_a_sentence,
    line_of,
    part_names,
)
from recoverykit.course.gear_files import NO_NAME, GearFile, Row
from recoverykit.course.html import LiveText, as_live_text
from recoverykit.units.files import reason
from recoverykit.units.quantities import InputError

NEW = "a new one"
USE = "Plan with this line of mine"
PICK_SEVERAL = "To pick several parts, hold down Ctrl (on a Mac, Cmd) while you click them."
LABELS = {"width": "360px", "max_width": "100%"}

_HINTS = {
    "mass": "like 3100 kg or 6,800 lb, as loaded",
    "front point": "its stamp, like 80 kN, breaking strength, factor 2",
    "rear point": "its stamp, like 4 1/2 short tons, WLL, factor 3",
    "length": "like 9 m or 30 ft",
    "strength": "like 160 kN, breaking strength, factor 4",
    "stretch": "at break, from the maker's sheet, like 30 %",
    "pulls so far": "a whole number",
    "number": "what is stamped, like 4 3/4",
    "factor": "design factor, if the maker gives one",
    "condition": "like wet, choked, bowline; empty if new and straight",
    "last looked at": "a date; empty: it counts as unrated",
}


@dataclass(frozen=True)
class _Kind:
    """One kind of gear: its file, its check, and what may be chosen for some columns."""

    file: GearFile
    check: Callable[[Row], object]
    choices: dict[str, Callable[[], Sequence[str]]]


class GearForm:
    """A kind to choose, a row of it to edit or a new one, a field for each column, and buttons.

    `use` is called with a line of the learner's own gear; it gives back what to say. All can be
    driven in plain Python: `kind`, `which`, `fields`, `save`, `delete`, `plan`; `sentence` is the
    last reply.
    """

    def __init__(self, use: Callable[[OwnLine], str], folder: Path = Path()):
        gear = self.gear = Gear(folder)
        self._use = use
        self.sentence = ""
        self._old: Row | None = None
        self._kinds = {
            "vehicle": _Kind(gear.vehicles, check_vehicle, {"driven wheels": lambda: DRIVEN}),
            "rope": _Kind(gear.ropes, check_rope, {}),
            "part": _Kind(gear.parts, check_part, {"unit": lambda: UNITS, "basis": lambda: BASES}),
            "line": _Kind(
                gear.lines,
                lambda row: line_of(gear, row),
                {
                    "recovery vehicle": gear.vehicles.names,
                    "its point": lambda: (REAR, FRONT),
                    "parts between": gear.parts.names,
                    "rope": gear.ropes.names,
                    "stuck vehicle": gear.vehicles.names,
                    "point on stuck vehicle": lambda: (FRONT, REAR),
                },
            ),
        }
        self.kind = ipywidgets.Dropdown(description="My", options=list(self._kinds), layout=LABELS)
        self.which = ipywidgets.Dropdown(description="Which", options=[NEW], layout=LABELS)
        self.fields: dict[str, ipywidgets.Widget] = {}
        self._place = ipywidgets.VBox()
        self._reply = LiveText(layout={"max_width": WIDTH})
        self._plan = button(USE, "Write this line into the box, and plan with it", self.plan)
        self.view = ipywidgets.VBox(
            [
                row(self.kind, self.which),
                self._place,
                row(
                    button("Save", "Keep this row in your folder", self.save),
                    button("Delete", "Delete this row from your folder", self.delete),
                    self._plan,
                ),
                self._reply,
            ]
        )
        self.kind.observe(lambda _: self._show_kind(), "value")
        self.which.observe(lambda _: self._show_row(), "value")
        self._show_kind()

    def write(self, kind: str, **values) -> None:
        """Fill in a new row and save it; spaces in names of columns are written as `_`."""
        self.kind.value, self.which.value = kind, NEW
        for column, value in values.items():
            self.fields[column.replace("_", " ")].value = value
        self.save()

    def save(self) -> None:
        """Keep what is filled in, or say what is to be written instead."""
        made = self._filled_in()
        self._change(made["name"], lambda: self._save(made))

    def delete(self) -> None:
        """Delete the row that is shown."""
        if self._old is None:
            self._say("Nothing was deleted: choose what to delete first.")
            return
        old = self._old
        self._change("", lambda: self._delete(old))

    def plan(self) -> None:
        """Plan with the line that is filled in."""
        try:
            self._say(self._use(line_of(self.gear, self._filled_in())))
        except (InputError, OSError) as fault:
            self._say(in_a_sentence(fault))

    # --- what is on disk ------------------------------------------------------------------

    @property
    def _now(self) -> _Kind:
        return self._kinds[self.kind.value]

    def _save(self, made: Row) -> str:
        if not made["name"].strip():
            raise InputError(NO_NAME)
        self._now.check(made)
        self._now.file.save(made, self._old)
        return f"Kept in {self._now.file.path.name}: {made['name']}."

    def _delete(self, old: Row) -> str:
        self._now.file.delete(old)
        return f"Deleted from {self._now.file.path.name}: {old['name']}."

    def _change(self, then: str, change: Callable[[], str]) -> None:
        """Change the file, say so, and show what is there now; a fault keeps what is filled in."""
        try:
            sentence = change()
        except (InputError, OSError) as fault:
            self._say(f"Not kept. {in_a_sentence(fault)}")
            return
        notice = self._take_notice()
        self._list_rows()
        self.which.value = then if then in self.which.options else NEW
        self._show_row()
        self._say(notice or sentence)

    def _take_notice(self) -> str:
        file = self._now.file
        notice, file.notice = file.notice, ""
        return notice

    def _rows(self) -> list[Row]:
        try:
            return self._now.file.rows()
        except OSError as fault:
            self._say(f"{self._now.file.path.name} could not be read ({reason(fault)}).")
            return []

    # --- what is on the page --------------------------------------------------------------

    def _list_rows(self) -> None:
        self.which.options = [NEW, *dict.fromkeys(each["name"] for each in self._rows())]

    def _show_kind(self) -> None:
        self._say("")
        choices = self._now.choices
        self.fields = {column: self._field(column) for column in self._now.file.columns}
        note = [ipywidgets.HTML(paragraph(PICK_SEVERAL))] * ("parts between" in choices)
        self._place.children = [*self.fields.values(), *note]
        self._plan.layout.display = None if "parts between" in choices else "none"
        self._list_rows()
        self.which.value = NEW
        self._show_row()
        if notice := self._take_notice():
            self._say(notice)

    def _field(self, column: str) -> ipywidgets.Widget:
        looks = {
            "description": column.capitalize(),
            "style": {"description_width": "160px"},
            "layout": {"width": "560px", "max_width": "100%"},
        }
        if column not in self._now.choices:
            return ipywidgets.Text(placeholder=_HINTS.get(column, ""), **looks)
        options = self._now.choices[column]()
        if column == "parts between":
            return ipywidgets.SelectMultiple(options=options, rows=6, **looks)
        return ipywidgets.Dropdown(options=["", *options], value="", **looks)

    def _show_row(self) -> None:
        """Fill in the chosen row, or empty all for a new one."""
        self._old = next((each for each in self._rows() if each["name"] == self.which.value), None)
        for column, widget in self.fields.items():
            written = self._old[column] if self._old else ""
            several = isinstance(widget, ipywidgets.SelectMultiple)
            wanted = part_names(written) if several else [written]
            if column in self._now.choices:
                # What is no longer there stays chosen: else a line would be planned without it.
                widget.options = list(dict.fromkeys([*widget.options, *wanted]))
            widget.value = tuple(wanted) if several else written

    def _filled_in(self) -> Row:
        return {
            column: "; ".join(widget.value) if isinstance(widget.value, tuple) else widget.value
            for column, widget in self.fields.items()
        }

    def _say(self, sentence: str) -> None:
        self.sentence = sentence
        self._reply.value = as_live_text(sentence)
