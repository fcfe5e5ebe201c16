"""course.py: any Python can read it, so that one that is too old says so in a sentence."""

import ast
import os
import subprocess
import sys

import pytest

import course
from launcher import environment, paths

SOURCE = paths.COURSE.read_text(encoding="utf-8")
# The launcher's modules that are needed before the packages are there.
ALONE = sorted(
    path
    for path in (paths.ROOT / "launcher").glob("*.py")
    if path.stem not in ("export", "present", "lesson_cells", "print_cells")
)


def test_old_pythons_can_parse_it():
    ast.parse(SOURCE, feature_version=(3, 6))


def test_python_2_can_parse_it():
    """As far as its own parser can be asked no more: nothing in it that came with Python 3."""
    tree = ast.parse(SOURCE)
    later = (ast.JoinedStr, ast.AnnAssign, ast.NamedExpr, ast.Nonlocal, ast.AsyncFunctionDef)
    assert not [node for node in ast.walk(tree) if isinstance(node, later)]
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef):
            arguments = node.args
            assert not node.returns
            assert not arguments.kwonlyargs + arguments.posonlyargs
            assert not [each for each in arguments.args if each.annotation]
        if isinstance(node, ast.Call):
            assert getattr(node.func, "id", "") != "print"
    assert SOURCE.isascii()


@pytest.mark.parametrize("version", [(2, 7, 18), (3, 6, 15), (3, 10, 13)])
def test_too_old_a_python_is_refused_with_what_to_do(version):
    found = ".".join(map(str, version))
    newest = ".".join(map(str, environment.NEWEST_PYTHON))
    oldest = ".".join(map(str, course.OLDEST_PYTHON))
    assert course.too_old(version) == (
        f"The course needs Python {oldest} to {newest}, and this is Python {found}. "
        "Install one of those and start with it, for example: python3.12 course.py"
    )


@pytest.mark.parametrize("version", [(3, 11, 0), (3, 14, 9), (3, 15, 0)])
def test_other_pythons_pass(version):
    assert course.too_old(version) is None


def imports_of(source):
    """The dotted names that a module imports at its top."""
    for node in ast.parse(source.read_text(encoding="utf-8")).body:
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


@pytest.mark.parametrize("source", [paths.COURSE, *ALONE], ids=lambda path: path.stem)
def test_before_the_packages_are_there_only_the_standard_library_is_imported(source):
    names = {name.split(".")[0] for name in imports_of(source)}
    assert names - {"launcher"} <= sys.stdlib_module_names


def test_it_is_found_whatever_the_environment_says(tmp_path):
    (tmp_path / "launcher.py").write_text("raise SystemExit('another launcher')")
    foreign = {"PYTHONSAFEPATH": "1", "PYTHONPATH": str(tmp_path), "PYTHONOPTIMIZE": "2"}
    done = subprocess.run(
        [sys.executable, paths.COURSE, "--help"],
        capture_output=True,
        text=True,
        cwd=tmp_path,
        env=os.environ | foreign,
    )
    assert done.stdout.startswith("usage: course.py"), done.stderr
