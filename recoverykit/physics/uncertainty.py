"""Spread: inputs that are not known exactly, and the band that they make of an answer."""

import functools
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from recoverykit.units.quantities import (
    InputError,
    Q,
    as_floats,
    at_least,
    at_most,
    excerpt,
    show,
)
from recoverykit.units.validation import Argument, to_si

SAMPLES = 10_000
SEED = 1950  # any whole number does; the same one always gives the same band
BAND = (0.025, 0.5, 0.975)  # 95 of 100 cases lie between the outer two


@dataclass(frozen=True)
class Uncertain:
    """A value ± how far off it may be.

    Anything from value − plus_minus to value + plus_minus is as likely as anything else there, and
    nothing outside happens (uniform distribution). Two quantities of one kind, each a single
    number; plus_minus ≥ 0. Raises InputError otherwise.
    Source: JCGM 100:2008 (GUM), 4.3.7 (memory, sure).

    >>> mass = Uncertain(Q(2500, "kg"), Q(100, "kg"))
    >>> print(mass.at(0.0), mass.at(0.5), mass.at(1.0))
    2400.0 kg 2500.0 kg 2600.0 kg
    """

    value: Q
    plus_minus: Q

    def __post_init__(self):
        example = 'write for example value=Q(38, "kN"), plus_minus=Q(2, "kN")'
        faults = [
            f"{name}: {excerpt(given)} is not one number with its unit; {example}"
            for name, given in vars(self).items()
            if not _is_one_quantity(given)
        ]
        if not faults and not self.plus_minus.is_compatible_with(self.value):
            faults.append(
                f"plus_minus: {self.plus_minus} is not of the same kind as {self.value}; {example}"
            )
        if not faults and self.plus_minus.m < 0:
            faults.append(
                f"plus_minus: {self.plus_minus} is below 0; write how far off, with no sign"
            )
        if faults:
            raise InputError("\n  ".join(["Uncertain:", *faults]))

    @classmethod
    def between(cls, low, high) -> "Uncertain":
        """Anything from `low` to `high`, two quantities of one kind with low ≤ high.

        >>> print(Uncertain.between(Q(10, "percent"), Q(30, "percent")).value)
        20.0 %
        """
        both = isinstance(low, Q) and isinstance(high, Q) and low.is_compatible_with(high)
        if not (both and np.all(low <= high)):
            raise InputError(
                f"Uncertain.between: {low} and {high} are not two quantities of one kind, the "
                f"lower one first; write for example "
                f'Uncertain.between(Q(10, "percent"), Q(30, "percent"))'
            )
        return cls((low + high) / 2, (high - low) / 2)

    @property
    def ends(self):
        """The least and the greatest value."""
        return self.at(np.array([0.0, 1.0]))

    def at(self, chance):
        """The value that is not passed with a given chance (0 to 1; a number or an array)."""
        unit = self.value.units
        return Q(self.value.m + (2 * chance - 1) * self.plus_minus.m_as(unit), unit)


def _is_one_quantity(given) -> bool:
    try:
        return isinstance(given, Q) and np.ndim(given.m) == 0 and np.isfinite(as_floats(given.m))
    except InputError:
        return False


def check_fields(record, **arguments: Argument) -> None:
    """Check fields of a dataclass, and both ends of Uncertain ones; one InputError for all faults.

    >>> from types import SimpleNamespace
    >>> from recoverykit.units.validation import positive
    >>> truck = SimpleNamespace(mass=Uncertain(Q(1, "t"), Q(2, "t")))
    >>> check_fields(truck, mass=positive("mass"))
    Traceback (most recent call last):
    ...
    recoverykit.units.quantities.InputError: SimpleNamespace:
      mass: -1.0 t is not above 0; write for example mass=Q(2500, "kg")
    """
    given = {name: getattr(record, name) for name in arguments}
    ends = {
        name: value.ends if isinstance(value, Uncertain) else value for name, value in given.items()
    }
    to_si(type(record).__name__, arguments, ends)


