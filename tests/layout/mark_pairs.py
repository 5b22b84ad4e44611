"""Every pair of marks on one note, each on a line of its own, and what is wrong with it by the style's table of signs."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

from engrave.fonts.symbols import music_face
from engrave.fonts.text_setting import InstalledFaces
from engrave.layout.document import measure_sheet
from engrave.layout.lines.frames import LineFramer
from engrave.layout.lines.signs import SignPlanner
from engrave.layout.measures.measure_ink import MeasureInkBuilder
from engrave.layout.staves import StaffPlan, plan_staves
from engrave.layout.systems.system import System, SystemBuilder
from engrave.marks.bounds import measure_box
from engrave.marks.mark import Box, Curve, Glyph, Line, Mark, Text
from engrave.marks.role import Role
from engrave.problems import ProblemLog, Severity
from engrave.reading.load import read_text_score
from engrave.score.joins import resolve_joins
from engrave.score.sign_list import MARKS, SPANS
from engrave.score.structure import Score, View
from engrave.style.load import load_style
from engrave.style.words import OtherMark

STYLE = load_style("")[0]
assert STYLE is not None
_FACES = InstalledFaces()
_HEADS = ("ghost", "dead", "slur", "phrase", "end-slur", "end-phrase")
"""Marks that change the head or digit itself; slurs, which need two notes and have tests of their own."""
WORDS = {
    **{str(name): str(name) for name in MARKS if name not in _HEADS},
    "bend": "bend full",
    "vibrato-bar": "vibrato-bar dip 1/2",
    "artificial-harmonic": "artificial-harmonic {touched}",
    "tapped-harmonic": "tapped-harmonic {touched}",
    "touched-harmonic": "touched-harmonic {touched}",
    "pluck": "m",
    "finger": "finger 2",
    "accidental-mark": "trill {above}",
}
"""What is typed after a fret for each mark of a note."""
_FRETS = dict.fromkeys(("position", "barre", "half-barre"), " 5")
AROUND = {
    **{str(name): f"spans: {{{{2: {name}{_FRETS.get(name, '')} for 1/4}}}}" for name in SPANS},
    "dynamic": "dynamics: {{2: sfz}}",
    "chord-name": "chord: {{2: Em}}",
    "text": "text: {{2: softly}}",
    "neck": 'neck: "E minor pentatonic, position 2"',
}
"""What is typed in the measure for each mark of the line."""
NAMES = sorted({*WORDS, *AROUND, str(OtherMark.TUPLET)})
BODY = (Role.NOTEHEAD, Role.STEM, Role.FLAG, Role.BEAM, Role.ACCIDENTAL, Role.FRET, Role.DOT, Role.REST)
"""What no mark may touch."""
_FRAME = (
    Role.LEDGER_LINE,
    Role.STAFF_LINE,
    Role.TAB_LINE,
    Role.BARLINE,
    Role.GHOST_PARENTHESIS,
    Role.MEASURE_NUMBER,
)
CROSSING = {"stem": (Role.STEM, Role.FLAG, Role.BEAM), "join": BODY, "digit": BODY}
"""What a mark may lie over, by what it belongs to: tremolos cross stems; slurs, slides and arrows start and end at notes and have tests of their own."""
RIVALS = (
    ("arpeggiate", "arpeggiate-up", "arpeggiate-down", "non-arpeggiate"),
    ("tremolo", "tremolo-sixteenths", "tremolo-eighths"),
    ("vibrato", "wide-vibrato"),
    ("breath-mark", "caesura"),
)
"""Marks that say the same thing in two ways: only one of them can stand at a note."""
TOUCH, WHITE = 0.02, 0.1
"""Staff spaces: what is nearer touches for the eye; what is nearer is too near for two marks (house rules)."""
MOST = 1.7
"""Staff spaces: further out a mark is no longer read with what is under it (house rule)."""


class Note(NamedTuple):
    """The note that carries a pair: its string and fret, and the fret of the one before it on the string.

    `lower`: it stands in the lower one of two voices.
    """

    string: int
    fret: int
    before: int
    lower: bool = False

    def measure(self, names: Sequence[str]) -> str:
        """A measure with the marks `names` at its second note."""
        words = " ".join(WORDS[name] for name in names if name in WORDS)
        words = words.format(touched=self.fret + 12, above=self.fret + 1)
        own = f"{{{self.string}: {self.fret} {words}}}"
        plain = f"{{{self.string}: {self.before}}}"
        tuplet = f"3 in 2 of 1/8: [{own}, {own}, {plain}]" if "tuplet" in names else f"1/8: {own}, 1/8: rest"
        rows = [AROUND[name].format() for name in names if name in AROUND]
        spans = [row for row in rows if row.startswith("spans")]
        if len(spans) > 1:
            inner = ", ".join(row.partition("2: ")[2].rstrip("}") for row in spans)
            rows = [row for row in rows if row not in spans] + [f"spans: {{2: [{inner}]}}"]
        events = f"[1/4: {plain}, {tuplet}, 1/2: rest]"
        lines = [
            f"notes: {events}" if not self.lower else f"notes: [1/1: {{1: 8}}]\n    lower: {events}",
            *rows,
        ]
        return "  - " + "\n    ".join(lines) + "\n"


class Ink(NamedTuple):
    """The marks of one staff of a placed measure."""

    plan: StaffPlan
    marks: tuple[Mark, ...]


_HEAD = "score: 1\nkey: C major\nmeasures:\n"


def read_measures(note: Note, names: Sequence[tuple[str, ...]]) -> tuple[list[tuple[str, ...]], Score]:
    """Those of `names` that may stand together on `note`, and a score with a measure for each."""
    left = list(names)
    while True:
        texts = [note.measure(each) for each in left]
        log = ProblemLog("pairs")
        score = read_text_score(_HEAD + "".join(texts), log)
        if score is not None:
            return left, score
        lines = [index for index, text in enumerate(texts) for _ in range(text.count("\n"))]
        wrong = {
            lines[p.location.line - 1 - _HEAD.count("\n")]
            for p in log.in_order()
            if p.severity is Severity.ERROR
        }
        left = [each for index, each in enumerate(left) if index not in wrong]


@lru_cache
def read_pairs(note: Note) -> tuple[list[tuple[str, ...]], Score]:
    """No mark, each mark that `note` can carry and each pair of them: their names, and a score of them all."""
    single, _ = read_measures(note, [(name,) for name in NAMES])
    pairs = [
        (first, second)
        for (first,), (second,) in itertools.combinations(single, 2)
        if not any({first, second} <= set(rivals) for rivals in RIVALS)
    ]
    return read_measures(note, [(), *single, *pairs])


def place_measures(score: Score, view: View) -> Iterator[list[Ink]]:
    """Each measure of a score as a line of its own."""
    assert STYLE is not None
    face, plans = music_face(), plan_staves(score, view, STYLE.staff)
    joins = [resolve_joins(part.measures) for part in score.parts]
    inks = MeasureInkBuilder(score, plans, joins, STYLE, face).build_all()
    framer = LineFramer(inks, SignPlanner(plans, STYLE.spacing, face), 0.5, STYLE)
    builder = SystemBuilder(score, plans, joins, STYLE, face)
    width = measure_sheet(plans, STYLE).line
    for index, measure in enumerate(score.measures):
        frame = framer.frame(index, index + 1, width, 0.0, 1.5)
        system: System = builder.build(frame, measure, None)
        yield [Ink(plan, layer.marks) for plan, layer in zip(plans, system.layers, strict=False)]


def kind(mark: Mark) -> tuple[Role, str]:
    """What a mark is, wherever it stands."""
    name = (
        mark.name if isinstance(mark, Glyph) else mark.text if isinstance(mark, Text) else type(mark).__name__
    )
    return mark.role, name.removesuffix("Above").removesuffix("Below")


def boxes(mark: Mark) -> list[Box]:
    """Boxes that hold a mark's ink closely: those of curved and slanted marks are cut in pieces."""
    if isinstance(mark, Curve):
        points = [_cubic(mark.outer, n / 12) for n in range(13)]
        return [_hull(pair, 0.05) for pair in itertools.pairwise(points)]
    if isinstance(mark, Line) and mark.x1 != mark.x2 and mark.y1 != mark.y2:
        ends = ((mark.x1, mark.y1), (mark.x2, mark.y2))
        points = [tuple(a + (b - a) * n / 8 for a, b in zip(*ends, strict=True)) for n in range(9)]
        return [_hull(pair, mark.width / 2) for pair in itertools.pairwise(points)]
    return [measure_box(mark, _FACES)]


