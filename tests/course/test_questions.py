"""Questions and guesses in general, on an invented example; the bank's own are in test_bank.py."""

import dataclasses

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recoverykit import Q, display
from recoverykit.course.guesses import FIXED, MAY_CHANGE, Guess, GuessTemplate
from recoverykit.course.questions import (
    COMMITTED,
    FAR_OFF,
    KEPT,
    OTHER_KIND,
    RIGHT,
    SKIPPED,
    TOO_HIGH,
    TOO_LOW,
    UNREADABLE,
    Feedback,
    Mistake,
    NumericQuestion,
    QuestionInstance,
)
from recoverykit.course.templates import ChoiceField, Derived, Given, NumberField, choices
from recoverykit.lessons.bank import find_question

SPRING = NumericQuestion(
    id="spring",
    text="A spring of {stiffness} is stretched by {stretch}. How hard does it pull?",
    given=choices(
        stiffness="10, 20, 40 kN/m | 700, 1400, 2800 lbf/ft", stretch="0.5, 1, 2 m | 1.5, 3, 6 ft"
    ),
    derived={
        "pull": Derived("force", lambda n: n.stiffness * n.stretch),
        "double": Derived("force", lambda n: 2 * n.pull),
    },
    asked="pull",
    explained="Stiffness times stretch.",
    mistakes={
        "counted twice": Mistake(lambda n: n.double, "{double} counts {stretch} twice."),
        "no pull": Mistake(lambda n: 0 * n.double, "A stretched spring pulls."),
    },
    hints=("Multiply.",),
)

PLAIN = {"explained": "", "mistakes": {}, "hints": ()}


def with_numbers(question, **wanted) -> QuestionInstance:
    """The instance whose numbers are as wanted."""
    instances = (QuestionInstance(question, seed) for seed in range(question.variants))
    return next(a for a in instances if all(vars(a.numbers)[n] == v for n, v in wanted.items()))


@pytest.fixture
def instance():
    """20 kN/m by 1 m: 20 kN is right."""
    return with_numbers(SPRING, stiffness=Q(20, "kN/m"), stretch=Q(1, "m"))


# --- numbers ----------------------------------------------------------------------------


def test_the_numbers_are_written_in_the_units_in_force(instance):
    assert instance.text == "A spring of 20 kN/m is stretched by 1 m. How hard does it pull?"
    display.use("US")
    assert instance.text == "A spring of 1,400 lbf/ft is stretched by 3 ft. How hard does it pull?"
    assert instance.right_answer == "4,200 lbf"
    display.use("metric")
    assert instance.right_answer == "20.0 kN"


def test_zeros_before_the_point_stay():
    instance = with_numbers(SPRING, double=Q(80, "kN"))
    assert instance.fill("{double}, {stretch}") in ("80 kN, 1 m", "80 kN, 2 m")


def test_every_seed_in_a_row_has_other_numbers():
    drawn = [QuestionInstance(SPRING, seed).text for seed in range(SPRING.variants)]
    assert SPRING.variants == 9
    assert len(set(drawn)) == 9
    assert QuestionInstance(SPRING, 9).text == drawn[0], "then they come again"


def test_a_seed_means_the_same_numbers_for_ever():
    # Answers on disk are read again with the seed that they were given for.
    assert [QuestionInstance(SPRING, seed).fill("{stiffness} {stretch}") for seed in (0, 1, 2)] == [
        "20 kN/m 2 m",
        "10 kN/m 2 m",
        "40 kN/m 2 m",
    ]


def test_a_number_that_is_always_the_same():
    assert Given.only("ratio", 0.3) == Given("ratio", (30.0,), (30.0,))
    assert Given.only("angle", Q(3, "degree")) == choices(angle="3 °")["angle"]


@pytest.mark.parametrize(
    "text", ["1, 2 km/h | 1 mph", "1 km/h", "1 km/h | 1 ft/s", "1 kg | 1 lbf", "1 mph | 1 km/h"]
)
def test_lists_that_do_not_belong_together_are_a_mistake_of_the_author(text):
    with pytest.raises((ValueError, KeyError)):
        choices(it=text)


