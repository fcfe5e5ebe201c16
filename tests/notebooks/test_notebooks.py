"""What holds for every lesson: its shape, and that it is as the course hands it out."""

import ast
import itertools
import re
from pathlib import Path

import nbformat
import pytest

import recoverykit
from launcher.lesson_cells import SYSTEMS, system_of
from recoverykit.lessons.bank import LESSONS as BANK
from recoverykit.lessons.illustrations import ILLUSTRATIONS

FOLDER = Path(recoverykit.__file__).parent.parent / "lessons"
LESSONS = {
    path.name: nbformat.read(path, as_version=4) for path in sorted(FOLDER.glob("[0-9]*.ipynb"))
}

TEMPLATE = [
    "Guess",
    "Try",
    "Explain",
    "Check",
    "In the field",
    "Where this breaks down",
    "Sources",
]
TEMPLATE_OF_THE_START = [
    "Cautions",
    "How a lesson works",
    "Your name",
    "Warm up",
    "The lessons",
    "What I think now",
    "Sources",
]
TEMPLATE_OF_THE_END = [*TEMPLATE[:-1], "What I think now", "Sources"]
UNTIMED = {"Sources"}

REVIEW = "instructor/class-review.ipynb"
NOTEBOOKS = LESSONS | {REVIEW: nbformat.read(FOLDER / REVIEW, as_version=4)}

each_notebook = pytest.mark.parametrize("name", NOTEBOOKS)
each_lesson = pytest.mark.parametrize("name", LESSONS)
each_with_a_guess = pytest.mark.parametrize("name", [n for n in LESSONS if n[:2] != "00"])


def cells(name, kind):
    return [cell for cell in NOTEBOOKS[name].cells if cell.cell_type == kind]


def text_of(name):
    return "\n\n".join(cell.source for cell in cells(name, "markdown"))


def template_of(name):
    return {"00": TEMPLATE_OF_THE_START, "10": TEMPLATE_OF_THE_END}.get(name[:2], TEMPLATE)


def is_hidden(cell):
    return cell.metadata.get("jupyter", {}).get("source_hidden", False)


@each_notebook
def test_the_file_is_sound(name):
    notebook = NOTEBOOKS[name]
    nbformat.validate(notebook)
    assert (notebook.nbformat, notebook.nbformat_minor) == (4, 5)
    ids = [cell.id for cell in notebook.cells]
    assert len(set(ids)) == len(ids)
    assert notebook.metadata.kernelspec.name == "python3"
    assert notebook.metadata.recoverykit.run_on_open is True


@each_notebook
def test_nothing_of_a_run_is_left(name):
    for cell in cells(name, "code"):
        assert cell.outputs == []
        assert cell.execution_count is None
    assert "widgets" not in NOTEBOOKS[name].metadata


@each_notebook
def test_code_is_short(name):
    for cell in cells(name, "code"):
        lines = [line for line in cell.source.splitlines() if line]
        assert 1 <= len(lines) <= 5, cell.source
        assert max(map(len, lines)) <= 100
        ast.parse(cell.source)


@each_notebook
def test_only_worked_examples_show_their_code(name):
    for cell in cells(name, "code"):
        assert is_hidden(cell) == (not cell.id.startswith("example-")), cell.id


@each_notebook
def test_only_worked_examples_can_be_changed_and_no_cell_deleted(name):
    for cell in NOTEBOOKS[name].cells:
        assert cell.metadata.get("editable", True) == cell.id.startswith("example-"), cell.id
        assert cell.metadata.get("deletable") is False, cell.id


@each_lesson
def test_headings_follow_the_template(name):
    text = text_of(name)
    assert re.findall(r"^## (.+)$", text, re.MULTILINE) == template_of(name)
    (title,) = re.findall(r"^# (.+)$", text, re.MULTILINE)
    assert title.startswith(f"{name[:2]} · ")
    levels = [len(marks) for marks in re.findall(r"^(#+) ", text, re.MULTILINE)]
    assert all(below - above <= 1 for above, below in itertools.pairwise(levels))


@each_lesson
def test_the_top_says_what_a_learner_needs_to_know(name):
    top = LESSONS[name].cells[0].source
    assert re.search(r"^\*\*.+\?\*\*$", top, re.MULTILINE), "one question"
    for part in ("**Caution.**", "**After this lesson**", "**Before this lesson**", "**Time: "):
        assert part in top
    assert "does not replace the makers' instructions, local rules or a qualified trainer" in top


