"""What the ground holds and gives: limits, monotony, and the verdict."""

import dataclasses
import itertools
import math

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
    SteadyPull,
    StuckVehicle,
    TractionRow,
    drawbar_pull,
    ground,
    resistance,
    verdict_on,
)
from recoverykit.physics.uncertainty import Uncertain

G = 9.80665

masses = st.floats(1.0, 1e6)
coefficients = st.floats(0, 10)
grips = st.floats(0, 2)
slopes = st.floats(-45, 45)
shares = st.floats(0, 1)


def held(mass, coefficient, slope):
    return resistance(Q(mass, "kg"), coefficient, Q(slope, "degree")).m_as("N")


def pulled(mass, grip, rolling, slope, driven):
    return drawbar_pull(Q(mass, "kg"), grip, rolling, Q(slope, "degree"), driven).m_as("N")


def band(spread):
    return [edge.m_as("N") for edge in spread.band]


# --- forces -----------------------------------------------------------------------------


def test_on_the_level_it_is_the_coefficient_times_the_weight():
    assert held(2500, 0.3, 0) == pytest.approx(0.3 * 2500 * G, rel=1e-12)


def test_on_a_slope_both_parts_count():
    # By hand: 1000 kg, 30°, c = 0.2: 9806.65 N (0.5 + 0.2 · 0.8660254).
    assert held(1000, 0.2, 30) == pytest.approx(9806.65 * (0.5 + 0.2 * 0.8660254), rel=1e-7)


def test_a_slope_down_the_pull_helps_and_can_do_it_alone():
    assert held(1000, 0.2, -5) == pytest.approx(
        9806.65 * (0.2 * math.cos(math.radians(5)) - math.sin(math.radians(5)))
    )
    assert held(1000, 0.05, -5) == 0


def test_pull_at_the_hitch_is_grip_less_own_resistance():
    assert pulled(3000, 0.5, 0.1, 0, 1) == pytest.approx(0.4 * 3000 * G, rel=1e-12)
    assert pulled(3000, 0.5, 0.1, 0, 0.6) == pytest.approx(0.2 * 3000 * G, rel=1e-12)
    assert pulled(3000, 0.2, 0.3, 0, 1) == 0


def test_a_vehicle_on_a_slope_as_steep_as_its_grip_can_pull_nothing():
    # tan α = μ − f is where a vehicle just climbs.
    steepest = math.degrees(math.atan(0.5 - 0.1))
    assert pulled(3000, 0.5, 0.1, steepest, 1) == pytest.approx(0, abs=1e-8)
    assert pulled(3000, 0.5, 0.1, steepest - 1, 1) > 0


@given(masses, coefficients, slopes)
def test_resistance_is_a_finite_force(mass, coefficient, slope):
    force = held(mass, coefficient, slope)
    assert np.isfinite(force)
    assert force >= 0


@given(masses, grips, grips, slopes, shares)
def test_pull_is_a_finite_force_within_the_grip(mass, grip, rolling, slope, driven):
    # At most the grip and the whole weight downhill: μ w W cos α + W |sin α|.
    force = pulled(mass, grip, rolling, slope, driven)
    weight, angle = mass * G, math.radians(slope)
    assert (
        0 <= force <= weight * (grip * driven * math.cos(angle) + abs(math.sin(angle))) * 1.000001
    )


@given(masses, coefficients, coefficients, slopes)
def test_worse_ground_never_holds_less(mass, one, other, slope):
    # cos α > 0 within ±45°, so F rises with c.
    assert held(mass, min(one, other), slope) <= held(mass, max(one, other), slope)


@given(masses, coefficients, slopes, slopes)
def test_steeper_holds_more_as_long_as_the_slope_is_below_its_cotangent(
    mass, coefficient, one, other
):
    # dF/dα ∝ cos α − c sin α: a slope helps the pull again only beyond tan α = 1/c. Deep mire
    # (c = 3) passes that at 18°: there "steeper" really is easier, as less weight presses down.
    steepest = math.degrees(math.atan(1 / coefficient)) if coefficient else 45.0
    low, high = sorted(min(angle, steepest) for angle in (one, other))
    assert held(mass, coefficient, low) <= held(mass, coefficient, high) * (1 + 1e-12) + 1e-9


