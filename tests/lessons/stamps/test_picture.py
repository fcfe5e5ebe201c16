"""The stamps picture: bars are as long as the limits, and nothing is cut off."""

import pytest
from helpers.guessed_panels import guessed
from helpers.paper import cut_off, overlapping
from matplotlib.transforms import Bbox

from recoverykit.lessons import StampsPanel
from recoverykit.lessons.stamps.rigged import RIGGED
from recoverykit.units.quantities import Q, display, show


@pytest.mark.parametrize("text", ["1 234 567 pounds-force", "987.654321098765 short tons-force"])
def test_a_long_stamp_fits_on_its_part(text):
    panel = StampsPanel()
    panel.set(a_stamp=text, b_stamp=text)
    panel.png()
    assert cut_off(panel.figure) == []
    stamps = [words for part in panel._picture._stamps.values() for words in part]
    assert len(stamps) == 6
    assert overlapping(stamps) == []


def test_each_way_of_rigging_has_a_drawing_of_its_own_with_the_stamp_on_it():
    panel, drawings = StampsPanel(), set()
    for rigged in RIGGED:
        panel.set(b_rigged=rigged)
        panel.png()
        paper = panel._picture._paper
        boxes = [patch.get_window_extent() for patch in paper.patches]
        drawings.add(tuple(box.bounds for box in boxes))
        for words in panel._picture._stamps["b"]:
            box = words.get_window_extent()
            assert any(Bbox.union([box, each]).bounds == each.bounds for each in boxes)
    assert len(drawings) == len(RIGGED)


@pytest.mark.parametrize(("system", "unit"), [("metric", "kN"), ("US", "lbf")])
def test_bars_are_as_long_as_the_limits(system, unit):
    display.use(system)
    panel = StampsPanel()
    panel.set(a_factor="7")
    panel.png()
    for (limit, part), (bar, words) in panel._picture._bars.items():
        value = getattr(getattr(panel.result, part).link, limit).m_as(unit)
        assert bar.get_width() == pytest.approx(value)
        assert words.get_text().startswith(show(Q(value, unit), "force"))


def test_unknown_is_drawn_as_unknown():
    panel = StampsPanel()
    panel.set(b_factor="not stated")
    bar, words = panel._picture._bars["working_load_limit", "b"]
    assert words.get_text() == "? unknown"
    assert bar.get_hatch() == ".."
    known, _ = panel._picture._bars["breaking_strength", "b"]
    assert known.get_hatch() == "//"


def test_the_stronger_part_is_marked():
    panel = StampsPanel()
    marked = {
        row for row, (_, words) in panel._picture._bars.items() if "stronger" in words.get_text()
    }
    assert marked == {("working_load_limit", "a"), ("breaking_strength", "a")}


def test_the_guess_is_named():
    panel = guessed(StampsPanel, stronger="b")
    assert panel.result.guess == "b"
    (named,) = [t.get_text() for t in panel._picture._paper.texts if "guess" in t.get_text()]
    assert named.endswith("B")
