"""A disk that is full or cannot be written to, for real: nothing kept is lost, and it is told."""

import contextlib
import subprocess

import pytest

from recoverykit.course import progress
from recoverykit.course.progress import Progress
from recoverykit.lessons import (
    ExtrapolationPanel,
    OwnLog,
    PlanPanel,
    RecordSaver,
    ask,
    ask_line,
    ask_name,
    ask_survey,
    guess,
)
from recoverykit.lessons.ideas import SURVEY
from recoverykit.lessons.plan.card_view import keep
from recoverykit.lessons.plan.own_line import EXAMPLE
from recoverykit.measurements.session import CurrentSession
from recoverykit.units.files import write_new

NOT_KEPT = "This could not be kept on disk"


@pytest.fixture
def disk(small_disk, monkeypatch):
    """A small disk, with the learner in it who has answered once."""
    monkeypatch.chdir(small_disk)
    monkeypatch.setattr(progress, "_current", [])
    ask("03.peak").answer("1 kN")
    return small_disk


def fill(disk):
    """Leave not a byte; give the file that takes the room."""
    ballast = disk / "ballast"
    with contextlib.suppress(OSError), ballast.open("wb", buffering=0) as file:
        while file.write(bytes(512)):
            pass
    return ballast


def make_read_only(disk):
    subprocess.run(["mount", "-o", "remount,ro", str(disk)], check=True)


def make_writable(disk):
    subprocess.run(["mount", "-o", "remount,rw", str(disk)], check=True)


def kept():
    """What another kernel finds on the disk."""
    return [entry.typed.get("answer") for entry in Progress().entries()]


BREAK = {
    "full": (fill, lambda disk: (disk / "ballast").unlink(), "make room on the disk"),
    "read-only": (make_read_only, make_writable, "can be written"),
}
each_break = pytest.mark.parametrize(
    ("break_disk", "mend_disk", "to_do"), BREAK.values(), ids=BREAK.keys()
)


@each_break
def test_an_answer_is_judged_and_told_and_kept_as_soon_as_it_can_be(
    disk, break_disk, mend_disk, to_do
):
    file = disk / "progress" / "learner.json"
    before = file.read_bytes()
    break_disk(disk)
    question = ask("03.peak")
    question.answer("2 kN")
    assert question.sentence.startswith("2 kN is too low.")
    assert NOT_KEPT in question.sentence
    assert to_do in question.sentence
    assert file.read_bytes() == before
    assert kept() == ["1 kN"]
    assert [entry.typed["answer"] for entry in progress.current().entries()] == ["1 kN", "2 kN"]

    mend_disk(disk)
    later = ask("03.heavier")
    later.answer("doubles")
    assert NOT_KEPT not in later.sentence
    assert kept() == ["1 kN", "2 kN", "doubles"]


def do_guess():
    view = guess("03.guess")
    view.fill_in(**dict.fromkeys(view.guess.template.fields, "20 kN"))
    view.keep()
    return view


def do_survey():
    view = ask_survey("before")
    view.choose({idea.id: idea.right for idea in SURVEY.ideas})
    view.commit()
    return view


def do_line():
    view = ask_line(PlanPanel())
    view.write(EXAMPLE)
    return view


def do_name():
    view = ask_name()
    view.name("Ann")
    return view


@each_break
@pytest.mark.parametrize("do", [do_guess, do_survey, do_line, do_name])
def test_whatever_cannot_be_kept_says_so_at_once(disk, break_disk, mend_disk, to_do, do):
    break_disk(disk)
    assert "could not be kept on disk" in do().sentence
    mend_disk(disk)


@each_break
def test_a_new_name_that_cannot_be_kept_leaves_the_old_one(disk, break_disk, mend_disk, to_do):
    do_name()
    break_disk(disk)
    view = ask_name()
    view.name("Berta")
    assert "under the name Berta" in view.sentence
    assert (disk / "progress" / "name.txt").read_text() == "Ann"
    mend_disk(disk)


def test_room_for_a_part_of_the_file_is_no_room(disk):
    """Half of the new file fits: the old one stays until the new one is whole."""
    ballast = fill(disk)
    with ballast.open("r+b") as file:
        file.truncate(ballast.stat().st_size - 4096)
    question = ask("03.peak")
    question.answer("9" * 4900)
    assert NOT_KEPT in question.sentence
    assert kept() == ["1 kN"]
    assert not list((disk / "progress").glob("*.tmp"))


def test_a_limit_on_the_size_of_files(tmp_path, monkeypatch):
    """As a quota gives it, on any Unix and without an administrator."""
    resource = pytest.importorskip("resource")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(progress, "_current", [])
    question = ask("03.peak")
    question.answer("1 kN")
    file = tmp_path / "progress" / "learner.json"
    before = file.read_bytes()
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (len(before) + 20, hard))
    try:
        question.answer("2 kN")
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert "too low" in question.sentence
    assert "(File too large)" in question.sentence
    assert "make room on the disk" in question.sentence
    assert file.read_bytes() == before
    question.answer("3 kN")
    assert kept() == ["1 kN", "2 kN", "3 kN"]


# --- pictures, records and cards --------------------------------------------------------


def test_on_a_full_disk_no_half_record_stays_behind(disk):
    fill(disk)
    saver = RecordSaver(ExtrapolationPanel(CurrentSession()), disk)
    assert saver.save_record() is None
    assert "othing was written: No space left on device" in saver._reply.value
    assert not list(disk.glob("*.pdf"))


def test_on_a_full_disk_no_empty_template_stays_behind(disk):
    fill(disk)
    own = OwnLog(CurrentSession(), disk)
    own.write_template()
    assert "Nothing was written: No space left on device" in own._template.value
    assert not list(disk.glob("*.csv"))


def test_on_a_full_disk_no_half_card_stays_behind(disk):
    fill(disk)
    _, sentence = keep({"pdf": bytes(5000)}, disk)
    assert sentence.startswith("The card could not be kept in your folder (No space left")
    assert not list(disk.glob("*.pdf"))


def test_a_file_that_is_there_outlives_a_full_disk(disk):
    (disk / "record.pdf").write_bytes(b"of yesterday")
    fill(disk)
    with pytest.raises(FileExistsError):
        write_new(disk / "record.pdf", bytes(5000))
    assert (disk / "record.pdf").read_bytes() == b"of yesterday"
