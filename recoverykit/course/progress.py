"""Progress: what a learner guessed and answered, in one file a learner, kept through restarts.

A file is replaced whole, never written into, so that a crash leaves the old file or the new one.
Two pages open at once take turns by a lock, and each adds to what the other wrote.
"""

import asyncio
import contextlib
import errno
import functools
import hashlib
import json
import re
import unicodedata
from collections.abc import Callable
from dataclasses import asdict, dataclass, fields
from datetime import UTC, datetime
from pathlib import Path

from recoverykit.units.files import NotAFileError, locked, read_file, reason, replace_file
from recoverykit.units.parsing import CONVENTIONS
from recoverykit.units.quantities import InputError, display
from recoverykit.units.signals import Signal
from recoverykit.units.text import DIRECTION_MARKS

FORMAT = "recoverykit progress"
VERSION = 1
FOLDER = Path("progress")  # under the working directory, which is the folder of the lessons
DEFAULT_LEARNER = "learner"
LONGEST_NAME = 60
LONGEST_TYPED = 5000  # letters kept of one field: more than any answer has
LARGEST = 50_000_000  # bytes of a file that is read; a year of answers has less than one million
LOCK_TIMEOUT = 5.0  # seconds to wait for another page's turn, which takes milliseconds
FOLLOW_EVERY = 1.0  # seconds: nobody goes from one page to another faster than that
UNITS = "units"  # id of the entry that keeps the learner's units, of which only the last one counts


def now() -> datetime:
    """Date and time of day, in UTC."""
    return datetime.now(UTC)


@dataclass(frozen=True)
class Entry:
    """One guess or answer: which, what was typed in each field, the verdict, the numbers' seed.

    A seed stands for other numbers in each display system. Entries of older courses do not name
    theirs.
    """

    id: str
    typed: dict[str, str]
    verdict: str
    seed: int
    time: str  # ISO 8601, UTC
    units: str = ""  # the display system in force


class Progress:
    """The entries of one learner, on disk as `folder`/`learner`.json.

    Nothing here raises because of the disk: what cannot be kept stays in memory, is tried again
    with the next entry, and `take_notice` says so in a sentence.

    >>> import tempfile
    >>> folder = tempfile.TemporaryDirectory()
    >>> progress = Progress("Ann", Path(folder.name))
    >>> progress.record("03.peak", {"answer": "38 kN"}, "right", seed=2)
    >>> Progress("Ann", Path(folder.name)).latest("03.peak").typed
    {'answer': '38 kN'}
    >>> folder.cleanup()
    """

    def __init__(
        self,
        learner: str = DEFAULT_LEARNER,
        folder: Path = FOLDER,
        clock: Callable[[], datetime] = now,
    ):
        self.learner = learner
        self.path = folder.absolute() / f"{file_stem(learner)}.json"
        self._clock = clock
        self._unsaved: list[Entry] = []
        self._notices: dict[str, None] = {}  # in order, each once
        self._told_of_locks = False
        self._told_conventions: set[str] = set()
        self._parsed: tuple[object, list[Entry]] = (None, [])  # which file, and what is in it

    def record(self, id: str, typed: dict[str, str], verdict: str, seed: int = 0) -> None:
        """Add an entry, with the time of now."""
        stamp = self._clock().isoformat(timespec="seconds")
        kept = {name: _keepable(text) for name, text in typed.items()}
        self._unsaved.append(Entry(id, kept, verdict, seed, stamp, display.system.name))
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            with self._turn() as has_locks:
                self._write(_without_earlier_units(self._read() + self._unsaved))
        except (OSError, UnicodeError, NewerFileError) as fault:
            self.tell(f"This could not be kept on disk ({reason(fault)}). {_remedy(fault)}")
            return
        self._unsaved.clear()
        if not (has_locks or self._told_of_locks):
            self._told_of_locks = True
            self.tell(
                "The disk of your folder has no locks: your answers are kept, but have only one "
                "page of the course open at a time."
            )

    def entries(self) -> list[Entry]:
        """All entries, oldest first."""
        try:
            return self._read_in_turn() + self._unsaved
        except (OSError, NewerFileError) as fault:
            self.tell(
                f"Your earlier answers could not be read ({reason(fault)}). The file "
                f"{self.path.name} stays as it is."
            )
            return list(self._unsaved)

    def latest(self, id: str, **fields) -> Entry | None:
        """The last entry for a guess or question with these fields; None where there is none."""
        wanted = {"id": id, **fields}.items()
        entries = reversed(self.entries())
        return next((entry for entry in entries if wanted <= vars(entry).items()), None)

    def tell(self, notice: str) -> None:
        """Leave a sentence for the next `take_notice`."""
        self._notices[notice] = None

    def take_notice(self) -> str:
        """What the learner should be told about the file and was not yet told; often nothing."""
        notice = " ".join(self._notices)
        self._notices.clear()
        return notice

    def not_yet_told(self, note: str) -> str:
        """A note on how something was read, without the conventions that the learner knows by now.

        >>> progress = Progress()
        >>> progress.not_yet_told("pounds are read as pounds-force (lbf)")
        'pounds are read as pounds-force (lbf)'
        >>> progress.not_yet_told("pounds are read as pounds-force (lbf)")
        ''
        """
        notes = note.split("; ")
        new = [each for each in notes if each not in self._told_conventions]
        self._told_conventions |= CONVENTIONS.intersection(notes)
        return "; ".join(new)

    def _turn(self) -> contextlib.AbstractContextManager[bool]:
        return locked(self.path.with_suffix(".lock"), LOCK_TIMEOUT)

    def _read_in_turn(self) -> list[Entry]:
        if _stamp_of(self.path) in (None, self._parsed[0]):
            return self._read()
        with contextlib.ExitStack() as stack:
            # In a folder that cannot be written to there is no lock, and nobody else writes.
            with contextlib.suppress(OSError):
                stack.enter_context(self._turn())
            return self._read()

    def _read(self) -> list[Entry]:
        stamp = _stamp_of(self.path)
        if stamp is None:
            return []
        if stamp != self._parsed[0]:
            try:
                self._parsed = stamp, self._parse_file()
            except DamagedFileError as fault:
                aside = self._set_aside()
                self.tell(
                    f"Your progress file could not be read ({fault}). It is kept as {aside.name}, "
                    f"and a new file is begun."
                )
                return []
        return self._parsed[1]

    def _parse_file(self) -> list[Entry]:
        content = read_file(self.path, LARGEST)
        if len(content) > LARGEST:
            raise DamagedFileError("it is far too large for a progress file")
        return parse(content)

    def _set_aside(self) -> Path:
        number = 1
        while (aside := self.path.with_suffix(f".damaged-{number}.json")).exists():
            number += 1
        self.path.rename(aside)
        return aside

    def _write(self, entries: list[Entry]) -> None:
        document = {
            "format": FORMAT,
            "version": VERSION,
            "learner": self.learner,
            "entries": [asdict(entry) for entry in entries],
        }
        replace_file(self.path, json.dumps(document, ensure_ascii=False, indent=1).encode())
        self._parsed = _stamp_of(self.path), entries


