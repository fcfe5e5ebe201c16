"""Rope: the straight line from slack to break."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from recoverykit import InputError, Q, Rope, RopePartsError
from recoverykit.physics.rope import demo_rope
from recoverykit.tables.marram_point import DemoRope
from recoverykit.tables.records import table

quick = settings(max_examples=60, deadline=None)

lengths = st.floats(1, 60).map(lambda x: Q(x, "m"))
strengths = st.floats(1, 2000).map(lambda x: Q(x, "kN"))
stretches = st.floats(0.5, 100).map(lambda x: Q(x, "percent"))
ropes = st.builds(Rope, lengths, strengths, stretches)
shares = st.floats(0, 1)


def a_rope():
    return Rope(length=Q(10, "m"), breaking_strength=Q(150, "kN"), stretch_at_break=Q(30, "%"))


def test_a_rope_by_hand():
    rope = a_rope()
    assert rope.extension_at_break.m_as("m") == pytest.approx(3.0)
    assert rope.stiffness.m_as("kN/m") == pytest.approx(50.0)
    assert rope.tension(Q(1.2, "m")).m_as("kN") == pytest.approx(60.0)
    assert rope.stored_energy(Q(1.2, "m")).m_as("kJ") == pytest.approx(36.0)
    assert rope.tension(Q(0, "m")) == Q(0, "N")
    assert rope.stored_energy(Q(0, "m")) == Q(0, "J")


def test_units_do_not_matter():
    same = Rope(Q(1000, "cm"), Q(150_000, "N").to("lbf"), Q(0.3, ""))
    assert same.stiffness.m_as("N/m") == pytest.approx(a_rope().stiffness.m_as("N/m"))
    assert Rope(Q(10, "m"), Q(150, "kN"), 0.3).stiffness.m_as("kN/m") == pytest.approx(50.0)


# --- properties -------------------------------------------------------------------------


@given(ropes)
@quick
def test_at_break_the_rope_carries_its_strength(rope):
    tension = rope.tension(rope.extension_at_break)
    assert tension.m_as("N") == pytest.approx(rope.breaking_strength.m_as("N"))


@given(ropes, shares)
@quick
def test_stored_energy_is_the_area_under_the_tension(rope, share):
    x = np.linspace(0, share, 51) * rope.extension_at_break
    area = np.trapezoid(rope.tension(x).m_as("N"), x.m_as("m"))
    assert rope.stored_energy(x[-1]).m_as("J") == pytest.approx(area, rel=1e-9, abs=1e-9)


@given(ropes, shares)
@quick
def test_twice_the_stretch_is_twice_the_tension_and_four_times_the_energy(rope, share):
    x = share * rope.extension_at_break
    assert rope.tension(x).m_as("N") == pytest.approx(2 * rope.tension(x / 2).m_as("N"))
    assert rope.stored_energy(x).m_as("J") == pytest.approx(4 * rope.stored_energy(x / 2).m_as("J"))


@given(lengths, strengths, stretches)
@quick
def test_longer_or_stretchier_is_softer_and_stronger_is_stiffer(length, strength, stretch):
    stiffness = Rope(length, strength, stretch).stiffness
    assert Rope(2 * length, strength, stretch).stiffness < stiffness
    assert Rope(length, strength, stretch / 2).stiffness > stiffness
    assert Rope(length, 2 * strength, stretch).stiffness > stiffness


# --- arrays -----------------------------------------------------------------------------


def test_arrays_of_extensions_equal_scalars():
    rope = a_rope()
    extensions = Q([0, 0.5, 1.7, 3.0], "m")
    for result in (rope.tension, rope.stored_energy):
        one_by_one = [result(x).m for x in extensions]
        np.testing.assert_allclose(result(extensions).m, one_by_one, rtol=1e-15)


# --- beyond the break -------------------------------------------------------------------


@pytest.mark.parametrize("ask", ["tension", "stored_energy"])
@given(rope=ropes, beyond=st.floats(1.000001, 1e2))
@quick
def test_beyond_the_break_the_rope_parts(ask, rope, beyond):
    with pytest.raises(RopePartsError, match="the rope parts"):
        getattr(rope, ask)(beyond * rope.extension_at_break)


def test_the_message_names_stretch_limit_and_strength():
    with pytest.raises(RopePartsError) as error:
        a_rope().tension(Q([1, 3.5, 9], "m"))
    for words in ("3.50 m", "breaks at 3.00 m", "under 150 kN"):
        assert words in str(error.value)


# --- refused ----------------------------------------------------------------------------

GOOD = {
    "length": Q(10, "m"),
    "breaking_strength": Q(150, "kN"),
    "stretch_at_break": Q(30, "%"),
}


@pytest.mark.parametrize(
    ("name", "bad", "fault"),
    [
        ("length", Q(10, "kg"), "10 kg is not a length"),
        ("length", Q(0, "m"), "not above 0"),
        ("breaking_strength", Q(15, "tonne"), "15 t is not a force"),
        ("breaking_strength", Q(0, "kN"), "not above 0"),
        ("stretch_at_break", Q(101, "percent"), "is above 100 %"),
        ("stretch_at_break", 30, "30 is above 100 %"),
        ("stretch_at_break", Q(0, "percent"), "not above 0"),
        ("stretch_at_break", Q(3, "m"), "3 m is not a ratio"),
        ("loss", Q(51, "percent"), "51 % is above 50 %"),
        ("loss", -0.1, "is below 0"),
        ("loss", Q(1, "J"), "is not a ratio"),
        ("strength_factor", 0, "is not above 0"),
        ("strength_factor", Q(101, "percent"), "is above 1"),
        ("curve", "straight", "'straight' is not a LoadCurve"),
        ("curve", None, "None is not a LoadCurve"),
    ],
)
def test_bad_ropes_are_refused(name, bad, fault):
    with pytest.raises(InputError) as error:
        Rope(**{**GOOD, name: bad})
    assert f"{name}: " in str(error.value)
    assert fault in str(error.value)
    assert f"write for example {name}=" in str(error.value)


def test_all_faults_of_a_rope_are_named_at_once():
    with pytest.raises(InputError) as error:
        Rope(length=10, breaking_strength=Q(15, "tonne"), stretch_at_break=Q(150, "percent"))
    for name in GOOD:
        assert f"\n  {name}: " in str(error.value)


def test_ropes_that_do_not_fit_together_are_refused():
    with pytest.raises(InputError, match="do not fit together"):
        Rope(Q([10, 11], "m"), Q([1, 2, 3], "kN"), Q(30, "%"))


@pytest.mark.parametrize("bad", [Q(1, "kN"), Q(-0.1, "m")])
@pytest.mark.parametrize("ask", ["tension", "stored_energy"])
def test_bad_extensions_are_refused(ask, bad):
    with pytest.raises(InputError, match="extension: ") as error:
        getattr(a_rope(), ask)(bad)
    assert not isinstance(error.value, RopePartsError)


def test_a_rope_cannot_be_changed():
    with pytest.raises(AttributeError):
        a_rope().length = Q(20, "m")


# --- demo -------------------------------------------------------------------------------


def test_demo_rope_is_the_one_in_the_table():
    row = table(DemoRope)[0]
    rope = demo_rope(row.name)
    assert rope.length == row.length
    assert rope.tension(rope.extension_at_break).m_as("kN") == pytest.approx(
        row.breaking_strength.m_as("kN")
    )


def test_an_unknown_demo_rope_is_named():
    with pytest.raises(InputError, match="no row with name='best rope'; there are 'yard rope'"):
        demo_rope("best rope")
