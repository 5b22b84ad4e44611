"""Notes and rests of one measure on a five-line staff, placed at their columns."""

from __future__ import annotations

from math import inf

from engrave.fonts.symbols import MusicFace
from engrave.layout.beams import Beam, BeamLimit, BeamPiece, BeamStem, decide_beam
from engrave.layout.direction import Direction
from engrave.layout.lines.frames import MeasureFrame
from engrave.layout.measures.chords import flag_glyph
from engrave.layout.measures.ink import ChordInk, RestInk, VoiceInk
from engrave.layout.notes.rests import BeamedRest, beam_limits, decide_rest_retreat
from engrave.layout.systems.beam_marks import Stem, beam_y, pieces_of, place_beams
from engrave.layout.systems.bent_notes import BentHeadPlacer
from engrave.layout.systems.canvas import StaffCanvas
from engrave.layout.systems.grace_notes import GracePlacer, grace_xs
from engrave.layout.systems.placed import PlacedEvent, PlacedVoice, event_end_x
from engrave.marks.mark import Glyph, Line
from engrave.marks.role import Role
from engrave.style.sections import Style
from engrave.theory.clef import ledger_positions

_HALF_HEAD = 0.5
"""Half the height of a head, in staff spaces (fact: it fills a space)."""


class StaffNotePlacer:
    """Places the voices of a five-line staff for one style and face."""

    def __init__(self, style: Style, face: MusicFace) -> None:
        """Use the distances of `style` and the symbols of `face`."""
        self._style = style
        self._face = face
        self._parenthesis = face.glyph("accidentalParensLeft").advance
        self._graces = GracePlacer(style, face)
        self._bent = BentHeadPlacer(style, face)

    def place(self, canvas: StaffCanvas, frame: MeasureFrame, voice: VoiceInk) -> PlacedVoice:
        """Draw one voice of the measure and return where its events ended up."""
        chords = {item.number: item for item in voice.items if isinstance(item, ChordInk)}
        tips, rests = self._place_beams(canvas, frame, voice, chords)
        events = []
        for item in voice.items:
            if isinstance(item, ChordInk):
                if item.before is not None:
                    xs = grace_xs(frame, canvas.plan.part, item.column, False, self._style)
                    events.extend(self._graces.place_on_staff(canvas, item.before, xs))
                event = self._place_chord(canvas, item, frame.xs[item.column], tips.get(item.number))
                if item.bent.chains:
                    end_x = event_end_x(frame, item.event, self._style)
                    chains = self._bent.place(canvas, item, event.x, end_x)
                    event = event._replace(bent=chains, end_x=end_x)
                events.append(event)
                if item.after is not None:
                    xs = grace_xs(frame, canvas.plan.part, item.column, True, self._style)
                    events.extend(self._graces.place_on_staff(canvas, item.after, xs))
            elif isinstance(item, RestInk):
                rest = rests.get(item.number, item)
                events.append(
                    place_rest(canvas, rest, frame.xs[item.column], voice.direction, self._face, self._style)
                )
        return PlacedVoice(tuple(events), voice.direction)

    def _place_beams(
        self, canvas: StaffCanvas, frame: MeasureFrame, voice: VoiceInk, chords: dict[int, ChordInk]
    ) -> tuple[dict[int, float], dict[int, RestInk]]:
        """Draw the beams; by event index, the y where each beamed stem ends, and the rests that give way to a beam."""
        tips: dict[int, float] = {}
        moved: dict[int, RestInk] = {}
        style = self._style
        for group in voice.rhythm.beams:
            members = [chords[i] for i in group.members if i in chords]
            if len(members) < 2:
                continue
            direction = members[0].direction
            nearest = -1 if direction is Direction.UP else 0
            stems = [
                Stem(
                    event=chord.number,
                    x=frame.xs[chord.column] + chord.stem_dx,
                    near=chord.positions[nearest] / 2,
                    beams=chord.event.value.flags,
                    onset=chord.event.onset,
                    length=chord.event.length,
                    source=chord.source,
                )
                for chord in members
            ]
            outer = (members[0].positions[nearest], members[-1].positions[nearest])
            between = range(group.members[0], group.members[-1])
            rests = [
                item
                for item in voice.items
                if isinstance(item, RestInk) and item.number in between and not item.event.hidden
            ]
            beam = self._decide_beam(stems, outer, direction)
            if rests:
                pieces = pieces_of(group, stems, style)
                limits = self._limits(rests, frame, pieces, direction)
                if voice.direction is None:
                    retreat = decide_rest_retreat(
                        beam, (stems[0].x, stems[-1].x), limits, direction, self._style.beams
                    )
                    rests = [_move_rest(rest, -direction * retreat) for rest in rests]
                    moved.update((rest.number, rest) for rest in rests)
                    limits = self._limits(rests, frame, pieces, direction)
                beam = self._decide_beam(stems, outer, direction, limits)
            place_beams(canvas, group, stems, beam, direction, style)
            for stem in stems:
                tips[stem.event] = beam_y(beam, stems, stem.x)
        return tips, moved

    def _decide_beam(
        self,
        stems: list[Stem],
        outer: tuple[int, int],
        direction: Direction,
        limits: tuple[BeamLimit, ...] = (),
    ) -> Beam:
        style = self._style
        plain = [BeamStem(stem.x, stem.near, stem.beams) for stem in stems]
        return decide_beam(
            plain,
            outer,
            direction,
            style.beams,
            notes=style.notes,
            staff_line=style.staff.line,
            limits=limits,
        )

    def _limits(
        self,
        rests: list[RestInk],
        frame: MeasureFrame,
        pieces: tuple[BeamPiece, ...],
        direction: Direction,
    ) -> tuple[BeamLimit, ...]:
        inks = []
        for rest in rests:
            x, box = frame.xs[rest.column], self._face.glyph(rest.glyph).box
            edge = rest.y + (box.top if direction is Direction.UP else box.bottom)
            inks.append(BeamedRest(x + box.left, x + box.right, edge))
        return beam_limits(inks, pieces, direction, self._style.beams)

    def _place_chord(
        self, canvas: StaffCanvas, chord: ChordInk, x: float, beam_tip: float | None
    ) -> PlacedEvent:
        self._place_ledger_lines(canvas, chord, x)
        marks = canvas.marks
        left, right = inf, -inf
        for position, glyph, dx, source in zip(
            chord.positions, chord.heads, chord.head_dx, chord.sources, strict=True
        ):
            head_x = x + dx
            box = self._face.glyph(glyph).box
            left, right = min(left, head_x + box.left), max(right, head_x + box.right)
            if position not in chord.shared:
                marks.append(Glyph(Role.NOTEHEAD, head_x, position / 2, glyph, source))
        self._place_ghosts(canvas, chord, x)
        self._place_accidentals(canvas, chord, x)
        self._place_dots(canvas, chord, x)
        low, high = chord.positions[0] / 2 - _HALF_HEAD, chord.positions[-1] / 2 + _HALF_HEAD
        stem_x, tip = x + chord.stem_dx, 0.0
        has_stem = chord.event.value.denominator > 1
        bottom, top = low, high
        if has_stem:
            tip = self._place_stem(canvas, chord, stem_x, beam_tip)
            bottom, top = min(low, tip), max(high, tip)
            canvas.ink(stem_x, stem_x, bottom, top)
        canvas.ink(left, right, low, high)
        return PlacedEvent(
            item=chord,
            x=x,
            left=left,
            right=right,
            bottom=bottom,
            top=top,
            y_low=low,
            y_high=high,
            direction=chord.direction,
            has_stem=has_stem,
            stem_x=stem_x,
            tip=tip,
        )

    def _place_stem(
        self, canvas: StaffCanvas, chord: ChordInk, stem_x: float, beam_tip: float | None
    ) -> float:
        """Draw stem and flags; the y of the stem's free end."""
        notes = self._style.notes
        up = chord.direction is Direction.UP
        flags = chord.event.value.flags
        tip = beam_tip
        if tip is None:
            tip = chord.tip
            if flags:
                glyph = flag_glyph(flags, chord.direction)
                canvas.glyph(Role.FLAG, stem_x - notes.stem / 2, tip, glyph, chord.source)
                box = self._face.glyph(glyph).box
                canvas.ink(stem_x, stem_x + box.right, tip + box.bottom, tip + box.top)
        root = 0 if up else -1
        start = chord.positions[root] / 2 + self._anchor_y(chord.heads[root], up)
        canvas.marks.append(
            Line(
                role=Role.STEM, x1=stem_x, y1=start, x2=stem_x, y2=tip, width=notes.stem, source=chord.source
            )
        )
        return tip

    def _anchor_y(self, glyph: str, up: bool) -> float:
        anchors = self._face.glyph(glyph).anchors
        return anchors.get("stemUpSE" if up else "stemDownNW", (0.0, 0.0))[1]

    def _place_ledger_lines(self, canvas: StaffCanvas, chord: ChordInk, x: float) -> None:
        low, high = chord.positions[0], chord.positions[-1]
        if low > -2 and high < 10:
            return
        staff = self._style.staff
        for outer in (low, high):
            for position in ledger_positions(outer):
                reach = [
                    (x + dx, x + dx + self._face.glyph(head).box.right)
                    for p, dx, head in zip(chord.positions, chord.head_dx, chord.heads, strict=True)
                    if (p <= position if position < 0 else p >= position)
                ]
                left = min(r[0] for r in reach) - staff.ledger_overhang
                right = max(r[1] for r in reach) + staff.ledger_overhang
                y = position / 2
                canvas.line(
                    Role.LEDGER_LINE, left, y, right, y2=y, width=staff.ledger_line, source=chord.source
                )

    def _place_accidentals(self, canvas: StaffCanvas, chord: ChordInk, x: float) -> None:
        for accidental in chord.accidentals:
            y = accidental.position / 2
            at = x + accidental.dx
            canvas.glyph(Role.ACCIDENTAL, at, y, accidental.glyph, chord.source)
            box = self._face.glyph(accidental.glyph).box
            around = self._parenthesis if accidental.in_parentheses else 0.0
            canvas.ink(at + box.left - around, at + box.right + around, y + box.bottom, y + box.top)
            if accidental.in_parentheses:
                tall = self._face.glyph("accidentalParensLeft").box
                canvas.ink(at + box.left - around, at + box.right + around, y + tall.bottom, y + tall.top)
                canvas.glyph(
                    Role.ACCIDENTAL,
                    at + box.left - self._parenthesis,
                    y,
                    "accidentalParensLeft",
                    chord.source,
                )
                canvas.glyph(Role.ACCIDENTAL, at + box.right, y, "accidentalParensRight", chord.source)

    def _place_dots(self, canvas: StaffCanvas, chord: ChordInk, x: float) -> None:
        pitch = self._style.notes.dot_pitch
        for position in chord.dot_positions:
            for number in range(chord.event.value.dots):
                canvas.glyph(
                    Role.DOT, x + chord.dot_dx + number * pitch, position / 2, "augmentationDot", chord.source
                )

    def _place_ghosts(self, canvas: StaffCanvas, chord: ChordInk, x: float) -> None:
        for pair in chord.ghosts:
            source = chord.sources[chord.positions.index(pair.position)]
            for dx, name in ((pair.left, "Left"), (pair.right, "Right")):
                glyph = f"noteheadParenthesis{name}"
                canvas.marks.append(Glyph(Role.GHOST_PARENTHESIS, x + dx, pair.y, glyph, source, pair.size))
                box = self._face.glyph(glyph).box
                canvas.ink(
                    x + dx + box.left * pair.size,
                    x + dx + box.right * pair.size,
                    pair.y + box.bottom * pair.size,
                    pair.y + box.top * pair.size,
                )


def _move_rest(rest: RestInk, spaces: int) -> RestInk:
    return rest._replace(y=rest.y + spaces, dot_y=rest.dot_y + spaces)


def place_rest(
    canvas: StaffCanvas, rest: RestInk, x: float, side: Direction | None, face: MusicFace, style: Style
) -> PlacedEvent:
    """Draw a rest with its dots (on a staff, or on a tab that carries the rhythm)."""
    box = face.glyph(rest.glyph).box
    low, high = rest.y + box.bottom, rest.y + box.top
    if not rest.hidden:
        canvas.glyph(Role.REST, x, rest.y, rest.glyph, rest.source)
        for number in range(rest.event.value.dots):
            dot_x = x + box.right + style.notes.dot_gap + number * style.notes.dot_pitch
            canvas.glyph(Role.DOT, dot_x, rest.dot_y, "augmentationDot", rest.source)
        canvas.ink(x + box.left, x + box.right, low, high)
    direction = side or Direction.UP
    return PlacedEvent(
        item=rest,
        x=x,
        left=x + box.left,
        right=x + box.right,
        bottom=low,
        top=high,
        y_low=low,
        y_high=high,
        direction=direction,
        has_stem=False,
        stem_x=x,
        tip=low,
    )
