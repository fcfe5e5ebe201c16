"""A mistake in a worked example: one plain sentence with its place, the traceback folded away."""

import nbformat
import pint
import pytest
from nbclient import NotebookClient

from recoverykit import Q
from recoverykit.course.plain_errors import in_plain_words
from recoverykit.units.quantities import InputError

NAMES = ["mass", "speed", "show"]


def error_of(code):
    try:
        exec(compile(code, "cell", "exec"), {"Q": Q, "mass": 3100})
    except Exception as error:
        return error
    return pytest.fail("no error")


@pytest.mark.parametrize(
    ("code", "said"),
    [
        ('Q(3,970, "kg")', "Write 3970 in place of 3,970"),
        ('Q(3,070, "kg")', "Write 3070 in place of 3,070"),
        ('Q(1,234,567, "kg")', "Write 1234567 in place of 1,234,567"),
        ("mas * 2", "Nothing here is called 'mas'. Did you mean 'mass'?"),
        ("qqq * 2", "Nothing here is called 'qqq'. Press \"Run the lesson\""),
        ('Q(4, "kg"', "Look for a missing bracket, quotation mark or comma"),
        ('Q(4, "kNN")', "There is no unit 'kNN'"),
        ('Q(4, "kN") + Q(4, "kg")', "Units do not go together: kilonewton and kilogram"),
        ("1 / 0", "Division by zero."),
        ("None.x", "'NoneType' object has no attribute 'x'."),
        ("raise KeyError", "KeyError."),
    ],
)
def test_a_mistake_gets_its_sentence(code, said):
    assert said in in_plain_words(error_of(code), code, NAMES)


def test_a_comma_between_quotation_marks_or_in_a_list_is_not_the_mistake():
    error = InputError("30,000 lbf is too much")
    assert (
        in_plain_words(error, 'read_quantity("30,000 lbf", "force")') == "30,000 lbf is too much."
    )
    assert in_plain_words(error, "line.without(4, 12)") == "30,000 lbf is too much."


def test_in_a_lesson_the_place_and_the_sentence_are_shown_and_the_rest_is_folded():
    cells = [
        "from recoverykit import Q, kinetic_energy, show\n"
        "from recoverykit.lessons import units_switch\nunits_switch()",
        'mass = Q(3100, "kg")\nprint(kinetic_energy(mass, Q(4, "kN")))',
        'mass = Q(3,970, "kg")',
        "print(show(mas))",
        'print(show(mass, "mass")',
    ]
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(cell) for cell in cells])
    NotebookClient(notebook, allow_errors=True).execute()
    for cell, said in zip(
        notebook.cells[1:],
        [
            'Line 2: print(kinetic_energy(mass, Q(4, "kN")))\n',
            'Line 1: mass = Q(3,970, "kg")\nWrite 3970 in place of 3,970',
            "Line 1: print(show(mas))\nNothing here is called 'mas'. Did you mean 'mass'?",
            'Line 1: print(show(mass, "mass")\nThis line cannot be read.',
        ],
        strict=True,
    ):
        error, folded = cell.outputs
        assert error.output_type == "error"
        assert error.traceback[0].startswith(said)
        assert error.traceback[0].endswith("Change it and press Shift+Enter.")
        assert "<details><summary>" in folded.data["text/html"]
        assert "Traceback (most recent call last)" in folded.data["text/html"]


def test_a_unit_that_pint_does_not_know_is_named():
    assert "'lbff'" in in_plain_words(pint.UndefinedUnitError("lbff"), "")
