"""The handouts: what stands on the sheet of each lesson."""

import re

import pytest

from launcher import export, lesson_cells, lesson_copies
from launcher.pages import handouts
from recoverykit.units.quantities import display

LESSONS = lesson_copies.lessons()
OTHER_UNITS = {"metric": r"\d (?:mph|lbf per mph|ft)\b", "US": r"\d (?:km/h|kN/m|kg|m)\b"}


def to_html(markdown):
    return export.MarkdownWithMath(renderer=export.PageRenderer("")).render(markdown)


@pytest.fixture(scope="module", params=["metric", "US"])
def sheets(request):
    """All sheets in one system of units, by the lesson's number, and the system."""
    page = handouts.page(request.param, to_html)
    sheets = re.findall(r'<section id="(\d\d)">(.+?)</section>', page, re.DOTALL)
    display.use("metric")
    return dict(sheets), request.param


def test_each_lesson_has_one_sheet(sheets):
    assert list(sheets[0]) == [lesson.name[:2] for lesson in LESSONS]


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda path: path.stem)
def test_a_sheet_holds_what_the_lesson_says(sheets, lesson):
    sheet, units = sheets[0][lesson.name[:2]], sheets[1]
    notebook = lesson_cells.in_one_system(lesson_cells.read(lesson), units)
    title, question, _ = lesson_cells.top(notebook)
    text = "\n\n".join(cell.source for cell in notebook.cells if cell.cell_type == "markdown")
    formulas = len(re.findall(r"\$\$.+?\$\$", text, re.DOTALL))
    assert f"{title}</h1>" in sheet
    assert question.replace("'", "&#39;") in sheet.replace("'", "&#39;")
    assert "no number in it is permission to pull" in sheet or "No number here" in sheet
    assert "An invented example." in sheet
    assert 'src="data:image/png;base64,' in sheet
    assert sheet.count('display="inline"') >= formulas
    assert bool(formulas) == ("Worked example" in sheet)
    assert 3 < len(re.findall("<li>", sheet.partition("Remember</h2>")[2])) < 6
    assert ("Where this breaks down" in text) == ("Where this breaks down" in sheet)
    plain = re.sub(r"<[^>]+>", "", sheet)
    assert not re.search(OTHER_UNITS[units], plain)
    assert not re.search(r"gray box|Shift\+Enter|\$|\*\*|safe\b", plain)


def test_of_a_list_the_first_things_stand_in_full_and_the_others_by_how_they_begin():
    items = "\n".join(f"- **Thing {n},** and why." for n in range(5))
    told = handouts.remembered({"ground": f"## In the field\n\n{items}\n\nMore."})
    assert "- **Thing 2,** and why.\n- Thing 3. Thing 4." in told
