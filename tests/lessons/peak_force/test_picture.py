"""The peak-force picture: every part has its limits beside it, and the line parts where it does."""

import pytest

from recoverykit.lessons import PeakForcePanel
from recoverykit.units.quantities import Q


@pytest.mark.parametrize("word", ["limit", "breaks"])
def test_labels_of_links_are_in_the_order_of_their_forces(word):
    panel = PeakForcePanel()
    still = [text for text in panel.figure.axes[0].texts if not text.get_animated()]
    labels = [text for text in still if word in text.get_text()]
    labels.sort(key=lambda text: text.get_position()[1])
    forces = [float(text.get_text().split()[-2]) for text in labels]
    assert forces == sorted(forces)
    assert len(forces) == len(panel.result.line.links)


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
