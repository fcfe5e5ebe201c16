"""What a line lets go: energy balance, limits, tether, and words."""

import math
import re

import numpy as np
import pytest
from helpers.pulls import unloading_tension
from hypothesis import given
from hypothesis import strategies as st

from recoverykit import InputError, Q, Rope, RopePartsError, display
from recoverykit.physics.formulas import peak_tension
from recoverykit.physics.load_curve import LINEAR, LoadCurve
from recoverykit.physics.recoil import (
    CAUTION,
    MAY_PART,
    NOT_ALONE,
    PARTS,
    LetGo,
    TetherCatch,
    energy_scale,
    freed_speed,
    like,
)

STIFFENING = LoadCurve(stretch=(0, 0.5, 1), load=(0, 0.25, 1))


def rope(length=9.0, strength=120.0, stretch=30.0, **more):
    return Rope(Q(length, "m"), Q(strength, "kN"), Q(stretch, "percent"), **more)


def let_go(tension=40.0, piece=3.0, rope_mass=6.0, line=None):
    return LetGo(line or rope(), Q(tension, "kN"), Q(piece, "kg"), Q(rope_mass, "kg"))


def caught(tether, case=None, slack=0.5):
    return TetherCatch(case or let_go(), tether, slack)


# --- energy and speed -------------------------------------------------------------------


def test_a_straight_rope_holds_half_of_tension_squared_over_stiffness():
    # k = 120 kN / (0.3 · 9 m) = 44.44 kN/m; E = (40 kN)² / (2 k) = 18 kJ.
    assert let_go(40).energy.m_as("kJ") == pytest.approx(18.0, rel=1e-9)


def test_a_stiffening_rope_holds_more_than_a_straight_one_of_the_same_break():
    # It took more stretch to come to this tension: 0.5 of it for a quarter of the break.
    curved = let_go(30, line=rope(curve=STIFFENING))
    assert curved.energy > let_go(30).energy


def test_heat_counts_against_the_least_and_not_against_the_most():
    # The way back starts steeper: its slope at the turn is k (1 + 4 loss).
    plain, lossy = let_go(), let_go(line=rope(loss=0.2))
    assert lossy.most_speed == plain.most_speed
    assert lossy.energy == plain.energy
    assert lossy.least_energy / plain.least_energy == pytest.approx(1 / 1.8)


def test_the_least_speed_is_that_of_the_first_wave():
    # √(k M) = √(44,444 · 6) = 516.4 kg/s; 40 kN / 516.4 kg/s = 77.46 m/s; 1 − e^(−4) = 0.98168.
    assert let_go().least_speed.m_as("m/s") == pytest.approx(77.46 * 0.98168, rel=1e-4)


@given(st.floats(0.001, 119), st.floats(0.01, 100), st.floats(0, 30), st.floats(0, 0.5))
def test_the_least_is_never_above_what_the_rope_gives_back(tension, piece, rope_mass, loss):
    for curve in (LINEAR, STIFFENING):
        case = let_go(tension, piece, rope_mass, rope(curve=curve, loss=loss))
        given_back = (1 - loss) * case.energy.m_as("J")
        assert case.least_energy.m_as("J") <= given_back * (1 + 1e-9)
        assert case.least_speed <= case.most_speed


@given(st.floats(0, 5), st.floats(0, 5), st.floats(0.1, 20), st.floats(0, 30))
def test_a_piece_that_has_flown_farther_has_no_less_energy(one, other, piece, rope_mass):
    case = let_go(40, piece, rope_mass, rope(curve=STIFFENING, loss=0.3))
    near, far = (case.energy_after(Q(travel, "m")).m_as("J") for travel in sorted((one, other)))
    assert 0 <= near <= far * (1 + 1e-9)
    assert far <= case.least_energy.m_as("J") * (1 + 1e-9)


def test_a_piece_that_has_not_moved_has_no_energy_yet():
    assert let_go().energy_after(Q(0, "m")).m_as("J") == pytest.approx(0)


@pytest.mark.parametrize("tension", [0.0, 1e-222])
@pytest.mark.parametrize("curve", [LINEAR, STIFFENING])
def test_a_rope_that_carries_nothing_gives_nothing(tension, curve):
    case = let_go(tension, line=rope(curve=curve, loss=0.3))
    assert case.least_energy.m_as("J") == 0
    assert case.least_speed.m_as("m/s") == 0


