"""What a lesson lets its readers try in a panel comes out as its text says.

And guess, worked examples and panel are about the same case.
"""

import pytest

from recoverykit import Q, display, show
from recoverykit.lessons import (
    EnergyPanel,
    HoldingPanel,
    LettingGoPanel,
    MoreSpeedPanel,
    PeakForcePanel,
    PlanPanel,
    PullInTimePanel,
    StampsPanel,
    StretchPanel,
    WeakestLinkPanel,
)
from recoverykit.lessons.bank import find_guess
from recoverykit.lessons.plan.panel import OWN
from recoverykit.lessons.stamps.panel import RIGGED
from recoverykit.measurements.session import demo_session
from recoverykit.physics.ground import LIKELY, NOT_ENOUGH, POSSIBLE
from recoverykit.physics.plan import LADDER, REDUCE, TOO_WEAK
from recoverykit.physics.recoil import MAY_PART, NOT_ALONE, PARTS
from recoverykit.physics.rigging import ABOVE, UNKNOWN, WITHIN, demo_line
from recoverykit.physics.rope import demo_rope
from recoverykit.tables.marram_point import DemoVehicle
from recoverykit.tables.records import find
from recoverykit.units.quantities import SYSTEMS

TRUCK = find(DemoVehicle, name="launch truck").mass
ROPE = demo_rope()
LINE = demo_line()
EYE = "recovery eye of the stuck vehicle"


def result(panel_type, **values):
    panel = panel_type()
    panel.set(**values)
    return panel.result


# --- one case ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("lesson", "panel_type", "names"),
    [
        ("01", EnergyPanel, {"mass": "mass", "slow": "speed"}),
        ("02", StretchPanel, {"mass": "mass", "speed": "speed"}),
        ("03", PeakForcePanel, {"mass": "mass"}),
        ("06", HoldingPanel, {"mass": "mass", "vehicle": "vehicle", "slope": "slope"}),
        *(
            (
                "07",
                panel_type,
                {
                    "vehicle": "vehicle",
                    "stuck_vehicle": "stuck_vehicle",
                    "breakout": "breakout",
                    "slow": "speed",
                },
            )
            for panel_type in (MoreSpeedPanel, PullInTimePanel)
        ),
        (
            "09",
            LettingGoPanel,
            {
                name: name
                for name in ("tension", "piece", "tether_length", "tether_strength", "tether_slack")
            },
        ),
        ("10", PlanPanel, {"mass": "mass", "vehicle": "vehicle"}),
    ],
)
def test_the_guess_is_about_the_case_that_the_panel_starts_with(lesson, panel_type, names):
    numbers, start = find_guess(f"{lesson}.guess").numbers(seed=0), panel_type().values
    assert {name: getattr(numbers, name) for name in names} == {
        name: start[of_panel] for name, of_panel in names.items()
    }


@pytest.mark.parametrize(("lesson", "panel_type"), [("06", HoldingPanel), ("10", PlanPanel)])
def test_the_guess_names_the_grounds_of_the_panel(lesson, panel_type):
    start = panel_type().values
    for name in ("ground", "vehicle_ground", "mire"):
        assert start[name] in find_guess(f"{lesson}.guess").text


@pytest.mark.parametrize("system", SYSTEMS)
def test_what_a_guess_says_of_a_pull_is_what_its_panel_gives(system):
    display.use(system)
    rope = ("mass", "speed", "length", "strength")
    n = find_guess("02.guess").numbers()
    stretch = result(StretchPanel, **{name: getattr(n, name) for name in rope})
    assert show(stretch.rope.peak.tension, "force") == show(n.pull, "force")
    n = find_guess("03.guess").numbers()
    peak = result(
        PeakForcePanel, mass=n.mass, speed=n.slow, length=n.length, strength=n.strength
    ).peak
    assert show(peak, "force") == show(n.slow_peak, "force")
    n = find_guess("07.guess").numbers()
    held = {name: getattr(n, name) for name in ("vehicle", "stuck_vehicle", "breakout")}
    here = result(MoreSpeedPanel, **held, speed=n.slow).here
    assert show(here.travel, "length") == show(n.slow_travel, "length")
    assert show(here.peak, "force") == show(n.slow_peak, "force")
    assert find_guess("10.guess").numbers().limit == PlanPanel().result.plan.limit


@pytest.mark.parametrize("system", SYSTEMS)
def test_the_guess_of_lesson_08_is_about_its_log(system):
    display.use(system)
    numbers, log = find_guess("08.guess").numbers(seed=0), demo_session().log
    for speed, peak, row in (
        (numbers.middle, numbers.middle_peak, 10),
        (numbers.top, numbers.top_peak, 13),
    ):
        place = log.row.tolist().index(row)
        assert log.speed[place].m_as(speed.units) == pytest.approx(speed.m)
        assert log.peak[place].m_as(peak.units) == pytest.approx(peak.m)


def test_the_guess_of_lesson_05_names_the_parts_of_the_line():
    for field in find_guess("05.guess").fields.values():
        assert list(field.options) == [part.name for part in LINE.links]


@pytest.mark.parametrize(
    ("panel_type", "values"),
    [
        (EnergyPanel, {"mass": TRUCK, "speed": Q(4, "km/h")}),
        (StretchPanel, {"mass": TRUCK, "speed": Q(4, "km/h")}),
        (PeakForcePanel, {"mass": TRUCK, "drive": Q(0, "kN")}),
        (LettingGoPanel, {"tension": Q(20, "kN"), "tether_slack": Q(50, "percent")}),
    ],
)
def test_the_worked_examples_are_the_case_that_the_panel_starts_with(panel_type, values):
    start = panel_type().values
    assert {name: start[name] for name in values} == values


