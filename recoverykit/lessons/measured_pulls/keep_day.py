"""A button that keeps a day of pulls for the plan: its rope behind a vehicle of one's own gear."""

from pathlib import Path

import ipywidgets

from recoverykit.course.forms import WIDTH, button, dropdown, row
from recoverykit.course.gear import Gear, in_a_sentence
from recoverykit.course.html import LiveText, as_live_text
from recoverykit.measurements.session import CurrentSession
from recoverykit.units.quantities import InputError

CHOOSE = "choose"
KEEP = "Keep for the plan"


class DayKeeper:
    """The rope and the vehicle of a day, out of the learner's own gear, and a button to keep it.

    What is kept plans in lesson 10, and the pulls are added to those of the rope. `sentence` is
    the last reply.
    """

    def __init__(self, book: CurrentSession, folder: Path):
        self._book = book
        self._gear = Gear(folder)
        self.sentence = ""
        self.rope, self.vehicle = (dropdown(each, [CHOOSE]) for each in ("Rope", "Vehicle"))
        self._reply = LiveText(layout={"max_width": WIDTH})
        self.view = ipywidgets.VBox(
            [
                row(
                    self.rope,
                    self.vehicle,
                    button("Look again", "Read your gear anew", self.look),
                    button(KEEP, "Plan with these pulls in lesson 10", self.keep),
                ),
                self._reply,
            ]
        )
        self.look()

    def look(self) -> None:
        """Offer the gear that is on disk now; what was chosen stays, if it is there."""
        try:
            for choice, file in (
                (self.rope, self._gear.ropes),
                (self.vehicle, self._gear.vehicles),
            ):
                chosen, names = choice.value, file.names()
                choice.options = [CHOOSE, *names]
                if chosen in names:
                    choice.value = chosen
        except OSError as fault:
            self._say(in_a_sentence(fault))

    def keep(self) -> None:
        """Keep the day that is open, or say why not."""
        if CHOOSE in (self.rope.value, self.vehicle.value):
            self._say(
                "Choose the rope and the vehicle of these pulls first; write them down under "
                '"My gear" in lesson 10.'
            )
            return
        try:
            self._say(self._gear.keep_day(self.rope.value, self.vehicle.value, self._book.session))
        except (InputError, OSError) as fault:
            self._say(f"Not kept. {in_a_sentence(fault)}")

    def _say(self, sentence: str) -> None:
        self.sentence = sentence
        self._reply.value = as_live_text(sentence)
