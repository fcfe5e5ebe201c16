"""Every question of the bank: with every number it may be asked with, in both unit systems."""

import functools
import itertools
import re
from types import SimpleNamespace

import numpy as np
import pytest

from recoverykit import Q, display, read_quantity, show
from recoverykit.course.guesses import Guess
from recoverykit.course.questions import (
    FAR_OFF,
    OTHER_KIND,
    RIGHT,
    TOO_HIGH,
    TOO_LOW,
    UNREADABLE,
    ChoiceQuestion,
    NumericQuestion,
    QuestionInstance,
)
from recoverykit.lessons.bank import LESSONS, find_guess, find_question
from recoverykit.physics.recoil import PARTS
from recoverykit.units.quantities import KINDS, METRIC, SYSTEMS, US

QUESTIONS = {q.id: q for lesson in LESSONS.values() for q in lesson.QUESTIONS}
GUESSES = {g.id: g for lesson in LESSONS.values() for g in lesson.GUESSES}
NUMERIC = [q for q in QUESTIONS.values() if isinstance(q, NumericQuestion)]
CHOICE = [q for q in QUESTIONS.values() if isinstance(q, ChoiceQuestion)]

each_question = pytest.mark.parametrize("question", QUESTIONS.values(), ids=lambda q: q.id)
each_numeric = pytest.mark.parametrize("question", NUMERIC, ids=lambda q: q.id)
each_choice = pytest.mark.parametrize("question", CHOICE, ids=lambda q: q.id)
each_template = pytest.mark.parametrize(
    "template", [*GUESSES.values(), *QUESTIONS.values()], ids=lambda t: t.id
)
in_each_system = pytest.mark.parametrize("system", SYSTEMS)


@functools.cache
def instances_of(id):
    return [QuestionInstance(QUESTIONS[id], seed) for seed in range(QUESTIONS[id].variants)]


def instances(question):
    """The question with all its numbers, which are worked out once: some are simulated."""
    return instances_of(question.id)


def typed(quantity, kind, system=None):
    """A quantity as a careful person would type it: four digits, no group spaces."""
    system = system or display.system
    return f"{quantity.m_as(system.unit(kind)):.4g} {system.symbol(kind)}"


# --- the bank ---------------------------------------------------------------------------


def test_ids_are_unique_and_begin_with_their_lesson():
    all_ids = [
        (number, template.id)
        for number, lesson in LESSONS.items()
        for template in (*lesson.GUESSES, *lesson.QUESTIONS)
    ]
    assert len({id for _, id in all_ids}) == len(all_ids)
    assert all(id.startswith(f"{number}.") for number, id in all_ids)


def test_what_is_found_is_what_was_asked_for():
    assert [find_question(id).id for id in QUESTIONS] == list(QUESTIONS)
    assert [find_guess(id).id for id in GUESSES] == list(GUESSES)


@pytest.mark.parametrize("lesson", [number for number in LESSONS if number != "00"])
def test_a_lesson_has_a_guess_and_at_least_four_questions(lesson):
    assert LESSONS[lesson].GUESSES
    assert len(LESSONS[lesson].QUESTIONS) >= 4


def texts_of(template):
    """Everything that a guess or question can show, filled in for its first numbers."""
    numbers = template.numbers(seed=0)
    texts = [template.text]
    for field in getattr(template, "fields", {}).values():
        texts.append(field.label)
    texts += getattr(template, "hints", ())
    if isinstance(template, NumericQuestion):
        texts += [sentence for _, _, sentence in template.mistakes_of(numbers)]
    for option in getattr(template, "options", {}).values():
        texts += [option.text, option.sentence]
    return [template.fill(text, numbers) for text in texts]


@each_template
def test_words(template):
    for text in texts_of(template):
        assert not re.search(r"\bsafe", text, re.IGNORECASE), "a promise nobody can make"
        assert not re.search(r"\b(wrong|incorrect)\b", text, re.IGNORECASE), "says nothing"
        assert "{" not in text
        assert "unknown" not in text
        sentences = re.split(r"(?<=[.?!:]) ", text)
        assert max(len(sentence.split()) for sentence in sentences) <= 32, "short sentences"


@each_question
def test_asking_again_gives_other_numbers(question):
    texts = [instance.text for instance in instances(question)]
    assert question.variants >= 5
    assert all(one != next_one for one, next_one in itertools.pairwise(texts))


