"""The plan: limit speed, ladder, and when there is none."""

import dataclasses
import itertools
import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from recoverykit import InputError, Link, Q, Rating, RiggingLine, Rope, display
from recoverykit.physics.dynamics import pull_in_time
from recoverykit.physics.ground import (
    MIRE_DEPTHS,
    NOT_ENOUGH,
    REDUCTIONS,
    RecoveryVehicle,
    StuckVehicle,
    verdict_on,
)
from recoverykit.physics.load_curve import LoadCurve
from recoverykit.physics.plan import (
    CEILING,
    HOLD_BACK,
    LADDER,
    REDUCE,
    TOO_WEAK,
    InputUncertainty,
    highest_peak,
    ladder_speeds,
    limit_speed,
    plan_pull,
    set_on_at_once,
)
from recoverykit.physics.pull import Pull
from recoverykit.physics.rigging import BREAKING_STRENGTH, UNKNOWN
from recoverykit.physics.uncertainty import Uncertain

ROPE = Rope(Q(9, "m"), Q(120, "kN"), Q(30, "percent"))
STIFFENING = dataclasses.replace(ROPE, curve=LoadCurve(stretch=(0, 0.5, 1), load=(0, 0.25, 1)))
TRUCK = RecoveryVehicle(Q(3100, "kg"), "wet grass")
CAR = StuckVehicle(Q(1850, "kg"), "wet grass")
few_examples = settings(max_examples=40)  # each plans some pulls with 10,000 samples

NONE = Uncertain(Q(0.0, ""), Q(0.0, ""))
ONE = Uncertain(Q(1.0, ""), Q(1.0, ""))
INF = Q(np.inf, "N")
CERTAIN = InputUncertainty(Q(0, "km/h"), stiffness=ONE, drive=NONE)


def line(limit=30.0, *more):
    rating = Rating(Q(limit, "kN"), "working load limit")
    return RiggingLine([Link("soft shackle", rating), *more])


def plan(vehicle=TRUCK, stuck_vehicle=CAR, rope=ROPE, limit=30.0, **more):
    return plan_pull(vehicle, stuck_vehicle, rope, line(limit), **more)


# --- limit speed ------------------------------------------------------------------------


@pytest.mark.parametrize("rope", [ROPE, STIFFENING])
def test_without_doubts_it_is_that_of_the_pull(rope):
    exact = Pull(Q(3100, "kg"), rope, Q(0, "m/s")).speed_for_tension(Q(30, "kN"))
    for edge in limit_speed(TRUCK, CAR, rope, Q(30, "kN"), CERTAIN).band:
        assert edge.m_as("km/h") == pytest.approx(exact.m_as("km/h"), rel=1e-9)


def test_a_doubtful_speedometer_shifts_both_ends_by_as_much():
    input_uncertainty = dataclasses.replace(CERTAIN, speed_off=Q(2, "km/h"))
    low, median, high = (
        edge.m_as("km/h")
        for edge in limit_speed(TRUCK, CAR, ROPE, Q(30, "kN"), input_uncertainty).band
    )
    assert median - low == pytest.approx(0.95 * 2, abs=0.01)
    assert high - median == pytest.approx(0.95 * 2, abs=0.01)


def test_a_drive_that_passes_the_limit_by_itself_leaves_no_speed():
    input_uncertainty = dataclasses.replace(CERTAIN, drive=ONE)
    firm = RecoveryVehicle(Q(3100, "kg"), "dry road")
    speed = limit_speed(firm, CAR, ROPE, Q(30, "kN"), input_uncertainty)
    assert [edge.m_as("km/h") for edge in speed.band] == [0, 0, 0]


@pytest.mark.parametrize("rope", [ROPE, STIFFENING])
@pytest.mark.parametrize("ground", ["ice", "wet grass", "gravel"])
def test_the_shown_speed_and_the_peak_agree_sample_by_sample(rope, ground):
    # The limit speed is the inverse of the peak: at its low end 97.5 % of peaks are within.
    vehicle = RecoveryVehicle(Q(3100, "kg"), ground)
    low = limit_speed(vehicle, CAR, rope, Q(20, "kN")).band.low
    result = plan_pull(vehicle, CAR, rope, line(20), speeds=[0.999 * low, 1.001 * low])
    _, slower, faster = result.tried
    assert slower.peak.high.m_as("kN") <= 20 < faster.peak.high.m_as("kN")


