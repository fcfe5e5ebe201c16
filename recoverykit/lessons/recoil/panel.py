"""Panel: where the energy of a loaded line goes when a piece of it lets go."""

from dataclasses import dataclass

from recoverykit.course.inputs import Choice
from recoverykit.course.panel import Panel
from recoverykit.course.sliders import length_slider, slider, strength_slider
from recoverykit.lessons.recoil.picture import LettingGoPicture
from recoverykit.lessons.recoil.tasks import TASKS
from recoverykit.physics.recoil import CAUTION, LetGo, PartedLineRow, TetherCatch, like
from recoverykit.physics.rope import Rope, demo_rope, rope_kinds
from recoverykit.tables.marram_point import DemoLetGo
from recoverykit.tables.records import find, table
from recoverykit.units.quantities import Q, at_least, at_most, show
from recoverykit.units.text import as_sentence

WINCH_LINE = "winch line, hardly stretches"
HEAVIEST = Q(10, "kg")
PIECES = {"soft shackle": Q(0.45, "kg"), "bow shackle": Q(2, "kg"), "recovery point": HEAVIEST}

_DEMO = find(DemoLetGo, name="bow shackle of the yard line")
_ROPE = demo_rope(_DEMO.rope)
_STRENGTH, _STRETCH = _DEMO.tether_strength, _DEMO.tether_stretch_at_break
_MASS_OVER_SIZE = _DEMO.rope_mass / (_ROPE.length * _ROPE.breaking_strength)


def _winch_line(length, strength) -> Rope:
    return Rope(length, strength, demo_rope("winch line").stretch_at_break)


_KINDS = rope_kinds(_DEMO.rope) | {WINCH_LINE: _winch_line}


@dataclass(frozen=True)
class LettingGo:
    """What the panel works out: what flies, and what the tether must and can do."""

    let_go: LetGo
    catch: TetherCatch
    rope_parts: bool  # the rope itself parts, before the tension that was asked for
    guess: Q | None  # the energy of the piece at the speed that the learner expected

    @property
    def piece(self) -> str:
        """What a piece of this mass is, as a kind of part."""
        return next(kind for kind, heaviest in PIECES.items() if self.let_go.piece <= heaviest)


class LettingGoPanel(Panel):
    """Sliders for a line, the piece that lets go, and its tether; a picture of their energies.

    They start at an invented case of Marram Point. A stronger or longer rope is taken to be heavier
    in proportion. With a `guess`, the answer stays hidden until it is committed.

    >>> panel = LettingGoPanel()
    >>> panel.set(tension=Q(36, "kN"))
    >>> print(panel.summary)
    The tether may part. The bow shackle flies at 247 km/h at least, 648 km/h at most. The rope
    holds 13.0 kJ, like a 75 kg person falling 18 m. The tether can absorb 2.70 kJ. By these
    numbers, no distance from a loaded line is enough.
    """

    picture_type = LettingGoPicture
    tasks = TASKS
    precomputed = (("tension", 10), ("kind", 5))
    inputs = (
        slider(
            "tension", "Pull in the line", _DEMO.tension, "force", 0, 100, "kN", 1, 250
        ).with_help("How hard the line is pulled when something lets go."),
        Choice("kind", "Kind of rope", next(iter(_KINDS)), list(_KINDS)).with_help(
            "How the rope takes up load as it stretches."
        ),
        strength_slider(_ROPE.breaking_strength, low=Q(60, "kN")),
        length_slider(_ROPE.length),
        slider(
            "piece", "Piece that lets go", _DEMO.piece_mass, "mass", 0.2, HEAVIEST.m, "kg", 0.1, 0.2
        ).with_help("Mass of what tears loose: a soft shackle, a shackle, a recovery point."),
        slider(
            "tether_strength", "Tether strength", _STRENGTH, "force", 10, 200, "kN", 5, 1000
        ).with_help("Breaking strength of the tether that is meant to catch the piece."),
        slider(
            "tether_length", "Tether length", _DEMO.tether_length, "length", 0.5, 5, "m", 0.1, 0.5
        ).with_help("Length of the tether, unloaded."),
        slider(
            "tether_stretch", "Tether stretch", _STRETCH, "ratio", 1, 30, "percent", 1, 1
        ).with_help("How much longer the tether is when it breaks."),
        slider(
            "tether_slack", "Tether slack", _DEMO.tether_slack, "ratio", 0, 100, "percent", 5, 5
        ).with_help("How much of the tether's length hangs loose before the piece tears off."),
    )

    def compute(self, tension, kind, strength, length, piece, **tether):
        """What flies with what energy, and what the tether must and can absorb."""
        rope = _KINDS[kind](length, strength)
        let_go = LetGo(
            rope,
            min(tension, rope.parting_tension),
            piece,
            (_MASS_OVER_SIZE * length * strength).to("kg"),
        )
        speed = self._guessed.get("speed")
        return LettingGo(
            let_go=let_go,
            catch=TetherCatch(
                let_go,
                Rope(tether["tether_length"], tether["tether_strength"], tether["tether_stretch"]),
                tether["tether_slack"],
            ),
            rope_parts=bool(tension > rope.parting_tension),
            guess=None if speed is None else piece * speed**2 / 2,
        )

    def describe(self, result, system):
        """What the tether does, what flies, what that is like, and the caution, always."""
        let_go = result.let_go
        if let_go.tension.magnitude == 0:
            return f"With a slack rope, nothing lets go. {CAUTION}"
        strength = show(let_go.rope.parting_tension, "force", system)
        can, held = at_least(result.catch.can_absorb, "energy"), at_most(let_go.energy, "energy")
        slow, fast = at_least(let_go.least_speed, "flight"), at_most(let_go.most_speed, "flight")
        sentences = [
            f"The rope itself parts at {strength}, and these numbers are for that moment."
            * result.rope_parts,
            as_sentence(result.catch.verdict),
            f"The {result.piece} flies at {slow} at least, {fast} at most.",
            _fastest_in_words(let_go, system),
            f"The rope holds {held}, {like(let_go.energy)}.",
            f"The tether can absorb {can}.",
            CAUTION,
        ]
        return " ".join(filter(None, sentences))


def _fastest_in_words(let_go: LetGo, system) -> str:
    fastest = max(row.fastest for row in table(PartedLineRow))
    if let_go.most_speed <= fastest:
        return ""
    return (
        f"No line in our sources was faster than {show(fastest, 'flight', system)}: the air takes "
        f"much of it."
    )
