"""Rigging: every rating on one basis, and which link of a line passes its limit first."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from numbers import Real
from typing import ClassVar

import numpy as np

from recoverykit.physics.rope import StrengthFactor
from recoverykit.tables.marram_point import DemoLink
from recoverykit.tables.records import Record, table
from recoverykit.units.quantities import InputError, Q, brief
from recoverykit.units.validation import (
    Argument,
    Check,
    fields_to_si,
    not_negative,
    positive,
    takes_quantities,
)

WORKING_LOAD_LIMIT = "working load limit"
BREAKING_STRENGTH = "minimum breaking strength"

WITHIN = "within working limit"
ABOVE = "above working limit"
BREAKING = "at or above breaking strength"
UNKNOWN = "unknown"

_GRACE = 1e-9  # a load equal to a limit stays equal to it when it is written in another unit


# --- ratings ----------------------------------------------------------------------------


class _Basis(Check):
    example = f'"{WORKING_LOAD_LIMIT}" or "{BREAKING_STRENGTH}"'

    def convert(self, given):
        if given not in (WORKING_LOAD_LIMIT, BREAKING_STRENGTH):
            raise InputError(f"{given!r} is neither")
        return given


class _DesignFactor(Check):
    example = "5, or None where the maker states none"

    def convert(self, given):
        number = isinstance(given, Real) and not isinstance(given, bool)
        if given is not None and not (number and 1 < given <= 20):
            raise InputError(f"{given!r} is not a number above 1, at most 20")
        return given


@dataclass(frozen=True)
class Rating:
    """What is stamped on a part: a force, and what that force means.

        minimum breaking strength = design factor × working load limit

    `basis` is "working load limit" or "minimum breaking strength". Without the maker's design
    factor only the stamped one of the two is known, and the other is None. Range: value above 0,
    1 < design factor ≤ 20 (with 1 a part would work at its breaking strength). Raises InputError
    otherwise, for all faults at once.
    Source: ASME B30.26-2010, 26-1.2 (shackles: at least 5 up to 150 tons, at least 4 above).

    >>> from recoverykit import show
    >>> shackle = Rating(Q(2.5, "force_ton"), "working load limit", design_factor=5)
    >>> print(show(shackle.working_load_limit, "force"), show(shackle.breaking_strength, "force"))
    22.2 kN 111 kN
    """

    value: Q
    basis: str
    design_factor: float | None = None

    def __post_init__(self):
        value = positive("force", single=True)
        fields_to_si(self, value=value, basis=_Basis(), design_factor=_DesignFactor())

    @property
    def working_load_limit(self):
        """The most that may be put on the part in work; None where it cannot be known."""
        if self.basis == WORKING_LOAD_LIMIT:
            return self.value
        return self.value / self.design_factor if self.design_factor else None

    @property
    def breaking_strength(self):
        """The least at which the new part breaks; None where it cannot be known."""
        if self.basis == BREAKING_STRENGTH:
            return self.value
        return self.value * self.design_factor if self.design_factor else None


# --- how a part is rigged ---------------------------------------------------------------


@dataclass(frozen=True)
class RiggingFactor(Record):
    """What a hitch or a sideways pull leaves of a rating, as a standard has it."""

    file: ClassVar[str] = "rigging_factors.csv"

    name: str
    factor: float


@dataclass(frozen=True)
class Factor:
    """What is left of a part's rating by how it is rigged or by the state that it is in.

        limit as rigged = factor × limit as stamped

    It holds for working load limit and breaking strength alike. Range: above 0, at most 2 (two
    legs side by side). Raises InputError otherwise. Several factors of one link are multiplied:
    common practice, no source.

    >>> factor("choked"), Factor("worn, as the examiner says", 0.75)
    (Factor(name='choked', value=0.8), Factor(name='worn, as the examiner says', value=0.75))
    """

    name: str
    value: float

    def __post_init__(self):
        number = isinstance(self.value, Real) and not isinstance(self.value, bool)
        if not (isinstance(self.name, str) and number and 0 < self.value <= 2):
            raise InputError(
                f"Factor: ({self.name!r:.60}, {self.value!r:.60}) is not a name with a number "
                f'above 0, at most 2; write for example Factor("worn", 0.75)'
            )


FACTORS = {row.name: row.factor for row in table(RiggingFactor)}
FACTORS |= {row.name: row.low for row in table(StrengthFactor)}


def factor(name: str) -> Factor:
    """A tabled factor by its name: of a hitch, a sideways pull, a knot or splice, or a state.

    Where a range is tabled it is the low end. Raises InputError for a name that is not tabled.
    Sources: those of data/rigging_factors.csv and data/strength_factors.csv.

    >>> factor("bowline").value, factor("wet").value, factor("weathered").value
    (0.6, 0.85, 0.25)
    """
    if name not in FACTORS:
        there = ", ".join(map(repr, FACTORS))
        raise InputError(f"factor: name: there is no factor {name!r:.60}; there are {there}")
    return Factor(name, FACTORS[name])


# Published sling charts end here, too: 60° from the line of pull is 30° from the horizontal.
_LEG_ANGLE = Argument("angle", at_least=0.0, at_most=math.radians(60))


@takes_quantities(returns="force", tension=not_negative("force"), angle=_LEG_ANGLE)
def leg_tension(tension, angle):
    """Tension in each of two equal legs of a bridle, t = T / (2 cos θ).

    `angle` θ is that between a leg and the line of pull, half of the angle between the legs. Range:
    tension T ≥ 0, 0 ≤ angle θ ≤ 60°, scalars or arrays that broadcast. It holds for legs of equal
    length that pull to both sides alike: of unequal legs one can carry nearly all. Raises
    InputError outside the range. Source: statics; sling angle charts after ASME B30.9 (seen).

    >>> from recoverykit import show
    >>> print(show(leg_tension(Q(30, "kN"), Q(45, "degree")), "force"))
    21.2 kN
    """
    return tension / _legs_in_line(angle)


@takes_quantities(angle=replace(_LEG_ANGLE, single=True))
def bridle(angle) -> Factor:
    """The factor for two equal legs that share a load (see `leg_tension`): 2 cos θ.

    Range: 0 ≤ angle θ ≤ 60°, a single one. Raises InputError outside.

    >>> from recoverykit import show
    >>> strap = Rating(Q(20, "kN"), "working load limit")
    >>> legs = Link("bridle", strap, [bridle(Q(60, "degree"))])
    >>> print(show(legs.working_load_limit, "force"))
    20.0 kN
    """
    return Factor(f"two legs at {brief(Q(angle, 'rad'), 'angle')}", float(_legs_in_line(angle)))


def _legs_in_line(angle):
    return 2 * np.cos(angle)


# --- links ------------------------------------------------------------------------------


@dataclass(frozen=True)
class Link:
    """One part of a line, with its rating; `rating=None` means that it carries no stamp.

    `factors` tell how it is rigged. Its limits are then tensions of the line: those at which the
    part itself, as rigged, is at its limit. Raises InputError for what is no name, rating or
    factor.

    >>> from recoverykit import show
    >>> rope = Rating(Q(120, "kN"), "minimum breaking strength", 4)
    >>> knotted = Link("rope", rope, [factor("bowline"), factor("wet")])
    >>> print(show(knotted.working_load_limit, "force"), show(knotted.breaking_strength, "force"))
    15.3 kN 61.2 kN
    """

    name: str
    rating: Rating | None = None
    factors: Sequence[Factor] = ()

    def __post_init__(self):
        if not (isinstance(self.name, str) and isinstance(self.rating, Rating | None)):
            raise InputError(
                f"Link: ({self.name!r:.60}, {self.rating!r:.60}) is not a name with a rating; "
                f'write for example Link("hitch", Rating(Q(38, "kN"), "{WORKING_LOAD_LIMIT}")), or '
                f'Link("hitch") for a part without a stamp'
            )
        factors = tuple(self.factors) if isinstance(self.factors, Iterable) else (None,)
        if not all(isinstance(each, Factor) for each in factors):
            raise InputError(
                f"Link: factors: {self.factors!r:.60} is not a list of factors; write for example "
                f'factors=[factor("choked"), factor("wet")]'
            )
        object.__setattr__(self, "factors", factors)

    @cached_property
    def working_load_limit(self):
        """The tension at the link's working load limit, or None where it is unknown."""
        return self._as_rigged("working_load_limit")

    @cached_property
    def breaking_strength(self):
        """The tension at the link's minimum breaking strength, or None where it is unknown."""
        return self._as_rigged("breaking_strength")

    def _as_rigged(self, limit: str):
        stamped = getattr(self.rating, limit, None)
        if stamped is None:
            return None
        return stamped * math.prod(each.value for each in self.factors)


