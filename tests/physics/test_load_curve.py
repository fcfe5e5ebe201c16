"""Rope curves: ropes that stiffen, lose energy and weaken."""

import numpy as np
import pytest
from helpers.pulls import ROUGH, SOFTENING, STIFFENING
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.interpolate import PchipInterpolator

from recoverykit import InputError, LoadCurve, Q, Rope, RopePartsError
from recoverykit.physics.load_curve import LINEAR, rising_root
from recoverykit.physics.rope import RopeKind, StrengthFactor
from recoverykit.tables.records import table

quick = settings(max_examples=50)


@st.composite
def curves(draw):
    """Any curve whose steps are not too small to tell apart."""
    steps = st.floats(0.01, 1)
    pieces = draw(st.integers(1, 6))
    stretch = np.cumsum([0, *(draw(steps) for _ in range(pieces))])
    load = np.cumsum([0, *(draw(steps) for _ in range(pieces))])
    return LoadCurve(tuple(stretch / stretch[-1]), tuple(load / load[-1]))


fractions = st.floats(0, 1)


def a_rope(curve=STIFFENING, **fields):
    return Rope(Q(10, "m"), Q(150, "kN"), Q(30, "percent"), curve, **fields)


# --- curves -----------------------------------------------------------------------------


@given(curves(), st.lists(fractions, min_size=2, max_size=9))
@quick
def test_a_curve_is_scipys_monotone_cubic(curve, places):
    assume(len(curve.stretch) > 2)
    np.testing.assert_allclose(
        curve.load_at(np.array(places)),
        PchipInterpolator(curve.stretch, curve.load)(places),
        rtol=1e-12,
        atol=1e-14,
    )


@given(curves(), fractions)
@quick
def test_the_energy_is_the_integral_of_the_load(curve, place):
    integral, error = quad(
        lambda s: float(curve.load_at(s)), 0, place, points=curve.stretch, epsabs=1e-13
    )
    assert curve.energy_at(place) == pytest.approx(integral, abs=1e-12 + error)


@given(curves(), st.lists(fractions, max_size=9))
@quick
def test_stretch_at_undoes_load_at(curve, some):
    loads = np.array([*np.linspace(0, 1, 501), *some])
    assert curve.load_at(curve.stretch_at(loads)) == pytest.approx(loads, rel=1e-12, abs=1e-12)


def test_the_search_does_not_swing_about_a_bend():
    """Newton's steps alone go back and forth here, across the bend at 0.5."""
    assert ROUGH.load_at(ROUGH.stretch_at(0.3091838220321609)) == pytest.approx(0.3091838220321609)


def test_the_ends_are_exact():
    for curve in (LINEAR, STIFFENING, SOFTENING):
        assert curve.stretch_at(0.0) == 0
        assert curve.stretch_at(1.0) == 1
        assert curve.load_at(0.0) == 0
        assert curve.load_at(1.0) == pytest.approx(1, abs=1e-15)
    # Where a curve ends flat, a search alone stops short of the break.
    assert LoadCurve((0, 0.2, 0.5, 1), (0, 0.1, 0.9, 1)).stretch_at(1.0) == 1


@given(curves())
@quick
def test_slopes_bound_the_slope_of_each_piece(curve):
    least, greatest = curve.slopes
    for number, (start, end) in enumerate(zip(curve.stretch[:-1], curve.stretch[1:], strict=True)):
        places = np.linspace(start, end, 41)
        inside = np.diff(curve.load_at(places)) / np.diff(places)
        assert np.all(inside >= least[number] - 1e-9)
        assert np.all(inside <= greatest[number] + 1e-9)


def test_points_may_be_plain_quantities():
    curve = LoadCurve([Q(0, "%"), Q(50, "%"), 1], [0, Q(0.25, ""), 1])
    assert curve == LoadCurve((0, 0.5, 1), (0, 0.25, 1))


def test_a_straight_curve_is_exactly_straight():
    places = np.linspace(0, 1, 11)
    np.testing.assert_array_equal(LINEAR.load_at(places), places)
    np.testing.assert_allclose(LINEAR.energy_at(places), places**2 / 2, rtol=1e-15)
    # and three points on a line make the same curve, by interpolation.
    straight = LoadCurve((0, 0.5, 1), (0, 0.5, 1))
    np.testing.assert_allclose(straight.load_at(places), places, atol=1e-15)


