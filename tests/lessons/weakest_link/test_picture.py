"""The weakest-link picture: bars end at the limits, and all that is written can be read."""

import numpy as np
import pytest
from helpers.paper import cut_off, overlapping

from recoverykit.course.questions import Guess
from recoverykit.lessons import WeakestLinkPanel
from recoverykit.lessons.bank import find_guess
from recoverykit.lessons.weakest_link import picture as picture_of
from recoverykit.lessons.weakest_link.panel import BRIDLES
from recoverykit.physics.rigging import ABOVE, BREAKING, UNKNOWN, WITHIN
from recoverykit.units.quantities import Q, display


def words(panel):
    """All that stands on the paper, also what moves."""
    paper = panel._picture._paper
    return [text for text in paper.texts if text.get_visible() and text.get_text()]


def both_guesses_on(part):
    guess = Guess(find_guess("05.guess"))
    panel = WeakestLinkPanel(guess=guess)
    guess.commit({"limit": part, "break": part})
    return panel


@pytest.mark.parametrize("system", ["metric", "US"])
@pytest.mark.parametrize("part", ["yard rope", "recovery eye of the stuck vehicle"])
def test_all_that_is_written_can_be_read(system, part):
    display.use(system)
    panel = both_guesses_on(part)
    for _ in panel.paired_corners():
        panel.png()
        assert cut_off(panel.figure) == []
        assert overlapping(words(panel)) == []


def test_before_the_guess_the_line_is_drawn_without_its_limits():
    panel = WeakestLinkPanel(guess=Guess(find_guess("05.guess")))
    panel.png()
    shown = " ".join(text.get_text() for text in words(panel))
    assert "soft shackle" in shown
    assert "limit" not in shown
    assert len(panel._picture._axes.patches) == 0


LOOKS = {verdict: looks.get("hatch") for verdict, looks in picture_of.LOOKS.items()}


def bars(panel):
    """From where to where each look goes, in the units of the axis, row by row."""
    rows = {}
    for bar in panel._picture._axes.patches:
        ends = (bar.get_x(), bar.get_x() + bar.get_width())
        (verdict,) = [v for v, hatch in LOOKS.items() if hatch == bar.get_hatch()]
        rows.setdefault(-bar.get_y(), {})[verdict] = ends
    return [rows[height] for height in sorted(rows)]


@pytest.mark.parametrize(("system", "unit"), [("metric", "kN"), ("US", "lbf")])
def test_bars_end_at_the_limits(system, unit):
    display.use(system)
    panel = WeakestLinkPanel()
    panel.set(stuck_vehicle="bridle, legs 30° off the pull", wet=True)
    end = panel._picture._axes.get_xlim()[1]
    for part, row in zip(panel.result.parts, bars(panel), strict=True):
        limit, strength = (
            force.m_as(unit)
            for force in (part.link.working_load_limit, part.link.breaking_strength)
        )
        assert row[WITHIN] == pytest.approx((0, limit))
        assert row[ABOVE] == pytest.approx((limit, strength))
        if strength < end:
            assert row[BREAKING] == pytest.approx((strength, end))


def test_a_part_without_a_rating_is_unknown_all_along():
    panel = WeakestLinkPanel()
    panel.set(hitch="tow ball, unrated")
    assert bars(panel)[0] == {UNKNOWN: (0, panel._picture._axes.get_xlim()[1])}
    assert panel._picture._words[0].get_text() == "? unknown"


def test_the_mark_stands_at_the_tension_and_the_words_follow():
    panel = WeakestLinkPanel()
    for tension, sign in ((20, "○"), (28, "▲"), (125, "✕")):
        panel.set(tension=Q(tension, "kN"))
        panel.png()
        assert np.all(panel._picture._tension.get_xdata() == pytest.approx(tension))
        signs = [text.get_text()[:1] for text in panel._picture._words if text.get_text()]
        assert sign in signs
        assert len(signs) == len(panel.result.parts)


def test_the_first_are_marked():
    panel = WeakestLinkPanel()
    marked = [text.get_text() for text in words(panel) if "1st" in text.get_text()]
    assert marked == ["limit 26.7 kN ◀ 1st", "breaks 78 kN ◀ 1st"]


@pytest.mark.parametrize("stuck_vehicle", BRIDLES)
def test_the_legs_of_a_bridle_are_drawn_at_their_angle(stuck_vehicle):
    panel = WeakestLinkPanel()
    panel.set(stuck_vehicle=stuck_vehicle)
    angle = BRIDLES[stuck_vehicle].m_as("rad")
    slopes = []
    for line in panel._picture._paper.lines:
        x, y = line.get_data()
        if len(x) == 3:
            slopes.append(abs(x[1] - x[0]) / abs(y[1] - y[0]))
    assert slopes
    assert slopes == pytest.approx([np.tan(angle)] * len(slopes))
