"""Pages that write one learner's file at once and are killed in the middle of it."""

import os
import random
import signal
import subprocess
import sys

import pytest

from recoverykit.course.progress import Progress

# One page: an answer after the other, each said aloud as soon as `record` is back without a fault.
PAGE = """
import itertools, sys, time
from pathlib import Path
from recoverykit.course.progress import Progress
book = Progress("Ann", Path(sys.argv[1]))
for number in itertools.count():
    typed = f"{sys.argv[2]}.{number} kN"
    book.record("03.peak", {"answer": typed}, "right")
    fault = book.take_notice()
    print(fault or typed, flush=True)
    time.sleep(0.03)  # or it would never be the turn of another page
"""
KILLS = 8


def open_page(folder, name):
    return subprocess.Popen(
        [sys.executable, "-c", PAGE, str(folder), name], stdout=subprocess.PIPE, text=True
    )


@pytest.mark.skipif(os.name == "nt", reason="kills as Unix does")
def test_no_answer_that_was_kept_is_lost_when_pages_are_killed(tmp_path):
    draw = random.Random(3)
    pages = {name: open_page(tmp_path, name) for name in ("0a", "0b", "0c")}
    said = []
    try:
        for kill in range(1, KILLS + 1):
            name = draw.choice(sorted(pages))
            said += [pages[name].stdout.readline() for _ in range(draw.randrange(1, 12))]
            pages[name].send_signal(signal.SIGKILL)
            said += pages.pop(name).communicate()[0].splitlines()
            pages[f"{kill}{name[-1]}"] = open_page(tmp_path, f"{kill}{name[-1]}")
    finally:
        for page in pages.values():
            page.kill()
            said += page.communicate()[0].splitlines()

    said = {line.strip() for line in said} - {""}
    assert len(said) > 5 * KILLS
    assert [line for line in said if not line.endswith(" kN")] == [], "told of a fault"
    book = Progress("Ann", tmp_path)
    kept = [entry.typed["answer"] for entry in book.entries()]
    assert book.take_notice() == "", "the file is whole"
    assert said <= set(kept)
    assert len(kept) == len(set(kept)), "nothing is there twice"
    # Each page killed may have kept one more than it had the time to say.
    assert len(set(kept) - said) <= KILLS + 3
    for page in {answer.partition(".")[0] for answer in kept}:
        own = [answer for answer in kept if answer.startswith(f"{page}.")]
        assert own == [f"{page}.{number} kN" for number in range(len(own))], "in their order"
