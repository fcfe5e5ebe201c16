import asyncio
import errno
import json
import os
import subprocess
import sys
import threading
from concurrent.futures import ProcessPoolExecutor
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from helpers.in_the_way import assert_nothing_was_followed, each_special, put_in_the_way
from hypothesis import given
from hypothesis import strategies as st

from recoverykit import InputError
from recoverykit.course import progress
from recoverykit.course.progress import (
    LONGEST_TYPED,
    DamagedFileError,
    Entry,
    NewerFileError,
    Progress,
    file_stem,
    parse,
    use_learner,
)
from recoverykit.units.files import locked, replace_file

MORNING = datetime(2026, 5, 2, 9, 0, tzinfo=UTC)


class Clock:
    """A minute passes at every look."""

    def __init__(self):
        self.time = MORNING

    def __call__(self):
        self.time += timedelta(minutes=1)
        return self.time


@pytest.fixture
def book(tmp_path):
    """The progress of one learner, with nothing in it yet."""
    return Progress("Ann", tmp_path / "progress", Clock())


def after_restart(book: Progress) -> Progress:
    return Progress(book.learner, book.path.parent)


def answers(book: Progress) -> list[str]:
    return [entry.typed["answer"] for entry in book.entries()]


def record(book: Progress, *typed: str):
    for text in typed:
        book.record("03.peak", {"answer": text}, "too low", seed=4)


# --- keeping ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("x" * LONGEST_TYPED, "x" * LONGEST_TYPED),
        ("x" * LONGEST_TYPED + "y", "x" * LONGEST_TYPED + "…"),
        ("7 kN \ud83d", "7 kN ?"),
        ("½ × 30°, naß 🛟\0", "½ × 30°, naß 🛟\0"),
        ("", ""),
    ],
    ids=["longest", "one letter longer", "half a sign", "signs", "nothing"],
)
def test_what_is_typed_is_kept_as_far_as_it_can_be(book, typed, expected):
    book.record("03.guess", {"one": typed, "two": "8 kN"}, "committed")
    for entry in (book.latest("03.guess"), after_restart(book).latest("03.guess")):
        assert entry.typed == {"one": expected, "two": "8 kN"}
    assert book.take_notice() == ""


def test_an_entry_comes_back_whole_after_a_restart(book):
    record(book, "38 kN")
    assert after_restart(book).entries() == [
        Entry("03.peak", {"answer": "38 kN"}, "too low", 4, "2026-05-02T09:01:00+00:00", "metric")
    ]


def test_latest_is_the_last_of_its_id(book):
    record(book, "1 kN", "2 kN")
    book.record("03.faster", {"answer": "3 kN"}, "right")
    assert book.latest("03.peak").typed == {"answer": "2 kN"}
    assert book.latest("03.heavier") is None
    assert book.latest("03.peak", seed=4).typed == {"answer": "2 kN"}
    assert book.latest("03.peak", seed=5) is None


def test_the_file_says_what_it_is(book):
    record(book, "38 kN ½ “ü”")
    document = json.loads(book.path.read_text(encoding="utf-8"))
    assert (document["format"], document["version"]) == ("recoverykit progress", 1)
    assert document["learner"] == "Ann"
    assert document["entries"][0]["typed"]["answer"] == "38 kN ½ “ü”"


def test_looking_makes_no_files(book):
    assert book.entries() == []
    assert not book.path.parent.exists()


# --- two pages at once ------------------------------------------------------------------


def fill_page(folder: Path, page: int):
    book = Progress("Ann", folder)
    record(book, *(f"{page}.{number} kN" for number in range(40)))
    return book.take_notice()


def test_pages_that_write_at_the_same_time_lose_nothing(tmp_path):
    with ProcessPoolExecutor(2) as pool:
        notices = list(pool.map(fill_page, [tmp_path] * 2, [1, 2]))
    assert notices == ["", ""]
    kept = answers(Progress("Ann", tmp_path))
    assert len(kept) == 80
    for page in "12":
        own = [text for text in kept if text.startswith(page)]
        assert own == [f"{page}.{number} kN" for number in range(40)]


