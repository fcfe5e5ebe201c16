"""Panel: a line part by part under a tension, and which part gives first."""

from dataclasses import dataclass

from recoverykit.course.inputs import Choice, Slider, Tick
from recoverykit.course.links import above_in_words, first_links
from recoverykit.course.panel import Panel
from recoverykit.lessons.weakest_link.picture import WeakestLinkPicture
from recoverykit.physics.rigging import (
    ABOVE,
    BREAKING,
    UNKNOWN,
    WITHIN,
    Factor,
    Link,
    LinkLoad,
    RiggingLine,
    bridle,
    demo_line,
    factor,
)
from recoverykit.units.quantities import Q, show

MOST = Q(130, "kN")

# Where the line is fastened to the launch truck: the invented lines of Marram Point.
LINES = {"recovery point": "yard line", "tow ball, unrated": "line over a tow ball"}
ONE_EYE = "one recovery eye"
BRIDLES = {
    f"bridle, legs {degrees}° off the pull": Q(degrees, "degree") for degrees in (15, 30, 45, 60)
}

# How the parts of these lines are drawn.
KINDS = {
    "recovery point of the launch truck": "recovery point",
    "tow ball of the launch truck": "tow ball",
    "bow shackle": "bow shackle",
    "yard rope": "rope",
    "soft shackle": "soft shackle",
    "recovery eye of the stuck vehicle": "eye",
}


@dataclass(frozen=True)
class Part:
    """A link, and how it is drawn; `angle` (rad) is that of the legs of a bridle."""

    link: Link
    kind: str
    angle: float = 0.0


@dataclass(frozen=True)
class WeakestLink:
    """What the panel works out: a line under a tension."""

    tension: Q
    most: Q  # the highest tension of the panel
    parts: tuple[Part, ...]
    line: RiggingLine
    loads: list[LinkLoad]
    guess: dict[str, list[str]]  # what was guessed of a part, by its name


class WeakestLinkPanel(Panel):
    """A slider for the tension, and choices for the line; a picture of the line part by part.

    It starts with the yard line of Marram Point. With a `guess`, the answer stays hidden until it
    is committed.

    >>> panel = WeakestLinkPanel()
    >>> panel.set(tension=Q(28, "kN"))
    >>> print(panel.summary)
    At 28.0 kN: above working limit for soft shackle (105 % of it). First past its limit is the
    soft shackle, at 26.7 kN; first to break is the recovery eye of the stuck vehicle, at 78.0 kN.
    >>> panel.set(tension=Q(10, "kN"), hitch="tow ball, unrated")
    >>> print(panel.summary)
    At 10.0 kN the line is unknown: no working limit is known for tow ball of the launch truck. Of
    the other parts, first past its limit is the soft shackle, at 26.7 kN; first to break is the
    recovery eye of the stuck vehicle, at 78.0 kN.
    """

    picture_type = WeakestLinkPicture
    inputs = (
        Slider("tension", "Tension", Q(20, "kN"), "force", Q(0, "kN"), MOST, (1, 250)).with_help(
            "How hard the line is pulled."
        ),
        Choice("hitch", "Launch truck", next(iter(LINES)), tuple(LINES)).with_help(
            "Where the line is fastened to the launch truck."
        ),
        Choice("stuck_vehicle", "Stuck vehicle", ONE_EYE, (ONE_EYE, *BRIDLES)).with_help(
            "How the line is fastened to the stuck vehicle; a bridle has two equal legs."
        ),
        Tick("knot", "The rope is tied with a bowline").with_help("In place of its own eye."),
        Tick("wet", "The rope is wet").with_help("Wet polyamide is weaker than dry."),
    )

    def __init__(self, guess=None):
        super().__init__(guess)

    def compute(self, tension, hitch, stuck_vehicle, knot, wet):
        """The line as it is rigged, and what the tension is to each of its parts."""
        rope_factors = [factor("bowline")] * knot + [factor("wet")] * wet
        *others, eye = (
            _part(link, rope_factors if KINDS[link.name] == "rope" else [], knot)
            for link in demo_line(LINES[hitch]).links
        )
        ends = (
            (eye,) if stuck_vehicle == ONE_EYE else _bridle_to_two(eye.link, BRIDLES[stuck_vehicle])
        )
        parts = (*others, *ends)
        line = RiggingLine([part.link for part in parts])
        return WeakestLink(
            tension=tension,
            most=MOST,
            parts=parts,
            line=line,
            loads=line.under(tension),
            guess=self._guessed_of(),
        )

    def _guessed_of(self) -> dict[str, list[str]]:
        guessed: dict[str, list[str]] = {}
        for what, name in self._guessed.items():
            guessed.setdefault(name, []).append(what)
        return guessed

    def describe(self, result, system):
        """What the tension is to the line, and which parts give first."""
        return f"{_verdict_in_words(result, system)} {_first_in_words(result, system)}"


def _part(link: Link, factors: list[Factor], knot: bool) -> Part:
    kind = KINDS[link.name]
    drawn = "knotted rope" if knot and kind == "rope" else kind
    return Part(Link(link.name, link.rating, factors), drawn)


def _bridle_to_two(eye: Link, angle) -> tuple[Part, Part]:
    """The legs of a bridle and the two eyes that share the pull, in place of one eye."""
    (legs,) = demo_line("bridle").links
    shared, angle_si = [bridle(angle)], angle.m_as("rad")
    return (
        Part(Link(legs.name, legs.rating, shared), "bridle", angle_si),
        Part(Link(eye.name, eye.rating, shared), "two eyes", angle_si),
    )


def _verdict_in_words(result: WeakestLink, system) -> str:
    at = f"At {show(result.tension, 'force', system)}"
    breaking = [load.link.name for load in result.loads if load.verdict == BREAKING]
    if breaking:
        return f"{at}: {BREAKING} for {', '.join(breaking)}. All that the line holds is let go."
    above = above_in_words(result.loads, "it")
    if above:
        return f"{at}: {ABOVE} for {above}."
    if result.line.unrated:
        names = ", ".join(link.name for link in result.line.unrated)
        return f"{at} the line is {UNKNOWN}: no working limit is known for {names}."
    return f"{at} every part is {WITHIN}."


def _first_in_words(result: WeakestLink, system) -> str:
    limit, strength = first_links(result.line)
    first = "Of the other parts, first" if result.line.unrated else "First"
    return (
        f"{first} past its limit is the {limit.name}, "
        f"at {show(limit.working_load_limit, 'force', system)}; first to break is the "
        f"{strength.name}, at {show(strength.breaking_strength, 'force', system)}."
    )
