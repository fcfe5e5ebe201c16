"""Validation: quantities outside, SI floats inside."""

import contextlib
import math
from datetime import datetime
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from recoverykit.measurements.sampling import peak_capture
from recoverykit.physics.recoil import like
from recoverykit.physics.rigging import bridle
from recoverykit.units.quantities import GRAVITY, KINDS, InputError, Q
from recoverykit.units.validation import (
    Argument,
    fields_to_si,
    from_si,
    not_negative,
    positive,
    takes_quantities,
    to_si,
)

quick = settings(max_examples=60, deadline=None)


@takes_quantities(
    returns="energy", mass=positive("mass"), height=not_negative("length", at_most=100.0)
)
def lifted(mass, height):
    return mass * GRAVITY * height


def test_arguments_and_result_are_converted():
    assert lifted(Q(1, "tonne"), Q(100, "cm")).m_as("kJ") == pytest.approx(9.80665)
    assert lifted.si(1000.0, 1.0) == pytest.approx(9806.65)
    assert lifted(height=Q(1, "m"), mass=Q(1, "kg")).units == Q(1, "J").units


def test_it_gives_scalars_for_scalars_and_arrays_for_arrays():
    assert np.ndim(lifted(Q(1, "kg"), Q(1, "m")).m) == 0
    energies = lifted(Q([1, 2, 3], "kg"), Q([[1], [2]], "m"))
    assert energies.m.shape == (2, 3)
    assert energies[1, 2].m_as("J") == pytest.approx(6 * GRAVITY)


BAD_MASSES = [
    (1000, "1000 has no unit"),
    (None, "None has no unit"),
    ("1000 kg", "'1000 kg' is text"),
    ([1, 2], "[1, 2] has no unit"),
    (Q(1000, "N"), "1000 N is not a mass"),
    (Q(1000, "lbf"), "1000 lbf is not a mass"),
    (Q(20, "degC"), "is not a mass"),
    (Q(0, "kg"), "is not above 0"),
    (Q(-5, "kg"), "is not above 0"),
    (Q(math.nan, "kg"), "is not a finite number"),
    (Q(math.inf, "kg"), "is not a finite number"),
    (Q(1e300, "kg"), "is beyond 1 000 000 kg"),
    (Q([], "kg"), "an empty list came"),
    (Q([2.0, math.nan], "kg"), "nan kg is not a finite number"),
    (Q([2.0, -1.0], "kg"), "mass: -1.0 kg is not above 0"),
    (Q(1 + 2j, "kg"), "is not a number"),
    (Q(np.array([1 + 2j]), "kg"), "is not a number"),
    (Q(np.ma.array([1.0, 2.0], mask=[False, True]), "kg"), "some of its values are masked"),
    (Q(np.ma.masked, "kg"), "some of its values are masked"),
    (Q(np.array(["1", "2"]), "kg"), "is not a number"),
    (Q([1, "2"], "kg"), "is not a number"),
    (Q(np.array(["1", 2], dtype=object), "kg"), "'1' is not a number"),
    (Q(b"1", "kg"), "b'1' is not a number"),
    (Q(np.array([None, 1], dtype=object), "kg"), "None is not a number"),
    (Q(np.array([[1, 2], [3]], dtype=object), "kg"), "is not a number"),
    (Q(np.array([True, False]), "kg"), "is not a number"),
    (Q(np.array(["2026-05-02"], dtype="datetime64[D]"), "kg"), "is not a number"),
    (Q(datetime(2026, 5, 2), "kg"), "is not a number"),
    (Q(np.timedelta64(3, "s"), "kg"), "is not a number"),
    (Q(np.array([np.timedelta64(3, "s"), 1], dtype=object), "kg"), "is not a number"),
    (Q(10**400, "kg"), "is too large a number"),
    (Q(-(10**400), "lb"), "is too large a number"),
    (Q(10**5000, "kg"), "is too large a number"),
    (Q(Fraction(10**400, 3), "kg"), "is too large a number"),
    (Q([1, 10**400], "kg"), "is too large a number"),
    (10**5000, "has no unit"),
    (Q(np.longdouble("1e4000"), "kg"), "is not a finite number"),
    (pint.UnitRegistry().Quantity(1, "kg"), "has a unit of another registry"),
    (Q(5, "percent"), "5 % is not a mass"),
    (Q(-0.0, "kg"), "is not above 0"),
    (Q(1e-300, "kg"), "1×10⁻³⁰⁰ kg is below 0.001 kg, the smallest that can be used"),
    (Q([2.0, 5e-324], "kg"), "kg is below 0.001 kg, the smallest"),
    (Q(0.9, "g"), "0.9 g is below 0.001 kg"),
]


