"""The formulas of the lessons are what the library computes.

Each row has a formula as its lesson prints it, the same in Python, and how the library has it. Both
functions take the symbols of the formula; RANGES says which numbers are tried for a symbol. A pull
in time (r, m1, m2, k1, v1) is tried with fewer extremes than a formula.
"""

import inspect

import numpy as np
import pytest
from helpers.lesson_text import LessonText
from hypothesis import assume, given
from hypothesis import strategies as st

from recoverykit import (
    Link,
    Pull,
    Q,
    Rating,
    RiggingLine,
    Rope,
    kinetic_energy,
    peak_capture,
    peak_tension,
    pull_in_time,
    speed_for_tension,
)
from recoverykit.measurements.pull_log import PullLog
from recoverykit.measurements.regression import fit
from recoverykit.measurements.repeatability import repeatability, student_t
from recoverykit.measurements.shapes import ORIGIN
from recoverykit.measurements.stiffness import effective_stiffness
from recoverykit.physics.formulas import drop_height
from recoverykit.physics.ground import drawbar_pull, resistance
from recoverykit.physics.recoil import LetGo
from recoverykit.physics.rigging import WORKING_LOAD_LIMIT, leg_tension

G = 9.80665

forces = st.floats(1e2, 2e5)
shares = st.floats(0.01, 0.99)
RANGES = {
    "angle": st.floats(0, 60),  # degrees
    "c": st.floats(0, 3),
    "d": st.floats(0, 1e5),
    "e": st.floats(0.01, 0.5),
    "f": forces,
    "rolling": st.floats(0.01, 0.3),
    "k": st.floats(1e3, 1e6),
    "k1": st.floats(5e3, 2e5),
    "length": st.floats(0.3, 30),
    "limits": st.lists(forces, min_size=1, max_size=6),
    "m": st.floats(500, 20_000),
    "m1": st.floats(800, 10_000),
    "m2": st.floats(800, 10_000),
    "rope": st.floats(0.1, 30),
    "n": st.floats(1, 20, exclude_min=True),
    "samples": st.floats(1.01, 200),
    "piece": st.floats(0.1, 20),
    "r": st.floats(1e3, 4e4),
    "r1": shares,
    "r2": shares,
    "slope": st.floats(0, 0.7),  # radians
    "share": shares,
    "v": st.floats(0.01, 10),
    "v1": st.floats(0.3, 4),
}


def ranges(*symbols):
    return {symbol: RANGES[symbol] for symbol in symbols}


# --- the library ------------------------------------------------------------------------


def rope_of(f, e, length):
    return Rope(Q(length, "m"), Q(f, "N"), Q(e, ""))


def energy_in(rope, share):
    """Energy (J) of a rope stretched by a share of its stretch at break."""
    return rope.stored_energy(share * rope.extension_at_break).m_as("J")


def pull_for_energy(rope, energy):
    """Tension (N) of a rope that has taken up an energy (J), brought by some vehicle."""
    speed = Q(np.sqrt(2 * energy / 2500), "m/s")
    return Pull(Q(2500, "kg"), rope, speed).first_peak.tension.m_as("N")


def line_of(limits):
    return RiggingLine(Link("part", Rating(Q(limit, "N"), WORKING_LOAD_LIMIT)) for limit in limits)


def pull_between(m1, m2, k, v, breakout=0.0, moving=0.0):
    """A pull out of gear with a straight rope that does not part."""
    return Pull(
        Q(m1, "kg"),
        Rope(Q(10, "m"), Q(10 * k, "N"), Q(100, "percent")),
        Q(v, "m/s"),
        stuck_mass=Q(m2, "kg"),
        breakout_resistance=Q(breakout, "N"),
        moving_resistance=Q(moving, "N"),
    )


def repeat_limit(scatter):
    """Repeatability limit (N) of two pulls at one speed that scatter by so much (N)."""
    peaks = 10 * scatter + np.array([-1, 1]) * scatter / np.sqrt(2)
    return repeatability(PullLog(Q([1, 1], "m/s"), Q(peaks, "N"))).limit.m_as("N")


def straight_rope(m, v, k):
    """What the library finds for pulls of a straight rope."""
    speeds = Q([0.5 * v, v, v], "m/s")
    log = PullLog(speeds, peak_tension(Q(m, "kg"), speeds, Q(k, "N/m")))
    return effective_stiffness(fit(log, ORIGIN), Q(m, "kg"))


def let_go(f, k, piece=1.0, rope=5.0):
    straight = Rope(Q(1000, "m"), Q(k * 1000, "N"), stretch_at_break=1.0)
    return LetGo(straight, Q(f, "N"), Q(piece, "kg"), Q(rope, "kg"))


def moving_force(m, v, k, d):
    """Some force (N) that only a moving vehicle can reach."""
    return 2 * d + v * np.sqrt(k * m)


