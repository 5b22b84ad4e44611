"""A score as MusicXML 4.0: one part and one staff for each part, strings and frets as technical signs of the notes."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import lcm
from xml.etree.ElementTree import Element, indent, tostring

from engrave.exchange.musicxml.writing.attributes import add_attributes, add_left_barline, add_right_barline
from engrave.exchange.musicxml.writing.directions import ElementAt, Rank, elements_of_part
from engrave.exchange.musicxml.writing.head import add_head, part_id
from engrave.exchange.musicxml.writing.joins import NoteContext, read_context
from engrave.exchange.musicxml.writing.notes import NoteWriter
from engrave.exchange.musicxml.writing.xml import QUARTERS, add, ticks
from engrave.score.sign_list import SignName
from engrave.score.structure import Event, Measure, NewLine, Note, Part, Score, Voice
from engrave.theory.duration import note_value

_VERSION = "4.0"
_PROLOGUE = (
    '<?xml version="1.0" encoding="UTF-8" standalone="no"?>\n'
    '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" '
    '"http://www.musicxml.org/dtds/partwise.dtd">\n'
)
_TYPE = "application/vnd.recordare.musicxml"
"""The media type of a compressed file; that of a plain one has +xml after it (MusicXML 4.0, container)."""
_FIXED_DATE = (1980, 1, 1, 0, 0, 0)
"""The earliest date of the ZIP format: files do not depend on the day they are written."""
_READABLE = 0o644 << 16
_KEPT = (SignName.SLASH, SignName.DEAD, SignName.GHOST)
"""What music played again keeps: those that say what is struck."""
_START = Fraction(0)


def write_musicxml(score: Score) -> bytes:
    """The score as a partwise document in UTF-8. Equal scores give equal bytes.

    Pitches are those of the clef: sounding ones under a clef with an 8, else written ones with a transposition. With a
    capo they are those of the fingered shape, and the transposition says how much higher they sound.
    """
    root = Element("score-partwise", {"version": _VERSION})
    add_head(root, score)
    for index, part in enumerate(score.parts):
        _add_part(root, score, part, index)
    indent(root, " ")
    text = tostring(root, encoding="unicode", short_empty_elements=True)
    return (_PROLOGUE + text + "\n").encode("utf-8")


def write_mxl(data: bytes, name: str) -> bytes:
    """A compressed file (.mxl) that holds `data` under `name` ("song.musicxml"). Equal input gives equal bytes.

    Raises ValueError for a name that is empty, a path out of the archive, or one of its own files.
    """
    if not name or name.startswith(("/", "META-INF/")) or ".." in name.split("/") or name == "mimetype":
        raise ValueError(f'"{name}" cannot be the name of a score in its file; use song.musicxml')
    container = Element("container")
    add(add(container, "rootfiles"), "rootfile", full_path=name, media_type=f"{_TYPE}+xml")
    listing = '<?xml version="1.0" encoding="UTF-8"?>\n' + tostring(container, encoding="unicode") + "\n"
    files = [("mimetype", _TYPE.encode()), ("META-INF/container.xml", listing.encode("utf-8")), (name, data)]
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        for path, content in files:
            entry = zipfile.ZipInfo(path, _FIXED_DATE)
            entry.external_attr = _READABLE
            entry.create_system = 3
            entry.compress_type = zipfile.ZIP_STORED if path == "mimetype" else zipfile.ZIP_DEFLATED
            archive.writestr(entry, content)
    return stream.getvalue()


def _add_part(root: Element, score: Score, part: Part, index: int) -> None:
    """All measures of one part; a rest of several measures becomes as many measures."""
    element = add(root, "part", id=part_id(index))
    elements = elements_of_part(score, part, index == 0)
    divisions = _divisions(score, part, elements)
    context = read_context(part, score.measures)
    writer = NoteWriter(part, divisions, context)
    silent = NoteWriter(part, divisions, NoteContext())
    for at, measure in enumerate(score.measures):
        own = part.measures[at]
        for copy in range(measure.rests):
            node = add(element, "measure", **_measure_number(measure, at, copy))
            if copy == 0:
                _add_new_line(node, measure)
                add_left_barline(node, score.measures, at)
                add_attributes(node, part, score.measures, at, divisions)
            here = _elements_of_copy(elements[at], measure, copy)
            voices = _played_again(part, score.measures, at) if own.repeats else own.voices
            _add_voices(
                node,
                silent if own.repeats else writer,
                voices,
                at,
                elements=here,
                length=measure.length,
                divisions=divisions,
            )
            if copy == measure.rests - 1:
                add_right_barline(node, score.measures, at)


def _add_voices(
    node: Element,
    writer: NoteWriter,
    voices: Sequence[Voice],
    at: int,
    elements: Sequence[ElementAt],
    length: Fraction,
    divisions: int,
) -> None:
    """The voices one after the other, going back in time between them; the measure ends where it should."""
    now = _START
    for number, voice in enumerate(voices):
        if now:
            add(add(node, "backup"), "duration", ticks(now, divisions))
        now = writer.write(node, voice, (at, number), elements if number == 0 else ())
    if now < length:
        add(add(node, "forward"), "duration", ticks(length - now, divisions))


def _measure_number(measure: Measure, at: int, copy: int) -> dict[str, str | int]:
    """The printed number; a pickup does not count, and one inside the piece has a number of no other measure."""
    if not measure.pickup:
        return {"number": measure.number + copy}
    return {"number": f"X{measure.number}" if at else measure.number, "implicit": "yes"}


def _add_new_line(node: Element, measure: Measure) -> None:
    if measure.new is not NewLine.NONE:
        add(node, "print", **{"new_page" if measure.new is NewLine.PAGE else "new_system": "yes"})


def _elements_of_copy(elements: Sequence[ElementAt], measure: Measure, copy: int) -> list[ElementAt]:
    """What belongs to one of the measures that a long rest stands for: its end to the last, the rest to the first."""
    if measure.rests == 1:
        return list(elements)
    last = measure.rests - 1
    return [m for m in elements if copy == (last if m.onset == measure.length or m.rank == Rank.END else 0)]


def _divisions(score: Score, part: Part, elements: Sequence[Sequence[ElementAt]]) -> int:
    """The fewest divisions of a quarter in which every moment and every length of the part is whole."""
    times: set[Fraction] = {measure.length for measure in score.measures}
    times.update(timed.onset for row in elements for timed in row)
    for measure in part.measures:
        for voice in measure.voices:
            for event in voice.events:
                times.update((event.onset, event.length))
    return lcm(*((time * QUARTERS).denominator for time in times))


def _played_again(part: Part, measures: Sequence[Measure], at: int) -> tuple[Voice, ...]:
    """The music that a repeating measure stands for, without words and signs; a rest where it does not fit."""
    source = at
    while source >= 0 and part.measures[source].repeats:
        source -= part.measures[source].repeats
    if source < 0 or measures[source].length != measures[at].length:
        return _silence(measures[at])
    return tuple(Voice(tuple(_bare_events(voice))) for voice in part.measures[source].voices)


def _silence(measure: Measure) -> tuple[Voice, ...]:
    return (Voice((Event(_START, measure.length, note_value(1), whole_measure=True),)),)


def _bare_events(voice: Voice) -> Iterator[Event]:
    """The events of a voice with nothing but their notes, tied only among themselves."""
    last = len(voice.events) - 1
    for index, event in enumerate(voice.events):
        notes = tuple(_bare_note(note, index > 0, index < last) for note in event.notes)
        yield event._replace(notes=notes, lyrics=(), techniques=(), before=None, after=None)


def _bare_note(note: Note, may_come: bool, may_go: bool) -> Note:
    techniques = tuple(technique for technique in note.techniques if technique.sign in _KEPT)
    return note._replace(
        techniques=techniques, finger="", tie_from=note.tie_from and may_come, tie_to=note.tie_to and may_go
    )
