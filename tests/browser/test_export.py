"""The exported pages: on a phone, on a desk, on paper, with a screen reader, and without a network.

All of them are opened from the disk.
"""

import json
import random
import re
import shutil
import subprocess
from urllib.parse import unquote, urlparse

import pytest
from helpers.few_states import few_states
from helpers.lesson_page import resize
from helpers.needs import skip_or_fail
from playwright.sync_api import expect

from browser.test_accessibility import AXE, serious
from launcher import export, lesson_copies
from launcher.pages import handouts
from recoverykit.classroom.class_files import read_class
from recoverykit.course.progress import Progress, parse
from recoverykit.course.questions import NumericQuestion, QuestionInstance
from recoverykit.lessons import PeakForcePanel
from recoverykit.lessons.bank import find_question
from recoverykit.units.quantities import METRIC, display
from recoverykit.units.text import in_brackets

PAGES = [export.INDEX, handouts.PAGE, *map(export.page_of, export.sources())]
PHONE, DESK = {"width": 390, "height": 844}, {"width": 1366, "height": 768}

# What is wider than its place; formulas for the ear are meant to be.
WIDER = """() => [document.documentElement, ...document.querySelectorAll('body :not(math, math *)')]
    .filter(part => part.clientWidth && part.scrollWidth > part.clientWidth + 1)
    .map(part => `${part.tagName} ${part.textContent.slice(0, 40)}`)"""

SMALLEST = """() => Math.min(...[...document.querySelectorAll('main :not(math, math *)')]
    .map(part => parseFloat(getComputedStyle(part).fontSize)))"""


def read_on(page):
    """Go on without a guess, where there is one."""
    for button in page.get_by_role("button", name="Show without a guess").all():
        button.click()


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """The pages as a trainer makes them, but for panels that have fewer states."""
    folder = tmp_path_factory.mktemp("trainer") / "my pages"
    with pytest.MonkeyPatch.context() as patch:
        few_states(patch)
        export.main(folder, "metric")
        yield folder


@pytest.fixture(scope="module")
def open_exported(browser, folder):
    """A function that opens a page from the disk; `requests` collects all that it asks for."""
    context = browser.new_context(viewport=PHONE, offline=True)

    def opened(name):
        page = context.new_page()
        page.requests = []
        page.on("request", lambda request: page.requests.append(request.url))
        page.goto((folder / name).as_uri())
        return page

    yield opened
    context.close()


@pytest.mark.parametrize("name", PAGES)
def test_a_page_can_be_read_by_all_and_asks_for_nothing(open_exported, name):
    page = open_exported(name)
    read_on(page)
    assert page.evaluate(WIDER) == []
    assert page.evaluate(SMALLEST) >= 7  # a drawing of 74 letters on a line
    resize(page, DESK)
    assert page.evaluate(WIDER) == []
    assert [url for url in page.requests[1:] if not url.startswith("data:")] == []
    page.evaluate(AXE)
    found = page.evaluate("axe.run()")
    assert serious(found) == []
    page.close()


@pytest.mark.parametrize("name", PAGES)
def test_links_lead_to_pages_that_are_there(open_exported, folder, name):
    page = open_exported(name)
    read_on(page)
    links = page.get_by_role("link").evaluate_all("all => all.map(link => link.href)")
    assert links
    paths = [unquote(urlparse(link).path) for link in links if link.startswith("file:")]
    assert {path for path in paths if not export.Path(path).is_file()} == set()
    page.close()


def test_without_the_script_the_answer_waits_for_a_tick(browser, folder):
    context = browser.new_context(viewport=PHONE, offline=True, java_script_enabled=False)
    page = context.new_page()
    page.goto((folder / "03-peak-force.html").as_uri())
    expect(page.get_by_role("heading", name="Explain")).to_be_hidden()
    page.get_by_role("checkbox", name="My guess is written down").press("Space")
    expect(page.get_by_role("heading", name="Explain")).to_be_visible()
    expect(page.locator("figcaption")).to_be_visible()
    context.close()


