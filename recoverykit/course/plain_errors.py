"""A mistake in a worked example is told in one plain sentence; the traceback is one click away."""

import difflib
import html
import re
import traceback

import pint
from IPython import get_ipython
from IPython.display import HTML, display

STRINGS = re.compile(r"\"[^\"]*\"|'[^']*'")
THOUSANDS = re.compile(r"(?<![\w.])\d{1,3}(?:,\d{3})+(?![\w.])")
AGAIN = "Change it and press Shift+Enter."


def tell_errors_plainly() -> None:
    """Tell the mistakes of this notebook's cells in plain words; outside a notebook do nothing."""
    if shell := get_ipython():
        shell.set_custom_exc((Exception,), _tell)


def in_plain_words(error: Exception, line: str, names=()) -> str:
    """What went wrong, in the words of whoever wrote the line; `names` are known to the notebook.

    >>> in_plain_words(NameError("", name="mas"), "mas * 2", ["mass", "speed"])
    "Nothing here is called 'mas'. Did you mean 'mass'?"
    >>> in_plain_words(TypeError("takes from 2 to 3"), 'mass = Q(3,970, "kg")')
    'Write 3970 in place of 3,970: a comma stands between two numbers here.'
    """
    if isinstance(error, NameError):
        near = difflib.get_close_matches(str(error.name), names, n=1)
        hint = f"Did you mean {near[0]!r}?" if near else 'Press "Run the lesson", and look again.'
        return f"Nothing here is called {error.name!r}. {hint}"
    if number := THOUSANDS.search(STRINGS.sub('""', line)):
        whole = number[0].replace(",", "")
        return f"Write {whole} in place of {number[0]}: a comma stands between two numbers here."
    if isinstance(error, SyntaxError):
        return "This line cannot be read. Look for a missing bracket, quotation mark or comma."
    if isinstance(error, pint.UndefinedUnitError):
        unit = error.unit_names if isinstance(error.unit_names, str) else error.unit_names[0]
        return f"There is no unit {unit!r}. Write for example kN, lbf, kg, lb, km/h or mph."
    if isinstance(error, pint.DimensionalityError):
        return f"Units do not go together: {error.units1} and {error.units2}."
    words = str(error) or type(error).__name__
    return f"{words[0].upper()}{words[1:].rstrip('.')}."


def _tell(shell, kind, error, trace, tb_offset=None):
    number, line = _place(shell, error, trace)
    said = f"Line {number}: {line.strip()}\n" if line.strip() else ""
    said += f"{in_plain_words(error, line, shell.user_ns)} {AGAIN}"
    shell._showtraceback(kind, error, [said])  # how IPython itself sends what went wrong
    whole = "".join(traceback.format_exception(kind, error, trace))
    inside = f"<summary>The whole report</summary><pre>{html.escape(whole)}</pre>"
    display(HTML(f"<details>{inside}</details>"))
    return [said]


def _place(shell, error, trace):
    """The number and the text of the line, in the notebook, at which it went wrong."""
    if isinstance(error, SyntaxError):
        return error.lineno, error.text or ""
    for frame in reversed(traceback.extract_tb(trace)):
        if shell.compile.format_code_name(frame.filename):
            return frame.lineno, frame.line or ""
    return 0, ""
