"""Lesson 08 in a real browser: a guess, rows left out, a file of one's own, and what is saved."""

import base64
import re

import pytest
from helpers.lesson_page import PanelOnPage
from playwright.sync_api import expect

from launcher import common, paths
from recoverykit.course.guesses import Guess
from recoverykit.lessons import ExtrapolationPanel, MeasuredPullsPanel, MeterPanel
from recoverykit.lessons.bank import find_guess
from recoverykit.measurements.session import CurrentSession

LESSON = "08-measured-pulls.ipynb"

SOMETHING = re.compile(r"\S")  # replies that are still empty have their place, too

GERMAN = (
    "\ufeffGeschwindigkeit [km/h];Spitze [kN];Wiederholung;Bemerkung\r\n"
    "2;7,1;1;naß\r\n3;10,6;1;\r\n4,5;16,2;1;\r\n6;2l,3;1;\r\n6;21,3;2;böig, kalt\r\n"
)
AMERICAN = 'Speed (mph),Peak (lbf),Repeat,Note\r\n1,900,1,\r\n2,"1,850",1,"gusty, cold"\r\n'


@pytest.fixture(scope="module")
def opened(open_lesson):
    """The lesson, opened and left to run by itself."""
    return open_lesson(LESSON)


@pytest.fixture(scope="module")
def lesson(opened):
    """The lesson after a guess."""
    hidden = MeasuredPullsPanel(guess=Guess(find_guess("08.guess")))
    expect(sentence_of(opened, 0)).to_have_text(hidden.summary)
    opened.page.get_by_label("Peak at 8 km/h").fill("31 kN")
    opened.page.get_by_label("Rows 4 and 12.").check()
    opened.page.get_by_label("It's what the load cell shows, or higher.").check()
    opened.keep_guess_and_see()
    return opened


@pytest.fixture(autouse=True)
def nothing_goes_wrong(opened):
    """In none of the tests."""
    yield
    opened.expect_no_faults()


def sentence_of(lesson, panel):
    """The sentence of one of the panels, counted from the top of the lesson."""
    output = lesson.output(has=lesson.page.locator(".widget-image")).nth(panel)
    return PanelOnPage(output).sentence


@pytest.fixture
def own_log(lesson):
    """Where a log is opened."""
    return lesson.output(has_text="Marram Point again")


def choose(lesson, path):
    """Choose a file, as in the window that the browser opens for it."""
    with lesson.page.expect_file_chooser() as chooser:
        lesson.page.get_by_role("button", name="Choose a file").click()
    chooser.value.set_files(path)


def status(own_log):
    """The last reply to a file."""
    return own_log.locator("[role=status]").filter(has_text=SOMETHING).last


def test_rows_that_are_left_out_change_all_three_panels(lesson):
    book = CurrentSession()
    for number, panel in enumerate((MeasuredPullsPanel, ExtrapolationPanel, MeterPanel)):
        expect(sentence_of(lesson, number)).to_have_text(panel(book).summary)
    for row in (4, 12):
        lesson.page.get_by_label(f"Leave out row {row}").first.check()
    book.leave_out(4, 12)
    for number, panel in enumerate((MeasuredPullsPanel, ExtrapolationPanel, MeterPanel)):
        expect(sentence_of(lesson, number)).to_have_text(panel(book).summary)


@pytest.mark.parametrize(
    ("name", "text", "pulls", "unread"),
    [("deutsch.csv", GERMAN, 4, ["2l,3"]), ("american.csv", AMERICAN, 2, [])],
)
def test_a_file_of_a_spreadsheet_is_uploaded(lesson, own_log, tmp_path, name, text, pulls, unread):
    path = tmp_path / name
    path.write_bytes(text.encode())
    choose(lesson, path)
    expect(status(own_log)).to_contain_text(f"{name}: {pulls} pulls at")
    listed = own_log.locator("li")
    expect(listed).to_have_count(len(unread))
    for number, found in enumerate(unread):
        expect(listed.nth(number)).to_contain_text(found)
    expect(sentence_of(lesson, 3)).to_contain_text(f"{pulls} pulls")
    assert path.read_bytes() == text.encode()


