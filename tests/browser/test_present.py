"""The presenter's pages in a real browser: what an audience sees, and what the trainer does."""

import contextlib

import pytest
from helpers.lesson_page import LessonPage, PanelOnPage
from helpers.needs import need_packages
from PIL import ImageColor
from playwright.sync_api import expect

from browser.conftest import LAPTOP, faults_in, log_of, running
from browser.test_accessibility import AXE, ENLARGED_TWICE, NOT_OURS, missed_by_tab, serious
from launcher import lesson_cells, lesson_copies, paths
from launcher.lesson_cells import is_guess, is_panel
from recoverykit import Q
from recoverykit.course.panel import WAITING
from recoverykit.course.picture import PURPLE
from recoverykit.lessons import PeakForcePanel
from recoverykit.lessons.demonstrations import demonstration
from recoverykit.units.quantities import display

PROJECTORS = [(1280, 800), (1366, 768), (1920, 1080)]
TABLET, PHONE = {"width": 820, "height": 1180}, {"width": 390, "height": 844}
LESSONS = [lesson.name for lesson in lesson_copies.lessons()]
LESSON = "03-peak-force.ipynb"
PLAYED = ["07-two-vehicles.ipynb"]


# Answers to choose from whose circle is not on the first line of their words.
CIRCLES_BELOW = """() => [...document.querySelectorAll('.widget-radio-box label')]
    .filter(label => label.querySelector('input').getBoundingClientRect().top >=
        label.getBoundingClientRect().top + parseFloat(getComputedStyle(label).lineHeight))
    .map(label => label.textContent)"""


@pytest.fixture(scope="module")
def presenter(chromium, tmp_path_factory):
    """The presenter's server, started by its command: `address`, `token`, `folder`."""
    need_packages()
    folder = tmp_path_factory.mktemp("trainer") / "my course"
    with running("present", folder, "03") as presenter:
        yield presenter
    assert faults_in(log_of("present", folder)) == ""
    assert not (folder / "progress").exists()
    assert not (paths.LESSONS / "progress").exists()


@pytest.fixture(scope="module")
def new_page(browser, presenter):
    """A function that makes a page for a class, and shows on it the list of lessons or a lesson."""
    with contextlib.ExitStack() as contexts:

        def new(path=""):
            context = contexts.enter_context(browser.new_context(viewport=LAPTOP))
            page = LessonPage(context.new_page(), presenter.address)
            page.page.on("requestfailed", lambda request: note_failure(page, request.url))
            page.go(f"{path}?token={presenter.token}")
            return page

        yield new


def wait_for_panels(lesson, name):
    """Wait until all panels of a lesson are there, and wait for a guess if there is one."""
    cells = lesson_cells.read(paths.LESSONS / name).cells
    expect(lesson.page.locator(".widget-gridbox")).to_have_count(sum(map(is_panel, cells)))
    if any(map(is_guess, cells)):
        expect(panel_of(lesson).sentence).to_have_text(WAITING)


def note_failure(page, url):
    """Only a page that is left asks to end its kernel, and does not wait for the answer."""
    if "/voila/api/shutdown/" not in url:
        page.complaints.append(url)


def panel_of(lesson, number=0):
    outputs = lesson.page.locator(".jp-CodeCell").filter(has=lesson.page.locator(".widget-gridbox"))
    return PanelOnPage(outputs.nth(number))


def show_answer(lesson):
    """Press what is there for a class that does not guess, if the lesson asks for a guess."""
    button = lesson.button("Show without a guess")
    if button.count():
        button.click()
        expect(button).to_be_disabled()