def test_a_page_that_never_ends_its_turn_does_not_stop_the_other(book, monkeypatch):
    record(book, "1 kN")
    monkeypatch.setattr(progress, "LOCK_TIMEOUT", 0.05)
    held, done = threading.Event(), threading.Event()

    def hold():
        with locked(book.path.with_suffix(".lock"), 5):
            held.set()
            done.wait()

    holder = threading.Thread(target=hold)
    holder.start()
    held.wait()
    record(book, "2 kN")
    notice = book.take_notice()
    assert answers(book) == ["1 kN", "2 kN"]
    done.set()
    holder.join()
    assert "another page is busy" in notice
    record(book, "3 kN")
    assert answers(after_restart(book)) == ["1 kN", "2 kN", "3 kN"]


# --- faults of the disk -----------------------------------------------------------------


@pytest.mark.parametrize("moment", ["os.replace", "os.fsync"])
def test_a_kernel_killed_while_it_writes_leaves_the_old_file(book, moment):
    record(book, "1 kN")
    before = book.path.read_bytes()
    script = (
        "import os, sys\n"
        "from pathlib import Path\n"
        "from recoverykit.course.progress import Progress\n"
        f"{moment} = lambda *_: os._exit(9)\n"
        "Progress('Ann', Path(sys.argv[1])).record('03.peak', {'answer': '2 kN'}, 'right')\n"
    )
    killed = subprocess.run([sys.executable, "-c", script, book.path.parent], check=False)
    assert killed.returncode == 9
    assert book.path.read_bytes() == before
    record(book, "3 kN")
    assert answers(after_restart(book)) == ["1 kN", "3 kN"]
    assert book.take_notice() == ""
    assert sorted(path.suffix for path in book.path.parent.iterdir()) == [".json", ".lock"]


def raise_disk_full(*_):
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def test_a_full_disk_is_told_and_nothing_is_lost(book, monkeypatch):
    record(book, "1 kN")
    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", raise_disk_full)
        record(book, "2 kN")
    notice = book.take_notice()
    assert "could not be kept on disk (No space left on device)" in notice
    assert book.take_notice() == "", "told once"
    assert answers(book) == ["1 kN", "2 kN"], "it stays in memory"
    assert answers(after_restart(book)) == ["1 kN"]
    assert not list(book.path.parent.glob("*.tmp"))
    record(book, "3 kN")
    assert answers(after_restart(book)) == ["1 kN", "2 kN", "3 kN"], "kept as soon as it can be"


@pytest.fixture
def read_only(monkeypatch):
    """Make the disk read-only, for the administrator too."""
    really_open = os.open

    def open_to_read(path, flags, *args, **kwargs):
        if flags & (os.O_WRONLY | os.O_RDWR):
            raise OSError(errno.EROFS, os.strerror(errno.EROFS))
        return really_open(path, flags, *args, **kwargs)

    def refuse(*_, **__):
        raise OSError(errno.EROFS, os.strerror(errno.EROFS))

    def make_read_only():
        monkeypatch.setattr(os, "open", open_to_read)
        for name in ("unlink", "rename"):
            monkeypatch.setattr(Path, name, refuse)

    return make_read_only


def test_a_read_only_folder_can_be_read_and_the_rest_is_told(book, read_only):
    record(book, "1 kN")
    read_only()
    assert answers(book) == ["1 kN"]
    assert book.take_notice() == ""
    record(book, "2 kN")
    assert "could not be kept on disk (Read-only file system)" in book.take_notice()
    assert answers(book) == ["1 kN", "2 kN"]


def test_a_folder_that_cannot_be_made_is_told(tmp_path):
    (tmp_path / "progress").write_text("a file, not a folder")
    book = Progress("Ann", tmp_path / "progress")
    record(book, "1 kN")
    assert "could not be kept on disk" in book.take_notice()
    assert answers(book) == ["1 kN"]


