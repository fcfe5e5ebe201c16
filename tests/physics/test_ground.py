"""What the ground holds and gives: limits, monotony, and the verdict."""

import dataclasses
import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from recoverykit import InputError, Q
from recoverykit.physics.ground import (
    GROUNDS,
    LIKELY,
    MIRE_DEPTHS,
    NOT_ENOUGH,
    POSSIBLE,
    REDUCTIONS,
    UNLIKELY,
    RecoveryVehicle,
    RollingRow,
    SteadyPull,
    StuckVehicle,
    TractionRow,
    drawbar_pull,
    ground,
    resistance,
    verdict_on,
)


def band(spread):
    return [edge.m_as("N") for edge in spread.band]


# --- forces: their equations are tested with the docstrings ------------------------------


def test_a_force_is_never_below_zero():
    # Down 5° a vehicle that rolls easily needs no pull: c is below tan 5° = 0.087.
    downhill = Q(-5, "degree")
    assert resistance(Q(1000, "kg"), 0.05, downhill) == Q(0, "N")
    assert resistance(Q(1000, "kg"), 0.09, downhill) > Q(0, "N")
    # One whose own resistance is above its grip cannot even move itself.
    assert drawbar_pull(Q(3000, "kg"), 0.2, 0.3) == Q(0, "N")


# --- grounds ----------------------------------------------------------------------------


@pytest.mark.parametrize("name", GROUNDS)
def test_a_ground_spans_what_its_sources_say_of_rolling(name):
    rows = [row for row in ground(name).rows if isinstance(row, RollingRow)]
    # One surface; on snow the tires' own rolling and the snow, which add up.
    surfaces = {row.surface: [r for r in rows if r.surface == row.surface] for row in rows}
    assert len(surfaces) == (2 if name == "snow" else 1)
    low = sum(min(row.low for row in rows) for rows in surfaces.values())
    high = sum(max(row.high for row in rows) for rows in surfaces.values())
    assert 0 < low <= high < 1
    assert ground(name).rolling.ends.m_as("") == pytest.approx([low, high])


@pytest.mark.parametrize("name", GROUNDS)
def test_a_traction_of_one_source_is_as_wide_as_tables_of_one_ground_differ(name):
    found = ground(name)
    rows = [row for row in found.rows if isinstance(row, TractionRow)]
    assert bool(rows) == bool(found.traction) == (name != "soft mud")
    if not rows:
        return
    low, high = found.traction.ends.m_as("")
    printed = min(row.low for row in rows), max(row.high for row in rows)
    if len({row.source for row in rows}) > 1:
        assert (low, high) == pytest.approx(printed)
    else:
        assert high / low == pytest.approx(2)
        assert low < printed[0] <= printed[1] < high
        assert low + high == pytest.approx(sum(printed))


def test_ice_gives_less_than_any_other_ground():
    ice = ground("ice").traction.at(0.5)
    others = [ground(name).traction for name in GROUNDS if name != "ice"]
    assert all(ice <= traction.ends[0] for traction in others if traction)


# --- stuck vehicles -------------------------------------------------------------------------


def test_not_mired_the_start_takes_what_keeps_it_rolling():
    stuck_vehicle = StuckVehicle(Q(2500, "kg"), "wet sand")
    assert stuck_vehicle.pull_to_start is stuck_vehicle.pull_to_keep_moving


@pytest.mark.parametrize("name", GROUNDS)
def test_deeper_mire_holds_more_and_never_less_than_rolling(name):
    depths = [StuckVehicle(Q(2500, "kg"), name, mire=mire) for mire in MIRE_DEPTHS]
    bands = [band(stuck_vehicle.pull_to_start) for stuck_vehicle in depths]
    for shallow, deep in itertools.pairwise([band(depths[0].pull_to_keep_moving), *bands]):
        assert all(less <= more for less, more in zip(shallow, deep, strict=True))
    for stuck_vehicle in depths:
        assert np.all(
            stuck_vehicle.pull_to_start.samples >= stuck_vehicle.pull_to_keep_moving.samples
        )


@pytest.mark.parametrize("mire", [None, *MIRE_DEPTHS])
@pytest.mark.parametrize("reduction", REDUCTIONS)
def test_every_reduction_reduces(mire, reduction):
    before = StuckVehicle(Q(2500, "kg"), "soft mud", mire=mire)
    after = dataclasses.replace(before, reductions=(reduction,))
    assert np.all(after.pull_to_start.samples < before.pull_to_start.samples)


def test_every_further_reduction_reduces_further():
    steps = [
        StuckVehicle(Q(2500, "kg"), "soft mud", mire="wheels", reductions=REDUCTIONS[:count])
        for count in range(len(REDUCTIONS) + 1)
    ]
    medians = [band(step.pull_to_start)[1] for step in steps]
    assert medians == sorted(medians, reverse=True)


