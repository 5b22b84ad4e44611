"""Which signs a score uses."""

from __future__ import annotations

from collections.abc import Iterator

from engrave.score.sign_list import PARTS_OF_SLURS, SIGNS, SignName
from engrave.score.structure import Event, Score
from engrave.theory.swing import Swing

OTHER_SIGNS = (
    "grace",
    "appoggiatura",
    "closing-grace",
    SignName.SLASH,
    "measure-repeat",
    "multiple-rest",
    "swing",
)
"""What can be explained besides the signs of the list."""
_EXPLAINED_ELSEWHERE = (SignName.ACCIDENTAL_MARK, *PARTS_OF_SLURS)
"""Signs that belong to another one."""
STRAINING = frozenset({SignName.BEND, SignName.BARRE, SignName.HALF_BARRE, SignName.WIDE_VIBRATO})
"""Signs of techniques that load the hand, beside which a caution is due (house rule)."""


def used_signs(score: Score) -> tuple[str, ...]:
    """The signs that occur in `score`, in the order of the list of signs."""
    found: set[str] = set()
    for part in score.parts:
        for content in part.measures:
            found.update(span.name for span in content.spans)
            if content.repeats:
                found.add("measure-repeat")
            for voice in content.voices:
                for event in voice.events:
                    found.update(_event_signs(event))
    if SignName.PHRASE in found:
        found.add(SignName.SLUR)
    found.difference_update(_EXPLAINED_ELSEWHERE)
    if any(measure.rests > 1 for measure in score.measures):
        found.add("multiple-rest")
    if any(measure.swing is not Swing.NONE for measure in score.measures):
        found.add("swing")
    return tuple(name for name in (*SIGNS, *OTHER_SIGNS) if name in found)


def _event_signs(event: Event) -> Iterator[str]:
    yield from (technique.sign for technique in event.techniques)
    for note in event.notes:
        yield from (technique.sign for technique in note.techniques)
        if note.finger:
            yield SignName.FINGER
    for graces, name in ((event.before, ""), (event.after, "closing-grace")):
        if graces is not None:
            yield name or ("grace" if graces.slashed else "appoggiatura")
            for grace in graces.events:
                yield from _event_signs(grace)
