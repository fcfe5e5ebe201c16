"""The demonstration of lesson 09: how fast a piece flies that lets go, and what that is like."""

from recoverykit.course.demonstration import Demonstration, Screen
from recoverykit.lessons.recoil.panel import LettingGoPanel
from recoverykit.lessons.recoil.picture import LettingGoPicture, between
from recoverykit.physics.recoil import like
from recoverykit.units.quantities import Q, at_least, at_most, brief, display
from recoverykit.units.text import as_sentence

PULLS: dict[str, Q] = {"metric": Q([20, 40, 78], "kN"), "US": Q([4500, 9000, 17500], "lbf")}
TORN_OFF = {"metric": Q(3, "kg"), "US": Q(6.6, "lb")}  # a recovery point
FIRST = 7  # the steps go on from those of lesson 03


class LettingGoDemonstration(Demonstration):
    """Three pulls at which a piece of the line lets go.

    >>> shown = LettingGoDemonstration().screen(0)
    >>> print(f"{shown.number}: {shown.sentence}")
    137 to 360 km/h: The rope holds 4.00 kJ, like a 75 kg person falling 5.5 m. The tether may
    part.
    """

    def __init__(self):
        self._panel = LettingGoPanel()

    def labels(self, system):
        """The pulls, and the piece where it is another one."""
        pulls = [f"{brief(pull, 'force', system)} in the line" for pull in PULLS[system.name]]
        pulls[-1] += ", steel tears off"
        return [f"{number} · {words}" for number, words in enumerate(pulls, FIRST)]

    def screen(self, step):
        """How fast it flies, what the rope held, and what becomes of the tether."""
        panel, system = self._panel, display.system
        panel.reset()
        panel.set(tension=PULLS[system.name][step])
        if step == len(PULLS[system.name]) - 1:
            panel.set(piece=TORN_OFF[system.name])
        let_go = panel.result.let_go
        slow, fast = at_least(let_go.least_speed, "flight"), at_most(let_go.most_speed, "flight")
        held = f"The rope holds {at_most(let_go.energy, 'energy')}, {like(let_go.energy)}."
        sentence = f"{held} {as_sentence(panel.result.catch.verdict)}"
        picture = panel.picture()
        assert isinstance(picture, LettingGoPicture)
        figure, box = picture.scene()
        return Screen(between(slow, fast), sentence, figure, box)