def light(piece, rope):
    """The lesson gives the lower speed for pieces up to 1.6 times as heavy as the rope."""
    return min(piece, 1.59 * rope)


# --- the formulas -----------------------------------------------------------------------

BEGINS_TO_MOVE = r"v_b = \frac{R_b}{\sqrt{k\,m_1}}"
FARTHEST = r"s \le \frac{m_1\,v^2}{2\,R_m}"

FORMULAS = {
    "01": {
        r"E = \tfrac{1}{2}\,m\,v^2": (
            lambda m, v: 1 / 2 * m * v**2,
            lambda m, v: kinetic_energy.si(m, v),
        ),
        r"h = \frac{v^2}{2\,g}": (
            lambda v: v**2 / (2 * G),
            lambda v: drop_height.si(v),
        ),
    },
    "02": {
        r"k = \frac{F_b}{e\,L}": (
            lambda f, e, length: f / (e * length),
            lambda f, e, length: rope_of(f, e, length).stiffness.m_as("N/m"),
        ),
        r"E = \tfrac{1}{2}\,F\,x = \tfrac{1}{2}\,k\,x^2": (
            lambda f, e, length, share: [
                1 / 2 * (share * f) * (share * e * length),
                1 / 2 * f / (e * length) * (share * e * length) ** 2,
            ],
            lambda f, e, length, share: [energy_in(rope_of(f, e, length), share)] * 2,
        ),
        r"F = \sqrt{2\,E\,k}": (
            lambda f, e, length, share: np.sqrt(
                2 * energy_in(rope_of(f, e, length), share) * f / (e * length)
            ),
            lambda f, e, length, share: pull_for_energy(
                rope_of(f, e, length), energy_in(rope_of(f, e, length), share)
            ),
        ),
    },
    "03": {
        r"F = v\,\sqrt{k\,m}": (
            lambda m, v, k: v * np.sqrt(k * m),
            lambda m, v, k: peak_tension.si(m, v, k),
        ),
        r"F = D + \sqrt{D^2 + k\,m\,v^2}": (
            lambda m, v, k, d: d + np.sqrt(d**2 + k * m * v**2),
            lambda m, v, k, d: peak_tension.si(m, v, k, d),
        ),
        r"v = \sqrt{\frac{F\,(F - 2D)}{k\,m}}": (
            lambda m, v, k, d: np.sqrt(
                moving_force(m, v, k, d) * (moving_force(m, v, k, d) - 2 * d) / (k * m)
            ),
            lambda m, v, k, d: speed_for_tension.si(m, moving_force(m, v, k, d), k, d),
        ),
    },
    "04": {
        r"F_b = n\,F_w": (
            lambda n, f: n * f,
            lambda n, f: Rating(Q(f, "N"), WORKING_LOAD_LIMIT, n).breaking_strength.m_as("N"),
        ),
        r"F_{leg} = \frac{T}{2\cos\theta}": (
            lambda f, angle: f / (2 * np.cos(np.radians(angle))),
            lambda f, angle: leg_tension(Q(f, "N"), Q(angle, "degree")).m_as("N"),
        ),
    },
    "05": {
        r"F_{line} = \min(F_1,\, F_2,\, F_3,\, \dots)": (
            lambda limits: min(limits),
            lambda limits: line_of(limits).working_load_limit.m_as("N"),
        ),
        r"u = \frac{T}{F_w}": (
            lambda f, limits: f / limits[0],
            lambda f, limits: line_of(limits).under(Q(f, "N"))[0].over_working_limit,
        ),
    },
    "06": {
        r"F = f\,m\,g": (
            lambda m, rolling: rolling * m * G,
            lambda m, rolling: resistance.si(m, rolling),
        ),
        r"F = c\,m\,g": (
            lambda m, c: c * m * G,
            lambda m, c: resistance.si(m, c),
        ),
        r"F = m\,g\,(\sin\alpha + c\,\cos\alpha)": (
            lambda m, c, slope: m * G * (np.sin(slope) + c * np.cos(slope)),
            lambda m, c, slope: resistance.si(m, c, slope),
        ),
        r"F = m\,g\,(\mu - f)": (
            lambda m, c, rolling: m * G * (c - min(rolling, c)),
            lambda m, c, rolling: drawbar_pull.si(m, c, min(rolling, c)),
        ),
        r"F' = r_1\,r_2\,F": (
            lambda m, c, r1, r2: r1 * r2 * c * m * G,
            lambda m, c, r1, r2: resistance.si(m, r1 * r2 * c),
        ),
    },
    "07": {
        BEGINS_TO_MOVE: None,  # see test_the_speed_at_which_it_begins_to_move
        r"F = v\,\sqrt{k\,\mu} \quad\text{with}\quad \mu = \frac{m_1\,m_2}{m_1 + m_2}": (
            lambda m1, m2, k1, v1: [v1 * np.sqrt(k1 * m1 * m2 / (m1 + m2)), m2 / (m1 + m2)],
            lambda m1, m2, k1, v1: peak_and_share(pull_between(m1, m2, k1, v1)),
        ),
        FARTHEST: None,  # see test_no_pull_out_of_gear_moves_it_farther
    },
    "08": {
        r"r = t\sqrt{2}\,s": (
            lambda f: student_t(1) * np.sqrt(2) * f,
            lambda f: repeat_limit(f),
        ),
        r"k = \frac{1}{m}\left(\frac{F}{v}\right)^2": (
            lambda m, v, k: (peak_tension.si(m, v, k) / v) ** 2 / m,
            lambda m, v, k: straight_rope(m, v, k).first[0].m_as("N/m"),
        ),
        r"x = \frac{m\,v^2}{F}": (
            lambda m, v, k: m * v**2 / peak_tension.si(m, v, k),
            lambda m, v, k: straight_rope(m, v, k).stretch[0].m_as("m"),
        ),
        r"F \le \frac{F_s}{\cos(90^\circ / N)}": (
            lambda f, samples: f / np.cos(np.radians(90 / samples)),
            lambda f, samples: (
                peak_capture(Q(samples, "Hz"), Q(1, "s")).peak_behind(Q(f, "N"))[1].m_as("N")
            ),
        ),
    },
    "09": {
        r"E = \frac{F^2}{2\,k}": (
            lambda f, k: f**2 / (2 * k),
            lambda f, k: let_go(f, k).energy.m_as("J"),
        ),
        r"v = \sqrt{\frac{2\,E}{m}}": (
            lambda f, k, piece: np.sqrt(2 * (f**2 / (2 * k)) / piece),
            lambda f, k, piece: let_go(f, k, piece).most_speed.m_as("m/s"),
        ),
        r"v = \frac{F}{\sqrt{k\,M}}\,\left(1 - e^{-2\,M/m}\right)": (
            lambda f, k, piece, rope: (
                f / np.sqrt(k * rope) * (1 - np.exp(-2 * rope / light(piece, rope)))
            ),
            lambda f, k, piece, rope: let_go(f, k, light(piece, rope), rope).least_speed.m_as(
                "m/s"
            ),
        ),
        r"E = \tfrac{1}{2}\,F_b\,e\,L": (
            lambda f, e, length: f * e * length / 2,
            lambda f, e, length: energy_in(rope_of(f, e, length), 1),
        ),
    },
    "10": {
        r"v = \frac{F}{\sqrt{k\,m}}": (
            lambda m, f, k: f / np.sqrt(k * m),
            lambda m, f, k: speed_for_tension.si(m, f, k),
        ),
        r"F_2 = F_1\,\frac{m_2}{m_1}": (
            lambda m, m2, c, slope: resistance.si(m, c, slope) * m2 / m,
            lambda m, m2, c, slope: resistance.si(m2, c, slope),
        ),
    },
}


