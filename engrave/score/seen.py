"""What of a score a view shows."""

from __future__ import annotations

from engrave.score.structure import Part, Score, View


def seen_in(score: Score, view: View | None) -> Score:
    """The score as `view` shows it (None: its own view): a lead sheet where that is wanted, else all of it."""
    if (view or score.view) is not View.LEAD_SHEET:
        return score
    from engrave.score.lead_sheet import as_lead_sheet

    return as_lead_sheet(score)


def find_tune(score: Score) -> int | None:
    """Which part has the tune: the first with words, else the first voice, else the first one.

    A part of slashes and rests is never it; None when there is no other.
    """
    sung = [index for index, part in enumerate(score.parts) if _has_notes(part)]
    with_words = [index for index in sung if _has_words(score.parts[index])]
    voices = [index for index in sung if not score.parts[index].is_fretted]
    return next(iter((*with_words, *voices, *sung)), None)


def _has_notes(part: Part) -> bool:
    return any(
        not note.is_slash
        for content in part.measures
        for voice in content.voices[:1]
        for event in voice.events
        for note in event.notes
    )


def _has_words(part: Part) -> bool:
    return any(
        event.lyrics for content in part.measures for voice in content.voices[:1] for event in voice.events
    )
