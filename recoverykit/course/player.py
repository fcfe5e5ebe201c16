"""Moments to play and to scrub: a button that runs through them, and a slider to any of them."""

from collections.abc import Callable, Sequence

import ipywidgets


class Player:
    """A play button and a slider over the same moments; `show` is called with the number of one.

    Nothing plays by itself, and nothing plays for ever: pictures that move are not for everybody.
    The slider goes from moment to moment with the arrow keys.
    """

    def __init__(self, labels: Sequence[str], interval: int, show: Callable[[int], None]):
        self.button = ipywidgets.Play(
            max=len(labels) - 1,
            interval=interval,
            show_repeat=False,
            tooltip="Play in slow motion, pause, or go back to the start",
            layout={"flex": "0 0 auto"},
        )
        self.slider = ipywidgets.SelectionSlider(
            options=[(label, number) for number, label in enumerate(labels)],
            description="Time [s]",
            tooltip="The moment that is shown, after the rope came taut.",
            style={"description_width": "80px"},
            layout={"flex": "1 1 260px", "width": "auto"},
        )
        # Linked in the kernel: so the handle goes along with the picture, not ahead of it.
        ipywidgets.link((self.button, "value"), (self.slider, "index"))
        self.slider.observe(lambda change: show(change["new"]), "index")
        self.view = ipywidgets.HBox(
            [self.button, self.slider], layout={"flex_flow": "row wrap", "margin": "4px 0"}
        )