@pytest.mark.parametrize(("mass", "fault"), BAD_MASSES, ids=[fault for _, fault in BAD_MASSES])
def test_the_message_says_what_is_wrong_and_what_to_write(mass, fault):
    with pytest.raises(InputError) as error:
        lifted(mass, Q(1, "m"))
    message = str(error.value)
    assert message.startswith("lifted:\n  mass: ")
    assert fault in message
    assert message.endswith('; write for example mass=Q(2500, "kg")')
    assert len(message) < 200


@pytest.mark.parametrize(
    "mass",
    [
        Q(Decimal("1.5"), "kg"),
        Q(Fraction(3, 2), "kg"),
        Q(np.float32(1.5), "kg"),
        Q(np.array(1.5), "kg"),
        Q(np.array(Fraction(3, 2)), "kg"),
        Q(np.ma.array(1.5), "kg"),
        Q(np.longdouble(1.5), "kg"),
        Q(1500, "g"),
    ],
)
def test_every_real_number_is_accepted(mass):
    assert to_si("x", {"mass": positive("mass")}, {"mass": mass}) == {"mass": 1.5}


def test_a_masked_array_with_nothing_masked_is_accepted():
    masses = Q(np.ma.array([1.5, 2.0]), "kg")
    taken = to_si("x", {"mass": positive("mass")}, {"mass": masses})["mass"]
    assert type(taken) is np.ndarray
    assert taken.tolist() == [1.5, 2.0]


# --- to pint a radian is a plain number ---------------------------------------------------

ANGULAR = [
    ("frequency", Q(600, "rpm"), 'write for example x=Q(10, "Hz")'),
    ("frequency", Q(10, "turn/s"), "10 turn/s is not a frequency"),
    ("frequency", Q(10, "rad/s"), "10 rad/s is not a frequency"),
    ("frequency", Q(10, "degree/s"), "10 deg/s is not a frequency"),
    ("ratio", Q(30, "degree"), "30 deg is not a ratio"),
    ("number", Q(3, "turn"), "3 turn is not a number"),
    ("angle", Q(30, "percent"), "30 % is not an angle"),
    ("angle", Q(0.5, ""), 'write for example x=Q(30, "°")'),
    ("ratio", Q(1, "dB"), "is not a ratio"),
    ("ratio", [Q(30, "percent")], "30 % is not a number"),
    ("speed", Q(1, "rad*m/s"), "is not a speed"),
]


@pytest.mark.parametrize(("kind", "given", "fault"), ANGULAR, ids=[each[2] for each in ANGULAR])
def test_an_angle_is_no_plain_number(kind, given, fault):
    """Ten turns a second are 62.8 radians a second, and neither is the frequency of samples."""
    with pytest.raises(InputError) as error:
        to_si("x", {"x": positive(kind)}, {"x": given})
    assert fault in str(error.value)


def test_a_rate_per_minute_is_a_frequency():
    assert peak_capture(Q(600, "1/min"), Q(0.05, "s")).mean.m_as("") == pytest.approx(1 / math.pi)


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_has_a_smallest_size_other_than_zero(kind):
    smallest = KINDS[kind].smallest
    one = from_si(smallest, kind)
    assert to_si("x", {"x": positive(kind)}, {"x": one}) == {"x": smallest}
    with pytest.raises(InputError, match="the smallest that can be used; write for example x="):
        to_si("x", {"x": positive(kind)}, {"x": 0.9 * one})
    assert to_si("x", {"x": not_negative(kind)}, {"x": 0 * one}) == {"x": 0}


RUBBISH = st.one_of(
    st.floats(),
    st.integers(),
    st.integers(10**300, 10**310),
    st.complex_numbers(),
    st.text(max_size=5),
    st.binary(max_size=5),
    st.none(),
    st.booleans(),
    st.datetimes(),
    st.decimals(),
    st.fractions(),
)
NESTED = RUBBISH | st.lists(RUBBISH | st.lists(RUBBISH, max_size=3), max_size=3)