class TestOneLesson:
    """Lesson 03 on one page, since each opening takes a kernel some seconds."""

    @pytest.fixture(scope="class")
    def opened(self, new_page):
        """The lesson, as an audience finds it."""
        lesson = new_page(f"voila/render/{LESSON}")
        wait_for_panels(lesson, LESSON)
        return lesson

    @pytest.fixture
    def lesson(self, opened):
        """The lesson; it is left on a laptop, in metric units."""
        yield opened
        opened.expect_no_faults()
        opened.resize(LAPTOP)
        opened.button("km/h, kN, kg").first.click()

    @pytest.fixture
    def answered(self, lesson):
        """The lesson with its starting values, and its answer on show."""
        show_answer(lesson)
        panel_of(lesson).output.get_by_role("button", name="Starting values").click()
        expect(panel_of(lesson).sentence).to_have_text(PeakForcePanel().summary)
        return lesson

    def test_it_shows_no_code_and_no_questions(self, lesson):
        expect(lesson.page.get_by_role("heading")).to_have_count(1)
        expect(lesson.page.get_by_role("heading")).to_contain_text("03 · Peak force against speed")
        expect(lesson.page.locator(".jp-InputArea-editor, .highlight")).to_have_count(0)
        expect(lesson.page.get_by_role("button", name="Check")).to_have_count(0)
        expect(lesson.page.get_by_text("Caution.")).to_be_visible()
        expect(lesson.page.get_by_text("How does more speed change the pull")).to_be_visible()

    def test_the_guess_of_a_class_is_drawn(self, lesson):
        """That it is not kept for the next class, each lesson's page shows below."""
        lesson.page.get_by_label("Peak at 4 km/h").fill("20 kN")
        lesson.page.get_by_label("Peak at 8 km/h").fill("70 kN")
        lesson.keep_guess_and_see()
        expect(panel_of(lesson).sentence).to_have_text(PeakForcePanel().summary)
        picture = panel_of(lesson).pixels()
        colors = {color for _, color in picture.getcolors(picture.width * picture.height)}
        assert ImageColor.getrgb(PURPLE) in colors

    def test_a_slider_and_the_units_change_picture_and_sentence(self, answered):
        expected = PeakForcePanel()
        before = panel_of(answered).pixels()
        panel_of(answered).handle("Speed").press("ArrowRight")
        expected.set(speed=Q(4.5, "km/h"))
        expect(panel_of(answered).sentence).to_have_text(expected.summary)
        assert panel_of(answered).pixels() != before
        answered.button("mph, lbf, lb").first.click()
        display.use("US")
        expect(panel_of(answered).sentence).to_have_text(expected.summary)
        expect(panel_of(answered).slider("Speed [mph]")).to_be_visible()

    def test_the_demonstration_fills_a_screen_at_every_step_in_both_units(self, lesson):
        number = lesson.page.locator(".recoverykit-number")
        shown = demonstration("03")
        for system, units in (("metric", "km/h, kN, kg"), ("US", "mph, lbf, lb")):
            display.use(system)
            lesson.button(units).first.click()
            for step, label in enumerate(shown.labels(display.system)):
                lesson.page.get_by_role("button", name=label, exact=True).click()
                expect(number).to_have_text(shown.screen(step).number)
                for width, height in PROJECTORS:
                    lesson.resize({"width": width, "height": height})
                    number.evaluate("it => it.closest('.jp-CodeCell').scrollIntoView()")
                    assert off_screen(lesson.page) == []

    def test_a_longer_sentence_moves_nothing_and_stays_on_the_screen(self, answered):
        assert parts_off_screen(panel_of(answered)) == []
        places = []
        for speed in (Q(4, "km/h"), Q(16, "km/h"), Q(4, "km/h")):
            expected = PeakForcePanel()
            expected.set(speed=speed)
            key = "ArrowRight" if speed > Q(4, "km/h") else "ArrowLeft"
            for _ in range(24 if places else 0):  # steps of half a km/h
                panel_of(answered).handle("Speed").press(key)
            expect(panel_of(answered).sentence).to_have_text(expected.summary)
            places.append([part.bounding_box()["y"] for part in still_parts(answered)])
            assert sentence_below_screen(answered) == 0
        assert places[0] == places[1] == places[2]

    def test_it_leads_to_the_list_of_all_lessons(self, opened):
        opened.page.get_by_role("link", name="All lessons").click()
        links = opened.page.locator("main").get_by_role("link")
        expect(links).to_have_count(len(LESSONS))
        assert [
            url.rpartition("/")[2] for url in links.evaluate_all("all => all.map(a => a.href)")
        ] == LESSONS
        assert serious_findings(opened) == []
        # A page that is left asks Voilà to end its kernel and lacks the right words for it: Voilà
        # ends the kernel when nobody has asked for it for a while.
        assert all("403" in complaint for complaint in opened.complaints)


def off_screen(page):
    """What of the demonstration is not on the screen, or smaller than the back row can read."""
    height = page.viewport_size["height"]
    found = []
    for name in ("number", "sentence", "picture"):
        box = page.locator(f".recoverykit-{name}").bounding_box()
        if box["y"] < 0 or box["y"] + box["height"] > height:
            found.append(f"{name}: {box}")
    if page.locator(".recoverykit-number").bounding_box()["height"] < height / 8:
        found.append("the number is small")
    return found


def still_parts(lesson):
    panel = panel_of(lesson)
    again = panel.output.get_by_role("button", name="Starting values")
    return panel.image, panel.slider("Speed [km/h]"), again


def sentence_below_screen(lesson):
    box = panel_of(lesson).sentence.bounding_box()
    return max(box["y"] + box["height"] - lesson.page.viewport_size["height"], 0)


def serious_findings(lesson):
    lesson.page.evaluate(AXE)
    found = lesson.page.evaluate("rules => axe.run({rules})", NOT_OURS)
    return serious(found)


@pytest.mark.parametrize("name", LESSONS)
def test_every_lesson_can_be_read_and_worked_by_all(new_page, name):
    """One opening of a lesson for all of it, since each takes a kernel some seconds."""
    lesson = new_page()
    lesson.page.locator("main").get_by_role("link").nth(LESSONS.index(name)).click()
    expect(lesson.page.get_by_role("heading", level=1)).to_contain_text(f"{name[:2]} · ")
    wait_for_panels(lesson, name)
    show_answer(lesson)
    expect(panel_of(lesson).image).to_be_visible()
    assert serious_findings(lesson) == []
    for width, height in PROJECTORS:
        lesson.resize({"width": width, "height": height})
        assert parts_off_screen(panel_of(lesson)) == []
        assert lesson.spills() == []
    for size in (ENLARGED_TWICE, TABLET, PHONE):
        lesson.resize(size)
        assert lesson.spills() == []
        assert lesson.page.evaluate(CIRCLES_BELOW) == []
    lesson.resize(LAPTOP)
    assert missed_by_tab(lesson) == []
    play = lesson.page.get_by_role("button", name="Play")
    expect(play).to_have_count(PLAYED.count(name))
    lesson.page.emulate_media(reduced_motion="reduce")
    expect(play).to_have_count(0)
    lesson.expect_no_faults()
    lesson.page.context.close()


def parts_off_screen(panel):
    """What is not on the same screen: the first slider or list, the picture, the sentence."""
    panel.output.evaluate("panel => panel.scrollIntoView()")
    parts = {
        "control": panel.output.locator(".widget-slider, .widget-dropdown").filter(visible=True),
        "picture": panel.image,
        "sentence": panel.sentence,
    }
    height = panel.output.page.viewport_size["height"]
    boxes = {name: part.first.bounding_box() for name, part in parts.items()}
    return [
        f"{name}: {box}"
        for name, box in boxes.items()
        if box["y"] < 0 or box["y"] + box["height"] > height
    ]
