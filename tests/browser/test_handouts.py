"""The handouts on paper: one sheet a lesson, on A4 and on Letter, in both systems of units."""

import pytest
from helpers.printed import printed

from launcher import export, lesson_cells, lesson_copies
from launcher.pages import handouts
from recoverykit.units.quantities import display

# Of each sheet, how far its content sticks out, and how high its room for notes is: CSS pixels.
ROOM = """() => [...document.querySelectorAll('section')].map(sheet => [
    sheet.scrollHeight - sheet.clientHeight, sheet.querySelector('.notes').clientHeight])"""
MM = 96 / 25.4  # CSS pixels


@pytest.fixture(scope="module", params=["metric", "US"])
def page(browser, request, tmp_path_factory):
    """The handouts in one system of units."""
    render = export.MarkdownWithMath(renderer=export.PageRenderer("")).render
    path = tmp_path_factory.mktemp("pages") / handouts.PAGE
    path.write_text(handouts.page(request.param, render), encoding="utf-8")
    display.use("metric")
    page = browser.new_page(viewport={"width": round(186 * MM), "height": 900})
    page.goto(path.as_uri())
    yield page
    page.close()


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_each_lesson_is_one_sheet_of_paper(page, paper, tmp_path):
    text = printed(page.pdf(format=paper), tmp_path)
    sheets = text.removesuffix("\f").split("\f")
    tops = [lesson_cells.top(lesson_cells.read(lesson)) for lesson in lesson_copies.lessons()]
    assert len(sheets) == len(tops)
    for sheet, top in zip(sheets, tops, strict=True):
        assert sheet.startswith(top.title)
        for heading in ("Caution.", "Remember", "Notes"):
            assert heading in sheet


def test_nothing_sticks_out_of_a_sheet_and_there_is_room_for_notes(page):
    page.emulate_media(media="print")
    for out, notes in page.evaluate(ROOM):
        assert out <= 1
        assert notes >= 20 * MM
