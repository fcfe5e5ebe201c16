"""The survey of ideas: its items, what is kept of it, and what has changed."""

import re
from collections import Counter

import numpy as np
import pytest
from helpers.source_tables import DesignFactor

from recoverykit.course.progress import Entry
from recoverykit.course.questions import COMMITTED
from recoverykit.course.survey import (
    AFTER,
    BEFORE,
    ENTRY_IDS,
    INCOMPLETE,
    NO_LONGER_RIGHT,
    NOT_YET_RIGHT,
    RIGHT_BOTH_TIMES,
    RIGHT_NOW,
    UNSURE,
    Shift,
)
from recoverykit.lessons.bank import LESSONS
from recoverykit.lessons.ideas import SURVEY
from recoverykit.physics.dynamics import pull_in_time
from recoverykit.physics.formulas import kinetic_energy, peak_tension
from recoverykit.physics.pull import Pull
from recoverykit.physics.recoil import PARTS, LetGo, TetherCatch
from recoverykit.physics.rigging import (
    BREAKING,
    BREAKING_STRENGTH,
    UNKNOWN,
    Link,
    Rating,
    RiggingLine,
)
from recoverykit.physics.rope import Rope, demo_rope
from recoverykit.tables.records import table
from recoverykit.units.quantities import Q

IDEAS = {idea.id: idea for idea in SURVEY.ideas}
ALL_RIGHT = {idea.id: idea.right for idea in SURVEY.ideas}
ALL_UNSURE = dict.fromkeys(ALL_RIGHT, UNSURE)

each_idea = pytest.mark.parametrize("idea", SURVEY.ideas, ids=lambda idea: idea.id)


def entry(occasion, typed, verdict=COMMITTED):
    return Entry(ENTRY_IDS[occasion], typed, verdict, 0, "2026-01-01T00:00:00+00:00")


# --- the items --------------------------------------------------------------------------


def test_there_is_one_item_for_each_lesson():
    assert list(IDEAS) == [f"{number:02}" for number in range(1, 11)]
    assert set(LESSONS) <= {"00", *IDEAS}


@each_idea
def test_an_item_offers_one_right_answer_others_and_a_way_out(idea):
    assert len(idea.options) >= 3
    assert idea.right in idea.options
    assert UNSURE not in idea.options
    *_, last = idea.field.options
    assert last == UNSURE
    assert len(set(idea.field.options.values())) == len(idea.field.options)


def test_the_right_answer_cannot_be_told_from_its_place_or_its_length():
    places = Counter(list(idea.options).index(idea.right) for idea in SURVEY.ideas)
    assert len(places) == 4
    assert max(places.values()) <= 4
    longest = [max(i.options, key=lambda n, i=i: len(i.options[n])) for i in SURVEY.ideas]
    assert sum(n == i.right for n, i in zip(longest, SURVEY.ideas, strict=True)) <= 6


@each_idea
def test_words(idea):
    for text in (idea.text, *idea.options.values(), idea.explained):
        assert not re.search(r"\bsafe|\bwrong\b", text, re.IGNORECASE)
        assert not re.search(r"[0-9]", text), "nothing to work out, and no units to switch"
        assert max(len(part.split()) for part in re.split(r"(?<=[.?!:]) ", text)) <= 32
    assert all(len(option) <= 80 for option in idea.options.values())


# --- the right answers, from the library ------------------------------------------------

TRUCK, CAR = Q(3100, "kg"), Q(1850, "kg")
PACE = Q(4, "km/h")
ROPE = demo_rope()


def test_01_twice_the_speed_is_four_times_the_energy():
    assert IDEAS["01"].right == "four"
    for mass in (Q(900, "kg"), Q(20, "tonne")):
        ratio = kinetic_energy(mass, 2 * PACE) / kinetic_energy(mass, PACE)
        assert ratio.m_as("") == pytest.approx(4)


def test_02_the_line_that_stretches_farthest_is_pulled_least():
    assert IDEAS["02"].right == "stretchiest"
    winch_line, strongest = (
        Rope(ROPE.length, strength, stretch)
        for strength, stretch in (
            (ROPE.breaking_strength, demo_rope("winch line").stretch_at_break),
            (4 * ROPE.breaking_strength, ROPE.stretch_at_break),
        )
    )
    pulls = [
        Pull(TRUCK, rope, PACE).first_peak.tension.m_as("kN")
        for rope in (ROPE, strongest, winch_line)
    ]
    assert pulls == sorted(pulls)
    assert len(set(pulls)) == 3


