"""The exported pages: on a phone, on a desk, on paper, with a screen reader, and without a network.

All of them are opened from the disk.
"""

import base64
import io
import itertools
import json
import operator
import os
import re
import shutil
import subprocess
from urllib.parse import unquote, urlparse

import numpy as np
import pytest
from helpers.few_states import CELLS
from helpers.lesson_page import resize
from helpers.needs import skip_or_fail
from helpers.tiled import whole
from PIL import Image
from playwright.sync_api import expect

from browser.test_accessibility import AXE, serious
from launcher import export, lesson_copies, paths
from launcher.pages import handouts, live, states
from launcher.pages.live import TOP
from recoverykit.classroom.class_files import read_class
from recoverykit.classroom.review import review
from recoverykit.course.progress import Progress, parse
from recoverykit.course.questions import NumericQuestion, QuestionInstance
from recoverykit.lessons import PeakForcePanel
from recoverykit.lessons.bank import find_question
from recoverykit.units.quantities import SYSTEMS, display
from recoverykit.units.text import in_brackets

PAGES = [export.INDEX, handouts.PAGE, *map(export.page_of, export.sources())]
LESSON, ALL = 3_000_000, 25_000_000  # bytes: what can be mailed, and what a stick holds many times
LONGEST = 180  # seconds on two cores, when nobody else wants them
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
def made(tmp_path_factory):
    """The pages as a trainer makes them, and how long processors worked at them, in seconds."""
    folder = tmp_path_factory.mktemp("trainer") / "my pages"
    before = sum(os.times()[:4])
    export.main(folder, "metric")
    return folder, sum(os.times()[:4]) - before


@pytest.fixture(scope="module")
def folder(made):
    """Where the pages are."""
    return made[0]


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
def test_a_page_can_be_read_by_all_leads_to_others_and_asks_for_nothing(open_exported, name):
    page = open_exported(name)
    read_on(page)
    assert page.evaluate(WIDER) == []
    assert page.evaluate(SMALLEST) >= 7  # a drawing of 74 letters on a line
    resize(page, DESK)
    assert page.evaluate(WIDER) == []
    links = page.get_by_role("link").evaluate_all("all => all.map(link => link.href)")
    assert links
    paths = [unquote(urlparse(link).path) for link in links if link.startswith("file:")]
    assert {path for path in paths if not export.Path(path).is_file()} == set()
    assert [url for url in page.requests[1:] if not url.startswith("data:")] == []
    page.evaluate(AXE)
    found = page.evaluate("axe.run()")
    assert serious(found) == []
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


def test_pages_are_small_enough_to_send_and_soon_made(made):
    folder, took = made
    sizes = {path.name: path.stat().st_size for path in folder.rglob("*.html")}
    assert {name: size for name, size in sizes.items() if size > LESSON} == {}
    assert sum(sizes.values()) < ALL
    assert took < 2 * LONGEST


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


# Sets the controls of a panel to each list of numbers; gives what is shown then.
MOVE = """([id, moves]) => {
    const place = document.querySelector(`[data-part="panel"][data-name="${id}"]`);
    const boxes = [...place.querySelectorAll(".panel > div + div > .controls :is(input, select)")];
    return moves.map((numbers) => {
        boxes.forEach((box, i) => {
            box[box.type === "checkbox" ? "checked" : "value"] = numbers[i];
            box.dispatchEvent(new Event(box.type === "range" ? "input" : "change"));
        });
        const sentence = place.querySelector(".sentence").textContent.replaceAll("\\xa0", " ");
        return [sentence, place.querySelector("canvas").toDataURL()];
    });
}"""


def picture(panel):
    """The picture of a panel as it stands on the page, as the address of a PNG file."""
    return panel.locator("canvas:not([aria-busy])").evaluate("it => it.toDataURL()")


def pixels_of(address):
    """The red, green and blue of a picture by its address, by row and column."""
    with Image.open(io.BytesIO(base64.b64decode(address.partition(",")[2]))) as image:
        return np.array(image.convert("RGB"), int)


@each_lesson
def test_every_state_and_every_answer_is_that_of_the_library(learner, folder, name, monkeypatch):
    lesson = learner(name)
    read_on(lesson.page)
    data = data_of(folder, name)["systems"]
    cells = {cell.id: cell for key, cell in CELLS.items() if key[:2] == name[:2]}
    for system in ("US", "metric"):
        monkeypatch.setattr(display, "system", SYSTEMS[system])
        lesson.page.get_by_label(", ".join(map(SYSTEMS[system].symbol, TOP))).check()
        for id, panel in data[system]["panel"].items():
            check_states(lesson.page, id, panel)
            check_pixels(lesson.page, id, live.panel_of(cells[id]))
        for id in data[system]["question"]:
            check_replies(lesson, QuestionInstance(find_question(id)))
    assert lesson.faults == []


