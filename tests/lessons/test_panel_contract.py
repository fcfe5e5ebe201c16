"""What holds for every panel, before its guess and after it, at all extremes, in both systems."""

import re
from pathlib import Path

import PIL.Image
import pytest
from helpers.guessed_panels import GUESSES, PANELS, guessed, waiting
from helpers.paper import cut_off, overlapping, written
from helpers.reference_picture import TOLERANCE, difference, small

from recoverykit import lessons
from recoverykit.course.panel import WAITING
from recoverykit.units.quantities import InputError, Q, brief, display, show

PICTURES = Path(__file__).parent / "pictures"

# Texts that may lie on one another nowhere; in the other panels labels follow what they name.
APART = {
    lessons.TimedDistancePanel: lambda panel: written(panel.figure),
    lessons.StretchPanel: lambda panel: panel._picture._beside.texts,
    lessons.PeakForcePanel: lambda panel: right_of_the_axes(panel),
    lessons.StampsPanel: lambda panel: written(panel.figure),
    lessons.WeakestLinkPanel: lambda panel: written(panel.figure),
    lessons.HoldingPanel: lambda panel: written(panel.figure),
    lessons.LettingGoPanel: lambda panel: moving(panel),
    lessons.PlanPanel: lambda panel: right_of_the_axes(panel),
}
# The working limit of a part is no answer, and stands in the picture from the start.
KNOWN_BEFORE = {"26.7 kN"}

# Their first sentence is the verdict; and how many words they have at most.
VERDICT_FIRST = {
    lessons.TimedDistancePanel: 55,
    lessons.EnergyPanel: 55,
    lessons.StretchPanel: 55,
    lessons.PeakForcePanel: 55,
    lessons.StampsPanel: 55,
    lessons.WeakestLinkPanel: 55,
    lessons.HoldingPanel: 55,
    lessons.MoreSpeedPanel: 55,
    lessons.PullInTimePanel: 55,
    lessons.MeasuredPullsPanel: 75,
    lessons.ExtrapolationPanel: 75,
    lessons.MeterPanel: 75,
    lessons.LettingGoPanel: 80,
    lessons.PlanPanel: 100,
}
OTHER_UNITS = {"metric": r"\b(lbf|lb|mph|ft|in)\b", "US": r"\b(kN|kg|km/h|m|cm)\b"}

every_panel = pytest.mark.parametrize("kind", PANELS)
every_guessed_panel = pytest.mark.parametrize("kind", GUESSES)
both_systems = pytest.mark.parametrize("system", ["metric", "US"])
SMALLEST = 12  # CSS pixels


def right_of_the_axes(panel):
    edge = panel.figure.axes[0].get_window_extent().x1
    return [text for text in written(panel.figure) if text.get_window_extent().x0 > edge]


def moving(panel):
    return [text for text in written(panel.figure) if text.get_animated()]


def set_in(panel) -> str:
    """All that is set in a panel, as it is written."""
    return " ".join(
        f"{show(value, each.kind)} {brief(value, each.kind)}"
        if isinstance(value, Q)
        else f"{value}"
        for each, value in zip(panel.inputs, panel.values.values(), strict=True)
    )


def size(text) -> float:
    """How large the letters of a text are, in CSS pixels: a hundred of them are an inch here."""
    return text.get_fontsize() / 72 * 100


def layouts_looked_at(number: int, system: str) -> tuple[bool, ...]:
    """Both; from the twentieth corner on one of them, in one of the systems in turn."""
    if number < 20:
        return (False, True)
    return (number % 4 > 1,) if (number % 2 == 0) == (system == "US") else ()


def check_verdict_first(summary: str, system: str, most_words: int) -> None:
    """Few words, the verdict among the first, and no unit but those in use."""
    first = re.split(r"(?<=\.) ", summary)[0]
    assert len(first.split()) <= 20
    assert len(summary.split()) <= most_words
    assert not re.search(rf"\d,? ({OTHER_UNITS[system]})", summary)


def test_every_panel_but_the_first_waits_for_a_guess():
    assert set(PANELS) - set(GUESSES) == {lessons.TimedDistancePanel}