def shown_in(text, kind):
    """The quantities of a kind that a text shows, in the display system in force."""
    unit = re.escape(display.system.symbol(kind)) + ("|in" if kind == "length" else "")
    pattern = rf"[0-9][0-9., ]* (?:{unit})(?![/\w])"
    return [read_quantity(found, kind).quantity for found in re.findall(pattern, text)]


def near(quantities, value):
    return any(abs(quantity - value) < 0.015 * value for quantity in quantities)


@each_numeric
@in_each_system
def test_only_the_last_hint_gives_the_answer(question, system):
    display.use(system)
    assert len(question.hints) >= 2
    for instance in instances(question):
        hints = map(instance.fill, question.hints)
        *nudges, whole_way = (shown_in(hint, question.kind) for hint in hints)
        right = question.right(instance.numbers)
        assert near(whole_way, right)
        assert not any(near(nudge, right) for nudge in nudges)


# --- right answers ----------------------------------------------------------------------


@each_question
@in_each_system
def test_the_right_answer_is_right(question, system):
    display.use(system)
    for instance in instances(question):
        feedback = instance.check(instance.right_answer)
        assert feedback.verdict == RIGHT, instance.text
        assert feedback.sentence.startswith("Right")
        if isinstance(question, NumericQuestion):
            right = question.right(instance.numbers)
            for unit_system in (METRIC, US):
                assert instance.check(typed(right, question.kind, unit_system)).verdict == RIGHT


# What is stamped, or stands in a log, is what it is; and one number is a unit conversion.
AS_THEY_ARE = {"08.guess middle", "08.guess top", "08.guess top_peak", "08.guess middle_peak"}
AS_THEY_ARE |= {"10.guess limit", "08.wrong-row times"}


@each_template
@in_each_system
def test_the_numbers_of_a_text_are_just_those_that_are_worked_with(template, system):
    display.use(system)
    for seed in range(template.variants):
        numbers = template.numbers(seed)
        for name, one in {**template.given, **template.derived}.items():
            if f"{{{name}}}" in template.text and f"{template.id} {name}" not in AS_THEY_ARE:
                quantity = getattr(numbers, name)
                shown = read_quantity(show(quantity, one.kind), one.kind).quantity
                assert shown.m == pytest.approx(quantity.m_as(shown.units), rel=1e-9), name


def digits(number):
    """The significant digits of a number.

    >>> digits(6800), digits(2.5), digits(0.8)
    ('68', '25', '8')
    """
    return f"{number:.6g}".replace(".", "").strip("0")


@each_template
def test_given_numbers_are_round_in_both_systems_and_near_in_size(template):
    for name, one in template.given.items():
        if f"{template.id} {name}" not in AS_THEY_ARE:
            for metric, us in zip(one.metric, one.us, strict=True):
                for value in (metric, us):
                    assert len(digits(value)) < 3 or digits(value)[2:] == "5", (name, value)
                pair = Q(metric, METRIC.unit(one.kind)), Q(us, US.unit(one.kind))
                assert 0.66 < (pair[0] / pair[1]).m_as("") < 1.5, (name, metric, us)


@each_choice
def test_an_option_is_right_in_both_systems_or_in_none(question):
    for instance in instances(question):
        right = set()
        for system in SYSTEMS:
            display.use(system)
            right.add(instance.right_answer)
        assert len(right) == 1


def si(numbers):
    return SimpleNamespace(**{n: q.to_base_units().magnitude for n, q in vars(numbers).items()})


def first_limit_by_energy(n):
    """Speed at which kinetic energy and work of the drive just stretch the line to its limit."""
    stretch = min(n.rope_strength / 3, n.shackle_limit) / n.stiffness
    return np.sqrt((n.stiffness * stretch**2 - 2 * n.drive * stretch) / n.mass)


def by_angle_of_friction(n):
    """Pull up a slope with the ground's reaction leaning back by the angle of friction."""
    friction = np.arctan(n.rolling)
    return n.mass * 9.80665 * np.sin(n.slope + friction) / np.cos(friction)


def free_of_all_holds(n):
    """Peak that takes up the energy which the common motion of both vehicles does not keep."""
    common = n.vehicle * n.speed / (n.vehicle + n.stuck_vehicle)
    energy = n.vehicle * n.speed**2 / 2 - (n.vehicle + n.stuck_vehicle) * common**2 / 2
    return np.sqrt(2 * n.stiffness * energy)


