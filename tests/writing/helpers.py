"""Scores compared and changed."""

from dataclasses import fields, replace

from engrave.problems import Location
from engrave.writing.rewrite import rewrite_score
from tests.reading.helpers import read


def plain(value):
    """A score without its places."""
    if isinstance(value, Location):
        return None
    if isinstance(value, tuple):
        return [plain(entry) for entry in value]
    if hasattr(value, "__dataclass_fields__"):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    return value


def change_notes(score, change):
    """`score` with `change(part, event, note)` in place of every note; what is held follows its start."""

    def changed(part, event, held):
        notes = tuple(
            note._replace(
                string=held[note.string].string, fret=held[note.string].fret, pitch=held[note.string].pitch
            )
            if note.tie_from and note.string in held
            else change(part, event, note)
            for note in event.notes
        )
        new = {old.string: note for old, note in zip(event.notes, notes)}
        return event._replace(notes=notes), new

    def side(part, graces, held):
        if graces is None:
            return None, held
        row = []
        for event in graces.events:
            event, held = changed(part, event, held)
            row.append(event)
        return graces._replace(events=tuple(row)), held

    parts = []
    for part in score.parts:
        held = [{}, {}]
        measures = []
        for content in part.measures:
            voices = []
            for number, voice in enumerate(content.voices):
                events = []
                for event in voice.events:
                    before, held[number] = side(part, event.before, held[number])
                    event, held[number] = changed(part, event, held[number])
                    after, held[number] = side(part, event.after, held[number])
                    events.append(event._replace(before=before, after=after))
                voices.append(voice._replace(events=tuple(events)))
            measures.append(content._replace(voices=tuple(voices)))
        parts.append(part._replace(measures=tuple(measures)))
    return replace(score, parts=tuple(parts))


def rewritten(text, change):
    """The text after `change(score)`, which must be read back as the changed score."""
    before = read(text)
    after = change(before)
    new = rewrite_score(text, before, after)
    assert plain(read(new)) == plain(after), new
    return new


def finger_all(score):
    """Every fretted note that is struck gets a finger, and is taken as written on its string."""

    def change(part, event, note):
        del event
        if not note.string or note.is_slash:
            return note
        return note._replace(finger=str(1 + (note.fret + note.string) % 4), chosen=False)

    return unchosen(change_notes(score, change))


def unchosen(score):
    """The score with all places on strings taken as written."""

    def event(old):
        notes = tuple(note._replace(chosen=note.chosen and not note.string) for note in old.notes)
        sides = [
            side and side._replace(events=tuple(map(event, side.events))) for side in (old.before, old.after)
        ]
        return old._replace(notes=notes, before=sides[0], after=sides[1])

    parts = tuple(
        part._replace(
            measures=tuple(
                content._replace(
                    voices=tuple(
                        voice._replace(events=tuple(map(event, voice.events))) for voice in content.voices
                    )
                )
                for content in part.measures
            )
        )
        for part in score.parts
    )
    return replace(score, parts=parts)


HEAD = "score: 1\nmeasures:\n"


def with_note(number, **changed):
    """A change of the note `number` of the first part, counted in order."""

    def change(score):
        count = iter(range(10_000))
        return change_notes(
            score, lambda part, event, note: note._replace(**changed) if next(count) == number else note
        )

    return change
