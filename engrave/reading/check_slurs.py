"""Mistakes of slurs: ends without a start, starts without an end, slurs at rests."""

from __future__ import annotations

from collections.abc import Sequence

from engrave.problems import Location
from engrave.reading.context import Context
from engrave.reading.drafts import DraftEvent, PartDraft
from engrave.score.sign_list import SLUR_ENDS, SignName
from engrave.score.slurs import EventAt, match_slurs, slur_words
from engrave.score.structure import Measure

_STARTS = {end: start for start, end in SLUR_ENDS.items()}


def check_slurs(context: Context, measures: Sequence[Measure], drafts: Sequence[PartDraft]) -> None:
    """Report slurs of one part that have one end only, or stand at a rest."""
    events: dict[EventAt, DraftEvent] = {}
    for index, draft in enumerate(drafts):
        for number, voice in enumerate(draft.voices[:2]):
            for order, event in enumerate(voice.in_order()):
                if event.techniques or any(note.techniques for note in event.notes):
                    events[EventAt(index, number, order)] = event
    for at, event in events.items():
        words = () if event.notes else slur_words(event)
        if words:
            _tell(
                context,
                measures[at.measure],
                event,
                words[0],
                f"a rest has no {words[0]}",
                "write it at a note",
            )
    sounding = {at: event for at, event in events.items() if event.notes}
    for at, word in match_slurs(sounding.items()).loose:
        if word in SLUR_ENDS:
            what, hint = f"this {word} has no end", f"write {SLUR_ENDS[word]} at its last note"
        else:
            what, hint = (
                f"this {word} has no start",
                f"write {_STARTS[word]} at its first note, before this one",
            )
        _tell(context, measures[at.measure], events[at], word, what, hint)


def _tell(
    context: Context, measure: Measure, event: DraftEvent, word: SignName, what: str, hint: str
) -> None:
    context.measure, context.metre = measure.number, measure.metre
    context.error(_location(event, word), what, hint, event.onset)


def _location(event: DraftEvent, word: SignName) -> Location:
    """Where a word of an event stands in the text."""
    techniques = (*event.techniques, *(technique for note in event.notes for technique in note.techniques))
    return next((t.location for t in techniques if t.sign is word), event.location)
