"""Rope: load against stretch, stiffness, and the energy a stretched rope holds."""

from dataclasses import dataclass, field

import numpy as np

from recoverykit.tables import DemoRope, find
from recoverykit.units import InputError, Q, border, from_si, not_negative, positive, show, to_si


class RopePartsError(InputError):
    """The rope is asked for more stretch than it has: it parts, and its tension is gone."""


@dataclass(frozen=True)
class Rope:
    """A rope that stretches in proportion to its load until it parts.

        k = F_b / (e_b L)

    with the breaking strength F_b, the stretch at break e_b (as a fraction of the length) and
    the unloaded length L between its ends. Each is a quantity, or holds an array with one entry
    a rope. Range: L and F_b above 0, 0 < e_b ≤ 1. A real polyamide rope starts softer, grows
    stiffer, and differs new, cycled and wet: a figure from a straight line is a first answer.
    Raises InputError for anything else.
    Source: Hooke's law; UFC 4-159-03 (2005), Table 6-8, tabulates AE, and k = AE / L.

    >>> rope = Rope(length=Q(9, "m"), breaking_strength=Q(120, "kN"), stretch_at_break=Q(30, "%"))
    >>> print(show(rope.stiffness, "stiffness"), show(rope.extension_at_break, "length"))
    44.4 kN/m 2.70 m
    """

    length: Q
    breaking_strength: Q
    stretch_at_break: Q
    _si: dict = field(init=False, repr=False, compare=False)

    def __post_init__(self):
        arguments = {
            "length": positive("length"),
            "breaking_strength": positive("force"),
            "stretch_at_break": positive("ratio", at_most=1.0),
        }
        given = {name: getattr(self, name) for name in arguments}
        object.__setattr__(self, "_si", to_si("Rope", arguments, given))

    @property
    def extension_at_break(self):
        """How much longer the rope is when it parts, e_b L."""
        return from_si(self._extension_at_break, "length")

    @property
    def stiffness(self):
        """Tension for each metre of stretch, k = F_b / (e_b L)."""
        return from_si(self._stiffness, "stiffness")

    @border(returns="force", extension=not_negative("length"))
    def tension(self, extension):
        """Tension at an extension x ≥ 0, T = k x. Raises RopePartsError beyond the break.

        >>> rope = Rope(Q(9, "m"), Q(120, "kN"), Q(30, "%"))
        >>> print(show(rope.tension(Q(1, "m")), "force"))
        44.4 kN
        >>> rope.tension(Q(3, "m"))
        Traceback (most recent call last):
        ...
        recoverykit.rope.RopePartsError: the rope parts: it cannot stretch by 3.00 m, as it
        breaks at 2.70 m, under 120 kN
        """
        self._refuse_beyond_break(extension)
        return self._stiffness * extension

    @border(returns="energy", extension=not_negative("length"))
    def stored_energy(self, extension):
        """Energy held at an extension x ≥ 0, E = k x² / 2. Raises RopePartsError beyond the break.

        >>> rope = Rope(Q(9, "m"), Q(120, "kN"), Q(30, "%"))
        >>> print(show(rope.stored_energy(Q(1, "m")), "energy"))
        22.2 kJ
        """
        self._refuse_beyond_break(extension)
        return self._stiffness * extension**2 / 2

    @property
    def _extension_at_break(self):
        return self._si["stretch_at_break"] * self._si["length"]

    @property
    def _stiffness(self):
        return self._si["breaking_strength"] / self._extension_at_break

    def _refuse_beyond_break(self, extension):
        # One part in 1e9 of grace, so that the extension at break itself is still on the rope.
        beyond = extension > self._extension_at_break * (1 + 1e-9)
        if np.any(beyond):
            which = np.argmax(beyond)
            stretch, limit, strength = (
                show(Q(np.broadcast_to(value, np.shape(beyond)).flat[which], unit), kind)
                for value, unit, kind in (
                    (extension, "m", "length"),
                    (self._extension_at_break, "m", "length"),
                    (self._si["breaking_strength"], "N", "force"),
                )
            )
            raise RopePartsError(
                f"the rope parts: it cannot stretch by {stretch}, as it breaks at {limit}, "
                f"under {strength}"
            )


def demo_rope(name: str = "yard rope") -> Rope:
    """An invented rope of Marram Point, by its name in the table of demo ropes.

    >>> print(show(demo_rope().stiffness, "stiffness"))
    50.0 kN/m
    """
    row = find(DemoRope, name=name)
    return Rope(row.length, row.breaking_strength, row.stretch_at_break)
