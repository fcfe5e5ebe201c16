"""What all commands share: errors that the reader can put right, JSON files, private folders."""

import errno
import hashlib
import json
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path


class CourseError(Exception):
    """Something the reader can put right; the message is the sentence that they see."""


def say(*lines: str) -> None:
    """Print at once, also where nobody watches a terminal."""
    print(*lines, sep="\n", flush=True)


def explained(command: Callable[..., int], *arguments) -> int:
    """Run a command; print a sentence for what the reader can put right. Return an exit code."""
    try:
        sys.stdout.reconfigure(errors="replace")  # a path may have letters the terminal lacks
        return command(*arguments)
    except CourseError as problem:
        sentence = str(problem)
    except OSError as problem:
        sentence = explain_system(problem)
        if sentence is None:
            raise
    except KeyboardInterrupt:
        say("", "Stopped.")
        return 130
    print(sentence, file=sys.stderr)
    return 1


def explain_system(problem: OSError) -> str | None:
    """Turn an error of the operating system into a sentence; None if it is a mistake of ours."""
    if problem.errno == errno.ENOSPC:
        return "The disk is full. Make room and start again."
    if problem.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return (
            f"{problem.filename} cannot be changed ({problem.strerror}). Close other programs that "
            "use it, or copy the course to a folder of your own and start it there."
        )
    return None


# --- files ----------------------------------------------------------------------------------


def file_hash(path: Path) -> str:
    """Return the SHA-256 of a file."""
    return hashlib.sha256(path.read_bytes()).hexdigest()


def read_json(path: Path) -> dict:
    """Return the entries of a JSON file of ours; none if it is missing or damaged."""
    try:
        content = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return {}
    return content if isinstance(content, dict) else {}


def write_json(path: Path, content: dict) -> None:
    """Write a JSON file in one step, so that it is never half there."""
    path.parent.mkdir(parents=True, exist_ok=True)
    unfinished = path.with_suffix(".part")
    unfinished.write_text(json.dumps(content, indent=1), encoding="utf-8")
    unfinished.replace(path)


def private_folder(path: Path) -> Path:
    """Make a folder, unless it is there, that other users cannot look into."""
    path.mkdir(mode=0o700, parents=True, exist_ok=True)
    return path


def state_folder(folder: Path) -> Path:
    """Return the folder for what Jupyter keeps for this learner."""
    state = folder / ".jupyter"
    try:
        return private_folder(state)
    except (FileExistsError, FileNotFoundError, NotADirectoryError) as problem:
        raise CourseError(
            f"The folder {state} cannot be made ({problem.strerror}). "
            "Write another folder after --folder."
        ) from None


def remove(path: Path) -> None:
    """Delete a folder, a file or a link, but never what a link points to."""
    if path.is_dir() and not path.is_symlink():
        shutil.rmtree(path)
    else:
        path.unlink()


def check_writable(folder: Path) -> None:
    """Find out before a long installation that its folder is read-only."""
    try:
        tempfile.TemporaryFile(dir=folder).close()
    except OSError as problem:
        raise CourseError(
            f"The folder {folder} cannot be written to ({problem.strerror}). "
            "Copy the course to a folder of your own and start it there."
        ) from None


# --- programs -------------------------------------------------------------------------------


def wait(process: subprocess.Popen) -> None:
    """Wait for a process to end, in a way that Ctrl-C interrupts on Windows too."""
    while process.poll() is None:
        time.sleep(0.2)