def check_states(page, id, panel):
    """Every state that the controls lead to shows its sentence and its picture."""
    moves = list(itertools.product(*(range(len(each["texts"])) for each in panel["controls"])))
    steps = [control["step"] for control in panel["controls"]]
    numbers = [sum(map(operator.mul, steps, move)) for move in moves]
    assert sorted(numbers) == list(range(len(moves)))
    picture(page.locator(f'[data-name="{id}"]'))  # waits until the page has read it
    for number, (sentence, shown) in zip(numbers, page.evaluate(MOVE, [id, moves]), strict=True):
        assert sentence == panel["sentences"][number]
        expected = whole(panel["pictures"]["narrow"], number * max(1, len(panel["moments"])))
        assert np.abs(pixels_of(shown) - expected).max() == 0


def check_pixels(page, id, panel):
    """Where all controls are at their ends, the page shows the picture that the panel draws."""
    states.start_again(panel)
    panel.set(**{each.input.name: each.values[-1] for each in states.controls(panel)})
    for size, narrow in ((DESK, False), (PHONE, True)):
        resize(page, size)
        pixels = pixels_of(picture(page.locator(f'[data-name="{id}"]')))
        expected = panel.picture(narrow).pixels()
        assert pixels.shape == expected.shape
        assert np.abs(pixels - expected).max() <= 12


# Answers a question with each of these; gives what is said to it.
ANSWER = """([id, answers]) => {
    const place = document.querySelector(`[data-part="question"][data-name="${id}"]`);
    return answers.map(([answer, unit]) => {
        const box = place.querySelector(`input[value="${answer}"]`);
        if (box) box.checked = true;
        else {
            place.querySelector("input").value = answer;
            place.querySelector("select").value = unit;
        }
        place.querySelector("[type=submit]").click();
        return place.querySelector(".reply").textContent.replaceAll("\\xa0", " ");
    });
}"""


def check_replies(lesson, instance):
    """A page says what the course says: to right and mistaken answers, and to rubbish."""
    question = instance.question
    if not isinstance(question, NumericQuestion):
        expected = {(option, ""): instance.check(option).sentence for option in question.options}
    else:
        kind, numbers = question.kind, instance.numbers
        symbol, unit = display.system.symbol(kind), display.system.unit(kind)
        values = [question.right(numbers)]
        values += [value for _, value, _ in question.mistakes_of(numbers)]
        typed = [(f"{value.m_as(unit):.5f}", symbol) for value in values]
        typed.append(("5", "kJ" if kind != "energy" else "kN"))
        expected = {each: instance.check(" ".join(each)).sentence for each in typed}
        expected[("rubbish", symbol)] = "Write a number, such as 8.5 or 3,970."
        expected[("5", "")] = "Choose the unit of your number, too."
    said = lesson.page.evaluate(ANSWER, [question.id, list(expected)])
    assert said == list(expected.values())


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


