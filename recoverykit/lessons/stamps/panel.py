"""Panel: two stamps on one basis, and which of the two parts is stronger."""

from dataclasses import dataclass

from recoverykit.course.inputs import Choice, Text
from recoverykit.course.panel import Panel
from recoverykit.lessons.stamps.picture import StampsPicture
from recoverykit.lessons.stamps.rigged import RIGGED
from recoverykit.lessons.stamps.stamped_parts import SHACKLE
from recoverykit.lessons.stamps.tasks import TASKS
from recoverykit.physics.rigging import (
    BREAKING_STRENGTH,
    WORKING_LOAD_LIMIT,
    Link,
    Rating,
    demo_line,
)
from recoverykit.units.parsing import read_quantity
from recoverykit.units.quantities import Q, show

NOT_STATED = "not stated"
SAME = "same"
SAME_WITHIN = 0.005  # of a limit: nobody should choose a part for less

# What stands on two shackles of Marram Point, as it is written there.
STAMPS = {"bow shackle": "3 1/4 short tons", "soft shackle": "30,000 lbf"}


@dataclass(frozen=True)
class Stamp:
    """What stands on a part, and the part itself as it is rigged; `kind` is how it is drawn."""

    kind: str
    text: str
    basis: str
    design_factor: str
    link: Link

    @property
    def number(self) -> float:
        """The bare number, whatever its unit."""
        return read_quantity(self.text, "force").quantity.magnitude

    @property
    def lines(self) -> tuple[str, str, str]:
        """All that is known of the part, in lines."""
        meaning = self.basis if self.basis != NOT_STATED else "limit or strength? not stated"
        return self.text, meaning, f"design factor: {self.design_factor}"

    @property
    def missing(self) -> str:
        """What is not stated, in words; nothing if all is."""
        if self.basis == NOT_STATED:
            return f"{self.link.name} doesn't say what its number means"
        return f"{self.link.name} states no design factor" * (self.design_factor == NOT_STATED)


@dataclass(frozen=True)
class Stamps:
    """What the panel works out: two parts, on one basis."""

    a: Stamp
    b: Stamp
    rigged: str  # how B is
    guess: str | None  # the name of the guessed option

    def stronger(self, limit: str) -> str | None:
        """The name of the part with the higher limit, or SAME; None where one is unknown."""
        one, other = (getattr(stamp.link, limit) for stamp in (self.a, self.b))
        if one is None or other is None:
            return None
        if abs((one / other).m_as("") - 1) < SAME_WITHIN:
            return SAME
        return self.a.link.name if one > other else self.b.link.name


class StampsPanel(Panel):
    """Two stamps to write, and how one of the parts is rigged; a picture of both on one basis.

    A starts as the bow shackle and B as the soft shackle of Marram Point. With a `guess`, the
    answer stays hidden until it is committed.

    >>> panel = StampsPanel()
    >>> print(panel.summary)
    A is stronger, even though B has the larger number. Working load limit: A 28.9 kN, B 26.7 kN.
    Breaking strength: A 145 kN, B 133 kN.
    >>> panel.set(a_stamp="9500 lb", b_factor="not stated")
    >>> print(panel.summary)
    There's no way to tell which one is stronger. Working load limit: A 42.3 kN, B unknown. Breaking
    strength: A 211 kN, B 133 kN. B states no design factor.
    """

    picture_type = StampsPicture
    tasks = TASKS
    precomputed = (("a_basis", 3), ("b_basis", 2), ("b_rigged", 7))

    def __init__(self, guess=None):
        ratings = {link.name: link.rating for link in demo_line().links if link.rating}
        self.inputs = (
            *_stamp_inputs("A", STAMPS["bow shackle"], ratings["bow shackle"]),
            *_stamp_inputs("B", STAMPS["soft shackle"], ratings["soft shackle"]),
            Choice("b_rigged", "B is rigged", next(iter(RIGGED)), tuple(RIGGED)).with_help(
                "How B is put to use. As a bridle, two parts like B share the load."
            ),
        )
        super().__init__(guess)

    def compute(self, a_stamp, a_basis, a_factor, b_stamp, b_basis, b_factor, b_rigged):
        """Both parts, with what their stamps make known."""
        kind, factors = RIGGED[b_rigged]
        return Stamps(
            a=_stamp("A", SHACKLE, a_stamp, a_basis, a_factor),
            b=_stamp("B", kind, b_stamp, b_basis, b_factor, factors),
            rigged=b_rigged,
            guess=self._guessed.get("stronger"),
        )

    def describe(self, result, system):
        """Which part is stronger in work, both limits of both parts, and what is not stated."""
        return " ".join(
            [
                _verdict_in_words(result),
                _limit_in_words("Working load limit", "working_load_limit", result, system),
                _limit_in_words("Breaking strength", "breaking_strength", result, system),
                _remark(result),
            ]
        ).strip()


def _stamp_inputs(letter: str, text: str, rating: Rating) -> tuple:
    name = letter.lower()
    return (
        Text(
            f"{name}_stamp", f"{letter} is stamped", text, "force", Q(0.1, "kN"), Q(10_000, "kN")
        ).with_help("The number and the unit on the part, as they stand there."),
        Choice(
            f"{name}_basis",
            f"{letter}: that is its",
            rating.basis,
            (WORKING_LOAD_LIMIT, BREAKING_STRENGTH, NOT_STATED),
        ).with_help(f"What the number on {letter} means."),
        Choice(
            f"{name}_factor",
            f"{letter}: design factor",
            f"{rating.design_factor:g}",
            (NOT_STATED, "2", "3", "4", "5", "7"),
        ).with_help(
            f"Breaking strength of {letter} over its working load limit, as the maker has it."
        ),
    )


def _stamp(letter, kind: str, text: str, basis: str, design_factor: str, factors=()) -> Stamp:
    rating = None
    if basis != NOT_STATED:
        value = read_quantity(text, "force").quantity
        known = None if design_factor == NOT_STATED else float(design_factor)
        rating = Rating(value, basis, known)
    return Stamp(kind, text, basis, design_factor, Link(letter, rating, factors))


def _verdict_in_words(result: Stamps) -> str:
    stronger = result.stronger("working_load_limit")
    if stronger is None:
        return "There's no way to tell which one is stronger."
    if stronger == SAME:
        return "Neither one is stronger."
    one, other = result.a, result.b
    if stronger == other.link.name:
        one, other = other, one
    although = f", even though {other.link.name} has the larger number"
    return f"{stronger} is stronger{although * (other.number > one.number)}."


def _limit_in_words(name: str, limit: str, result: Stamps, system) -> str:
    values = []
    for stamp in (result.a, result.b):
        value = getattr(stamp.link, limit)
        shown = "unknown" if value is None else show(value, "force", system)
        values.append(f"{stamp.link.name} {shown}")
    return f"{name}: {', '.join(values)}."


def _remark(result: Stamps) -> str:
    """What is missing; if nothing is, that the part that is stronger in work breaks first."""
    missing = " and ".join(filter(None, (result.a.missing, result.b.missing)))
    if missing:
        return f"{missing}."
    to_work = result.stronger("working_load_limit")
    to_break = result.stronger("breaking_strength")
    differ = to_work != to_break and SAME not in (to_work, to_break)
    return f"But {to_work} breaks first." if differ else ""