def test_a_short_way_is_flown_under_the_full_tension():
    # 0.1 mm at 40 kN is 4 J, on the long rope and before it has slackened.
    assert let_go().energy_after(Q(0.1, "mm")).m_as("J") == pytest.approx(4, rel=0.02)


@given(st.floats(0.1, 100), st.floats(0.1, 100), st.floats(0, 30))
def test_a_heavier_piece_is_never_faster_but_takes_more_energy(one, other, rope_mass):
    light, heavy = (let_go(40, piece, rope_mass) for piece in sorted((one, other)))
    assert heavy.least_speed <= light.least_speed * (1 + 1e-9)
    assert heavy.most_speed <= light.most_speed
    assert heavy.least_energy >= light.least_energy * (1 - 1e-9)


def test_on_a_rope_without_mass_the_share_of_a_heavy_piece_is_used():
    assert let_go(rope_mass=0).least_energy / let_go().energy == pytest.approx(0.8145, abs=5e-5)


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


@pytest.mark.parametrize("slack", [-0.1, 1.1])
def test_slack_is_a_part_of_the_length(slack):
    with pytest.raises(InputError, match="slack"):
        caught(rope(1.5, 60, 15), slack=slack)


# --- tether -----------------------------------------------------------------------------


def test_a_tether_absorbs_half_of_strength_times_stretch():
    # 60 kN · 0.15 · 1.5 m / 2 = 6.75 kJ.
    catch = caught(rope(1.5, 60, 15))
    assert catch.can_absorb.m_as("kJ") == pytest.approx(6.75)


def test_what_the_tether_must_absorb_is_the_piece_by_then_or_all_that_the_rope_holds():
    case = let_go(40, 3, 6)
    catch = caught(rope(1.5, 60, 15), case)
    assert catch.least_to_absorb == case.energy_after(Q(0.75, "m"))
    assert catch.most_to_absorb.m_as("kJ") == pytest.approx(18)


@pytest.mark.parametrize(
    ("length", "left", "verdict"),
    [
        (1.5, 1.0, PARTS),
        (2.5, 1.0, MAY_PART),
        (3.9, 1.0, MAY_PART),
        (4.1, 1.0, NOT_ALONE),
        (4.1, 0.6, PARTS),
    ],
)
def test_a_tether_holds_the_better_the_longer_and_the_less_worn_it_is(length, left, verdict):
    # 4.5 kJ for each meter of a new one, against 7.7 kJ and more after 0.75 m, and 18 kJ.
    assert caught(rope(length, 60, 15, strength_factor=left)).verdict == verdict


def test_a_tether_without_slack_is_never_said_to_part():
    # It carries the pull from the start, and no bound says how fast the piece was.
    weak = rope(0.5, 10, 2)
    assert caught(weak, slack=0).verdict == MAY_PART
    assert caught(weak, slack=0.5).verdict == PARTS


@given(st.floats(1, 119), st.floats(0.2, 20), st.floats(0.3, 6), st.floats(10, 200))
def test_the_verdict_agrees_with_the_peak_in_the_tether(tension, piece, length, strength):
    # Caught by a straight tether, the piece alone loads it to v √(k m).
    tether = rope(length, strength, 15)
    catch = caught(tether, let_go(tension, piece))
    speed = freed_speed(catch.least_to_absorb, Q(piece, "kg")).m_as("m/s")
    peak = peak_tension.si(piece, speed, tether.stiffness.m_as("N/m")) / 1000
    if not math.isclose(peak, strength, rel_tol=1e-9):
        assert (catch.verdict == PARTS) == (peak > strength)


# --- against a chain of masses ----------------------------------------------------------