@pytest.mark.parametrize(
    ("limit", "mass", "length"), [(33, 3100, 9), (30, 2800, 9), (30, 3100, 10)]
)
def test_a_higher_limit_a_lighter_vehicle_or_a_longer_rope_never_lowers_it(limit, mass, length):
    before = limit_speed(TRUCK, CAR, ROPE, Q(30, "kN")).band
    vehicle = dataclasses.replace(TRUCK, mass=Q(mass, "kg"))
    rope = dataclasses.replace(ROPE, length=Q(length, "m"))
    after = limit_speed(vehicle, CAR, rope, Q(limit, "kN")).band
    assert all(slow < fast for slow, fast in zip(before, after, strict=True))


# --- the ladder -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("system", "unit", "speeds"), [("metric", "km/h", [2, 4, 6, 8]), ("US", "mph", [1, 2, 3, 4, 5])]
)
def test_it_begins_with_a_steady_pull_and_rises_to_the_ceiling(system, unit, speeds):
    display.use(system)
    ladder = plan(limit=60)
    assert ladder.outcome == LADDER
    assert [step.number for step in ladder.steps] == list(range(1, len(speeds) + 2))
    assert [step.speed for step in ladder.steps] == [None, *(Q(speed, unit) for speed in speeds)]
    assert ladder.steps[-1].speed.m_as("mph") == pytest.approx(CEILING.m_as("mph"), abs=0.05)
    assert display.system.symbol("force") in ladder.reason


def test_every_step_ends_below_the_limit_and_the_next_would_not():
    ladder = plan(limit=20)
    assert 1 < len(ladder.steps) <= len(ladder_speeds())
    for step in ladder.steps:
        assert step.peak.high.m_as("kN") <= 20
    following = ladder_speeds()[len(ladder.steps) - 1]
    over = plan(limit=60, speeds=[following]).steps[-1].peak.high
    assert over.m_as("kN") > 20


def test_what_was_tried_goes_on_beyond_the_limit():
    result = plan(limit=20)
    assert result.tried[: len(result.steps)] == result.steps
    assert [step.speed for step in result.tried] == [None, *ladder_speeds()]
    assert result.tried[len(result.steps)].peak.high.m_as("kN") > 20
    sunk = plan(stuck_vehicle=StuckVehicle(Q(4200, "kg"), "soft mud", mire="fenders"), limit=25)
    assert (len(sunk.steps), len(sunk.tried)) == (0, 5)


def test_a_step_is_the_highest_peak_at_its_speed():
    step = plan(limit=40).steps[-1]
    peak = highest_peak(TRUCK, CAR, ROPE, line(40), step.speed).band
    assert [edge.m_as("N") for edge in step.peak] == [edge.m_as("N") for edge in peak]
    certain = highest_peak(TRUCK, CAR, ROPE, line(), Q(4, "km/h"), CERTAIN).band.median
    # No drive: v √(k m), with 120 kN / (30 % of 9 m).
    assert certain.m_as("N") == pytest.approx(4 / 3.6 * np.sqrt(120e3 / 2.7 * 3100))


@pytest.mark.parametrize("weakest", [ROPE.breaking_strength, Q(90, "kN")])
def test_where_a_part_breaks_there_is_no_number(weakest):
    heavy = RecoveryVehicle(Q(9000, "kg"), "wet grass")
    eye = Link("eye", Rating(weakest, "minimum breaking strength", 4))
    peak = highest_peak(heavy, CAR, ROPE, line(20, eye), Q(25, "km/h"))
    assert not np.any(peak.samples >= weakest) or np.isinf(np.max(peak.samples.m))
    below = peak.samples[np.isfinite(peak.samples.m)]
    assert np.all(below < weakest)
    assert "the line may part" in peak.band.words("force")


