"""How much of a slider's redraw the band of a curve takes: 10,000 samples, 60 speeds."""

import itertools

import numpy as np
import pytest
from helpers.side_by_side import milliseconds

from recoverykit import Q, Rope
from recoverykit.lessons.peak_force.panel import PeakForcePanel
from recoverykit.physics.formulas import peak_tension
from recoverykit.physics.load_curve import LoadCurve
from recoverykit.physics.pull import Pull
from recoverykit.physics.uncertainty import Uncertain, band_along, propagate

ROUNDS = 30
SPEEDS = Q(np.linspace(0, 12, 60), "km/h")
MASSES = itertools.cycle([2400.0, 2600.0])  # a slider that moves: only the draws are kept
STIFFENING = LoadCurve(stretch=(0, 0.25, 0.5, 0.75, 1), load=(0, 0.1, 0.25, 0.55, 1))


def inputs():
    return {
        "mass": Uncertain(Q(next(MASSES), "kg"), Q(100, "kg")),
        "stretch": Uncertain.between(Q(25, "percent"), Q(35, "percent")),
        "drive": Uncertain.between(Q(0, "kN"), Q(4, "kN")),
    }


def straight_peak(speed, mass, stretch, drive):
    return peak_tension(mass, speed, Q(120, "kN") / (stretch * Q(9, "m")), drive)


def stiffening_peak(speed, mass, stretch, drive):
    rope = Rope(Q(9, "m"), Q(120, "kN"), stretch, STIFFENING)
    return Pull(mass, rope, speed, drive=drive).first_peak.tension


def at_every_speed():
    return propagate(
        lambda **sampled: straight_peak(SPEEDS[:, np.newaxis], **sampled), inputs()
    ).band


@pytest.fixture
def redraw():
    panel = PeakForcePanel()
    assert panel.view is not None  # with its widgets, so that each redraw makes a picture
    speeds = itertools.cycle([Q(4, "km/h"), Q(5, "km/h")])
    return lambda: panel.set(speed=next(speeds))


def test_a_band_fits_within_one_redraw(redraw, record_property):
    one_redraw, straight, stiffening, with_fewer, everywhere = milliseconds(
        redraw,
        lambda: band_along(straight_peak, SPEEDS, inputs()),
        lambda: band_along(stiffening_peak, SPEEDS, inputs()),
        lambda: band_along(stiffening_peak, SPEEDS, inputs(), samples=2000),
        at_every_speed,
        rounds=ROUNDS,
    )
    record_property(
        "speed",
        f"redraw {one_redraw:.1f} ms; band of a straight rope {straight / one_redraw:.0%} of it, "
        f"of a stiffening rope {stiffening / one_redraw:.0%} ({with_fewer / one_redraw:.0%} with "
        f"2,000 samples); straight rope sampled at all {len(SPEEDS)} speeds "
        f"{everywhere / one_redraw:.0%}",
    )
    assert straight < one_redraw
    assert with_fewer < one_redraw
    assert straight < everywhere / 2