def chain_of_masses(cases, elements=30):
    """Let the pieces fly, and their tethers stop them; masses in line whose links cannot push.

    Gives for each catch the greatest energy of the free piece at any time, and the greatest energy
    that the tether takes, unbroken. A link follows the unloading curve of the rope; half the mass
    of the last one flies with the piece.
    """
    let = [case.let_go for case in cases]

    def column(each):
        return np.array([each(case) for case in let])[:, np.newaxis]

    stretched = column(lambda case: case.rope.extension(case.tension).m_as("m"))
    curves = np.array(
        [
            unloading_tension(
                case.rope, Q(np.linspace(0, float(at), 201), "m"), Q(float(at), "m")
            ).m_as("N")
            for case, at in zip(let, stretched[:, 0], strict=True)
        ]
    )
    rope_mass, length = (
        column(lambda case: case.rope_mass.m_as("kg")),
        column(lambda case: case.rope.length.m_as("m")),
    )
    piece = column(lambda case: case.piece.m_as("kg"))[:, 0]
    slope = np.diff(curves, axis=1).max(axis=1, keepdims=True) * 200 / stretched
    stiff = np.array([case.tether.stiffness.m_as("N/m") for case in cases])
    loose = np.array([(case.slack * case.tether.length).m_as("m") for case in cases])
    mass = np.repeat(rope_mass / elements, elements, axis=1)
    mass[:, -1] = piece + rope_mass[:, 0] / elements / 2
    # Steps well below the period of a link, and of the tether with the piece.
    step = 0.4 * np.minimum(
        np.sqrt(rope_mass / slope) / elements, np.sqrt(piece / stiff)[:, np.newaxis]
    )
    rows = np.arange(len(let))[:, np.newaxis]

    def pull(place):
        apart = np.diff(place, prepend=0.0, axis=1)
        extension = np.maximum(np.abs(apart) * elements - length, 0) / stretched * 200
        index = np.minimum(extension.astype(int), 199)
        low = curves[rows, index]
        inside = low + (curves[rows, index + 1] - low) * np.minimum(extension - index, 1)
        # A link that is pulled farther than at first goes on at the steepest slope.
        more = np.maximum(extension - 200, 0) * slope * stretched / 200
        return (inside + more) * np.sign(apart)

    def fly(tethered):
        place = (length + stretched) * np.arange(1, elements + 1) / elements
        start, speed = place[:, -1].copy(), np.zeros_like(place)
        fastest, tether = np.zeros(len(let)), np.zeros(len(let))
        # Until the rope has long gone slack.
        periods = np.sqrt(rope_mass / slope) + np.sqrt(piece[:, np.newaxis] / slope)
        for _ in range(int(np.ceil((6 * periods / step).max()))):
            tension = pull(place)
            force = -tension
            force[:, :-1] += tension[:, 1:]
            flown = start - place[:, -1]
            taut = np.maximum(flown - loose, 0)
            if tethered:
                force[:, -1] += stiff * taut
            speed += force / mass * step
            place += speed * step
            energy = piece * speed[:, -1] ** 2 / 2
            fastest = np.maximum(fastest, energy)
            tether = np.maximum(tether, stiff * taut**2 / 2)
        return fastest, tether

    return fly(tethered=False)[0], fly(tethered=True)[1]


def random_catches(number, random):
    """Ropes of every kind and loss, pieces of a fifth to 5 times their mass, any tether."""
    cases = []
    for _ in range(number):
        line = rope(
            random.uniform(5, 30),
            100,
            random.uniform(5, 50),
            curve=(LINEAR, STIFFENING, BENT)[random.integers(3)],
            loss=random.choice([0, random.uniform(0, 0.5)]),
        )
        rope_mass = random.uniform(1, 15)
        case = let_go(
            random.uniform(5, 95), rope_mass * 5 ** random.uniform(-1, 1), rope_mass, line
        )
        # A stiffer tether, or one with far more slack, would only take more steps to follow.
        stretched = line.extension(case.tension).m_as("m")
        stretch = random.uniform(3, 30)
        length = stretched * random.uniform(0.1, 0.7) * 100 / stretch
        # Strong enough for anything from nothing to a little more than all of the energy.
        energy = case.energy.m_as("kJ") * random.choice([0.1, 0.3, 0.6, 0.9, 1.02])
        strength = 2 * energy / (length * stretch / 100)
        slack = random.uniform(0, min(1, 2 * stretched / length))
        cases.append(caught(rope(length, strength, stretch), case, slack))
    return cases


