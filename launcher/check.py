"""Say line by line whether this machine has what the course needs, and what to do where not.

`course.py check` runs this with the Python of .venv, or with its own while there is none: only what
a check needs from the packages is imported, inside that check.
"""

import contextlib
import errno
import importlib.metadata
import importlib.util
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from launcher import common, environment, lesson_copies, paths, server, testing

START = "Get on the internet and start the course: python3 course.py"
ANEW = f"Delete the folder {paths.VENV}, then get on the internet and start the course."
FETCH_ANEW = "Get a fresh copy of the course, and keep your folder my-course."

ROOM_TO_INSTALL = 700  # MB: the packages, and what the installer needs beside them
ROOM_TO_WORK = 50  # MB: answers, pictures and records of a class
# What pictures and sentences write beside plain letters.
SIGNS = "°±²³·¼½¾×÷–−’•…“”—″⁄⁴₀₁⅓⅔⅛⅜⅝⅞↑→√∞∫≈≤≥■□▲▶◀☐◆○●✓✕✗ΔΣαθμπ"
EXTENSIONS = {
    "@jupyter-widgets/jupyterlab-manager": "sliders and buttons",
    "recoverykit-lessons": "the course's own part of the page",
}
# Before this the course was not yet written; after it nobody has tried it.
EARLIEST, LATEST = datetime(2026, 1, 1, tzinfo=UTC), datetime(2056, 1, 1, tzinfo=UTC)


class CheckFailed(Exception):  # noqa: N818 - it is the answer of a check, and no mistake of the code
    """What is wrong, and the one thing to do about it."""

    def __init__(self, said: str, to_do: str):
        super().__init__(said)
        self.to_do = to_do


class CheckSkipped(Exception):  # noqa: N818
    """Why something was left out, without any fault."""


# --- without packages -------------------------------------------------------------------


def python_version(folder: Path) -> str:
    """Name this Python. One that is too old never gets here."""
    found = ".".join(map(str, sys.version_info[:3]))
    if sys.version_info[:2] > environment.NEWEST_PYTHON:
        raise CheckSkipped(f"{found} is newer than any we tried; it may still work")
    return found


def packages(folder: Path) -> str:
    """Look whether the packages are there, as pinned, and start."""
    if environment.site_packages() is None:
        raise CheckFailed("they are not installed yet", START)
    if environment.missing([environment.LEARNER_PACKAGES]):
        raise CheckFailed("they are not all there: an installation was cut short, or is old", START)
    if not importlib.util.find_spec("packaging"):
        raise CheckFailed("some are missing", ANEW)
    count, others = _compare_pins()
    if others:
        more = f", and {len(others) - 3} more" if len(others) > 3 else ""
        raise CheckFailed(f"{'; '.join(others[:3])}{more}", ANEW)
    try:
        environment.check_packages()
    except common.CourseError as fault:
        raise CheckFailed(str(fault), ANEW) from None
    return f"{count} packages, all the right versions, and they start"


def _compare_pins() -> tuple[int, list[str]]:
    """How many packages this machine needs, and in words those that are not as pinned."""
    from packaging.requirements import Requirement

    text = (paths.ROOT / environment.LEARNER_PACKAGES).read_text(encoding="utf-8")
    lines = (line for line in text.splitlines() if line[:1].isalnum())
    pins = [pin for pin in map(Requirement, lines) if not pin.marker or pin.marker.evaluate()]
    others = []
    for pin in pins:
        try:
            found = importlib.metadata.version(pin.name)
        except importlib.metadata.PackageNotFoundError:
            others.append(f"{pin.name} is missing")
        else:
            if not pin.specifier.contains(found, prereleases=True):
                others.append(f"{pin.name} is {found} and should be {str(pin.specifier)[2:]}")
    return len(pins), others


def disk(folder: Path) -> str:
    """Look for room: for the packages, if they are missing, and for the learner's files."""
    needed = {
        paths.ROOT: ROOM_TO_WORK if environment.site_packages() else ROOM_TO_INSTALL,
        _nearest(folder): ROOM_TO_WORK,
    }
    free = {place: shutil.disk_usage(place).free / 1e6 for place in needed}
    for place, least in needed.items():
        if free[place] < least:
            raise CheckFailed(
                f"only {free[place]:,.0f} MB are free for {place}, and {least} are needed",
                f"Make room: delete or move files that you no longer need on the disk of {place}.",
            )
    return f"{min(free.values()):,.0f} MB are free"


def writing(folder: Path) -> str:
    """Try to write where the learner's files are, and look at those that are there."""
    for place in {_nearest(folder), _nearest(folder / ".jupyter"), _nearest(folder / "progress")}:
        try:
            with tempfile.TemporaryFile(dir=place) as file:
                file.write(b"x")
                file.flush()
        except OSError as fault:
            if fault.errno == errno.ENOSPC:
                raise CheckFailed(
                    f"the disk of {place} is full", "Make room: delete or move files there."
                ) from None
            raise CheckFailed(
                f"nothing can be written in {place} ({fault.strerror})",
                "Copy the course to a folder of your own, such as Documents, and start it there.",
            ) from None
    for path in (folder / "progress").glob("*"):
        if path.is_file() and not os.access(path, os.W_OK):
            raise CheckFailed(
                f"{path} is read-only", "Let your user write it, in the file's properties."
            )
    return f"answers can be kept in {folder}"


