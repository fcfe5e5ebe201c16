"""What knots and splices leave of a rope, against the published table, as printed."""

import pytest

from recoverykit import Q, Rope
from recoverykit.physics.rope import StrengthFactor
from recoverykit.tables.records import find

# Day, The Art of Knotting and Splicing; USDA and University of Minnesota, as tabled in Jacobson,
# Knots for the Outdoors (seen): breaking strength in percent of the rope's. Another table (seen)
# gives a bowline with a stopper 80 to 90 %: how a knot is tied, loaded and tested matters.
PRINTED = {
    "bowline": 60,
    "clove hitch": 75,
    "two half hitches": 75,
    "square knot": 45,
    "figure-eight knot": 48,
    "eye splice": 95,
    "short splice": 90,
}


@pytest.mark.parametrize(("knot", "per_cent"), PRINTED.items())
def test_a_knotted_rope_parts_at_the_printed_share(knot, per_cent):
    left = find(StrengthFactor, name=knot)
    assert left.low == left.high
    rope = Rope(Q(9, "m"), Q(100, "kN"), Q(30, "percent"), strength_factor=left.low)
    assert rope.parting_tension.m_as("kN") == pytest.approx(per_cent, abs=0.5)
