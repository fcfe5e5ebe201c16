"""Every panel, and what is typed into the guess that it waits for."""

from recoverykit import lessons
from recoverykit.course.guesses import Guess
from recoverykit.course.panel import Panel
from recoverykit.lessons.bank import find_guess

PANELS = [
    each for each in vars(lessons).values() if isinstance(each, type) and issubclass(each, Panel)
]
MEASURED = "08.guess", {"fast_peak": "31 kN", "rows": "right", "meter": "higher"}
TWO_VEHICLES = "07.guess", {"peak": "26 kN", "travel": "0.5 m"}
# What is typed into the guess that each panel waits for; a panel that is not here waits for none.
GUESSES = {
    lessons.EnergyPanel: ("01.guess", {"twice_energy": "3.8 kJ", "four_times_energy": "7.6 kJ"}),
    lessons.StretchPanel: ("02.guess", {"winch_line": "14 kN", "stronger_rope": "2250 lbf"}),
    lessons.PeakForcePanel: ("03.guess", {"middle_peak": "28 kN", "fast_peak": "60 kN"}),
    lessons.StampsPanel: ("04.guess", {"stronger": "unknown"}),
    lessons.WeakestLinkPanel: ("05.guess", {"limit": "yard rope", "break": "yard rope"}),
    lessons.HoldingPanel: ("06.guess", {"pull": "8 kN", "first": "speed"}),
    lessons.MoreSpeedPanel: TWO_VEHICLES,
    lessons.PullInTimePanel: TWO_VEHICLES,
    lessons.MeasuredPullsPanel: MEASURED,
    lessons.ExtrapolationPanel: MEASURED,
    lessons.MeterPanel: MEASURED,
    lessons.LettingGoPanel: ("09.guess", {"speed": "60 km/h", "tether": "holds"}),
    lessons.PlanPanel: ("10.guess", {"first": "big", "fastest": "20 km/h"}),
}


def waiting(kind):
    """A panel that waits for its guess, the guess, and what to type."""
    template, typed = GUESSES[kind]
    guess = Guess(find_guess(template))
    return kind(guess=guess), guess, typed


def guessed(kind, **typed):
    """A panel with its guess made, if it waits for one: as typed, by field, or as above."""
    if kind not in GUESSES:
        return kind()
    panel, guess, usual = waiting(kind)
    guess.commit(typed or usual)
    return panel
