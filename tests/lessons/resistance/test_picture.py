"""The picture of what holds a vehicle: nothing is cut off, bars end where their numbers say."""

import itertools

import pytest

from recoverykit.lessons import HoldingPanel
from recoverykit.units.quantities import SYSTEMS, Q, display


def edges(bars):
    """Where the bars of a row begin and end."""
    drawn = [bar for bar in bars.values() if bar.get_width() > 0]
    return [(bar.get_x(), bar.get_x() + bar.get_width()) for bar in drawn]


@pytest.mark.parametrize("system", ["metric", "US"])
@pytest.mark.parametrize("slope", [-10, 0, 10])
def test_bars_begin_where_the_one_before_ends_and_end_at_the_middle_of_the_range(system, slope):
    display.use(system)
    panel = HoldingPanel()
    panel.set(slope=Q(slope, "degree"), dig_out=True)
    unit = SYSTEMS[system].unit("force")
    for row, needed in (
        (panel._picture._found, panel.result.found),
        (panel._picture._worked, panel.result.worked),
    ):
        _, bars, band, _ = row
        ends = edges(bars)
        assert ends[0][0] == pytest.approx(min(0, needed.parts["slope"].m_as(unit)))
        for (_, end), (start, _) in itertools.pairwise(ends):
            assert start == pytest.approx(end)
        assert ends[-1][1] == pytest.approx(needed.band.median.m_as(unit))
        low, high = band.get_xdata()
        assert low == pytest.approx(needed.band.low.m_as(unit))
        assert high == pytest.approx(needed.band.high.m_as(unit))


def test_the_axis_stays_while_work_is_done():
    panel = HoldingPanel()
    before = panel.figure.axes[0].get_xlim()
    panel.set(dig_out=True, let_air_down=True, lay_boards=True, unload=True)
    assert panel.figure.axes[0].get_xlim() == before


def test_the_limit_of_the_line_stands_where_it_is():
    panel = HoldingPanel()
    dashed = [line for line in panel.figure.axes[0].lines if line.get_linestyle() == "--"]
    assert dashed[0].get_xdata() == pytest.approx([panel.result.limit.m_as("kN")] * 2)
