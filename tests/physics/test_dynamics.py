"""Motion: pulls in time, against closed forms, an adaptive method, and conservation of energy."""

import dataclasses
import math

import numpy as np
import pytest
from helpers.adaptive import AdaptivePull
from helpers.pulls import (
    CURVES,
    ROUGH,
    SOFTENING,
    STIFFENING,
    one_of,
    random_pulls,
    unloading_tension,
)
from hypothesis import given, settings
from hypothesis import strategies as st

import recoverykit.physics.integrator
from recoverykit import InputError, Pull, Q, Rope, pull_in_time
from recoverykit.physics.load_curve import LINEAR
from recoverykit.physics.rope import RopeKind
from recoverykit.tables.records import find


def a_rope(curve=LINEAR, **fields):
    return Rope(Q(10, "m"), Q(150, "kN"), Q(30, "percent"), curve, **fields)


WALKING = Q(5, "km/h")


def a_pull(speed=WALKING, rope=None, **fields):
    return Pull(Q(3000, "kg"), rope or a_rope(), speed, **fields)


STUCK = {
    "stuck_mass": Q(2000, "kg"),
    "breakout_resistance": Q(12, "kN"),
    "moving_resistance": Q(8, "kN"),
}


# --- any pulls --------------------------------------------------------------------------


SIZE = 16
some_pulls = given(seed=st.integers(0, 2**32), curve=st.sampled_from(CURVES))


def swings(pull, number):
    """A time of so many radians of the swing of the recovery vehicle on its rope."""
    return number * np.sqrt(pull.recovery_mass / pull.rope.stiffness).to("s")


few = settings(max_examples=5)


def all_is_accounted_for(pull, motion, in_the_rope):
    """What moved and what the drive did, less what moves and what the ground took."""
    history = motion.history
    speeds = history.recovery_speed[-1], history.stuck_speed[-1]
    moving_before = pull.recovery_mass * pull.speed**2 / 2
    moving = (pull.recovery_mass * speeds[0] ** 2 + pull.stuck_mass * speeds[1] ** 2) / 2
    from_drive = pull.drive * history.recovery_travel[-1]
    to_ground = pull.moving_resistance * motion.stuck_travel
    left = (moving_before + from_drive - moving - to_ground - in_the_rope).m_as("J")
    # By its peak the drive has worked over the stretch at least.
    by_the_peak = pull.drive * pull.first_peak.extension
    came = moving_before + np.maximum(from_drive, by_the_peak)
    to = 1e-3 if pull.rope.curve == ROUGH else 1e-4
    return np.abs(left) <= to * came.m_as("J") + 1e-12


@some_pulls
@few
def test_without_loss_all_energy_is_in_motion_in_the_rope_or_in_the_ground(seed, curve):
    pull = random_pulls(seed, curve, SIZE)
    rope = dataclasses.replace(pull.rope, loss=0.0)
    pull = dataclasses.replace(pull, rope=rope)
    motion = pull_in_time(pull, swings(pull, 12), samples=2)
    stretch = np.where(
        motion.parts,
        rope.extension_at_break,
        np.clip(motion.history.extension[-1], 0 * rope.length, rope.extension_at_break),
    )
    assert np.all(all_is_accounted_for(pull, motion, rope.stored_energy(stretch)))


@some_pulls
@few
def test_with_loss_the_rope_keeps_what_its_tension_did(seed, curve):
    pull = random_pulls(seed, curve, SIZE)
    motion = pull_in_time(pull, swings(pull, 12), samples=4001)
    extension = motion.history.extension.m_as("m")
    work = np.trapezoid(motion.history.tension.m_as("N"), extension, axis=0)
    accounted_for = all_is_accounted_for(pull, motion, Q(work, "J"))
    assert np.all(accounted_for | motion.parts)  # between two samples a rope that parts does work


@some_pulls
@few
def test_nothing_is_out_of_range(seed, curve):
    pull = random_pulls(seed, curve, SIZE)
    motion = pull_in_time(pull, swings(pull, 12), swings(pull, 4), samples=41)
    assert np.all(motion.peak.m_as("N") <= pull.rope.parting_tension.m_as("N") * (1 + 1e-9))
    assert np.all(np.isnan(motion.parts_at.m) == ~motion.parts)
    history = motion.history
    for item in dataclasses.fields(history):
        assert np.all(np.isfinite(getattr(history, item.name).m)), item.name
    assert np.all(history.tension.m >= 0)
    assert np.all(history.tension.m_as("N") <= motion.peak.m_as("N") * (1 + 1e-6))
    assert np.all(history.tension.m[history.extension.m < 0] == 0)
    size = pull.rope.extension_at_break.m_as("m")
    assert np.all(np.diff(history.stuck_travel.m_as("m"), axis=0) >= -1e-7 * size)
    # What the rope stretches by is what one vehicle moves more than the other.
    ahead = history.recovery_travel - history.stuck_travel
    assert np.max(np.abs((history.extension - ahead).m_as("m")) / size) < 1e-7


