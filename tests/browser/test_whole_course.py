"""The whole course in a real browser: one learner goes from lesson 00 to lesson 10.

The kernel is restarted on the way, and the course is stopped and started again.
"""

import contextlib
import io
from dataclasses import dataclass, field

import pytest
from helpers.lesson_page import SAID, LessonPage
from helpers.printed import printed
from PIL import Image
from playwright.sync_api import expect

from browser.conftest import LAPTOP, running_course
from browser.test_accessibility import faults
from launcher import lesson_copies, paths
from recoverykit.classroom.class_files import read_class
from recoverykit.classroom.review import review
from recoverykit.course.guesses import Guess
from recoverykit.course.page import DOTS_PER_INCH, PAPERS
from recoverykit.course.panel import Panel
from recoverykit.course.progress import Progress
from recoverykit.course.questions import NumericQuestion, QuestionInstance
from recoverykit.course.survey import UNSURE
from recoverykit.course.templates import NumberField
from recoverykit.lessons import (
    EnergyPanel,
    HoldingPanel,
    LettingGoPanel,
    MeterPanel,
    MoreSpeedPanel,
    PeakForcePanel,
    PlanPanel,
    StampsPanel,
    StretchPanel,
    TimedDistancePanel,
    WeakestLinkPanel,
)
from recoverykit.lessons.bank import LESSONS, find_question
from recoverykit.lessons.ideas import SURVEY
from recoverykit.lessons.plan.card_content import DANGER, MARK, OWN_VALUES, TITLE
from recoverykit.physics.plan import STOP_RULES
from recoverykit.physics.recoil import NOT_ALONE
from recoverykit.units.quantities import display, show
from recoverykit.units.text import as_sentence

NAME = "Newcomer"
US = "mph, lbf, lb"
WORDS = "Words and units"  # the heading of the glossary
PHONE = {"width": 390, "height": 844}
SIZES = (PHONE, LAPTOP | {"width": 820}, LAPTOP)
SHORTEST_SLIDER = 200  # CSS pixels that a finger needs

BEFORE = {idea.id: idea.right for idea in SURVEY.ideas} | {"01": "twice", "06": UNSURE}
AFTER = {idea.id: idea.right for idea in SURVEY.ideas}

LINE = """\
tow eye of the van: 9,500 lb, WLL, factor 3
rope: 120 kN, breaking strength, factor 4
shackle: 4 3/4 short tons, WLL
front eye: {}"""
STAMP = "40 kN, WLL"


@dataclass(frozen=True)
class Taught:
    """A lesson: its notebook, a panel and a slider of it, and what this learner guesses."""

    notebook: str
    panel: type[Panel]
    slider: str
    guess: dict[str, str] = field(default_factory=dict)  # as the progress file has it
    place: int = 0  # of the panel, counted from the top

    @property
    def number(self):
        return self.notebook[:2]

    @property
    def title(self):
        _, text = lesson_copies.notebook_cells(paths.LESSONS / self.notebook)[0]
        return text.splitlines()[0].removeprefix("# ")

    @property
    def question(self):
        return LESSONS[self.number].QUESTIONS[0]

    def open_guess(self):
        """What is to be guessed, not yet guessed."""
        (template,) = LESSONS[self.number].GUESSES
        return Guess(template)

    def guessed(self):
        """The panel after the guess, without a browser."""
        if not self.guess:
            return self.panel()
        guess = self.open_guess()
        guess.commit(self.guess)
        return self.panel(guess=guess)


TAUGHT = [
    Taught("00-start-here.ipynb", TimedDistancePanel, "Speed"),
    Taught(
        "01-walking-pace.ipynb",
        EnergyPanel,
        "Speed",
        {"twice_energy": "3.8 kJ", "four_times_energy": "7.6 kJ"},
    ),
    Taught(
        "02-rope-spring.ipynb",
        StretchPanel,
        "Strength",
        {"winch_line": "3200 lbf", "stronger_rope": "2200 lbf"},
    ),
    Taught(
        "03-peak-force.ipynb",
        PeakForcePanel,
        "Speed",
        {"middle_peak": "20 kN", "fast_peak": "70 kN"},
    ),
    Taught("04-two-stamps.ipynb", StampsPanel, "", {"stronger": "b"}),
    Taught(
        "05-weakest-link.ipynb",
        WeakestLinkPanel,
        "Tension",
        {"limit": "bow shackle", "break": "yard rope"},
    ),
    Taught("06-what-holds-it.ipynb", HoldingPanel, "Slope", {"pull": "2700 lbf", "first": "speed"}),
    Taught(
        "07-two-vehicles.ipynb",
        MoreSpeedPanel,
        "Speed",
        {"peak": "30 kN", "travel": "1 ft"},
        place=1,
    ),
    Taught(
        "08-measured-pulls.ipynb",
        MeterPanel,
        "Sample rate",
        {"fast_peak": "7000 lbf", "rows": "right", "meter": "higher"},
        place=2,
    ),
    Taught(
        "09-something-lets-go.ipynb",
        LettingGoPanel,
        "Pull in the line",
        {"speed": "25 mph", "tether": "holds"},
    ),
    Taught("10-plan-a-pull.ipynb", PlanPanel, "Slope", {"first": "ceiling", "fastest": "5 mph"}),
]


