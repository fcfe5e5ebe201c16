"""The learner's copies of the lessons."""

import hashlib
import itertools
import json
import os
from collections.abc import Container
from pathlib import Path

from launcher import paths
from launcher.common import (
    CourseError,
    file_hash,
    read_json,
    replace_file,
    state_folder,
    write_json,
)

# --- the lessons of the course ----------------------------------------------------------


def lessons() -> list[Path]:
    """Return the notebooks of the lessons, in their order."""
    return sorted(paths.LESSONS.glob("[0-9]*.ipynb"))


def lesson_files() -> list[Path]:
    """Return every file of the lessons, but not what serves a class or was left by Jupyter."""
    found = (path for path in paths.LESSONS.rglob("*") if path.is_file())
    return sorted(path for path in found if not is_left(path.relative_to(paths.LESSONS)))


def is_left(path: Path) -> bool:
    """Tell whether a path below lessons/ is not for learners. Hidden folders may hold secrets."""
    others = {"class", "__pycache__", "progress"}
    return any(part in others or part.startswith(".") for part in path.parts)


def check_lessons() -> None:
    """Refuse to go on with a lesson of the course that is damaged."""
    for lesson in lesson_files():
        if content_hash(lesson) is None:
            raise CourseError(
                f"{lesson} is damaged: get a fresh copy of the course. Your own files stay."
            )


def find_lesson(asked: str) -> Path:
    """Return the lesson of the course that a number, a name or a path stands for.

    A path may be that of a learner's copy, if nothing in it was changed.
    """
    for lesson in lessons():
        if asked in (lesson.name[:2], lesson.stem, lesson.name):
            return lesson
        if os.path.isfile(asked) and content_hash(Path(asked)) == content_hash(lesson):
            return lesson
    raise CourseError(
        f"{asked} isn't a lesson of the course, or it was changed. Type a lesson's number or "
        f"its name: {', '.join(lesson.stem for lesson in lessons())}"
    )


# --- copying ----------------------------------------------------------------------------


def copy_lessons(folder: Path) -> list[str]:
    """Copy new and renewed lessons into the learner's folder; return messages for them."""
    check_lessons()
    record = state_folder(folder) / "lesson_versions.json"
    versions = read_json(record)
    messages = []
    for lesson in lesson_files():
        name = lesson.relative_to(paths.LESSONS).as_posix()
        messages += copy_lesson(lesson, folder / name, versions.setdefault(name, []))
    write_json(record, versions)
    return messages


def copy_lesson(lesson: Path, target: Path, versions: list[str]) -> list[str]:
    """Copy one lesson for the learner, and return messages about it, if any.

    `versions` are the content hashes of all that was ever copied of this lesson. A file with any
    other content is the learner's own work: that one stays, and a version of the lesson that they
    have not got yet is put beside it.
    """
    newest = content_hash(lesson)
    messages = []
    if os.path.lexists(target) and content_hash(target) is None:
        aside = name_beside(target, "damaged")
        target.rename(aside)
        messages = [
            f"{target.name} was damaged: it is now {aside.name}, and a fresh copy is there."
        ]

    if not target.exists() or content_hash(target) in [newest, *versions]:
        replace_file(target, lesson.read_bytes())  # not its rights, which may be read-only
    elif newest not in versions:
        place = name_beside(target, "new", versions)
        replace_file(place, lesson.read_bytes())
        messages = [f"You changed {target.name}, so it is kept; its new version is {place.name}."]
    if newest not in versions:
        versions.append(newest)
    return messages


def name_beside(target: Path, word: str, replaceable: Container[str | None] = ()) -> Path:
    """Return a name beside this one that is free, or whose content may be replaced."""
    for number in itertools.count(1):
        ending = word if number == 1 else f"{word}-{number}"
        place = target.with_name(f"{target.stem}-{ending}{target.suffix}")
        if not os.path.lexists(place) or content_hash(place) in replaceable:
            return place


# --- what is in them --------------------------------------------------------------------


def content_hash(path: Path) -> str | None:
    """Return a hash of what an author or a learner writes in a file; None for a damaged notebook.

    In a notebook that is the text of its cells: mere running changes outputs and metadata. A pipe,
    a folder or a link to nothing is damaged, too.
    """
    if not path.is_file():
        return None
    if path.suffix != ".ipynb":
        return file_hash(path)
    try:
        cells = notebook_cells(path)
    except (ValueError, KeyError, TypeError, RecursionError):
        return None
    return hashlib.sha256(json.dumps(cells).encode()).hexdigest()


def notebook_cells(path: Path) -> list[tuple[str, str]]:
    """Return the cells of a notebook as pairs of type and text."""
    notebook = json.loads(path.read_text(encoding="utf-8"))
    return [(cell["cell_type"], "".join(cell["source"])) for cell in notebook["cells"]]


def code_hash(path: Path) -> str:
    """Return the hash of a lesson's code that the page compares before it runs a lesson unasked.

    launcher/jupyter/labextensions/recoverykit-lessons/static/remoteEntry.js computes the same.
    """
    code = [text for kind, text in notebook_cells(path) if kind == "code"]
    return hashlib.sha256("\0".join(code).encode()).hexdigest()


def list_course_code(state: Path) -> None:
    """Tell the page which lessons' code is the course's own."""
    hashes = sorted(code_hash(path) for path in lesson_files() if path.suffix == ".ipynb")
    write_json(state / "config" / "labconfig" / "page_config.json", {"courseLessonCode": hashes})