def test_tasks_tick_themselves(learner, folder):
    lesson = learner("03-peak-force.html")
    read_on(lesson.page)
    panel = data_of(folder, "03-peak-force.html")["systems"]["metric"]["panel"]["panel"]
    mass, speed = panel["controls"]
    masses, speeds = len(mass["texts"]), len(speed["texts"])
    assert (mass["step"], speed["step"]) == (speeds, 1)
    ticks = lesson.page.locator(".panel li [role=status]")
    assert ticks.all_inner_texts() == [""] * len(panel["tasks"])
    for number, task in enumerate(panel["tasks"]):
        for button in task["shown"]:
            lesson.page.get_by_role("button", name=button["text"]).click()
        moves = [[state // speeds % masses, state % speeds] for state, *_ in task["steps"]]
        lesson.page.evaluate(MOVE, ["panel", [] if task["shown"] else moves])
        expect(ticks.nth(number)).to_contain_text("✓")


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


PHONE_PICTURE = paths.LESSONS / "pictures" / "phone.png"


def test_the_readme_shows_a_page_on_a_phone(learner, tmp_path):
    page = learner("03-peak-force.html").page
    page.get_by_label("mph, lbf, lb").check()
    read_on(page)
    page.locator("canvas:not([aria-busy])").evaluate("it => it.scrollIntoView()")
    shown = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
    stored = Image.open(PHONE_PICTURE).convert("RGB")
    apart = np.abs(np.array(shown, int) - np.array(stored, int))
    shown.quantize(64).save(tmp_path / "phone.png", optimize=True)
    assert apart.mean() < 8, f"another page, or other letters: look at {tmp_path / 'phone.png'}"
    assert PHONE_PICTURE.stat().st_size < 60_000


# --- progress ---------------------------------------------------------------------------


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


# --- the whole course -------------------------------------------------------------------


def test_a_learner_goes_through_all_lessons_on_a_phone(learner, folder, tmp_path):
    for name in LESSONS:
        lesson = learner(name)
        for guess in lesson.page.locator('[data-part="guess"]').all():
            guess_made(lesson, guess)
        for survey in lesson.page.locator('[data-part="survey"]').all():
            survey_taken(lesson, survey, option=int(name == LESSONS[-1]))
        for panel in lesson.page.locator('[data-part="panel"]').all():
            panel_moved(panel)
        wrong_then_right(lesson, next(iter(data_of(folder, name)["systems"]["metric"]["question"])))
        assert lesson.faults == []
    expect(lesson.page.get_by_text("ideas right. Before the course it was")).to_be_visible()
    assert lesson.page.get_by_text("What the course says:").count() == 10
    start = learner("index.html")
    assert (
        start.page.get_by_text(re.compile("guess made, .*1 of [0-9]+ questions right")).count()
        == 10
    )
    start.page.get_by_label("Your name").fill("Ann")
    saved = start.save(tmp_path / "class" / "phone.json")
    assert start.faults == []
    (tmp_path / "class" / "tampered.json").write_text(
        saved.read_text().replace('"seed": 0', '"seed": "0"')
    )
    in_the_course = Progress("Bob", tmp_path / "class")
    in_the_course.record("03.peak", {"answer": "20 kN"}, "right", seed=2)
    found = read_class(tmp_path / "class")
    assert sorted(found.learners) == ["bob.json", "phone.json"]
    assert "does not write" in found.left_out["tampered.json"]
    reviewed = review(found.learners.values())
    assert (reviewed.learners, reviewed.both) == (2, 1)
    missed = [each for each in reviewed.questions if each.missed.part]
    assert sorted(each.lesson for each in missed) == [name[:2] for name in LESSONS]


def survey_taken(lesson, survey, option):
    """Take a survey, at first without an answer."""
    lesson.button("Keep my answers", survey).click()
    expect(survey.get_by_text("Not yet answered: 1, 2")).to_be_visible()
    for choices in survey.get_by_role("group").all():
        choices.get_by_role("radio").nth(option).check()
    lesson.button("Keep my answers", survey).click()
    expect(survey.get_by_text("Your answers are kept.")).to_be_visible()


def guess_made(lesson, guess):
    """Make a guess: a number with the first unit in each box, the first option of a choice."""
    for choices in guess.get_by_role("group").all():
        choices.get_by_role("radio").first.check()
    for box in guess.get_by_role("textbox").all():
        box.fill("10")
    for unit in guess.get_by_role("combobox").all():
        unit.select_option(index=1)
    lesson.button("Keep my guess", guess).click()
    lesson.button("Show the answer", guess).click()


def panel_moved(panel):
    """Move what moves first to its end, or to another option: the picture is another one."""
    before = picture(panel)
    handle = panel.locator(".panel > div + div > .controls :is(input, select)").first
    if handle.evaluate("one => one.tagName") == "SELECT":
        handle.select_option("1" if handle.input_value() == "0" else "0")
    else:
        handle.press("End")
    assert picture(panel) != before


def wrong_then_right(lesson, id):
    """Answer a question in a way that is not right, and then right."""
    instance = QuestionInstance(find_question(id))
    if isinstance(instance.question, NumericQuestion):
        number, unit = instance.right_answer.split(" ")
        assert not lesson.answer(id, "0.001", unit).startswith("Right")
        assert lesson.answer(id, number, unit).startswith("Right")
        return
    asked, right = lesson.question(id), instance.right_answer
    for option in sorted(instance.question.options, key=lambda name: name == right):
        asked.locator(f'input[value="{option}"]').check()
        lesson.button("Check", asked).click()
    expect(asked.get_by_role("status").first).to_contain_text("Right")