def test_all_pages_are_there_and_no_other(folder):
    assert sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*.*")) == sorted(
        PAGES
    )


def test_on_paper_the_guess_is_not_beside_its_answer(open_exported, tmp_path):
    if not shutil.which("pdftotext"):
        skip_or_fail("This test needs pdftotext. On Debian: sudo apt install poppler-utils")
    page = open_exported("03-peak-force.html")
    page.pdf(path=tmp_path / "lesson.pdf", format="A4")
    text = subprocess.run(
        ["pdftotext", "-layout", tmp_path / "lesson.pdf", "-"], capture_output=True, text=True
    ).stdout
    sheets = [re.sub(r"\s+", " ", sheet).strip() for sheet in text.split("\f")]
    (guess,) = [number for number, sheet in enumerate(sheets) if "Peak at 4 km/h:" in sheet]
    first_words = PeakForcePanel().summary.partition(":")[0]
    (answer,) = [number for number, sheet in enumerate(sheets) if first_words in sheet]
    assert answer == guess + 1
    assert "All lessons" not in text
    assert len([sheet for sheet in sheets if sheet]) <= 8
    page.close()


# --- live ---


LESSONS = [lesson.with_suffix(".html").name for lesson in lesson_copies.lessons()]
each_lesson = pytest.mark.parametrize("name", LESSONS)
NO_BREAK = "\N{NO-BREAK SPACE}"


class Page:
    """A page from the disk; `faults` collects what it complains of and asks for."""

    def __init__(self, context, folder, name):
        self.page = context.new_page()
        self.faults = []
        self.page.on("console", lambda said: self.faults.append(said.text))
        self.page.on("pageerror", lambda error: self.faults.append(str(error)))
        self.page.on("request", lambda request: self._note(request.url))
        self.page.goto((folder / name).as_uri())

    def _note(self, url):
        if not url.startswith(("file:", "data:", "blob:")):
            self.faults.append(url)

    def button(self, name, within=None):
        return (within or self.page).get_by_role("button", name=name, exact=True)

    def question(self, id):
        return self.page.locator(f'[data-part="question"][data-name="{id}"]')

    def answer(self, id, number, unit):
        asked = self.question(id)
        asked.get_by_role("textbox").fill(number)
        asked.get_by_role("combobox", name="Unit").select_option(unit)
        self.button("Check", asked).click()
        return asked.get_by_role("status").first.inner_text().replace(NO_BREAK, " ")

    def save(self, path):
        with self.page.expect_download() as saved:
            self.button("Save my progress").click()
        saved.value.save_as(path)
        return path


@pytest.fixture
def learner(browser, folder):
    """A function that opens a page for a learner who keeps what was done on other pages."""
    contexts = []

    def opened(name, viewport=PHONE, before=None):
        if not contexts:
            contexts.append(browser.new_context(viewport=viewport, offline=True))
            if before:
                contexts[0].add_init_script(before)
        return Page(contexts[0], folder, name)

    yield opened
    for context in contexts:
        context.close()


def data_of(folder, name):
    text = (folder / name).read_text(encoding="utf-8")
    return json.loads(re.search(r'id="course-data"[^>]*>(.+?)</script>', text)[1])


# --- panels -----------------------------------------------------------------------------