def test_a_mended_file_can_be_chosen_again(lesson, own_log, tmp_path):
    path = tmp_path / "today.csv"
    for text, unread in ((GERMAN, 1), (GERMAN.replace("2l,3", "21,1"), 0)):
        path.write_text(text, encoding="utf-8")
        choose(lesson, path)
        expect(status(own_log)).to_contain_text("today.csv: ")
        expect(own_log.locator("li")).to_have_count(unread)


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("pulls.xlsx", b"PK\x03\x04\x14\0", "save it as CSV"),
        ("pulls.pdf", b"%PDF-1.7\n", "a picture or a PDF"),
        ("pulls.jpg", b"\xff\xd8\xff\xe0\0", "a picture or a PDF"),
        ("large.csv", b"speed [km/h],peak [kN]\n" + b"5,20\n" * 10_000_000, "more than 20 MB"),
    ],
)
def test_what_is_no_log_gets_a_sentence(lesson, own_log, tmp_path, name, content, words):
    path = tmp_path / name
    path.write_bytes(content)
    choose(lesson, path)
    expect(status(own_log)).to_contain_text(name)
    expect(status(own_log)).to_contain_text(words)
    lesson.button("Marram Point again").click()
    expect(status(own_log)).to_contain_text("Marram Point (invented): 12 pulls")


def test_a_file_that_no_message_holds_gets_a_sentence_on_the_page(lesson, own_log, tmp_path):
    settings = common.read_json(paths.JUPYTER / "jupyter_server_config.json")["ServerApp"]
    path, small = tmp_path / "whole year.csv", tmp_path / "today.csv"
    with path.open("wb") as file:
        file.truncate(settings["tornado_settings"]["websocket_max_message_size"] - 1_000)
    small.write_text(GERMAN, encoding="utf-8")
    before = status(own_log).inner_text()
    choose(lesson, path)
    told = own_log.get_by_role("alert")
    expect(told).to_contain_text("whole year.csv is far too large")
    expect(told).to_contain_text("Save the pulls alone as CSV")
    assert status(own_log).inner_text() == before
    assert lesson.spills() == []
    choose(lesson, small)
    expect(status(own_log)).to_contain_text("today.csv: ")
    expect(told).to_be_empty()


def test_a_path_can_be_written(own_log, tmp_path):
    path = tmp_path / "by path.csv"
    path.write_bytes(AMERICAN.encode())
    own_log.get_by_label("or its path").fill(f'"{path}"')
    own_log.get_by_label("or its path").press("Enter")
    expect(status(own_log)).to_contain_text("by path.csv: 2 pulls")


def downloaded(lesson, name, within):
    """The bytes behind a link, and that a click on it downloads them."""
    link = within.get_by_role("link", name=name)
    with lesson.page.expect_download() as download:
        link.click()
    content = download.value.path().read_bytes()
    assert base64.b64encode(content).decode() == link.get_attribute("href").partition(",")[2]
    return content


def test_template_record_and_picture_are_written_and_linked(lesson, own_log, started_course):
    own_log.get_by_role("button", name="Template, decimal comma").click()
    template = downloaded(lesson, "my-pulls.csv", own_log)
    assert template.startswith(b"speed [km/h];peak [kN];repeat;note")
    assert (started_course.folder / "my-pulls.csv").read_bytes() == template
    lesson.button("Marram Point again").click()
    saver = lesson.output(has_text="Save the record (PDF)")
    for name, button, first in (
        ("pulls-record.pdf", "Save the record (PDF)", b"%PDF"),
        ("pulls.png", "Save the picture (PNG)", b"\x89PNG"),
    ):
        lesson.button(button).click()
        content = downloaded(lesson, name, saver)
        assert content.startswith(first)
        assert (started_course.folder / name).read_bytes() == content


@pytest.mark.parametrize("width", [1366, 820, 390])
def test_nothing_is_cut_off(lesson, width):
    lesson.resize({"width": width, "height": 900})
    assert lesson.spills() == []