def test_a_number_is_rounded_as_it_is_shown_before_the_next_is_worked_out():
    question = NumericQuestion(
        id="thirds",
        text="A third of {whole} is {third}. Three of them?",
        given=choices(whole="10 kN | 2000 lbf"),
        derived={
            "third": Derived("force", lambda n: n.whole / 3),
            "all": Derived("force", lambda n: 3 * n.third),
        },
        asked="all",
        **PLAIN,
    )
    instance = QuestionInstance(question)
    assert (instance.text[:32], instance.right_answer) == (
        "A third of 10 kN is 3.33 kN. Thr",
        "9.99 kN",
    )
    display.use("US")
    assert (instance.fill("{third}"), instance.right_answer) == ("667 lbf", "2,000 lbf")
    assert question.right(instance.numbers).m_as("lbf") == pytest.approx(2001)


def test_a_text_may_differ_by_units(instance):
    text = "[{stretch}, in m/s|{stretch}, in ft/s] and {stiffness in formulas}"
    assert instance.fill(text) == "1 m, in m/s and 20 000 N/m"
    display.use("US")
    assert instance.fill(text) == "3 ft, in ft/s and 1,400 lbf/ft"


ROLLING = NumericQuestion(
    id="rolling",
    text="How much energy has a vehicle of {mass} at {speed}?",
    given=choices(mass="3000 kg | 6440 lb", speed="9 km/h | 6 mph"),
    derived={"energy": Derived("energy", lambda n: (n.mass * n.speed**2 / 2).to("kJ"))},
    asked="energy",
    **PLAIN,
)


# By hand: 6440 lb are 200 slugs, 6 mph are 8.8 ft/s, and half of 200 × 8.8² is 7744.
@pytest.mark.parametrize(
    ("system", "typed", "verdict", "says"),
    [
        ("US", "7744 ft·lbf", RIGHT, "Right"),
        ("US", f"{6440 / 2 * 8.8**2:.0f} ft·lbf", "pounds for mass", "divide pounds by 32.2"),
        ("US", f"{200 / 2 * 6**2:.0f} ft·lbf", "speed not converted", "multiply mph by 1.467"),
        ("US", f"{6440 / 2 * 6**2:.0f} ft·lbf", "pounds and mph as they stand", "32.2 to get mass"),
        ("US", f"{7744 / 1.609**2:.0f} ft·lbf", "other speed unit", "Km/h and mph got mixed up"),
        ("metric", f"{3 / 2 * 9**2:.1f} kJ", "speed not converted", "divide km/h by 3.6"),
        ("metric", f"{3 / 2 * 2.5**2 * 1.609**2:.1f} kJ", "other speed unit", "got mixed up"),
        ("metric", f"{32.174 * 3 / 2 * 2.5**2:.0f} kJ", TOO_HIGH, "too high"),
    ],
)
def test_mistakes_with_units_are_those_of_the_system_in_force(system, typed, verdict, says):
    display.use(system)
    feedback = QuestionInstance(ROLLING).check(typed)
    assert feedback.verdict == verdict
    assert says in feedback.sentence


def test_a_mistake_with_units_that_comes_out_right_is_none():
    given = {**ROLLING.given, **choices(times="4")}
    question = dataclasses.replace(ROLLING, given=given, asked="times")
    display.use("US")
    assert question.mistakes_of(question.numbers()) == []


@pytest.mark.parametrize("typed", ["48 ft", "0.333 ft", "4 in"])
def test_feet_and_inches(typed):
    question = NumericQuestion(
        id="length",
        text="{mass}?",
        given=choices(mass="3000 kg | 6500 lb", length="1.2 m | 4 ft"),
        asked="length",
        **PLAIN,
    )
    display.use("US")
    assert QuestionInstance(question).check(typed).verdict == "feet and inches"


def test_different_questions_come_in_different_orders():
    twin = dataclasses.replace(SPRING, id="twin")
    texts = [
        [QuestionInstance(question, seed).text for seed in range(9)] for question in (SPRING, twin)
    ]
    assert texts[0] != texts[1]
    assert sorted(texts[0]) == sorted(texts[1])