def test_a_limit_close_to_the_break_ends_the_ladder_before_the_line_may_part():
    # Its limit of 19 kN is just below its breaking strength.
    weak = RiggingLine([Link("rope", Rating(Q(20, "kN"), "minimum breaking strength", 1.05))])
    rope = dataclasses.replace(ROPE, breaking_strength=Q(20, "kN"), length=Q(1.5, "m"))
    result = plan_pull(TRUCK, StuckVehicle(Q(1850, "kg"), "wet sand", mire="wheels"), rope, weak)
    assert [step.speed for step in result.tried if step.parting_chance > 0.025]
    assert all(step.parting_chance <= 0.025 for step in result.steps)
    assert all(step.peak.high.m_as("kN") < 20 / 1.05 for step in result.steps)
    parting = next(step for step in result.tried if step.parting_chance > 0)
    assert parting.parting.startswith(" The line may part: ")
    assert all(step.parting == "" for step in result.tried if step.parting_chance == 0)


def test_a_case_in_which_the_line_parts_is_no_start():
    mired = StuckVehicle(Q(1850, "kg"), "wet sand", mire="wheels")
    heavy = RecoveryVehicle(Q(9000, "kg"), "wet grass")
    eye = Link("eye", Rating(Q(30, "kN"), "minimum breaking strength", 2))
    fastest = plan_pull(heavy, mired, ROPE, line(20, eye)).tried[-1]
    assert fastest.parting_chance > 0.9
    assert fastest.chance <= 1 - fastest.parting_chance


def test_a_step_beyond_the_limit_ends_the_ladder_for_good():
    assert len(plan(limit=14, stuck_vehicle=StuckVehicle(Q(1000, "kg"), "dry road")).steps) == 2


@pytest.mark.parametrize("curve", ["straight", "stiffening"])
def test_no_later_jerk_passes_the_bound(curve):
    random, count = np.random.default_rng(7), 400
    rope = dataclasses.replace(STIFFENING if curve == "stiffening" else ROPE, loss=0.0)
    m1, m2 = random.uniform(1500, 9000, (2, count))
    held = 9.81 * m2 * random.uniform(0.02, 0.3, count)
    pull = Pull(
        Q(m1, "kg"),
        rope,
        Q(random.uniform(0, 1.5, count), "m/s"),
        stuck_mass=Q(m2, "kg"),
        drive=Q(2 * held * random.uniform(0, 1, count), "N"),
        breakout_resistance=Q(held + 9.81 * m2 * random.uniform(0, 0.3, count), "N"),
        moving_resistance=Q(held, "N"),
    )
    motion = pull_in_time(pull, Q(10, "s"))
    anchored = Pull(pull.recovery_mass, rope, pull.speed, drive=pull.drive)
    first = anchored.first_peak.tension
    # The drive is kept on all the while: the way until the foot is off is all the way.
    spare = np.maximum(pull.drive - pull.moving_resistance, Q(0, "N"))
    gained = 2 * spare * motion.stuck_travel / pull.recovery_mass
    bound = dataclasses.replace(anchored, speed=np.sqrt(pull.speed**2 + gained)).first_peak
    assert np.max(motion.peak / first).m_as("") > 1.02  # the first peak alone does not bound it
    assert np.all((motion.peak <= bound.tension * (1 + 1e-5)) | bound.parts)
    no_spare = spare.m == 0
    assert np.all(motion.peak[no_spare] <= first[no_spare] * (1 + 1e-5))


def test_the_chance_is_that_of_the_peak_passing_what_holds():
    mired = StuckVehicle(Q(1850, "kg"), "wet grass", mire="wheels")
    step = plan(
        stuck_vehicle=mired, limit=110, input_uncertainty=CERTAIN, speeds=[Q(4, "km/h")]
    ).steps[-1]
    peak = step.peak.median
    assert step.peak.low.m_as("N") == pytest.approx(peak.m_as("N"))
    expected = np.mean(mired.pull_to_start.samples <= peak)
    assert step.chance == pytest.approx(expected, abs=1e-9)
    assert 0.05 < step.chance < 0.95


def test_a_run_up_that_pulls_less_than_the_steady_pull_is_not_in_the_ladder():
    ladder = plan(
        RecoveryVehicle(Q(3100, "kg"), "gravel"), StuckVehicle(Q(4000, "kg"), "wet sand"), limit=40
    )
    steady, slowest, *_ = ladder.tried
    assert slowest.peak.median < steady.peak.median
    assert [step.speed for step in ladder.steps] == [None, *ladder_speeds()[1:]]
    assert [step.number for step in ladder.steps] == [1, 2, 3, 4]
    assert "A run-up at 2.0 km/h pulls less than the steady pull" in ladder.reason