def _cubic(curve: Sequence[tuple[float, float]], t: float) -> tuple[float, ...]:
    shares = ((1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t * t, t**3)
    return tuple(sum(s * p[axis] for s, p in zip(shares, curve, strict=True)) for axis in (0, 1))


def _hull(points: Iterable[Sequence[float]], half: float) -> Box:
    xs, ys = zip(*points, strict=True)
    return Box(min(xs) - half, min(ys) - half, max(xs) + half, max(ys) + half)


def white_between(a: Box, b: Box) -> float:
    """The white between two boxes, sideways or up and down; negative where they overlap."""
    return max(a.left - b.right, b.left - a.right, a.bottom - b.top, b.bottom - a.top)


def beside(a: Box, b: Box) -> bool:
    """True when neither stands over the other."""
    return a.right <= b.left or b.right <= a.left


class PairReader:
    """Finds the faults of all pairs in one view, on one note."""

    def __init__(self, note: Note, view: View) -> None:
        """`note` carries the marks."""
        self._note = note
        names, score = read_pairs(note)
        self._placed = list(zip(names, place_measures(score, view), strict=True))
        alone = {each[0] if each else "": inks for each, inks in self._placed if len(each) < 2}
        own = (Role.TUPLET_NUMBER, Role.TUPLET_BRACKET)
        known = {
            kind(mark)
            for name in ("", "tuplet")
            for ink in alone[name]
            for mark in ink.marks
            if mark.role not in own
        }
        self._kinds = [
            {
                name: {kind(m) for m in inks[staff].marks if m.role not in (*BODY, *_FRAME)} - known
                for name, inks in alone.items()
            }
            for staff in range(len(alone[""]))
        ]
        for kinds in self._kinds:
            kinds["accidental-mark"] -= kinds["trill"]  # over which it stands

    def faults(self) -> tuple[int, list[str]]:
        """How many pairs stand on one staff, and what is wrong with which mark or pair."""
        count, found = 0, []
        for names, inks in self._placed[1:]:
            for ink, kinds in zip(inks, self._kinds, strict=True):
                if all(kinds[name] for name in names):
                    count += len(names) == 2
                    told = " + ".join(names)
                    found.extend(f"{told}: {fault}" for fault in self._judge(names, ink, kinds))
        return count, found

    def _judge(
        self, names: Sequence[str], ink: Ink, known: Mapping[str, set[tuple[Role, str]]]
    ) -> Iterator[str]:
        kinds = [known[name] for name in names]
        own = [[box for mark in ink.marks if kind(mark) in each for box in boxes(mark)] for each in kinds]
        body = [(mark.role, box) for mark in ink.marks if mark.role in BODY for box in boxes(mark)]
        for name, mine in zip(names, own, strict=True):
            if not mine:
                if name != "bend" or not any("harmonic" in other for other in names):
                    yield f"{name} is not there"  # on a staff a bent harmonic keeps its head
                continue
            for role, box in body:
                if role in CROSSING.get(STYLE.signs[name].of, ()) or len(set.union(*kinds)) < sum(
                    map(len, kinds)
                ):
                    continue  # or they look alike, so that it cannot be told which of them touches
                if min(white_between(box, other) for other in mine) < TOUCH:
                    yield f"{name} touches a {role.value}"
                    break
            if len(names) == 1:
                yield from self._judge_alone(name, mine, body, ink.plan)
        if len(names) == 2 and all(own) and kinds[0].isdisjoint(kinds[1]):
            head = self._head(body)
            yield from self._judge_pair(names, own, middle=(head.bottom + head.top) / 2)

    def _head(self, body: Sequence[tuple[Role, Box]]) -> Box:
        """The head or digit of the note: in two voices the lower one's."""
        heads = [box for role, box in body if role in (Role.NOTEHEAD, Role.FRET)]
        return min(heads, key=lambda box: box.bottom) if self._note.lower else heads[-1]

    def _judge_alone(
        self, name: str, mine: Sequence[Box], body: Sequence[tuple[Role, Box]], plan: StaffPlan
    ) -> Iterator[str]:
        """On which side of the note a mark stands, and how far from what is under it."""
        sign = STYLE.signs[name]
        if not sign.stands_outside or sign.of in ("after", "beam") or name == "accidental-mark":
            return
        own, stems = self._head(body), [box for role, box in body if role is Role.STEM]
        wished = sign.side
        if self._note.lower and sign.lane != "row" and sign.of != "line" and name not in AROUND:
            wished = "below"
        elif wished == "head":
            is_up = bool(stems) and not plan.is_tab and stems[0].top - own.top > own.bottom - stems[0].bottom
            wished = "below" if is_up else "above"
        low, high = min(box.bottom for box in mine), max(box.top for box in mine)
        if (wished == "above" and low < own.top - 0.5) or (wished == "below" and high > own.bottom + 0.5):
            yield f"{name} is not {wished}"
            return
        under = [box for _, box in body if sign.of == "late" or not all(beside(box, other) for other in mine)]
        line = plan.height if wished == "above" else 0.0
        if wished == "above":
            white = low - max(
                [own.bottom]
                + [box.top for box in [own, *under] if box.top <= low + WHITE]
                + [line] * (low > line)
            )
        else:
            white = (
                min(
                    [own.top]
                    + [box.bottom for box in [own, *under] if box.bottom >= high - WHITE]
                    + [line] * (high < line)
                )
                - high
            )
        if not 0.15 <= white <= MOST:
            yield f"{name} has {white:.2f} of white to its note"

    def _judge_pair(self, names: Sequence[str], own: Sequence[Sequence[Box]], middle: float) -> Iterator[str]:
        first, second = (STYLE.signs[name] for name in names)
        if not first.stands_outside and not second.stands_outside:
            return  # both have room measured for them, and tests of their own
        if {first.of, second.of} == {"digit", "after"}:
            return  # an arrow leads past what stands after its note
        nearest = min(white_between(a, b) for a in own[0] for b in own[1])
        if nearest < WHITE:
            yield f"touch ({nearest:.2f})"
            return
        if not (first.stands_outside and second.stands_outside) or first.order == second.order:
            return
        inner, outer = (own[0], own[1]) if first.order < second.order else (own[1], own[0])
        crossing = [(a, b) for a in inner for b in outer if not beside(a, b)]
        sides = [{box.bottom + box.top > 2 * middle for box in each} for each in own]
        if len(sides[0] | sides[1]) == 1 and any((b.bottom > a.top) not in sides[0] for a, b in crossing):
            yield "in the wrong order"