# The right answers again, by other ways than the library's functions (derived).
BY_HAND = {
    "00.reading": lambda n: n.force,
    "00.pegs": lambda n: n.distance / n.time,
    "01.energy": lambda n: n.mass * n.speed * n.speed / 2,
    "01.faster": lambda n: n.times**2 * n.slow_energy,
    "01.drop": lambda n: (n.speed / 9.80665) ** 2 * 9.80665 / 2,  # g t²/2, with t = v/g
    "02.held": lambda n: np.trapezoid([0, n.stiffness * n.stretch], [0, n.stretch]),
    "02.pull": lambda n: n.energy / (np.sqrt(n.energy / n.stiffness / 2)),
    "02.longer": lambda n: n.pull / np.sqrt(2),
    "02.winch": lambda n: n.pull * np.sqrt(30 / 3.5),  # the stretches of rope and winch line
    "03.peak": lambda n: n.speed * np.sqrt(n.stiffness * n.mass),
    "03.faster": lambda n: n.times * n.slow_peak,
    "03.first-limit": first_limit_by_energy,
    "03.standing-start": lambda n: 2 * n.drive,
    "04.limit": lambda n: n.strength / n.factor,
    "04.tons": lambda n: n.tons * n.factor * 2000 * 4.4482216152605,  # N in a pound-force
    "04.bridle": lambda n: n.tension / 2 / np.sin(np.pi / 2 - n.angle),
    "05.line-limit": lambda n: n.strength / n.factor,
    "05.knot": lambda n: 0.6 * n.strength / 4,
    "05.bridle": lambda n: n.leg * np.sqrt(2 + 2 * np.cos(2 * n.angle)),  # law of cosines
    "06.mired": lambda n: 2 * n.mass * 9.80665,
    "06.slope": by_angle_of_friction,
    "06.tires": lambda n: (n.traction - n.rolling) * n.mass * 9.80665,
    "06.work": lambda n: n.needed - n.needed * (1 - n.dug) - n.needed * n.dug * (1 - n.boards),
    "07.begins": lambda n: n.breakout / n.stiffness * np.sqrt(n.stiffness / n.mass),
    "07.free": free_of_all_holds,
    "07.at-most": lambda n: n.speed**2 / 2 / (n.moving / n.mass),  # as a brake does
    "08.repeats": lambda n: {3: 3.182446305284, 9: 2.262157162741}[n.repeats] * 2**0.5 * n.scatter,
    "08.meter": lambda n: n.reading / np.cos(np.pi / 2 / (n.rate * n.duration)),
    "09.higher": lambda n: n.high * (n.high / n.stiffness) / 2,
    "09.speed": lambda n: np.sqrt(2 * n.energy / n.piece),
    "09.tether": lambda n: np.trapezoid(
        [0, n.tether_strength], [0, n.tether_stretch * n.tether_length]
    ),
    "10.margin": lambda n: n.limit_speed - n.off,
}


# What is shown on the way to these is rounded as shown: to three digits, or a tenth of an inch.
_ROUNDED = ["02.winch", "04.tons", "06.slope", "06.tires", "07.free", "07.at-most", "06.mired"]
ROUNDED_ON_THE_WAY = dict.fromkeys([*_ROUNDED, "09.higher"], 6e-3) | {"09.tether": 8e-3}


@each_numeric
@in_each_system
def test_right_answers_by_hand(question, system):
    display.use(system)
    for instance in instances(question):
        right = question.right(instance.numbers).to_base_units().magnitude
        near = ROUNDED_ON_THE_WAY.get(question.id, 1e-9)
        assert right == pytest.approx(BY_HAND[question.id](si(instance.numbers)), rel=near)


# Choices of which the same answer is right with any numbers.
ALWAYS_RIGHT = {
    "01.fast-or-heavy": "more",
    "01.heavier": "doubles",
    "02.stronger": "root",
    "03.heavier": "root",
    "04.not-stated": "not told",
    "04.which": "shackle",
    "05.stronger-part": "stays",
    "05.unrated": "nothing",
    "06.first": "work",
    "07.faster": "more",
    "07.next": "dig",
    "08.beyond": "unknown",
    "09.catches": PARTS,
    "09.metal": "steel eye",
    "10.unrated": "none",
}


@pytest.mark.parametrize("id", ALWAYS_RIGHT)
def test_right_answers_to_choices(id):
    assert {instance.right_answer for instance in instances(QUESTIONS[id])} == {ALWAYS_RIGHT[id]}