def _stamp_of(path: Path) -> object:
    """What changes whenever a file does; None while there is no file."""
    try:
        found = path.lstat()
    except (FileNotFoundError, NotADirectoryError):
        return None
    return found.st_ino, found.st_size, found.st_mtime_ns


def _without_earlier_units(entries: list[Entry]) -> list[Entry]:
    """Entries of which only the last is one of units; else every press would lengthen the file."""
    last = next((entry for entry in reversed(entries) if entry.id == UNITS), None)
    return [entry for entry in entries if entry.id != UNITS or entry is last]


# --- the learner in front of the screen -------------------------------------------------

_current: list[Progress] = []  # at most one: views of one kernel share what is not yet on disk
_name_files: list[object] = []  # at most one: the stamp of the name file that was last read
learner_changed = Signal()  # sends the progress of a learner newly named


def current() -> Progress:
    """The progress of the learner last named, in this lesson or another; at first, of "learner"."""
    if not _current:
        try:
            _current.append(Progress(_name_on_disk() or DEFAULT_LEARNER))
        except OSError as fault:
            _current.append(Progress())
            _current[0].tell(f"The name that you gave could not be read ({reason(fault)}).")
    return _current[0]


def use_learner(name: str) -> None:
    """Keep answers under a name from now on: in this lesson, and in all that are open or run later.

    >>> use_learner("  ")
    Traceback (most recent call last):
    ...
    recoverykit.units.quantities.InputError: the name '  ' is empty; write for example "Ann"
    """
    progress = Progress(_checked_name(name))
    _turn_to(progress)
    try:
        FOLDER.mkdir(exist_ok=True)
        with locked(_name_file().with_suffix(".lock"), LOCK_TIMEOUT):
            replace_file(_name_file(), progress.learner.encode())
            _name_files[:] = [_stamp_of(_name_file())]
    except (OSError, UnicodeError) as fault:
        # Told last, for the one who asked for the name.
        progress.tell(
            f"The name could not be kept on disk ({reason(fault)}). It holds in this "
            f"lesson, until the lesson is closed."
        )


def follow_name() -> None:
    """Turn to the learner who was named in another lesson, if there was one."""
    with contextlib.suppress(OSError):  # told when a lesson begins
        current()
        if _stamp_of(_name_file()) not in (None, *_name_files):
            name = _name_on_disk()
            if name not in (None, current().learner):
                _turn_to(Progress(name))


@functools.cache  # a first cell may be run again
def keep_following_names() -> None:
    """Follow the names given in other lessons for as long as this kernel lives."""
    with contextlib.suppress(RuntimeError):  # there is no kernel
        _follow_on(asyncio.get_running_loop())