# --- answers to a numeric question ------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "verdict"),
    [
        ("20 kN", RIGHT),
        ("20000 N", RIGHT),
        ("4,496 lbf", RIGHT),
        ("0 kN", "no pull"),
        ("0.199 kN", FAR_OFF),
        ("0.201 kN", TOO_LOW),
        ("1999 kN", TOO_HIGH),
        ("2001 kN", FAR_OFF),
        ("20.99 kN", RIGHT),
        ("21.01 kN", TOO_HIGH),
        ("19.01 kN", RIGHT),
        ("18.99 kN", TOO_LOW),
        ("39.21 kN", "counted twice"),
        ("39.19 kN", TOO_HIGH),
        ("40.79 kN", "counted twice"),
        ("40.81 kN", TOO_HIGH),
        ("20 MN", UNREADABLE),
        ("20000 kN", FAR_OFF),
        ("20 kJ", OTHER_KIND),
        ("20 Hz", OTHER_KIND),
        ("20 %", UNREADABLE),
        ("20 bananas", UNREADABLE),
        ("20", UNREADABLE),
        ("-20 kN", UNREADABLE),
        ("kN", UNREADABLE),
        ("", UNREADABLE),
        ("20 t", UNREADABLE),
        ("9**9**9 kN", UNREADABLE),
        ("__import__('os')", UNREADABLE),
        ("{stretch.__class__}", UNREADABLE),
        ("20 kN" * 3000, UNREADABLE),
    ],
    ids=lambda value: value[:20] or "nothing",
)
def test_verdicts(instance, typed, verdict):
    assert instance.check(typed).verdict == verdict


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("20 kN", "Right: 20 kN. Stiffness times stretch."),
        ("40 kN", "40 kN counts 1 m twice."),
        ("20 kJ", "That is an energy. Here a force is asked for, in kN or lbf."),
        ("3 min", "That is a time. Here a force is asked for, in kN or lbf."),
        ("21.5 kN", "21.5 kN is close, but still too high. Work it out again, or take a hint."),
        ("9 kN", "9 kN is too low. Work it out again, or take a hint."),
        ("24.9 kN", "24.9 kN is close, but still too high. Work it out again, or take a hint."),
        ("25.1 kN", "25.1 kN is too high. Work it out again, or take a hint."),
        ("16.1 kN", "16.1 kN is close, but still too low. Work it out again, or take a hint."),
        ("15.9 kN", "15.9 kN is too low. Work it out again, or take a hint."),
        (
            "0.1 kN",
            "0.1 kN is more than 100 times too small. Look at the unit and at the decimal point.",
        ),
        (
            "20000 kN",
            "20 000 kN is more than 100 times too large. Look at the unit and at the decimal "
            "point.",
        ),
        ("20", 'The unit is missing; write for example "38 kN" or "8500 lbf".'),
        ("4500 lb", "Right: 20 kN. Stiffness times stretch."),
    ],
)
def test_sentences(instance, typed, sentence):
    assert instance.check(typed).sentence == sentence


@pytest.mark.parametrize(
    ("asked", "typed", "sentence"),
    [
        ("energy", "5 kN", "That is a force. Here an energy is asked for, in kJ or ft·lbf."),
        ("energy", "9500 lb", "That is a mass or a force. Here an energy is asked for, in kJ or"),
        ("energy", "4 t", "That is a mass. Here an energy is asked for"),
        ("speed", "8 s", "That is a time. Here a speed is asked for, in km/h or mph."),
        ("length", "5 mph", "That is a speed. Here a length is asked for, in m or ft."),
        ("time", "5 m", "That is a length. Here a time is asked for, in s."),
        (
            "force",
            "4.75 T",
            "'T' can mean three things: ask the maker; if you must, take short tons",
        ),
    ],
)
def test_an_answer_of_another_kind_is_told_what_it_is(asked, typed, sentence):
    given = {"it": Given(asked, (1,), (1,))}
    question = NumericQuestion(id="kind", text="{it}", given=given, asked="it", **PLAIN)
    assert QuestionInstance(question).check(typed).sentence.startswith(sentence)


def test_sentences_follow_the_units_in_force(instance):
    display.use("US")
    assert instance.check("8400 lbf").sentence == "8,400 lbf counts 3 ft twice."


@given(st.text(max_size=80))
def test_whatever_is_typed_gets_a_whole_sentence(typed):
    feedback = QuestionInstance(SPRING).check(typed)
    assert feedback.sentence[-1] in ".)"
    assert feedback.verdict


# --- answers to a choice ----------------------------------------------------------------


