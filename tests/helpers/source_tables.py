"""Published values that only tests ask for, as their tables in `data/` have them."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType
from typing import Annotated, ClassVar

from recoverykit.tables.records import Record
from recoverykit.units.quantities import Q


def _given(cell: str) -> Mapping[str, Q]:
    """Read "mass=1500 kg; speed=2 m/s" into quantities by name; any unit of the registry goes."""
    quantities = {}
    for part in cell.split(";"):
        name, _, value = part.partition("=")
        digits, _, unit = value.partition(" ")
        quantities[name.strip()] = Q(float(digits), unit)
    return MappingProxyType(quantities)


@dataclass(frozen=True)
class PublishedRope(Record):
    """A size of polyamide double-braid rope, new and dry, as tabled by its source."""

    file: ClassVar[str] = "ropes.csv"

    diameter: Annotated[Q, "diameter"]
    average_break: Annotated[Q, "force"]
    axial_stiffness: Annotated[Q, "force"]  # AE: the load for each unit of strain

    @property
    def stretch_at_break(self):
        """The strain at which a straight line of slope AE meets the breaking load, F_b / AE."""
        return (self.average_break / self.axial_stiffness).to("percent")


@dataclass(frozen=True)
class Shackle(Record):
    """A size of carbon-steel shackle, its working load limit given in tons of no stated kind."""

    file: ClassVar[str] = "shackles.csv"

    size: Annotated[Q, "diameter"]
    working_load_limit_in_tons: float
    breaking_strength: Annotated[Q | None, "force"]

    @property
    def working_load_limit_readings(self) -> tuple[Q, Q]:
        """The working load limit if the tons are short tons, and if they are tonnes."""
        tons = self.working_load_limit_in_tons
        return Q(tons, "force_ton"), Q(tons, "force_metric_ton")


@dataclass(frozen=True)
class Turnbuckle(Record):
    """A size of forged turnbuckle, each load as printed in both units."""

    file: ClassVar[str] = "turnbuckles.csv"

    size: Annotated[Q, "diameter"]
    breaking_strength: Annotated[Q, "force"]
    working_load_limit: Annotated[Q, "force"]
    metric_breaking_strength: Annotated[Q, "force"]
    metric_working_load_limit: Annotated[Q, "force"]


@dataclass(frozen=True)
class DesignFactor(Record):
    """Breaking strength over working load limit, as a standard asks for a kind of part."""

    file: ClassVar[str] = "design_factors.csv"

    part: str
    design_factor: float


@dataclass(frozen=True)
class CheckValue(Record):
    """A published answer to check the library against, exactly as printed.

    >>> from recoverykit.tables.records import find
    >>> problem = find(CheckValue, key="gere 2.8-11 compression")
    >>> print(problem.given["speed"], problem.printed, problem.unit, problem.mark)
    7.0 mph 11.0 in seen
    >>> problem.agrees(Q(11.04, "in")), problem.agrees(Q(11.06, "in"))
    (True, False)
    """

    file: ClassVar[str] = "check_values.csv"

    key: str
    problem: str
    given: Annotated[Mapping[str, Q], _given]
    answer: str
    printed: str
    unit: str | None

    @property
    def value(self):
        """The printed answer."""
        return Q(float(self.printed), self.unit or "")

    @property
    def rounding(self):
        """Half a unit of the last digit printed."""
        return Q(0.5 * 10.0 ** Decimal(self.printed).as_tuple().exponent, self.unit or "")

    def agrees(self, result) -> bool:
        """Whether a result would be printed as the source printed it."""
        unit = self.value.units
        off = abs(Q(result).m_as(unit) - self.value.m_as(unit))
        return bool(off <= self.rounding.m_as(unit) * (1 + 1e-9))
