"""The drawings of all lessons, by id."""

from collections.abc import Callable

from recoverykit.course.illustration import Illustration
from recoverykit.lessons.energy.illustrations import three_speeds
from recoverykit.lessons.measured_pulls.illustrations import measured_pull
from recoverykit.lessons.peak_force.illustrations import anchored_pull
from recoverykit.lessons.plan.illustrations import planned_pull
from recoverykit.lessons.recoil.illustrations import tethered_shackle
from recoverykit.lessons.resistance.illustrations import steady_pull
from recoverykit.lessons.rope_spring.illustrations import (
    areas_under_the_curves,
    rope_and_winch_line,
)
from recoverykit.lessons.stamps.illustrations import leg_angle, limit_and_strength, two_stamps
from recoverykit.lessons.two_vehicles.illustrations import two_vehicles
from recoverykit.lessons.weakest_link.illustrations import line_of_five_parts, same_pull_everywhere
from recoverykit.units.quantities import InputError

ILLUSTRATIONS: dict[str, Callable[[], Illustration]] = {
    "01.speeds": three_speeds,
    "02.lines": rope_and_winch_line,
    "02.areas": areas_under_the_curves,
    "03.pull": anchored_pull,
    "04.stamps": two_stamps,
    "04.limit": limit_and_strength,
    "04.angle": leg_angle,
    "05.line": line_of_five_parts,
    "05.pull": same_pull_everywhere,
    "06.pull": steady_pull,
    "07.pull": two_vehicles,
    "08.pull": measured_pull,
    "09.tether": tethered_shackle,
    "10.pull": planned_pull,
}


def illustration(id: str) -> Illustration:
    """The drawing with an id.

    >>> illustration("05.pull").words
    'Three load cells one behind the other in a line. All three show the same pull.'
    """
    if id not in ILLUSTRATIONS:
        raise InputError(f"there is no drawing {id!r}; there are {', '.join(ILLUSTRATIONS)}")
    return ILLUSTRATIONS[id]()
