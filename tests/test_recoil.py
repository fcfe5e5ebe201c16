"""What a line lets go: energy balance, limits, tether, and words."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from recoverykit import InputError, Q, Rope, RopePartsError, display
from recoverykit.curve import LoadCurve
from recoverykit.formulas import peak_tension
from recoverykit.recoil import (
    CAUTION,
    MAY_PART,
    NOT_ALONE,
    PARTS,
    EnergyRow,
    LetGo,
    TetherCatch,
    energy_in_words,
    freed_speed,
    keep_clear,
    share_of_piece,
)
from recoverykit.tables import table

STIFFENING = LoadCurve(stretch=(0, 0.5, 1), load=(0, 0.25, 1))


def rope(length=9.0, strength=120.0, stretch=30.0, **more):
    return Rope(Q(length, "m"), Q(strength, "kN"), Q(stretch, "percent"), **more)


def let_go(tension=40.0, piece=3.0, rope_mass=6.0, line=None):
    return LetGo(line or rope(), Q(tension, "kN"), Q(piece, "kg"), Q(rope_mass, "kg"))


# --- energy and speed -------------------------------------------------------------------


def test_a_straight_rope_holds_half_of_tension_squared_over_stiffness():
    # k = 120 kN / (0.3 · 9 m) = 44.44 kN/m; E = (40 kN)² / (2 k) = 18 kJ.
    assert let_go(40).energy.m_as("kJ") == pytest.approx(18.0, rel=1e-9)


def test_twice_the_tension_is_four_times_the_energy_and_twice_the_speed():
    one, two = let_go(20), let_go(40)
    assert two.energy / one.energy == pytest.approx(4)
    assert two.speed / one.speed == pytest.approx(2)


def test_twice_the_length_is_twice_the_energy():
    longer = let_go(line=rope(length=18))
    assert longer.energy / let_go().energy == pytest.approx(2)


def test_a_stretchier_rope_lets_more_go_at_the_same_tension():
    stretchier = let_go(line=rope(stretch=45))
    assert stretchier.energy / let_go().energy == pytest.approx(1.5)


def test_a_stiffening_rope_holds_more_than_a_straight_one_of_the_same_break():
    # It took more stretch to come to this tension: 0.5 of it for a quarter of the break.
    curved = let_go(30, line=rope(curve=STIFFENING))
    assert curved.held > let_go(30).held


def test_what_the_rope_keeps_as_heat_does_not_fly():
    lossy = let_go(line=rope(loss=0.2))
    assert lossy.held == let_go().held
    assert lossy.energy.m_as("kJ") == pytest.approx(0.8 * 18.0)


@given(st.floats(0.01, 100), st.floats(0.1, 1e4), st.floats(0, 1))
def test_the_piece_carries_its_share(energy, mass, share):
    speed = freed_speed(Q(energy, "kJ"), Q(mass, "kg"), share).m_as("m/s")
    assert mass * speed**2 / 2 == pytest.approx(1000 * energy * share, abs=1e-9)


@given(st.floats(0, 100), st.floats(0, 100), st.floats(0.1, 100), st.floats(0, 30))
def test_more_tension_never_means_less_speed(one, other, piece, rope_mass):
    # More tension is more stretch on a rising curve, and its work is the integral of that curve.
    low, high = (let_go(t, piece, rope_mass, rope(curve=STIFFENING)) for t in sorted((one, other)))
    assert low.speed <= high.speed
    assert np.isfinite(high.speed.m_as("m/s"))


@given(st.floats(0.1, 100), st.floats(0.1, 100), st.floats(0, 30))
def test_a_heavier_piece_is_never_faster_but_takes_more_energy(one, other, rope_mass):
    light, heavy = (let_go(40, piece, rope_mass) for piece in sorted((one, other)))
    assert heavy.speed <= light.speed
    assert heavy.energy_of_piece >= light.energy_of_piece


def test_a_rope_without_mass_gives_the_piece_all():
    assert share_of_piece(Q(3, "kg"), Q(0, "kg")).m_as("") == 1.0


def test_energy_is_shared_between_piece_and_rope():
    # The rope's speed rises evenly from 0 to v along it: its energy is ∫ (v s)²/2 dM = M v²/6.
    case = let_go(40, 3, 6)
    v = case.speed.m_as("m/s")
    assert 3 * v**2 / 2 + 6 * v**2 / 6 == pytest.approx(case.energy.m_as("J"))


def test_a_rope_that_parts_flies_as_the_wave_in_it_says():
    # Behind the wave that runs down a parted elastic rod its particles move at F / √(AE μ): the
    # energy balance of the whole rope gives the same.
    mass_per_length, line = 0.4, rope()
    held = let_go(90).energy
    axial_stiffness = line.stiffness.m_as("N/m") * 9.0
    wave = 90e3 / math.sqrt(axial_stiffness * mass_per_length)
    assert freed_speed(held, Q(9 * mass_per_length, "kg")).m_as("m/s") == pytest.approx(wave)


def test_arrays_broadcast():
    speeds = freed_speed(Q([1.0, 4.0], "kJ")[:, np.newaxis], Q([1.0, 2.0, 4.0], "kg"))
    assert speeds.shape == (2, 3)
    np.testing.assert_allclose(speeds[1].m, 2 * speeds[0].m)


@pytest.mark.parametrize(
    ("bad", "says"),
    [
        ({"tension": Q(-1, "kN")}, "tension: -1 kN is below 0"),
        ({"tension": Q(40, "kg")}, "tension: 40 kg is not a force"),
        ({"piece": Q(0, "kg")}, "piece: 0 kg is not above 0"),
        ({"rope_mass": Q(-1, "kg")}, "rope_mass: -1 kg is below 0"),
    ],
)
def test_bad_input_is_named(bad, says):
    given = {"tension": Q(40, "kN"), "piece": Q(3, "kg"), "rope_mass": Q(6, "kg"), **bad}
    with pytest.raises(InputError) as error:
        LetGo(rope(), **given)
    assert says in str(error.value)


def test_a_tension_that_parts_the_rope_is_refused_when_it_is_given():
    with pytest.raises(RopePartsError, match="cannot carry 130 kN"):
        let_go(130)


def test_a_share_is_at_most_all():
    with pytest.raises(InputError, match=r"share: 1\.1"):
        freed_speed(Q(1, "kJ"), Q(1, "kg"), 1.1)


# --- tether -----------------------------------------------------------------------------


def test_a_tether_absorbs_half_of_strength_times_stretch():
    # 60 kN · 0.15 · 1.5 m / 2 = 6.75 kJ.
    catch = TetherCatch(let_go(), rope(1.5, 60, 15))
    assert catch.can_absorb.m_as("kJ") == pytest.approx(6.75)


def test_what_the_tether_must_absorb_is_the_piece_or_the_piece_and_its_rope():
    catch = TetherCatch(let_go(40, 3, 6), rope(1.5, 60, 15))
    assert catch.least_to_absorb.m_as("kJ") == pytest.approx(18 * 3 / (3 + 2))
    assert catch.most_to_absorb.m_as("kJ") == pytest.approx(18)


@pytest.mark.parametrize(
    ("length", "verdict"), [(1.5, PARTS), (2.5, MAY_PART), (3.9, MAY_PART), (4.1, NOT_ALONE)]
)
def test_a_tether_of_the_same_strength_holds_the_better_the_longer_it_is(length, verdict):
    # 4.5 kJ for each metre, against 10.8 to 18 kJ.
    assert TetherCatch(let_go(), rope(length, 60, 15)).verdict == verdict


def test_a_stronger_tether_with_less_stretch_absorbs_less():
    strong, soft = rope(1.5, 120, 3), rope(1.5, 60, 20)
    assert TetherCatch(let_go(), strong).can_absorb < TetherCatch(let_go(), soft).can_absorb


@given(st.floats(1, 119), st.floats(0.2, 20), st.floats(0.3, 6), st.floats(10, 200))
def test_the_verdict_agrees_with_the_peak_in_the_tether(tension, piece, length, strength):
    # Caught by a straight tether, the piece alone loads it to v √(k m).
    tether = rope(length, strength, 15)
    catch = TetherCatch(let_go(tension, piece), tether)
    speed, stiffness = catch.let_go.speed.m_as("m/s"), tether.stiffness.m_as("N/m")
    peak = peak_tension.si(piece, speed, stiffness) / 1000
    if not math.isclose(peak, strength, rel_tol=1e-9):
        assert (catch.verdict == PARTS) == (peak > strength)


def test_a_worn_tether_parts_sooner():
    assert TetherCatch(let_go(), rope(4.1, 60, 15)).verdict == NOT_ALONE
    assert TetherCatch(let_go(), rope(4.1, 60, 15, strength_factor=0.6)).verdict == PARTS


def test_the_tether_reads_out_its_three_energies_and_its_verdict():
    assert TetherCatch(let_go(), rope(1.5, 60, 15)).sentence == (
        "The tether must absorb 10.8 kJ to 18.0 kJ; it can absorb 6.75 kJ before it breaks: "
        "the tether parts."
    )


# --- words ------------------------------------------------------------------------------


def test_the_scale_starts_with_the_fragment_and_rises():
    energies = [row.joules for row in table(EnergyRow)]
    assert table(EnergyRow)[0].words == "a fragment counted as hazardous"
    assert energies[2:] == sorted(energies[2:])


@pytest.mark.parametrize(
    ("energy", "says"),
    [
        (Q(0, "J"), "is 0 times that of a fragment"),
        (Q(7.9, "J"), "is 0.100 times that of a fragment counted as hazardous"),
        (Q(2206.5, "J"), "1.00 times that of a person of 75 kg falling from 3 m"),
        (Q(77.2, "kJ"), "2.00 times that of a vehicle of 2500 kg at 20 km/h"),
    ],
)
def test_energy_is_compared_with_the_next_thing_below_it(energy, says):
    assert says in energy_in_words(energy)


def test_words_follow_the_display_system():
    display.use("US")
    assert energy_in_words(Q(18, "kJ")) == (
        "The energy, 13,300 ft·lbf, is 1.87 times that of a vehicle of 5,510 lb at 6.2 mph and "
        "228 times that of a fragment counted as hazardous."
    )
    assert "29.5 ft" in keep_clear(Q(9, "m"))


@pytest.mark.parametrize("bad", [Q(-1, "J"), Q(1, "N"), 5])
def test_only_an_energy_is_put_into_words(bad):
    with pytest.raises(InputError, match="energy"):
        energy_in_words(bad)


def test_keeping_clear_never_promises_anything():
    rule = keep_clear(Q(9, "m"))
    assert "9 m" in rule
    assert "farther" in rule
    for words in (rule, CAUTION, let_go().sentence, energy_in_words(Q(18, "kJ"))):
        assert "safe" not in words
    assert "No distance" in CAUTION


def test_keeping_clear_needs_a_length():
    with pytest.raises(InputError, match="longest_line: 0 m is not above 0"):
        keep_clear(Q(0, "m"))
