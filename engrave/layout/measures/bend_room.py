"""Bends and moves of the vibrato bar, decided and measured once: where they stand, how much room they need. In staff spaces."""

import math
from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction
from typing import NamedTuple

from engrave.fonts.symbols import MusicFace
from engrave.fonts.text_face import text_face
from engrave.layout.direction import Direction
from engrave.layout.measures.bend_amounts import set_amount
from engrave.layout.measures.chords import flag_glyph
from engrave.score.joins import Joins, NoteAt, note_at
from engrave.score.sign_list import SignName
from engrave.score.structure import Note, PartMeasure, Voice
from engrave.style.sections import Style
from engrave.theory.bends import BarMove, BarMoveKind, BendKind, BendStep, amount_sign
from engrave.theory.duration import NoteValue

VIBRATOS = (SignName.VIBRATO, SignName.WIDE_VIBRATO)
FEWEST_WAVES = 2
"""A vibrato with fewer is not known as one (house rule)."""
NOTHING = -math.inf
"""Where nothing stands that an amount would have to clear."""


class Arrow(NamedTuple):
    """One step of a bend: the x of its tip, its amount ("" where none is written) and that one's left edge.

    A bend that is held has no tip: its x is where it has come to.
    """

    step: BendStep
    x: float
    label: str
    label_left: float


def decide_bend_arrows(
    steps: Sequence[BendStep], start: float, at_fret: bool, clear: float, over: float | None, style: Style
) -> tuple[Arrow, ...]:
    """The arrows of one bend from left to right, amounts in the middle over their tips.

    The string is taken up at `start`, at its fret or while it is held bent. The first amount clears ink that reaches to `clear`. An upright arrow stands at
    `over`, its amount alone clearing the ink, or at the right of `start` where that is None. Before a further rise, an
    amount makes room on its left.
    """
    head, words = style.stacking.bend_arrow, style.words.bend
    whole_step = style.signs[SignName.BEND].letters
    arrows: list[Arrow] = []
    x = start
    for number, step in enumerate(steps):
        if step.kind is BendKind.HOLD:
            arrows.append(Arrow(step, x, "", x))
            continue
        label = amount_sign(step.semitones, whole_step) if step.semitones > 0 else ""
        width = set_amount(label, words, style).width
        lean = width / 2
        if number + 1 < len(steps) and steps[number + 1].kind is BendKind.BEND:
            lean = width - head / 2
        if step.kind is BendKind.RELEASE:
            lean = -head / 2 - style.stacking.sign_gap / 4
        if step.kind is BendKind.PRE_BEND:
            x = start + head * style.stacking.bend_hook if over is None else over
        else:
            x += head * style.stacking.bend_away if at_fret else style.stacking.bend_step
        before = arrows[-1] if arrows else None
        if before is not None and before.step.kind is BendKind.HOLD and len(arrows) > 1:
            x = max(x, _arrows_reach(arrows[-2:-1], style) + head / 2 + style.stacking.sign_gap)
        left = x - lean
        if not arrows and label:
            left = max(left, clear + style.stacking.rhythm_bend_gap)
            if step.kind is not BendKind.PRE_BEND or over is None:
                x = left + lean
        arrows.append(Arrow(step, x, label, left))
        at_fret = step.kind is BendKind.RELEASE and not label
    return tuple(arrows)


class StringBend(NamedTuple):
    """How the string of one note is bent: its steps and arrows from left to right, both empty where it is not.

    The string is taken up at `start`, at its fret or, `held`, bent from a tied note. `has_labels`: its arrows have the
    amounts, also for lower strings that are bent alike. `ends_bent`: it is bent when the note ends.
    """

    steps: tuple[BendStep, ...]
    arrows: tuple[Arrow, ...]
    start: float
    held: bool
    has_labels: bool
    ends_bent: bool


class BendInk(NamedTuple):
    """The bends of one event; x counts from the middle of the digits on a tab, from the column on a staff.

    `strings` runs in parallel with the digits or notes; it is empty where nothing is bent. `over_digit`: an upright
    arrow stands over its digit and not on a hook at its side. `between_stems`: the tips stand low, between the stems of
    a tab. `right` is the right edge of all arrows and amounts.
    """

    strings: tuple[StringBend, ...] = ()
    over_digit: bool = False
    between_stems: bool = False
    right: float = NOTHING

    @property
    def is_upright_over_digit(self) -> bool:
        """True when an arrow stands over its digit, where a stem must give way."""
        return self.over_digit and any(
            bend.steps and not bend.held and bend.steps[0].kind is BendKind.PRE_BEND for bend in self.strings
        )


NO_BENDS = BendInk()
NOT_BENT = StringBend((), (), 0.0, held=False, has_labels=False, ends_bent=False)
"""A string that is not bent (fact)."""


class BentAt(NamedTuple):
    """An event of a measure in which a string comes bent from a tie: its voice and its number there, from 0.

    `grace`: 0 for the event itself, -1 for the grace note before it, -2 for the one before that, 1 for the first after.
    """

    voice: int
    event: int
    grace: int = 0


