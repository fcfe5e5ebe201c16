"""The weakest-link picture: bars end at the limits, and all that is written can be read."""

import numpy as np
import pytest
from helpers.guessed_panels import guessed, waiting
from helpers.paper import cut_off, overlapping

from recoverykit.lessons import WeakestLinkPanel
from recoverykit.lessons.weakest_link import picture as picture_of
from recoverykit.lessons.weakest_link.panel import BRIDLES
from recoverykit.physics.rigging import ABOVE, BREAKING, UNKNOWN, WITHIN
from recoverykit.units.quantities import Q, display


def words(panel):
    """All that stands on the paper, also what moves."""
    paper = panel._picture._paper
    return [text for text in paper.texts if text.get_visible() and text.get_text()]


def test_all_that_is_written_can_be_read_with_the_guess_beside_the_part_with_the_longest_name():
    display.use("US")
    longest = "recovery eye of the stuck vehicle"
    panel = guessed(WeakestLinkPanel, **dict.fromkeys(["limit", "break"], longest))
    for _ in panel.paired_corners():
        panel.png()
        assert cut_off(panel.figure) == []
        assert overlapping(words(panel)) == []


LONG = "big red strap of the second van, long"
OWN_LINE = f"""\
{LONG} 1: 60 kN, WLL, factor 3, wet, choked
{LONG} 2: 80 kN, WLL, two legs at 45°, wet
blue rope with both of its eyes sewn in: 160 kN, MBS, factor 4, bowline, wet
{LONG} 3: no stamp
{LONG} 4: 90 kN, MBS, choked
{LONG} 5: 80 kN, MBS, factor 2, wet
"""


@pytest.mark.parametrize("narrow", [False, True], ids=["wide", "narrow"])
@pytest.mark.parametrize("tension", [0, 41, 125])
def test_six_parts_of_ones_own_with_long_names_can_be_read(narrow, tension):
    display.use("US")
    panel = WeakestLinkPanel()
    panel.show_narrow(narrow)
    panel.set(own_line=OWN_LINE, tension=Q(tension, "kN"))
    panel.png(narrow)
    assert cut_off(panel.figure) == []
    assert overlapping(words(panel)) == []
    assert {part.link.name for part in panel.result.parts} <= {
        line.partition(":")[0] for line in OWN_LINE.splitlines()
    }


def test_before_the_guess_the_line_is_drawn_without_its_limits():
    panel, *_ = waiting(WeakestLinkPanel)
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
    for tension, signs in ((20, "○○○○○"), (28, "○○○▲○"), (60, "▲▲▲▲▲")):
        panel.set(tension=Q(tension, "kN"))
        panel.png()
        assert np.all(panel._picture._tension.get_xdata() == pytest.approx(tension))
        assert "".join(text.get_text()[:1] for text in panel._picture._words) == signs
        assert not panel._picture._gap.get_visible()


@pytest.mark.parametrize("tension", [78, 130])
def test_where_the_line_parts_it_is_drawn_parted_and_no_other_part_is_judged(tension):
    panel = WeakestLinkPanel()
    panel.set(tension=Q(tension, "kN"))
    picture = panel._picture
    *others, eye, _ = (text.get_text() for text in picture._words)
    assert set(others) == {""}
    assert eye == "✕ the line parts here"
    assert picture._gap.get_visible()
    middle = picture._gap.get_xy()[:, 1].mean()
    assert middle == pytest.approx(picture._words[4].get_position()[1], abs=2)
    # It never sees more than what it broke at.
    assert np.all(picture._tension.get_xdata() == pytest.approx(78))
    assert picture._label.get_text() == "78.0 kN"


def test_beside_an_unrated_part_nothing_is_the_first():
    panel = WeakestLinkPanel()
    panel.set(hitch="tow ball, unrated", tension=Q(60, "kN"))
    assert not [text for text in words(panel) if "1st" in text.get_text()]


def test_the_first_are_marked():
    panel = WeakestLinkPanel()
    marked = [text.get_text() for text in words(panel) if "1st" in text.get_text()]
    assert marked == ["limit 26.7 kN ◀ 1st", "breaks 78 kN ◀ 1st"]


@pytest.mark.parametrize("stuck_vehicle", BRIDLES)
def test_the_legs_of_a_bridle_are_drawn_at_their_angle(stuck_vehicle):
    panel = WeakestLinkPanel()
    panel.set(stuck_vehicle=stuck_vehicle)
    angle = BRIDLES[stuck_vehicle].m_as("rad")
    joints, slopes = set(), []
    for line in panel._picture._paper.lines:
        x, y = line.get_data()
        if len(x) == 2 and x[0] != x[1] and abs(y[0] - y[1]) > 10:
            joints.add((x[0], round(y[0], 6)))
            slopes.append((x[1] - x[0]) / (y[0] - y[1]))
    assert len(joints) == 1
    assert sorted(set(np.round(slopes, 6))) == pytest.approx([-np.tan(angle), np.tan(angle)], 1e-4)
