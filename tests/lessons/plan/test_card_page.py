"""The pull card as a page: all of it on the paper, nothing on anything else, always the same."""

import dataclasses
import io
import re

import matplotlib
import numpy as np
import pytest
from helpers.printed import printed
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_rgb
from matplotlib.patches import PathPatch
from PIL import Image

from recoverykit import InputError, Q, display
from recoverykit.course.page import DOTS_PER_INCH, MARGIN, PAPERS, UNHINTED, Page, as_pdf, as_png
from recoverykit.lessons.plan.card_content import (
    BLANKS,
    CHECKS,
    CREW,
    DANGER,
    FOLLOW,
    MARK,
    OWN_VALUES,
    SIGN,
    SIGNALS,
    SIGNALS_TITLE,
    SOURCES,
    TITLE,
    WHO_STOPS,
    pull_card,
)
from recoverykit.lessons.plan.card_page import SMALL_PRINT, card_page
from recoverykit.physics.ground import REDUCTIONS, RecoveryVehicle, StuckVehicle
from recoverykit.physics.plan import STOP_RULES, plan_pull
from recoverykit.physics.rigging import demo_line
from recoverykit.physics.rigging_text import LONGEST_NAME, MOST_PARTS, read_line
from recoverykit.physics.rope import Rope, demo_rope
from recoverykit.units.quantities import METRIC, US

GRASS = RecoveryVehicle(Q(2000, "kg"), "wet grass")
WORKED = StuckVehicle(
    Q(1500, "kg"),
    "wet grass",
    mire="fenders",
    slope=Q(-6, "degree"),
    unloaded=Q(300, "kg"),
    reductions=REDUCTIONS,
)
USUAL = StuckVehicle(Q(1500, "kg"), "wet grass", mire="wheels", reductions=["dig out"])
ROPE = demo_rope()
SYSTEMS = {"metric": (METRIC,), "US": (US,), "both": (US, METRIC)}

each_paper = pytest.mark.parametrize("paper", PAPERS)
each_system = pytest.mark.parametrize("systems", SYSTEMS.values(), ids=SYSTEMS)


def full_line():
    """As many parts as may be, with names as long as may be."""
    parts = [
        f"{f'part {number} '.ljust(LONGEST_NAME, 'x')}: {60 + number} short tons, WLL, factor 5"
        for number in range(MOST_PARTS - 1)
    ]
    rope = "rope: 160 kN, MBS, 4:1, wet, eye splice"
    return read_line("\n".join([*parts[1:], rope, parts[0]])).quantity


def card(line, systems, stuck_vehicle=WORKED, **more):
    display.use(systems[0].name)
    plan = plan_pull(GRASS, stuck_vehicle, ROPE, line)
    return pull_card(plan, line, ROPE, GRASS, stuck_vehicle, systems, **more)


def written_on(page):
    """The texts of a page, and the corners of each in mm from its lower left corner."""
    page.set_dpi(DOTS_PER_INCH)
    renderer = FigureCanvasAgg(page).get_renderer()
    with matplotlib.rc_context(UNHINTED):
        boxes = {text: text.get_window_extent(renderer) for text in page.axes[0].texts}
    mm = 25.4 / DOTS_PER_INCH
    return {text: tuple(mm * box.extents) for text, box in boxes.items()}


def words_on(page):
    return " ".join(text.get_text() for text in page.axes[0].texts)


