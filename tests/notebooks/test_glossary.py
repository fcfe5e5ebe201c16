"""The glossary: its words are those of the lessons, its figures exact, and its links sound."""

import re

import pytest
from helpers.lesson_text import FOLDER, LessonText
from helpers.source_tables import DesignFactor

from recoverykit.lessons.bank import LESSONS
from recoverykit.tables.records import table
from recoverykit.units.parsing import read_quantity
from recoverykit.units.quantities import Q

ROOT = FOLDER.parent
GLOSSARY = FOLDER / "glossary.md"
TEXT = GLOSSARY.read_text(encoding="utf-8")
TERMS = re.findall(r"^### (.+)$", TEXT, re.MULTILINE)
NAMES_OF_UNITS = {"Ton", "Kip"}
OTHER_WORDS = {"Mire": "mired", "Band": "band|range", "To part": r"parts \(breaks\)"}


def entry(term):
    return re.search(rf"^### {re.escape(term)}\n\n(.+?)(?=\n#|\Z)", TEXT, re.M | re.S).group(1)


# --- words ------------------------------------------------------------------------------


def test_no_word_is_explained_twice():
    assert len(TERMS) > 30
    assert len({term.lower() for term in TERMS}) == len(TERMS)


@pytest.mark.parametrize("term", [term for term in TERMS if term != "Kip"])  # on makers' sheets
def test_a_word_is_used_in_the_lessons(term):
    lessons = "\n".join(LessonText(number).text for number in LESSONS)
    pattern = OTHER_WORDS.get(term, re.escape(term.lower()))
    assert re.search(rf"\b({pattern})", lessons, re.IGNORECASE)


@pytest.mark.parametrize("term", [term for term in TERMS if term not in NAMES_OF_UNITS])
def test_a_word_is_explained_in_a_sentence_or_two(term):
    sentences = re.split(r"(?<=[.?!]) (?=[A-Z])", entry(term).strip())
    assert 1 <= len(sentences) <= 3
    assert all(len(sentence.split()) <= 30 for sentence in sentences)


@pytest.mark.parametrize("number", LESSONS)
def test_every_lesson_points_to_the_glossary_at_its_top(number):
    top = LessonText(number).notebook.cells[0].source
    assert top.partition("<details>")[0].count("[glossary](glossary.md)") == 1
    assert top.count("](glossary.md)") == 1


def test_cautions_stand_at_the_top():
    assert "> **Caution.**" in TEXT.split("\n## ")[0]


# --- figures ----------------------------------------------------------------------------


def test_units_are_converted_exactly():
    equations = re.findall(r"\b1 (\S+) = ([\d.]+) (\S+?)[ .;\n]", TEXT)
    assert len(equations) >= 6
    for unit, number, other in equations:
        converted = Q(1, unit).m_as(other.replace("·", "*"))
        decimals = len(number.partition(".")[2])
        assert f"{converted:.{decimals}f}" == number


def test_tons_are_converted_exactly():
    rows = re.findall(r"^\| ([a-z]+ ton|tonne)\b.*\| (\d+ lbf) \| ([\d.]+ kN) \|$", TEXT, re.M)
    assert len(rows) == 3
    for ton, pounds, kilonewtons in rows:
        stamped = read_quantity(f"1 {ton}", "force").quantity
        assert f"{stamped.m_as('kN'):.2f} kN" == kilonewtons
        assert f"{stamped.m_as('lbf'):.0f} lbf" == pounds
    assert f"1000 lbf, or {Q(1000, 'lbf').m_as('kN'):.3f} kN" in TEXT


def test_weights_and_stretches_are_computed_right():
    assert f"a mass of 1 kg weighs {Q(1, 'kg*g_0').m_as('N'):.2f} N" in TEXT
    assert Q(1, "lb*g_0").m_as("lbf") == pytest.approx(1)
    assert f"30 % of 36 ft (11 m) is {0.3 * 36:.1f} ft ({0.3 * 11:.1f} m)" in TEXT


def test_usual_design_factors_are_those_of_the_table():
    factors = [row.design_factor for row in table(DesignFactor)]
    low, high = re.search(r"(\d) to (\d) are common", entry("Design factor")).groups()
    within = [factor for factor in factors if int(low) <= factor <= int(high)]
    assert len(within) > len(factors) / 2


# --- links ------------------------------------------------------------------------------


def test_the_way_back_leads_to_every_lesson():
    back = re.search(r"^Back to lesson (.+)$", TEXT, re.MULTILINE).group(1)
    lessons = sorted(path.name for path in FOLDER.glob("[0-9]*.ipynb"))
    assert re.findall(r"\[(\d\d)\]\(([^)]+)\)", back) == [(name[:2], name) for name in lessons]


def test_the_readme_points_to_the_glossary_and_to_the_instructors_pages():
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    for page in ("lessons/glossary.md", "lessons/instructor/guide.md"):
        assert f"]({page})" in readme
