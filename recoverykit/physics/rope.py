"""Rope: load against stretch, stiffness, and the energy a stretched rope holds and loses."""

import functools
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Annotated, ClassVar

import numpy as np

from recoverykit.physics.load_curve import LINEAR, LoadCurve
from recoverykit.tables.marram_point import DemoRope
from recoverykit.tables.records import Record, find, table
from recoverykit.units.quantities import InputError, Q, show
from recoverykit.units.validation import (
    fields_to_si,
    from_si,
    not_negative,
    positive,
    takes_quantities,
)

# An unloading curve that loses more than half would fall below zero; see `Rope`.
LARGEST_LOSS = 0.5


class RopePartsError(InputError):
    """The rope is asked for more stretch or load than it has: it parts, and its tension is gone."""


@dataclass(frozen=True)
class Rope:
    """A rope between two ends: it stretches with its load along a curve until it parts.

        T = F_b · load(x / x_b),  x_b = e_b L

    with the breaking strength F_b and stretch at break e_b of the new, dry, unknotted rope (the
    stretch as a fraction of the length), its unloaded length L, and the load curve of its kind.
    The plain curve is a straight line, T = k x with k = F_b / (e_b L).

    `loss` is the part of the work of stretching that the rope does not give back. Loading
    follows the curve; unloading from x_m follows, with the work E of loading up to x,

        T = F_b · load(x / x_b) · (1 − 2 loss (1 − E(x) / E(x_m)))

    which starts at the tension of x_m, ends at zero and gives back (1 − loss) E(x_m). A rope
    that is loaded again before it is slack comes back up the same way. `strength_factor` is what
    use has left of the strength (wet, worn and knotted factors multiplied): the rope then parts
    at strength_factor · F_b, on the same curve.

    Each is a quantity, or holds an array with one entry a rope. Range: L and F_b above 0,
    0 < e_b ≤ 1, 0 ≤ loss ≤ 0.5, 0 < strength_factor ≤ 1. Raises InputError for anything else.
    The rope has no mass, and its curve knows neither speed, nor heat, nor age: a new rope, one
    that has worked and a wet one differ, and their figures are a first answer.
    Source: Hooke's law; UFC 4-159-03 (2005), Table 6-8, tabulates AE, and k = AE / L. That a
    rope loses hardly anything up to its greatest load and much after it: Leuthäusser, The Physics
    of a Climbing Rope (2015), abstract. The shape of the unloading curve is our own.

    >>> rope = Rope(length=Q(9, "m"), breaking_strength=Q(120, "kN"), stretch_at_break=Q(30, "%"))
    >>> print(show(rope.stiffness, "stiffness"), show(rope.extension_at_break, "length"))
    44.4 kN/m 2.70 m
    >>> stiffening = LoadCurve(stretch=(0, 0.5, 1), load=(0, 0.25, 1))
    >>> wet = Rope(Q(9, "m"), Q(120, "kN"), Q(30, "%"), stiffening, strength_factor=0.85)
    >>> print(show(wet.parting_tension, "force"), show(wet.extension_at_break, "length"))
    102 kN 2.49 m
    """

    length: Q
    breaking_strength: Q
    stretch_at_break: Q | float
    curve: LoadCurve = LINEAR
    loss: Q | float = 0.0
    strength_factor: Q | float = 1.0
    _si: dict = field(init=False, repr=False, compare=False)

    def __post_init__(self):
        if not isinstance(self.curve, LoadCurve):
            raise InputError(
                f"Rope: curve: {self.curve!r:.60} is not a LoadCurve; write for example "
                f"curve=LoadCurve(stretch=(0, 0.5, 1), load=(0, 0.25, 1))"
            )
        si = fields_to_si(
            self,
            length=positive("length"),
            breaking_strength=positive("force"),
            stretch_at_break=positive("ratio", at_most=1.0),
            loss=not_negative("ratio", at_most=LARGEST_LOSS),
            strength_factor=positive("ratio", at_most=1.0),
        )
        object.__setattr__(self, "_si", si)

    @property
    def extension_at_break(self):
        """How much longer the rope is when it parts: e_b L, or less with a strength factor."""
        return from_si(self.si["parting_extension"], "length")

    @property
    def parting_tension(self):
        """The tension at which the rope parts: its breaking strength times the strength factor."""
        return from_si(self.si["parting_tension"], "force")

    @property
    def stiffness(self):
        """Tension for each meter of stretch, k = F_b / (e_b L); on a curve, the mean to F_b."""
        return from_si(self.si["breaking_strength"] / self.si["full_extension"], "stiffness")

    @takes_quantities(returns="force", extension=not_negative("length"))
    def tension(self, extension):
        """Tension on loading to an extension x ≥ 0. Raises RopePartsError beyond the break.

        >>> rope = Rope(Q(9, "m"), Q(120, "kN"), Q(30, "%"))
        >>> print(show(rope.tension(Q(1, "m")), "force"))
        44.4 kN
        >>> rope.tension(Q(3, "m"))
        Traceback (most recent call last):
        ...
        recoverykit.physics.rope.RopePartsError: the rope parts: it cannot stretch by 3.00 m, as it
        breaks at 2.70 m, under 120 kN
        """
        stretch = self._stretch(extension)
        return self.si["breaking_strength"] * self.curve.load_at(stretch)

    @takes_quantities(returns="length", tension=not_negative("force"))
    def extension(self, tension):
        """Extension on loading to a tension ≥ 0: the inverse of `tension`.

        >>> rope = Rope(Q(9, "m"), Q(120, "kN"), Q(30, "%"))
        >>> print(show(rope.extension(Q(44.44, "kN")), "length"))
        1.00 m
        >>> rope.extension(Q(130, "kN"))
        Traceback (most recent call last):
        ...
        recoverykit.physics.rope.RopePartsError: the rope parts: it cannot carry 130 kN, as it
        breaks
        under 120 kN
        """
        self._refuse_beyond(
            tension, self.si["parting_tension"], "force", "carry {}, as it breaks under {strength}"
        )
        load = np.minimum(tension / self.si["breaking_strength"], self.si["strength_factor"])
        return self.si["full_extension"] * self.curve.stretch_at(load)

    @takes_quantities(returns="energy", extension=not_negative("length"))
    def stored_energy(self, extension):
        """Work of loading to an extension x ≥ 0, E = ∫ T dx.

        Unloading gives (1 − loss) E of it back; the rest stays in the rope as heat. Raises
        RopePartsError beyond the break.

        >>> rope = Rope(Q(9, "m"), Q(120, "kN"), Q(30, "%"))
        >>> print(show(rope.stored_energy(Q(1, "m")), "energy"))
        22.2 kJ
        """
        return self.si["full_energy"] * self.curve.energy_at(self._stretch(extension))

    @functools.cached_property
    def si(self) -> dict:
        """What the other modules compute with, in SI: the fields, and the following of them.

        Not worked out before it is asked for: of a bent curve that imports scipy, which is slow.
        `full_extension` and `full_energy` are F_b's own, the scales of the curve;
        `parting_stretch` (a fraction), `parting_extension` and `parting_tension` are where this
        rope parts.
        """
        si = dict(self._si)
        si["full_extension"] = si["stretch_at_break"] * si["length"]
        si["full_energy"] = si["breaking_strength"] * si["full_extension"]
        si["parting_stretch"] = self.curve.stretch_at(si["strength_factor"])
        si["parting_extension"] = si["full_extension"] * si["parting_stretch"]
        si["parting_tension"] = si["breaking_strength"] * si["strength_factor"]
        return si

    def _stretch(self, extension):
        """An extension (SI) as a fraction of the stretch at break, none beyond where it parts."""
        self._refuse_beyond(
            extension,
            self.si["parting_extension"],
            "length",
            "stretch by {}, as it breaks at {limit}, under {strength}",
        )
        return np.minimum(extension / self.si["full_extension"], self.si["parting_stretch"])

    def _refuse_beyond(self, value, limit, kind: str, refusal: str):
        # One part in 1e9 of grace, so that the break itself is still on the rope.
        beyond = value > limit * (1 + 1e-9)
        if np.any(beyond):
            value, limit, strength = (
                np.broadcast_to(number, np.shape(beyond)).flat[np.argmax(beyond)]
                for number in (value, limit, self.si["parting_tension"])
            )
            refusal = refusal.format(
                show(from_si(value, kind), kind),
                limit=show(from_si(limit, kind), kind),
                strength=show(from_si(strength, "force"), "force"),
            )
            raise RopePartsError(f"the rope parts: it cannot {refusal}")


