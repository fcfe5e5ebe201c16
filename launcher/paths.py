"""Where everything is."""

import os
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
COURSE = ROOT / "course.py"
LESSONS = ROOT / "lessons"
JUPYTER = ROOT / "launcher" / "jupyter"
MY_COURSE = ROOT / "my-course"

VENV = ROOT / ".venv"
VENV_PYTHON = VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
FONT_CACHE = VENV / "matplotlib"