@pytest.mark.parametrize(
    ("stretch", "load", "fault"),
    [
        ((0,), (0, 1), "stretch: (0,) is not 2 to 100 numbers"),
        ((0, 1), (0, 0.9), "load: (0, 0.9) is not"),
        ((0, 0.5, 0.5, 1), (0, 0.2, 0.3, 1), "stretch: "),
        ((0, 0.5, 1), (0, 0.6, 0.5), "load: "),
        ((0.1, 1), (0, 1), "stretch: "),
        ((0, float("nan"), 1), (0, 0.5, 1), "stretch: "),
        ((0, 0.5, 1), (0, 1), "3 stretches and 2 loads came"),
        ("0 1", (0, 1), "stretch: '0 1' is not"),
        (("0", "1"), (0, 1), "stretch: ('0', '1') is not"),
        (None, (0, 1), "stretch: None is not"),
        ((0, Q(0.5, "m"), 1), (0, 0.5, 1), "stretch: "),
        (np.linspace(0, 1, 101), np.linspace(0, 1, 101), "2 to 100 numbers"),
    ],
)
def test_bad_curves_are_refused(stretch, load, fault):
    with pytest.raises(InputError, match="LoadCurve: ") as error:
        LoadCurve(stretch, load)
    assert fault in str(error.value)


@given(st.floats(-5, 5), st.floats(0, 3), st.floats(0, 3))
@quick
def test_rising_root(place, steep, bend):
    """Also where the slope vanishes at the root, and where Newton's step would overshoot."""

    def excess(x):
        y = x - place
        return steep * y + bend * y**3, steep + 3 * bend * y**2

    assume(steep + bend > 1e-3)
    root = rising_root(excess, -6.0, 6.0)
    assert abs(excess(root)[0]) < 1e-9


# --- ropes ------------------------------------------------------------------------------


@given(curves(), fractions)
@quick
def test_extension_undoes_tension(curve, share):
    rope = a_rope(curve)
    tension = share * rope.parting_tension
    assert rope.tension(rope.extension(tension)).m_as("N") == pytest.approx(
        tension.m_as("N"), rel=1e-9, abs=1e-6
    )


@given(curves(), st.floats(0.05, 1))
@quick
def test_a_weakened_rope_parts_earlier_on_the_same_curve(curve, factor):
    rope, weak = a_rope(curve), a_rope(curve, strength_factor=factor)
    assert weak.parting_tension.m_as("kN") == pytest.approx(factor * 150)
    assert weak.extension_at_break <= rope.extension_at_break
    assert weak.tension(weak.extension_at_break).m_as("kN") == pytest.approx(factor * 150, rel=1e-9)
    assert weak.stiffness == rope.stiffness
    half = weak.extension_at_break / 2
    assert weak.tension(half).m_as("N") == pytest.approx(rope.tension(half).m_as("N"), rel=1e-9)
    with pytest.raises(RopePartsError, match="the rope parts"):
        weak.tension(weak.extension_at_break * 1.00001)
    with pytest.raises(RopePartsError, match="cannot carry"):
        weak.extension(weak.parting_tension * 1.00001)


def test_arrays_of_ropes_broadcast():
    ropes = Rope(
        Q([[8], [10], [12]], "m"),
        Q([100, 150], "kN"),
        Q(30, "percent"),
        STIFFENING,
        loss=[0.0, 0.2],
        strength_factor=[1.0, 0.85],
    )
    assert ropes.extension_at_break.m.shape == (3, 2)
    one = Rope(Q(12, "m"), Q(150, "kN"), Q(30, "percent"), STIFFENING, 0.2, 0.85)
    extension = Q(1.5, "m")
    for ask in ("tension", "stored_energy"):
        many = getattr(ropes, ask)(extension)
        assert many.m.shape == (3, 2)
        assert many[2, 1].m == pytest.approx(getattr(one, ask)(extension).m, rel=1e-12)
    parting = one.extension_at_break
    assert ropes.extension_at_break[2, 1].m == pytest.approx(parting.m_as("m"), rel=1e-12)


# --- tables -----------------------------------------------------------------------------


@pytest.mark.parametrize("kind", table(RopeKind), ids=lambda kind: kind.name)
def test_every_kind_makes_a_rope(kind):
    rope = kind.rope(Q(9, "m"), Q(120, "kN"))
    assert rope.extension_at_break.m_as("m") == pytest.approx(9 * kind.stretch_at_break.m_as(""))
    assert rope.tension(rope.extension_at_break).m_as("kN") == pytest.approx(120)
    half = rope.tension(rope.extension_at_break / 2).m_as("kN")
    if kind.name == "straight line":
        assert half == pytest.approx(60)
    else:
        assert half < 50  # soft at first
    assert kind.source


@pytest.mark.parametrize("factor", table(StrengthFactor), ids=lambda factor: factor.name)
def test_every_factor_weakens(factor):
    assert 0 < factor.low <= factor.high < 1
    assert factor.source != "invented"