# What each question's numbers must be like for its words to be true.
BORNE_OUT = {
    # The winch line pulls far harder, and does not part.
    "02.winch": lambda n: 2.5 * n.pull < n.winch_pull < 0.5 * n.strength,
    # The rope comes to its limit first, and the shackle before the rope breaks.
    "03.first-limit": lambda n: n.rope_limit < n.shackle_limit < n.rope_strength,
    # The stamp with the larger number is the weaker one.
    "04.which": lambda n: n.strength > n.shackle_limit > 1.02 * n.strap_limit,
    # A missing design factor leaves both ways open.
    "04.not-stated": lambda n: n.at_seven < n.limit < n.at_three,
    # The knot makes the rope the weakest part.
    "05.knot": lambda n: n.limit < n.shackle < n.rope,
    # Only the work makes the pull enough.
    "06.first": lambda n: n.left < n.available < n.limit < n.needed and n.twice < n.needed,
    # More speed moves it more than in step.
    "07.faster": lambda n: (
        1.4 < n.fast_peak / n.slow_peak < 2 and n.fast_travel / n.slow_travel > 3.5
    ),
    # To dig loads the line less than the pull that did nothing.
    "07.next": lambda n: (
        n.dug < n.dug_peak < n.peak < n.breakout < min(n.faster_peak, n.heavier_peak)
    ),
}


@pytest.mark.parametrize("id", BORNE_OUT)
def test_the_numbers_bear_out_the_words(id):
    for instance in instances(QUESTIONS[id]):
        assert BORNE_OUT[id](instance.numbers), instance.text


def test_a_slip_is_told_by_how_many_times_too_high_it_is():
    slips = {"newtons": 4.448, "digit": 10}  # a pound-force in newtons; shown with three digits
    for instance in instances(QUESTIONS["08.wrong-row"]):
        n = instance.numbers
        assert slips[instance.right_answer] == pytest.approx(
            (n.written / n.expected).m_as(""), rel=5e-3
        )


@pytest.mark.parametrize(
    ("part", "verdict"),
    [
        (1.0, "right"),
        (0.9, "right"),
        (0.81, "right"),
        (0.78, "too low"),
        (1.015, "too high"),
        (1.1, "too high"),
    ],
)
def test_a_margin_on_the_careful_side_is_right(part, verdict):
    instance = QuestionInstance(QUESTIONS["10.margin"])
    fastest = instance.numbers.fastest
    answer = instance.check(f"{(part * fastest).m_as('km/h'):.3f} km/h")
    assert answer.verdict == verdict
    assert ("on the careful side" in answer.sentence) == (verdict == "right" and part < 0.97)


def test_a_ladder_goes_on_while_the_worst_of_a_step_is_within_the_limit():
    answers = set()
    for instance in instances(QUESTIONS["10.next"]):
        n = instance.numbers
        answers.add((instance.right_answer, bool(n.middle <= n.limit)))
        assert (instance.right_answer == "up") == bool(1.25 * n.times * n.slow_peak <= n.limit)
    # Going by the middle alone would take a step too many.
    assert answers == {("up", True), ("end", True), ("end", False)}


def test_a_big_pull_leaves_no_line_to_go_on_with():
    for instance in instances(QUESTIONS["10.big-pull"]):
        n = instance.numbers
        assert instance.right_answer == ("breaks" if 4 * n.slow_peak >= n.strength else "above")
    assert len({instance.right_answer for instance in instances(QUESTIONS["10.big-pull"])}) == 2


# --- mistakes ---------------------------------------------------------------------------


@each_numeric
@in_each_system
def test_each_mistake_gets_its_own_sentence(question, system):
    display.use(system)
    for instance in instances(question):
        right = question.right(instance.numbers)
        mistakes = instance.mistakes
        assert len(mistakes) >= 2
        for name, value, sentence in mistakes:
            feedback = instance.check(typed(value, question.kind))
            assert feedback.verdict == name, instance.text
            assert feedback.sentence == instance.fill(sentence)
            assert not near(shown_in(feedback.sentence, question.kind), right), "gives it away"


@each_choice
def test_every_other_option_has_its_own_sentence(question):
    sentences = {option.sentence for option in question.options.values()}
    assert len(sentences) == len(question.options) >= 3
    for instance in instances(question):
        for name, option in question.options.items():
            feedback = instance.check(name)
            if name != instance.right_answer:
                assert feedback.verdict == name
                assert feedback.sentence == instance.fill(option.sentence)