@pytest.mark.parametrize("viewport", [PHONE, DESK], ids=["phone", "desk"])
@each_lesson
def test_moving_every_control_shows_its_state(learner, folder, name, viewport):
    lesson = learner(name, viewport)
    page = lesson.page
    for button in page.get_by_role("button", name="Show without a guess").all():
        button.click()
    draw = random.Random(name)
    for id, panel in data_of(folder, name)["systems"]["metric"]["panel"].items():
        place = page.locator(f'[data-part="panel"][data-name="{id}"]')
        for _ in range(3):
            number = 0
            for i, control in enumerate(panel["controls"]):
                value = draw.randrange(len(control["texts"]))
                number = number * len(control["texts"]) + value
                box = place.locator(".controls").last.locator("input, select").nth(i)
                if control["slides"]:
                    box.fill(str(value))
                else:
                    box.select_option(str(value))
            sentence = place.locator(".sentence").inner_text().replace(NO_BREAK, " ")
            assert sentence == panel["sentences"][number]
            layers = panel["pictures"][number * max(1, len(panel["moments"]))]
            shown = place.locator(".layers img").evaluate_all("all => all.map(one => one.src)")
            assert [source.partition(",")[2] for source in shown] == [
                panel["images"][image]["source"] for image in layers
            ]
    assert lesson.faults == []


# --- a lesson ---------------------------------------------------------------------------


def test_the_panel_waits_for_the_guess_and_shows_it(learner):
    lesson = learner("03-peak-force.html")
    page = lesson.page
    expect(page.get_by_role("heading", name="Explain", exact=True)).to_be_hidden()
    boxes = page.locator('[data-part="guess"]').get_by_role("textbox")
    lesson.button("Keep my guess").click()
    expect(page.get_by_text("Write a number, such as")).to_be_visible()
    for number, box in enumerate(boxes.all(), 1):
        box.fill(str(10 * number))
    for unit in page.get_by_role("combobox", name="Unit").all()[:2]:
        unit.select_option("kN")
    lesson.button("Keep my guess").click()
    expect(boxes.first).to_be_disabled()
    lesson.button("Change my guess").click()
    boxes.first.fill("12")
    lesson.button("Keep my guess").click()
    lesson.button("Show the answer").click()
    expect(page.get_by_text("Your guess: Peak at 4\N{NO-BREAK SPACE}km/h: 12")).to_be_visible()
    expect(page.get_by_role("heading", name="Explain", exact=True)).to_be_visible()
    again = learner("03-peak-force.html").page
    expect(again.get_by_text("Your guess: Peak at 4\N{NO-BREAK SPACE}km/h: 12")).to_be_visible()
    assert lesson.faults == []


@each_lesson
def test_right_wrong_and_rubbish_answers(learner, folder, name):
    lesson = learner(name)
    page = lesson.page
    for button in page.get_by_role("button", name="Show without a guess").all():
        button.click()
    for id in data_of(folder, name)["systems"]["metric"]["question"]:
        instance = QuestionInstance(find_question(id))
        if not isinstance(instance.question, NumericQuestion):
            for option, text in instance.question.options.items():
                asked = lesson.question(id)
                asked.locator(f'input[value="{option}"]').check()
                lesson.button("Check", asked).click()
                said = asked.get_by_role("status").first.inner_text().replace(NO_BREAK, " ")
                assert said == instance.check(option).sentence, text
            continue
        kind, numbers = instance.question.kind, instance.numbers
        unit = METRIC.symbol(kind)
        values = [instance.question.right(numbers)]
        values += [value for _, value, _ in instance.question.mistakes_of(numbers)]
        for value in values:
            number = f"{value.m_as(METRIC.unit(kind)):.5f}"
            assert lesson.answer(id, number, unit) == instance.check(f"{number} {unit}").sentence
        other = "kJ" if kind != "energy" else "kN"
        assert lesson.answer(id, "5", other) == instance.check(f"5 {other}").sentence
        assert lesson.answer(id, "rubbish", unit).startswith("Write a number")
        assert lesson.answer(id, "5", "").startswith("Choose the unit")
    assert lesson.faults == []


