"""Units: constants, and how quantities are shown."""

import math
import re

import numpy as np
import pytest
from hypothesis import settings

from recoverykit.units.parsing import read_quantity
from recoverykit.units.quantities import (
    GRAVITY,
    KINDS,
    METRIC,
    US,
    InputError,
    Q,
    as_number,
    at_least,
    at_most,
    brief,
    display,
    show,
)
from recoverykit.units.validation import positive, to_si

quick = settings(max_examples=60, deadline=None)

# --- constants --------------------------------------------------------------------------

# BIPM, SI brochure, and NIST SP 811: exact by definition. Mark: seen.
EXACT = [
    ("lbf", "N", 4.4482216152605),
    ("lb", "kg", 0.45359237),
    ("short_ton", "kg", 907.18474),
    ("long_ton", "kg", 1016.0469088),
    ("tonne", "kg", 1000.0),
    ("kgf", "N", 9.80665),
    ("force_metric_ton", "N", 9806.65),
    ("force_ton", "N", 8896.443230521),
    ("force_long_ton", "N", 9964.01641818352),
    ("kip", "N", 4448.2216152605),
    ("mph", "m/s", 0.44704),
    ("km/h", "m/s", 1 / 3.6),
    ("ft", "m", 0.3048),
    ("in", "m", 0.0254),
    ("ft*lbf", "J", 1.3558179483314004),
]


@pytest.mark.parametrize(("unit", "si", "value"), EXACT)
def test_unit_constants_are_exact(unit, si, value):
    assert Q(1, unit).m_as(si) == pytest.approx(value, rel=1e-12)


def test_standard_gravity_is_exact():
    # BIPM. Mark: seen. A kilogram-force is the weight of a kilogram.
    assert GRAVITY == 9.80665
    assert Q(1, "kgf").m_as("N") == pytest.approx(GRAVITY, rel=1e-12)


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_agrees_with_itself(kind):
    """Units inside and on display, and the examples in messages, all measure one thing."""
    inside = KINDS[kind].si
    for system in (METRIC, US):
        assert Q(1, system.unit(kind)).is_compatible_with(inside)
    for text in KINDS[kind].examples:
        assert read_quantity(text, kind).quantity.is_compatible_with(inside)
    example_of_code = eval(KINDS[kind].code, {"Q": Q})
    assert to_si("x", {"x": positive(kind)}, {"x": example_of_code})["x"] > 0


@pytest.mark.parametrize(("kind", "largest"), [("speed", 100), ("flight", 1000)])
def test_no_speed_is_beyond_what_the_docstrings_say(kind, largest):
    assert to_si("x", {"v": positive(kind)}, {"v": Q(largest, "m/s")}) == {"v": largest}
    with pytest.raises(InputError, match="the largest that can be used"):
        to_si("x", {"v": positive(kind)}, {"v": Q(1.001 * largest, "m/s")})


# --- display ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("quantity", "kind", "metric", "us"),
    [
        (Q(38, "kN"), "force", "38.0 kN", "8,540 lbf"),
        (Q(5, "km/h"), "speed", "5.0 km/h", "3.1 mph"),
        (Q(2500, "kg"), "mass", "2500 kg", "5,510 lb"),
        (Q(10, "kJ"), "energy", "10.0 kJ", "7,380 ft·lbf"),
        (Q(24, "mm"), "diameter", "24.0 mm", "0.945 in"),
        (Q(0.282, ""), "ratio", "28.2 %", "28.2 %"),
        (Q(30, "degree"), "angle", "30.0°", "30.0°"),
        (Q(0, "N"), "force", "0 kN", "0 lbf"),
        (Q(-3, "kN"), "force", "−3.00 kN", "−674 lbf"),
        (Q(math.nan, "N"), "force", "unknown kN", "unknown lbf"),
        (Q(math.inf, "N"), "force", "∞ kN", "∞ lbf"),
    ],
)
def test_show(quantity, kind, metric, us):
    assert " ".join(show(quantity, kind, METRIC).split()) == metric  # whichever space groups
    assert show(quantity, kind, US) == us


@pytest.mark.parametrize(
    ("value", "metric", "us"),
    [
        (999, "999", "999"),
        (1000, "1000", "1,000"),
        (9999, "9999", "9,999"),
        (9999.6, "10 000", "10,000"),
        (-12345, "−12 345", "−12,345"),
        (1234567, "1 234 600", "1,234,600"),
    ],
)
def test_digits_are_grouped_where_a_number_is_long(value, metric, us):
    assert " ".join(as_number(value, METRIC, digits=5, decimals=0).split()) == metric
    assert as_number(value, US, digits=5, decimals=0) == us


@pytest.mark.parametrize(
    ("kind", "unit", "shown"),
    [
        ("speed", "km/h", "0.1 km/h"),
        ("flight", "km/h", "0.1 km/h"),
        ("ratio", "percent", "0.1 %"),
        ("length", "m", "0.123 m"),
        ("force", "kN", "0.123 kN"),
        ("mass", "kg", "0.123 kg"),
    ],
)
def test_a_kind_has_as_many_decimals_as_are_worth_showing(kind, unit, shown):
    assert show(Q(0.12345, unit), kind, METRIC, digits=5) == shown