@some_pulls
@few
def test_the_first_peak_is_that_of_the_energies(seed, curve):
    """Up to the first turn nothing is lost, so the closed form holds on every curve."""
    pull = random_pulls(seed, curve, SIZE)
    first = pull.first_peak
    motion = pull_in_time(pull, swings(pull, 12))
    tension, peak = first.tension.m_as("N"), motion.peak.m_as("N")
    assert np.all(peak >= tension * (1 - 1e-4) - 1e-6)
    # Without a drive that is the greatest there will be.
    coasting = dataclasses.replace(pull, drive=Q(0, "N"))
    np.testing.assert_allclose(
        pull_in_time(coasting, swings(pull, 12)).peak.m,
        coasting.first_peak.tension.m_as("N"),
        rtol=1e-4,
        atol=1e-6,
    )


@some_pulls
@few
def test_a_batch_equals_its_single_pulls(seed, curve):
    pull = random_pulls(seed, curve, SIZE)
    together = pull_in_time(pull, swings(pull, 8), samples=11)
    for index in range(0, SIZE, 5):
        alone = pull_in_time(one_of(pull, index), swings(pull, 8)[index], samples=11)
        for name in ("peak", "peak_time", "parts_at", "stuck_travel", "stuck_speed"):
            np.testing.assert_allclose(
                getattr(alone, name).m, getattr(together, name).m[index], rtol=1e-9, atol=1e-12
            )
        np.testing.assert_allclose(
            alone.history.extension.m, together.history.extension.m[:, index], rtol=1e-9, atol=1e-12
        )


# --- the adaptive method ----------------------------------------------------------------


def adaptive(pull, index, drive_time=math.inf):
    si, rope = pull.si, pull.rope.si

    def pick(values):
        return float(np.broadcast_to(values, SIZE)[index])

    return AdaptivePull(
        pull.rope.curve.stretch,
        pull.rope.curve.load,
        strength=pick(rope["breaking_strength"]),
        full_extension=pick(rope["full_extension"]),
        recovery_mass=pick(si["recovery_mass"]),
        speed=pick(si["speed"]),
        stuck_mass=pick(si["stuck_mass"]),
        drive=pick(si["drive"]),
        breakout=pick(si["breakout_resistance"]),
        moving=pick(si["moving_resistance"]),
        loss=pick(rope["loss"]),
        strength_factor=pick(rope["strength_factor"]),
        drive_time=drive_time,
    )


@pytest.mark.parametrize("curve", [STIFFENING, ROUGH, SOFTENING], ids=["stiff", "rough", "soft"])
@pytest.mark.parametrize("loss", [0.0, 0.35])
def test_agrees_with_an_adaptive_method(curve, loss):
    random = np.random.default_rng(7)
    size = SIZE
    breakout = random.uniform(3e3, 4e4, size)
    drive_time = np.where(random.random(size) < 0.4, random.uniform(0.1, 1.5, size), 1e3)
    rope = Rope(
        Q(random.uniform(6, 20, size), "m"),
        Q(random.uniform(80, 300, size), "kN"),
        Q(random.uniform(20, 40, size), "percent"),
        curve,
        loss,
        random.uniform(0.4, 1, size),
    )
    pull = Pull(
        Q(random.uniform(1000, 5000, size), "kg"),
        rope,
        Q(random.uniform(0, 4, size), "m/s"),
        Q(random.uniform(800, 9000, size), "kg"),
        Q(np.where(random.random(size) < 0.3, 0, random.uniform(0, 20, size)), "kN"),
        Q(breakout, "N"),
        Q(breakout * random.random(size), "N"),
    )
    motion = pull_in_time(pull, Q(2.5, "s"), Q(drive_time, "s"))
    assert 0 < np.count_nonzero(motion.stuck_travel.m > 0.01) < size  # some move, some do not
    for index in range(size):
        # Without a longest step it misses a stuck vehicle that breaks free just before the turn.
        there = adaptive(pull, index, drive_time[index]).follow(2.5, rtol=1e-8, max_step=0.03)
        assert motion.peak.m[index] == pytest.approx(there.peak, rel=1e-4)
        assert motion.stuck_travel.m[index] == pytest.approx(there.travel, rel=1e-3, abs=1e-5)
        assert motion.stuck_speed.m[index] == pytest.approx(there.stuck_speed, rel=1e-3, abs=1e-4)
        assert motion.parts_at.m[index] == pytest.approx(there.parted_at, rel=1e-4, nan_ok=True)