def test_on_a_disk_without_locks_answers_are_kept_and_it_is_told_once(book, monkeypatch):
    fcntl = pytest.importorskip("fcntl", reason="flock is of Unix")

    def no_locks(*_):
        raise OSError(errno.ENOTSUP, os.strerror(errno.ENOTSUP))

    monkeypatch.setattr(fcntl, "flock", no_locks)
    record(book, "1 kN")
    assert "have only one page of the course open" in book.take_notice()
    record(book, "2 kN")
    assert book.take_notice() == ""
    assert answers(after_restart(book)) == ["1 kN", "2 kN"]


@each_special
@pytest.mark.parametrize("name", ["ann.json", "ann.lock", "ann.json.tmp"])
def test_what_is_no_file_stops_nothing_and_is_told(book, what, name):
    place = book.path.with_name(name)
    put_in_the_way(what, place)
    record(book, "1 kN")
    notice = book.take_notice()
    assert f"could not be kept on disk ({name} is a " in notice
    assert "move or delete what stands there under that name" in notice
    assert answers(book) == ["1 kN"]
    assert_nothing_was_followed(place)
    if what == "a folder":
        place.rmdir()
    else:
        place.unlink()
    record(book, "2 kN")
    assert answers(after_restart(book)) == ["1 kN", "2 kN"]


def test_a_file_without_end_is_set_aside(book):
    book.path.parent.mkdir()
    with book.path.open("wb") as file:
        file.truncate(10**12)  # takes no room on the disk
    record(book, "1 kN")
    assert "far too large" in book.take_notice()
    assert answers(after_restart(book)) == ["1 kN"]


# --- how often it is read ---------------------------------------------------------------


def test_a_file_is_parsed_once_for_as_long_as_nobody_changes_it(book, monkeypatch):
    record(book, "1 kN")
    other_page = after_restart(book)
    parsed = []
    monkeypatch.setattr(progress, "parse", lambda content: parsed.append(1) or parse(content))
    for _ in range(5):
        assert answers(other_page) == ["1 kN"]
    assert len(parsed) == 1
    record(book, "2 kN")
    assert answers(book) == ["1 kN", "2 kN"]
    assert len(parsed) == 1, "what a page has written itself it knows"
    assert answers(other_page) == ["1 kN", "2 kN"]
    assert len(parsed) == 2


def test_entries_that_were_given_away_may_be_changed(book):
    record(book, "1 kN")
    book.entries().clear()
    assert answers(book) == ["1 kN"]


def test_of_the_units_only_the_last_choice_is_kept(book):
    for system in ("US", "metric", "US"):
        book.record("units", {"system": system}, "committed")
        record(book, "1 kN")
    kept = after_restart(book)
    assert [entry.id for entry in kept.entries()] == ["03.peak", "03.peak", "units", "03.peak"]
    assert kept.latest("units").typed == {"system": "US"}


# --- damaged files ----------------------------------------------------------------------

GOOD = {"id": "a", "typed": {"answer": "1 kN"}, "verdict": "right", "seed": 0, "time": "t"}


def document(**changes) -> bytes:
    return json.dumps(
        {"format": "recoverykit progress", "version": 1, "learner": "Ann", "entries": [GOOD]}
        | changes
    ).encode()


DAMAGED = {
    "empty": b"",
    "cut short": document()[:-20],
    "zeros": bytes(300),
    "a byte that is no text": document().replace(b"kN", b"\xff"),
    "a list": b"[]",
    "another format": document(format="something else"),
    "no version": document(version=None),
    "version 0": document(version=0),
    "version as text": document(version="1"),
    "entries missing": document(entries=None),
    "an entry cut": document(entries=[GOOD, {"id": "a"}]),
    "an entry of text": document(entries=["a"]),
    "typed as text": document(entries=[GOOD | {"typed": "1 kN"}]),
    "typed numbers": document(entries=[GOOD | {"typed": {"answer": 1}}]),
    "seed as text": document(entries=[GOOD | {"seed": "0"}]),
    "half a sign": document(entries=[GOOD | {"typed": {"answer": "\ud800 kN"}}]),
    "half a sign in a name": document(entries=[GOOD | {"typed": {"\udfff": "1 kN"}}]),
    "half a sign in an id": document(entries=[GOOD | {"id": "\ud800"}]),
    "half a sign in bytes": document().replace(b"kN", b"\xed\xa0\x80"),
    "nested": b"[" * 100_000,
}


