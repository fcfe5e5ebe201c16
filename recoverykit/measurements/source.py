"""From a file, or its bytes, to text."""

import codecs
from pathlib import Path

from recoverykit.units.files import read_file
from recoverykit.units.quantities import InputError

MOST_BYTES = 20_000_000

_PICTURES = (b"%PDF", b"\x89PNG", b"\xff\xd8\xff", b"GIF8")


class FieldLogError(InputError):
    """The file cannot be used as a log of pulls at all; the message says what would do."""


def load(source) -> bytes:
    """The bytes of a log, of which the path or they themselves are given."""
    if isinstance(source, bytes | bytearray | memoryview):
        data = bytes(source)
    else:
        data = _load_path(source)
    if len(data) > MOST_BYTES:
        raise FieldLogError(
            f"the file has more than {MOST_BYTES // 1_000_000} MB, too much for a log of pulls; "
            f"keep only the peaks, one row for each pull"
        )
    if data.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0")):
        raise FieldLogError(
            "this is a workbook, not a CSV file; open it in the spreadsheet and save it as CSV"
        )
    if data.startswith(_PICTURES):
        raise FieldLogError(
            "this is a picture or a PDF, not a CSV file; give the file in which the pulls were "
            "written down"
        )
    return data


def _load_path(source) -> bytes:
    try:
        path = Path(source)
        if path.is_file():
            if not path.stat().st_size:
                return b""  # not opened: what the system writes while it is read may never end
            return read_file(path, MOST_BYTES, follow_links=True)
    except (OSError, ValueError, TypeError) as error:
        raise FieldLogError(
            f"{source!r:.200} cannot be opened ({error}); write the path of your CSV file"
        ) from None
    raise FieldLogError(f"{path!s:.200} is not a file; write the path of your CSV file")


def decode(data: bytes) -> tuple[str, str]:
    """The text, and the name of the coding that it was taken for."""
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return data.decode("utf-16", errors="replace"), "UTF-16"
    try:
        return data.decode("utf-8-sig"), "UTF-8"
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace"), "cp1252"
