"""Lesson 08: its formulas are what the library reckons, and its numbers come from the library."""

import csv

import numpy as np
import pytest
from helpers.lesson_text import LessonText
from hypothesis import given
from hypothesis import strategies as st

from recoverykit import Q, peak_capture, peak_tension
from recoverykit.lessons.bank import find_guess
from recoverykit.measurements.extrapolation import (
    line_extrapolation,
    measured_limit_speed,
)
from recoverykit.measurements.pull_log import PullLog
from recoverykit.measurements.regression import fit
from recoverykit.measurements.repeatability import repeatability, student_t
from recoverykit.measurements.session import demo_session
from recoverykit.measurements.shapes import LINE, ORIGIN
from recoverykit.measurements.stiffness import effective_stiffness
from recoverykit.physics.formulas import time_under_load
from recoverykit.physics.rigging import demo_line
from recoverykit.tables.marram_point import DemoRope, DemoVehicle
from recoverykit.tables.records import DATA, find
from recoverykit.units.quantities import METRIC, US, at_least, display

LESSON = LessonText("08")

masses = st.floats(500, 20_000)
speeds = st.floats(0.1, 10)
stiffnesses = st.floats(1e3, 1e6)
samples = st.floats(1.01, 200)


def repeat_limit(scatter):
    off = scatter / np.sqrt(2)
    log = PullLog(Q([1, 1], "m/s"), Q([10 * scatter - off, 10 * scatter + off], "N"))
    return repeatability(log).limit.m_as("N")


def straight_rope(m, v, k):
    """What the library finds for pulls of a straight rope."""
    at = Q([0.5, 1.0, 1.0], "") * Q(v, "m/s")
    log = PullLog(at, peak_tension(Q(m, "kg"), at, Q(k, "N/m")))
    return effective_stiffness(fit(log, ORIGIN), Q(m, "kg"))


# As printed, as Python, and as the library has it; F is the peak of a straight rope.
FORMULAS = {
    r"r = t\sqrt{2}\,s": (
        lambda m, v, k, n: student_t(1) * np.sqrt(2) * m,
        lambda m, v, k, n: repeat_limit(m),
    ),
    r"k = \frac{1}{m}\left(\frac{F}{v}\right)^2": (
        lambda m, v, k, n: (peak_tension.si(m, v, k) / v) ** 2 / m,
        lambda m, v, k, n: straight_rope(m, v, k).first[0].m_as("N/m"),
    ),
    r"x = \frac{m\,v^2}{F}": (
        lambda m, v, k, n: m * v**2 / peak_tension.si(m, v, k),
        lambda m, v, k, n: straight_rope(m, v, k).stretch[0].m_as("m"),
    ),
    r"F \le \frac{F_s}{\cos(90^\circ / N)}": (
        lambda m, v, k, n: m / np.cos(np.radians(90 / n)),
        lambda m, v, k, n: peak_capture(Q(n, "Hz"), Q(1, "s")).peak_behind(Q(m, "N"))[1].m_as("N"),
    ),
}


def test_these_are_the_formulas_of_the_lesson():
    assert LESSON.formulas == list(FORMULAS)


@pytest.mark.parametrize("printed", FORMULAS)
@given(m=masses, v=speeds, k=stiffnesses, n=samples)
def test_a_formula_is_what_the_library_computes(printed, m, v, k, n):
    formula, library = FORMULAS[printed]
    assert formula(m, v, k, n) == pytest.approx(library(m, v, k, n), rel=1e-6)


# --- numbers in the text ----------------------------------------------------------------

DAY = demo_session()
KEPT = DAY.without(4, 12)
TRUCK = find(DemoVehicle, name="launch truck").mass
SPEED, PEAK = Q(6, "km/h"), Q(22.3, "kN")
STIFFNESS = (PEAK / SPEED) ** 2 / TRUCK
AT_8, AT_12 = (line_extrapolation(KEPT.kept, Q(v, "km/h")) for v in (8, 12))
LIMIT = measured_limit_speed(KEPT.comparison.value, demo_line())