def test_the_document_that_the_damaged_ones_are_made_from_is_good():
    assert parse(document()) == [Entry(**GOOD)]


@pytest.mark.parametrize("content", DAMAGED.values(), ids=DAMAGED.keys())
def test_a_damaged_file_is_set_aside_and_told(book, content):
    book.path.parent.mkdir()
    book.path.write_bytes(content)
    assert book.entries() == []
    notice = book.take_notice()
    assert notice.startswith("Your progress file could not be read (")
    assert "ann.damaged-1.json" in notice
    assert (book.path.parent / "ann.damaged-1.json").read_bytes() == content
    record(book, "1 kN")
    assert answers(after_restart(book)) == ["1 kN"]


def test_a_second_damaged_file_does_not_overwrite_the_first(book):
    book.path.parent.mkdir()
    for content in (b"first", b"second"):
        book.path.write_bytes(content)
        record(book, "1 kN")
    aside = sorted(book.path.parent.glob("*.damaged-*.json"))
    assert [path.read_bytes() for path in aside] == [b"first", b"second"]


def test_a_damaged_file_on_a_read_only_disk_is_told(book, read_only):
    book.path.parent.mkdir()
    book.path.write_bytes(b"damaged")
    read_only()
    assert book.entries() == []
    assert "could not be read" in book.take_notice()
    assert book.path.read_bytes() == b"damaged"


def test_a_file_of_a_newer_course_is_left_as_it_is(book):
    book.path.parent.mkdir()
    content = document(version=2, entries={"of another": "shape"})
    book.path.write_bytes(content)
    assert book.entries() == []
    assert "newer version of this course" in book.take_notice()
    record(book, "1 kN")
    assert "newer version of this course" in book.take_notice()
    assert answers(book) == ["1 kN"]
    assert book.path.read_bytes() == content


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
    max_leaves=10,
)


@given(st.binary() | json_values.map(lambda value: json.dumps(value).encode()))
def test_whatever_is_in_a_file_it_is_read_or_called_damaged(content):
    with pytest.raises(DamagedFileError):
        parse(content)


@given(json_values, json_values)
def test_whatever_is_in_the_right_frame_it_is_read_or_called_damaged(version, entries):
    try:
        parse(document(version=version, entries=entries))
    except (DamagedFileError, NewerFileError):
        return
    assert version == 1
    assert entries == []


# --- names ------------------------------------------------------------------------------

NASTY = [
    "../../etc/passwd",
    "..",
    ".",
    "/",
    "a/b",
    "a\\b",
    "C:\\x",
    "a:b",
    "con",
    "NUL",
    "com1",
    "a\0b",
    "name.json",
    "ann.damaged-1",
    "~",
    "%2e%2e",
    "Åsa",
    "李",
    "x" * 5000,
    "-",
    "a b",
    "a-b",
    "",
]


@pytest.mark.parametrize("name", NASTY, ids=lambda name: repr(name[:20]))
def test_any_name_stays_in_its_folder(tmp_path, name):
    folder = tmp_path / "progress"
    book = Progress(name, folder)
    record(book, "1 kN")
    assert book.take_notice() == ""
    assert book.path.resolve().parent == folder.resolve()
    assert {path.parent for path in tmp_path.rglob("*.*")} == {folder}
    assert answers(Progress(name, folder)) == ["1 kN"]


def test_every_name_has_its_own_file():
    assert len({file_stem(name) for name in NASTY}) == len(NASTY)


@pytest.mark.parametrize("device", ["con", "NUL", "com1", "lpt9"])
def test_no_file_is_called_like_a_device_of_windows(device):
    assert file_stem(device) != device.casefold()
    assert file_stem(device).startswith(device.casefold())


