"""Pulls on any curve: the first peak from energies, its inverse, and what must be monotone."""

import dataclasses

import numpy as np
import pytest
from helpers.pulls import CURVES, one_of, random_pulls
from hypothesis import given, settings
from hypothesis import strategies as st

from recoverykit import (
    InputError,
    Pull,
    Q,
    Rope,
    peak_tension,
)

SIZE = 200
some_pulls = given(seed=st.integers(0, 2**32), curve=st.sampled_from(CURVES))
quick = settings(max_examples=15)


def peaks(pull):
    return pull.first_peak.tension.m_as("N")


def a_pull(**fields):
    rope = Rope(Q(10, "m"), Q(150, "kN"), Q(30, "percent"))
    return dataclasses.replace(Pull(Q(3000, "kg"), rope, Q(5, "km/h")), **fields)


# --- against closed forms ---------------------------------------------------------------


@given(st.integers(0, 2**32))
@quick
def test_on_a_straight_rope_an_anchored_pull_is_the_formula(seed):
    random = np.random.default_rng(seed)
    mass, speed = random.uniform(500, 20000, 50), random.uniform(0, 5, 50)
    drive = random.uniform(0, 3e4, 50)
    rope = Rope(Q(random.uniform(5, 30, 50), "m"), Q(5, "MN"), random.uniform(0.1, 0.4, 50))
    pull = Pull(Q(mass, "kg"), rope, Q(speed, "m/s"), drive=Q(drive, "N"))
    formula = peak_tension(pull.recovery_mass, pull.speed, rope.stiffness, pull.drive)
    np.testing.assert_allclose(peaks(pull), formula.m_as("N"), rtol=1e-9)
    assert not np.any(pull.first_peak.parts)
    assert not np.any(pull.first_peak.stuck_moves)


@given(st.integers(0, 2**32))
@quick
def test_on_a_straight_rope_a_stuck_vehicle_that_breaks_free_has_a_formula(seed):
    """F = k (y_e + √((x_s − y_e)² + μ v_s²/k)), and the anchored one if it never moves."""
    random = np.random.default_rng(seed)
    m1, m2 = random.uniform(500, 9000, (2, 80))
    v, drive = random.uniform(0, 4, 80), random.uniform(0, 2e4, 80)
    breakout = random.uniform(0, 6e4, 80)
    moving = breakout * random.random(80)
    rope = Rope(Q(random.uniform(5, 30, 80), "m"), Q(5, "MN"), random.uniform(0.1, 0.4, 80))
    k = rope.stiffness.m_as("N/m")
    x_s = breakout / k
    v_s_square = v**2 + 2 * drive * x_s / m1 - k * x_s**2 / m1
    reduced = m1 * m2 / (m1 + m2)
    y_e = reduced / k * (drive / m1 + moving / m2)
    free = k * (y_e + np.sqrt((x_s - y_e) ** 2 + reduced * np.maximum(v_s_square, 0) / k))
    anchored = drive + np.sqrt(drive**2 + k * m1 * v**2)
    pull = Pull(
        Q(m1, "kg"),
        rope,
        Q(v, "m/s"),
        Q(m2, "kg"),
        Q(drive, "N"),
        Q(breakout, "N"),
        Q(moving, "N"),
    )
    moves = v_s_square > 0
    assert np.any(moves)
    np.testing.assert_allclose(peaks(pull), np.where(moves, free, anchored), rtol=1e-9)
    np.testing.assert_array_equal(pull.first_peak.stuck_moves, moves)


@some_pulls
@quick
def test_energy_is_conserved_to_the_first_peak(seed, curve):
    """Anchored: what moved and what the drive did are in the rope, whatever its curve."""
    pull = dataclasses.replace(
        random_pulls(seed, curve, SIZE),
        stuck_mass=None,
        breakout_resistance=Q(0, "N"),
        moving_resistance=Q(0, "N"),
    )
    peak, rope = pull.first_peak, pull.rope
    brought = pull.recovery_mass * pull.speed**2 / 2 + pull.drive * peak.extension
    stored = rope.stored_energy(peak.extension)
    holds = ~peak.parts
    scale = np.maximum(rope.stored_energy(peak.extension).m_as("J"), 1e-12)
    difference = (brought - stored).m_as("J") / scale
    assert np.all(np.abs(difference[holds]) < 1e-7)
    assert np.all(difference[~holds] > -1e-12)  # more came than the rope can hold
    np.testing.assert_allclose(
        peak.tension.m_as("N")[~holds], rope.parting_tension.m_as("N")[~holds], rtol=1e-9
    )


# --- what must be monotone --------------------------------------------------------------