def test_in_deep_mire_a_steeper_slope_is_not_always_harder():
    assert held(1000, 3.0, 45) < held(1000, 3.0, 20)


@given(masses, masses, coefficients, slopes)
def test_twice_the_mass_is_twice_the_pull(mass, other, coefficient, slope):
    assert held(mass, coefficient, slope) * other == pytest.approx(
        held(other, coefficient, slope) * mass, rel=1e-9
    )


@given(masses, grips, grips, grips, slopes, shares)
def test_better_grip_never_pulls_less(mass, one, other, rolling, slope, driven):
    low, high = sorted((one, other))
    assert pulled(mass, low, rolling, slope, driven) <= pulled(mass, high, rolling, slope, driven)


@given(masses, grips, grips, grips, slopes, shares)
def test_softer_ground_under_the_recovery_vehicle_never_pulls_more(
    mass, grip, one, other, slope, driven
):
    low, high = sorted((one, other))
    assert pulled(mass, grip, high, slope, driven) <= pulled(mass, grip, low, slope, driven)


@given(masses, grips, grips, slopes, slopes, shares)
def test_uphill_never_pulls_more(mass, grip, rolling, one, other, driven):
    # dF/dα ∝ −(μw − f) sin α − cos α < 0 within ±45° as long as f − μw < 1.
    low, high = sorted((one, other))
    if rolling - grip * driven < 1:
        assert (
            pulled(mass, grip, rolling, high, driven)
            <= pulled(mass, grip, rolling, low, driven) + 1e-9
        )


def test_arrays_broadcast_and_equal_single_values():
    mass = Q([1000.0, 2000.0], "kg")[:, np.newaxis]
    slope = Q([0.0, 5.0, 10.0], "degree")
    together = resistance(mass, 0.1, slope).m_as("N")
    assert together.shape == (2, 3)
    for row, column in itertools.product(range(2), range(3)):
        assert together[row, column] == held(mass.m[row, 0], 0.1, slope.m[column])


@pytest.mark.parametrize(
    ("bad", "says"),
    [
        ({"mass": Q(0, "kg")}, "mass: 0 kg is not above 0"),
        ({"mass": Q(2500, "lbf")}, "mass: 2500 lbf is not a mass"),
        ({"coefficient": -0.1}, "coefficient: -0.1"),
        ({"coefficient": 11}, "coefficient: 11"),
        ({"coefficient": Q(3, "kN")}, "coefficient: 3 kN is not a ratio"),
        ({"slope": Q(46, "degree")}, "slope: 46"),
        ({"slope": Q(5, "m")}, "slope: 5 m is not an angle"),
    ],
)
def test_bad_input_is_named(bad, says):
    given = {"mass": Q(2500, "kg"), "coefficient": 0.1, "slope": Q(0, "degree")}
    with pytest.raises(InputError) as error:
        resistance(**{**given, **bad})
    assert says in str(error.value)


# --- grounds ----------------------------------------------------------------------------


@pytest.mark.parametrize("name", GROUNDS)
def test_a_ground_spans_what_its_sources_say(name):
    here = ground(name)
    assert here.rows
    for which in ("rolling", "traction"):
        spanned = getattr(here, which)
        if spanned is None:
            assert name == "soft mud"
            continue
        rows = [row for row in here.rows if type(row).__name__ == f"{which.title()}Row"]
        # One surface; on snow the tires' own rolling and the snow, which add up.
        surfaces = {row.surface: [r for r in rows if r.surface == row.surface] for row in rows}
        assert len(surfaces) == (2 if (name, which) == ("snow", "rolling") else 1)
        low, high = spanned.ends.m_as("")
        assert 0 < low <= high < 1
        lowest = sum(min(row.low for row in rows) for rows in surfaces.values())
        highest = sum(max(row.high for row in rows) for rows in surfaces.values())
        if which == "rolling" or len({row.source for row in rows}) > 1:
            assert (low, high) == pytest.approx((lowest, highest))
        else:
            assert low < lowest <= highest < high


