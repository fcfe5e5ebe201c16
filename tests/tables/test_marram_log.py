"""The invented logs of Marram Point: made by their script, and what a learner finds in each."""

import runpy

import numpy as np
import pytest

from recoverykit import Link, Q, Rating, RiggingLine
from recoverykit.measurements.extrapolation import line_extrapolation, measured_limit_speed
from recoverykit.measurements.model_selection import compare
from recoverykit.measurements.reading import read_log
from recoverykit.measurements.regression import fit
from recoverykit.measurements.repeatability import drift, repeatability
from recoverykit.measurements.shapes import EXPONENTIAL, SQUARE, STIFFENING
from recoverykit.measurements.stiffness import effective_stiffness
from recoverykit.tables.marram_point import DemoLink, DemoRope, DemoVehicle
from recoverykit.tables.records import DATA, find, table

SCRIPT = runpy.run_path(str(DATA / "make_marram_log.py"))
MISTAKES = [4, 12]


@pytest.fixture(params=SCRIPT["FILES"])
def unit(request):
    return request.param


@pytest.fixture
def log(unit):
    return read_log(SCRIPT["FILES"][unit])


@pytest.fixture
def repaired(log):
    return log.without(*MISTAKES)


def test_the_file_is_what_the_script_makes(unit):
    heading, *written = [line.split(",") for line in SCRIPT["FILES"][unit].read_text().splitlines()]
    assert heading[:2] == [f"speed [{unit}]", "peak [lbf]"]
    made = [[str(cell) for cell in row] for row in SCRIPT["rows"](unit)]
    assert [row[:5] for row in written] == [row[:5] for row in made]
    assert [row[3] for row in written] == ["invented"] * len(written)


def test_both_planted_mistakes_are_pointed_out_and_nothing_else(log, repaired):
    assert not log.problems
    assert [finding.row for finding in log.outliers] == MISTAKES
    newtons, digit = log.outliers
    assert "N on the meter" in newtons.remedy
    assert "a digit missing" in digit.remedy
    assert repaired.outliers == ()


def test_the_mistakes_hide_the_shape_until_they_are_left_out(log, repaired):
    assert {SQUARE, EXPONENTIAL} & {c.shape for c in compare(log).candidates if not c.ruled_out}
    found = compare(repaired)
    assert found.candidates[0].shape is STIFFENING
    out = {candidate.shape for candidate in found.candidates if candidate.ruled_out}
    assert out == {SQUARE, EXPONENTIAL}


def test_what_was_put_in_comes_out(repaired):
    assert drift(repaired).found
    assert (
        drift(repaired).low.m_as("") < SCRIPT["ROUND_DRIFT"][1] - 1 < drift(repaired).high.m_as("")
    )
    found = repeatability(repaired)
    # Two pulls 5 % apart scatter by 3.5 % on top of the scatter of one pull.
    put_in = np.hypot(SCRIPT["SCATTER"], (SCRIPT["ROUND_DRIFT"][1] - 1) / 2**0.5)
    assert found.relative.m_as("") == pytest.approx(put_in, rel=0.5)
    rope = find(DemoRope, name="yard rope")
    straight = rope.breaking_strength / (rope.stretch_at_break * rope.length)
    mass = find(DemoVehicle, name="launch truck").mass
    _, low, high = effective_stiffness(fit(repaired, STIFFENING), mass).first
    # Half of the pulls were 5 % harder, so 10 % stiffer.
    assert low < SCRIPT["SOFT_START"] * straight * 1.05 < high


def test_the_limit_of_the_yard_line_lies_beyond_what_was_measured(unit, repaired):
    line = RiggingLine(
        [
            Link(row.link, Rating(row.rating, row.basis, row.design_factor))
            for row in table(DemoLink)
            if row.line == "yard line"
        ]
    )
    found = measured_limit_speed(compare(repaired), line)
    assert found.beyond
    to, before = {"km/h": (6, 7), "mph": (3.5, 4)}[unit]
    assert found.measured_to.m_as(unit) == pytest.approx(to)
    assert to < found.speed.m_as(unit) < before
    assert line_extrapolation(repaired, Q(8, "km/h")).short_at_most.m_as("") > 0.1
