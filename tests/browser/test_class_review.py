"""The class review in a real browser: files of a class put beside it, read, shown and saved."""

import pytest
from playwright.sync_api import expect

from recoverykit.classroom.sample_class import invented_class
from recoverykit.course.progress import Progress

PAGE = "instructor/class-review.ipynb"


@pytest.fixture(scope="module")
def opened(open_lesson):
    """The page, opened and left to run by itself, before there are any files."""
    return open_lesson(PAGE)


@pytest.fixture(autouse=True)
def nothing_goes_wrong(opened):
    """In none of the tests."""
    yield
    opened.expect_no_faults()


@pytest.fixture(scope="module")
def folder(started_course):
    """Where the page says that the files go."""
    return started_course.folder / "instructor" / "class"


def test_it_says_where_the_files_go(opened, folder):
    expect(opened.output(has_text="There is no folder class.")).to_contain_text(str(folder))
    pictures = opened.page.locator(".jp-Notebook .widget-image")
    expect(pictures.filter(visible=True)).to_have_count(0)
    assert opened.spills() == []


def test_files_are_read_and_a_bad_one_is_named(opened, folder):
    for number, entries in enumerate(invented_class(size=4)):
        book = Progress("learner", folder / f"laptop-{number}" / "progress")
        for entry in (entries[0], entries[-1]):
            book.record(entry.id, entry.typed, entry.verdict)
    (folder / "<i>notes.json").write_text("{")
    opened.button("Read the folder").click()
    shown = opened.output(has_text="4 learners. 3 answered the survey both times")
    expect(shown).to_contain_text("<i>notes.json: it is cut short, or is no progress file.")
    expect(shown.locator(".widget-image").filter(visible=True)).to_have_count(2)
    expect(shown.get_by_role("row").filter(has_text="Speed and energy")).to_be_visible()
    assert opened.spills() == []


def test_picture_and_tables_are_saved_and_can_be_downloaded(opened, folder):
    opened.button("Save pictures and tables").click()
    for name in ("class-review.png", "class-ideas.csv", "class-questions.csv"):
        with opened.page.expect_download() as download:
            opened.page.get_by_role("link", name=name).click()
        assert download.value.suggested_filename == name
        assert download.value.path().read_bytes() == (folder.parent / name).read_bytes()


def test_words_are_a_click_away_and_so_is_the_way_back(opened):
    page = opened.page
    page.get_by_role("link", name="glossary").first.click()
    expect(page.get_by_role("heading", name="Design factor")).to_be_visible()
    page.get_by_role("link", name="class review", exact=True).click()
    expect(page.get_by_role("heading", name="Gather the files")).to_be_visible()
    expect(opened.output(has_text="4 learners.")).to_be_attached()
