"""Pulls in time: many at once beside scipy's solve_ivp one by one, and what each of many costs."""

import tracemalloc

import numpy as np
import pytest
from helpers.adaptive import AdaptivePull
from helpers.side_by_side import milliseconds

from recoverykit import LoadCurve, Pull, Q, Rope, pull_in_time

STIFFENING = LoadCurve((0, 0.2, 0.4, 0.6, 0.8, 1), (0, 0.06, 0.19, 0.40, 0.68, 1))
DURATION = 3.0  # seconds
MANY = 10_000
SAMPLE = 32  # of them go through solve_ivp

# What both must reach on the sample, and how solve_ivp gets there with the least work: of its
# methods RK45, RK23, DOP853 and LSODA at tolerances from 1e-5 to 1e-8. Without a longest step a
# tolerance of 1e-6 misses stuck vehicles that break free just before the stretch turns.
PEAK, TRAVEL = 1e-4, 1e-3
LEAST_WORK = {"method": "RK45", "rtol": 1e-6, "max_step": 0.05}


def draw(number, loss):
    """Two-body pulls on stiffening ropes; stuck vehicles break free, slide and stick."""
    random = np.random.default_rng(1)
    breakout = random.uniform(5, 40, number)
    return Pull(
        Q(random.uniform(1000, 5000, number), "kg"),
        Rope(
            Q(random.uniform(6, 20, number), "m"),
            Q(random.uniform(80, 300, number), "kN"),
            random.uniform(0.2, 0.4, number),
            STIFFENING,
            loss,
        ),
        Q(random.uniform(0.3, 3, number), "m/s"),
        Q(random.uniform(1000, 9000, number), "kg"),
        Q(random.uniform(0, 15, number), "kN"),
        Q(breakout, "kN"),
        Q(breakout * random.uniform(0.3, 1, number), "kN"),
    )


def one_by_one(pull, indices):
    si, rope = pull.si, pull.rope.si
    for index in indices:
        yield AdaptivePull(
            STIFFENING.stretch,
            STIFFENING.load,
            strength=rope["breaking_strength"][index],
            full_extension=rope["full_extension"][index],
            recovery_mass=si["recovery_mass"][index],
            speed=si["speed"][index],
            stuck_mass=si["stuck_mass"][index],
            drive=si["drive"][index],
            breakout=si["breakout_resistance"][index],
            moving=si["moving_resistance"][index],
            loss=rope["loss"],
        )


def errors(peaks, travels, truth):
    """The worst errors of peak and of travel (where there is any to speak of)."""
    true_peaks, true_travels = np.array([(pull.peak, pull.travel) for pull in truth]).T
    return (
        np.max(np.abs(peaks / true_peaks - 1)),
        np.max(np.abs(travels - true_travels) / np.maximum(true_travels, 0.01)),
    )


@pytest.mark.parametrize("loss", [0.0, 0.15], ids=["no loss", "15 % lost"])
def test_many_pulls_beside_solve_ivp(loss, record_property):
    pull = draw(MANY, loss)
    sample = np.linspace(0, MANY - 1, SAMPLE).astype(int)
    duration = Q(DURATION, "s")

    def with_solve_ivp():
        return [one.follow(DURATION, **LEAST_WORK) for one in one_by_one(pull, sample)]

    truth = [one.follow(DURATION, rtol=1e-11, max_step=0.02) for one in one_by_one(pull, sample)]
    theirs = with_solve_ivp()
    their_errors = errors(
        np.array([one.peak for one in theirs]), np.array([one.travel for one in theirs]), truth
    )
    ours = pull_in_time(pull, duration)
    our_errors = errors(ours.peak.m[sample], ours.stuck_travel.m[sample], truth)

    together, apart = milliseconds(lambda: pull_in_time(pull, duration), with_solve_ivp, rounds=5)
    ratio = (apart / SAMPLE) / (together / MANY)
    record_property(
        "speed",
        f"pulls in time, {loss:.0%} lost: {1000 * together / MANY:.1f} µs each for {MANY:,} "
        f"(errors on the sample: peak {our_errors[0]:.0e}, travel {our_errors[1]:.0e}); solve_ivp "
        f"{apart / SAMPLE:.1f} ms each for {SAMPLE} of them ({their_errors[0]:.0e}, "
        f"{their_errors[1]:.0e}): {ratio:.0f} times as long",
    )
    for peak_error, travel_error in (our_errors, their_errors):
        assert peak_error < PEAK
        assert travel_error < TRAVEL
    assert ratio > 100


def test_cost_and_memory_of_each_of_many(record_property):
    numbers = (100, 1_000, 10_000, 100_000)
    pulls = [draw(number, 0.15) for number in numbers]
    duration = Q(DURATION, "s")
    times = milliseconds(*(lambda p=p: pull_in_time(p, duration) for p in pulls), rounds=3)
    peaks = []
    for pull in pulls:
        tracemalloc.start()
        pull_in_time(pull, duration)
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    each = [1000 * taken / number for taken, number in zip(times, numbers, strict=True)]
    memory = [peak / number for peak, number in zip(peaks, numbers, strict=True)]
    record_property(
        "speed",
        "pulls in time, each of "
        + "; ".join(
            f"{number:,}: {microseconds:.0f} µs and {size / 1000:.2f} kB"
            for number, microseconds, size in zip(numbers, each, memory, strict=True)
        ),
    )
    assert each[0] > each[1] > each[2]
    assert each[3] < 2 * each[2]
    assert memory[3] < 1000


def test_one_pull_for_a_picture(record_property):
    pull = Pull(
        Q(3100, "kg"),
        Rope(Q(11, "m"), Q(165, "kN"), Q(30, "percent"), STIFFENING, loss=0.15),
        Q(5, "km/h"),
        Q(1850, "kg"),
        breakout_resistance=Q(12, "kN"),
        moving_resistance=Q(8, "kN"),
    )
    alone, sampled = milliseconds(
        lambda: pull_in_time(pull), lambda: pull_in_time(pull, samples=200), rounds=15
    )
    record_property(
        "speed",
        f"one pull of 2 s in time: {alone:.1f} ms; with a history of 200 samples {sampled:.1f} ms",
    )
    assert sampled < 20 * alone
