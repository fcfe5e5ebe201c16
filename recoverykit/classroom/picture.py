"""Picture: a class before and after the course, idea by idea, and the questions most missed."""

import textwrap

from recoverykit.classroom.review import ClassReview, signed
from recoverykit.course import picture as p
from recoverykit.units.text import counted

TALL = 760  # CSS pixels; nothing moves beside this picture, so it may be as tall as it needs
MOST_MISSED = 6
LONGEST = 52  # letters of a mistake; the table on the page has all of it
_TITLE: p.Looks = {"fontsize": p.TEXT, "fontweight": "bold", "loc": "left", "x": -0.49}


class ClassReviewPicture(p.Picture):
    """An arrow from before to after for each idea; below, a bar for each of the worst questions."""

    def build(self):
        """Make the axes; all that stands in them depends on the class."""
        self.figure.set_size_inches(p.WIDTH / 100, TALL / 100)
        self._ideas = self.figure.add_axes((0.295, 0.465, 0.565, 0.45))
        self._questions = self.figure.add_axes((0.295, 0.07, 0.565, 0.27))

    def update(self, result: ClassReview, system=None):
        """Show a class review."""
        for axes in (self._ideas, self._questions):
            axes.clear()
            axes.set_xlim(0, 100.5)  # half a percent more, so that the last line shows
            axes.grid(axis="x", color="#DDDDDD", linewidth=0.8)
            axes.spines[["top", "right", "left"]].set_visible(False)
            axes.tick_params(labelsize=p.SMALL_TEXT, length=0, pad=7)
            axes.set_axisbelow(True)
        self._draw_ideas(result)
        if not result.learners:
            p.note(self._ideas, 0.5, 0.5, "no learner yet", fontsize=p.TEXT + 4)
        self._draw_questions(result.questions[:MOST_MISSED])
        self.redraw_background()

    def _draw_ideas(self, result: ClassReview):
        axes = self._ideas
        _name_rows(axes, [f"{tally.idea.id}  {tally.idea.name}" for tally in result.ideas])
        axes.set_xlabel("learners with the right answer [%]", fontsize=p.TEXT)
        whom = counted(result.both, "learner") if result.both else "every learner so far"
        title = f"{result.name.capitalize()}: ○ before the course, ● after it ({whom})"
        axes.set_title(title, pad=24, **_TITLE)
        p.note(axes, 1.11, 1.06, "normalized\ngain", ha="center", va="center")
        for row, tally in enumerate(result.ideas):
            _draw_change(axes, row, tally.before.share, tally.after.share)
            gain = "–" if tally.gain is None else signed(tally.gain)
            axes.text(111, row, gain, ha="center", va="center", fontsize=p.TEXT)

    def _draw_questions(self, tallies):
        axes = self._questions
        _name_rows(axes, [tally.name.replace("Lesson ", "").capitalize() for tally in tallies])
        axes.set_xlabel("learners who missed it at their first answer [%]", fontsize=p.TEXT)
        title = "Questions most missed, with the commonest mistake"
        axes.set_title(title, **_TITLE)
        for row, tally in enumerate(tallies):
            looks: p.Looks = {"color": "#F3CF86", "edgecolor": p.BLACK, "linewidth": 0.8}
            axes.barh(row, 100 * tally.missed.share, height=0.72, **looks)
            mistake = textwrap.shorten(tally.mistake or "", LONGEST, placeholder=' …"')
            words = f"{mistake} ({tally.mistaken})" if mistake else "nobody missed it"
            axes.text(1.5, row, words, va="center", fontsize=p.SMALL_TEXT, bbox=p.BEHIND_TEXT)
            axes.text(111, row, str(tally.missed), ha="center", va="center", fontsize=p.TEXT)


def _name_rows(axes, names):
    axes.set_yticks(range(len(names)), names, fontsize=p.TEXT)
    axes.set_ylim(max(len(names), 1) - 0.4, -0.6)


def _draw_change(axes, row, before, after):
    looks = {"color": p.BLACK, "markersize": 9, "clip_on": False, "zorder": 3}
    if None not in (before, after) and before != after:
        arrow = {"arrowstyle": "->", "linewidth": 2.5, "shrinkA": 5, "shrinkB": 5}
        arrow["color"] = p.BLUE if after > before else p.RED
        arrow["linestyle"] = "-" if after > before else "--"
        axes.annotate("", (100 * after, row), (100 * before, row), arrowprops=arrow)
    if before is not None:
        axes.plot(100 * before, row, "o", markerfacecolor="white", **looks)
    if after is not None:
        axes.plot(100 * after, row, "o", **looks)
