"""What all commands share: errors that the reader can put right, JSON files, private folders."""

import _thread
import contextlib
import errno
import hashlib
import json
import os
import shutil
import signal
import stat
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path

if os.name == "nt":
    import msvcrt
else:
    import fcntl


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
    except (CourseError, OSError) as problem:
        sentence = explain(problem)
        if sentence is None:
            raise
    except KeyboardInterrupt:
        say("", "Stopped.")
        return 130
    print(sentence, file=sys.stderr)
    return 1


def explain(problem: CourseError | OSError) -> str | None:
    """Return an error as a sentence; None if it is a mistake of ours."""
    if isinstance(problem, CourseError):
        return str(problem)
    if problem.errno in (errno.ENOSPC, errno.EDQUOT):
        return DISK_FULL
    if problem.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return (
            f"{problem.filename} cannot be changed ({problem.strerror}). Close other programs that "
            "use it, or copy the course to a folder of your own and start it there."
        )
    if problem.errno in NOT_A_FILE:
        return f"{problem.filename2 or problem.filename} {IN_THE_WAY}"
    return None


DISK_FULL = "The disk is full. Make room and start again."
NO_RIGHT = (
    "cannot be written: it is read-only, or belongs to another user. Change that, or write another "
    "folder after --folder."
)
# What the systems answer where a folder, a link or a file is under the name of another kind.
NOT_A_FILE = {errno.EISDIR, errno.ENOTDIR, errno.EEXIST, errno.ELOOP}
IN_THE_WAY = "is not what the course keeps under that name. Move or delete it, and start again."


# --- files ----------------------------------------------------------------------------------


def file_hash(path: Path) -> str:
    """Return the SHA-256 of a file."""
    return hashlib.sha256(path.read_bytes()).hexdigest()


def read_json(path: Path) -> dict:
    """Return the entries of a JSON file of ours; none if it is missing or damaged."""
    if not path.is_file():  # a pipe would be waited for
        return {}
    try:
        content = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return {}
    return content if isinstance(content, dict) else {}


def write_json(path: Path, content: dict) -> None:
    """Write a JSON file in one step, so that it is never half there."""
    replace_file(path, json.dumps(content, indent=1).encode())


def replace_file(path: Path, content: bytes) -> None:
    """Put a file in the place of whatever file or link is there, in one step."""
    path.parent.mkdir(parents=True, exist_ok=True)
    unfinished = path.with_name(f"{path.name}.part")
    refuse_special(unfinished)
    unfinished.unlink(missing_ok=True)  # of a start that was killed
    unfinished.write_bytes(content)
    unfinished.replace(path)


def refuse_special(path: Path) -> None:
    """Refuse a pipe or a device, which would be waited for, and a link, which would be followed."""
    with contextlib.suppress(FileNotFoundError):
        if not stat.S_ISREG(path.lstat().st_mode):
            raise CourseError(f"{path} {IN_THE_WAY}")


def private_folder(path: Path) -> Path:
    """Make a folder, unless it is there, that other users cannot look into."""
    path.mkdir(mode=0o700, parents=True, exist_ok=True)
    return path


def state_folder(folder: Path) -> Path:
    """Return the folder for what Jupyter keeps for this learner, after a look at its rights."""
    state = folder / ".jupyter"
    try:
        private_folder(state)
    except (FileExistsError, FileNotFoundError, NotADirectoryError) as problem:
        raise CourseError(
            f"The folder {state} cannot be made ({problem.strerror}). "
            "Write another folder after --folder."
        ) from None
    for place in (state, *state.iterdir()):
        if not place.is_dir():
            refuse_special(place)
        if not os.access(place, os.R_OK | os.W_OK | (os.X_OK if place.is_dir() else 0)):
            raise CourseError(f"{place} {NO_RIGHT}")
    return state


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


# --- locks ----------------------------------------------------------------------------------


@contextlib.contextmanager
def locked(path: Path, busy: str) -> Iterator[None]:
    """Wait until no other start holds a lock, saying that it is busy; then hold it."""
    with open_lock(path) as lock:
        if not lock():
            for _ in waiting(busy):
                if lock():
                    break
        yield


LONG = 180  # seconds: by then a start has ended or asks its reader for something
HANGS = (
    "That has taken three minutes. If the window of the other start shows nothing new, press "
    "Ctrl-C in it or close it: then this start goes on. If you cannot find it, restart this "
    "computer and start again."
)


def waiting(busy: str) -> Iterator[None]:
    """Make the turns of a loop that waits; say what for, and after long what to do."""
    started, news = time.monotonic(), [(0.3, busy), (LONG, HANGS)]
    while True:
        time.sleep(0.3)
        yield
        if news and time.monotonic() - started >= news[0][0]:
            say(news.pop(0)[1])


@contextlib.contextmanager
def open_lock(path: Path) -> Iterator[Callable[[], bool]]:
    """Give a function that tries to take a lock and tells whether it is held now.

    The system lets go of it however this process ends.
    """
    plain = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)  # no link, no pipe
    file = os.open(path, os.O_RDWR | os.O_CREAT | plain, 0o600)
    try:
        yield lambda: take_lock(file)
    finally:
        os.close(file)


def take_lock(file: int) -> bool:
    """Try to lock an open file. Where the file system has no locks, go on without."""
    try:
        if os.name == "nt":
            msvcrt.locking(file, msvcrt.LK_NBLCK, 1)
        else:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as problem:
        return problem.errno not in (errno.EACCES, errno.EAGAIN, errno.EDEADLK)
    return True


# --- programs -------------------------------------------------------------------------------


def last_words(lines: Iterable[str]) -> str:
    """Return the last lines that a program has written, to stand below a sentence."""
    return "".join(f"\n    {line}" for line in list(lines)[-8:])


def end_with_starter() -> None:
    """Let this process end once what started it has ended or has closed our standard input.

    So no server outlives the start that can end it, however that start ends.
    """
    threading.Thread(target=_end_after_input, daemon=True).start()


def _end_after_input() -> None:
    os.read(0, 1)  # nothing is ever written there
    if os.name == "nt":
        _thread.interrupt_main(signal.SIGTERM)  # where kill would end it at once, with no order
    else:
        os.kill(os.getpid(), signal.SIGTERM)


def wait(process: subprocess.Popen) -> None:
    """Wait for a process to end, in a way that Ctrl-C interrupts on Windows too."""
    while not has_ended(process):
        time.sleep(0.2)


def has_ended(process: subprocess.Popen) -> bool:
    """Tell whether a process has ended; Ctrl-C waits for the answer.

    An exception that breaks into `Popen.poll` can leave its lock taken, and the next `Popen.wait`
    would never return.
    """
    if os.name == "nt":  # no lock there
        return process.poll() is not None
    ending = {signal.SIGINT, signal.SIGTERM, signal.SIGHUP}
    before = signal.pthread_sigmask(signal.SIG_BLOCK, ending)
    try:
        return process.poll() is not None
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