@pytest.mark.parametrize(
    "doubts",
    [
        {"speed_off": Q(4, "km/h")},
        {"drive": Uncertain(Q(0.0, ""), Q(1.0, ""))},
        {"stiffness": Uncertain(Q(0.5, ""), Q(4.0, ""))},
    ],
)
def test_more_doubts_mean_fewer_steps(doubts):
    gravel = RecoveryVehicle(Q(3100, "kg"), "gravel")
    usual = plan(gravel, limit=30)
    doubtful = plan(gravel, limit=30, input_uncertainty=InputUncertainty(**doubts))
    assert len(doubtful.steps) < len(usual.steps)


def test_down_a_slope_its_own_weight_pulls_too():
    down = RecoveryVehicle(Q(6200, "kg"), "gravel", slope=Q(-15, "degree"))
    level = RecoveryVehicle(Q(6200, "kg"), "gravel")
    weight = 6200 * 9.80665 * np.sin(np.radians(15))
    still = highest_peak(down, CAR, ROPE, line(), Q(0, "km/h"), CERTAIN).band
    # Applied at once, it loads the line with twice itself, and more if the foot comes off late.
    assert still.low.m_as("N") >= 2 * weight * 0.999
    peaks = [
        highest_peak(vehicle, CAR, ROPE, line(), Q(4, "km/h")).band for vehicle in (level, down)
    ]
    assert all(down > level for level, down in zip(*peaks, strict=True))
    uphill = RecoveryVehicle(Q(6200, "kg"), "gravel", slope=Q(15, "degree"))
    assert highest_peak(uphill, CAR, ROPE, line(), Q(4, "km/h")).band.high < peaks[0].high


def test_a_ladder_says_why_it_ends():
    assert plan(limit=60).reason == "All steps stay within the limit of 60.0 kN (soft shackle)."
    ends = "Within the limit of 20.0 kN (soft shackle) the ladder ends at "
    assert plan(limit=20).reason.startswith(ends)


@pytest.mark.parametrize("rope", [ROPE, STIFFENING])
@pytest.mark.parametrize("mass", [1850, 4500])  # one often comes free, the other seldom
def test_a_steady_pull_set_on_at_once_seldom_passes_what_is_said_of_it(rope, mass):
    firm, count = RecoveryVehicle(Q(3100, "kg"), "gravel"), 200
    stuck_vehicle = StuckVehicle(Q(mass, "kg"), "wet sand", mire="wheels")
    drive = firm.steady_pull.samples[:count]
    starts = stuck_vehicle.pull_to_start.samples[:count]
    pull = Pull(
        firm.mass,
        dataclasses.replace(rope, loss=0.0),
        Q(0, "m/s"),
        stuck_mass=stuck_vehicle.mass,
        drive=drive,
        breakout_resistance=starts,
        moving_resistance=np.minimum(stuck_vehicle.pull_to_keep_moving.samples[:count], starts),
    )
    # The foot is off where it has moved 1 m.
    followed = pull_in_time(pull, Q(8, "s"), samples=401).history
    moved = followed.stuck_travel >= Q(1, "m")
    let_off = np.where(moved.any(axis=0), moved.argmax(axis=0), -1)
    peak = pull_in_time(pull, Q(8, "s"), drive_time=followed.time[let_off, np.arange(count)]).peak
    said = set_on_at_once(firm, stuck_vehicle, rope, line(), CERTAIN)
    assert np.mean(peak > said.band.high) <= 0.05
    # Far more than the steady pull, and on the spot what formula 3 of the anchored pull gives.
    assert np.quantile((peak / drive).m_as(""), 0.9) > 1.4
    if rope is ROPE:
        assert said.samples[:count].m_as("N") == pytest.approx(2 * drive.m_as("N"))
    else:
        assert np.all(said.samples[:count] > 2 * drive)