# --- lines ------------------------------------------------------------------------------


@dataclass(frozen=True)
class LinkLoad:
    """A link under a tension: its share of each limit (None: unknown) and the verdict in words."""

    link: Link
    over_working_limit: float | None
    over_strength: float | None

    @property
    def verdict(self) -> str:
        """One of WITHIN, ABOVE, BREAKING and UNKNOWN."""
        if self.over_strength is not None and self.over_strength >= 1 - _GRACE:
            return BREAKING
        if self.over_working_limit is None:
            return UNKNOWN
        return ABOVE if self.over_working_limit > 1 + _GRACE else WITHIN


@dataclass(frozen=True)
class RiggingLine:
    """Links one behind the other: each carries the whole tension, or shares it over its legs.

    At least one link. Raises InputError otherwise.

    >>> line = RiggingLine([
    ...     Link("bow shackle", Rating(Q(3.25, "force_ton"), "working load limit", 5)),
    ...     Link("soft shackle", Rating(Q(120, "kN"), "minimum breaking strength", 5)),
    ... ])
    >>> line.first_past_working_limit.name, line.first_to_break.name
    ('soft shackle', 'soft shackle')
    >>> [load.verdict for load in line.under(Q(26, "kN"))]
    ['within working limit', 'above working limit']
    """

    links: Sequence[Link]

    def __post_init__(self):
        links = tuple(self.links) if isinstance(self.links, Iterable) else ()
        if not links or not all(isinstance(link, Link) for link in links):
            raise InputError(
                f"RiggingLine: links: {self.links!r:.60} is not a list of links; write for example "
                f'[Link("hitch"), Link("rope", Rating(Q(120, "kN"), "{BREAKING_STRENGTH}"))]'
            )
        object.__setattr__(self, "links", links)

    @property
    def unrated(self) -> tuple[Link, ...]:
        """The links whose working load limit is unknown; with any, the line's is unknown too."""
        return tuple(link for link in self.links if link.working_load_limit is None)

    @property
    def working_load_limit(self):
        """The working load limit of the whole line, or None as soon as one link is unrated."""
        limits = [link.working_load_limit for link in self.links]
        return None if None in limits else min(limits)

    @cached_property
    def first_past_working_limit(self) -> Link | None:
        """The link with the lowest known working load limit; None where none is known."""
        return self._lowest("working_load_limit")

    @cached_property
    def first_to_break(self) -> Link | None:
        """The link with the lowest known breaking strength; None where none is known."""
        return self._lowest("breaking_strength")

    @takes_quantities(tension=not_negative("force", single=True))
    def under(self, tension) -> list[LinkLoad]:
        """Each link's load over its working limit and over its strength, at a tension.

            u = T / F, with F the link's limit as rigged

        One tension ≥ 0, not an array. A share is None where the limit is unknown. Raises
        InputError otherwise. Source: the definition of the working load limit, ASME B30.26-2010.

        >>> line = RiggingLine([Link("hitch", Rating(Q(40, "kN"), "working load limit", 3))])
        >>> [(load.over_working_limit, load.verdict) for load in line.under(Q(50, "kN"))]
        [(1.25, 'above working limit')]
        """
        return [
            LinkLoad(
                link,
                _share(tension, link.working_load_limit),
                _share(tension, link.breaking_strength),
            )
            for link in self.links
        ]

    def verdict(self, tension) -> str:
        """The worst verdict of any link at a tension ≥ 0; "unknown" is worse than "within".

        Raises InputError as `under` does.

        >>> hitch = Link("hitch", Rating(Q(40, "kN"), "working load limit", 3))
        >>> RiggingLine([hitch, Link("tow ball")]).verdict(Q(5, "kN"))
        'unknown'
        """
        verdicts = {load.verdict for load in self.under(tension)}
        return next(v for v in (BREAKING, ABOVE, UNKNOWN, WITHIN) if v in verdicts)

    def _lowest(self, limit: str) -> Link | None:
        known = [link for link in self.links if getattr(link, limit) is not None]
        return min(known, key=lambda link: getattr(link, limit), default=None)


def demo_line(name: str = "yard line") -> RiggingLine:
    """An invented line of Marram Point, by its name in the table of demo links.

    >>> line = demo_line()
    >>> line.first_past_working_limit.name, line.first_to_break.name
    ('soft shackle', 'recovery eye of the stuck vehicle')
    >>> demo_line("line over a tow ball").verdict(Q(5, "kN"))
    'unknown'
    """
    rows = [row for row in table(DemoLink) if row.line == name]
    if not rows:
        there = ", ".join(dict.fromkeys(repr(row.line) for row in table(DemoLink)))
        raise InputError(f"demo_line: name: there is no line {name!r}; there are {there}")
    return RiggingLine([_demo_link(row) for row in rows])


def _demo_link(row: DemoLink) -> Link:
    if row.rating is None:
        return Link(row.link)
    return Link(row.link, Rating(row.rating, row.basis or "", row.design_factor))


def _share(force: float, limit) -> float | None:
    return None if limit is None else force / limit.m_as("N")