@given(NESTED, st.sampled_from([object, float, complex, str, "datetime64[s]"]), st.data())
@settings(max_examples=300, deadline=None)
def test_whatever_comes_is_refused_in_words_or_is_a_finite_number(value, dtype, data):
    kind = data.draw(st.sampled_from(list(KINDS)))
    unit = data.draw(st.sampled_from([KINDS[kind].us, "rpm", "degC", "percent", "radian", "N"]))
    given = value
    with contextlib.suppress(TypeError, ValueError, OverflowError):
        given = np.array(value, dtype=dtype)
    with contextlib.suppress(TypeError, ValueError, OverflowError):  # of pint, which makes it
        given = Q(given, unit)
    try:
        taken, fault = to_si("x", {"x": Argument(kind)}, {"x": given})["x"], ""
    except InputError as error:
        taken, fault = 0.0, str(error)
    assert np.all(np.isfinite(taken))
    assert not fault or "write for example x=Q(" in fault
    assert len(fault) < 300


@pytest.mark.parametrize("place", [0, 1, 4, 5])
@pytest.mark.parametrize(
    ("bad", "fault"),
    [
        (-1.0, "height: -1.0 m is below 0"),
        (101.0, "height: 101.0 m is above 100 m"),
        (1e9, "height: 1000000000.0 m is beyond 1"),
        (math.nan, "height: nan m is not a finite number"),
    ],
)
def test_one_bad_entry_of_an_array_is_refused_and_named(place, bad, fault):
    heights = np.full(6, 50.0)
    heights[place] = bad
    for array in (heights, heights.reshape(2, 3)):
        with pytest.raises(InputError) as error:
            lifted(Q(1, "kg"), Q(array, "m"))
        assert fault in str(error.value)
    assert lifted(Q(1, "kg"), Q(np.full(6, 50.0), "m")).m.shape == (6,)


def test_an_entry_at_a_limit_is_not_refused():
    assert lifted(Q(1, "kg"), Q([0.0, 100.0], "m")).m_as("J") == pytest.approx([0, 980.665])


def test_the_first_of_two_bad_entries_is_named():
    with pytest.raises(InputError, match=r"height: -2\.0 m is below 0"):
        lifted(Q(1, "kg"), Q([1.0, -2.0, -3.0], "m"))


@pytest.mark.parametrize("ratio", [None, True, "30 %", object(), Q(1, "m"), Q(1.5, "")])
def test_a_ratio_may_come_without_unit_but_not_as_anything(ratio):
    with pytest.raises(InputError, match="stretch: "):
        to_si("x", {"stretch": positive("ratio", at_most=1.0)}, {"stretch": ratio})


def test_all_faults_are_named_at_once():
    with pytest.raises(InputError) as error:
        lifted(Q(3, "N"), Q(-1, "m"))
    message = str(error.value)
    assert "mass: 3 N is not a mass" in message
    assert "height: -1 m is below 0" in message


@pytest.mark.parametrize(
    ("function", "arguments", "fault"),
    [
        (peak_capture, (Q([10, 20], "Hz"), Q(1, "s")), "sample_rate: [10 20] Hz is a list"),
        (bridle, (Q([10, 20], "degree"),), "angle: [10 20] deg is a list, and one angle is wanted"),
        (like, (Q([1, 2], "kJ"),), "energy: [1 2] kJ is a list"),
    ],
)
def test_what_is_asked_of_one_thing_is_not_asked_of_many(function, arguments, fault):
    with pytest.raises(InputError) as error:
        function(*arguments)
    assert fault in str(error.value)


def test_arrays_that_do_not_fit_are_refused():
    with pytest.raises(InputError, match="mass has 2 values, height has 3 values; give them"):
        lifted(Q([1, 2], "kg"), Q([1, 2, 3], "m"))


@pytest.mark.parametrize(
    ("args", "kwargs"),
    [((), {}), ((Q(1, "kg"),), {}), ((1, 2, 3), {}), ((), {"weight": 1})],
)
def test_a_wrong_call_is_told_how_to_call(args, kwargs):
    with pytest.raises(InputError, match=r'write for example lifted\(mass=Q\(2500, "kg"\), height'):
        lifted(*args, **kwargs)


def test_fields_of_a_record_are_checked_under_its_name():
    class Load:
        mass, height = Q(2, "tonne"), Q(50, "cm")

    limits = {"mass": positive("mass"), "height": not_negative("length", at_most=0.6)}
    assert fields_to_si(Load(), **limits) == {"mass": 2000.0, "height": 0.5}
    Load.height = Q(61, "cm")
    with pytest.raises(InputError, match=r"^Load:\n  height: 61 cm is above 0\.6 m; write"):
        fields_to_si(Load(), **limits)


def test_a_check_of_an_argument_that_is_not_there_is_found_at_once():
    with pytest.raises(TypeError, match="fall has no argument rise to check"):

        @takes_quantities(rise=positive("length"))
        def fall(height):
            return height
