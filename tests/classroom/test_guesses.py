"""The guesses of a class: what counts, what came out, and the picture of it."""

import csv
import dataclasses
import io

import pytest
from helpers.paper import cut_off, overlapping, written

from recoverykit import lessons
from recoverykit.classroom.guess_picture import GuessPicture
from recoverykit.classroom.guesses import RIGHT, ChoiceSpread, guess_ids, spread_of
from recoverykit.classroom.review import guesses_csv
from recoverykit.classroom.sample_class import invented_class
from recoverykit.course.guesses import Guess
from recoverykit.course.progress import Entry
from recoverykit.course.questions import COMMITTED, KEPT, SKIPPED, UNREADABLE
from recoverykit.lessons.bank import find_guess
from recoverykit.units.quantities import US, Q, display, show

INVENTED = invented_class()
every_guess = pytest.mark.parametrize("id", guess_ids())
both_systems = pytest.mark.parametrize("system", ["metric", "US"])


def entry(verdict, middle="10 kN", fast="20 kN"):
    typed = {} if verdict == SKIPPED else {"middle_peak": middle, "fast_peak": fast}
    return Entry("03.guess", typed, verdict, 0, "2026-01-01T00:00:00+00:00")


def guessed(*learners):
    """The spread of the first number in lesson 03, with the counts of the whole class."""
    spread = spread_of("03.guess", learners)
    return (
        [show(each, "force") for each in spread.fields[0].guesses],
        spread.guessed,
        spread.without,
    )


# --- what counts ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("entries", "counted"),
    [
        ([entry(COMMITTED)], (["10.0 kN"], 1, 0)),
        ([entry(KEPT)], (["10.0 kN"], 1, 0)),
        ([entry(KEPT, "5 kN"), entry(KEPT), entry(COMMITTED)], (["10.0 kN"], 1, 0)),
        ([entry(KEPT), entry(UNREADABLE, "ten")], (["10.0 kN"], 1, 0)),
        ([entry(KEPT), entry(SKIPPED)], ([], 0, 1)),
        ([entry(UNREADABLE, "ten")], ([], 0, 0)),
        ([entry(COMMITTED, "ten of them")], ([], 1, 0)),
        ([Entry("03.guess", {"another": "1 kN"}, COMMITTED, 0, "t")], ([], 1, 0)),
        ([], ([], 0, 0)),
    ],
    ids=[
        "committed",
        "kept, not yet shown",
        "changed",
        "then unreadable",
        "taken back",
        "never read",
        "no longer readable",
        "another field",
        "no guess",
    ],
)
def test_the_last_guess_that_was_kept_counts(entries, counted):
    assert guessed(entries) == counted


def test_an_option_that_is_no_longer_there_is_left_out():
    entries = [Entry("04.guess", {"stronger": name}, COMMITTED, 0, "t") for name in ("a", "gone")]
    (field,) = spread_of("04.guess", [[each] for each in entries]).fields
    assert field.counts == {"a": 1}


def test_whoever_was_asked_in_other_units_is_as_far_off_as_with_those():
    """Asked at 3 mph for 23 kN or so, and not at 4 km/h for 14 kN."""
    with display.numbers_of(US):
        ((right, _), _) = rights("03.guess")
    half = show(right / 2, "force", US, 6)
    learner = dataclasses.replace(entry(COMMITTED, half), units="US")
    (shown,), guessed_, _ = guessed([learner])
    ((metric, _), _) = rights("03.guess")
    assert right > 1.2 * metric
    assert (shown, guessed_) == (show(metric / 2, "force"), 1)


def test_the_spread_is_told_in_words():
    class_ = [[entry(COMMITTED, f"{kn} kN")] for kn in (30, 7, 14, 12, 8)]
    (middle, _), summary = spread_of("03.guess", class_).fields, spread_of("03.guess", []).summary
    assert middle.sentence == (
        "Peak at 4 km/h: it is 14 kN, and 2 of 5 came close. The guesses run from 7.0 kN to 30 kN; "
        "the middle one is 12 kN."
    )
    assert (
        summary == "Lesson 03: 0 guessed. Peak at 4 km/h: it is 14 kN. Peak at 8 km/h: it is 28 kN."
    )


