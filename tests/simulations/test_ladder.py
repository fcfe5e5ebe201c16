"""A few cells of the simulation of the ladder, smaller than in the table."""

import pytest
from simulations.ladder import Cell, chance_above

from recoverykit.units.quantities import METRIC, display


@pytest.mark.parametrize(
    "cell",
    [
        Cell("yard rope", "gravel", -10),
        Cell("laid, new", "gravel", -10),
        Cell("double braid, new", "gravel", held="firmly"),
        Cell("yard rope", "gravel", drive=(30, 60)),
    ],
    ids=str,
)
def test_a_pull_of_the_ladder_seldom_passes_the_limit(cell):
    display.use(METRIC.name)
    above, share = chance_above(cell, seed=1, plans=3, count=60)
    assert above <= 0.05
    assert share > 0.2  # the price: the ladder does not end far below what the line bears
