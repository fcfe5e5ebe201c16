"""The picture of what holds a vehicle: nothing is cut off, bars end where their numbers say."""

import itertools

import numpy as np
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
    panel.set(dig_out=True, air_down=True, lay_boards=True, unload=True)
    assert panel.figure.axes[0].get_xlim() == before


def test_the_limit_of_the_line_stands_where_it_is():
    panel = HoldingPanel()
    dashed = [line for line in panel.figure.axes[0].lines if line.get_linestyle() == "--"]
    assert dashed[0].get_xdata() == pytest.approx([panel.result.limit.m_as("kN")] * 2)


# --- the vehicle ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("work", "shown"),
    [
        ("dig_out", lambda scene: [scene._heap]),
        ("air_down", lambda scene: scene._tires),
        ("lay_boards", lambda scene: scene._boards),
        ("unload", lambda scene: [scene._unloaded]),
    ],
)
def test_work_is_seen_on_the_vehicle_and_gone_when_it_is_unticked(work, shown):
    panel = HoldingPanel()
    as_found = panel.png()
    assert not any(artist.get_visible() for artist in shown(panel._picture._scene))
    panel.set(**{work: True})
    assert all(artist.get_visible() for artist in shown(panel._picture._scene))
    others = {"dig_out", "air_down", "lay_boards", "unload"} - {work}
    panel.set(**{work: False}, **dict.fromkeys(others, True))
    assert not any(artist.get_visible() for artist in shown(panel._picture._scene))
    panel.reset()
    assert panel.png() == as_found


def test_what_is_unloaded_no_longer_stands_on_the_roof():
    panel = HoldingPanel()
    panel.set(unload=True)
    crates = panel._picture._scene._crates
    assert [crate.get_visible() for crate in crates] == [True, True, False]


def test_the_deeper_it_is_mired_the_deeper_it_is_drawn():
    panel, tops = HoldingPanel(), []
    for mire in ("not mired", "wheels", "fenders", "cab"):
        panel.set(mire=mire)
        scene = panel._picture._scene
        assert scene._mud.get_visible() == (mire != "not mired")
        tops.append(max(artist.get_window_extent().y1 for artist in scene._vehicle.artists))
    assert tops == sorted(set(tops), reverse=True)


@pytest.mark.parametrize("degrees", [-15, 0, 15])
def test_the_vehicle_is_tilted_by_the_slope_and_all_of_it_is_on_the_paper(degrees):
    panel = HoldingPanel()
    panel.set(slope=Q(degrees, "degree"), unload=True, dig_out=True, mire="not mired")
    scene, paper = panel._picture._scene, panel.figure.bbox
    (x, y), (to_x, to_y) = scene._on_slope.transform([(0, 0), (1, 0)])
    assert np.degrees(np.arctan2(to_y - y, to_x - x)) == pytest.approx(degrees)
    for artist in [*scene._vehicle.artists, *scene._crates, *scene._truck.artists]:
        box = artist.get_window_extent()
        assert paper.x0 <= box.x0 < box.x1 <= paper.x1
        assert box.y1 <= paper.y1
