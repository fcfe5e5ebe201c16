"""From measured pulls to a plan: what a day says of a rope, on the careful side."""

from dataclasses import dataclass

import numpy as np

from recoverykit.measurements.extrapolation import next_step
from recoverykit.measurements.session import Session
from recoverykit.measurements.shapes import ROPE
from recoverykit.physics.plan import USUAL, InputUncertainty
from recoverykit.physics.rope import Rope
from recoverykit.physics.uncertainty import Uncertain
from recoverykit.units.quantities import InputError, Q, brief, show
from recoverykit.units.validation import from_si, positive, takes_quantities

SLOWEST = 0.5  # of the fastest pull: below it the drive has more to say than the rope


@dataclass(frozen=True)
class MeasuredRope:
    """The stiffness that measured pulls stand for, from and to, and how fast they carry.

    `fastest` is one step beyond the fastest pull: there the band of the pulls still counts.
    """

    softest: Q
    stiffest: Q
    fastest: Q
    pulls: int

    def input_uncertainty(self, rope: Rope) -> InputUncertainty:
        """What a plan with a rope takes, in place of what is usual for its stiffness.

        Raises InputError where the measured stiffness is more than 10 times that of the figures,
        or so much less that the rope would break at more than twice its length.
        """
        ratios = [(each / rope.stiffness).to("") for each in (self.softest, self.stiffest)]
        if ratios[1].m > 10 or ratios[0] < rope.stretch_at_break:
            raise InputError(
                f"the measured rope is from {brief(ratios[0], 'ratio')} to "
                f"{brief(ratios[1], 'ratio')} as stiff as its figures say: that is another rope, "
                f"or another mass; check both"
            )
        return InputUncertainty(USUAL.speed_off, Uncertain(*ratios), USUAL.drive, USUAL.let_off)

    def words(self, rope: Rope) -> str:
        """How stiff it is for its figures, and how fast the pulls carry."""
        low, high = (
            brief((k / rope.stiffness).to(""), "ratio") for k in (self.softest, self.stiffest)
        )
        return (
            f"Your {self.pulls} measured pulls make the rope {low} to {high} as stiff as its "
            f"figures say. They carry to {show(self.fastest, 'speed')}: no step is faster."
        )


@takes_quantities(mass=positive("mass"))
def measured_rope(session: Session, mass) -> MeasuredRope:
    """What a day of pulls with a vehicle of mass m says of the rope.

        k = (F / v)² / m

    with F at both edges of the band for the next pull (so its scatter, and the drive that was kept
    up, are in it), of a rope that may stiffen, at speeds v from half the fastest to one step beyond
    it: the softest and the stiffest of these. Range: mass m > 0; a day with enough speeds to
    compare shapes; its pulls left out do not count. Raises InputError otherwise.

    >>> from recoverykit.measurements.session import demo_session
    >>> found = measured_rope(demo_session().without(4, 12), Q(3100, "kg"))
    >>> print(show(found.softest, "stiffness"), show(found.stiffest, "stiffness"))
    33.3 kN/m 77.9 kN/m
    """
    comparison = session.comparison
    if comparison.value is None:
        raise InputError(f"these pulls say too little about the rope: {comparison.reason}")
    fit = comparison.value.of(ROPE).fit
    step = next_step(comparison.value)
    speeds = Q(np.linspace(SLOWEST * fit.highest, step.speed.m_as("m/s"), 41), "m/s")
    band = fit.band(speeds)
    softest, stiffest = (
        (edge.m_as("N") / speeds.m_as("m/s")) ** 2 / mass
        for edge in (band.prediction_low, band.prediction_high)
    )
    if band.prediction_low.m_as("N").min() <= 0:
        raise InputError(
            "these pulls scatter too much to say how soft the rope is; measure each speed again"
        )
    return MeasuredRope(
        from_si(float(softest.min()), "stiffness"),
        from_si(float(stiffest.max()), "stiffness"),
        step.speed,
        len(session.kept),
    )
