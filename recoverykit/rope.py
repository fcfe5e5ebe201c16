"""Rope: load against stretch, stiffness, and the energy a stretched rope holds and loses."""

import functools
import itertools
from collections.abc import Callable
from dataclasses import dataclass, field
from numbers import Real
from typing import Annotated, ClassVar

import numpy as np

from recoverykit.tables import DemoRope, Record, find
from recoverykit.units import InputError, Q, border, from_si, not_negative, positive, show, to_si

# J/(kg K), polyamide 6.6 fibre, dry, at room temperature: Morton & Hearle, Physical Properties of
# Textile Fibres, Table 6.1 (seen). Polyamide 6 is 1430 there. NIST's curve for the bulk material
# (trc.nist.gov/cryogenics, seen) gives 1590 at 20 °C, so a rise may be a tenth less than we say.
SPECIFIC_HEAT = 1460.0

# An unloading curve that loses more than half would fall below zero; see `Rope`.
LARGEST_LOSS = 0.5

# What a curve can be asked for.
LOAD, ENERGY, SLOPE = range(3)

_MOST_POINTS = 100
_MOST_STEPS = 200  # of a root search; halving alone needs 60


class RopePartsError(InputError):
    """The rope is asked for more stretch or load than it has: it parts, and its tension is gone."""


# --- load against stretch, as parts of what the rope has at its break -------------------