# What comes out of a mistake, or how it is typed where the unit is part of it.
COMMON_MISTAKES = {
    "00.reading": {
        "other unit": lambda n: f"{n.force.m_as('kN'):g} lbf",
        "tonnes for kilonewtons": lambda n: f"{n.force.m_as('kN'):g} tonnes",
    },
    "00.pegs": {
        "meters per second": lambda n: f"{n.speed.m_as('m/s'):.3g} km/h",
        "other speed unit": lambda n: f"{n.speed.m_as('km/h'):.3g} mph",
    },
    "01.energy": {
        "half forgotten": lambda n: f"{2 * n.energy.m_as('kJ'):.4g} kJ",
        "speed not converted": lambda n: 3.6**2 * n.energy,
        "other speed unit": lambda n: 1.609344**2 * n.energy,
    },
    "01.faster": {
        "in step with the speed": lambda n: n.times * n.slow_energy,
        "speed does not matter": lambda n: n.slow_energy,
    },
    "01.drop": {"speed not converted": lambda n: 3.6**2 * n.height},
    "02.held": {
        "half forgotten": lambda n: n.pull * n.stretch,
        "force for energy": lambda n: f"{n.pull.m_as('kN'):.4g} kJ",
    },
    "02.pull": {"energy for force": lambda n: f"{n.energy.m_as('kJ'):.4g} kN"},
    "02.longer": {"half of the pull": lambda n: n.pull / 2},
    "02.winch": {"a winch line would do": lambda n: n.pull},
    "03.peak": {
        "mass for force": lambda n: f"{n.mass.m_as('kg'):g} kg",
        "energy for force": lambda n: f"{n.energy.m_as('kJ'):.4g} kN",
        "other speed unit": lambda n: 1.609344 * n.peak,
        "speed not converted": lambda n: 3.6 * n.peak,
    },
    "03.faster": {
        "square of the speed": lambda n: n.slow_peak * n.times**2,
        "speed does not matter": lambda n: n.slow_peak,
    },
    "03.first-limit": {
        "other speed unit": lambda n: f"{n.speed.m_as('km/h'):.4g} mph",
        "speed not converted": lambda n: f"{n.speed.m_as('m/s'):.4g} km/h",
    },
    "03.standing-start": {
        "load put on gently": lambda n: n.drive,
        "no speed, no load": lambda n: "0 kN",
    },
    "04.limit": {
        "breaking strength for working load limit": lambda n: n.strength,
    },
    "04.tons": {
        "tonnes for short tons": lambda n: f"{n.tons.m * n.factor.m:g} tonnes",
        "working load limit for breaking strength": lambda n: f"{n.tons.m:g} short tons",
    },
    "04.bridle": {"half for each leg": lambda n: n.tension / 2},
    "05.line-limit": {
        "lowest number in the question": lambda n: n.shackle,
        "breaking strength for working load limit": lambda n: n.strength,
    },
    "05.knot": {"knot forgotten": lambda n: n.shackle},
    "05.bridle": {"twice one leg": lambda n: 2 * n.leg},
    "06.mired": {
        "weight alone": lambda n: f"{n.mass.m_as('kg'):g} kg",
        "kilograms for newtons": lambda n: f"{2 * n.mass.m_as('kg'):g} N",
    },
    "06.tires": {
        "own rolling forgotten": lambda n: n.traction * n.mass * Q(9.81, "N/kg"),
        "its weight": lambda n: f"{n.mass.m_as('kg'):g} kg",
    },
    "06.work": {
        "savings added": lambda n: n.needed - (2 - n.dug - n.boards) * n.needed,
    },
    "09.higher": {"in step with the pull": lambda n: n.times * n.low_energy},
    "09.speed": {
        "rope counted in": lambda n: (2 * n.energy / (n.piece + n.rope_mass)) ** 0.5,
        "speed not converted": lambda n: f"{n.speed.m_as('m/s'):.4g} km/h",
    },
    "09.tether": {"strength for energy": lambda n: f"{n.tether_strength.m_as('kN'):g} kJ"},
    "10.margin": {"no margin": lambda n: n.limit_speed},
}


