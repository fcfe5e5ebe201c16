"""Panels on exported pages with fewer states, where a test needs no more."""

from launcher import lesson_copies
from launcher.lesson_cells import is_panel, read
from launcher.pages import live, states

CELLS = {
    f"{lesson.name[:2]}-{cell.id}": cell
    for lesson in lesson_copies.lessons()
    for cell in read(lesson).cells
    if is_panel(cell)
}


def few_states(patch, cells, most: int) -> None:
    """Let what moves have so many values, and those that tasks ask for; and play few moments."""
    for cell in cells:
        panel = live.panel_type(cell)
        few = tuple((name, min(number, most)) for name, number in panel.precomputed)
        patch.setattr(panel, "precomputed", few)
    patch.setattr(states, "MOMENTS_APART", 50)