@each_lesson
def test_times_add_up(name):
    text = text_of(name)
    total, parts = re.search(r"\*\*Time: (\d+) minutes\.\*\* (.+)\.$", text, re.MULTILINE).groups()
    stated = dict(re.fullmatch(r"(.+) (\d+)", part).groups() for part in parts.split(" · "))
    assert list(stated) == [heading for heading in template_of(name) if heading not in UNTIMED]
    assert sum(map(int, stated.values())) == int(total)


FOLD = re.compile(r"^<details>\n<summary>[^<\n]+</summary>\n\n.+?\n\n</details>$", re.DOTALL | re.M)


@each_lesson
def test_what_is_folded_is_marked_up_soundly(name):
    """Markdown in a fold is read as such only after an empty line; a fold says what is in it."""
    for cell in cells(name, "markdown"):
        source = re.sub(r"^> ?", "", cell.source, flags=re.MULTILINE)
        assert len(FOLD.findall(source)) == source.count("<details") == source.count("</details>")
    assert "\n\n## Sources\n\n<details>\n" in text_of(name)


@each_lesson
def test_drawings_are_pictures_and_not_made_of_letters(name):
    assert "```" not in text_of(name)
    assert not re.search("[\u2500-\u259f]", text_of(name)), "lines and blocks"
    code = "\n".join(cell.source for cell in cells(name, "code"))
    assert re.findall(r'\billustration\("([^"]+)"\)', code) == [
        id for id in ILLUSTRATIONS if id[:2] == name[:2]
    ]


@each_notebook
def test_the_last_cell_drives_the_panels(name):
    tagged = [c for c in NOTEBOOKS[name].cells if "drive-panels" in c.metadata.get("tags", [])]
    assert tagged == [NOTEBOOKS[name].cells[-1]]
    assert "assert" in tagged[0].source


@each_lesson
def test_every_formula_is_followed_by_a_worked_example(name):
    all_cells = LESSONS[name].cells
    for place, cell in enumerate(all_cells):
        if "$$" in cell.source:
            assert cell.source.count("$$") == 2, "one formula at a time"
            in_us, us_code, in_metric, metric_code = all_cells[place + 1 : place + 5]
            assert in_us.source.startswith("**Worked example, US units.** ")
            assert in_metric.source.startswith("**Worked example, metric.** ")
            assert us_code.id.removesuffix("-us") == metric_code.id.removesuffix("-metric")


@each_lesson
def test_each_cell_for_one_unit_system_has_its_fellow(name):
    ids = {system: [] for system in SYSTEMS}
    for cell in LESSONS[name].cells:
        system = system_of(cell)
        parts = cell.id.split("-")
        assert (system is not None) == bool({"us", "metric"} & set(parts)), cell.id
        if system:
            parts.remove(system.lower())
            ids[system].append(parts)
    assert ids["US"] == ids["metric"]


@each_with_a_guess
def test_the_guess_comes_before_the_panel(name):
    code = "\n".join(cell.source for cell in cells(name, "code"))
    assert code.index('guess("') < code.index("Panel(guess=")


@each_lesson
def test_guesses_and_questions_are_those_of_the_bank(name):
    code = "\n".join(cell.source for cell in cells(name, "code"))
    bank = BANK[name[:2]]
    assert re.findall(r'\bask\("([^"]+)"\)', code) == [question.id for question in bank.QUESTIONS]
    assert re.findall(r'\bguess\("([^"]+)"\)', code) == [guess.id for guess in bank.GUESSES]


@each_lesson
def test_the_ceiling_has_no_source(name):
    text = text_of(name)
    assert "common practice, no source" in text or "8 km/h" not in text


# Words that would be second names for what the glossary has a word for, or that are not English.
SECOND_NAMES = (
    "tow truck|tow vehicle|rescuer|rescue vehicle|victim|stuck car|bogged|snatch|winch rope|"
    "recovery strap|reckon|times the way|safety factor|working load rating|breaking load"
)


@pytest.mark.parametrize("number", BANK)
def test_one_thing_has_one_name(number):
    (path,) = FOLDER.glob(f"{number}-*.ipynb")
    bank = Path(BANK[number].__file__).read_text(encoding="utf-8")
    texts = " ".join(re.findall(r'"([^"\n]*)"', bank))
    for text in (text_of(path.name), texts):
        assert not re.findall(rf"\b(?:{SECOND_NAMES})", text, re.IGNORECASE)


@pytest.mark.parametrize(("name", "following"), list(itertools.pairwise(LESSONS)))
def test_each_lesson_ends_with_a_link_to_the_next(name, following):
    title = LESSONS[following].cells[0].source.splitlines()[0].removeprefix("# ")
    assert text_of(name).endswith(f"\n\n**Next:** [{title}]({following})")