def check_that_it_can_be_read_at_arms_length(page):
    sizes = sorted(text.get_fontsize() for text in page.axes[0].texts)
    usual = sizes[len(sizes) // 2]
    # Lower-case letters of this font are 0.55 of its size: 2.1 mm high, in small print 1.6 mm.
    assert usual >= 11
    assert {size for size in sizes if size < 11} == {SMALL_PRINT * usual}
    assert sizes[0] >= 8.25


@each_paper
@each_system
@pytest.mark.parametrize("unconfirmed", [OWN_VALUES, ()], ids=["example", "own"])
@pytest.mark.parametrize("line", [demo_line(), full_line()], ids=["yard line", "longest"])
def test_all_is_inside_the_margins_apart_and_large_enough(paper, systems, line, unconfirmed):
    page = card_page(card(line, systems, unconfirmed=unconfirmed), paper)
    check_that_it_can_be_read_at_arms_length(page)
    width, height = PAPERS[paper]
    boxes = list(written_on(page).values())
    assert len(boxes) > 60
    for x0, y0, x1, y1 in boxes:
        assert MARGIN - 0.1 <= x0 < x1 <= width - MARGIN + 0.1
        assert MARGIN - 0.1 <= y0 < y1 <= height - MARGIN + 0.1
    for number, (x0, y0, x1, y1) in enumerate(boxes):
        for a0, b0, a1, b1 in boxes[number + 1 :]:
            # Letters that hang below a line may come near the tops of those in the next.
            assert x1 <= a0 or a1 <= x0 or y1 - 0.3 <= b0 or b1 - 0.3 <= y0
    (axes,) = page.axes  # and its rules and boxes
    corners = [point for line in axes.lines for point in zip(*line.get_data(), strict=True)]
    for patch in axes.patches:
        path = patch.get_path().transformed(patch.get_patch_transform())
        corners += list(path.get_extents().get_points())
    for x, y in corners:
        assert MARGIN - 0.01 <= x <= width - MARGIN + 0.01
        assert MARGIN - 0.01 <= y <= height - MARGIN + 0.01


def _usual():
    return card(demo_line(), (METRIC,), USUAL, unconfirmed=())


@each_paper
@pytest.mark.parametrize("systems", [(US, METRIC), (METRIC, US)], ids=["US first", "metric first"])
def test_the_heaviest_vehicles_on_the_strongest_line_fit_in_both_systems(paper, systems):
    display.use(systems[0].name)
    line = read_line(
        "\n".join(
            [
                *(f"{f'part {n} '.ljust(LONGEST_NAME, 'x')}: 66 tonnes, WLL" for n in range(6)),
                "rope: 400 kN, MBS, 2:1, wet",
                f"{'last '.ljust(LONGEST_NAME, 'x')}: 66 tonnes, WLL",
            ]
        )
    ).quantity
    heavy, rope = RecoveryVehicle(Q(9000, "kg"), "wet grass"), Rope(Q(9, "m"), Q(400, "kN"), 0.12)
    stuck = dataclasses.replace(WORKED, mass=Q(9000, "kg"), unloaded=Q(1800, "kg"))
    plan = plan_pull(heavy, stuck, rope, line)
    assert plan.steps[-1].peak.high > Q(100, "kN")
    page = card_page(pull_card(plan, line, rope, heavy, stuck, systems), paper)
    check_that_it_can_be_read_at_arms_length(page)


@each_paper
def test_a_page_is_used(paper):
    boxes = written_on(card_page(_usual(), paper)).values()
    assert min(y0 for _, y0, _, _ in boxes) < MARGIN + 15


@pytest.mark.parametrize(
    ("paper", "system"), [("A4", "metric"), ("Letter", "US"), ("A4", "both"), ("Letter", "both")]
)
def test_a_reader_of_the_file_finds_every_line_of_the_card(paper, system, tmp_path):
    content = card(full_line(), SYSTEMS[system])
    pdf = as_pdf(card_page(content, paper), TITLE)
    said = " ".join(printed(pdf, tmp_path, "-layout").split())
    whole = [
        TITLE,
        content.mark,
        content.why_marked,
        content.limit,
        content.rope,
        content.work,
        content.work_caution,
        content.case,
        f"Ladder of pulls, {content.pegs}",
        *CHECKS,
        *content.parts,
        *content.wheel,
        WHO_STOPS,
        *STOP_RULES,
        content.keep_clear,
        DANGER,
        FOLLOW,
        content.assumed,
        SOURCES,
        *(label for labels in (*BLANKS, SIGN) for label in labels),
        *CREW,
        SIGNALS_TITLE,
    ]
    assert all(whole)
    for sentence in whole:
        assert " ".join(sentence.split()) in said, sentence
    for title in content.ladder.titles:
        assert title in printed(pdf, tmp_path).replace("\n", " ")
    for row in (*content.ladder.rows, *SIGNALS):
        assert " ".join(cell for cell in row if cell) in said, row
    assert pdf.count(b"/Type /Page ") == 1
    (box,) = re.findall(rb"/MediaBox \[ 0 0 ([\d.]+) ([\d.]+) \]", pdf)
    assert [float(side) * 25.4 / 72 for side in box] == pytest.approx(PAPERS[paper], abs=0.01)


@each_paper
def test_an_example_is_marked_across_the_page_and_no_other_card_is(paper):
    def marks_of(page):
        letters = [patch for patch in page.axes[0].patches if isinstance(patch, PathPatch)]
        return len(letters), words_on(page).count(MARK)

    assert marks_of(card_page(card(demo_line(), (METRIC,)), paper)) == (1, 1)
    assert marks_of(card_page(card(demo_line(), (METRIC,), unconfirmed=["rope"]), paper)) == (1, 1)
    assert marks_of(card_page(card(demo_line(), (METRIC,), unconfirmed=()), paper)) == (0, 0)


@each_paper
def test_the_mark_is_there_on_a_copy_that_knows_no_grey(paper):
    page = Page(paper, 9)
    page.across(MARK)
    black = np.asarray(Image.open(io.BytesIO(as_png(page.figure)))) < 100
    strips = np.array_split(black, 8, axis=1)[1:-1]
    heights = [np.nonzero(strip)[0].mean() / len(black) for strip in strips]
    assert heights == sorted(heights, reverse=True)
    assert heights[0] > 0.7
    assert heights[-1] < 0.3


def test_black_and_white():
    page = card_page(card(demo_line(), (METRIC,)), "A4")
    (axes,) = page.axes
    colors = [text.get_color() for text in axes.texts]
    colors += [line.get_color() for line in axes.lines]
    colors += [box.get_edgecolor()[:3] for box in axes.patches]
    colors += [box.get_facecolor()[:3] for box in axes.patches]
    assert all(len(set(to_rgb(color))) == 1 for color in colors)


def test_names_are_written_as_they_are():
    line = read_line(
        "eye: 90 kN, WLL\nrope $1$: 120 kN, MBS, 4:1\n<b>eye</b> _2^: 90 kN, WLL"
    ).quantity
    page = card_page(card(line, (METRIC,)), "A4")
    as_pdf(page, TITLE)
    said = words_on(page)
    assert "rope $1$" in said
    assert "<b>eye</b> _2^" in said


@each_paper
def test_the_picture_is_one_page_of_that_paper(paper):
    image = Image.open(io.BytesIO(as_png(card_page(_usual(), paper))))
    assert image.mode == "L"
    sides = [side * 25.4 / DOTS_PER_INCH for side in image.size]
    assert sides == pytest.approx(PAPERS[paper], abs=0.2)


def test_one_card_always_gives_the_same_bytes(monkeypatch):
    first = card_page(_usual(), "A4")
    files = as_pdf(first, TITLE), as_png(first)
    monkeypatch.setattr("time.time", lambda: 4e9)
    again = card_page(_usual(), "A4")
    assert (as_pdf(again, TITLE), as_png(again)) == files
    assert b"CreationDate" not in files[0]
    assert b"/Title (Pull card)" in files[0]


def test_another_paper_is_refused():
    with pytest.raises(InputError, match=r"there is no 'A3'; write one of A4, Letter"):
        card_page(_usual(), "A3")


def test_what_does_not_fit_is_refused():
    line = read_line(
        "\n".join(
            f"{f'part {number} '.ljust(LONGEST_NAME, 'w')}: 600 kN, WLL, factor 5, choked, wet, "
            f"basket with legs 45 to 60° off the pull, weathered, bowline"
            for number in range(MOST_PARTS - 2)
        )
        + "\nrope: 999 kN, MBS, 4:1\nlast part: 600 kN, WLL"
    ).quantity
    with pytest.raises(InputError, match="does not fit on one page"):
        card_page(card(line, (US, METRIC)), "Letter")