def _follow_on(loop: asyncio.AbstractEventLoop):
    loop.call_later(FOLLOW_EVERY, _follow_on, loop)
    follow_name()


def _turn_to(progress: Progress):
    _current[:] = [progress]
    learner_changed.send(progress)


def _name_file() -> Path:
    return FOLDER / "name.txt"


def _name_on_disk() -> str | None:
    """The name that was given last; None where there is none, or none that can be read."""
    _name_files[:] = [_stamp_of(_name_file())]
    try:
        return _checked_name(read_file(_name_file(), LONGEST_TYPED).decode())
    except (FileNotFoundError, UnicodeError, InputError):
        return None


def _checked_name(name: str) -> str:
    plain = " ".join(_UNWRITABLE.sub(" ", name).split()) if isinstance(name, str) else ""
    if not plain:
        raise InputError(f'the name {name!r:.60} is empty; write for example "Ann"')
    if len(name) > LONGEST_NAME:
        raise InputError(f"the name has {len(name)} characters; write at most {LONGEST_NAME}")
    return plain


# What has no place in a name: control characters, halves of signs, and what turns the direction
# of the words after it.
_UNWRITABLE = re.compile(rf"[\x00-\x1f\x7f-\x9f\ud800-\udfff{DIRECTION_MARKS}]")


_RESERVED = {"con", "prn", "aux", "nul"}  # and with a digit: names that Windows gives to devices
_RESERVED |= {f"{device}{digit}" for device in ("com", "lpt") for digit in range(10)}


def file_stem(learner: str) -> str:
    """A file name for a learner's name, harmless on every disk, and its own for every name.

    >>> file_stem("Ann")
    'ann'
    >>> file_stem("../Ann")
    'ann-2a8c40'
    """
    plain = unicodedata.normalize("NFKC", learner).casefold()
    stem = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:40]
    if stem == plain and stem not in _RESERVED:
        return stem
    return f"{stem}-{hashlib.sha256(plain.encode()).hexdigest()[:6]}".strip("-")


# --- the file ---------------------------------------------------------------------------


class DamagedFileError(ValueError):
    """A progress file is not what this module wrote."""


class NewerFileError(ValueError):
    """A progress file comes from a newer version of the course; it is left as it is."""


def parse(content: bytes) -> list[Entry]:
    """The entries in the bytes of a progress file.

    Raises DamagedFileError for anything that `Progress` did not write, and NewerFileError for
    a version that this one does not know.
    """
    try:
        document = json.loads(content)
    except (ValueError, RecursionError):
        raise DamagedFileError("it is cut short, or is no progress file") from None
    if not isinstance(document, dict) or document.get("format") != FORMAT:
        raise DamagedFileError("it is no progress file")
    version = document.get("version")
    if not isinstance(version, int) or version < 1:
        raise DamagedFileError(f"its version {version!r:.20} is not known")
    if version > VERSION:
        raise NewerFileError("the file was written by a newer version of this course")
    entries = document.get("entries")
    if not isinstance(entries, list):
        raise DamagedFileError("it holds no list of entries")
    return [_entry(number, record) for number, record in enumerate(entries, 1)]


def _entry(number: int, record) -> Entry:
    try:
        record = {"units": "", **record}
        entry = Entry(**{field.name: record[field.name] for field in fields(Entry)})
    except (TypeError, KeyError):
        raise DamagedFileError(f"its entry {number} is not complete") from None
    well_typed = isinstance(entry.typed, dict) and isinstance(entry.seed, int)
    texts = [entry.id, entry.verdict, entry.time, entry.units]
    texts += [*entry.typed, *entry.typed.values()] if well_typed else []
    if not (well_typed and all(isinstance(text, str) for text in texts)):
        raise DamagedFileError(f"its entry {number} holds something that the course does not write")
    try:
        "".join(texts).encode()
    except UnicodeEncodeError:  # as of "\\ud800", which no file takes
        raise DamagedFileError(f"its entry {number} holds half a sign") from None
    return entry


def _keepable(text: str) -> str:
    """A text as it can be kept: not endless, and without halves of signs, which no file takes."""
    shown = text if len(text) <= LONGEST_TYPED else f"{text[:LONGEST_TYPED]}…"
    return shown.encode("utf-8", "replace").decode("utf-8")


_FULL = {errno.ENOSPC, errno.EFBIG, getattr(errno, "EDQUOT", errno.ENOSPC)}


def _remedy(fault: Exception) -> str:
    """What to do, so that it can be kept."""
    if isinstance(fault, NewerFileError):
        return "Use that version, or keep your answers under another name."
    if isinstance(fault, NotAFileError):
        first = "move or delete what stands there under that name"
    elif isinstance(fault, TimeoutError):
        first = "close the other pages of the course"
    elif getattr(fault, "errno", None) in _FULL:
        first = "make room on the disk"
    else:
        first = "make sure the folder with your lessons can be written to"
    return f"Leave this page open, {first}, and check an answer again: then this one is kept, too."
