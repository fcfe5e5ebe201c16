"""The weakest-link panel at its start, at every corner, in both systems, and with a guess."""

import pytest
from helpers.guessed_panels import guessed

from recoverykit.lessons import WeakestLinkPanel
from recoverykit.lessons.weakest_link.panel import BRIDLES
from recoverykit.physics.rigging import ABOVE, BREAKING, UNKNOWN, WITHIN, demo_line, leg_tension
from recoverykit.units.quantities import Q

EYE = "recovery eye of the stuck vehicle"
BALL = "tow ball, unrated"


@pytest.fixture
def panel():
    return WeakestLinkPanel()


def limits(panel):
    """The working load limits (kN) of all parts that have one, by name."""
    known = (part.link for part in panel.result.parts if part.link.working_load_limit is not None)
    return {link.name: link.working_load_limit.m_as("kN") for link in known}


def verdicts(panel):
    return {load.link.name: load.verdict for load in panel.result.loads}


def test_it_starts_with_the_yard_line(panel):
    assert [part.link for part in panel.result.parts] == list(demo_line().links)
    assert panel.result.line == demo_line()
    assert set(verdicts(panel).values()) == {WITHIN}


def test_limits_by_hand(panel):
    # 4.5 short tons; 3.25 short tons; 165 kN / 4; 30,000 lbf / 5; 78 kN / 2.
    assert list(limits(panel).values()) == pytest.approx([40.03, 28.91, 41.25, 26.69, 39], abs=0.01)


def test_every_corner(panel):
    seen = set()
    for result in panel.corners():
        verdict = result.line.verdict(result.tension)
        if result.line.unrated:
            assert verdict != WITHIN
            assert "Every part is" not in panel.summary
            assert "First" not in panel.summary
        assert bool(result.broken) == (verdict == BREAKING) == ("parts at" in panel.summary)
        seen.add((bool(result.line.unrated), verdict))
    # Most of the lines break at the highest tension, the strongest one is only above its limits.
    assert seen == {
        (False, WITHIN),
        (False, BREAKING),
        (True, UNKNOWN),
        (True, ABOVE),
        (True, BREAKING),
    }


def test_most_parts_strong_is_not_strong_enough(panel):
    panel.set(tension=Q(28, "kN"))
    assert list(verdicts(panel).values()).count(WITHIN) == 4
    assert verdicts(panel)["soft shackle"] == ABOVE
    assert panel.result.line.verdict(panel.result.tension) == ABOVE
    assert panel.summary.startswith("Too much: the soft shackle is above its working limit. ")
    assert "105 % of the limit of the soft shackle" in panel.summary
    assert "bow shackle" not in panel.summary


def test_one_unrated_part_leaves_the_line_unknown_at_any_tension(panel):
    for tension in (0, 1, 26):
        panel.set(hitch=BALL, tension=Q(tension, "kN"))
        assert panel.summary.startswith("Unknown: the tow ball has no rating, so the line has")
        assert panel.summary.endswith("Nobody can say which part gives first.")
    assert verdicts(panel)["tow ball of the launch truck"] == UNKNOWN


def test_the_part_that_breaks_is_named(panel):
    panel.set(tension=Q(78, "kN"))
    assert panel.result.broken.name == EYE
    assert panel.summary.startswith("The line parts at the recovery eye. ")
    panel.set(tension=Q(77.9, "kN"))
    assert panel.result.broken is None
    assert "5 parts are above their working limit" in panel.summary
    panel.set(tension=Q(125, "kN"))  # above the strength of the recovery point, too
    assert panel.result.broken.name == EYE


def test_an_unrated_part_may_break_before_any_other(panel):
    panel.set(hitch=BALL, tension=Q(78, "kN"))
    assert "parts at the recovery eye, or sooner at the tow ball. " in panel.summary


@pytest.mark.parametrize(
    ("knot", "wet", "left"), [(False, False, 1), (True, False, 0.6), (True, True, 0.51)]
)
def test_knot_and_water_weaken_the_rope_and_nothing_else(panel, knot, wet, left):
    before = limits(panel)
    panel.set(knot=knot, wet=wet)
    after = limits(panel)
    assert after.pop("yard rope") == pytest.approx(left * before.pop("yard rope"))
    assert after == before


@pytest.mark.parametrize("stuck_vehicle", BRIDLES)
def test_a_bridle_shares_the_pull_between_two_eyes(panel, stuck_vehicle):
    one_eye = limits(panel)[EYE]
    panel.set(stuck_vehicle=stuck_vehicle)
    shared = limits(panel)
    # When the line is at the limit of the eyes, each leg pulls as hard as one eye may be pulled.
    each = leg_tension(Q(shared[EYE], "kN"), BRIDLES[stuck_vehicle])
    assert each.m_as("kN") == pytest.approx(one_eye)
    assert shared["bridle"] == pytest.approx(shared[EYE] * 20 / 39)  # 100 kN / 5, and 78 kN / 2


def test_the_guess_is_in_the_result():
    panel = guessed(WeakestLinkPanel, **dict.fromkeys(["limit", "break"], "bow shackle"))
    assert panel.result.guess == {"bow shackle": ["limit", "break"]}
    assert "First past its limit: the soft shackle" in panel.summary