class Learner:
    """One learner, who sits down to the course and gets up again, with one page of a browser."""

    def __init__(self, browser, folder):
        self._browser = browser
        self.folder = folder
        self.units = "metric"
        self._sitting = contextlib.ExitStack()
        self.lesson = None

    def get_up(self):
        """Close the page, and stop the course."""
        self.lesson = None
        self._sitting.close()

    def sit_down_to(self, taught):
        """Start the course, and open a lesson."""
        started = self._sitting.enter_context(running_course(self.folder))
        context = self._sitting.enter_context(self._browser.new_context(viewport=LAPTOP))
        self.lesson = LessonPage(context.new_page(), started.address)
        self.lesson.go(f"doc/tree/{taught.notebook}?token={started.token}")
        self.lesson.wait_for(taught.title)
        self.lesson.wait_until_lesson_has_run(taught.notebook)

    def go_on_to(self, taught):
        """Go on to the next lesson."""
        if self.lesson is None:
            return self.sit_down_to(taught)
        self.lesson.follow(taught.title, taught.title)
        self.lesson.wait_until_lesson_has_run(taught.notebook)

    def look_up(self, taught):
        """Go to any lesson, by the glossary."""
        self.lesson.follow("glossary", WORDS)
        self.lesson.follow(taught.number, taught.title)
        self.lesson.wait_until_lesson_has_run(taught.notebook)

    def progress(self):
        """What is kept on disk."""
        return Progress(NAME, self.folder / "progress")


@pytest.fixture(scope="module")
def learner(browser, installed, tmp_path_factory):
    """The learner of this story."""
    learner = Learner(browser, tmp_path_factory.mktemp("newcomer") / "my course")
    yield learner
    learner.get_up()


# --- what is done in every lesson -------------------------------------------------------


def guess(learner, taught):
    """Write a guess down, and see the answer come."""
    lesson, panel = learner.lesson, learner.lesson.panel_at(taught.place)
    if not taught.guess:
        return expect(panel.sentence).to_have_text(taught.guessed().summary)
    expect(panel.sentence).to_have_text(taught.panel(guess=taught.open_guess()).summary)
    before = panel.pixels()
    for place, typed in places_to_guess(lesson, taught):
        place.fill(typed) if typed else place.check()
    lesson.keep_guess_and_see()
    expect(panel.sentence).to_have_text(taught.guessed().summary)
    assert panel.pixels() != before


def places_to_guess(lesson, taught):
    """Each place that a guess goes to, and what is typed there; nothing, where it is ticked."""
    guess = taught.open_guess()
    for name, asked in guess.template.fields.items():
        label, typed = guess.fill(asked.label), taught.guess[name]
        if isinstance(asked, NumberField):
            yield lesson.shown.get_by_label(label, exact=True), typed
        else:
            answers = lesson.shown.get_by_role("radiogroup", name=label, exact=True)
            yield answers.get_by_label(guess.fill(asked.options[typed]), exact=True), ""


def move_a_slider(learner, taught):
    """Move a slider to its end with the keyboard, and all back: sentence and picture follow."""
    if not taught.slider:
        return
    panel, there = learner.lesson.panel_at(taught.place), taught.guessed()
    start = there.summary
    move_to(panel, there, taught.slider, "End")
    panel.output.get_by_role("button", name="Starting values").click()
    expect(panel.sentence).to_have_text(start)


def move_to(panel, there, label, key):
    """Move a slider to an end, on the page and without a browser: both say the same."""
    before, told = panel.pixels(), there.summary
    (slider,) = (each for each in there.inputs if each.label == label)
    end = slider.positions(display.system)[{"Home": 0, "End": -1}[key]]
    there.set(**{slider.name: slider.from_widget(end, display.system)})
    panel.handle(label).press(key)
    expect(panel.sentence).to_have_text(there.summary)
    assert there.summary != told
    assert panel.pixels() != before