def test_the_table_is_the_log():
    with (DATA / "marram_point_pulls.csv").open(encoding="utf-8") as file:
        for row, cells in enumerate(csv.DictReader(file), start=2):
            values = [cells[name] for name in ("speed [km/h]", "peak [lbf]", "repeat", "note")]
            assert f"| {row} | {' | '.join(values)} |" in LESSON.text


def test_the_two_mistakes_are_those_of_the_log():
    assert {finding.row for finding in DAY.log.outliers} == {4, 12}
    assert KEPT.kept.outliers == ()
    assert round(9250 / 2200, 1) == 4.2
    assert "Divided by the 2200 of the other round that is 4.2, near the 4.448" in LESSON.text


@pytest.mark.parametrize(
    ("sentence", "quantity", "kind"),
    [
        ("scatter by {metric} ({us})", KEPT.repeats.value.scatter, "force"),
        ("3.93 × 0.827 = {metric} ({us})", KEPT.repeats.value.limit, "force"),
        ("the two pulls are {metric} ({us})", PEAK, "force"),
        ("57 700 N/m, or {metric} ({us})", STIFFNESS, "stiffness"),
        ("= {metric} ({us})", TRUCK * SPEED**2 / PEAK, "length"),
        ("At 8 km/h they are {metric} ({us}) apart", AT_8.stiffening - AT_8.straight, "force"),
        ("at 12 km/h {metric} ({us})", AT_12.stiffening - AT_12.straight, "force"),
        ("A reading of {metric} ({us})", Q(23.3, "kN"), "force"),
        ("cos(12.3°) = {metric} ({us})", Q(23.3, "kN") / np.cos(np.radians(90 / 7.3)), "force"),
    ],
)
def test_a_number_of_the_text_in_both_systems(sentence, quantity, kind):
    assert LESSON.says(sentence, quantity, kind)


def test_the_middle_of_the_two_fastest_pulls():
    fastest = DAY.log.peak[DAY.log.speed == SPEED]
    assert np.mean(fastest.m_as("kN")) == pytest.approx(PEAK.m_as("kN"), abs=0.05)


def test_the_table_of_factors():
    table = "| $r$ is $s$ times |"
    for repeats in (2, 3, 4, 9, 10**6):
        table += f" {student_t(repeats) * np.sqrt(2):.1f} |"
    assert table in LESSON.text
    assert round(student_t(KEPT.repeats.value.degrees_of_freedom) * np.sqrt(2), 2) == 3.93


def test_the_limit_speed_lies_beyond_what_was_measured():
    shown = {}
    for system in (METRIC, US):
        display.use(system.name)
        shown[system.name] = at_least(LIMIT.speed, "speed")
    assert f"Here that is {shown['metric']} ({shown['US']})" in LESSON.text
    assert LIMIT.beyond


def test_the_straight_line_flatters():
    line = KEPT.comparison.value.of(LINE)
    assert not line.ruled_out
    assert line.fit.parameters["peak at standstill"][0].m < 0
    for on in (AT_8, AT_12):
        assert on.straight < on.stiffening


def test_the_chains_of_numbers():
    assert round((22_300 / 1.667) ** 2 / 3100, -2) == 57_700
    assert round(3100 * 1.667**2 / 22_300, 3) == 0.386
    assert round(90 / 7.3, 1) == 12.3
    duration = time_under_load(TRUCK, STIFFNESS).m_as("s")
    assert round(duration, 2) == 0.73
    rope = find(DemoRope, name="yard rope")
    assert (rope.length * rope.stretch_at_break).m_as("m") == pytest.approx(3.3)


def test_the_guess_is_about_the_log():
    numbers = find_guess("08.guess").numbers(seed=0)
    rows = DAY.log.row.tolist()
    for speed, peak, row in (
        (numbers.middle, numbers.middle_peak, 10),
        (numbers.top, numbers.top_peak, 13),
    ):
        assert DAY.log.speed[rows.index(row)] == speed
        assert DAY.log.peak[rows.index(row)] == peak
    assert numbers.mass == TRUCK


def test_the_worked_examples_print_what_the_text_says():
    printed = LESSON.printed()
    assert printed == ["0.827 kN and 3.25 kN", "57.7 kN/m", "0.386 m", "23.9 kN"]
