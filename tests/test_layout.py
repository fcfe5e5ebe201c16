"""The map of the library: what each module may import."""

import ast
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

import recoverykit

PACKAGE = Path(recoverykit.__file__).parent
SOURCES = sorted(PACKAGE.rglob("*.py"))

# What faces the learner stands above the physics. A folder counts as one module.
FACING_THE_LEARNER = {"progress", "questions", "survey", "bank", "figures", "panels", "__init__"}
FACING_THE_LEARNER |= {"classfiles", "classreview", "inventedclass"}
WITH_PICTURES = {"figures", "panels"}
WITH_WIDGETS = {"panels"}

each_source = pytest.mark.parametrize(
    "source", SOURCES, ids=lambda source: str(source.relative_to(PACKAGE))
)


def module_of(source: Path) -> str:
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


def own_modules(source: Path) -> set[str]:
    """The modules of the library that a file imports, its own aside."""
    names = imports_of(source)
    assert "recoverykit" not in names, f"{source}: import the module, not the package"
    own = {name.split(".")[1] for name in names if name.startswith("recoverykit.")}
    return own - {module_of(source)}


def test_imports_run_one_way():
    modules = {module_of(source): set() for source in SOURCES}
    for source in SOURCES:
        modules[module_of(source)] |= own_modules(source)
    assert len(modules) > 5
    try:
        order = list(TopologicalSorter(modules).static_order())
    except CycleError as error:
        pytest.fail(f"imports run in a circle: {' → '.join(error.args[1])}")
    assert order[0] == "units"
    assert modules["tables"] == {"units", "reading"}


@each_source
def test_imports_name_a_module(source):
    """`from recoverykit import X` inside the library would ask for all of it at once."""
    there = {module_of(each) for each in SOURCES}
    assert own_modules(source) <= there


@each_source
def test_physics_knows_nothing_of_lessons_pictures_and_widgets(source):
    module = module_of(source)
    packages = {name.split(".")[0] for name in imports_of(source)}
    if module not in FACING_THE_LEARNER:
        assert not own_modules(source) & FACING_THE_LEARNER
    if module not in WITH_PICTURES:
        assert "matplotlib" not in packages
    if module not in WITH_WIDGETS:
        assert not packages & {"ipywidgets", "IPython", "traitlets"}


@each_source
def test_no_pyplot(source):
    """It keeps figures of its own, which nothing here would ever close."""
    assert not any(name.startswith("matplotlib.pyplot") for name in imports_of(source))


def test_public_names_exist_and_are_sorted():
    assert recoverykit.__all__ == sorted(recoverykit.__all__)
    for name in recoverykit.__all__:
        assert getattr(recoverykit, name) is not None