@pytest.mark.parametrize(
    ("ground", "limit", "says"),
    [
        ("wet grass", 30, r"the line may see 1[12]\.\d kN\."),
        ("gravel", 30, r"the line may see 3\d\.\d kN, beyond its limit\."),
    ],
)
def test_a_ladder_says_what_a_steady_pull_set_on_at_once_may_come_to(ground, limit, says):
    ladder = plan(RecoveryVehicle(Q(3100, "kg"), ground), limit=limit)
    at_once = ladder.set_on_at_once.high
    assert at_once >= 2 * ladder.steps[0].peak.high * (1 - 1e-9)
    assert re.search(says, ladder.steady_pull_rule(display.system))
    for high, said in ((Q(25.04, "kN"), "may see 25.1 kN."), (INF, "may part.")):
        other = dataclasses.replace(
            ladder, set_on_at_once=ladder.set_on_at_once._replace(high=high)
        )
        assert f"the line {said}" in other.steady_pull_rule(display.system)


def test_cases_in_which_the_line_parts_are_rounded_up():
    steady = plan(limit=60).steps[0]
    # 0.07 is as many cases as it says, though not as a floating-point number.
    for chance, cases in ((0.011, 2), (0.07, 7)):
        step = dataclasses.replace(steady, parting_chance=chance)
        assert step.parting == f" The line may part: {cases} of 100 cases."


# --- no ladder --------------------------------------------------------------------------


@pytest.mark.parametrize(
    "unrated", [Link("old strap"), Link("old strap", Rating(Q(500, "kN"), BREAKING_STRENGTH))]
)
def test_an_unrated_link_leaves_no_plan(unrated):
    unknown = plan_pull(TRUCK, CAR, ROPE, line(30, unrated, Link("found hook")))
    assert unknown.outcome == UNKNOWN
    assert unknown.steps == ()
    assert unknown.limit is None
    assert unknown.limit_speed is None
    assert "old strap, found hook" in unknown.reason


def test_tires_that_can_pass_the_limit_leave_no_plan():
    weak = plan(RecoveryVehicle(Q(9000, "kg"), "dry road"), limit=30)
    assert weak.outcome == TOO_WEAK
    assert weak.steps == ()
    assert weak.limit.m_as("kN") == 30


def test_a_steady_pull_that_can_part_the_rope_leaves_no_plan():
    firm, weak = RecoveryVehicle(Q(9000, "kg"), "dry road"), Q(20, "kN")
    parted = plan(firm, rope=dataclasses.replace(ROPE, breaking_strength=weak), limit=10)
    assert (parted.outcome, parted.reason) == (TOO_WEAK, "A steady pull can part the line.")
    assert parted.tried[0].parting_chance == 1
    assert parted.tried[0].chance == 0


@pytest.mark.parametrize("limit", [20, 30, 40])
@pytest.mark.parametrize("mire", ["fenders", "cab"])
def test_each_way_leads_to_a_ladder_and_no_part_of_it_does(limit, mire):
    sunk = StuckVehicle(Q(2500, "kg"), "soft mud", mire=mire)
    stuck = plan(stuck_vehicle=sunk, limit=limit)
    if stuck.outcome != REDUCE:
        assert stuck.remedies == ()
        return
    remedies = [set(remedy.reductions) for remedy in stuck.remedies]
    for count in range(1, len(REDUCTIONS) + 1):
        for names in itertools.combinations(REDUCTIONS, count):
            reduced = dataclasses.replace(sunk, reductions=names)
            leads = plan(stuck_vehicle=reduced, limit=limit).outcome == LADDER
            assert leads == any(remedy <= set(names) for remedy in remedies)
    for remedy, other in itertools.permutations(remedies, 2):
        assert not remedy <= other


def test_reductions_already_made_are_not_proposed_again():
    sunk = StuckVehicle(Q(4200, "kg"), "soft mud", mire="fenders", reductions=["lay boards"])
    for remedy in plan(stuck_vehicle=sunk, limit=25).remedies:
        assert "lay boards" not in remedy.reductions


def test_it_says_so_when_no_reduction_is_enough():
    sunk = StuckVehicle(Q(40000, "kg"), "soft mud", mire="cab")
    stuck = plan(stuck_vehicle=sunk)
    assert stuck.outcome == REDUCE
    assert stuck.remedies == ()
    assert "not even all of it together" in stuck.reason