def test_an_unknown_ground_is_refused_with_those_that_are_known():
    with pytest.raises(InputError, match='no \'lava\'; write one of "dry road", "wet road"'):
        ground("lava")


def test_ice_gives_less_than_any_other_ground():
    ice = ground("ice").traction.value
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


def test_an_uncertain_mass_widens_the_band():
    widths = [
        high - low
        for mass in (Q(2500, "kg"), Uncertain(Q(2500, "kg"), Q(500, "kg")))
        for low, _, high in [band(StuckVehicle(mass, "soft mud", mire="wheels").pull_to_start)]
    ]
    assert widths[0] < widths[1]


@pytest.mark.parametrize(
    ("bad", "says"),
    [
        ({"mass": Q(0, "kg")}, "mass: 0 kg is not above 0"),
        ({"mass": Uncertain(Q(100, "kg"), Q(200, "kg"))}, "mass: -100.0 kg is not above 0"),
        ({"mass": 2500}, "mass: 2500 has no unit"),
        ({"ground": "lava"}, "ground: there is no 'lava'"),
        ({"mire": "roof"}, 'mire: there is no \'roof\'; write one of "wheels", "fenders", "cab"'),
        ({"slope": Q(50, "degree")}, "slope: 50"),
        ({"unloaded": Q(2500, "kg")}, "unloaded: 2500 kg is not less than the mass"),
        (
            {"mass": Uncertain(Q(2500, "kg"), Q(100, "kg")), "unloaded": Q(2400, "kg")},
            "unloaded: 2400 kg is not less than the mass",
        ),
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
        ({"driven": 1.2}, "driven: 1.2 is above 1"),
        ({"slope": Uncertain(Q(40, "degree"), Q(10, "degree"))}, "slope: 50.0 deg is above 45°"),
    ],
)
def test_a_recovery_vehicle_that_cannot_be_is_refused(bad, says):
    with pytest.raises(InputError) as error:
        RecoveryVehicle(**{"mass": Q(3100, "kg"), "ground": "wet grass", **bad})
    assert says in str(error.value)


# --- enough or not ----------------------------------------------------------------------


def verdict(mass, on, **stuck_vehicle):
    return SteadyPull(
        RecoveryVehicle(Q(mass, "kg"), on), StuckVehicle(Q(2500, "kg"), **stuck_vehicle)
    ).verdict


def test_verdicts():
    assert verdict(3100, "dry road", ground="dry earth") == LIKELY
    assert verdict(3100, "dry road", ground="soft mud", mire="wheels") == POSSIBLE
    assert verdict(3100, "ice", ground="soft mud", mire="wheels") == NOT_ENOUGH
    assert verdict(3100, "dry road", ground="soft mud", mire="cab") == NOT_ENOUGH


@pytest.mark.parametrize("on", ["dry road", "gravel", "wet grass", "ice"])
@pytest.mark.parametrize("mire", [None, *MIRE_DEPTHS])
def test_the_verdict_follows_the_chance(on, mire):
    pull = SteadyPull(
        RecoveryVehicle(Q(3100, "kg"), on), StuckVehicle(Q(2500, "kg"), "wet sand", mire=mire)
    )
    least = {LIKELY: 0.95, POSSIBLE: 0.5, UNLIKELY: 0.025, NOT_ENOUGH: 0.0}
    assert pull.verdict == next(word for word, chance in least.items() if pull.chance >= chance)


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


@pytest.mark.parametrize("name", [name for name in GROUNDS if ground(name).traction])
def test_a_traction_of_one_source_is_as_wide_as_tables_of_one_ground_differ(name):
    found = ground(name)
    low, high = (end.m_as("") for end in found.traction.ends)
    rows = [row for row in found.rows if isinstance(row, TractionRow)]
    printed = min(row.low for row in rows), max(row.high for row in rows)
    if len({row.source for row in rows}) > 1:
        assert (low, high) == pytest.approx(printed)
    else:
        assert high / low == pytest.approx(2)
        assert low < printed[0] <= printed[1] < high
        assert low + high == pytest.approx(sum(printed))


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
