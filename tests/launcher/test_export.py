"""export: what stands on the pages, and what becomes of the former ones."""

import base64
import functools
import os
import re

import pytest
from helpers.in_the_way import put_in_the_way

from launcher import common, export, lesson_cells, lesson_copies, print_cells
from recoverykit.course.questions import QuestionInstance
from recoverykit.course.templates import ChoiceField
from recoverykit.lessons import EnergyPanel, HoldingPanel, StampsPanel
from recoverykit.lessons.bank import LESSONS as BANK

each_lesson = pytest.mark.parametrize("lesson", lesson_copies.lessons(), ids=lambda path: path.stem)


@functools.cache
def on_paper(lesson):
    """The cells of a lesson on paper."""
    return export.for_paper(lesson_cells.read(lesson), "metric").cells


def html(markdown, folder=""):
    return export.MarkdownWithMath(renderer=export.PageRenderer(folder)).render(markdown)


# --- text -------------------------------------------------------------------------------


@each_lesson
def test_every_formula_can_be_written(lesson):
    text = "\n\n".join(
        c.source for c in lesson_cells.read(lesson).cells if c.cell_type == "markdown"
    )
    page = html(text)
    assert page.count("<math") == len(re.findall(r"\$\$.+?\$\$|\$[^$]+\$", text, re.DOTALL))
    assert not re.search(r"\\[a-z]+", re.sub(r'src="[^"]+"', "", page)), "a sign was not known"


def test_a_formula_with_a_root_is_a_picture_for_the_eye_and_mathml_for_the_ear():
    page = html(r"Out of gear $F = v\sqrt{k\,m}$.")
    picture = base64.b64decode(re.search(r"svg\+xml;base64,([^\"]+)", page)[1])
    assert b"<svg" in picture
    assert "<msqrt>" in page
    assert 'alt=""' in page
    assert b"fill: #ffffff" not in picture  # on a dark page, too
    assert 'alt=""' in html("$F_s$")
    assert 'alt=""' in html("$v^2$")
    assert "<img" not in html("$F = D$")


def test_a_fraction_on_a_line_of_its_own_is_as_large_as_the_text():
    inline, block = (
        float(re.search(r"width: ([\d.]+)em", export.as_formula(r"\frac{m v^2}{F}", display))[1])
        for display in ("inline", "block")
    )
    assert block > 1.3 * inline


@pytest.mark.parametrize(
    ("folder", "link", "leads_to"),
    [
        ("", "03-peak-force.ipynb", "03-peak-force.html"),
        ("", "glossary.md", "glossary.html"),
        ("instructor", "../glossary.md", "../glossary.html"),
        ("", "instructor/guide.md", "instructor/guide.html"),
        ("", "https://example.org/a.md", "https://example.org/a.md"),
    ],
)
def test_links_lead_to_pages(folder, link, leads_to):
    assert f'href="{leads_to}"' in html(f"[there]({link})", folder)


@pytest.mark.parametrize("link", ["class-review.ipynb", "../03-peak-force.ipynb", "x.csv"])
def test_what_has_no_page_is_named_only(link):
    assert html(f"the [review]({link})") == "<p>the review</p>\n"


@each_lesson
def test_what_can_be_pressed_only_in_the_course_is_marked_as_such(lesson):
    texts = [cell.source for cell in on_paper(lesson) if cell.cell_type == "markdown"]
    marked = [text for text in texts if print_cells.IN_THE_COURSE in text]
    assert marked
    assert all(
        re.match(r"##+ (Try|Warm up|How a lesson works|The pull card)\n\n<p", text)
        for text in marked
    )
    told = " ".join(texts)
    assert not re.search(r"Gray boxes|runs by itself|my-course|Enter or|\" or \*Check", told)
    unmarked = "\n".join(text for text in texts if text not in marked)
    assert not re.search(r"[Pp]ress \*|Shift\+|Starting values|slider below", unmarked)


