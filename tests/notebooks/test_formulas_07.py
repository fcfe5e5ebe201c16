"""Lesson 07: its formulas are what the library reckons, and its numbers come from the library."""

import numpy as np
import pytest
from helpers.lesson_text import LessonText
from hypothesis import assume, given
from hypothesis import strategies as st

from recoverykit import Pull, Q, Rope, kinetic_energy, peak_tension, pull_in_time, reduced_mass
from recoverykit.lessons import MoreSpeedPanel, PullInTimePanel
from recoverykit.lessons.bank import find_guess
from recoverykit.physics.rope import demo_rope
from recoverykit.units.quantities import METRIC, US, show

LESSON = LessonText("07")
ROPE = demo_rope()
TRUCK, CAR, STIFFNESS = Q(3100, "kg"), Q(1850, "kg"), ROPE.stiffness

masses = st.floats(800, 10_000)
stiffnesses = st.floats(5e3, 2e5)
speeds = st.floats(0.3, 4)
forces = st.floats(1e3, 4e4)


def a_pull(m1, m2, k, v, breakout=0.0, moving=0.0):
    """A pull out of gear with a straight rope that does not part."""
    rope = Rope(Q(10, "m"), Q(10 * k, "N"), Q(100, "percent"))
    return Pull(
        Q(m1, "kg"),
        rope,
        Q(v, "m/s"),
        stuck_mass=Q(m2, "kg"),
        breakout_resistance=Q(breakout, "N"),
        moving_resistance=Q(moving, "N"),
    )


def test_these_are_the_formulas_of_the_lesson():
    assert LESSON.formulas == [
        r"v_b = \frac{R_b}{\sqrt{k\,m_1}}",
        r"F = v\,\sqrt{k\,\mu} \quad\text{with}\quad \mu = \frac{m_1\,m_2}{m_1 + m_2}",
        r"s \le \frac{m_1\,v^2}{2\,R_m}",
    ]


@given(m1=masses, m2=masses, k=stiffnesses, breakout=forces)
def test_the_speed_at_which_it_begins_to_move(m1, m2, k, breakout):
    begins = breakout / np.sqrt(k * m1)
    assume(begins < 10)
    below, above = (a_pull(m1, m2, k, begins * part, breakout) for part in (0.999, 1.001))
    assert not below.first_peak.stuck_moves
    assert above.first_peak.stuck_moves


@given(m1=masses, m2=masses, k=stiffnesses, v=speeds)
def test_the_peak_of_a_stuck_vehicle_that_nothing_holds(m1, m2, k, v):
    mu = m1 * m2 / (m1 + m2)
    pull = a_pull(m1, m2, k, v)
    assert pull.first_peak.tension.m_as("N") == pytest.approx(v * np.sqrt(k * mu))
    assert pull_in_time(pull).peak.m_as("N") == pytest.approx(v * np.sqrt(k * mu), rel=1e-5)


@given(m1=masses, m2=masses, k=stiffnesses, v=speeds)
def test_the_share_of_the_energy_that_the_rope_gets(m1, m2, k, v):
    pull = a_pull(m1, m2, k, v)
    held = pull.rope.stored_energy(pull.first_peak.extension)
    brought = kinetic_energy(pull.recovery_mass, pull.speed)
    assert (held / brought).m_as("") == pytest.approx(m2 / (m1 + m2))
    assert r"the share $m_2/(m_1 + m_2)$ of it" in LESSON.text


@given(m1=masses, m2=masses, v=speeds, breakout=forces, part=st.floats(0.2, 1))
def test_no_pull_out_of_gear_moves_it_farther_than_at_most(m1, m2, v, breakout, part):
    pull = a_pull(m1, m2, 5e4, v, breakout, part * breakout)
    at_most = m1 * v**2 / (2 * part * breakout)
    motion = pull_in_time(pull, Q(4, "s"))
    assert motion.stuck_travel.m_as("m") <= at_most * (1 + 1e-5)


# --- numbers in the text ----------------------------------------------------------------


def bought(speed, **values):
    panel = MoreSpeedPanel()
    panel.set(speed=Q(speed, "km/h"), **values)
    return panel.result.here


DUG = {"breakout": Q(6, "kN")}


@pytest.mark.parametrize(
    ("sentence", "kind", "quantity"),
    [
        ("or {metric} ({us}).", "speed", MoreSpeedPanel().result.breakout_speed),
        (
            "= 8460 N, or {metric} ({us})",
            "force",
            peak_tension(reduced_mass(TRUCK, CAR), Q(4, "km/h"), STIFFNESS),
        ),
        ("Stuck in the creek it was {metric} ({us})", "force", bought(4).peak),
        ("brings {metric} ({us})", "energy", kinetic_energy(TRUCK, Q(8, "km/h"))),
        ("7.65 / 6 = {metric} ({us})", "length", kinetic_energy(TRUCK, Q(8, "km/h")) / Q(6, "kN")),
        ("the line is pulled with {metric} ({us}), and the car stays", "force", bought(3).peak),
        ("with {metric} ({us}) five times", "force", bought(4).peak),
        ("and not with {metric} ({us})", "force", bought(8).peak),
        ("move it by {metric} ({us}) instead", "length", bought(4, **DUG).travel),
        ("instead of {metric} ({us})", "length", bought(4).travel),
        ("*falls*, from {metric} ({us})", "force", bought(4).peak),
        ("to {metric} ({us}). No speed", "force", bought(4, **DUG).peak),
    ],
)
def test_a_number_of_the_text_in_both_systems(sentence, kind, quantity):
    assert LESSON.says(sentence, quantity, kind)