def test_a_rope_stretched_past_its_last_turn_is_back_on_its_loading_curve():
    """The stuck vehicle stops, and the drive stretches the rope farther than the first time."""
    pull = Pull(
        Q(3800, "kg"),
        a_rope(loss=0.3),
        Q(0.64, "m/s"),
        Q(4000, "kg"),
        Q(19.7, "kN"),
        Q(40.3, "kN"),
        Q(17.1, "kN"),
    )
    history = pull_in_time(pull, Q(2.5, "s"), samples=251).history
    stretch = history.extension[1:].m_as("m")
    first, second = np.argmax(stretch[:100]), 100 + np.argmax(stretch[100:])
    assert stretch[second] > 1.03 * stretch[first]
    assert stretch[first:second].min() > 0.1, "taut all the way"
    ratio = (history.tension[1:] / pull.rope.tension(history.extension[1:])).m
    assert ratio[second] == pytest.approx(1, rel=1e-6)
    assert ratio[first:second].min() < 0.9, "less is given back than was taken"


# --- closed forms -----------------------------------------------------------------------


@pytest.mark.parametrize("curve", CURVES, ids=["straight", "stiff", "rough", "soft"])
@pytest.mark.parametrize("loss", [0.0, 0.3, 0.5])
def test_there_and_back_the_tension_follows_the_curves_of_the_rope(curve, loss):
    rope = a_rope(curve, loss=loss)
    pull = a_pull(rope=rope)
    motion = pull_in_time(pull, Q(2, "s"), samples=401)
    history, peak = motion.history, motion.peak.m_as("N")
    taut = history.extension.m >= 0
    there = taut & (history.time <= motion.peak_time)
    back = taut & ~there
    assert there.sum() > 10 < back.sum()
    turned = pull.first_peak.extension
    stretch = np.minimum(history.extension, turned)
    for which, expected in (
        (there, rope.tension(stretch[there])),
        (back, unloading_tension(rope, stretch[back], turned)),
    ):
        found = history.tension[which].m_as("N")
        np.testing.assert_allclose(found, expected.m_as("N"), atol=1e-4 * peak)
    assert np.all(np.diff(history.tension.m[back]) <= 1e-9 * peak)


# --- order of the method ----------------------------------------------------------------


def test_the_error_falls_with_the_fourth_power_of_the_step(monkeypatch):
    errors = []
    for step in (0.4, 0.2):
        monkeypatch.setattr(recoverykit.physics.integrator, "STEP", step)
        history = pull_in_time(a_pull(), Q(0.7, "s"), samples=2).history
        frequency = math.sqrt(50e3 / 3000)
        exact = WALKING.m_as("m/s") / frequency * math.sin(0.7 * frequency)
        errors.append(abs(history.extension[-1].m_as("m") - exact))
    assert 2**3.5 < errors[0] / errors[1] < 2**5


# --- what sounds right but does not hold ------------------------------------------------


def test_with_the_foot_kept_down_a_slower_start_can_pull_harder():
    """The first peak grows with speed, always; that of the whole pull does not.

    Kept up, the drive runs the vehicle into its slack rope again, and how hard depends on when
    the stuck vehicle came to rest.
    """
    speeds = Q(np.linspace(0, 12, 49), "km/h")
    pull = a_pull(
        speeds,
        drive=Q(12, "kN"),
        stuck_mass=Q(1850, "kg"),
        breakout_resistance=Q(20, "kN"),
        moving_resistance=Q(10, "kN"),
    )
    assert np.all(np.diff(pull.first_peak.tension.m) >= 0)
    peaks = pull_in_time(pull, Q(4, "s")).peak.m_as("kN")
    assert np.min(np.diff(peaks)) < -1
    assert np.max(peaks - pull.first_peak.tension.m_as("kN")) > 1


# --- shapes and words -------------------------------------------------------------------


def test_shapes_broadcast():
    masses, speeds = Q([[2000], [3000], [4000]], "kg"), Q([2, 4, 6, 8], "km/h")
    pull = Pull(masses, a_rope(STIFFENING), speeds, **STUCK)
    motion = pull_in_time(pull, Q(1, "s"), samples=7)
    assert motion.peak.m.shape == motion.parts.shape == motion.stuck_speed.m.shape == (3, 4)
    assert motion.history.tension.m.shape == (7, 3, 4)
    assert motion.history.time.m.shape == (7, 3, 4)
    alone = Pull(masses[1, 0], a_rope(STIFFENING), speeds[2], **STUCK)
    alone = pull_in_time(alone, Q(1, "s"), samples=7)
    assert motion.stuck_travel.m[1, 2] == pytest.approx(alone.stuck_travel.m, rel=1e-9)
    durations = pull_in_time(a_pull(), Q([0.1, 0.2], "s"))
    assert durations.peak.m.shape == (2,)
    assert durations.peak.m[0] < durations.peak.m[1]