def answer_wrong_and_right(learner, taught):
    """Answer the first question with a common mistake, and then right."""
    instance = QuestionInstance(taught.question)
    asked = learner.lesson.question(instance.text)
    for typed in (a_wrong_answer(instance), instance.right_answer):
        if isinstance(instance.question, NumericQuestion):
            asked.answer(typed)
        else:
            asked.choose(instance.fill(instance.question.options[typed].text))
        expect(asked.reply).to_have_text(instance.check(typed).sentence)


def a_wrong_answer(instance):
    question = instance.question
    if isinstance(question, NumericQuestion):
        _, value, _ = question.mistakes_of(instance.numbers)[0]
        return show(value, question.kind)
    return next(name for name in question.options if name != instance.right_answer)


IN_EVERY_LESSON = (guess, move_a_slider, answer_wrong_and_right)


# --- what is done in one lesson ---------------------------------------------------------


def give_a_name(learner, taught):
    lesson = learner.lesson
    lesson.shown.get_by_label("Name", exact=True).fill(NAME)
    lesson.button("Use this name").click()
    expect(lesson.output(has_text=f"under the name {NAME}")).to_be_visible()


def forget_the_unit(learner, taught):
    instance = QuestionInstance(find_question("00.pegs"))
    number, _ = instance.right_answer.split()
    asked = learner.lesson.question(instance.text)
    asked.answer(number)
    expect(asked.reply).to_contain_text("the unit is missing", ignore_case=True)


def answer_the_survey(lesson, chosen):
    keep = lesson.button("Keep my answers")
    survey = lesson.output(has=keep)
    keep.click()
    expect(survey.locator(SAID)).to_contain_text("Not yet answered: 1, 2, 3")
    for answer in answers_to_survey(survey, chosen):
        answer.check()
    keep.click()
    expect(survey.locator("input:enabled")).to_have_count(0)
    return survey


def answers_to_survey(survey, chosen):
    for idea in SURVEY.ideas:
        answers = survey.get_by_role("radiogroup", name=idea.name, exact=True)
        yield answers.get_by_label(idea.field.options[chosen[idea.id]], exact=True)


def answer_the_first_survey(learner, taught):
    survey = answer_the_survey(learner.lesson, BEFORE)
    expect(survey.locator(SAID)).to_contain_text("Your answers are kept.")
    expect(survey.locator("table")).to_have_count(0)


def answer_the_last_survey(learner, taught):
    survey = answer_the_survey(learner.lesson, AFTER)
    expect(survey.locator(SAID)).to_contain_text(
        "You now have 10 of 10 ideas right. Before the course it was 8."
    )
    for idea in SURVEY.ideas:
        row = survey.get_by_role("row").filter(
            has=learner.lesson.page.get_by_role("rowheader", name=idea.name, exact=True)
        )
        expect(row).to_contain_text(idea.options[AFTER[idea.id]])
        expect(row).to_contain_text(
            "✓ right both times" if BEFORE[idea.id] == idea.right else "✓ right now"
        )


def go_back_and_forward(learner, taught):
    """The browser's own buttons lead through the pages that links have led to."""
    page, lesson = learner.lesson.page, learner.lesson
    lesson.follow("glossary", WORDS)
    for turn, headings in ((page.go_back, ("01 · ", "00 · ")), (page.go_forward, ("01 · ",))):
        for heading in headings:
            turn()
            lesson.wait_for(heading)


def choose_us_units(learner, taught):
    learner.lesson.button(US).first.click()
    learner.units = "US"
    display.use("US")
    find_all_again(learner, taught)


def restart_the_kernel(learner, taught):
    learner.lesson.restart_kernel()
    learner.lesson.run()
    learner.lesson.wait_until_lesson_has_run(taught.notebook)
    find_all_again(learner, taught)


def stop_and_start_the_course(learner, taught):
    """The course opens with its first lesson; name and survey are there, and then all the rest."""
    learner.get_up()
    learner.sit_down_to(TAUGHT[0])
    expect(learner.lesson.shown.get_by_label("Name", exact=True)).to_have_value(NAME)
    survey = learner.lesson.output(has=learner.lesson.button("Keep my answers"))
    for answer in answers_to_survey(survey, BEFORE):
        expect(answer).to_be_checked()
    expect(learner.lesson.button("Keep my answers")).to_be_disabled()
    learner.look_up(taught)
    find_all_again(learner, taught)