def test_choices_are_told_in_words():
    names = ["a", "a", "b", "same"]
    class_ = [[Entry("04.guess", {"stronger": name}, COMMITTED, 0, "t")] for name in names]
    skipped = Entry("04.guess", {}, SKIPPED, 0, "t")
    assert spread_of("04.guess", [*class_, [skipped]]).summary == (
        "Lesson 04: 4 guessed, 1 looked without a guess. Stronger is: 2 of 4 said “A, the bow "
        "shackle”, which is right; 1 said “B, the soft shackle”; 1 said “neither: they hold the "
        "same”."
    )


# --- what came out ----------------------------------------------------------------------


@every_guess
def test_there_is_a_right_answer_to_every_field(id):
    fields = find_guess(id).fields
    assert RIGHT[id].keys() == fields.keys()
    for spread, field in zip(spread_of(id, []).fields, fields.values(), strict=True):
        if isinstance(spread, ChoiceSpread):
            assert spread.right in field.options
        else:
            assert Q(0, spread.right[0].units) < spread.right[0] <= spread.right[1]


def rights(id):
    return [spread.right for spread in spread_of(id, []).fields]


def close(right, quantity):
    return all(end.m_as(quantity.units) == pytest.approx(quantity.m, rel=1e-3) for end in right)


def test_the_right_answers_are_those_that_the_panels_show():
    energy = lessons.EnergyPanel()
    peak = lessons.PeakForcePanel()
    numbers = Guess(find_guess("03.guess")).numbers
    for right, speed in zip(rights("03.guess"), (numbers.middle, numbers.fast), strict=True):
        peak.set(speed=speed)
        assert close(right, peak.result.peak)
    numbers = Guess(find_guess("01.guess")).numbers
    for right, speed in zip(rights("01.guess"), (numbers.twice, numbers.four_times), strict=True):
        energy.set(mass=numbers.mass, speed=speed)
        assert close(right, energy.result.energy)
    assert rights("04.guess") == ["a"]
    assert lessons.StampsPanel().summary.startswith("A is stronger")
    limit, breaks = rights("05.guess")
    line = lessons.WeakestLinkPanel().result.line
    assert (limit, breaks) == (line.first_past_working_limit.name, line.first_to_break.name)
    assert lessons.HoldingPanel().summary.startswith("Not enough: dig first.")
    assert lessons.LettingGoPanel().summary.startswith("The tether may part.")
    assert lessons.PlanPanel().summary.startswith("Pull in steps: a steady pull, then")


# --- the picture ------------------------------------------------------------------------


def drawn(id, class_):
    picture = GuessPicture()
    picture.update(spread_of(id, class_))
    picture.png()
    return picture


CLASSES = {
    "invented": INVENTED,
    "nobody": [],
    "thirty alike": [INVENTED[0]] * 30,
}


@every_guess
@both_systems
@pytest.mark.parametrize("class_", CLASSES.values(), ids=CLASSES)
def test_nothing_is_cut_off_or_lies_on_other_words(id, system, class_):
    display.use(system)
    picture = drawn(id, class_)
    assert cut_off(picture.figure) == []
    assert overlapping(written(picture.figure)) == []


def test_there_is_a_dot_for_each_guess_and_a_count_of_those_far_off():
    class_ = [[entry(COMMITTED, f"{kn} kN")] for kn in (10, 10, 12, 900)]
    axes = drawn("03.guess", class_).figure.axes[0]
    (dots,) = (line for line in axes.lines if line.get_marker() == "o")
    assert len(dots.get_xdata()) == 3
    assert sorted(dots.get_ydata()) == [0, 0, 1], "those alike stand on one another"
    assert "1 further up →" in [text.get_text() for text in axes.texts]
    assert axes.get_title(loc="left") == "Peak at 4 km/h [kN]"


def test_the_right_option_is_marked_by_a_sign_too():
    axes = drawn("04.guess", INVENTED).figure.axes[0]
    marked = [text.get_text() for text in axes.texts if "✓" in text.get_text()]
    assert len(marked) == 1
    assert marked[0].endswith("✓ A, the bow shackle")


# --- as a table -------------------------------------------------------------------------


def test_the_table_has_every_guess_once():
    class_ = [[entry(COMMITTED, f"{kn} kN", "=1+1")] for kn in (10, 10, 12)]
    table = io.StringIO(guesses_csv(class_).decode("utf-8-sig"), newline="")
    rows = [row for row in csv.DictReader(table) if row["lesson"] == "03"]
    assert [
        (row["asked"], row["what came out"], row["guess"], row["learners"]) for row in rows
    ] == [
        ("Peak at 4 km/h", "14 kN", "10 kN", "2"),
        ("Peak at 4 km/h", "14 kN", "12 kN", "1"),
    ]