def test_the_ropes_of_the_worked_examples_are_those_of_the_panels():
    start = StretchPanel().result
    assert start.rope.rope == ROPE
    assert start.winch_line.rope.stretch_at_break == demo_rope("winch line").stretch_at_break
    assert start.winch_line.rope.breaking_strength == ROPE.breaking_strength
    values = PeakForcePanel().values
    stiffness = values["strength"] / (values["stretch"] * values["length"])
    assert stiffness.m_as("kN/m") == pytest.approx(ROPE.stiffness.m_as("kN/m"))


# --- what is tried ----------------------------------------------------------------------


def test_lesson_04():
    start, unstated = StampsPanel().result, result(StampsPanel, b_factor="not stated")
    assert start.stronger("working_load_limit") == "A"
    assert start.b.number > start.a.number
    assert unstated.stronger("working_load_limit") is None
    assert unstated.stronger("breaking_strength") == "A"
    strengths = {
        rigged: result(StampsPanel, b_rigged=rigged).b.link.breaking_strength.m_as("kN")
        for rigged in RIGGED
    }
    assert min(strengths, key=strengths.get) == "a shackle pulled 90° sideways"
    straight = strengths["straight, as stamped"]
    assert [rigged for rigged in RIGGED if strengths[rigged] > 1.001 * straight] == [
        "a pair, as a bridle 30° off the pull"
    ]


@pytest.mark.parametrize(
    ("values", "first"),
    [
        ({}, "soft shackle"),
        ({"knot": True}, "yard rope"),
        ({"stuck_vehicle": "bridle, legs 15° off the pull"}, "soft shackle"),
        ({"stuck_vehicle": "bridle, legs 60° off the pull"}, "bridle"),
    ],
)
def test_lesson_05_puts_another_part_first(values, first):
    assert result(WeakestLinkPanel, **values).line.first_past_working_limit.name == first


def test_lesson_05_has_two_weakest_parts_and_no_way_to_a_higher_limit():
    panel = WeakestLinkPanel()
    start = panel.result.line
    assert start.first_to_break.name == EYE
    verdicts = sorted(load.verdict for load in LINE.under(Q(28, "kN")))
    assert verdicts == [ABOVE, *[WITHIN] * 4]
    limits = [corner.line.working_load_limit for corner in panel.corners()]
    assert None in limits
    assert max(limit for limit in limits if limit is not None) <= start.working_load_limit


WORK = {"dig_out": True, "air_down": True, "lay_boards": True, "unload": True}


@pytest.mark.parametrize(
    ("values", "verdict"),
    [
        ({}, NOT_ENOUGH),
        (WORK | {"vehicle_ground": "gravel"}, POSSIBLE),
        (WORK | {"vehicle_ground": "dry earth"}, LIKELY),
    ],
)
def test_lesson_06(values, verdict):
    assert result(HoldingPanel, **values).pull.verdict == verdict


def test_lesson_06_is_held_by_the_mire_and_gains_more_from_gravel_than_from_mass():
    parts = HoldingPanel().result.found.parts
    assert max(parts, key=parts.get) == "mire"
    sand, heavy, gravel = (
        result(HoldingPanel, **values).pull.available.band.median
        for values in ({}, {"vehicle": 2 * TRUCK}, {"vehicle_ground": "gravel"})
    )
    assert heavy < gravel
    assert gravel / sand == pytest.approx(3, abs=0.1)


@pytest.mark.parametrize(
    ("values", "verdict"),
    [
        ({}, MAY_PART),
        ({"tension": Q(60, "kN")}, PARTS),
        ({"tension": Q(13_500, "lbf")}, PARTS),
        ({"tension": Q(15, "kN")}, NOT_ALONE),
        ({"tension": Q(3370, "lbf")}, NOT_ALONE),
        ({"tether_length": 2 * LettingGoPanel().values["tether_length"]}, NOT_ALONE),
        ({"tether_strength": Q(90, "kN"), "tether_stretch": Q(2, "percent")}, MAY_PART),
    ],
)
def test_lesson_09(values, verdict):
    assert result(LettingGoPanel, **values).catch.verdict == verdict


def test_lesson_09_a_strong_stiff_tether_absorbs_less():
    start = LettingGoPanel()
    assert start.values["tether_strength"] > 2 * start.values["tension"]
    stiff = result(LettingGoPanel, tether_strength=Q(90, "kN"), tether_stretch=Q(2, "percent"))
    assert stiff.catch.can_absorb < start.result.catch.can_absorb


@pytest.mark.parametrize(
    ("tried", "outcome", "steps"),
    [
        ({}, LADDER, 4),
        ({"dig_out": True, "lay_boards": True}, LADDER, 4),
        ({"line": "line over a tow ball"}, UNKNOWN, 0),
        ({"line": OWN}, UNKNOWN, 0),
        ({"mire": "cab"}, REDUCE, 0),
        ({"vehicle": Q(9000, "kg"), "vehicle_ground": "dry road"}, TOO_WEAK, 0),
    ],
)
def test_lesson_10(tried, outcome, steps):
    plan = result(PlanPanel, **tried).plan
    assert (plan.outcome, len(plan.steps)) == (outcome, steps)