@pytest.mark.parametrize("typed", ["", "round", "Straight."])
def test_no_choice_is_asked_for(typed):
    feedback = QuestionInstance(find_question("03.heavier")).check(typed)
    assert (feedback.verdict, feedback.sentence) == (
        UNREADABLE,
        "Choose one of the answers first.",
    )


# --- guesses ----------------------------------------------------------------------------

TEMPLATE = GuessTemplate(
    id="guess",
    text="At {near} it pulls with {near_pull}. And at {far}?",
    given=choices(near="1 m | 3 ft", far="2 m | 6 ft"),
    derived={"near_pull": Derived("force", lambda n: n.near * Q(10, "kN/m"))},
    fields={
        "pull": NumberField("Pull at {far}", "force", at="far"),
        "shape": ChoiceField("Shape", {"straight": "Straight", "bent": "Bent"}),
    },
    known=(("near", "near_pull"),),
)


class Told(list):
    """What a guess was at each of its changes."""

    def follow(self, guess):
        self.guess = guess
        guess.changed.connect(self.see)

    def see(self):
        self.append((self.guess.committed, self.guess.values))


@pytest.fixture
def told():
    return Told()


@pytest.fixture
def guess(told):
    guess = Guess(TEMPLATE)
    told.follow(guess)
    return guess


def test_a_guess_that_is_checked_stays_open(guess, told):
    assert guess.text == "At 1 m it pulls with 10 kN. And at 2 m?"
    feedback = guess.check({"pull": "9000 lb", "shape": "bent"})
    assert feedback == Feedback(KEPT, MAY_CHANGE, "pounds are read as pounds-force (lbf)")
    assert (guess.committed, guess.values, guess.points, told) == (False, {}, [], [])


def test_a_guess_is_committed(guess, told):
    assert guess.commit({"pull": "9000 lb", "shape": "bent"}) == Feedback(COMMITTED, FIXED)
    assert guess.committed
    assert guess.values == {"pull": Q(9000, "lbf"), "shape": "bent"}
    assert told == [(True, guess.values)]


def test_the_points_to_draw_are_the_known_ones_and_the_guessed(guess):
    guess.commit({"pull": "40 kN", "shape": "bent"})
    assert guess.points == [(Q(1, "m"), Q(10, "kN")), (Q(2, "m"), Q(40, "kN"))]


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({}, 'Pull at 2 m: nothing was written; write for example "38 kN" or "8500 lbf".'),
        (
            {"pull": "40", "shape": "bent"},
            'Pull at 2 m: the unit is missing; write for example "38 kN" or "8500 lbf".',
        ),
        ({"pull": "40 kN"}, "Shape: choose one of the answers first."),
        ({"pull": "40 kN", "shape": "round"}, "Shape: choose one of the answers first."),
    ],
)
def test_a_guess_that_cannot_be_read_stays_open(guess, told, typed, sentence):
    for answer in (guess.check, guess.commit):
        assert answer(typed) == Feedback(UNREADABLE, sentence)
    assert not guess.committed
    assert told == []


def test_a_guess_that_is_skipped_cannot_be_made_afterwards(guess, told):
    assert guess.skip().verdict == SKIPPED
    assert guess.commit({"pull": "40 kN", "shape": "bent"}) == Feedback(COMMITTED, FIXED)
    assert (guess.committed, guess.values, guess.points) == (True, {}, [])
    assert told == [(True, {})]


def test_a_committed_guess_is_not_changed(guess, told):
    guess.commit({"pull": "40 kN", "shape": "bent"})
    before = dict(guess.values)
    for again in ({"pull": "20 kN", "shape": "straight"}, {"pull": "x"}, {}):
        assert guess.check(again) == guess.commit(again) == Feedback(COMMITTED, FIXED)
    assert guess.skip() == Feedback(COMMITTED, FIXED)
    assert guess.values == before
    assert len(told) == 1


def test_a_guess_is_opened_again_for_another_learner(guess, told):
    guess.reopen()
    assert told == [], "it was open"
    guess.commit({"pull": "40 kN", "shape": "bent"})
    guess.reopen()
    assert (guess.committed, guess.values, guess.points) == (False, {}, [])
    assert told[1:] == [(False, {})]
    assert guess.commit({"pull": "20 kN", "shape": "bent"}).verdict == COMMITTED