def find_all_again(learner, taught):
    """The guess is there as it was left, and the answer to the numbers of the units chosen."""
    lesson, instance = learner.lesson, QuestionInstance(taught.question)
    expect(lesson.panel_at(taught.place).sentence).to_have_text(taught.guessed().summary)
    expect(lesson.button("Keep my guess")).to_be_disabled()
    for place, typed in places_to_guess(lesson, taught):
        expect(place).to_have_value(typed) if typed else expect(place).to_be_checked()
    asked = lesson.question(instance.text)
    last = learner.progress().latest(instance.question.id, units=learner.units)
    expect(asked.box).to_have_value(last.typed["answer"] if last else "")
    if last:
        expect(asked.reply).to_contain_text("Right: ")
    else:
        expect(asked.reply).to_have_count(0)


def write_stamps(learner, taught):
    panel, there = learner.lesson.panel, taught.guessed()
    start, stamp = there.summary, panel.control("A is stamped")
    stamp.fill("three tons")
    stamp.press("Enter")
    refused = panel.output.get_by_text("Until then the panel keeps to 3 1/4 short tons.")
    expect(refused).to_be_visible()
    expect(panel.output.get_by_text(start)).to_be_visible()
    before = panel.pixels()
    stamp.fill("4 3/4 short tons")
    stamp.press("Enter")
    there.set(a_stamp="4 3/4 short tons")
    expect(refused).to_have_count(0)
    expect(panel.sentence).to_have_text(there.summary)
    assert panel.pixels() != before
    set_all(panel, there, b_rigged="a pair, as a bridle 30° off the pull")
    set_all(panel, there, b_factor="not stated")
    assert "B states no design factor" in there.summary
    learner.lesson.button("Starting values").click()
    expect(panel.sentence).to_have_text(start)


def rig_the_line(learner, taught):
    panel, there = learner.lesson.panel, taught.guessed()
    set_all(panel, there, stuck_vehicle="bridle, legs 60° off the pull", knot=True, wet=True)
    set_all(panel, there, hitch="tow ball, unrated")
    assert "Nobody can say which part gives first." in there.summary


def tick_the_work(learner, taught):
    panel, there = learner.lesson.panel, taught.guessed()
    for work in ("dig_out", "lay_boards", "unload"):
        set_all(panel, there, **{work: True})
    assert "Before the work: " in there.summary


def set_all(panel, there, **values):
    """Choose and tick, on the page and without a browser: both say the same."""
    before, told = panel.pixels(), there.summary
    for each in there.inputs:
        if each.name in values:
            widget = panel.control(each.label)
            value = values[each.name]
            widget.check() if value is True else widget.select_option(value)
    there.set(**values)
    expect(panel.sentence).to_have_text(there.summary)
    assert there.summary != told
    assert panel.pixels() != before


def try_tethers(learner, taught):
    panel, there = learner.lesson.panel, taught.guessed()
    move_to(panel, there, "Tether strength", "End")
    assert as_sentence(NOT_ALONE) in there.summary
    move_to(panel, there, "Tether stretch", "Home")
    assert NOT_ALONE not in there.summary


def plan_with(lesson, line):
    lesson.shown.get_by_role("textbox", name="Parts").fill(line)
    lesson.button("Plan with this line").click()
    expect(lesson.output(has_text="Parts read: 4.")).to_be_visible()


def ask_for_a_card_without_a_rating(learner, taught):
    plan_with(learner.lesson, LINE.format("no stamp"))
    told = "known for: front eye. That rules out a ladder."
    expect(learner.lesson.output(has_text=told)).to_be_visible()
    learner.lesson.button("Make the card").click()
    refused = learner.lesson.output(has_text="There is no card: no ladder to print.")
    expect(refused).to_be_visible()
    assert list(learner.folder.glob("pull-card*")) == []


def take_the_card_along(learner, taught):
    """Make the card, download it, and read the page as a printer would."""
    lesson = learner.lesson
    plan_with(lesson, LINE.format(STAMP))
    lesson.button("Make the card").click()
    expect(lesson.output(has_text="kept in your folder, as pull-card-example.pdf")).to_be_visible()
    for name in OWN_VALUES:
        lesson.shown.get_by_role("checkbox", name=f"{name.capitalize()}: ").check()
    lesson.button("Make the card").click()
    expect(lesson.output(has_text="kept in your folder, as pull-card.pdf")).to_be_visible()
    pdf, png = (downloaded(learner, name) for name in ("pull-card.pdf", "pull-card.png"))
    said = printed(pdf, learner.folder.parent)
    assert said.count("\f") == 1  # at the end of every page
    assert MARK not in said
    words = " ".join(said.split())
    for part in (TITLE, DANGER, "tow eye of the van", "front eye", "mph", "lbf", *STOP_RULES):
        assert part in words
    assert Image.open(io.BytesIO(png)).size == tuple(
        round(mm / 25.4 * DOTS_PER_INCH) for mm in PAPERS["Letter"]
    )


