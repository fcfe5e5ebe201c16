"""What a view is made of, and what the page sends to it."""

import ipywidgets


def widgets(view, kind):
    """All widgets of a kind in a view, in order."""
    found, stack = [], [view.view]
    while stack:
        widget = stack.pop(0)
        found += [widget] if isinstance(widget, kind) else []
        stack = list(getattr(widget, "children", ())) + stack
    return found


def page(view):
    """All that a view shows as text."""
    return " ".join(html.value for html in widgets(view, ipywidgets.HTML))


def click(view, label):
    """Press the button of this label."""
    (button,) = (b for b in widgets(view, ipywidgets.Button) if b.description == label)
    assert not button.disabled
    button.click()


def send(widget, **state):
    """Send what the page sends when a learner does something to a widget."""
    data = {"method": "update", "state": state, "buffer_paths": []}
    widget._handle_msg({"content": {"data": data}, "buffers": []})