@pytest.mark.parametrize("id", COMMON_MISTAKES)
def test_common_mistakes_as_people_type_them(id):
    for instance in instances(QUESTIONS[id]):
        for name, mistake in COMMON_MISTAKES[id].items():
            made = mistake(instance.numbers)
            answer = made if isinstance(made, str) else typed(made, instance.question.kind)
            assert instance.check(answer).verdict == name, instance.text


@each_numeric
def test_answers_of_another_kind_are_told_apart(question):
    instance = instances(question)[0]
    for kind in {"energy", "stiffness", "frequency", "time"} - {question.kind}:
        for example in KINDS[kind].examples:
            assert instance.check(example).verdict == OTHER_KIND


# --- rubbish ----------------------------------------------------------------------------

RUBBISH = [
    "",
    " ",
    "?",
    "dunno",
    "12",
    "kN",
    "-5 kN",
    "1e99 kN",
    "12 bananas",
    "4.75 T",
    "9**9**9 kN",
    "{peak}",
    "<script>alert(1)</script>",
    "12 kN" * 2000,
    "nan kN",
    "∞ kN",
]


ONE_OF_EACH_KIND = {
    getattr(question, "kind", "choice"): question for question in QUESTIONS.values()
}


@pytest.mark.parametrize("kind", ONE_OF_EACH_KIND)
def test_rubbish_gets_a_sentence(kind):
    for rubbish in RUBBISH:
        feedback = instances(ONE_OF_EACH_KIND[kind])[0].check(rubbish)
        readable = kind not in ("force", "choice") and rubbish == "4.75 T"  # as a mass
        assert feedback.verdict == (OTHER_KIND if readable else UNREADABLE)
        assert re.match(r"[A-Z'].*[.)]$", feedback.sentence)
        assert len(feedback.sentence) < 300


@each_numeric
@pytest.mark.parametrize(
    ("factor", "verdict"), [(1e-3, FAR_OFF), (0.9, TOO_LOW), (1.08, TOO_HIGH), (6.1, TOO_HIGH)]
)
def test_other_sizes(question, factor, verdict):
    instance = instances(question)[0]
    answer = typed(factor * question.right(instance.numbers), question.kind)
    careful = question.careful_from <= factor < 1
    assert instance.check(answer).verdict == (RIGHT if careful else verdict)


@each_numeric
def test_it_says_how_near_an_answer_must_come(question):
    (instance, *_), less_only = instances(question), question.careful_from < 1
    words = r" \(Up to (\d+) % less counts" if less_only else r" \(Within (\d+) % counts"
    share = int(re.search(words, instance.asked)[1]) / 100
    right = question.right(instance.numbers)
    for part in (-0.99, 0, 0 if less_only else 0.99):
        assert instance.check(typed((1 + part * share) * right, question.kind)).verdict == RIGHT
    for part in (-1.1, 0.2 if less_only else 1.1):
        assert instance.check(typed((1 + part * share) * right, question.kind)).verdict != RIGHT


# --- guesses ----------------------------------------------------------------------------


def test_the_guess_starts_from_the_peak_at_the_lowest_speed():
    numbers = GUESSES["03.guess"].numbers(seed=0)
    # 3100 kg; 165 kN and 30 % over 11 m are 50 kN/m; 2 km/h is 1/1.8 m/s.
    assert numbers.slow_peak.m_as("N") == pytest.approx(np.sqrt(50e3 * 3100) / 1.8, rel=6e-4)
    assert numbers.middle / numbers.slow == 2
    assert numbers.fast / numbers.slow == 4


def test_the_guess_about_energy_starts_at_walking_pace():
    numbers = GUESSES["01.guess"].numbers(seed=0)
    # 3100 kg at 4 km/h, which is 1/0.9 m/s.
    assert numbers.slow_energy.m_as("J") == pytest.approx(3100 / 2 / 0.81, rel=2e-3)
    assert (numbers.twice / numbers.slow, numbers.four_times / numbers.slow) == (2, 4)


def test_a_believer_in_the_square_sees_a_bent_line():
    guess = Guess(GUESSES["03.guess"])
    slow = guess.numbers.slow_peak
    guess.commit({"middle_peak": typed(4 * slow, "force"), "fast_peak": typed(16 * slow, "force")})
    (x0, y0), (x1, y1), (x2, y2) = guess.points
    assert [x0, x1, x2] == [Q(2, "km/h"), Q(4, "km/h"), Q(8, "km/h")]
    assert (y2 - y1) / (x2 - x1) > 1.9 * (y1 - y0) / (x1 - x0)
