"""How even pages are: density of lines, last lines, filled pages, and whether space follows duration, over many pieces.

python -m tests.benchmarks.evenness             samples, traditional tunes and random music, in the usual style
python -m tests.benchmarks.evenness --style large-print
python -m tests.benchmarks.evenness --each      a row for every piece too

The density of a line is the width that the durations of its notes ask for, without any word or sign, over the width they have. Columns
a line are counted too, where all music of a piece moves alike.
"""

from __future__ import annotations

import argparse
import statistics
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple
from unittest import mock

from engrave.fonts.text_setting import InstalledFaces
from engrave.layout.document import place_score
from engrave.layout.lines.frames import LineFrame, MeasureFrame
from engrave.layout.systems.system import System, SystemBuilder
from engrave.marks.bounds import measure_page_marks
from engrave.marks.mark import PlacedDocument
from engrave.marks.role import Role
from engrave.problems import ProblemLog
from engrave.reading.load import read_text_score
from engrave.score.structure import Measure, Score
from engrave.style.load import load_style
from engrave.style.sections import POINTS_PER_MM, Style
from tests.benchmarks.evenness_pieces import all_pieces

WIDER = 1.03
"""A slice counts as wider than another from this ratio on; less is not seen (house rule)."""
FILLED = 0.9
"""A page is filled when its music ends below this share of its height (house rule)."""
_FACES = InstalledFaces()
_FURNITURE = (Role.PAGE_NUMBER, Role.RUNNING_HEAD, Role.COPYRIGHT)


class Piece(NamedTuple):
    """What was measured of one piece. `turned`: pairs of a shorter value with more room than a longer one, of `pairs` compared."""

    name: str
    group: str
    lines: int
    density: float
    columns: float
    last_fill: float
    lone_last: bool
    turned: int
    unequal: int
    pairs: int
    equals: int
    fills: tuple[float, ...]
    crowded: int
    loosest: float


def variation(values: Sequence[float]) -> float:
    """Standard deviation over mean; 0 of fewer than two values."""
    return statistics.pstdev(values) / statistics.fmean(values) if len(values) > 1 else 0.0


def _music_width(line: LineFrame) -> float:
    return sum(measure.right - (measure.xs[0] if measure.xs else measure.left) for measure in line.measures)


def _asked(line: LineFrame) -> float:
    return sum(sum(measure.ink.natural) for measure in line.measures)


def _spaces(measure: MeasureFrame) -> Iterator[list[tuple[float, float]]]:
    """For each voice, duration and room of every event but the last, whose room the barline takes."""
    for part in measure.ink.parts:
        for voice in part.voices:
            events = [event for event in voice.events if event.onset in measure.ink.columns]
            xs = [measure.x_at(event.onset) for event in events]
            yield [(float(event.length), end - x) for event, x, end in zip(events, xs, xs[1:], strict=False)]


def count_turned(lines: Iterable[LineFrame]) -> tuple[int, int, int, int]:
    """Shorter values with more room than a longer one of their voice and measure, equal ones of unequal room, and the pairs of both kinds."""
    turned = unequal = pairs = equals = 0
    for line in lines:
        for measure in line.measures:
            for row in _spaces(measure):
                for index, (length, room) in enumerate(row):
                    for other, its in row[index + 1 :]:
                        if length == other:
                            equals += 1
                            unequal += max(room, its) > 1.25 * min(room, its)
                        else:
                            pairs += 1
                            short, long = (room, its) if length < other else (its, room)
                            turned += short > WIDER * long
    return turned, unequal, pairs, equals


def page_fills(document: PlacedDocument, style: Style) -> tuple[float, ...]:
    """How far down the music of each page reaches, as a share of the height between the margins."""
    bottom = style.paper.margin_bottom * POINTS_PER_MM
    height = (style.paper.height - style.paper.margin_top - style.paper.margin_bottom) * POINTS_PER_MM
    fills = []
    for page in document.pages:
        lows = [
            box.bottom for _, mark, box in measure_page_marks(page, _FACES) if mark.role not in _FURNITURE
        ]
        fills.append(1 - (min(lows, default=bottom + height) - bottom) / height)
    return tuple(fills)


