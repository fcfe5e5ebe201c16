"""How much a class server bears: simulated learners on loopback, more and more of them.

    sudo PYTHONPATH=tests .venv/bin/python -m class_server.load --learners 1 5 10 20 30

Prints a row for each number of learners. All of them are active: each has a lesson open and moves a
slider in bursts of ten key presses within two seconds, then looks and talks for five. A delay runs
from a key press to the arrival of its picture; what a browser needs to paint it is not in it. The
newcomers of each row log in at the same moment; "first slider" is then when their lesson has run.
Pages of real browsers load scripts besides, which is not simulated.
"""

import argparse
import asyncio
import itertools
import random
import statistics
import sys
import time

import psutil

from class_server.classroom import Classroom, what_is_missing

LESSONS = ("03-peak-force", "05-weakest-link", "06-what-holds-it", "07-two-vehicles")
KEY_PRESSES, BETWEEN_KEYS, LOOKING = 10, 0.2, 5.0  # number, seconds, seconds
MB = 1e6

COLUMNS = (
    ("learners", 8),
    ("first slider median / last [s]", 30),
    ("picture p50 / p95 [ms]", 22),
    ("server + lesson, each [MB]", 26),
    ("hub / proxy [MB]", 16),
    ("cores: hub, proxy, servers, lessons / this script / machine", 59),
)


def main():
    """Measure for each number of learners in turn."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--learners", type=int, nargs="+", default=[1, 5, 10, 20, 30])
    parser.add_argument("--seconds", type=float, default=60)
    options = parser.parse_args()
    if missing := what_is_missing():
        sys.exit(missing)
    classroom = Classroom()
    try:
        classroom.install()
        classroom.add(*(f"course-load-{number:02}" for number in range(max(options.learners))))
        classroom.start()
        print(" | ".join(title.ljust(width) for title, width in COLUMNS))
        asyncio.run(measure(classroom, options.learners, options.seconds))
    finally:
        classroom.close()


async def measure(classroom: Classroom, numbers: list[int], seconds: float):
    """Let more and more learners in; print what each number of them costs."""
    names = iter(classroom.passwords)
    lessons = itertools.cycle(LESSONS)
    active, learners = [], []
    for number in sorted(numbers):
        new = [classroom.learner(next(names)) for _ in range(number - len(active))]
        arrived = await asyncio.gather(*(arrive(each, next(lessons)) for each in new))
        learners += new
        active += [lesson for lesson, _ in arrived]
        first_sliders = [seconds for _, seconds in arrived]
        cores = CoresInUse(classroom)
        delays = await asyncio.gather(*(move_sliders(lesson, seconds) for lesson in active))
        report(
            str(number),
            f"{statistics.median(first_sliders):.1f} / {max(first_sliders):.1f}",
            f"{share(delays, 50):.0f} / {share(delays, 95):.0f}",
            *memory(classroom, number),
            cores.told(),
        )
    for learner in learners:
        await learner.close()


async def arrive(learner, lesson: str):
    """Log in and open a lesson; return it, and the seconds until its first slider was there."""
    began = time.monotonic()
    await learner.log_in()
    await learner.start()
    opened = await learner.open(f"{lesson}.ipynb")
    seconds = time.monotonic() - began
    assert not opened.faults, opened.faults
    await opened.press("Show without a guess")
    return opened, seconds


async def move_sliders(lesson, seconds: float) -> list[float]:
    """Move a slider as a learner does; return all delays."""
    burst = KEY_PRESSES * BETWEEN_KEYS
    delays = []
    until = time.monotonic() + seconds
    await asyncio.sleep(random.uniform(0, burst + LOOKING))  # a class is not in step
    while time.monotonic() < until:
        delays += await lesson.press_keys(lesson.shown_slider(), KEY_PRESSES, BETWEEN_KEYS)
        await asyncio.sleep(LOOKING)
    return delays


def share(delays: list[list[float]], percent: int) -> float:
    """The delay, in milliseconds, that this share of all key presses kept within."""
    return 1000 * statistics.quantiles(itertools.chain(*delays), n=100)[percent - 1]


def memory(classroom: Classroom, learners: int) -> tuple[str, str]:
    """Memory a learner, and that of hub and proxy: shared pages count in parts (PSS)."""
    megabytes = {
        kind: sum(process.memory_full_info().pss for process in processes) / MB
        for kind, processes in classroom.processes().items()
    }
    server, lesson = megabytes["servers"] / learners, megabytes["kernels"] / learners
    return (
        f"{server:.0f} + {lesson:.0f} = {server + lesson:.0f}",
        f"{megabytes['hub']:.0f} / {megabytes['proxy']:.0f}",
    )


class CoresInUse:
    """How many cores the class keeps busy, from the making of this until it is told."""

    def __init__(self, classroom: Classroom):
        self._processes = classroom.processes() | {"this script": [psutil.Process()]}
        self._began = time.monotonic()
        self._before = self._seconds()
        psutil.cpu_percent()

    def _seconds(self) -> dict[str, float]:
        return {
            kind: sum(sum(process.cpu_times()[:2]) for process in processes)
            for kind, processes in self._processes.items()
        }

    def told(self) -> str:
        """Cores in use by each kind of process, and how busy the machine is."""
        took = time.monotonic() - self._began
        cores = [(now - self._before[kind]) / took for kind, now in self._seconds().items()]
        *class_server, script = (f"{each:.2f}" for each in cores)
        machine = f"{psutil.cpu_percent():.0f} % of {psutil.cpu_count()}"
        return f"{', '.join(class_server)} / {script} / {machine}"


def report(*cells: str):
    """Print one row."""
    print(
        " | ".join(cell.ljust(width) for cell, (_, width) in zip(cells, COLUMNS, strict=True)),
        flush=True,
    )


if __name__ == "__main__":
    main()