def downloaded(learner, name):
    """The bytes that a click on a link brings; the same are kept in the folder."""
    with learner.lesson.page.expect_download() as download:
        learner.lesson.page.get_by_role("link", name=name).click()
    assert download.value.suggested_filename == name
    content = download.value.path().read_bytes()
    assert content == (learner.folder / name).read_bytes()
    return content


STORY = {
    "00": (give_a_name, *IN_EVERY_LESSON, forget_the_unit, answer_the_first_survey),
    "01": (go_back_and_forward, *IN_EVERY_LESSON, choose_us_units),
    "04": (*IN_EVERY_LESSON, write_stamps),
    "05": (*IN_EVERY_LESSON, rig_the_line, restart_the_kernel),
    "06": (*IN_EVERY_LESSON, tick_the_work),
    "07": (*IN_EVERY_LESSON, stop_and_start_the_course),
    "09": (*IN_EVERY_LESSON, try_tethers),
    "10": (
        *IN_EVERY_LESSON,
        ask_for_a_card_without_a_rating,
        take_the_card_along,
        answer_the_last_survey,
    ),
}


# --- what holds for every page ----------------------------------------------------------


def what_is_cut_off(lesson):
    """What is cut off at any width, in words."""
    found = []
    for size in SIZES:
        lesson.resize(size)
        found += [f"{size['width']} px wide: {spill}" for spill in lesson.spills()]
    return found


def short_sliders(lesson):
    """How long the sliders are that a finger on a phone finds too short."""
    lesson.resize(PHONE)
    tracks = lesson.shown.locator(".widget-slider .slider").filter(visible=True)
    lengths = tracks.evaluate_all("all => all.map(each => each.getBoundingClientRect().width)")
    return [length for length in lengths if length < SHORTEST_SLIDER]


TALLER_THAN_THE_SCREEN = """() => {
    const shown = document.querySelector('.jp-NotebookPanel:not(.lm-mod-hidden)');
    const room = shown.querySelector('.jp-WindowedPanel-outer').clientHeight;
    return [...shown.querySelectorAll('.jp-OutputArea-output:has(.recoverykit-inputs)')]
        .map(panel => panel.getBoundingClientRect().height).filter(height => height > room);
}"""


def panels_taller_than_the_screen(lesson):
    """How tall the panels are that, with their task, a laptop does not show at once."""
    lesson.resize(LAPTOP)
    return lesson.found_when_settled(TALLER_THAN_THE_SCREEN)


# --- the story --------------------------------------------------------------------------


@pytest.mark.parametrize("taught", TAUGHT, ids=lambda taught: taught.number)
def test_a_learner_takes_a_lesson(taught, learner):
    display.use(learner.units)
    learner.go_on_to(taught)
    for step in STORY.get(taught.number, IN_EVERY_LESSON):
        step(learner, taught)
    lesson = learner.lesson
    lesson.expect_no_faults()
    assert short_sliders(lesson) == []
    assert faults(lesson) == []
    assert what_is_cut_off(lesson) == []
    assert panels_taller_than_the_screen(lesson) == []
    assert faults(lesson) == []


def test_all_of_it_is_in_the_progress_file(learner):
    progress = learner.progress()
    entries = progress.entries()
    assert progress.take_notice() == ""
    for taught in TAUGHT:
        verdicts = [entry.verdict for entry in entries if entry.id == taught.question.id]
        assert (len(verdicts), verdicts[-1]) == (2, "right")
        assert verdicts[0] != "right"
        if taught.guess:
            assert progress.latest(f"{taught.number}.guess").typed == taught.guess
    kept = {entry.id: entry.typed for entry in entries}
    assert (kept["00.survey"], kept["10.survey"]) == (BEFORE, AFTER)
    assert kept["10.own-line"] == {"line": LINE.format(STAMP)}
    assert kept["units"] == {"system": "US"}
    told = review(read_class(learner.folder / "progress").learners.values())
    assert (told.both, str(told.before), str(told.after)) == (1, "8 of 10", "10 of 10")