@each_lesson
def test_nothing_is_folded_away_on_paper(lesson):
    page = "".join(html(cell.source) for cell in on_paper(lesson) if cell.cell_type == "markdown")
    assert page.count("<details open>") == page.count("<details") > 0
    assert "<li>" in page.rpartition("<summary>")[2], "a list in a fold is still a list"


# --- questions --------------------------------------------------------------------------


QUESTIONS = [question for lesson in BANK.values() for question in lesson.QUESTIONS]


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda question: question.id)
def test_a_question_leaves_room_for_an_answer_and_does_not_give_it(question):
    page, instance = print_cells.question(question.id), QuestionInstance(question)
    if isinstance(question.field, ChoiceField):
        assert page.count("<li>") == len(question.field.options)
        assert "blank" not in page
    else:
        assert page.count('class="blank"') == 1
        assert instance.right_answer.replace(" ", "\N{NO-BREAK SPACE}") not in page


def test_a_guess_has_room_for_each_of_its_numbers():
    assert print_cells.guess("03.guess").count('class="blank"') == 2


def test_the_survey_has_all_ideas():
    assert print_cells.survey().count('class="asked paper"') == 10


def test_what_is_written_is_no_html(monkeypatch):
    monkeypatch.setattr(print_cells.QuestionInstance, "text", "<b>5 kN</b>")
    assert "&lt;b&gt;5" in print_cells.question("03.peak")


@pytest.mark.parametrize(
    ("panel", "told"),
    [
        (HoldingPanel, "Slope: 3°; "),
        (HoldingPanel, "unload a fifth (80 % left): no"),
        (StampsPanel, "30,000 lbf"),
    ],
)
def test_settings_of_every_kind_are_told(panel, told):
    assert told in print_cells.settings(panel())


# --- a lesson ---------------------------------------------------------------------------


@each_lesson
def test_a_lesson_on_paper_runs_nothing_but_panels_and_examples(lesson):
    notebook = lesson_cells.read(lesson)
    panels = sum(map(lesson_cells.is_panel, notebook.cells))
    examples = [cell.source for cell in notebook.cells if lesson_cells.is_example(cell)]
    questions = sum(cell.id.startswith("ask-") for cell in notebook.cells)
    code = [cell for cell in on_paper(lesson) if cell.cell_type == "code"]
    assert [cell.source for cell in code if not cell.metadata.get("transient")] == examples
    assert sum("settings(" in cell.source for cell in code) == panels
    assert not [
        cell
        for cell in code
        if re.search(r"assert|ask|make_card|OwnLog\(", cell.source) and "import" not in cell.source
    ]
    text = "".join(cell.source for cell in on_paper(lesson) if cell.cell_type == "markdown")
    assert text.count('class="asked paper"') >= questions


@pytest.fixture(scope="module")
def page():
    source = "01-walking-pace.ipynb"
    return export.as_page(export.executed(source, "metric"), source, "metric", "")


def test_a_panel_is_its_picture_with_words_at_its_starting_values(page):
    panel = EnergyPanel()
    assert f"<figcaption>{panel.summary}</figcaption>" in page
    assert print_cells.settings(panel) in page
    ((alt, png),) = re.findall(r'<img alt="(.+?)" src="data:image/png;base64,(.+?)"', page)
    assert alt.startswith("Picture.")
    assert base64.b64decode(png).startswith(b"\x89PNG")


def test_code_is_shown_of_worked_examples_only_with_what_they_print(page):
    shown = re.findall(r'<pre class="code">(.+?)</pre>', page, re.DOTALL)
    assert len(shown) == 4
    assert "kinetic_energy(mass, speed)" in shown[0]
    results = re.findall(
        r'<div class="(US|metric)">.+?<pre class="result">(.+?)\n?</pre>', page, re.S
    )
    assert [said for system, said in results if system == "metric"] == ["1.91 kJ", "0.252 m"]
    assert [said for system, said in results if system == "US"] == ["1,420 ft·lbf", "10.0 in"]
    assert "import" not in page


