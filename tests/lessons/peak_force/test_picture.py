"""The peak-force picture: nothing that is written in it is cut off, and labels are apart."""

import itertools

import pytest

from recoverykit.lessons import PeakForcePanel
from recoverykit.units.quantities import Q, display


def written(panel):
    panel.png()
    texts = panel.figure.axes[0].texts
    return [text for text in texts if text.get_visible() and text.get_text()]


@pytest.mark.parametrize("system", ["metric", "US"])
@pytest.mark.parametrize("strength", [20, 165, 400])
@pytest.mark.parametrize("speed", [0, 8, 25])
def test_all_text_is_inside_and_labels_of_links_are_apart(system, strength, speed):
    display.use(system)
    panel = PeakForcePanel()
    panel.set(strength=Q(strength, "kN"), speed=Q(speed, "km/h"))
    paper, axes = panel.figure.bbox, panel.figure.axes[0].get_window_extent()
    boxes = [text.get_window_extent() for text in written(panel)]
    for box in boxes:
        assert paper.x0 <= box.x0 < box.x1 <= paper.x1
        assert paper.y0 <= box.y0 < box.y1 <= paper.y1
    labels = [box for box in boxes if box.x0 > axes.x1]
    assert len(labels) == 2 * len(panel.result.line.links)
    assert not any(one.overlaps(other) for one, other in itertools.combinations(labels, 2))


def test_labels_of_links_are_in_the_order_of_their_forces():
    panel = PeakForcePanel()
    labels = [text for text in written(panel) if "breaks" in text.get_text()]
    labels.sort(key=lambda text: text.get_position()[1])
    forces = [float(text.get_text().split()[-2]) for text in labels]
    assert forces == sorted(forces)


def test_where_a_part_breaks_the_line_is_drawn_parted_and_the_dot_pulls_nothing():
    panel = PeakForcePanel()
    panel.set(speed=Q(22, "km/h"))
    assert [text.get_text() for text in panel._picture._line.texts] == []
    panel.set(speed=Q(25, "km/h"))
    picture = panel._picture
    assert [text.get_text() for text in picture._line.texts] == [
        "recovery eye of the stuck vehicle parted"
    ]
    assert picture._here.get_data() == ([25], [0])
    assert picture._here.get_visible()
    assert not picture._here.get_clip_on(), "a dot at the end of the axis is whole"
    assert picture._here_label.get_text() == "parted"
    assert not picture._limit_label.get_visible()