def test_a_history_is_sampled_at_equal_times_up_to_the_end():
    history = pull_in_time(a_pull(**STUCK), Q(1.5, "s"), samples=16).history
    np.testing.assert_allclose(history.time.m_as("s"), np.linspace(0, 1.5, 16))
    assert pull_in_time(a_pull()).history is None


@some_pulls
@few
def test_a_sample_is_where_a_shorter_pull_ends(seed, curve):
    pull = random_pulls(seed, curve, SIZE)
    history = pull_in_time(pull, swings(pull, 8), samples=9).history
    for sample in (3, 6):
        ends = pull_in_time(pull, swings(pull, sample), samples=2).history
        for name, unit in (("extension", "m"), ("stuck_travel", "m"), ("recovery_speed", "m/s")):
            # In the measures of each pull.
            scale = pull.rope.extension_at_break
            if unit == "m/s":
                scale = scale / swings(pull, 1)
            difference = getattr(history, name)[sample] - getattr(ends, name)[-1]
            assert np.max(np.abs((difference / scale).m_as(""))) < 1e-4


@pytest.mark.parametrize(
    ("arguments", "fault"),
    [
        ({"duration": 2}, "duration: 2 has no unit"),
        ({"duration": Q(0, "s")}, "duration: 0 s is not above 0"),
        ({"duration": Q(2, "m")}, "duration: 2 m is not a time"),
        ({"drive_time": Q(-1, "s")}, "drive_time: -1 s is not above 0"),
        ({"duration": Q([1, 2], "s"), "drive_time": Q([1, 2, 3], "s")}, "do not fit together"),
        ({"samples": 1}, "samples: 1 is neither 0 nor"),
        ({"samples": 10.0}, "samples: 10.0 is neither 0 nor"),
        ({"samples": True}, "samples: True is neither 0 nor"),
        ({"samples": 10**6}, "is neither 0 nor a whole number from 2 to 10000"),
        ({"duration": Q(1e6, "s")}, "ask for at most"),
    ],
)
def test_bad_arguments_are_refused(arguments, fault):
    with pytest.raises(InputError, match="pull_in_time") as error:
        pull_in_time(a_pull(), **arguments)
    assert fault in str(error.value)


def test_arrays_that_do_not_fit_the_pull_are_refused():
    with pytest.raises(InputError, match="do not fit together"):
        pull_in_time(a_pull(Q([1, 2], "km/h")), Q([1, 2, 3], "s"))
    with pytest.raises(InputError, match="is not a Pull"):
        pull_in_time(a_rope())


def test_the_longest_time_offered_is_accepted():
    pull = a_pull(rope=Rope(Q(10, "m"), Q(900, "MN"), Q(1, "percent")))
    with pytest.raises(InputError) as error:
        pull_in_time(pull, Q(100, "s"))
    seconds = float(str(error.value).split("at most ")[1].split()[0])
    assert pull_in_time(pull, Q(0.99 * seconds, "s")).peak.m > 0


# --- followed until the peak is past ----------------------------------------------------


def slow_and_soft():
    rope = find(RopeKind, name="laid, new").rope(Q(11, "m"), Q(60, "kN"))
    return Pull(Q(9000, "kg"), rope, Q(3, "km/h"))


def test_a_pull_that_is_left_before_its_peak_says_so():
    motion = pull_in_time(slow_and_soft(), Q([0.5, 2.0, 5.0], "s"))
    assert motion.peak_is_past.tolist() == [False, False, True]
    expected = slow_and_soft().first_peak.tension.m_as("N")
    assert motion.peak[1].m_as("N") < 0.9 * expected
    assert motion.peak[2].m_as("N") == pytest.approx(expected, rel=1e-5)
    assert pull_in_time(slow_and_soft()).peak_is_past is False


def test_a_rope_that_parts_is_past_its_peak():
    rope = Rope(Q(9, "m"), Q(60, "kN"), Q(30, "percent"))
    motion = pull_in_time(Pull(Q(9000, "kg"), rope, Q(20, "km/h")), Q(2, "s"))
    assert motion.parts
    assert motion.peak_is_past