def _nearest(folder: Path) -> Path:
    """The folder itself, or what is there of the way to it."""
    return next(place for place in (folder, *folder.parents) if place.exists())


def lessons(folder: Path) -> str:
    """Read the notebooks: those of the course, and the learner's copies."""
    own = [path for path in lesson_copies.lesson_files() if path.suffix == ".ipynb"]
    if not own:
        raise CheckFailed(f"there are none in {paths.LESSONS}", FETCH_ANEW)
    for path in own:
        if lesson_copies.content_hash(path) is None:
            raise CheckFailed(f"{path} is damaged", FETCH_ANEW)
    for path in own:
        copy = folder / path.relative_to(paths.LESSONS)
        if copy.exists() and lesson_copies.content_hash(copy) is None:
            raise CheckFailed(
                f"your copy {copy} is damaged",
                "Start the course: it sets the damaged copy aside and makes a fresh one.",
            )
    return f"{len(own)} notebooks can be read"


def port(folder: Path) -> str:
    """Look for a free port on loopback, and call it."""
    try:
        number = server.free_port()
        with socket.create_server(("127.0.0.1", number)) as listener:
            listener.settimeout(5)
            with socket.create_connection(("127.0.0.1", number), timeout=5):
                listener.accept()[0].close()
    except (OSError, common.CourseError) as fault:
        raise CheckFailed(
            f"programs on this machine cannot talk to each other ({fault})",
            "Allow Python connections to 127.0.0.1 in the firewall or security program.",
        ) from None
    return f"{number} is free, and reached from this machine"


def clock(folder: Path) -> str:
    """Look whether the date is plausible, and not before the learner's last answer."""
    now = _now()
    to_do = "Set this machine's date and time."
    if not EARLIEST < now < LATEST:
        raise CheckFailed(f"it shows {now:%d %B %Y}", to_do)
    latest = max((_written(path) for path in (folder / "progress").glob("*.json")), default=now)
    if latest > now + timedelta(days=1):
        raise CheckFailed(f"it shows {now:%d %B %Y}, but you answered on {latest:%d %B %Y}", to_do)
    return f"{now:%d %B %Y, %H:%M} UTC"


def _now() -> datetime:
    return datetime.now(UTC)


def _written(path: Path) -> datetime:
    with contextlib.suppress(OSError, ValueError, OverflowError):
        return datetime.fromtimestamp(path.stat().st_mtime, UTC)
    return EARLIEST


# --- with packages ----------------------------------------------------------------------


def kernel(folder: Path) -> str:
    """Start what runs the lessons; let it work out a sum, and find the course's library."""
    from jupyter_client.manager import start_new_kernel

    with tempfile.TemporaryDirectory() as state:
        try:
            manager, client = start_new_kernel(
                startup_timeout=120,
                env=environment.jupyter_environment(Path(state)),
                cwd=state,
                stderr=subprocess.DEVNULL,  # what goes wrong is told below, in one sentence
            )
        except (RuntimeError, OSError) as fault:
            raise CheckFailed(f"it does not start ({fault})", ANEW) from None
        try:
            answer = _reply(client, "1 + 1")
            library = _reply(client, "import recoverykit")
        finally:
            client.stop_channels()
            manager.shutdown_kernel(now=True)
    if answer != "2":
        raise CheckFailed(f"it works out 1 + 1 = {answer}", ANEW)
    if library:
        raise CheckFailed(f"it does not find the course's library ({library})", ANEW)
    return "it starts, works out 1 + 1 = 2, and finds the course's library"


def _reply(client, code: str) -> str:
    """What a kernel shows for a line of code: a result, an error, or nothing."""
    shown = []

    def note(message):
        content = message["content"]
        if message["msg_type"] == "execute_result":
            shown.append(content["data"]["text/plain"])
        elif message["msg_type"] == "error":
            shown.append(f"{content['ename']}: {content['evalue']}")

    client.execute_interactive(code, timeout=120, output_hook=note)
    return " ".join(shown)


def widgets(folder: Path) -> str:
    """Look for the parts of the page that draw sliders, and for the course's own."""
    found = _extensions()
    for name, what in EXTENSIONS.items():
        to_do = FETCH_ANEW if name.startswith("recoverykit") else ANEW
        if name not in found:
            raise CheckFailed(f"{what} ({name}) is not there", to_do)
        switch, fit = found[name]
        if switch != "enabled":
            raise CheckFailed(f"{what} ({name}) is switched off", to_do)
        if fit != "OK":
            raise CheckFailed(f"{what} ({name}) does not fit this JupyterLab", to_do)
    return " and ".join(EXTENSIONS.values()) + " are found"