def test_show_refuses_another_kind():
    with pytest.raises(InputError, match=r'quantity: 3 kg is not a force; .* show\(Q\(38, "kN"\)'):
        show(Q(3, "kg"), "force")
    with pytest.raises(InputError, match="no kind of quantity 'weight'; there are mass, speed"):
        show(Q(3, "kN"), "weight")


NO_FREQUENCIES = [
    (Q(60, "rpm"), "60 rpm is not a frequency"),
    (Q(1 + 2j, "Hz"), "is not a number"),
    (Q([1, 2], "Hz"), "is a list, and one frequency is wanted"),
    (Q(np.ma.masked, "Hz"), "some of its values are masked"),
    (Q(10**5000, "Hz"), "is too large a number"),
    (Q(np.array(["1"]), "Hz"), "array(['1'], dtype='<U1') is not a number"),
    (10, "10 has no unit"),
    ("10 Hz", "'10 Hz' is text"),
    (None, "None has no unit"),
]


@pytest.mark.parametrize(
    ("given", "fault"), NO_FREQUENCIES, ids=[fault for _, fault in NO_FREQUENCIES]
)
@pytest.mark.parametrize("write", [show, at_least, at_most])
def test_what_is_no_such_quantity_is_not_shown(given, fault, write):
    with pytest.raises(InputError) as error:
        write(given, "frequency")
    assert str(error.value).startswith(f"{write.__name__}: quantity: ")
    assert fault in str(error.value)
    assert str(error.value).endswith(
        f'write for example {write.__name__}(Q(10, "Hz"), "frequency")'
    )


@pytest.mark.parametrize("bound", [at_least, at_most])
def test_a_bound_that_is_not_finite_is_shown(bound):
    assert bound(Q(math.inf, "N"), "force") == "∞ kN"
    assert bound(Q(math.nan, "N"), "force") == "unknown kN"


NO_LISTS = [
    ([np.ma.array([1, 2], mask=[False, True]), np.ma.array([3, 4])], "its values are masked"),
    ([1.0, np.ma.masked], "some of its values are masked"),
    ([[1], [2, 3]], "is not a list of numbers"),
    ([Q(1, "kg"), Q(2, "lb")], "is not a list of numbers"),
    ({1: 2}, "{1: 2} is not a number"),
]


@pytest.mark.parametrize(("values", "fault"), NO_LISTS, ids=[fault for _, fault in NO_LISTS])
def test_what_is_no_list_of_numbers_is_no_quantity(values, fault):
    with pytest.raises(InputError, match=re.escape(fault)):
        Q(values, "kg")


@pytest.mark.parametrize("name", [["mass"], None, {}, 3])
def test_a_name_that_is_no_text_is_refused(name):
    with pytest.raises(InputError, match="there is no kind of quantity"):
        show(Q(1, "kg"), name)
    with pytest.raises(InputError, match="there is no display system"):
        display.use(name)


@pytest.mark.parametrize(
    ("quantity", "kind", "written"),
    [
        (Q(2, "km/h"), "speed", "2 km/h"),
        (Q(2.5, "km/h"), "speed", "2.5 km/h"),
        (Q(100, "kN"), "force", "100 kN"),
        (Q(10, "kN"), "force", "10 kN"),
        (Q(0, "kN"), "force", "0 kN"),
        (Q(30, "degree"), "angle", "30°"),
        (Q(0.05, "m"), "length", "0.05 m"),
        (Q(12.3, "percent"), "ratio", "12.3 %"),
    ],
)
def test_brief_leaves_out_zeros_that_say_nothing(quantity, kind, written):
    assert brief(quantity, kind, METRIC) == written


def test_numbers_are_rounded_once():
    """1.652 to three digits is 1.65, and that to one decimal would be 1.6."""
    assert as_number(1.652, US, decimals=1) == "1.7"
    assert show(Q(1.652, "mph"), "speed", US) == "1.7 mph"


def test_display_switches_everything_that_is_shown():
    class Shown:
        seen = ()

        def show_in(self, system):
            self.seen += (system.name,)

    shown = Shown()
    display.switched.connect(shown.show_in)
    display.use("US")
    assert show(Q(1, "mph"), "speed") == "1.0 mph"
    display.use("US")  # nothing changes, so nobody is told
    display.use("metric")
    assert shown.seen == ("US", "metric")


def test_display_refuses_an_unknown_system():
    with pytest.raises(InputError, match='"metric" or "US"'):
        display.use("imperial")
    assert display.system is METRIC


@pytest.mark.parametrize("value", [None, True, False])
def test_nothing_and_truth_are_no_quantities(value):
    with pytest.raises(InputError, match=f"{value} is not a number; write for example Q"):
        Q(value, "kg")