def place_and_catch(score: Score, style: Style) -> tuple[list[LineFrame], PlacedDocument]:
    """The lines of `score` as they were built last, and its pages."""
    lines: list[LineFrame] = []
    build = SystemBuilder.build

    def catching(
        self: SystemBuilder, frame: LineFrame, before: Measure | None, after: Measure | None
    ) -> System:
        if before is None:
            lines.clear()
        lines.append(frame)
        return build(self, frame, before, after)

    with mock.patch.object(SystemBuilder, "build", catching):
        return lines, place_score(score, style)


def measure_piece(name: str, group: str, text: str, style: Style) -> Piece | None:
    """The figures of one piece; None where it is no score that can be laid out."""
    score = read_text_score(text, ProblemLog(name))
    if score is None or not score.measures:
        return None
    lines, document = place_and_catch(score, style)
    densities = [_asked(line) / _music_width(line) for line in lines]
    full = max(line.width for line in lines)
    turned, unequal, pairs, equals = count_turned(lines)
    last = lines[-1]
    return Piece(
        name=name,
        group=group,
        lines=len(lines),
        density=variation(densities),
        columns=variation([sum(len(measure.xs) for measure in line.measures) for line in lines]),
        last_fill=(last.width - last.indent) / (full - last.indent),
        lone_last=len(lines) > 1 and len(last.measures) == 1 < max(len(line.measures) for line in lines),
        turned=turned,
        unequal=unequal,
        pairs=pairs,
        equals=equals,
        fills=page_fills(document, style),
        crowded=sum(density > 1.15 for density in densities),
        loosest=min(densities),
    )


def report(pieces: Sequence[Piece]) -> None:
    """Print the figures of all pieces together."""
    several = [piece for piece in pieces if piece.lines > 1]
    inner = [fill for piece in pieces for fill in piece.fills[:-1]]
    ends = [piece.fills[-1] for piece in pieces if len(piece.fills) > 1]
    pairs, equals = sum(p.pairs for p in pieces), sum(p.equals for p in pieces)
    lines = sum(piece.lines for piece in pieces)
    rows = (
        ("pieces, lines", f"{len(pieces)}, {lines}"),
        ("variation of density within a piece, mean", f"{statistics.fmean(p.density for p in several):.3f}"),
        ("  and of columns a line", f"{statistics.fmean(p.columns for p in several):.3f}"),
        (
            "  and of density, the worst tenth",
            f"{sorted(p.density for p in several)[-len(several) // 10]:.3f}",
        ),
        *(
            (
                f"  and of density, {group}",
                f"{statistics.fmean(p.density for p in several if p.group == group):.3f}",
            )
            for group in ("samples", "tunes", "drawn, played", "drawn, sung")
        ),
        ("lone measures on last lines", str(sum(p.lone_last for p in pieces))),
        ("last lines under half full", f"{sum(p.last_fill < 0.5 for p in several) / len(several):.1%}"),
        ("last lines not quite full", f"{sum(p.last_fill < 0.98 for p in several) / len(several):.1%}"),
        ("crowded lines (density over 1.15)", f"{sum(p.crowded for p in pieces) / lines:.1%}"),
        ("pages before the last filled", f"{sum(f >= FILLED for f in inner)} of {len(inner)}"),
        ("last pages under a quarter full", f"{sum(f < 0.25 for f in ends)} of {len(ends)}"),
        (
            "shorter value wider than a longer one",
            f"{sum(p.turned for p in pieces) / pairs:.2%} of {pairs} pairs",
        ),
        ("equal values a quarter apart", f"{sum(p.unequal for p in pieces) / equals:.2%} of {equals} pairs"),
    )
    for what, figure in rows:
        print(f"{what:45} {figure}")


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--style", default="")
    parser.add_argument("--each", action="store_true")
    arguments = parser.parse_args()
    style, _ = load_style(arguments.style)
    assert style is not None
    found = []
    for name, group, text in all_pieces():
        piece = measure_piece(name, group, text, style)
        if piece is None:
            print(f"{name}: not laid out")
            continue
        found.append(piece)
        if arguments.each:
            fills = " ".join(f"{fill:.2f}" for fill in piece.fills)
            print(
                f"{name:36} {piece.lines:3} lines  density {piece.density:.3f}  columns {piece.columns:.3f}  "
                f"last {piece.last_fill:.2f}{' lone' if piece.lone_last else ''}  pages {fills}"
            )
    report(found)


if __name__ == "__main__":
    main()
