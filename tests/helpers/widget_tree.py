"""What a view is made of."""


def widgets(view, kind):
    """All widgets of a kind in a view, in order."""
    found, stack = [], [view.view]
    while stack:
        widget = stack.pop(0)
        found += [widget] if isinstance(widget, kind) else []
        stack = list(getattr(widget, "children", ())) + stack
    return found
