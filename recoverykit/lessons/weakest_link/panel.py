"""Panel: a line part by part under a tension, and which part gives first."""

from dataclasses import dataclass

from recoverykit.course.gear_picker import GearPicker
from recoverykit.course.inputs import Choice, Rows, Slider, Tick
from recoverykit.course.panel import Panel
from recoverykit.lessons.weakest_link.picture import MOST_PARTS, WeakestLinkPicture
from recoverykit.lessons.weakest_link.tasks import TASKS
from recoverykit.physics.rigging import (
    ABOVE,
    BREAKING,
    Factor,
    Link,
    LinkLoad,
    RiggingLine,
    bridle,
    demo_line,
    factor,
)
from recoverykit.physics.rigging_text import read_line, rope_link
from recoverykit.units.quantities import InputError, Q, show
from recoverykit.units.text import listed

MOST = Q(130, "kN")

# Where the line is fastened to the launch truck: the invented lines of Marram Point.
LINES = {"recovery point": "yard line", "tow ball, unrated": "line over a tow ball"}
ONE_EYE = "one recovery eye"
BRIDLES = {
    f"bridle, legs {degrees}° off the pull": Q(degrees, "degree") for degrees in (15, 30, 45, 60)
}

MARRAM_POINT, OWN = "launch truck, pulls", "this vehicle pulls"

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
    pulls: str  # the vehicle that does, in words
    parts: tuple[Part, ...]
    line: RiggingLine
    loads: list[LinkLoad]
    guess: dict[str, list[str]]  # what was guessed of a part, by its name

    @property
    def broken(self) -> Link | None:
        """The part at which the line parts on the way up to this tension, if it does."""
        breaking = [load.link for load in self.loads if load.verdict == BREAKING]
        return self.line.first_to_break if breaking else None

    @property
    def of_unknown_strength(self) -> list[Link]:
        """The parts that may break before any other."""
        return [link for link in self.line.links if link.breaking_strength is None]

    @property
    def first(self) -> Link | None:
        """The first part to pass its limit; None beside an unrated part."""
        return None if self.line.unrated else self.line.first_past_working_limit

    @property
    def weakest(self) -> Link | None:
        """The first part to break; None beside one that is unrated or of unknown strength."""
        unknown = self.line.unrated or self.of_unknown_strength
        return None if unknown else self.line.first_to_break