def test_taking_off_a_fifth_takes_off_a_fifth():
    full = StuckVehicle(Q(2500, "kg"), "soft mud", mire="wheels")
    lighter = dataclasses.replace(full, unloaded=Q(500, "kg"))
    np.testing.assert_allclose(
        band(lighter.pull_to_start), 0.8 * np.array(band(full.pull_to_start))
    )


@pytest.mark.parametrize(
    ("bad", "says"),
    [
        ({"mass": Q(0, "kg")}, "mass: 0 kg is not above 0"),
        ({"mass": 2500}, "mass: 2500 has no unit"),
        ({"ground": "lava"}, "ground: there is no 'lava'"),
        ({"mire": "roof"}, 'mire: there is no \'roof\'; write one of "wheels", "fenders", "cab"'),
        ({"slope": Q(50, "degree")}, "slope: 50"),
        ({"unloaded": Q(2500, "kg")}, "unloaded: 2500 kg is not less than the mass"),
        ({"unloaded": Q(-1, "kg")}, "unloaded: -1 kg is below 0"),
        ({"reductions": ("pray",)}, "reductions: there is no 'pray'"),
    ],
)
def test_a_stuck_vehicle_that_cannot_be_is_refused(bad, says):
    with pytest.raises(InputError) as error:
        StuckVehicle(**{"mass": Q(2500, "kg"), "ground": "soft mud", **bad})
    assert says in str(error.value)


@pytest.mark.parametrize(
    ("bad", "says"),
    [
        ({"mass": Q(-5, "kg")}, "mass: -5 kg is not above 0"),
        ({"ground": "soft mud"}, "ground: there is no 'soft mud'; write one of"),
        ({"slope": Q(50, "degree")}, "slope: 50 deg is above 45°"),
    ],
)
def test_a_recovery_vehicle_that_cannot_be_is_refused(bad, says):
    with pytest.raises(InputError) as error:
        RecoveryVehicle(**{"mass": Q(3100, "kg"), "ground": "wet grass", **bad})
    assert says in str(error.value)


def test_uphill_a_recovery_vehicle_gives_less_by_its_weight_along_the_slope():
    level, uphill = (
        RecoveryVehicle(Q(3100, "kg"), "gravel", Q(angle, "degree")).steady_pull for angle in (0, 5)
    )
    along = 3100 * 9.80665 * np.sin(np.radians(5))
    expected = level.samples.m_as("N") * np.cos(np.radians(5)) - along
    np.testing.assert_allclose(uphill.samples.m_as("N"), expected)


# --- enough or not ----------------------------------------------------------------------


def test_the_chance_is_that_of_one_range_above_another():
    stuck_vehicle = StuckVehicle(Q(4200, "kg"), "soft mud", mire="wheels")
    pull = SteadyPull(RecoveryVehicle(Q(3100, "kg"), "dry road"), stuck_vehicle)
    given, needed = pull.available.samples, stuck_vehicle.pull_to_start.samples
    low, high = needed.min(), needed.max()
    assert low < given.min() < given.max() < high
    # Each given pull suffices for as many cases as lie below it, evenly from low to high.
    expected = ((given.mean() - low) / (high - low)).m_as("")
    assert pull.chance == pytest.approx(expected, abs=0.01)


def verdict(mass, on, **stuck_vehicle):
    return SteadyPull(
        RecoveryVehicle(Q(mass, "kg"), on), StuckVehicle(Q(2500, "kg"), **stuck_vehicle)
    ).verdict


def test_verdicts():
    assert verdict(3100, "dry road", ground="dry earth") == LIKELY
    assert verdict(3100, "dry road", ground="soft mud", mire="wheels") == POSSIBLE
    assert verdict(3100, "ice", ground="soft mud", mire="wheels") == NOT_ENOUGH
    assert verdict(3100, "dry road", ground="soft mud", mire="cab") == NOT_ENOUGH


@pytest.mark.parametrize(
    ("chance", "word"),
    [
        (1.0, LIKELY),
        (0.95, LIKELY),
        (0.949, POSSIBLE),
        (0.5, POSSIBLE),
        (0.499, UNLIKELY),
        (0.025, UNLIKELY),
        (0.0249, NOT_ENOUGH),
        (0.0, NOT_ENOUGH),
    ],
)
def test_each_word_stands_for_stated_chances(chance, word):
    assert verdict_on(chance) == word


@given(st.floats(500, 20000), st.floats(500, 20000), st.sampled_from(MIRE_DEPTHS))
def test_a_heavier_recovery_vehicle_never_has_less_chance(one, other, mire):
    light, heavy = sorted((one, other))
    stuck_vehicle = StuckVehicle(Q(2500, "kg"), "soft mud", mire=mire)
    chances = [
        SteadyPull(RecoveryVehicle(Q(mass, "kg"), "gravel"), stuck_vehicle).chance
        for mass in (light, heavy)
    ]
    assert chances[0] <= chances[1]


def test_no_word_says_that_it_is_without_danger():
    for words in (LIKELY, POSSIBLE, UNLIKELY, NOT_ENOUGH):
        assert "safe" not in words