# --- ropes from the tables --------------------------------------------------------------


def demo_rope(name: str = "yard rope") -> Rope:
    """An invented rope of Marram Point, by its name in the table of demo ropes.

    >>> print(show(demo_rope().stiffness, "stiffness"))
    50.0 kN/m
    """
    row = find(DemoRope, name=name)
    return Rope(row.length, row.breaking_strength, row.stretch_at_break)


def _points(cell: str) -> tuple[float, ...]:
    return tuple(float(point) for point in cell.split())


@dataclass(frozen=True)
class RopeKind(Record):
    """A kind of polyamide rope: its curve, its stretch at break and its loss.

    >>> kind = find(RopeKind, name="laid, new")
    >>> rope = kind.rope(length=Q(9, "m"), breaking_strength=Q(120, "kN"))
    >>> print(show(rope.extension_at_break, "length"), show(rope.tension(Q(2.25, "m")), "force"))
    4.50 m 24.0 kN
    """

    file: ClassVar[str] = "rope_kinds.csv"

    name: str
    stretch_at_break: Annotated[Q, "ratio"]
    loss: Annotated[Q, "ratio"]
    stretch_points: Annotated[tuple[float, ...], _points]
    load_points: Annotated[tuple[float, ...], _points]

    def rope(self, length, breaking_strength) -> Rope:
        """A rope of this kind, with its own length and breaking strength (see `Rope`)."""
        curve = LoadCurve(self.stretch_points, self.load_points)
        return Rope(length, breaking_strength, self.stretch_at_break, curve, self.loss)


@dataclass(frozen=True)
class StrengthFactor(Record):
    """What a state of a rope leaves of its strength, from low to high (equal if one was printed).

    >>> find(StrengthFactor, name="bowline").low * find(StrengthFactor, name="wet").low
    0.51
    """

    file: ClassVar[str] = "strength_factors.csv"

    name: str
    low: float
    high: float


STRAIGHT = "straight line"


def rope_kinds(name: str) -> dict[str, Callable[[Q, Q], Rope]]:
    """Makers of ropes from length and strength: like a demo rope, and of each tabled kind."""
    straight = demo_rope(name)
    kinds = {STRAIGHT: lambda length, strength: Rope(length, strength, straight.stretch_at_break)}
    bent = (kind for kind in table(RopeKind) if len(kind.load_points) > 2)
    return kinds | {kind.name: kind.rope for kind in bent}