def test_new_numbers_and_other_units(learner):
    lesson = learner("03-peak-force.html")
    lesson.button("Show without a guess").click()
    asked = lesson.question("03.peak")
    first = asked.locator(".prompt").inner_text()
    lesson.button("New numbers", asked).click()
    assert asked.locator(".prompt").inner_text() != first
    instance = QuestionInstance(find_question("03.peak"), seed=1)
    right = instance.question.right(instance.numbers).m_as("kN")
    assert lesson.answer("03.peak", f"{right:.3f}", "kN").startswith("Right")
    lesson.page.get_by_label("mph, lbf, lb").check()
    assert " lb rolls" in asked.locator(".prompt").inner_text().replace(NO_BREAK, " ")
    assert asked.get_by_role("textbox").input_value() == ""  # other numbers, not yet answered
    display.use("US")
    expected = QuestionInstance(find_question("03.peak"), seed=1).check("9000 lbf")
    display.use("metric")
    assert size_told(lesson.answer("03.peak", "9000", "lbf")) == size_told(expected.sentence)
    lesson.page.get_by_label("km/h, kN, kg").check()
    expect(asked.get_by_role("status").first).to_contain_text("Right")
    lesson.button("Hint", asked).click()
    expect(asked.get_by_text("Hint:")).to_be_visible()
    assert lesson.faults == []


def size_told(sentence):
    """What is said of a number, without the number, which a page repeats as it was typed."""
    return sentence.partition(" is ")[2]


def test_commas_are_read_as_the_course_reads_them(learner):
    lesson = learner("03-peak-force.html")
    lesson.button("Show without a guess").click()
    instance = QuestionInstance(find_question("03.peak"))
    written = [
        (number, "lbf") for number in ("3,970", "3.970", "3.97", "3,97", "12,345.6", "8 500")
    ]
    for number, unit in [*written, ("3,970", "kN"), ("3.970", "kN")]:
        feedback = instance.check(f"{number} {unit}")
        expected = feedback.sentence + in_brackets(feedback.note)
        assert size_told(lesson.answer("03.peak", number, unit)) == size_told(expected)
    for number in ("1,23,4", "-5", "1e3", "five"):
        assert lesson.answer("03.peak", number, "lbf").startswith("Write a number"), number


# --- progress ---------------------------------------------------------------------------


def test_a_saved_file_is_read_by_the_class_review(learner, tmp_path):
    lesson = learner("03-peak-force.html")
    lesson.page.get_by_label("Your name").fill("Ann")
    lesson.button("Show without a guess").click()
    lesson.answer("03.peak", "20", "kN")
    lesson.save(tmp_path / "class" / "phone.json")
    entries = parse((tmp_path / "class" / "phone.json").read_bytes())
    assert [(entry.id, entry.typed, entry.units) for entry in entries] == [
        ("03.guess", {}, "metric"),
        ("03.peak", {"answer": "20 kN"}, "metric"),
    ]
    in_the_course = Progress("Bob", tmp_path / "class")
    in_the_course.record("03.peak", {"answer": "20 kN"}, "right", seed=2)
    (tmp_path / "class" / "tampered.json").write_text(
        (tmp_path / "class" / "phone.json").read_text().replace('"seed": 0', '"seed": "0"')
    )
    found = read_class(tmp_path / "class")
    assert sorted(found.learners) == ["bob.json", "phone.json"]
    assert "does not write" in found.left_out["tampered.json"]


def test_a_saved_file_is_taken_up_and_a_damaged_one_is_not(learner, tmp_path):
    progress = Progress("Ann", tmp_path)
    progress.record("03.guess", {"middle_peak": "11 kN", "fast_peak": "22 kN"}, "committed")
    progress.record("03.peak", {"answer": "20 kN"}, "too high", seed=2)
    lesson = learner("03-peak-force.html")
    (tmp_path / "damaged.json").write_text("{")
    lesson.page.get_by_label("A progress file").set_input_files(tmp_path / "damaged.json")
    expect(
        lesson.page.get_by_text("damaged.json could not be read: it is cut short")
    ).to_be_visible()
    (tmp_path / "tampered.json").write_text(progress.path.read_text().replace(": 2", ': "2"'))
    lesson.page.get_by_label("A progress file").set_input_files(tmp_path / "tampered.json")
    expect(lesson.page.get_by_text("tampered.json could not be read: its entry 2")).to_be_visible()
    lesson.page.get_by_label("A progress file").set_input_files(progress.path)
    expect(lesson.page.get_by_text("11 kN; Peak at")).to_be_visible()
    expect(lesson.page.get_by_label("Your name")).to_have_value("Ann")
    assert lesson.question("03.peak").get_by_role("textbox").input_value() == "20"