@dataclass(frozen=True)
class LoadCurve:
    """How a kind of rope takes up load: fractions of the breaking strength against stretch.

    `stretch` is a part of the stretch at break, `load` a part of the breaking strength: plain
    numbers that rise from 0 to 1. Between the points runs a cubic that never turns back
    (monotone), so that each load belongs to one stretch; its integral and inverse are exact.
    Range: 2 to 100 points, both rising strictly from 0 to 1. Raises InputError otherwise.
    Source: Fritsch and Carlson, Monotone Piecewise Cubic Interpolation, SIAM J. Numer. Anal. 17
    (1980), as in scipy's PchipInterpolator.

    >>> curve = LoadCurve(stretch=(0, 0.5, 1), load=(0, 0.25, 1))
    >>> print(f"{curve.load_at(0.75):.3f} {curve.stretch_at(0.25):.3f}")
    0.547 0.500
    >>> print(f"{curve.energy_at(1.0):.3f}, or {LINEAR.energy_at(1.0)} on a straight line")
    0.333, or 0.5 on a straight line
    """

    stretch: tuple[float, ...]
    load: tuple[float, ...]

    def __post_init__(self):
        for name in ("stretch", "load"):
            object.__setattr__(self, name, _rising_fractions(name, getattr(self, name)))
        if len(self.stretch) != len(self.load):
            raise InputError(
                f"LoadCurve: {len(self.stretch)} stretches and {len(self.load)} loads came; "
                f"give one load for each stretch"
            )

    def load_at(self, stretch):
        """The load at a stretch, both as fractions."""
        return self.look_up(stretch, LOAD)[0]

    def energy_at(self, stretch):
        """The work of stretching so far, over breaking strength times stretch at break."""
        return self.look_up(stretch, ENERGY)[0]

    def slope_at(self, stretch):
        """The rise of load with stretch; 1 everywhere if the curve is straight."""
        return self.look_up(stretch, SLOPE)[0]

    def look_up(self, stretch, *what: int) -> list:
        """Any of LOAD, ENERGY and SLOPE at a stretch: one search for all of them."""
        tables = [self.pieces[which] for which in what]
        if len(self.stretch) == 2:
            return [polynomial(table[:, 0], stretch) for table in tables]
        piece = self.knots[1:-1].searchsorted(stretch, side="right")
        beyond = stretch - self.knots.take(piece)
        return [polynomial([row.take(piece) for row in table], beyond) for table in tables]

    def stretch_at(self, load):
        """The stretch at a load, both as fractions: the inverse of `load_at`."""

        def excess(stretch):
            value, slope = self.look_up(stretch, LOAD, SLOPE)
            return value - load, slope

        stretch = rising_root(excess, np.zeros(np.shape(load)), 1.0)
        # The break itself is known, and where the curve ends flat it is hard to find.
        return np.where(np.asarray(load) == 1, 1.0, stretch)[()]

    @functools.cached_property
    def pieces(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Polynomials of load, energy and slope between the points, highest power first.

        One column a piece, in powers of the stretch beyond the piece's first point.
        """
        if len(self.stretch) == 2:
            return np.array([[1.0], [0.0]]), np.array([[0.5], [0.0], [0.0]]), np.array([[1.0]])
        # Loading scipy takes longer than all the rest of the library, and the straight line of
        # the first lessons needs none of it.
        from scipy.interpolate import PchipInterpolator

        load = PchipInterpolator(self.stretch, self.load)
        return load.c, load.antiderivative().c, load.derivative().c

    @functools.cached_property
    def slopes(self) -> tuple[np.ndarray, np.ndarray]:
        """The least and the greatest slope within each piece."""
        widths = np.diff(self.stretch)
        slope = self.pieces[2]
        # A slope is at most a parabola: its extremes are at the ends or where it turns.
        places = [np.zeros_like(widths), widths]
        if len(slope) == 3:
            with np.errstate(divide="ignore", invalid="ignore"):
                turn = -slope[1] / (2 * slope[0])
            places.append(np.where((turn > 0) & (turn < widths), turn, 0.0))
        # A curve that does not turn back falls nowhere; less than zero is a rounding.
        values = [np.maximum(polynomial(slope, place), 0.0) for place in places]
        return np.min(values, axis=0), np.max(values, axis=0)

    @functools.cached_property
    def knots(self) -> np.ndarray:
        """The stretches of the points: where one piece goes over into the next."""
        return np.array(self.stretch)


def polynomial(coefficients, place):
    """A polynomial's value, highest power first."""
    if len(coefficients) == 1:
        return coefficients[0]
    value = coefficients[0] * place
    for coefficient in coefficients[1:-1]:
        value += coefficient
        value *= place
    value += coefficients[-1]
    return value


def _fraction(point) -> float:
    if isinstance(point, Q) and point.check(""):
        return float(point.m_as(""))
    if isinstance(point, Real):
        return float(point)
    raise TypeError(f"{point!r} is not a plain number")


def _rising_fractions(name: str, given) -> tuple[float, ...]:
    try:
        points = tuple(_fraction(point) for point in given)
    except (TypeError, ValueError):
        points = ()
    rises = all(before < after for before, after in itertools.pairwise(points))
    if not (2 <= len(points) <= _MOST_POINTS and rises and points[0] == 0 and points[-1] == 1):
        raise InputError(
            f"LoadCurve: {name}: {given!r:.60} is not 2 to {_MOST_POINTS} numbers that rise from "
            f"0 to 1; write for example {name}=(0, 0.5, 1)"
        )
    return points


def rising_root(excess: Callable, low, high):
    """Where a rising function passes zero, between `low` (not above it) and `high` (not below it).

    `excess` gives value and slope at a place. Newton's steps, or halves of the bracket where a
    step would leave it; for scalars or arrays.

    >>> print(f"{rising_root(lambda x: (x**2 - 2, 2 * x), 0, 2):.6f}")
    1.414214
    """
    low, high = np.broadcast_arrays(np.asarray(low, float), np.asarray(high, float))
    root = high
    for _ in range(_MOST_STEPS):
        value, slope = excess(root)
        low, high = np.where(value < 0, root, low), np.where(value < 0, high, root)
        with np.errstate(divide="ignore", invalid="ignore"):
            step = root - value / slope
        inside = (step >= low) & (step <= high)
        step = np.where(inside, step, (low + high) / 2)
        # Newton's error falls with its own square: a last step of 1e-9 leaves 1e-18.
        settled = np.abs(step - root) <= 1e-9 * step + 1e-16
        root = step
        if np.all(settled):
            break
    return root[()]


LINEAR = LoadCurve(stretch=(0.0, 1.0), load=(0.0, 1.0))


# --- a rope -----------------------------------------------------------------------------


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
    stretch_at_break: Q
    curve: LoadCurve = LINEAR
    loss: Q | float = 0.0
    strength_factor: Q | float = 1.0
    _si: dict = field(init=False, repr=False, compare=False)

    def __post_init__(self):
        arguments = {
            "length": positive("length"),
            "breaking_strength": positive("force"),
            "stretch_at_break": positive("ratio", at_most=1.0),
            "loss": not_negative("ratio", at_most=LARGEST_LOSS),
            "strength_factor": positive("ratio", at_most=1.0),
        }
        if not isinstance(self.curve, LoadCurve):
            raise InputError(
                f"Rope: curve: {self.curve!r:.60} is not a LoadCurve; write for example "
                f"curve=LoadCurve(stretch=(0, 0.5, 1), load=(0, 0.25, 1))"
            )
        given = {name: getattr(self, name) for name in arguments}
        object.__setattr__(self, "_si", to_si("Rope", arguments, given))

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
        """Tension for each metre of stretch, k = F_b / (e_b L); on a curve, the mean to F_b."""
        return from_si(self.si["breaking_strength"] / self.si["full_extension"], "stiffness")

    @border(returns="force", extension=not_negative("length"))
    def tension(self, extension):
        """Tension on loading to an extension x ≥ 0. Raises RopePartsError beyond the break.

        >>> rope = Rope(Q(9, "m"), Q(120, "kN"), Q(30, "%"))
        >>> print(show(rope.tension(Q(1, "m")), "force"))
        44.4 kN
        >>> rope.tension(Q(3, "m"))
        Traceback (most recent call last):
        ...
        recoverykit.rope.RopePartsError: the rope parts: it cannot stretch by 3.00 m, as it
        breaks at 2.70 m, under 120 kN
        """
        stretch = self._stretch(extension)
        return self.si["breaking_strength"] * self.curve.load_at(stretch)

    @border(returns="length", tension=not_negative("force"))
    def extension(self, tension):
        """Extension on loading to a tension ≥ 0: the inverse of `tension`.

        >>> rope = Rope(Q(9, "m"), Q(120, "kN"), Q(30, "%"))
        >>> print(show(rope.extension(Q(44.44, "kN")), "length"))
        1.00 m
        >>> rope.extension(Q(130, "kN"))
        Traceback (most recent call last):
        ...
        recoverykit.rope.RopePartsError: the rope parts: it cannot carry 130 kN, as it breaks
        under 120 kN
        """
        self._refuse_beyond(
            tension, self.si["parting_tension"], "force", "carry {}, as it breaks under {strength}"
        )
        load = np.minimum(tension / self.si["breaking_strength"], self.si["strength_factor"])
        return self.si["full_extension"] * self.curve.stretch_at(load)

    @border(returns="energy", extension=not_negative("length"))
    def stored_energy(self, extension):
        """Work of loading to an extension x ≥ 0, E = ∫ T dx.

        Unloading gives (1 − loss) E of it back; the rest stays in the rope as heat. Raises
        RopePartsError beyond the break.

        >>> rope = Rope(Q(9, "m"), Q(120, "kN"), Q(30, "%"))
        >>> print(show(rope.stored_energy(Q(1, "m")), "energy"))
        22.2 kJ
        """
        return self.si["full_energy"] * self.curve.energy_at(self._stretch(extension))

    @border(returns="force", extension=not_negative("length"), turned_at=not_negative("length"))
    def unloading_tension(self, extension, turned_at):
        """Tension at an extension on the way back from a greater one, `turned_at`.

        Raises InputError if the extension is the greater one, RopePartsError beyond the break.

        >>> rope = Rope(Q(9, "m"), Q(120, "kN"), Q(30, "%"), loss=Q(20, "%"))
        >>> print(show(rope.unloading_tension(Q(1, "m"), turned_at=Q(2, "m")), "force"))
        31.1 kN
        """
        if np.any(extension > turned_at):
            raise InputError(
                "unloading_tension: the extension is greater than the one it turned at; write for "
                'example extension=Q(1, "m"), turned_at=Q(2, "m")'
            )
        stretch, turned = self._stretch(extension), self._stretch(turned_at)
        with np.errstate(invalid="ignore"):
            regained = np.where(
                turned > 0, self.curve.energy_at(stretch) / self.curve.energy_at(turned), 1.0
            )
        given_back = 1 - 2 * self.si["loss"] * (1 - regained)
        return self.si["breaking_strength"] * self.curve.load_at(stretch) * given_back

    @border(returns="energy", extension=not_negative("length"))
    def heat(self, extension):
        """Heat that one pull to an extension x leaves in the rope, loss · E(x).

        >>> rope = Rope(Q(9, "m"), Q(120, "kN"), Q(30, "%"), loss=Q(20, "%"))
        >>> print(show(rope.heat(Q(1, "m")), "energy"))
        4.44 kJ
        """
        return self.si["loss"] * self.stored_energy.si(self, extension)

    @functools.cached_property
    def si(self) -> dict:
        """What the other modules reckon with, in SI: the fields, and the following of them.

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


@border(heat=not_negative("energy"), rope_mass=positive("mass"))
def temperature_rise(heat, rope_mass):
    """How much warmer a polyamide rope gets if all of a heat stays in it, ΔT = heat / (m c).

    With c = 1.46 kJ/(kg K), dry fibre at room temperature (`SPECIFIC_HEAT`). Scalars or arrays
    that broadcast; heat ≥ 0, mass above 0. It is the mean over the rope: at a knot, a splice or a
    bend much of the heat can arise in one place. Raises InputError outside the range.
    Source: Morton & Hearle, Physical Properties of Textile Fibres, Table 6.1 (seen).

    >>> print(f"{temperature_rise(Q(4.4, 'kJ'), Q(5, 'kg')):.2f~P}")
    0.60 Δ°C
    """
    return Q(heat / (rope_mass * SPECIFIC_HEAT), "delta_degC")


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