BentStrings = Mapping[int, Fraction]
"""Strings that ties hold bent from the note before, with how far, in semitones."""
HeldStrings = Mapping[BentAt, BentStrings]
"""Those of a measure."""
NONE_HELD: HeldStrings = {}
NO_STRINGS: BentStrings = {}


def find_held_strings(contents: Sequence[PartMeasure], joins: Joins) -> dict[int, HeldStrings]:
    """The strings held bent in the measures of a part, as its `joins` say; measures without any are left out."""
    found: dict[int, dict[BentAt, dict[int, Fraction]]] = {}
    for at, level in joins.bent.items():
        content = contents[at.measure]
        held = found.setdefault(at.measure, {}).setdefault(_bent_at(content.voices[at.voice], at), {})
        held[note_at(content, at).string] = level
    return {measure: dict(held) for measure, held in found.items()}


def _bent_at(voice: Voice, at: NoteAt) -> BentAt:
    """The event of a note whose grace notes are not counted as events."""
    main = 0
    for index, event in enumerate(voice.events):
        main += len(event.before.events) if event.before is not None else 0
        after = len(event.after.events) if event.after is not None else 0
        if at.event <= main + after:
            return BentAt(at.voice, index, at.event - main)
        main += after + 1
    raise ValueError(f"there is no event {at.event} in the voice")


def are_bent(notes: Iterable[Note], held: BentStrings) -> bool:
    """True when one of the notes of an event is bent, or was when it was tied; most are not, and need no measuring."""
    return bool(held) or any(note.techniques and note.bend for note in notes)


def is_held(note: Note, held: BentStrings) -> bool:
    """True when a note is tied on and its string is one of those `held` bent."""
    return note.tie_from and note.string in held


def ends_bent(steps: Sequence[BendStep], held: bool) -> bool:
    """True when a string is bent after `steps`, which may be none; `held`: it was bent before."""
    return steps[-1].semitones > 0 if steps else held


class BentNote(NamedTuple):
    """A note that may be bent: the right edge of its head or digit, its height, and whether it comes bent from a tie."""

    note: Note
    right: float
    y: float
    held: bool


class BendPlace(NamedTuple):
    """Where the bends of an event stand: `middle` of its heads or digits, x of its `stem`, ink to be cleared by amounts.

    `between_stems`: on a tab whose stems stand above.
    """

    middle: float
    stem: float
    clear: float
    between_stems: bool
    has_rhythm: bool


def measure_bends(notes: Sequence[BentNote], place: BendPlace, style: Style) -> BendInk:
    """The bends of one event.

    Strings bent alike share their amounts, which the highest has; others stand further to the right.
    """
    if not any(bent.note.bend or bent.held for bent in notes):
        return NO_BENDS
    over_digit = decide_arrow_over_digit([bent.note for bent in notes])
    gap = style.staff.fret_clearance / 2
    starts: dict[tuple[BendStep, ...], float] = {}
    tops: dict[tuple[BendStep, ...], float] = {}
    for bent in notes:
        steps = bent.note.bend
        if steps and not bent.held:
            starts[steps] = max(bent.right, starts.get(steps, bent.right))
            tops[steps] = max(bent.y, tops.get(steps, bent.y))
    shared: dict[tuple[BendStep, ...], tuple[Arrow, ...]] = {}
    clear = place.clear
    for steps, right in starts.items():
        over = place.middle if over_digit else None
        shared[steps] = decide_bend_arrows(steps, right + gap, True, clear, over, style)
        clear = _arrows_reach(shared[steps], style)
    aside = style.stacking.sign_gap if place.between_stems else 0.0
    strings = []
    for bent in notes:
        steps = bent.note.bend
        start = place.stem + aside if bent.held else bent.right + gap
        arrows = () if bent.held else shared.get(steps, ())
        if bent.held and steps:
            arrows = decide_bend_arrows(steps, start, False, NOTHING, None, style)
        labels = bent.held or bent.y == tops.get(steps)
        strings.append(
            StringBend(steps, arrows, start, bent.held, labels, ends_bent=ends_bent(steps, bent.held))
        )
    right = max((_arrows_reach(bend.arrows, style) for bend in strings if bend.arrows), default=NOTHING)
    return BendInk(tuple(strings), over_digit, place.between_stems, right)


def _arrows_reach(arrows: Iterable[Arrow], style: Style) -> float:
    """The right edge of all arrows and amounts."""
    words = style.words.bend
    half = style.stacking.bend_arrow / 2
    return max(max(a.x + half, a.label_left + set_amount(a.label, words, style).width) for a in arrows)


def decide_arrow_over_digit(notes: Iterable[Note]) -> bool:
    """True when an upright arrow can stand over its digit: no other string of the chord is bent or stands in its way."""
    digits = sorted((note for note in notes if not note.tie_from), key=lambda note: note.string)
    return not any(note.bend for note in digits[1:])