@every_guessed_panel
def test_nothing_of_the_answer_is_shown_before_the_guess(kind):
    panel, guess, typed = waiting(kind)
    hidden = panel.png()
    assert panel.summary == WAITING
    picture = panel._picture
    for artist in picture._moving:
        assert artist.get_visible() == (artist in picture._shown_before_guess)
    shown = " ".join(text.get_text() for text in written(panel.figure))
    assert shown.count("write down\nyour guess first") == len(picture.answer_axes)
    answers = set(re.findall(r"\d[\d.]* [a-zA-Z/%·]+", kind().summary)) - KNOWN_BEFORE
    assert [number for number in answers if number in shown and number not in set_in(panel)] == []
    guess.commit(typed)
    assert panel.summary != WAITING
    assert panel.png() != hidden
    guess.reopen()  # for the next learner
    assert panel.summary == WAITING
    assert panel.png() == hidden


@every_guessed_panel
def test_after_a_skip_the_panel_is_as_without_a_guess(kind):
    panel, guess, _ = waiting(kind)
    guess.skip()
    assert panel.summary == kind().summary
    assert panel.png() == kind().png()


@every_panel
@both_systems
def test_every_two_extremes_give_a_whole_picture_and_a_sentence(kind, system):
    display.use(system)
    panel, pictures = guessed(kind), []
    for number, _ in enumerate(panel.paired_corners()):
        for narrow in layouts_looked_at(number, system):
            panel.show_narrow(narrow)
            pictures.append(hash(panel.picture(narrow).pixels().tobytes()))
            assert cut_off(panel.figure) == []
            assert overlapping(APART.get(kind, lambda _: [])(panel)) == []
            assert min(size(text) for text in written(panel.figure)) >= SMALLEST
        assert panel.summary.endswith(".")
        for word in ("nan", "None", "safe", "  "):
            assert word not in panel.summary
        check_verdict_first(panel.summary, system, VERDICT_FIRST[kind])
    # Not all: at rest, or without a plan, most values make no difference.
    assert len(set(pictures)) > len(pictures) / 4


@every_panel
def test_every_input_says_what_is_set(kind):
    assert all(each.help.endswith(".") for each in kind().inputs)


@every_panel
def test_bad_values_are_named_and_change_nothing(kind):
    panel = guessed(kind)
    before = dict(panel.values), panel.summary, panel.png()
    bad = {}
    for each in panel.inputs:
        bad[each.name] = Q(3, "K") if isinstance(each.start, Q) else "no such thing"
        with pytest.raises(InputError, match=re.escape(each.label)):
            panel.set(**{each.name: bad[each.name]})
        if isinstance(each.start, Q):
            for beyond in (2 * each.high, each.low - 0.5 * each.high):
                with pytest.raises(InputError, match=f"{each.label}(.|\n)*(above|below)"):
                    panel.set(**{each.name: beyond})
    with pytest.raises(InputError) as caught:
        panel.set(**bad, paint="red")
    assert all(each.label in str(caught.value) for each in panel.inputs)
    assert "'paint'" in str(caught.value)
    assert (dict(panel.values), panel.summary, panel.png()) == before


# --- pictures that are kept -------------------------------------------------------------


@every_panel
def test_the_picture_is_as_it_was_kept(kind, request):
    display.use("US" if PANELS.index(kind) % 2 else "metric")
    picture, kept = small(guessed(kind).png()), PICTURES / f"{kind.__name__}.png"
    if request.config.getoption("--renew-pictures"):
        picture.save(kept, optimize=True)
    assert difference(picture, PIL.Image.open(kept)) <= TOLERANCE, (
        "if this is meant, look at the new picture and keep it: pytest --renew-pictures"
    )


def test_a_moved_word_and_a_lost_line_are_seen():
    panel = lessons.EnergyPanel()
    before, picture = small(panel.png()), panel._picture
    picture._label.set_position((0.03, 0.955))  # by 6 of 472 pixels
    assert difference(small(panel.png()), before) > TOLERANCE
    panel.set()
    picture._label.set_position((0.03, 0.97))
    assert difference(small(panel.png()), before) == 0
    picture._steps.set_visible(False)
    assert difference(small(panel.png()), before) > TOLERANCE
