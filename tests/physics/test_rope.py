"""Rope: the straight line from slack to break."""

import pytest

from recoverykit import InputError, Q, Rope, RopePartsError
from recoverykit.physics.rope import demo_rope
from recoverykit.tables.marram_point import DemoRope
from recoverykit.tables.records import table


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


@pytest.mark.parametrize("ask", ["tension", "stored_energy"])
def test_beyond_the_break_the_rope_parts(ask):
    with pytest.raises(RopePartsError) as error:
        getattr(a_rope(), ask)(Q([1, 3.5, 9], "m"))
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