# Up to the first peak the motion is decided by energies. With W(x) = E(x) − E(x_0) the stretch
# ends where m1 v²/2 + D (x − x_0) = W(x) while the stuck vehicle stands, and after breakout where
# v²/2 + (D x − W(x)) / m1 = (ΔW − R_m Δx) / m2, with the changes Δ since breakout. Whatever only
# raises the left side or lowers the right side moves the end outwards, and tension grows with
# stretch. ΔW ≥ R_m Δx, as the tension is above R_b ≥ R_m there.
MORE = ["speed", "drive", "breakout_resistance", "moving_resistance", "stuck_mass"]


@pytest.mark.parametrize("what", MORE)
@some_pulls
@quick
def test_more_never_means_less_first_peak(what, seed, curve):
    pull = random_pulls(seed, curve, SIZE)
    grown = 1.005 * getattr(pull, what)
    if what == "moving_resistance":
        grown = np.minimum(grown, pull.breakout_resistance)
    more = dataclasses.replace(pull, **{what: grown})
    assert np.all(peaks(more) >= peaks(pull) * (1 - 1e-9) - 1e-9)


@some_pulls
@quick
def test_a_stuck_vehicle_that_gives_way_never_pulls_harder_than_an_anchor(seed, curve):
    pull = random_pulls(seed, curve, SIZE)
    anchored = dataclasses.replace(
        pull, stuck_mass=None, breakout_resistance=Q(0, "N"), moving_resistance=Q(0, "N")
    )
    assert np.all(peaks(pull) <= peaks(anchored) * (1 + 1e-9) + 1e-9)


@some_pulls
@quick
def test_a_longer_rope_of_the_same_kind_never_means_more(seed, curve):
    """More meters for the same loads: each stretch takes more energy."""
    pull = random_pulls(seed, curve, SIZE)
    longer = dataclasses.replace(pull.rope, length=1.1 * pull.rope.length)
    assert np.all(peaks(dataclasses.replace(pull, rope=longer)) <= peaks(pull) * (1 + 1e-9) + 1e-9)


@some_pulls
@quick
def test_without_drive_a_heavier_recovery_vehicle_never_means_less(seed, curve):
    pull = dataclasses.replace(random_pulls(seed, curve, SIZE), drive=Q(0, "N"))
    heavier = dataclasses.replace(pull, recovery_mass=1.1 * pull.recovery_mass)
    assert np.all(peaks(heavier) >= peaks(pull) * (1 - 1e-9) - 1e-9)


# --- what sounds right but does not hold ------------------------------------------------


def test_with_drive_a_heavier_recovery_vehicle_can_pull_less():
    """From a standstill, nothing holds it: F = 2 D m2 / (m1 + m2). Heavy vehicles start slowly."""
    pull = a_pull(speed=Q(0, "km/h"), drive=Q(10, "kN"), stuck_mass=Q(2000, "kg"))
    heavier = dataclasses.replace(pull, recovery_mass=Q(6000, "kg"))
    assert peaks(pull) == pytest.approx(2 * 10e3 * 2000 / 5000, rel=1e-9)
    assert peaks(heavier) == pytest.approx(2 * 10e3 * 2000 / 8000, rel=1e-9)


# --- the inverse ------------------------------------------------------------------------


@some_pulls
@quick
def test_speed_for_tension_undoes_the_first_peak(seed, curve):
    pull = random_pulls(seed, curve, SIZE)
    parting = pull.rope.parting_tension.m_as("N")
    gentle = peaks(dataclasses.replace(pull, speed=Q(0, "m/s"))) < 0.9 * parting
    pull = dataclasses.replace(pull, drive=np.where(gentle, pull.drive, Q(0, "N")))
    at_rest = peaks(dataclasses.replace(pull, speed=Q(0, "m/s")))
    target = (at_rest + parting) / 2
    speed = pull.speed_for_tension(Q(target, "N"))
    within = speed.m_as("m/s") < 99
    # At that speed the peak is within the tension; a little faster it is above.
    slower = dataclasses.replace(pull, speed=np.minimum(speed, Q(99, "m/s")) * (1 - 1e-9))
    faster = dataclasses.replace(pull, speed=np.minimum(speed, Q(99, "m/s")) * (1 + 1e-6))
    assert np.all(peaks(slower) <= target * (1 + 1e-6))
    assert np.all(peaks(faster)[within] >= target[within] * (1 - 1e-9))


def test_a_leap_of_the_peak_belongs_to_the_speed_at_which_the_stuck_vehicle_breaks_free():
    """Light to move but hard to start, with much drive: the peak leaps from R_b upwards."""
    pull = a_pull(
        stuck_mass=Q(20000, "kg"),
        drive=Q(12, "kN"),
        breakout_resistance=Q(25, "kN"),
        moving_resistance=Q(25, "kN"),
    )
    at_breakout = pull.speed_for_tension(Q(25.0, "kN"))
    leap = pull.speed_for_tension(Q(26, "kN"))
    assert leap >= at_breakout
    below, above = (
        peaks(dataclasses.replace(pull, speed=leap * (1 + sign * 1e-6))) for sign in (-1, 1)
    )
    assert below <= 26e3 <= above * (1 + 1e-6)


