"""The small heads of bent notes on a staff, measured: where they stand before and after their chord. In staff spaces."""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.layout.measures.bent_pitches import BentPitches, measure_step_places
from engrave.layout.measures.digits import DigitMeasurer
from engrave.layout.notes.accidental_stack import decide_accidental_offsets
from engrave.marks.mark import NO_SOURCE, Box, Source
from engrave.score.structure import Event
from engrave.style.sections import Style
from engrave.theory.accidentals import AccidentalMemory
from engrave.theory.clef import Clef, ledger_positions, staff_position
from engrave.theory.pitch import Pitch

HEAD = "noteheadBlack"


class SmallHead(NamedTuple):
    """A small head without a stem, which takes no time of its own, at staff position `position`; x counts from the column.

    `dx` is its left edge, `accidental` the symbol before it ("" for none) with its origin `accidental_dx` from the left
    edge. `in_parentheses`: nobody hears it. `share`: it stands at this share of its note, if that is further right.
    """

    position: int
    dx: float
    accidental: str = ""
    accidental_dx: float = 0.0
    in_parentheses: bool = False
    share: Fraction = Fraction(0)


class BentChain(NamedTuple):
    """The heads of one bent string as they sound: the small one before, the note's own at `main`, the small ones after it."""

    string: int
    source: Source
    main: int
    before: SmallHead | None
    after: tuple[SmallHead, ...]


class BentHeads(NamedTuple):
    """The bent strings of one chord, lowest first, and how far their heads reach left (positive) and right of the column."""

    chains: tuple[BentChain, ...] = ()
    left: float = 0.0
    right: float = 0.0


NO_BENT_HEADS = BentHeads()


class Reach(NamedTuple):
    """How far the ink of a chord reaches left (positive) and right of its column."""

    left: float
    right: float


class SmallAccidentals(NamedTuple):
    """The accidentals of small heads, as decided in the order of sounding: by string, those before and those after."""

    before: dict[int, str]
    after: dict[int, tuple[str, ...]]


NO_SMALL_ACCIDENTALS = SmallAccidentals({}, {})


def sign_before(memory: AccidentalMemory, bent: Mapping[int, BentPitches]) -> dict[int, str]:
    """The accidentals of the heads before a chord by string, "" for none; `memory` is told of them."""
    return {
        string: _sign(memory, pitches.before)
        for string, pitches in bent.items()
        if pitches.before is not None
    }


def sign_after(memory: AccidentalMemory, bent: Mapping[int, BentPitches]) -> dict[int, tuple[str, ...]]:
    """The same of the heads after a chord, as many as there are."""
    return {
        string: tuple(_sign(memory, later.pitch) for later in pitches.later)
        for string, pitches in bent.items()
    }


def _sign(memory: AccidentalMemory, pitch: Pitch) -> str:
    accidental, _ = memory.decide(pitch, False)
    return accidental.glyph if accidental is not None else ""


class BentHeadMeasurer:
    """Measures the small heads of bent notes for one style and face."""

    def __init__(self, style: Style, face: MusicFace) -> None:
        """Use the distances of `style` and the symbols of `face`."""
        self._style = style
        self._face = face
        self._digits = DigitMeasurer(style)
        self._size = style.notes.grace_size
        self._middle = face.glyph(HEAD).box.right / 2
        self.width = face.glyph(HEAD).box.right * self._size
        self.parenthesis = face.glyph("noteheadParenthesisLeft").advance * self._size

    def measure(
        self,
        event: Event,
        pitches: Mapping[int, BentPitches],
        signs: SmallAccidentals,
        sources: Sequence[Source],
        place: tuple[Clef, int],
        reach: Reach,
        size: float = 1.0,
    ) -> BentHeads:
        """The heads before and after the chord of `event`, which itself reaches `reach`, drawn at `size`.

        `place` are the clef and by how many positions an octave line moves all notes.
        """
        clef, shift = place
        rights = [self._digits.measure(note, NO_SOURCE, size).right for note in event.notes]
        steps = measure_step_places(event, rights, self._style)
        bent = sorted(
            (
                (staff_position(pitches[note.string].main, clef) + shift, note.string, source)
                for note, source in zip(event.notes, sources, strict=True)
                if note.string in pitches
            ),
        )
        before, left = self._before(
            {
                string: staff_position(known.before, clef) + shift
                for _, string, _ in bent
                if (known := pitches[string]).before is not None
            },
            pitches,
            signs.before,
            reach.left,
        )
        chains = []
        right = reach.right
        for main, string, source in bent:
            heads: list[SmallHead] = []
            edge = reach.right
            for number, later in enumerate(pitches[string].later):
                position = staff_position(later.pitch, clef) + shift
                wish = self._middle * size + steps[string][later.step] - self.width / 2
                head = self._after(position, signs.after[string][number], max(wish, edge), edge)
                heads.append(head._replace(share=later.share))
                edge = head.dx + self.width + self._ledger(position)
            right = max(right, edge)
            chains.append(
                BentChain(
                    string=string, source=source, main=main, before=before.get(string), after=tuple(heads)
                )
            )
        return BentHeads(tuple(chains), left, right)

    def _ledger(self, position: int) -> float:
        """How far the ledger lines of a small head reach past it."""
        return self._style.staff.ledger_overhang * self._size if ledger_positions(position) else 0.0

    def _after(self, position: int, sign: str, wish: float, edge: float) -> SmallHead:
        """A head with its left edge at `wish`, or as far right as ink that reaches to `edge`, and its accidental, need."""
        room = self._style.notes.bend_gap
        if not sign:
            return SmallHead(position, max(wish, edge + room + self._ledger(position)))
        box = self._face.glyph(sign).box
        ledger, white = self._ledger(position), self._style.notes.accidental_gap
        gap = ledger + white if ledger else white * self._size
        width = (box.right - box.left) * self._size + gap
        dx = -gap - box.right * self._size
        return SmallHead(position, max(wish, edge + room / 2 + width), sign, dx)

    def _before(
        self,
        positions: Mapping[int, int],
        pitches: Mapping[int, BentPitches],
        signs: Mapping[int, str],
        reach: float,
    ) -> tuple[dict[int, SmallHead], float]:
        """The heads before a chord that reaches `reach` to the left, by string, and how far they reach."""
        if not positions:
            return {}, reach
        notes = self._style.notes
        around = {s: self.parenthesis if pitches[s].is_pre_bend else 0.0 for s in positions}
        ledger = max(self._ledger(position) for position in positions.values())
        right = -reach - notes.bend_gap - max(ledger, *around.values())
        heads: dict[int, SmallHead] = {}
        last: tuple[int, bool] | None = None
        for string in sorted(positions, key=lambda s: positions[s]):
            position = positions[string]
            aside = last is not None and position - last[0] <= 1 and not last[1]
            dx = right - self.width * (2 if aside else 1)
            heads[string] = SmallHead(position, dx, in_parentheses=pitches[string].is_pre_bend)
            last = position, aside
        edge = min(head.dx for head in heads.values()) - max(ledger, *around.values())
        signed = [string for string in heads if signs.get(string)]
        boxes = [Box(*self._face.glyph(signs[s]).box.scaled(self._size)) for s in signed]
        offsets = decide_accidental_offsets(
            [(heads[s].position, box, None) for s, box in zip(signed, boxes, strict=True)], edge, notes
        )
        left = edge
        for string, offset, box in zip(signed, offsets, boxes, strict=True):
            head = heads[string]
            heads[string] = head._replace(accidental=signs[string], accidental_dx=offset - head.dx)
            left = min(left, offset + box.left)
        return heads, -left