FULL = "Storage.prototype.setItem = () => { throw new DOMException('full') };"
FORBIDDEN = "Object.defineProperty(window, 'localStorage', {get() { throw new Error('no') }})"
DAMAGED = "localStorage.setItem('recoverykit progress', '{\"format\": 3}');"


@pytest.mark.parametrize(
    ("before", "told"),
    [(FULL, "can't keep"), (FORBIDDEN, "can't keep"), (DAMAGED, "were damaged")],
    ids=["full", "forbidden", "damaged"],
)
def test_a_browser_that_keeps_nothing_is_told_and_nothing_breaks(learner, before, told, tmp_path):
    lesson = learner("03-peak-force.html", before=before)
    lesson.button("Show without a guess").click()
    lesson.answer("03.peak", "20", "kN")
    entries = parse(lesson.save(tmp_path / "saved.json").read_bytes())
    assert [entry.id for entry in entries] == ["03.guess", "03.peak"]
    expect(lesson.page.get_by_role("alert").filter(has_text=told)).to_be_attached()
    assert lesson.faults == []


def test_damaged_answers_are_set_aside(learner):
    lesson = learner("03-peak-force.html", before=DAMAGED)
    lesson.button("Show without a guess").click()
    kept = lesson.page.evaluate("Object.entries(localStorage)")
    aside = {text for key, text in kept if key.startswith("recoverykit progress, damaged ")}
    assert aside == {'{"format": 3}'}
    (now,) = (text for key, text in kept if key == "recoverykit progress")
    assert [entry.id for entry in parse(now.encode())] == ["03.guess"]


def test_what_a_learner_writes_is_never_code(learner):
    lesson = learner("03-peak-force.html")
    evil = "<img src=x onerror=alert(1)>"
    lesson.page.get_by_label("Your name").fill(evil)
    lesson.button("Show without a guess").click()
    lesson.answer("03.peak", evil, "kN")
    again = learner("03-peak-force.html")
    assert again.page.get_by_label("Your name").input_value() == evil
    assert again.page.locator("img[src=x]").count() == 0
    run = "document.body.append(Object.assign(document.createElement('script'), {text: 'hit = 1'}))"
    again.page.evaluate(run)
    assert again.page.evaluate("typeof hit") == "undefined"


def test_the_start_page_tells_what_was_done(learner):
    lesson = learner("03-peak-force.html")
    lesson.button("Show without a guess").click()
    instance = QuestionInstance(find_question("03.peak"))
    right = instance.question.right(instance.numbers).m_as("kN")
    lesson.answer("03.peak", f"{right:.3f}", "kN")
    start = learner("index.html")
    expect(start.page.get_by_text("guess made, 1 of 5 questions right")).to_be_visible()
    assert start.faults == []


def test_the_survey_before_and_after_tells_what_has_changed(learner):
    before, after = learner("00-start-here.html"), learner("10-plan-a-pull.html")
    for number, lesson in enumerate((before, after)):
        page = lesson.page
        for button in page.get_by_role("button", name="Show without a guess").all():
            button.click()
        lesson.button("Keep my answers").click()
        expect(page.get_by_text("Not yet answered: 1, 2")).to_be_visible()
        for choices in page.locator('[data-part="survey"] fieldset').all():
            choices.get_by_role("radio").nth(number).check()
        lesson.button("Keep my answers").click()
        expect(page.get_by_text("Your answers are kept.")).to_be_visible()
        assert lesson.faults == []
    expect(after.page.get_by_text("ideas right. Before the course it was")).to_be_visible()
    assert after.page.get_by_text("What the course says:").count() == 10
