"""Pictures of measured pulls: all that is written is on the paper, in both systems."""

import re

import pytest
from helpers.paper import cut_off, overlapping, written

from recoverykit.course.guesses import Guess
from recoverykit.lessons import ExtrapolationPanel, MeasuredPullsPanel, MeterPanel
from recoverykit.lessons.bank import find_guess
from recoverykit.units.quantities import display


@pytest.mark.parametrize("kind", [MeasuredPullsPanel, ExtrapolationPanel, MeterPanel])
@pytest.mark.parametrize("system", ["metric", "US"])
def test_nothing_is_cut_off_where_the_mistakes_are_left_out(kind, system):
    display.use(system)
    panel = kind()
    panel.book.leave_out(4, 12)
    for _ in panel.corners():
        panel.png()
        assert not re.search("nan|−", panel.summary)  # no force below zero
        assert cut_off(panel.figure) == []
        for axes in panel.figure.axes:
            if axes.get_legend():
                box, paper = axes.get_legend().get_window_extent(), panel.figure.bbox
                assert paper.x0 <= box.x0 < box.x1 <= paper.x1
                assert box.y1 <= paper.y1


@pytest.mark.parametrize("kind", [MeasuredPullsPanel, ExtrapolationPanel])
@pytest.mark.parametrize("system", ["metric", "US"])
def test_at_the_start_no_words_lie_on_others(kind, system):
    display.use(system)
    panel = kind()
    panel.png()
    assert overlapping(written(panel.figure)) == []


@pytest.mark.parametrize("system", ["metric", "US"])
def test_the_guess_stands_clear_of_the_edge(system):
    display.use(system)
    guess = Guess(find_guess("08.guess"))
    guess.commit({"fast_peak": "31 kN", "rows": "right", "meter": "higher"})
    panel = MeasuredPullsPanel(guess=guess)
    panel.png()
    (axes,) = panel.figure.axes
    guessed, edge = guess.points[-1][0].m_as(display.system.unit("speed")), axes.get_xlim()[1]
    assert 0.9 < guessed / edge < 0.98