BENT = LoadCurve(stretch=(0, 0.3, 0.7, 1), load=(0, 0.5, 0.6, 1))


def test_no_chain_of_masses_contradicts_a_bound_or_a_verdict():
    cases = random_catches(40, np.random.default_rng(12))
    fastest, tether = chain_of_masses(cases)

    def joules(each):
        return np.array([each(case).m_as("J") for case in cases])

    # A chain is coarser than a rope: it may pass a bound by a little.
    held = joules(lambda case: case.let_go.energy)
    assert np.all(fastest >= 0.97 * joules(lambda case: case.let_go.least_energy))
    assert np.all(fastest <= 1.001 * held)
    assert np.all(tether >= 0.97 * joules(lambda case: case.least_to_absorb))
    assert np.all(tether <= 1.001 * held)
    verdicts = np.array([case.verdict for case in cases])
    can = joules(lambda case: case.can_absorb)
    assert np.all(tether[verdicts == PARTS] > can[verdicts == PARTS])
    assert np.all(tether[verdicts == NOT_ALONE] <= can[verdicts == NOT_ALONE])
    assert all(np.sum(verdicts == each) >= 5 for each in (PARTS, MAY_PART, NOT_ALONE))


def test_the_share_of_a_piece_against_chains_of_masses():
    ratios = np.array([0.15, 0.5, 1, 1.59, 2, 3, 5, 10])
    cases = [caught(rope(5, 60, 15), let_go(20, 6 * ratio, 6)) for ratio in ratios]
    fastest, _ = chain_of_masses(cases)
    shares = fastest / cases[0].let_go.energy.m_as("J")
    least = [(case.let_go.least_energy / case.let_go.energy).m_as("") for case in cases]
    assert np.all(shares >= 0.99 * np.array(least))
    assert np.all(shares <= 1)
    assert shares[:2] == pytest.approx(least[:2], rel=0.02)
    # A third of the rope's mass, as for a spring that swings, is no upper limit.
    assert np.all(shares[2:5] > ratios[2:5] / (ratios[2:5] + 1 / 3))


# --- words ------------------------------------------------------------------------------


@pytest.mark.parametrize("system", ["metric", "US"])
def test_the_scale_starts_with_the_fragment_and_rises_in_round_numbers(system):
    display.use(system)
    fragment, person, *vehicles = energy_scale()
    assert fragment.words == "a fragment counted as hazardous"
    energies = [row.joules for row in (fragment, person, *vehicles)]
    assert energies == sorted(energies)
    assert len(vehicles) == 3
    for row in (person, *vehicles):
        assert not re.search(r"\.\d", row.words), "a number that nobody would say"


@pytest.mark.parametrize(
    ("system", "energy", "says"),
    [
        ("metric", Q(0, "J"), "like a 75 kg person falling 0 m"),
        ("metric", Q(2206.4, "J"), "like a 75 kg person falling 3 m"),
        ("metric", Q(2207, "J"), "like a 75 kg person falling 3.1 m"),
        ("metric", Q(77.16, "kJ"), "like a 2500 kg vehicle at 29 km/h"),
        ("US", Q(1330, "ft*lbf"), "like a 165 lb person falling 8½ ft"),
        ("US", Q(1650, "ft*lbf"), "like a 165 lb person falling 10 ft"),
        ("US", Q(1651, "ft*lbf"), "like a 165 lb person falling 11 ft"),
        ("US", Q(55, "ft*lbf"), "like a 165 lb person falling 4 in"),
        # ½ · 5500 lb / 32.174 ft/s² · (44 ft/s)², which is 30 mph.
        ("US", Q(165_473, "ft*lbf"), "like a 5,500 lb vehicle at 30 mph"),
    ],
)
def test_an_energy_is_like_something_that_falls_or_drives(system, energy, says):
    display.use(system)
    assert like(energy) == says


@pytest.mark.parametrize("bad", [Q(-1, "J"), Q(1, "N"), 5])
def test_only_an_energy_is_put_into_words(bad):
    with pytest.raises(InputError, match="energy"):
        like(bad)


def test_nothing_is_promised():
    for words in (CAUTION, like(Q(18, "kJ"))):
        assert "safe" not in words
    assert "no distance" in CAUTION