@pytest.mark.parametrize(
    ("slope", "mire", "outcome", "rolls_free"),
    [(0, None, LADDER, False), (-10, None, HOLD_BACK, True), (-10, "fenders", LADDER, True)],
)
def test_a_stuck_vehicle_that_the_slope_moves_is_to_be_held_back(slope, mire, outcome, rolls_free):
    # Rolling takes 0.06 to 0.08 of the weight on this ground, and sin 10° is 0.17.
    down = StuckVehicle(Q(1850, "kg"), "wet grass", mire=mire, slope=Q(slope, "degree"))
    result = plan(stuck_vehicle=down, limit=60)
    assert (result.outcome, result.rolls_free) == (outcome, rolls_free)


@pytest.mark.parametrize("share", [0.05, 0.2, 0.4])
def test_a_stuck_vehicle_that_few_cases_let_roll_is_to_be_held_back_too(share):
    # Rolling takes 0.06 to 0.08 of the weight: the slope is where that share of it is passed.
    slope = Q(-np.arctan(0.06 + share * 0.02), "rad")
    down = StuckVehicle(Q(1850, "kg"), "wet grass", slope=slope)
    assert np.mean(down.pull_to_start.samples.m == 0) == pytest.approx(share, abs=0.01)
    assert plan(stuck_vehicle=down, limit=60).outcome == HOLD_BACK


@few_examples
@given(
    st.floats(1500, 9000),
    st.sampled_from(["dry road", "gravel", "wet grass", "wet sand", "ice"]),
    st.floats(500, 40000),
    st.sampled_from([None, *MIRE_DEPTHS]),
    st.floats(8, 110),
)
def test_a_plan_is_never_at_odds_with_itself(puller, ground, mass, mire, limit):
    vehicle = RecoveryVehicle(Q(puller, "kg"), ground)
    stuck_vehicle = StuckVehicle(Q(mass, "kg"), "soft mud", mire=mire)
    result = plan(vehicle, stuck_vehicle, limit=limit)
    assert (result.outcome == LADDER) == bool(result.steps)
    assert result.outcome == REDUCE or not result.remedies
    if result.steps:
        assert verdict_on(max(step.chance for step in result.steps)) != NOT_ENOUGH
        highs = [step.peak.high.m_as("kN") for step in result.steps[1:]]
        assert highs == sorted(highs)
        assert all(high <= limit for high in highs)
        assert all(np.isfinite(high) for high in highs)
        medians = [step.peak.median.m_as("kN") for step in result.steps]
        assert all(slow < fast for slow, fast in itertools.pairwise(medians))
    for sentence in (result.reason, *(remedy.sentence for remedy in result.remedies)):
        assert "safe" not in sentence.lower()
        assert "nan" not in sentence


# --- bad input --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("speeds", "says"),
    [
        ([], "they do not rise"),
        ([Q(4, "km/h"), Q(2, "km/h")], "they do not rise"),
        ([Q(4, "km/h"), Q(4, "km/h")], "they do not rise"),
        ([Q(4, "km/h"), Q(9, "km/h")], "9.0 km/h is above the ceiling of the trade"),
        ([Q(0, "km/h")], "speeds[0]: 0.0 km/h is not above 0"),
        ([4], "speeds[0]: 4 has no unit"),
    ],
)
def test_speeds_that_make_no_ladder_are_refused(speeds, says):
    with pytest.raises(InputError) as error:
        plan(speeds=speeds)
    assert says.replace("0.0 km/h is", "0 km/h is") in str(error.value)


@pytest.mark.parametrize(("left", "limit"), [(1.0, 120), (0.5, 70)])
def test_a_limit_that_the_rope_cannot_bear_means_that_it_is_missing_in_the_line(left, limit):
    with pytest.raises(InputError, match="put the rope into the line as a link"):
        plan(rope=dataclasses.replace(ROPE, strength_factor=left), limit=limit)


@pytest.mark.parametrize(
    ("bad", "says"),
    [
        ({"speed_off": Q(-1, "km/h")}, "speed_off: -1"),
        ({"speed_off": 1}, "speed_off: 1 has no unit"),
        ({"stiffness": Uncertain(Q(0, ""), Q(1, ""))}, "stiffness: "),
        ({"drive": Uncertain(Q(0, ""), Q(1.5, ""))}, "drive: "),
        ({"let_off": Uncertain(Q(-1, "m"), Q(1, "m"))}, "let_off: "),
    ],
)
def test_impossible_doubts_are_refused(bad, says):
    with pytest.raises(InputError) as error:
        InputUncertainty(**bad)
    assert says in str(error.value)
