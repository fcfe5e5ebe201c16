"""The rooms of the library: their order, what stands in them, and what each may import."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import recoverykit

PACKAGE = Path(recoverykit.__file__).parent
SOURCES = sorted(PACKAGE.rglob("*.py"))

# From the ground up: a room imports only what stands before it.
ROOMS = ["units", "tables", "physics", "measurements", "course", "lessons", "classroom"]
WITH_WIDGETS_AND_PICTURES = {"course", "lessons", "classroom"}
PACKAGES_OF_PHYSICS = {"numpy", "scipy", "pint"}

each_source = pytest.mark.parametrize(
    "source", SOURCES, ids=lambda source: str(source.relative_to(PACKAGE))
)


def room_of(source: Path) -> str:
    return source.relative_to(PACKAGE).parts[0].removesuffix(".py")


def imports_of(source: Path) -> set[str]:
    """The dotted names that a file imports, wherever in the file it does."""
    names = set()
    for node in ast.walk(ast.parse(source.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{source}: write imports in full"
            names |= {f"{node.module}.{alias.name}" for alias in node.names}
    return names


def own_imports(source: Path) -> list[list[str]]:
    """What a file imports from the library, as lists of names."""
    names = imports_of(source)
    assert "recoverykit" not in names, f"{source}: import the module, not the package"
    return [name.split(".")[1:] for name in names if name.startswith("recoverykit.")]


def lesson_of(path: list[str]) -> str | None:
    """The folder of a lesson that a dotted name stands in, if any."""
    return path[1] if path[0] == "lessons" and (PACKAGE / "lessons" / path[1]).is_dir() else None


def test_the_library_has_seven_rooms_and_nothing_else():
    found = {source.relative_to(PACKAGE).parts[0] for source in SOURCES}
    assert found == {*ROOMS, "__init__.py"}


@each_source
def test_imports_run_one_way(source):
    if source.parent == PACKAGE:
        return
    place = ROOMS.index(room_of(source))
    for path in own_imports(source):
        assert path[0] in ROOMS, f"{source} asks for all of the library"
        assert ROOMS.index(path[0]) <= place, f"{source} imports upward: {'.'.join(path)}"


@each_source
def test_lessons_take_nothing_from_another_lesson(source):
    """What two lessons share stands in `course`, or in `physics` if it is physics."""
    own = lesson_of([*source.relative_to(PACKAGE).with_suffix("").parts, ""])
    if own is not None:
        assert {lesson_of(path) for path in own_imports(source)} <= {None, own}


@each_source
def test_packages_stay_in_their_rooms(source):
    packages = {name.split(".")[0] for name in imports_of(source)}
    if room_of(source) not in WITH_WIDGETS_AND_PICTURES:
        assert not packages & {"ipywidgets", "IPython", "traitlets", "matplotlib"}
    if room_of(source) in {"physics", "measurements"}:
        from_outside = {name for name in packages if name not in sys.stdlib_module_names}
        assert from_outside <= PACKAGES_OF_PHYSICS | {"recoverykit"}


def test_lessons_are_there_before_scipy_is_asked_for():
    """Its solvers and curves are slow to import; a lesson that opens does not wait for them."""
    names = "{'scipy.interpolate', 'scipy.optimize', 'scipy.stats'}"
    code = f"import sys, recoverykit.lessons; sys.exit(bool({names} & sys.modules.keys()))"
    assert subprocess.run([sys.executable, "-c", code], cwd=PACKAGE.parent).returncode == 0


@each_source
def test_no_pyplot(source):
    """It keeps figures of its own, which nothing here would ever close."""
    assert not any(name.startswith("matplotlib.pyplot") for name in imports_of(source))


def test_public_names_exist_and_are_sorted():
    assert recoverykit.__all__ == sorted(recoverykit.__all__)
    for name in recoverykit.__all__:
        assert getattr(recoverykit, name) is not None