def test_speed_for_tension_says_when_there_is_none():
    pull = a_pull(drive=Q(20, "kN"))
    with pytest.raises(InputError, match=r"no speed is slow enough for 30\.0 kN"):
        pull.speed_for_tension(Q([50, 30], "kN"))
    with pytest.raises(InputError, match="cannot carry 200 kN"):
        a_pull().speed_for_tension(Q(200, "kN"))
    with pytest.raises(InputError, match="tension: 5 kg is not a force"):
        a_pull().speed_for_tension(Q(5, "kg"))


# --- shapes and refusals ----------------------------------------------------------------


@some_pulls
@quick
def test_arrays_equal_single_pulls(seed, curve):
    pull = random_pulls(seed, curve, SIZE)
    for index in (0, 77, SIZE - 1):
        alone = one_of(pull, index).first_peak
        together = pull.first_peak
        assert alone.tension.m == pytest.approx(together.tension.m[index], rel=1e-9, abs=1e-6)
        assert alone.parts == together.parts[index]
        assert alone.stuck_moves == together.stuck_moves[index]
        assert isinstance(alone.parts, bool)


def test_shapes_broadcast():
    pull = a_pull(recovery_mass=Q([[2000], [3000]], "kg"), speed=Q([2, 4, 6], "km/h"))
    peak = pull.first_peak
    assert peak.tension.m.shape == peak.parts.shape == peak.stuck_moves.shape == (2, 3)


STUCK = {
    "stuck_mass": Q(2000, "kg"),
    "breakout_resistance": Q(12, "kN"),
    "moving_resistance": Q(8, "kN"),
}


@pytest.mark.parametrize(
    ("fields", "fault"),
    [
        ({"recovery_mass": Q(0, "kg")}, "recovery_mass: 0 kg is not above 0"),
        ({"speed": Q(5, "km")}, "speed: 5 km is not a speed"),
        ({"speed": Q(200, "m/s")}, "is beyond 360 km/h"),
        ({"drive": Q(-1, "kN")}, "drive: -1 kN is below 0"),
        ({"drive": 5}, "drive: 5 has no unit"),
        ({"rope": None}, "rope: None is not a Rope"),
        ({"stuck_mass": Q(0, "kg")}, "stuck_mass: 0 kg is not above 0"),
        ({"breakout_resistance": Q(1, "kN")}, "breakout_resistance: an anchor has none"),
        ({"breakout_resistance": Q([0, 5], "kN")}, "breakout_resistance: an anchor has none"),
        ({"moving_resistance": Q(1, "kN")}, "moving_resistance: an anchor has none"),
        ({**STUCK, "moving_resistance": Q(13, "kN")}, "it is above the breakout_resistance"),
        ({**STUCK, "moving_resistance": Q([7, 13], "kN")}, "it is above the breakout_resistance"),
        ({"speed": Q([1, 2], "m/s"), "drive": Q([1, 2, 3], "N")}, "do not fit together"),
        (
            {"speed": Q([1, 2], "m/s"), "rope": Rope(Q([1, 2, 3], "m"), Q(1, "kN"), 0.3)},
            "rope: its lists do not fit those of the pull",
        ),
    ],
)
def test_bad_pulls_are_refused(fields, fault):
    with pytest.raises(InputError, match="Pull:") as error:
        a_pull(**fields)
    assert fault in str(error.value)


def test_a_pull_cannot_be_changed():
    with pytest.raises(AttributeError):
        a_pull().speed = Q(1, "m/s")


def test_a_free_vehicle_follows_from_the_start():
    free = a_pull(speed=Q(1, "m/s"), stuck_mass=Q(1500, "kg"), drive=Q(9, "kN"))
    assert free.first_peak.stuck_moves
    # Two bodies: mu = 1000 kg, y_e = (mu / k) D / m1.
    even = 1000 * 9e3 / 3000
    exact = even + np.sqrt(even**2 + 1000 * 50e3)
    assert free.first_peak.tension.m_as("N") == pytest.approx(exact, rel=1e-9)
    speed = free.speed_for_tension(free.first_peak.tension)
    assert speed.m_as("m/s") == pytest.approx(1, rel=1e-9)
    assert free.speed_for_tension(Q(2 * even, "N")).m_as("m/s") == pytest.approx(0, abs=1e-6)
    with pytest.raises(InputError, match=r"no speed is slow enough for 5\.90 kN"):
        free.speed_for_tension(Q(5.9, "kN"))


def test_a_rope_that_parts_just_where_the_stuck_vehicle_would_move_does_not_move_it():
    pull = a_pull(speed=Q(60, "km/h"), stuck_mass=Q(2000, "kg"), breakout_resistance=Q(150, "kN"))
    assert pull.first_peak.parts
    assert not pull.first_peak.stuck_moves
