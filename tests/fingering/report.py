"""How much of what teachers and chord books write comes out: `python -m tests.fingering.report` (`-v` names the rest).

Nothing here asserts; `test_taught.py` and `test_shapes.py` hold what has been reached.
"""

import re
import sys
from collections.abc import Iterator
from typing import NamedTuple

from engrave.fingering.hand import load_hand
from engrave.fingering.moments import Limits
from engrave.fingering.neck import build_neck
from engrave.fingering.place import change_notes, place_part, release
from engrave.fingering.shapes import find_shapes
from engrave.theory.chord_name import parse_chord_name
from engrave.theory.instrument import PRESETS
from tests.fingering.case import Case
from tests.fingering.printed_shapes import BEGINNER, PRINTED, frets_of
from tests.fingering.scores import notes_of, read
from tests.fingering.taught import CASES

Spot = tuple[int, int, str]
_NOTE = re.compile(r"(\d):(\d+)(?:=(\d|T))?(?:,(.*))?")


class Outcome(NamedTuple):
    """`places` and `fingers` say whether all are as taught; `chosen` is what was chosen, as it is typed."""

    places: bool
    fingers: bool
    chosen: str


def events_of(text: str) -> list[list[Spot]]:
    """The spots of each event of one way; a finger that is not typed is "?"."""
    found = []
    for event in re.split(r" (?=\d:)", text.strip()):
        matches = [_NOTE.fullmatch(note) for note in event.split("+")]
        assert all(matches), event
        found.append([(int(m[1]), int(m[2]), m[3] or "?") for m in matches if m])
    return found


def ways_of(case: Case) -> list[list[list[Spot]]]:
    return [events_of(way) for way in case.taught.split(" / ")]


def score_of(case: Case) -> str:
    """The first way as measures of 4/4, without fingers."""
    first = case.taught.split(" / ")[0]
    a, b = map(int, case.value.split("/"))
    each = b // a
    events = []
    for event in re.split(r" (?=\d:)", first):
        notes = [_NOTE.fullmatch(note) for note in event.split("+")]
        events.append(
            "{" + ", ".join(f"{m[1]}: {m[2]}" + (f" {m[4]}" if m[4] else "") for m in notes if m) + "}"
        )
    measures = []
    for at in range(0, len(events), each):
        row = events[at : at + each]
        row += ["rest"] * (each - len(row))
        over = case.over + "\n    " if case.over and not at else ""
        measures.append(f"  - {over}notes: [{case.value}: [{', '.join(row)}]]")
    return "\n".join(measures) + "\n"


def try_case(case: Case) -> Outcome:
    score = read(score_of(case), case.head + "\ntime: 4/4\ntempo: 1/4 = 90")
    part = score.parts[0]
    if not case.frets:
        part = change_notes(release(part), lambda note, _: note._replace(string=0, fret=0, finger=""))
    limits = Limits(avoid_open=case.avoid_open, position=case.position)
    placed = place_part(score, part, load_hand("intermediate"), limits)
    chosen = [event for event in notes_of(placed.part) if event]
    ways = [[sorted(event) for event in way] for way in ways_of(case)]
    held = [sorted(event) for event in chosen]
    places = any(_bare(way) == _bare(held) for way in ways)
    fingers = any(_bare(way) == _bare(held) and _agree(way, held) for way in ways)
    typed = " ".join("+".join(f"{s}:{f}" + (f"={g}" if g else "") for s, f, g in event) for event in chosen)
    return Outcome(places, fingers, typed)


def _bare(way: list[list[Spot]]) -> list[list[tuple[int, int]]]:
    return [[spot[:2] for spot in event] for event in way]


def _agree(way: list[list[Spot]], held: list[list[Spot]]) -> bool:
    return all(
        taught[2] == "?" or not taught[1] or taught[2] == found[2]
        for event, other in zip(way, held, strict=True)
        for taught, found in zip(event, other, strict=True)
    )


def rank_of(instrument: str, name: str, printed: str, hand: str = "intermediate") -> int:
    """Where the first of the printed shapes stands; 99 when none is among the first six."""
    player = load_hand(hand)
    found = [
        ranked.shape.frets
        for ranked in find_shapes(parse_chord_name(name), build_neck(PRESETS[instrument], player), player)
    ]
    return min(
        (found.index(frets_of(text)) + 1 for text in printed.split() if frets_of(text) in found), default=99
    )


def lines(verbose: bool) -> Iterator[str]:
    for kind in ("scale", "arpeggio", "music", "chord"):
        tried = [(case, try_case(case)) for case in CASES if case.kind == kind]
        yield (
            f"{kind:9} {len(tried):3}: places as taught {sum(o.places for _, o in tried):3}, "
            f"fingers too {sum(o.fingers for _, o in tried):3}"
        )
        for case, outcome in tried:
            if verbose and not outcome.fingers:
                yield f"    {'fingers' if outcome.places else 'PLACES '} {case.name}: {outcome.chosen}   taught {case.taught}"
    for instrument, table, hand in (
        *((name, table, "intermediate") for name, table in PRINTED.items()),
        ("guitar", BEGINNER, "beginner"),
    ):
        ranks = {name: rank_of(instrument, name, printed, hand) for name, printed in table.items()}
        yield (
            f"{instrument}, {hand}: {len(ranks)} chords, printed shape first {sum(r == 1 for r in ranks.values())}, "
            f"among three {sum(r <= 3 for r in ranks.values())}"
        )
        for name, rank in ranks.items():
            if verbose and rank > 1:
                yield f"    {rank:3} {name}: {table[name]}"


if __name__ == "__main__":
    for line in lines("-v" in sys.argv):
        print(line)
