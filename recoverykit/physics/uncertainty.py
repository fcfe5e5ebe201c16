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

SAMPLES = 10_000
SEED = 1950  # any whole number does; the same one always gives the same band
BAND = (0.025, 0.5, 0.975)  # 95 of 100 cases lie between the outer two


@dataclass(frozen=True)
class Uncertain:
    """A value that is only known to lie between two ends.

    Anything from `low` to `high` is as likely as anything else there, and nothing outside happens
    (uniform distribution). Two quantities of one kind, each a single number, low ≤ high. Raises
    InputError otherwise. Source: JCGM 100:2008 (GUM), 4.3.7 (memory, sure).

    >>> mass = Uncertain(Q(2400, "kg"), Q(2600, "kg"))
    >>> print(mass.at(0.0), mass.at(0.5), mass.at(1.0))
    2400.0 kg 2500.0 kg 2600.0 kg
    """

    low: Q
    high: Q

    def __post_init__(self):
        low, high = self.low, self.high
        single = _is_one_quantity(low) and _is_one_quantity(high)
        if not (single and low.is_compatible_with(high) and low <= high):
            raise InputError(
                f"Uncertain: {excerpt(low)} and {excerpt(high)} are not two quantities of one "
                f"kind, the lower one first; write for example "
                f'Uncertain(Q(10, "percent"), Q(30, "percent"))'
            )

    @property
    def ends(self):
        """The least and the greatest value."""
        return self.at(np.array([0.0, 1.0]))

    def at(self, chance):
        """The value that is not passed with a given chance (0 to 1; a number or an array)."""
        low, unit = self.low.m, self.low.units
        return Q(low + chance * (self.high.m_as(unit) - low), unit)


def _is_one_quantity(given) -> bool:
    try:
        return isinstance(given, Q) and np.ndim(given.m) == 0 and np.isfinite(as_floats(given.m))
    except InputError:
        return False


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
    ...     "mass": Uncertain(Q(2400, "kg"), Q(2600, "kg")),
    ...     "speed": Uncertain(Q(4, "km/h"), Q(6, "km/h")),
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