@pytest.mark.parametrize("speed", [2, 4, 6, 8])
def test_a_row_of_the_table(speed):
    pulled = bought(speed)
    force = " (".join(show(pulled.peak, "force", system) for system in (METRIC, US)) + ")"
    way = " (".join(show(pulled.travel, "length", system) for system in (METRIC, US)) + ")"
    if pulled.travel.magnitude == 0:
        way = "nothing"
    (row,) = (line for line in LESSON.text.splitlines() if line.startswith(f"| {speed} km/h"))
    assert row.endswith(f"| {force} | {way} |")
    assert show(Q(speed, "km/h"), "speed", US).replace(".0", "") in row


def added(speed, step):
    return bought(speed + step).peak - bought(speed).peak


def test_what_each_step_of_speed_adds():
    assert "3.5 kN for each km/h (1,250 lbf for each mph) while the car stands" in LESSON.text
    assert "2 kN for each km/h (730 lbf for each mph) once it gives way" in LESSON.text
    mph = Q(1, "mph").m_as("km/h")
    assert added(2, 1).m_as("kN") == pytest.approx(3.5, abs=0.05)
    assert added(1, mph).m_as("lbf") == pytest.approx(1250, abs=5)
    for speed in (4, 6, 8, 10):
        assert added(speed, 1).m_as("kN") == pytest.approx(2, abs=0.1)
        assert added(speed, mph).m_as("lbf") == pytest.approx(730, rel=0.05)


def test_it_begins_with_a_leap_and_grows_more_than_in_step():
    begins = MoreSpeedPanel().result.breakout_speed.m_as("km/h")
    assert bought(begins - 0.01).travel.magnitude == 0
    assert bought(begins + 0.01).travel.m_as("m") > 0.1
    ways = [bought(speed).travel.m_as("m") for speed in (4, 6, 8, 10, 12)]
    assert np.all(np.diff(ways, 2) > 0)
    assert (bought(8).travel / bought(4).travel).m_as("") > 4


def test_five_small_pulls_are_about_one_fast_one():
    five = 5 * bought(4).travel
    assert LESSON.says("about as far as one at 8 km/h: 5 × 0.248 = {metric} ({us})", five, "length")
    assert (five / bought(8).travel).m_as("") == pytest.approx(1, abs=0.03)


def test_what_the_text_says_of_the_drive_kept_on():
    panel = PullInTimePanel()
    panel.set(drive=Q(5, "kN"))
    history = panel.result.motion.history
    again = history.time > panel.result.slack_from
    second = history.tension[again].max()
    assert 0.8 < (second / panel.result.motion.peak).m_as("") < 1.05


def test_new_ropes_lose_up_to_a_third_and_more():
    from recoverykit.physics.rope import RopeKind
    from recoverykit.tables.records import table

    assert max(kind.loss.m_as("") for kind in table(RopeKind) if "new" in kind.name) > 1 / 3


def test_the_guess_is_about_the_case_that_the_panels_start_with():
    numbers = find_guess("07.guess").numbers(seed=0)
    for panel in (MoreSpeedPanel(), PullInTimePanel()):
        start = panel.values
        assert (numbers.vehicle, numbers.stuck_vehicle) == (
            start["vehicle"],
            start["stuck_vehicle"],
        )
        assert (numbers.breakout, numbers.slow) == (start["breakout"], start["speed"])
    assert numbers.slow_way == bought(4).travel
    assert numbers.slow_peak == bought(4).peak


def test_the_chains_of_numbers():
    assert "12 000 / √(50 000 × 3100) = 0.964 m/s" in LESSON.text
    assert round(12_000 / np.sqrt(50_000 * 3100), 3) == 0.964
    assert "3100 × 1850 / (3100 + 1850) = 1160 kg" in LESSON.text
    assert round(3100 * 1850 / 4950, -1) == 1160
    assert "1.11 × √(50 000 × 1160) = 8460 N" in LESSON.text
    assert round(4 / 3.6 * np.sqrt(50_000 * 1160), -1) == pytest.approx(8460)


def test_the_worked_examples_print_what_the_text_says():
    printed = LESSON.printed()
    assert printed == ["3.5 km/h", "1160 kg", "8.46 kN", "1.28 m"]
