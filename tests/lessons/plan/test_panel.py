"""The panel of the plan: its start, its corners, its sentences, and a line of one's own."""

import pytest
from helpers.guessed_panels import guessed

from recoverykit.lessons import PlanPanel
from recoverykit.lessons.plan.panel import DEMO_LINES, OWN
from recoverykit.physics.plan import HOLD_BACK, LADDER, REDUCE, TOO_WEAK, plan_pull
from recoverykit.physics.rigging import UNKNOWN, demo_line
from recoverykit.physics.rigging_text import EXAMPLE, read_line
from recoverykit.physics.rope import demo_rope
from recoverykit.units.quantities import Q, display, show


@pytest.fixture
def panel():
    return PlanPanel()


def test_it_starts_with_the_plan_for_the_boat_carrier(panel):
    result = panel.result
    plan = plan_pull(result.recovery_vehicle, result.stuck_vehicle, demo_rope(), demo_line())
    assert result.plan.outcome == plan.outcome == LADDER
    assert [step.speed for step in result.plan.steps] == [step.speed for step in plan.steps]
    assert result.plan.reason == plan.reason
    assert result.rope == demo_rope()
    assert result.invented


@pytest.mark.parametrize(
    ("values", "outcome"),
    [
        ({"slope": Q(-15, "degree"), "mire": "not mired"}, HOLD_BACK),
        ({"vehicle": Q(9000, "kg"), "vehicle_ground": "dry road"}, TOO_WEAK),
        ({"mire": "fenders"}, REDUCE),
    ],
)
def test_where_nobody_should_pull_the_sentence_begins_with_it(panel, values, outcome):
    panel.set(**values)
    assert panel.result.plan.outcome == outcome
    assert panel.summary.startswith(f"{outcome.capitalize()}. ")


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ({}, "a steady pull, then 2, 4 and 6 km/h, and no faster"),
        ({"stretch": Q(15, "percent")}, "a steady pull, then 2 and 4 km/h, and no faster"),
        (
            {"rope_length": Q(3, "m"), "mire": "not mired"},
            "a steady pull, then 2 km/h, and no faster",
        ),
        (
            {"rope_length": Q(3, "m"), "stretch": Q(5, "percent"), "mire": "not mired"},
            "a steady pull, and no more",
        ),
    ],
)
def test_the_steps_in_words(panel, values, says):
    panel.set(**values)
    assert panel.summary.startswith(f"Pull in steps: {says}. ")


def test_in_us_units_the_ladder_goes_by_miles_per_hour(panel):
    display.use("US")
    assert "a steady pull, then 1, 2 and 3 mph" in panel.summary


def test_the_step_with_the_best_chance_is_named(panel):
    panel.set(vehicle_ground="dry earth", vehicle=Q(2000, "kg"))
    panel.set(mass=Q(1000, "kg"), ground="dry road", mire="not mired")
    best = panel.result.best
    assert best.chance == max(step.chance for step in panel.result.plan.steps)
    assert best.speed is None
    assert "The best chance to get it moving is the steady pull: " in panel.summary


def test_where_nothing_is_enough_the_ways_out_are_named(panel):
    panel.set(mire="fenders")
    remedies = panel.result.plan.remedies
    assert remedies
    assert all(remedy.sentence in panel.summary for remedy in remedies)


def test_three_kinds_of_work_are_listed_with_one_and(panel):
    panel.set(mire="cab")
    assert "First dig out, air down and lay boards: then there's a ladder" in panel.summary


# --- lines ------------------------------------------------------------------------------


def test_an_unrated_part_leaves_no_ladder(panel):
    panel.set(line="line over a tow ball")
    assert panel.result.plan.outcome == UNKNOWN
    assert "tow ball of the launch truck" in panel.summary
    assert panel.result.plan.steps == ()


def test_the_demo_lines_have_the_rope_that_the_sliders_start_with(panel):
    for name in DEMO_LINES:
        panel.set(line=name)
        assert panel.result.rope == demo_rope()
        assert panel.result.invented


def test_a_line_that_is_still_to_be_written(panel):
    panel.set(line=OWN)
    assert (
        panel.summary == "No ladder: this line has no known limit. Your own line isn't written yet."
    )
    assert panel.png().startswith(b"\x89PNG")
    assert not panel.result.invented


def test_a_line_of_ones_own(panel):
    panel.use_line(read_line("eye: 40 kN, WLL\nrope: 120 kN, MBS, factor 4, wet").quantity)
    assert panel.values["line"] == OWN
    assert panel.result.plan.limit.m_as("kN") == pytest.approx(120 / 4 * 0.85)
    assert panel.result.rope.stiffness.m_as("kN/m") == pytest.approx(120 / 3.3)
    assert not panel.result.invented


def test_the_example_is_no_line_of_ones_own(panel):
    panel.use_line(read_line(EXAMPLE).quantity)
    assert panel.values["line"] == OWN
    assert panel.result.invented


def test_a_rope_of_no_known_strength_leaves_no_ladder(panel):
    panel.use_line(read_line("eye: 40 kN, WLL\nrope: 30 kN, WLL").quantity)
    assert panel.result.plan.outcome == UNKNOWN
    assert "The breaking strength of the rope is not known" in panel.summary
    assert panel.png().startswith(b"\x89PNG")
    panel.use_line(read_line("eye: 40 kN, WLL\nrope: no stamp").quantity)
    assert "No working load limit is known for: rope." in panel.summary


# --- the guess --------------------------------------------------------------------------


def test_the_fastest_pull_of_the_guess_is_judged():
    panel = guessed(PlanPanel, first="big", fastest="20 km/h")
    assert panel.result.fast_pull.verdict == "at or above breaking strength"
    assert panel.summary.endswith(" At your 20 km/h the line may part.")


def test_a_fast_pull_that_no_part_breaks_at_is_held_against_the_limits():
    panel = guessed(PlanPanel, first="big", fastest="10 km/h")
    highest = show(panel.result.fast_pull.peak.high, "force")
    assert panel.summary.endswith(
        f" Your 10 km/h may load the line with {highest}: above working limit."
    )


def test_a_guess_is_no_verdict_on_an_unrated_line():
    panel = guessed(PlanPanel, first="steady", fastest="2 km/h")
    panel.set(line="line over a tow ball")
    assert panel.result.fast_pull.verdict == UNKNOWN
    assert show(panel.result.fast_pull.peak.median, "force") not in panel.summary