class Band(NamedTuple):
    """Half of the cases lie below the median, and 95 of 100 between low and high.

    An edge is infinite where a part breaks in that many cases: there is no number for it.
    """

    low: Q
    median: Q
    high: Q

    def words(self, kind: str) -> str:
        """The band as read out: the median, and between what 95 of 100 cases lie, rounded outward.

        >>> Band(Q(35, "kN"), Q(38, "kN"), Q(42, "kN")).words("force")
        '38.0 kN (95 of 100 cases between 35.0 kN and 42.0 kN)'
        >>> Band(Q(35, "kN"), Q(38, "kN"), Q(np.inf, "kN")).words("force")
        '38.0 kN or more: the line may part'
        """
        if not np.isfinite(self.median.m):
            return "no number: the line may part"
        if not np.isfinite(self.high.m):
            return f"{show(self.median, kind)} or more: the line may part"
        low, median, high = (
            at_least(self.low, kind),
            show(self.median, kind),
            at_most(self.high, kind),
        )
        return f"{median} (95 of 100 cases between {low} and {high})"


@dataclass(frozen=True, eq=False)
class Spread:
    """An answer worked out for many sampled inputs, and its band.

    `samples` is a quantity whose last axis runs over the samples, infinite where a part breaks:
    such a case is above every limit.
    """

    samples: Q

    @functools.cached_property
    def band(self) -> Band:
        """The median and the 95 % band (2.5 % to 97.5 %) of the answer."""
        with np.errstate(invalid="ignore"):
            edges = np.quantile(self.samples.m, BAND, axis=-1)
        # Between a number and infinity, or two infinities, numpy finds no number.
        edges = np.where(np.isnan(edges), np.inf, edges)
        return Band(*(Q(edge, self.samples.units) for edge in edges))


def propagate(function: Callable, inputs: Mapping) -> Spread:
    """Work an answer out for many sampled inputs at once.

    `function` takes the names in `inputs` as keywords and gives one quantity. An Uncertain input
    arrives as a quantity with SAMPLES entries, the last axis of the answer; anything else arrives
    as it is. Samples are stratified (one in each of SAMPLES equal slices of chance), so the band
    settles far sooner than with plain random ones. One name always draws the same chances: answers
    from two calls may be compared sample by sample. An answer may be infinite, where a part breaks.
    Raises InputError if some sample gives no number, or whatever `function` raises.
    Source: McKay, Beckman and Conover (1979), Latin hypercube sampling (memory, sure).

    >>> from recoverykit.physics.formulas import peak_tension
    >>> spread = propagate(peak_tension, {
    ...     "mass": Uncertain(Q(2500, "kg"), Q(100, "kg")),
    ...     "speed": Uncertain(Q(5, "km/h"), Q(1, "km/h")),
    ...     "stiffness": Q(40, "kN/m"),
    ... })
    >>> print(spread.band.words("force"))
    13.9 kN (95 of 100 cases between 11.2 kN and 16.6 kN)
    """
    values = {
        name: given.at(_chances(name)) if isinstance(given, Uncertain) else given
        for name, given in inputs.items()
    }
    answer = function(**values)
    shape = np.broadcast_shapes(np.shape(answer.m), (SAMPLES,))
    answer = Q(np.broadcast_to(answer.m, shape), answer.units)
    if not np.all(answer.m > -np.inf):
        raise InputError("propagate: some of the sampled inputs give no answer; narrow their range")
    return Spread(answer)


@functools.lru_cache(maxsize=64)
def _chances(name: str) -> np.ndarray:
    """One chance in each of SAMPLES equal slices of 0 to 1, in an order of the name's own."""
    random = np.random.default_rng([SEED, *name.encode()])
    chances = (random.permutation(SAMPLES) + random.random(SAMPLES)) / SAMPLES
    chances.flags.writeable = False
    return chances
