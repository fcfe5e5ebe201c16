"""Where everything is."""

import os
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
COURSE = ROOT / "course.py"
LESSONS = ROOT / "lessons"
JUPYTER = ROOT / "launcher" / "jupyter"
MY_COURSE = ROOT / "my-course"

VENV = ROOT / ".venv"
OLD_VENV = ROOT / ".venv-old"  # set aside until the one that takes its place has proved to work
VENV_PYTHON = VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
FONT_CACHE = VENV / "matplotlib"

# What belongs to the course itself: no learner's folder may be there.
OWN_FOLDERS = [
    *(ROOT / name for name in (".ci", ".git", ".venv", "data", "launcher", "lessons")),
    *(ROOT / name for name in ("my-class", "recoverykit", "tests")),
]


def belongs_to_course(folder: Path) -> bool:
    """Tell whether a folder is that of the course, or is or would be in a part of it."""
    ancestors = [each for each in (folder, *folder.parents) if each.exists()]
    own = [each for each in OWN_FOLDERS if each.exists()]
    # Whatever they are called: some file systems tell no capitals from others.
    return (folder.exists() and folder.samefile(ROOT)) or any(
        ancestor.samefile(each) for ancestor in ancestors for each in own
    )