def test_a_name_holds_in_other_lessons_too(in_new_kernel, tmp_path):
    use_learner("  Ann   Lee ")
    assert progress.current().learner == "Ann Lee"
    in_new_kernel()
    assert progress.current().learner == "Ann Lee"
    assert progress.current().path.parent == tmp_path / "progress"


@each_special
@pytest.mark.parametrize("file", ["name.txt", "name.lock", "name.txt.tmp"])
def test_a_name_file_that_is_no_file_stops_nothing_and_is_told(in_new_kernel, what, file):
    use_learner("Ann")
    place = progress.FOLDER / file
    place.unlink(missing_ok=True)
    put_in_the_way(what, place)
    progress.follow_name()
    assert progress.current().learner == "Ann"
    in_new_kernel()
    unnamed = file == "name.txt"
    assert progress.current().learner == ("learner" if unnamed else "Ann")
    assert (f"{file} is a " in progress.current().take_notice()) == unnamed
    use_learner("Ben")
    assert f"The name could not be kept on disk ({file} is a " in progress.current().take_notice()
    record(progress.current(), "1 kN")
    assert answers(Progress("Ben")) == ["1 kN"]
    assert_nothing_was_followed(place)


@pytest.mark.parametrize("content", [None, b"", b"  \n", b"\xff\xfe\xff", b"x" * 200])
def test_a_name_file_that_is_lost_or_damaged_changes_no_name_and_gives_none(in_new_kernel, content):
    use_learner("Ann")
    name_file = progress.FOLDER / "name.txt"
    name_file.unlink()
    if content is not None:
        name_file.write_bytes(content)
    progress.follow_name()
    assert progress.current().learner == "Ann"
    in_new_kernel()
    assert progress.current().learner == "learner"


class Follower:
    """Whom it was told of."""

    def __init__(self):
        self.learners = []
        progress.learner_changed.connect(self.show_learner)

    def show_learner(self, told):
        self.learners.append(told.learner)


def test_a_name_given_in_another_lesson_is_followed_once(in_new_kernel):
    use_learner("Ann")
    told = Follower()
    progress.follow_name()
    assert told.learners == [], "one's own name is no news"
    replace_file(progress.FOLDER / "name.txt", b"Ben")
    for _ in range(2):
        progress.follow_name()
    assert told.learners == ["Ben"]
    record(progress.current(), "1 kN")
    assert (answers(Progress("Ann")), answers(Progress("Ben"))) == ([], ["1 kN"])


def test_a_name_that_holds_in_this_lesson_only_is_not_taken_back(in_new_kernel, monkeypatch):
    use_learner("Ann")
    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", raise_disk_full)
        use_learner("Ben")
    assert "The name could not be kept on disk" in progress.current().take_notice()
    progress.follow_name()
    assert progress.current().learner == "Ben"


def test_a_kernel_follows_names_by_itself(in_new_kernel, monkeypatch):
    monkeypatch.setattr(progress, "FOLLOW_EVERY", 0.01)
    told = Follower()

    async def live():
        progress.keep_following_names.__wrapped__()
        (progress.FOLDER).mkdir()
        (progress.FOLDER / "name.txt").write_text("Ben")
        while not told.learners:
            await asyncio.sleep(0.01)

    asyncio.run(asyncio.wait_for(live(), 30))
    assert told.learners == ["Ben"]


@pytest.mark.parametrize("name", ["", "   ", None, 7, "x" * 61])
def test_a_useless_name_is_refused(in_new_kernel, name):
    with pytest.raises(InputError, match="name"):
        use_learner(name)


def test_the_longest_name_is_taken_and_all_that_watches_is_told(in_new_kernel):
    told = Follower()
    name = "a" * progress.LONGEST_NAME
    use_learner(name)
    with pytest.raises(InputError, match="write at most 60"):
        use_learner(f"{name}a")
    assert told.learners == [name]
