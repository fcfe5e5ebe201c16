"""A class review on the page: a folder of progress files in, a picture and two tables out."""

import base64
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

import ipywidgets

from recoverykit.classroom.class_files import read_class
from recoverykit.classroom.guess_picture import GuessPicture
from recoverykit.classroom.guesses import guess_ids, spread_of
from recoverykit.classroom.picture import ClassReviewPicture
from recoverykit.classroom.review import (
    ClassReview,
    Count,
    guesses_csv,
    ideas_csv,
    questions_csv,
    review,
    signed,
)
from recoverykit.classroom.sample_class import NAME, invented_class
from recoverykit.course.forms import WIDTH, button, row, text_line
from recoverykit.course.html import LiveText, as_html, as_live_text, as_table
from recoverykit.course.inputs import LABEL_WIDTH
from recoverykit.course.picture import WIDTH as PICTURE_WIDTH
from recoverykit.course.progress import Entry
from recoverykit.course.saving import free_place, message_of_new
from recoverykit.course.units_switch import UnitsSwitch
from recoverykit.units.files import reason, write_new
from recoverykit.units.quantities import DisplaySystem, InputError, display
from recoverykit.units.text import as_sentence, left_to_right

FOLDER = Path("class")  # beside the notebook
MOST_LISTED = 20  # questions; further down they are missed by few
MOST_LEFT_OUT = 50  # files; with more of them it is the wrong folder


