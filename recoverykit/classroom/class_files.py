"""Class files: the progress files of a class, as they were gathered from many computers.

Nothing here names a learner. A file is known by its place in the folder, for the one purpose of
saying why it was left out.
"""

import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from recoverykit.course.progress import UNITS, DamagedFileError, Entry, NewerFileError, parse
from recoverykit.units.files import read_file, reason
from recoverykit.units.quantities import InputError

DEEPEST = 4  # folders below the class's own: laptop-07/my-course/progress is three
LARGEST = 5_000_000  # bytes: far more than any learner writes in this course
MOST_FILES = 1000


@dataclass(frozen=True)
class ClassFiles:
    """The entries of each learner by file, and why other files were left out."""

    learners: Mapping[str, Sequence[Entry]]
    left_out: Mapping[str, str] = field(default_factory=dict)


def read_class(folder: Path) -> ClassFiles:
    """The progress files of a class, wherever in a folder they lie.

    A file that cannot be used is left out, and so is an older copy of another one. Raises
    InputError where there is no such folder, or far too much in it.
    """
    if not folder.is_dir():
        raise InputError(f"there is no folder {folder}")
    learners, left_out = {}, {}
    for path in _progress_files(folder):
        name = path.relative_to(folder).as_posix()
        try:
            learners[name] = _entries(path)
        except (OSError, DamagedFileError, NewerFileError, InputError) as fault:
            left_out[name] = reason(fault)
    for name, newer in _older_copies(learners).items():
        left_out[name] = f"all that it holds is in {newer}, too"
        del learners[name]
    return ClassFiles(learners, dict(sorted(left_out.items())))


def _progress_files(folder: Path) -> list[Path]:
    files = []
    for place, folders, names in os.walk(folder):
        depth = len(Path(place).relative_to(folder).parts)
        # Hidden folders and files are those of systems and of Jupyter, and never progress.
        folders[:] = sorted(f for f in folders if not f.startswith(".") and depth < DEEPEST)
        files += [
            Path(place, name)
            for name in sorted(names)
            if name.lower().endswith(".json") and not name.startswith(".")
        ]
        if len(files) > MOST_FILES:
            raise InputError(
                f"{folder} has more than {MOST_FILES} files in it that could be progress; put "
                f"those of one class into a folder of their own"
            )
    return files


def _entries(path: Path) -> list[Entry]:
    content = read_file(path, LARGEST)
    if len(content) > LARGEST:
        raise InputError("it is too large for a progress file")
    entries = parse(content)
    if all(entry.id == UNITS for entry in entries):
        raise InputError("it holds no answers yet")
    return entries


def _older_copies(learners: Mapping[str, Sequence[Entry]]) -> dict[str, str]:
    """Files whose entries are the first ones of another file, and the name of that."""
    # The entry of units moves in a file whenever other ones are chosen.
    answers = {
        name: [entry for entry in entries if entry.id != UNITS]
        for name, entries in learners.items()
    }
    older = {}
    by_length = sorted(answers, key=lambda name: (-len(answers[name]), name))
    for position, name in enumerate(by_length):
        for newer in by_length[:position]:
            if newer not in older and answers[newer][: len(answers[name])] == answers[name]:
                older[name] = newer
                break
    return older