class WeakestLinkPanel(Panel):
    """A slider for the tension, and choices for the line; a picture of the line part by part.

    It starts with the yard line of Marram Point. `own_line` are the rows of a line of the learner's
    own in its place; `hitch` and `stuck_vehicle` are Marram Point's, so to set one of them goes
    back there. With a `guess`, the answer stays hidden until it is committed.

    >>> panel = WeakestLinkPanel()
    >>> panel.set(tension=Q(28, "kN"))
    >>> print(panel.summary)
    Too much: the soft shackle is above its working limit. The line sees 28.0 kN, 105 % of the
    limit of the soft shackle. First past its limit: the soft shackle, at 26.7 kN. First to break:
    the recovery eye, at 78.0 kN.
    >>> panel.set(tension=Q(10, "kN"), hitch="tow ball, unrated")
    >>> print(panel.summary)
    Unknown: the tow ball has no rating, so the line has none. The line sees 10.0 kN. Nobody can
    say which part gives first.
    """

    picture_type = WeakestLinkPicture
    tasks = TASKS
    precomputed = (("tension", 7), ("hitch", 2), ("stuck_vehicle", 3))
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
        Tick("knot", "Rope tied with a bowline").with_help("In place of its own eye."),
        Tick("wet", "Rope wet").with_help("Wet polyamide is weaker than dry."),
        Rows("own_line", "My own line").with_help("A line of your own gear, part by part."),
    )

    def __init__(self, guess=None):
        super().__init__(guess)
        self.gear = GearPicker(self, line={"rows": "own_line"})
        self.under_picture = (self.gear.view,)

    def set(self, **values) -> None:
        """Set inputs by name; what is fastened at Marram Point is no line of one's own."""
        if {"hitch", "stuck_vehicle"} & values.keys():
            values = {"own_line": ""} | values
        super().set(**values)

    def compute(self, tension, hitch, stuck_vehicle, knot, wet, own_line):
        """The line as it is rigged, and what the tension is to each of its parts."""
        rope_factors = [factor("bowline")] * knot + [factor("wet")] * wet
        if own_line:
            parts = _own_parts(own_line, rope_factors)
        else:
            parts = _demo_parts(hitch, stuck_vehicle, rope_factors)
        line = RiggingLine([part.link for part in parts])
        return WeakestLink(
            tension=tension,
            most=MOST,
            pulls=OWN if own_line else MARRAM_POINT,
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
        if result.broken:
            return _parting_in_words(result, system)
        verdict, share = "Every part is within its working limit.", ""
        above, unrated = [x for x in result.loads if x.verdict == ABOVE], result.line.unrated
        if above:
            worst = max(above, key=lambda load: load.over_working_limit)
            name, over = _short(worst.link), show(Q(worst.over_working_limit), "ratio", system)
            are = (
                f"the {name} is above its"
                if len(above) == 1
                else f"{len(above)} parts are above their"
            )
            verdict = f"Too much: {are} working limit."
            share = f", {over} of the limit of the {name}"
        elif unrated:
            have = "has" if len(unrated) == 1 else "have"
            verdict = f"Unknown: {_names(unrated)} {have} no rating, so the line has none."
        sees = f"The line sees {show(result.tension, 'force', system)}{share}."
        return f"{verdict} {sees} {_first_in_words(result, system)}"


def _demo_parts(hitch: str, stuck_vehicle: str, rope_factors: list[Factor]) -> tuple[Part, ...]:
    *others, eye = (
        _rope(link, rope_factors) if KINDS[link.name] == "rope" else Part(link, KINDS[link.name])
        for link in demo_line(LINES[hitch]).links
    )
    if stuck_vehicle == ONE_EYE:
        return *others, eye
    return *others, *_bridle_to_two(eye.link, BRIDLES[stuck_vehicle])


def _own_parts(rows: str, rope_factors: list[Factor]) -> tuple[Part, ...]:
    """The parts of a line that was written down. Raises InputError for more than are drawn."""
    line = read_line(rows).quantity
    if len(line.links) > MOST_PARTS:
        raise InputError(
            f"the picture has room for {MOST_PARTS} parts, and this line has {len(line.links)}; "
            f"lesson 10 plans with it all the same"
        )
    first, *between, last = line.links
    rope = rope_link(line)
    return (
        Part(first, "recovery point"),
        *(
            _rope(link, rope_factors) if link is rope else Part(link, _kind_of(link.name))
            for link in between
        ),
        Part(last, "eye"),
    )


def _kind_of(name: str) -> str:
    """How a part of somebody's own is drawn, by its name."""
    words = name.lower()
    return next((kind for kind in ("soft shackle", "bow shackle") if kind in words), "strap")


def _rope(link: Link, factors: list[Factor]) -> Part:
    rigged = tuple(dict.fromkeys([*link.factors, *factors]))  # wet is wet once
    knot = factor("bowline") in rigged
    return Part(Link(link.name, link.rating, rigged), "knotted rope" if knot else "rope")


def _bridle_to_two(eye: Link, angle) -> tuple[Part, Part]:
    """The legs of a bridle and the two eyes that share the pull, in place of one eye."""
    (legs,) = demo_line("bridle").links
    shared, angle_si = [bridle(angle)], angle.m_as("rad")
    return (
        Part(Link(legs.name, legs.rating, shared), "bridle", angle_si),
        Part(Link(eye.name, eye.rating, shared), "two eyes", angle_si),
    )


def _short(link: Link) -> str:
    """The name of a part without that of its vehicle."""
    return link.name.partition(" of the ")[0]


def _parting_in_words(result: WeakestLink, system) -> str:
    assert result.broken is not None  # else nothing parts
    at = show(result.broken.breaking_strength, "force", system)
    sooner = "".join(f", or sooner at the {_short(link)}" for link in result.of_unknown_strength)
    return (
        f"The line parts at the {_short(result.broken)}{sooner}. Its breaking strength is {at}. "
        "Everything the line held lets go at once."
    )


def _names(links) -> str:
    return listed([f"the {_short(link)}" for link in links])


def _first_in_words(result: WeakestLink, system) -> str:
    if result.first is None:
        return "Nobody can say which part gives first."
    first = (
        f"First past its limit: the {_short(result.first)}, "
        f"at {show(result.first.working_load_limit, 'force', system)}. First to break:"
    )
    if result.weakest is None:
        names = _names(result.of_unknown_strength)
        return f"{first} nobody can say; no breaking strength is known for {names}."
    at = show(result.weakest.breaking_strength, "force", system)
    return f"{first} the {_short(result.weakest)}, at {at}."
