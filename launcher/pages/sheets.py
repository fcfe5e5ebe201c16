"""Guesses, questions and the survey as data: what is asked, and what is said to each answer.

A page without Python judges nothing itself. It looks up what is said to an answer: to a number, by
the range that it lies in; to a choice, by the name of the option. All of it comes from the library,
for the display system in force, and for several sets of numbers.
"""

from collections.abc import Callable, Iterator
from itertools import pairwise

from recoverykit.course import survey as s
from recoverykit.course.guesses import FIXED, MAY_CHANGE, Guess
from recoverykit.course.progress import Entry
from recoverykit.course.questions import (
    COMMITTED,
    FAR,
    KEPT,
    MISTAKE_TOLERANCE,
    ROUNDED_UP,
    SKIPPED,
    NumericQuestion,
    QuestionInstance,
)
from recoverykit.course.survey import AFTER, BEFORE, ENTRY_IDS, UNSURE, Shift
from recoverykit.course.survey_view import NO_VERDICTS
from recoverykit.course.templates import ChoiceField, NumberField
from recoverykit.lessons.bank import find_guess, find_question
from recoverykit.lessons.ideas import SURVEY
from recoverykit.units.parsing import read_quantity
from recoverykit.units.quantities import KINDS, METRIC, US, InputError, Q, brief, display

SEEDS = 5  # sets of numbers that a page can ask a question with
TYPED = "{typed}"  # in a reply, what the learner typed
SIZES = (1 / FAR, 0.8, 1.25, FAR)  # parts of the right answer at which the reply changes
BESIDE = 1e-9  # of a number: to either side of where the reply changes

# The units in a list to choose from: those of the kind that is asked for, and of others, since a
# unit of another kind is a mistake with a reply of its own.
KINDS_OFFERED = ("force", "speed", "mass", "energy", "length", "stiffness", "time")
ALSO_OFFERED = {"force": ("N", "kgf"), "speed": ("m/s", "ft/s"), "length": ("cm", "in")}


def question(id: str) -> dict:
    """A question with the numbers of the first seeds."""
    asked = find_question(id)
    instances = [QuestionInstance(asked, seed) for seed in range(min(SEEDS, asked.variants))]
    others = _other_kinds(instances[0]) if isinstance(asked, NumericQuestion) else {}
    return {"asked": [_instance(each) for each in instances], "others": others}


def _instance(instance: QuestionInstance) -> dict:
    asked = instance.question
    data = {
        "text": instance.asked,
        "field": _field(asked.field, instance.fill),
        "hints": [instance.fill(hint) for hint in asked.hints],
    }
    if isinstance(asked, NumericQuestion):
        return data | {"ranges": list(_ranges(instance))}
    replies = {name: instance.check(name) for name in asked.options}
    return data | {"replies": {name: [f.verdict, f.sentence] for name, f in replies.items()}}


def _field(field: NumberField | ChoiceField, fill: Callable[[str], str]) -> dict:
    data = {"label": fill(field.label)}
    if isinstance(field, ChoiceField):
        return data | {"options": {name: fill(text) for name, text in field.options.items()}}
    return data | {"kind": field.kind}


def all_units() -> dict[str, list[dict]]:
    """The units to choose from for each kind of quantity that can be asked for."""
    return {kind: units(kind) for kind in KINDS if KINDS[kind].si}


def units(kind: str) -> list[dict]:
    """The units to choose from: each with its size in the kind's SI unit, None for other kinds."""
    systems = dict.fromkeys([display.system, METRIC, US])
    kinds = dict.fromkeys([kind, *KINDS_OFFERED])
    symbols = [
        symbol
        for each in kinds
        for symbol in (*(s.symbol(each) for s in systems), *ALSO_OFFERED.get(each, ()))
    ]
    return [_unit(symbol, kind) for symbol in dict.fromkeys(symbols)]


def _unit(symbol: str, kind: str) -> dict:
    try:
        reading = read_quantity(f"1 {symbol}", kind)
    except InputError:
        return {"unit": symbol, "size": None, "note": "", "thousands": False}
    size = reading.quantity.m_as(KINDS[kind].si)
    # Whether a number such as 8.500 may be meant as thousands, of which the reading then tells.
    thousands = "8.500" in read_quantity(f"8.500 {symbol}", kind).note
    return {"unit": symbol, "size": size, "note": reading.note, "thousands": thousands}


def _other_kinds(instance: QuestionInstance) -> dict:
    """What is said to a number with a unit of another kind, by the unit."""
    asked = instance.question
    others = [each["unit"] for each in units(asked.kind) if each["size"] is None]
    replies = {symbol: instance.check(f"1 {symbol}") for symbol in others}
    return {symbol: [f.verdict, f.sentence] for symbol, f in replies.items()}


