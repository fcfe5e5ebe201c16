"""Still drawings of a lesson, made of plain shapes, with words for whoever cannot see them."""

import base64
import html
import io

import matplotlib as mpl
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Patch, Rectangle
from matplotlib.transforms import Affine2D

from recoverykit.course import picture as p
from recoverykit.course.drawing import VEHICLE_LENGTH, Vehicle
from recoverykit.course.parts import METAL, draw_part

WIDTH, MARGIN = 480, 8  # units of a drawing; a phone has some 330 pixels for them, a laptop SHOWN
SHOWN = 420
TEXT = 18.2  # units: 12 pixels on a phone
METER = 21  # units to a meter of vehicles seen from the side
VEHICLE = VEHICLE_LENGTH * METER
TOW_HEIGHT = 0.55 * METER  # where a line is fastened
LETTERS: p.Looks = {"fontsize": 0.72 * TEXT, "ha": "center", "va": "center", "linespacing": 1.15}
MUD, WATER = "#8C6D4F", p.SKY


class Illustration:
    """A drawing on axes whose units are the same in both directions, from the lower left corner.

    It is an SVG picture, so it is sharp at any size; `words` are its text for screen readers.
    """

    def __init__(self, height: float, words: str, shown: float = SHOWN):
        self.words = words
        self._shown = shown
        right = WIDTH + MARGIN
        self.figure = Figure(figsize=((right + MARGIN) / 100, height / 100), dpi=100)
        self.axes = self.figure.add_axes((0, 0, 1, 1), xlim=(-MARGIN, right), ylim=(0, height))
        self.axes.set_axis_off()

    def svg(self) -> str:
        """The drawing as an SVG file; the same drawing always gives the same file."""
        file = io.StringIO()
        with mpl.rc_context({"svg.hashsalt": "illustration", "svg.fonttype": "path"}):
            FigureCanvasSVG(self.figure).print_svg(file, metadata={"Date": None, "Creator": None})
        return file.getvalue()

    def _repr_mimebundle_(self, **kwargs):
        source = base64.b64encode(self.svg().encode()).decode()
        picture = (
            f'<img alt="{html.escape(self.words)}" src="data:image/svg+xml;base64,{source}" '
            f'style="width: 100%; max-width: {self._shown}px; background: white">'
        )
        return {"text/html": picture, "text/plain": self.words}

    # --- what many drawings have --------------------------------------------------------

    def write(self, x: float, y: float, text: str, **looks) -> None:
        """Write a text, its middle at a place."""
        self.axes.text(x, y, text, **(LETTERS | looks))

    def ground(self, y: float) -> None:
        """Draw the ground, its top at a height."""
        left, right = self.axes.get_xlim()
        self.axes.add_artist(Rectangle((left, y - 9), right - left, 9, facecolor="#E4E4E4"))
        self.axes.plot([left, right], [y, y], color=p.BLACK, linewidth=1.2)

    def vehicle(self, x: float, y: float, color: str = p.SKY) -> None:
        """Draw a vehicle that faces right, its rear bumper on the ground line at a place."""
        Vehicle(self.axes, color).put(x, y, METER)

    def sunk_vehicle(self, x: float, y: float, into: str) -> None:
        """Draw a vehicle that stands up to its axles in mud or water, the surface at a height."""
        self.vehicle(x, y - 0.42 * METER, p.ORANGE)
        looks: p.Looks = {"facecolor": into, "edgecolor": "none", "zorder": 3}
        self.axes.add_artist(Rectangle((x - 12, y - 18), VEHICLE + 24, 18, **looks))

    def block(self, x: float, y: float) -> None:
        """Draw a concrete block that does not move, its lower left corner at a place."""
        looks: p.Looks = {"facecolor": METAL, "edgecolor": p.BLACK, "linewidth": 1.5, "hatch": "xx"}
        self.axes.add_artist(Rectangle((x, y), 58, 40, **looks))

    def rope(self, left: float, right: float, y: float, color: str = p.BLUE, width: float = 6):
        """Draw a rope that is straight, from a place on the left to one on the right."""
        for extra, shade in ((2.5, p.BLACK), (0, color)):
            self.axes.plot([left, right], [y, y], color=shade, linewidth=(width + extra) * 0.72)
        self.axes.plot([left, right], [y, y], "o", color=p.BLACK, markersize=6)

    def arrow(self, x: float, y: float, length: float, text: str = "") -> None:
        """Draw an arrow to the right that begins at a place, and write what it is above it."""
        looks: p.Looks = {"width": 4, "headwidth": 14, "headlength": 13, "color": p.RED}
        self.axes.annotate("", (x + length, y), (x, y), arrowprops={**looks, "shrink": 0})
        self.write(x + length / 2, y + 20, text)

    def part(self, kind: str, x: float, y: float, length: float, scale=1.0, across=False) -> None:
        """Draw a part of a line about a place, as the panels do; `across` the page or down it."""
        axes = self.axes
        patches, lines = len(axes.patches), len(axes.lines)
        draw_part(axes, kind, x, y, length / scale)
        place = Affine2D().translate(-x, -y).scale(scale).rotate_deg(90 * across).translate(x, y)
        drawn: list[Patch | Line2D] = [*axes.patches[patches:], *axes.lines[lines:]]
        for artist in drawn:
            artist.set_transform(place + axes.transData)
            artist.set_linewidth(scale * artist.get_linewidth())


# --- scenes of several lessons ------------------------------------------------------------


def pull_at_the_block(
    drawing: Illustration,
    ground: float,
    rope: str,
    color: str = p.BLUE,
    width: float = 6,
    load_cell: bool = False,
) -> None:
    """Draw the truck that drives off on a rope fastened to the mooring block."""
    truck, height = 330, ground + TOW_HEIGHT
    drawing.ground(ground)
    drawing.block(0, ground)
    drawing.vehicle(truck, ground)
    drawing.rope(58, truck, height, color, width)
    if load_cell:
        looks: p.Looks = {"facecolor": p.ORANGE, "edgecolor": p.BLACK, "linewidth": 1.5}
        drawing.axes.add_artist(Rectangle((70, height - 9), 42, 18, zorder=3, **looks))
    drawing.write(0, ground + 56, "mooring block", ha="left")
    drawing.write(195, ground + 18 + 11 * len(rope.splitlines()), rope)
    drawing.write(truck, ground + 56, "launch truck", ha="left")
    drawing.arrow(truck + VEHICLE + 6, ground + 18, 36)


def pull_of_a_sunk_vehicle(drawing: Illustration, into: str, line: str) -> None:
    """Draw the truck that drives off on a line fastened to a vehicle in mud or water."""
    ground, stuck, truck = 45, 14, 330
    drawing.ground(ground)
    drawing.vehicle(truck, ground)
    drawing.sunk_vehicle(stuck, ground, into)
    drawing.rope(stuck + VEHICLE, truck, ground + TOW_HEIGHT)
    drawing.arrow(truck + VEHICLE + 6, ground + 18, 36)
    drawing.write(222, ground + 24 + 10 * len(line.splitlines()), line)


def pull_out_of_mud(drawing: Illustration, line: str) -> None:
    """Draw the truck on wet sand, and the boat carrier that stands in mud."""
    pull_of_a_sunk_vehicle(drawing, MUD, line)
    drawing.write(0, 95, "boat carrier", ha="left")
    drawing.write(WIDTH, 100, "launch truck", ha="right")
    drawing.write(0, 18, "mud up to its wheels", ha="left")
    drawing.write(WIDTH, 18, "on wet sand", ha="right")