def test_03_twice_the_speed_is_twice_the_peak():
    assert IDEAS["03"].right == "twice"
    slow, fast = (peak_tension(TRUCK, speed, ROPE.stiffness) for speed in (PACE, 2 * PACE))
    assert (fast / slow).m_as("") == pytest.approx(2)


def test_04_the_factor_between_the_two_stamps_differs():
    assert IDEAS["04"].right == "basis"
    factors = [row.design_factor for row in table(DesignFactor)]
    assert min(factors) < max(factors)
    assert min(factors) > 2  # so the second part is even likely to be the weaker one


def test_05_one_unrated_part_makes_the_line_unknown():
    assert IDEAS["05"].right == "unknown"
    rated = [Link(str(n), Rating(Q(200, "kN"), BREAKING_STRENGTH, 5)) for n in range(4)]
    line = RiggingLine([*rated, Link("without a stamp")])
    assert line.verdict(Q(20, "kN")) == UNKNOWN
    assert line.verdict(Q(200, "kN")) == BREAKING


def test_07_below_a_speed_nothing_moves_and_above_it_more_and_more():
    assert IDEAS["07"].right == "threshold"
    pulls = Pull(
        TRUCK,
        ROPE,
        Q(np.arange(1.0, 9.0), "km/h"),
        stuck_mass=CAR,
        breakout_resistance=Q(12, "kN"),
        moving_resistance=Q(8, "kN"),
    )
    motion = pull_in_time(pulls)
    travel, peaks = motion.stuck_travel.m_as("m"), motion.peak.m_as("kN")
    assert np.all(travel[:3] == 0)
    assert np.all(np.diff(travel, n=2)[2:] > 0)
    assert np.all(np.diff(peaks) > 1)


def test_09_a_tether_may_break_too():
    assert IDEAS["09"].right == "depends"
    short = Rope(Q(1.5, "m"), Q(60, "kN"), Q(15, "%"))
    verdicts = {
        TetherCatch(LetGo(ROPE, Q(tension, "kN"), Q(3, "kg"), Q(6, "kg")), short, 0.5).verdict
        for tension in (5, 80)
    }
    assert PARTS in verdicts
    assert len(verdicts) == 2


# --- answers ----------------------------------------------------------------------------


@pytest.mark.parametrize("typed", ["", "rubbish", "four times as much."])
def test_what_is_missing_is_named(typed):
    feedback = SURVEY.check(ALL_RIGHT | {"03": typed, "10": ""})
    assert feedback.verdict == INCOMPLETE
    assert feedback.sentence.startswith("Not yet answered: 3, 10.")


def test_only_the_first_commitment_counts():
    entries = [
        entry(BEFORE, {"01": "four"}, INCOMPLETE),
        entry(BEFORE, ALL_UNSURE),
        entry(BEFORE, ALL_RIGHT),
    ]
    assert SURVEY.answers(entries, BEFORE) == ALL_UNSURE
    assert SURVEY.answers(entries[:1], BEFORE) is None
    assert SURVEY.answers(entries, AFTER) is None


def test_what_is_no_longer_asked_is_left_out():
    typed = ALL_RIGHT | {"02": "an option of old", "99": "an idea of old"}
    answers = SURVEY.answers([entry(BEFORE, typed)], BEFORE)
    assert answers == {id: name for id, name in ALL_RIGHT.items() if id != "02"}


@pytest.mark.parametrize(
    ("before", "after", "word"),
    [
        ("four", "four", RIGHT_BOTH_TIMES),
        ("twice", "four", RIGHT_NOW),
        (None, "four", RIGHT_NOW),
        ("four", "twice", NO_LONGER_RIGHT),
        ("twice", "twice", NOT_YET_RIGHT),
        (UNSURE, "same", NOT_YET_RIGHT),
        (None, None, NOT_YET_RIGHT),
    ],
)
def test_a_shift_in_words(before, after, word):
    assert Shift(IDEAS["01"], before, after).word == word