def _ranges(instance: QuestionInstance) -> Iterator[list]:
    """From below to above: the end of a range, in the kind's SI unit, and what is said within it.

    What is said is found by asking the question itself, once between every two numbers at which
    its reply can change.
    """
    ends = sorted(_ends(instance))
    middles = [ends[0] / 2, *((low + high) / 2 for low, high in pairwise(ends))]
    said: list[list] = []
    for end, middle in zip([*ends, None], [*middles, 2 * ends[-1]], strict=True):
        reply = _reply(instance, middle)
        if said and said[-1][1:] == reply:
            said.pop()
        said.append([end, *reply])
    yield from said


def _ends(instance: QuestionInstance) -> set[float]:
    """The numbers at which the reply can change; as each counts to what is nearer the answer."""
    asked, numbers = instance.question, instance.numbers
    right = asked.right(numbers).m_as(KINDS[asked.kind].si)
    mistaken = [value.m_as(KINDS[asked.kind].si) for _, value, _ in instance.mistakes]
    spans = [(right, asked.tolerance), (right, ROUNDED_UP)]
    spans += [(value, MISTAKE_TOLERANCE) for value in mistaken]
    ends = {KINDS[asked.kind].largest}
    ends |= {value * (1 + sign * (span + BESIDE)) for value, span in spans for sign in (-1, 1)}
    return ends | {size * right for size in (*SIZES, asked.careful_from, 1.0)}


def _reply(instance: QuestionInstance, value: float) -> list[str]:
    """Verdict and sentence for a number in SI units; the number itself in the sentence left out."""
    kind = instance.question.kind
    unit = KINDS[kind].metric
    number = f"{Q(value, KINDS[kind].si).m_as(unit):.9f}"
    answer, written = Q(float(number), unit), f"{number} {METRIC.symbol(kind)}"
    feedback = instance.check(written)
    sentence = feedback.sentence
    for typed in (written, brief(answer, kind)):
        if sentence.lstrip("'").startswith(typed):
            sentence = sentence.replace(typed, TYPED, 1)
    return [feedback.verdict, sentence]


# --- guesses and the survey -------------------------------------------------------------


def guess(id: str) -> dict:
    """A guess: its text and fields, and what is said when it is kept, fixed or left out."""
    template = find_guess(id)
    asked = Guess(template)
    return {
        "text": asked.text,
        "fields": {name: _field(field, asked.fill) for name, field in template.fields.items()},
        "replies": {KEPT: MAY_CHANGE, COMMITTED: FIXED, SKIPPED: Guess(template).skip().sentence},
    }


def survey(occasion: str) -> dict:
    """The survey of ideas; after the course, with what is said to every change."""
    everything = ", ".join(str(number) for number, _ in enumerate(SURVEY.ideas, 1))
    data = {
        "id": ENTRY_IDS[occasion],
        "ideas": [
            {
                "id": idea.id,
                "text": f"{number}. {idea.text}",
                "field": _field(idea.field, str),
            }
            for number, idea in enumerate(SURVEY.ideas, 1)
        ],
        "missing": SURVEY.check({}).sentence.replace(everything, "{missing}"),
        "kept": f"{s.KEPT} {NO_VERDICTS}",
    }
    return data if occasion == BEFORE else data | _changes()


def _changes() -> dict:
    """What the survey after the course says: of each idea, and in all, by how many were right."""
    ideas = SURVEY.ideas
    counts = range(len(ideas) + 1)
    words = {}
    for before in (True, False):
        for now in (True, False):
            chosen = [ideas[0].right if right else None for right in (before, now)]
            words[f"{before}, {now}".lower()] = Shift(ideas[0], *chosen).word
    return {
        "kept": s.KEPT,
        "before": ENTRY_IDS[BEFORE],
        "right": {idea.id: idea.right for idea in ideas},
        "explained": {idea.id: f"{idea.options[idea.right]} {idea.explained}" for idea in ideas},
        "words": words,
        "summaries": [[_summary(before, now) for now in counts] for before in (*counts, None)],
    }


def _summary(before: int | None, now: int) -> str:
    """What is said in all, where so many ideas were right; None where nothing was asked before."""
    entries = [_survey_entry(AFTER, now)]
    if before is not None:
        entries.insert(0, _survey_entry(BEFORE, before))
    return SURVEY.summary(entries)


def _survey_entry(occasion: str, right: int) -> Entry:
    chosen = {
        idea.id: idea.right if number < right else UNSURE
        for number, idea in enumerate(SURVEY.ideas)
    }
    return Entry(ENTRY_IDS[occasion], chosen, COMMITTED, 0, "")
