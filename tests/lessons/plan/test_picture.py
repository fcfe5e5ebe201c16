"""The picture of the plan: nothing cut off, bands where the plan has them, labels apart."""

import numpy as np
import pytest
from helpers.guessed_panels import guessed
from helpers.paper import cut_off, written

from recoverykit.lessons import PlanPanel
from recoverykit.physics.plan import STOP_RULES
from recoverykit.physics.rigging_text import read_line
from recoverykit.units.quantities import Q

LONG = "the recovery point with a name of 40 let"


def bands_of(artists):
    """Places, low ends and high ends of bands, from the line that draws them."""
    places, forces = artists[0].get_data()
    return places[::3], forces[::3], forces[1::3]


def test_a_part_with_the_longest_name_has_room():
    panel = PlanPanel()
    panel.use_line(read_line(f"rope: 120 kN, MBS, 4:1\n{LONG}: 20 kN, WLL, 5:1").quantity)
    panel.png()
    assert LONG[:20] in "".join(text.get_text() for text in panel.figure.axes[0].texts)
    assert cut_off(panel.figure) == []


def not_in_ladder(plan):
    return [step for step in plan.tried if step.speed not in [each.speed for each in plan.steps]]


@pytest.mark.parametrize("ground", ["wet sand", "gravel"])
def test_the_bands_are_those_of_the_plan(ground):
    panel = PlanPanel()
    panel.set(vehicle_ground=ground, dig_out=True, lay_boards=True)
    panel.png()
    plan, picture = panel.result.plan, panel._picture
    past = [step for step in not_in_ladder(plan) if step.peak.high > plan.limit]
    assert past
    for artists, steps in (
        (picture._steps, plan.steps),
        (picture._past, past),
        (picture._others, [step for step in not_in_ladder(plan) if step not in past]),
    ):
        places, lows, highs = bands_of(artists)
        assert list(places) == [0 if s.speed is None else s.speed.m_as("km/h") for s in steps]
        assert lows == pytest.approx([step.peak.low.m_as("kN") for step in steps])
        assert highs == pytest.approx([step.peak.high.m_as("kN") for step in steps])
        assert artists[1].get_ydata() == pytest.approx([s.peak.median.m_as("kN") for s in steps])
    speeds = [speed.m_as("km/h") for speed in plan.limit_speed.band]
    assert picture._limit_speed.get_xdata() == pytest.approx(speeds)
    assert set(picture._limit_speed.get_ydata()) == {plan.limit.m_as("kN")}


@pytest.mark.parametrize(
    ("values", "word"),
    [
        ({}, "4 steps, then stop"),
        ({"mire": "cab"}, "do not pull"),
        ({"slope": Q(-15, "degree"), "mire": "not mired"}, "do not pull"),
        (
            {"rope_length": Q(3, "m"), "stretch": Q(5, "percent"), "mire": "not mired"},
            "1 step, then stop",
        ),
    ],
)
def test_the_outcome_is_written_beside_the_picture(values, word):
    panel = PlanPanel()
    panel.set(**values)
    assert panel._picture._outcome.get_text() == word


def test_a_pull_in_which_the_line_may_part_runs_off_the_picture():
    panel = guessed(PlanPanel, first="big", fastest="20 km/h")
    assert np.isinf(panel.result.fast_pull.peak.high.m)
    assert bands_of(panel._picture._guess)[2][0] > 2 * panel.figure.axes[0].get_ylim()[1]


def test_the_hatch_begins_at_the_limit():
    panel = PlanPanel()
    panel.png()
    axes = panel.figure.axes[0]
    (hatched,) = (patch for patch in axes.patches if patch.get_hatch() == "//")
    bottom, top = hatched.get_extents().transformed(axes.transData.inverted()).intervaly
    assert bottom == pytest.approx(panel.result.plan.limit.m_as("kN"))
    assert top == pytest.approx(axes.get_ylim()[1])


def test_with_an_unrated_part_no_force_is_drawn():
    panel = PlanPanel()
    panel.set(line="line over a tow ball")
    panel.png()
    shown = " ".join(text.get_text() for text in written(panel.figure))
    assert "unknown: no ladder" in shown
    assert "tow ball" in shown.replace("\n", " ")
    assert not any(artist.get_visible() for artist in panel._picture._moving)
    assert list(panel.figure.axes[0].get_yticks()) == []
    panel.set(line="yard line")
    assert "unknown" not in " ".join(text.get_text() for text in written(panel.figure))
    assert len(panel.figure.axes[0].get_yticks()) > 3


def test_the_fastest_pull_of_the_guess_is_in_the_picture():
    panel = guessed(PlanPanel, first="big", fastest="20 km/h")
    axes = panel.figure.axes[0]
    assert bands_of(panel._picture._guess)[0] == [20]
    assert axes.get_xlim()[1] > 20
    assert axes.get_ylim()[1] > panel.result.fast_pull.peak.median.m_as("kN")
    slip = guessed(PlanPanel, first="big", fastest="90 km/h")
    right = slip.figure.axes[0].get_xlim()[1]
    assert right == pytest.approx(10)
    assert 9 < slip._picture._guess[1].get_xdata()[0] < right
    assert slip._picture._guess_label.get_text().startswith("→ 90.0 km/h")
    slip.png()
    assert cut_off(slip.figure) == []


def test_the_first_step_past_the_limit_says_stop():
    panel = PlanPanel()
    picture = panel._picture
    assert picture._stop.get_text() == "STOP"
    first = bands_of(picture._past)[0][0]
    assert picture._stop.get_position()[0] == pytest.approx(first, abs=0.5)
    panel.set(vehicle=Q(1000, "kg"), vehicle_ground="wet sand")  # the ceiling ends its ladder
    assert picture._stop.get_text() == ("STOP" if len(picture._past[1].get_xdata()) else "")


def test_each_stop_rule_is_in_the_picture_in_short():
    shown = " ".join(text.get_text() for text in written(PlanPanel().figure))
    for rule, words in zip(
        STOP_RULES,
        (["shifted", "tore"], ["outside"], ["in the way", "signal"], ["ladder ends"]),
        strict=True,
    ):
        for word in words:
            assert word in shown, rule


def test_a_dot_above_the_picture_stays_at_its_edge_with_its_number():
    panel = guessed(PlanPanel, first="big", fastest="28 km/h")
    panel.set(rope_length=Q(3, "m"))
    top = panel.figure.axes[0].get_ylim()[1]
    assert 0.9 * top < panel._picture._guess[1].get_ydata()[0] < top
    assert panel._picture._guess_label.get_text().startswith("↑")