def decide_low_tips(height: float, style: Style) -> float:
    """How high the tips of arrows between the stems of a tab stand, which is `height` high (house rule)."""
    return height + style.stacking.rhythm_bend_height


class TipsPlace(NamedTuple):
    """What the heights of a bend's tips depend on: the height of its digit, where its line is before, the row of tips.

    `top` is the height of the tab or staff. `over_digit` and `between_stems` are those of its `BendInk`.
    """

    y: float
    before: float
    row: float
    top: float
    over_digit: bool
    between_stems: bool


def decide_tip_heights(bend: StringBend, place: TipsPlace, style: Style) -> tuple[float, ...]:
    """How high the tip of each arrow of a bend stands: in the row, a further rise over it, a release at its fret.

    An upright arrow over a digit near the row is as long as an arrow must be (house rule).
    """
    stacking = style.stacking
    level = stacking.rhythm_bend_level if place.between_stems else stacking.bend_level
    heights: list[float] = []
    at_fret, y = not bend.held, place.before
    for arrow in bend.arrows:
        match arrow.step.kind:
            case BendKind.HOLD:
                pass
            case BendKind.PRE_BEND:
                y = decide_upright_tip(place.y, place.row, style) if place.over_digit else place.row
            case BendKind.BEND:
                y = place.row if at_fret else y + level
            case BendKind.RELEASE:
                y = place.top + stacking.bend_partly if arrow.label else place.y
        at_fret = arrow.step.kind is BendKind.RELEASE and not arrow.label
        heights.append(y)
    return tuple(heights)


def decide_upright_tip(y: float, row: float, style: Style) -> float:
    """How high the tip of an arrow over a digit at `y` stands: in the `row`, or so high that a shaft is seen."""
    stacking = style.stacking
    return max(row, over_digit(y, style) + stacking.bend_arrow * (1 + stacking.bend_shaft))


def amounts_top(bends: BendInk, ys: Sequence[float], top: float, style: Style) -> float:
    """How high the amounts between the stems of a tab reach, whose digits stand at `ys`; `NOTHING` without any."""
    row = decide_low_tips(top, style)
    highest = NOTHING
    for bend, y in zip(bends.strings, ys, strict=True):
        place = TipsPlace(y, row if bend.held else y, row, top, bends.over_digit, between_stems=True)
        for arrow, tip in zip(bend.arrows, decide_tip_heights(bend, place, style), strict=True):
            if bend.has_labels and arrow.label and arrow.step.kind is not BendKind.RELEASE:
                reach = set_amount(arrow.label, style.words.bend, style).top
                highest = max(highest, amount_foot(tip, style) + reach)
    return highest


def amount_foot(tip: float, style: Style) -> float:
    """The baseline of an amount over an arrow whose tip stands at `tip`."""
    tallest = set_amount("\u00bd", style.words.bend, style)
    return tip + style.stacking.sign_gap / 2 - tallest.bottom


def over_digit(y: float, style: Style) -> float:
    """Where an arrow over a digit starts, whose middle is at `y`."""
    return y + style.staff.fret_height / 2 + style.stacking.bend_digit_gap


def rhythm_reach(
    value: NoteValue, has_flags: bool, direction: Direction, style: Style, face: MusicFace
) -> float:
    """How far a stem in `direction`, flags and dots on a tab reach right from the middle of the digits."""
    right = style.notes.stem / 2
    if value.dots:
        right = style.notes.dot_gap + value.dots * style.notes.dot_pitch
    if value.flags and has_flags:
        right = max(right, face.glyph(flag_glyph(value.flags, direction)).box.right)
    return right


_GLYPHS = {BarMoveKind.DIP: "guitarVibratoBarDip", BarMoveKind.VIBRATO: "guitarVibratoStroke"}


class BarInk(NamedTuple):
    """A move of the vibrato bar, in staff spaces: its symbol and how far down the bar goes, both "" where there is none.

    Dives and scoops have no symbol; they are falling and rising lines. `label` is in whole steps. `inner` is the width
    of both side by side, `width` that of all, with the letters over them.
    """

    move: BarMove
    glyph: str
    label: str
    inner: float
    width: float


def measure_bar(notes: Sequence[Note], style: Style, face: MusicFace) -> BarInk | None:
    """What the bar does under a chord, as the highest note with a move says; None where there is none."""
    moved = [note for note in notes if note.techniques and note.bar_move is not None]
    if not moved:
        return None
    move = max(moved, key=lambda note: note.pitch.midi).bar_move
    assert move is not None
    words = style.words.technique
    text = text_face(words.face)
    glyph = _GLYPHS.get(move.kind, "")
    label = f"\u2212{amount_sign(move.semitones, '1')}" if move.semitones else ""
    inner = style.stacking.bar_dive
    if glyph:
        box = face.glyph(glyph).box
        inner = box.right - box.left
    if label:
        inner += style.stacking.sign_gap / 2 + set_amount(label, words, style).width
    letters = text.width(style.signs[SignName.VIBRATO_BAR].letters, words.size)
    return BarInk(move, glyph, label, inner, max(inner, letters))