def peak_and_share(pull):
    """Peak (N), in one step and in time, and the share of the energy that the rope gets."""
    held = pull.rope.stored_energy(pull.first_peak.extension)
    brought = kinetic_energy(pull.recovery_mass, pull.speed)
    assert pull_in_time(pull).peak.m_as("N") == pytest.approx(
        pull.first_peak.tension.m_as("N"), rel=1e-5
    )
    return [pull.first_peak.tension.m_as("N"), (held / brought).m_as("")]


@pytest.mark.parametrize("lesson", FORMULAS)
def test_these_are_the_formulas_of_a_lesson(lesson):
    assert LessonText(lesson).formulas == list(FORMULAS[lesson])


@pytest.mark.parametrize(
    ("formula", "library"),
    [
        pytest.param(*functions, id=f"{lesson}: {printed}")
        for lesson, formulas in FORMULAS.items()
        for printed, functions in formulas.items()
        if functions
    ],
)
@given(data=st.data())
def test_a_formula_is_what_the_library_computes(formula, library, data):
    symbols = inspect.signature(library).parameters
    values = data.draw(st.fixed_dictionaries(ranges(*symbols)))
    assert formula(**values) == pytest.approx(library(**values), rel=1e-6)


@given(**ranges("m1", "m2", "k1", "r"))
def test_the_speed_at_which_it_begins_to_move(m1, m2, k1, r):
    begins = r / np.sqrt(k1 * m1)
    assume(begins < 10)
    below, above = (pull_between(m1, m2, k1, begins * part, r) for part in (0.999, 1.001))
    assert not below.first_peak.stuck_moves
    assert above.first_peak.stuck_moves


@given(share=st.floats(0.2, 1), **ranges("m1", "m2", "v1", "r"))
def test_no_pull_out_of_gear_moves_it_farther(m1, m2, v1, r, share):
    farthest = m1 * v1**2 / (2 * share * r)
    motion = pull_in_time(pull_between(m1, m2, 5e4, v1, r, share * r), Q(4, "s"))
    assert motion.stuck_travel.m_as("m") <= farthest * (1 + 1e-5)
