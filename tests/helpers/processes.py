"""What runs on this machine, by its command line."""

import time

import psutil


def processes_with(word) -> list[str]:
    """The command lines of those processes that have a word in it."""
    found = (process.info["cmdline"] for process in psutil.process_iter(["cmdline"]))
    lines = (" ".join(command or []) for command in found)
    return [line for line in lines if str(word) in line]


def gone(word, seconds=15) -> bool:
    """Whether all processes with a word in their command line end within this time."""
    for _ in range(seconds * 10):
        if not processes_with(word):
            return True
        time.sleep(0.1)
    return False