class ClassReviewView:
    """A box for the folder, and what came of the class in it.

    What is written goes into `out`. All of it can be driven in plain Python: `read`,
    `show_invented`, `save`; `sentence` is the last reply, `result` the last ClassReview.

    >>> view = ClassReviewView(folder=Path("/no/class/here"))
    >>> print(view.sentence.partition(".")[0])
    There is no folder /no/class/here
    >>> view.show_invented()
    >>> print(view.sentence.partition(" Right")[0])
    Invented class: 18 learners. 17 answered the survey both times: the ideas are counted for
    these.
    """

    def __init__(self, folder: Path = FOLDER, out: Path = Path(".")):
        self._out = out
        self._picture = ClassReviewPicture()
        self.result: ClassReview | None = None
        self.sentence = ""
        self.left_out: list[str] = []
        tooltip = "Where the progress files of the class are"
        self._box = text_line("Folder", value=str(folder), tooltip=tooltip)
        self._box.observe(lambda _: self._read_box(), "value")
        self._reply = LiveText(layout={"max_width": WIDTH})
        self._image = _picture_place()
        self._saved = LiveText(layout={"max_width": WIDTH})
        self._tables = ipywidgets.HTML(layout={"max_width": "1000px"})
        self._learners: list[Sequence[Entry]] = []
        self._lesson = ipywidgets.Dropdown(
            options=[(f"Lesson {id[:2]}", id) for id in guess_ids()],
            description="Guesses of",
            tooltip="Whose guess is shown",
            style={"description_width": LABEL_WIDTH},
        )
        self._lesson.observe(lambda _: self._show_guesses(), "value")
        self._guess_picture = GuessPicture()
        self._guess_image = _picture_place()
        self._guess_words = LiveText(layout={"max_width": WIDTH})
        self._shown = ipywidgets.VBox(
            [
                self._image,
                row(button("Save pictures and tables", "Write PNG and CSV files", self.save)),
                self._saved,
                row(self._lesson, UnitsSwitch()),
                self._guess_image,
                self._guess_words,
                self._tables,
            ]
        )
        self.view = ipywidgets.VBox(
            [
                row(
                    self._box,
                    button("Read the folder", "Read the files, again or anew", self._read_box),
                    button("Show an invented class", "See what it looks like", self.show_invented),
                ),
                self._reply,
                self._shown,
            ]
        )
        self._read_box()
        display.switched.connect(self.show_in)

    def show_in(self, system: DisplaySystem) -> None:
        """Follow a switch of the display system."""
        if self.result is not None:
            self._show_guesses()

    def read(self, folder: Path | str) -> None:
        """Show the class whose files are in a folder."""
        if self._box.value == str(folder):
            self._read_box()
        else:
            self._box.value = str(folder)

    def show_invented(self) -> None:
        """Show a class that nobody has taught."""
        self._show(invented_class(), {}, NAME)

    def save(self) -> None:
        """Write the picture and the tables into new files, and say where they are."""
        if self.result is None:
            return
        stem, lesson = self.result.name.replace(" ", "-"), self._lesson.value[:2]
        contents = {
            f"{stem}-review.png": self._picture.png(),
            f"{stem}-ideas.csv": ideas_csv(self.result),
            f"{stem}-questions.csv": questions_csv(self.result),
            f"{stem}-guesses-{lesson}.png": self._guess_picture.png(),
            f"{stem}-guesses.csv": guesses_csv(self._learners),
        }
        try:
            self._saved.value = "".join(self._write(*each) for each in contents.items())
        except OSError as fault:
            said = f"The files could not be written: {reason(fault)}."
            self._saved.value = as_live_text(said)

    def _write(self, name: str, content: bytes) -> str:
        place = free_place(self._out, name)
        write_new(place, content)
        return message_of_new(place, content)

    def _read_box(self):
        # As paths are pasted: with quotes, or a ~ for the home folder.
        folder = Path(self._box.value.strip().strip("\"'") or ".")
        try:
            files = read_class(folder.expanduser())
        except (InputError, OSError, RuntimeError, ValueError) as fault:
            self._refuse(as_sentence(fault), folder)
            return
        if not files.learners and not files.left_out:
            self._refuse("There are no progress files in this folder.", folder)
            return
        self._show(files.learners.values(), files.left_out, "class")

    def _refuse(self, sentence: str, folder: Path):
        self.result, self.left_out = None, []
        self._shown.layout.display = "none"
        self._say(
            f"{sentence} Put the progress files of the class into {_absolute(folder)}, in as many "
            f'folders as you like, and press "Read the folder". Or write another folder above.'
        )

    def _show(self, learners: Iterable[Sequence[Entry]], left_out: Mapping[str, str], name: str):
        self._learners = list(learners)
        self.result = review(self._learners, name)
        self.left_out = [f"{left_to_right(file)}: {reason}." for file, reason in left_out.items()]
        self._picture.update(self.result)
        self._image.value = self._picture.png()
        self._tables.value = _ideas_table(self.result) + _questions_table(self.result)
        self._show_guesses()
        self._saved.value = ""
        self._shown.layout.display = None
        self._say(f"{name.capitalize()}: {self.result.summary}")

    def _show_guesses(self):
        spread = spread_of(self._lesson.value, self._learners)
        self._guess_picture.update(spread)
        self._guess_image.value = self._guess_picture.png()
        self._guess_words.value = as_live_text(spread.summary)

    def _say(self, sentence: str):
        self.sentence = left_to_right(sentence)
        items = "".join(f"<li>{as_html(each)}</li>" for each in self.left_out[:MOST_LEFT_OUT])
        more = len(self.left_out) - MOST_LEFT_OUT
        rest = f"<p>And {more} more.</p>" if more > 0 else ""
        listed = f"<p>Left out:</p><ul style='line-height: 1.4'>{items}</ul>{rest}" * bool(items)
        self._reply.value = as_live_text(self.sentence) + listed

    def _repr_mimebundle_(self, **kwargs):
        # The sentence is for readers without a kernel, and for static pages.
        bundle = self.view._repr_mimebundle_(**kwargs) | {"text/plain": self.sentence}
        if self.result is not None:
            bundle["image/png"] = base64.b64encode(self._picture.png()).decode()
        return bundle


def _picture_place() -> ipywidgets.Image:
    layout = {"width": f"{PICTURE_WIDTH}px", "max_width": "100%", "height": "auto"}
    return ipywidgets.Image(format="png", layout=layout)


def _absolute(folder: Path) -> Path:
    try:
        return folder.expanduser().absolute()
    except RuntimeError:  # there is no such user
        return folder


def _ideas_table(result: ClassReview) -> str:
    rows = (
        (
            f"{tally.idea.id} {tally.idea.name}",
            _percent(tally.before),
            _percent(tally.after),
            signed(tally.gain),
            tally.commonest or "–",
        )
        for tally in result.ideas
    )
    heads = ("Idea", "Right before", "Right after", "Normalized gain", "Commonest other answer")
    return as_table(heads, rows, "Idea by idea")


def _questions_table(result: ClassReview) -> str:
    rows = (
        (
            f"{tally.name}, {tally.topic}",
            _percent(tally.missed),
            f"{tally.mistake} ({tally.mistaken})" if tally.mistake else "–",
        )
        for tally in result.questions[:MOST_LISTED]
    )
    heads = ("Question", "Missed at first", "Commonest mistake")
    return as_table(heads, rows, "Questions most missed")


def _percent(count: Count) -> str:
    return "nobody" if count.share is None else f"{count.share:.0%} ({count})"