def _extensions() -> dict[str, tuple[str, str]]:
    """What JupyterLab says of each extension: whether it is switched on, and whether it fits."""
    with tempfile.TemporaryDirectory() as state:
        answer = subprocess.run(
            [sys.executable, "-m", "jupyterlab.labextensions", "list"],
            capture_output=True,
            text=True,
            env=environment.jupyter_environment(Path(state)),
        )
    listed = re.sub(r"\x1b\[\d*m", "", answer.stdout + answer.stderr)
    found = re.findall(r"^\s+(\S+) v(\S+)\s+(enabled|disabled)\s+(\S+)", listed, re.MULTILINE)
    return {name: (switch, fit) for name, _, switch, fit in found}


def fonts(folder: Path) -> str:
    """Let Matplotlib find the font of the pictures, and every sign in it."""
    from matplotlib.font_manager import FontProperties, findfont, get_font

    try:
        path = findfont(FontProperties(family="DejaVu Sans"), fallback_to_default=False)
        font = get_font(path)
    except (ValueError, OSError, RuntimeError) as fault:
        raise CheckFailed(f"the font of the pictures is missing ({fault})", ANEW) from None
    if missing := "".join(sign for sign in SIGNS if not font.get_char_index(ord(sign))):
        raise CheckFailed(f"{Path(path).name} lacks {missing}", ANEW)
    return f"{font.family_name} has every character the pictures need"


def page(folder: Path) -> str:
    """Wait for a slider in a real browser, where there is one that can be driven."""
    chromium = testing.find_chromium()
    if not chromium:
        raise CheckSkipped("not looked at: that needs a Chromium that this check can drive")
    with tempfile.TemporaryDirectory() as place, _serving(Path(place, "course")) as address:
        from playwright.sync_api import Error, sync_playwright

        with sync_playwright() as browsers:
            try:
                browser = browsers.chromium.launch(executable_path=chromium)
                browser.new_page().goto(address)
                slider = browser.contexts[0].pages[0].locator(".widget-slider .noUi-handle")
                slider.first.wait_for(timeout=120_000)
            except Error as fault:
                said = str(fault).splitlines()[0]
                raise CheckFailed(f"no slider came up in {chromium} ({said})", ANEW) from None
    return "a slider came up in Chromium"


@contextlib.contextmanager
def _serving(folder: Path):
    """Open the course in a folder of its own for a moment; give the address of a lesson."""
    command = [sys.executable, paths.COURSE, "open", "--no-browser", "--folder", str(folder)]
    windows = os.name == "nt"
    process = subprocess.Popen(
        command,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        creationflags=subprocess.CREATE_NEW_PROCESS_GROUP if windows else 0,
    )
    said = ""
    try:
        for line in process.stdout:
            if found := re.search(r"http://\S+", line):
                yield found[0]
                return
            said += line
        raise CheckFailed(f"the course does not open: {said.strip()}", ANEW)
    finally:
        # Not Ctrl-C's own signal: what was started in the background may be deaf to it.
        process.send_signal(signal.CTRL_BREAK_EVENT if windows else signal.SIGTERM)
        process.communicate()


# --- all of it --------------------------------------------------------------------------


@dataclass(frozen=True)
class Check:
    """One line: a title, and a function that says what is right or raises what is not."""

    title: str
    look: Callable[[Path], str]
    needs_packages: bool = False


PACKAGES = Check("Packages", packages)
CHECKS = (
    Check("Python", python_version),
    PACKAGES,
    Check("Disk", disk),
    Check("Writing", writing),
    Check("Lessons", lessons),
    Check("Port", port),
    Check("Clock", clock),
    Check("Kernel", kernel, needs_packages=True),
    Check("Widgets", widgets, needs_packages=True),
    Check("Fonts", fonts, needs_packages=True),
    Check("Page", page, needs_packages=True),
)

LINE = "{:10}{:8}{}"
RIGHT, WRONG, UNKNOWN = "right", "WRONG", "-"


def run(folder: Path, checks=CHECKS) -> int:
    """Print a line for every check, and another for what to do; give how many faults there are."""
    faulty = set()
    for check in checks:
        to_do = ""
        try:
            if check.needs_packages and PACKAGES.title in faulty:
                raise CheckSkipped("skipped: it needs the packages")
            found, said = RIGHT, check.look(folder)
        except CheckSkipped as reason:
            found, said = UNKNOWN, reason
        except CheckFailed as fault:
            found, said, to_do = WRONG, fault, fault.to_do
        except Exception as fault:  # a check that breaks has found something, too
            found, said, to_do = WRONG, f"{type(fault).__name__}: {fault}", ANEW
        common.say(LINE.format(check.title, found, said))
        if found == WRONG:
            common.say(LINE.format("", "", f"To do: {to_do}"))
            faulty.add(check.title)
    return len(faulty)


def main(folder: Path) -> int:
    """Look at everything; the exit code is 0 if all is right and 1 if not."""
    faults = run(folder)
    if not faults:
        common.say("", "Everything checks out. To open the course: python3 course.py")
        return 0
    begin = "One thing is" if faults == 1 else f"{faults} things are"
    common.say("", f"{begin} wrong. Do what it says under the first one, then check again.")
    return 1


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1])))
