"""What is written in a picture, and whether all of it is on the paper.

Ask after the picture was drawn (`panel.png()`): only then do ticks have their places.
"""

from matplotlib.text import Text


def written(figure) -> list[Text]:
    """The texts that show, those of moving artists and on ticks among them."""
    found = []
    for axes in figure.axes:
        for each in (axes, *axes.child_axes):
            found += each.texts
            found += _on_axes(each) if each.axison else []
    return [text for text in found if text.get_visible() and text.get_text().strip()]


def _on_axes(axes) -> list[Text]:
    found = []
    for axis in (axes.xaxis, axes.yaxis):
        low, high = sorted(axis.get_view_interval())
        ticks = axis.get_major_ticks()
        found += [tick.label1 for tick in ticks if low <= tick.get_loc() <= high]
        found.append(axis.label)
    return found


def cut_off(figure) -> list[str]:
    """The texts that do not lie on the paper as a whole."""
    paper = figure.bbox
    boxes = {text.get_text(): text.get_window_extent() for text in written(figure)}
    return [
        text
        for text, box in boxes.items()
        if not (paper.x0 <= box.x0 < box.x1 <= paper.x1 and paper.y0 <= box.y0 < box.y1 <= paper.y1)
    ]


def overlapping(texts) -> list[tuple[str, str]]:
    """The pairs of texts that lie on one another."""
    boxes = [(text.get_text(), text.get_window_extent()) for text in texts]
    return [
        (one, other)
        for number, (one, box) in enumerate(boxes)
        for other, other_box in boxes[number + 1 :]
        if box.overlaps(other_box)
    ]
