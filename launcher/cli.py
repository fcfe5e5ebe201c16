"""The command line of course.py."""

import argparse
import signal
import subprocess
import sys
import tempfile
from pathlib import Path

from launcher import check, environment, paths, server, testing
from launcher.common import CourseError, explained, say

UNITS = ("metric", "US")


def main(arguments: list[str]) -> int:
    """Run the command line; return an exit code."""
    for name in ("SIGTERM", "SIGHUP", "SIGBREAK"):  # these end the course as Ctrl-C does
        number = getattr(signal, name, None)
        if number and signal.getsignal(number) == signal.SIG_DFL:  # nohup ignores SIGHUP
            signal.signal(number, signal.default_int_handler)
    return explained(run, arguments)


def run(arguments: list[str]) -> int:
    """Run one command; return the exit code."""
    if sys.version_info[:2] > environment.NEWEST_PYTHON:
        found, newest = (
            ".".join(map(str, each)) for each in (sys.version_info[:3], environment.NEWEST_PYTHON)
        )
        say(f"Python {found} is newer than {newest}, the newest one tried. Trying it anyway.")
    if arguments[:1] == ["test"]:  # all that follows is for pytest
        return testing.run_tests(arguments[1:])
    if not arguments or (arguments[0].startswith("-") and arguments[0] not in ("-h", "--help")):
        arguments = ["open", *arguments]
    options = vars(parser().parse_args(arguments))
    return options.pop("run")(**options)


def parser() -> argparse.ArgumentParser:
    """Return the parser of the command line: each command with the function that runs it."""
    whole = argparse.ArgumentParser(
        prog="course.py", description="Without a command, the course opens in your browser."
    )
    commands = whole.add_subparsers(title="commands", metavar="COMMAND", required=True)

    def add(name, run, help, folder=paths.MY_COURSE, holds="your lessons are kept"):
        command = commands.add_parser(name, help=help, description=help)
        command.set_defaults(run=run)
        default = folder.relative_to(paths.ROOT).as_posix()
        command.add_argument(
            "--folder", default=folder, type=folder_of, help=f"where {holds} ({default})"
        )
        return command

    opens = add("open", server.open_course, "open the course in the browser")
    shows = add("present", server.present, "show a lesson's panels on a projector, without code")
    shows.add_argument("lesson", nargs="?", help="such as 03; without one, a list to choose from")
    for command in (opens, shows):
        command.add_argument(
            "--no-browser", dest="browser", action="store_false", help="only print the address"
        )
    pages = add(
        "export",
        export,
        "make pages of all lessons, for phones and to print",
        paths.MY_COURSE / "pages",
        "the pages go",
    )
    pages.add_argument(
        "--units", choices=UNITS, default="metric", help="what numbers are shown in (metric)"
    )
    add("check", check_machine, "say whether all that the course needs is there and works")
    commands.add_parser(
        "test", help="run all tests, or the quick ones: test quick; else what follows is for pytest"
    )
    return whole


def folder_of(text: str) -> Path:
    """Return the folder that somebody wrote; refuse those of the course itself."""
    folder = Path(text).resolve()
    if paths.belongs_to_course(folder):
        raise CourseError(
            f"{folder} belongs to the course itself. Write another folder after --folder."
        )
    return folder


def check_machine(folder: Path) -> int:
    """Say line by line what is right and what is wrong, also before anything is installed."""
    if environment.site_packages() is None:
        return check.main(folder)
    return run_in_venv("check", str(folder))


def export(folder: Path, units: str) -> int:
    """Make pages of the lessons that need neither the course nor a network."""
    environment.prepare(environment.LEARNER_PACKAGES)
    return run_in_venv("export", str(folder), units)


def run_in_venv(module: str, *arguments: str) -> int:
    """Run a module of the launcher with the Python of .venv; return its exit code."""
    with tempfile.TemporaryDirectory() as state:
        command = [paths.VENV_PYTHON, "-m", f"launcher.{module}", *arguments]
        settings = environment.jupyter_environment(Path(state))
        return subprocess.call(command, cwd=paths.ROOT, env=settings)
