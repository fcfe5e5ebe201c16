"""The library's import, beside the import of what it stands on."""

import subprocess
import sys

import pytest
from helpers.side_by_side import milliseconds

FOUNDATION = "import numpy, pint, matplotlib.figure, matplotlib.backends.backend_agg"


def run(statement):
    return lambda: subprocess.run([sys.executable, "-c", statement], check=True)


@pytest.mark.parametrize(
    ("module", "at_most"),
    [("recoverykit", 1.6), ("recoverykit.lessons", 3)],
)
def test_import(module, at_most, record_property):
    nothing, foundation, ours = milliseconds(
        run(""), run(FOUNDATION), run(f"import {module}"), rounds=4
    )
    ratio = (ours - nothing) / (foundation - nothing)
    record_property(
        "speed",
        f"import {module}: {ours - nothing:.0f} ms; numpy, pint and matplotlib alone "
        f"{foundation - nothing:.0f} ms, {ratio:.2f} times that",
    )
    assert ratio < at_most