def test_the_text_is_there_in_both_unit_systems_each_marked_as_such(page):
    assert '<span class="US">' in page
    assert page.count('<span class="US">') == page.count('<span class="metric">')
    assert re.search(r'<div class="US" id="us-energy">', page)
    assert re.search(r'<div class="metric" id="metric-energy">', page)
    assert 'data-paper="metric"' in page


def test_a_page_needs_nothing_else(page):
    assert "<script" not in page
    assert not re.search(r'(?:src|href)="(?:https?:)?//', page)
    assert page.count("<h1") == 1
    assert 'lang="en"' in page


def test_a_lesson_is_run_in_the_units_that_were_asked_for():
    lesson = lesson_cells.read(lesson_copies.find_lesson("01"))
    assert 'display.use("US")' in export.for_paper(lesson, "US").cells[0].source


# --- the folder -------------------------------------------------------------------------


PAGES = {"index.html": f"<meta {export.MADE_HERE}>new", "instructor/guide.html": "new"}


@pytest.fixture
def former(tmp_path):
    folder = tmp_path / "pages"
    (folder / "instructor").mkdir(parents=True)
    (folder / "index.html").write_text(f"<meta {export.MADE_HERE}>old")
    (folder / "gone.html").write_text(f"<meta {export.MADE_HERE}>old")
    return folder


def names(folder):
    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*.*"))


def test_new_pages_take_the_place_of_the_former_ones(former):
    export.check_replaceable(former)
    export.replace_folder(former, PAGES)
    assert names(former) == ["index.html", "instructor/guide.html"]
    assert names(former.parent) == ["pages/index.html", "pages/instructor/guide.html"]


def test_the_first_pages_make_their_folder(tmp_path):
    export.check_replaceable(tmp_path / "a" / "b")
    export.replace_folder(tmp_path / "a" / "b", PAGES)
    assert names(tmp_path / "a" / "b") == sorted(PAGES)


def test_a_lesson_that_fails_leaves_the_former_pages(former, monkeypatch):
    def fail(units):
        raise RuntimeError("a lesson broke off")

    monkeypatch.setattr(export, "all_pages", fail)
    with pytest.raises(RuntimeError):
        export.main(former, "metric")
    assert names(former.parent) == ["pages/gone.html", "pages/index.html"]


@pytest.mark.parametrize("fails_at", ["write_text", "rename"])
def test_a_disk_that_refuses_leaves_the_former_pages(former, monkeypatch, fails_at):
    real = getattr(export.Path, fails_at)

    def refuse(path, *arguments, **options):
        if path.name in ("guide.html", "made"):
            raise OSError(28, "No space left on device")
        return real(path, *arguments, **options)

    monkeypatch.setattr(export.Path, fails_at, refuse)
    with pytest.raises(OSError, match="No space"):
        export.replace_folder(former, PAGES)
    assert names(former.parent) == ["pages/gone.html", "pages/index.html"]


@pytest.mark.parametrize("name", ["notes.txt", "mine.html", "instructor/mine.csv"])
def test_a_folder_with_anything_else_in_it_is_not_replaced(former, name):
    (former / name).write_text("mine")
    with pytest.raises(common.CourseError, match="was not made by this command"):
        export.main(former, "metric")
    assert (former / name).read_text() == "mine"


@pytest.mark.parametrize("what", ["a pipe", "a link", "a link to nothing", "a link to a device"])
def test_a_folder_with_what_is_no_file_is_not_replaced(former, what):
    put_in_the_way(what, former / "new" / "mine.html")
    with pytest.raises(common.CourseError, match=r"mine\.html was not made by this command"):
        export.main(former, "metric")
    assert os.path.lexists(former / "new" / "mine.html")


def test_a_file_is_not_replaced(tmp_path):
    (tmp_path / "pages").write_text("mine")
    with pytest.raises(common.CourseError, match="was not made by this command"):
        export.check_replaceable(tmp_path / "pages")
