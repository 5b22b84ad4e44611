"""The worst files that the readers accept, each made at a share of its full size."""

from __future__ import annotations

import io
import random
import struct
import zipfile
from collections.abc import Callable
from fractions import Fraction

from engrave.exchange.midi import messages
from engrave.exchange.musicxml.reading import source
from engrave.exchange.text_tab.lines.blocks import _LONGEST_PITCHED
from engrave.exchange.text_tab.lines.text_lines import LARGEST_INPUT
from engrave.source.files import LARGEST

_ATTRIBUTES = "<attributes><divisions>{divisions}</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>"


def _xml(body: str, divisions: int = 256) -> bytes:
    """A file of one part; the first measure gets the attributes."""
    first, _, rest = body.partition("<measure>")
    return (
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>A</part-name></score-part></part-list>'
        f'<part id="P1">{first}<measure>{_ATTRIBUTES.format(divisions=divisions)}{rest}</part></score-partwise>'
    ).encode()


def _note(duration: int, kind: str = "quarter", more: str = "", voice: int = 1) -> str:
    return (
        f"<note><pitch><step>C</step><octave>4</octave></pitch><duration>{duration}</duration><voice>{voice}</voice>"
        f"<type>{kind}</type>{more}</note>"
    )


def _ratio(actual: int, normal: int) -> str:
    return (
        f"<time-modification><actual-notes>{actual}</actual-notes><normal-notes>{normal}</normal-notes>"
        "</time-modification>"
    )


def xml_elements(share: float) -> bytes:
    """As many empty elements as are allowed."""
    return _xml("<measure>" + "<x/>" * int(share * (source.MOST_NODES - 20)) + "</measure>")


def xml_attributes(share: float) -> bytes:
    """As many attributes as fit, each with a name of its own."""
    room = int(share * source.LARGEST) - 1000
    names, size = [], 0
    while size < room - 20:
        names.append(f'a{len(names):x}=""')
        size += len(names[-1]) + 1
    return _xml(f"<measure><x {' '.join(names)}/></measure>")


def xml_lines(share: float) -> bytes:
    """One word of as many lines as fit."""
    text = "\n" * (int(share * source.LARGEST) - 1000)
    return _xml(
        f"<measure><direction><direction-type><words>{text}</words></direction-type></direction></measure>"
    )


def xml_references(share: float) -> bytes:
    """One word of numbered characters, each of which the parser reports by itself."""
    text = "&#97;" * (int(share * source.LARGEST) // 5 - 200)
    return _xml(
        f"<measure><direction><direction-type><words>{text}</words></direction-type></direction></measure>"
    )


def xml_notes(share: float) -> bytes:
    """As many notes as are allowed, sixteen in a measure."""
    count = int(share * source.MOST_NODES / 7.2)
    return _xml(f"<measure>{_note(64, '16th') * 16}</measure>" * (count // 16))


def xml_chords(share: float) -> bytes:
    """As many notes as are allowed, all of them in chords."""
    count = int(share * source.MOST_NODES / 8.5)
    chord = _note(1024, "whole") + _note(1024, "whole", "").replace("<pitch>", "<chord/><pitch>") * 999
    return _xml("".join(f"<measure>{chord}</measure>" for _ in range(count // 1000 + 1)))


def xml_one_measure(share: float) -> bytes:
    """All notes in one measure, the shortest that a tuplet of sixty-fourths allows."""
    count = int(share * source.MOST_NODES / 10.1)
    return _xml(f"<measure>{_note(1, '64th', _ratio(64, 1)) * count}</measure>", 1024)


def xml_odd_tuplets(share: float) -> bytes:
    """One measure in which each note has a ratio of its own, so that no bracket is whole."""
    rows = []
    for number in range(int(share * 4000)):
        actual, normal = 3 + number % 61, 2 + number * 7 % 59
        length = Fraction(normal, actual) / 64
        ticks = max(1, round(length * 4 * 16_384))
        rows.append(_note(ticks, "64th", _ratio(actual, normal)))
    return _xml(f"<measure>{''.join(rows)}</measure>", 16_384)


def xml_two_ratios(share: float) -> bytes:
    """Measures in which two ratios take turns, as they do inside brackets in brackets, as long as brackets are looked for."""
    pair = _note(2, "64th", _ratio(3, 2)) + _note(1, "64th", _ratio(9, 4))
    return _xml(
        "".join(f"<measure>{pair * 510}</measure>" for _ in range(int(share * source.MOST_NODES / 10_500))),
        48,
    )


def xml_open_tuplets(share: float) -> bytes:
    """Brackets that start at each note and never stop."""
    opened = _note(1, "64th", _ratio(64, 1) + '<notations><tuplet type="start"/></notations>')
    return _xml(f"<measure>{opened * 1000}</measure>" * int(share * source.MOST_NODES / 12_400), 1024)


def xml_comment(share: float) -> bytes:
    """The longest comment."""
    return _xml(f"<measure><!--{'x' * (int(share * source.LARGEST) - 1000)}--></measure>")


def xml_voices(share: float) -> bytes:
    """Each note of a measure in a voice of its own."""
    rows = [
        _note(1024, "whole", "", number) + "<backup><duration>1024</duration></backup>"
        for number in range(int(share * source.MOST_NODES / 9.5))
    ]
    return _xml(f"<measure>{''.join(rows)}</measure>")


def xml_jumps(share: float) -> bytes:
    """As many measures as are allowed, each with a jump that leads nowhere."""
    words = "<direction><direction-type><words>D.S. al Coda</words></direction-type></direction>"
    return _xml("".join(f"<measure>{words}</measure>" for _ in range(int(share * 20_000))))


def xml_endings(share: float) -> bytes:
    """As many measures as are allowed, each with an ending out of order."""
    bar = '<barline location="left"><ending number="{}" type="start"/></barline>'
    return _xml("".join(f"<measure>{bar.format(5 + n % 2)}</measure>" for n in range(int(share * 20_000))))


def xml_spans(share: float) -> bytes:
    """As many hairpins as are allowed, all at once and without an end."""
    wedge = '<direction><direction-type><wedge type="crescendo" number="{}"/></direction-type></direction>'
    count = int(share * source.MOST_NODES / 3.5)
    return _xml(f"<measure>{''.join(wedge.format(n) for n in range(count))}{_note(1024, 'whole')}</measure>")


def xml_parts(share: float) -> bytes:
    """Many parts of many measures, all silent."""
    count = 6
    listed = "".join(f'<score-part id="P{n}"><part-name>{n}</part-name></score-part>' for n in range(count))
    row = "<measure/>" * int(share * 20_000)
    parts = "".join(f'<part id="P{n}">{row}</part>' for n in range(count))
    return f"<score-partwise><part-list>{listed}</part-list>{parts}</score-partwise>".encode()


def mxl_bomb(share: float) -> bytes:
    """As many elements as are allowed, in an archive that packs them as tightly as is believed."""
    rows = (
        f'<x a="{number * 7919 % 999983:06}"/>' for number in range(int(share * (source.MOST_NODES - 20)))
    )
    text = _xml(f"<measure>{''.join(rows)}</measure>")
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(
            "META-INF/container.xml",
            '<container><rootfiles><rootfile full-path="a.xml"/></rootfiles></container>',
        )
        archive.writestr("a.xml", text)
    return target.getvalue()


def mxl_members(share: float) -> bytes:
    """An archive of many small members."""
    target = io.BytesIO()
    with zipfile.ZipFile(target, "w") as archive:
        archive.writestr(
            "META-INF/container.xml",
            '<container><rootfiles><rootfile full-path="a.xml"/></rootfiles></container>',
        )
        archive.writestr("a.xml", _xml(f"<measure>{_note(256) * 4}</measure>"))
        for number in range(int(share * 60_000)):
            archive.writestr(f"{number}", b"")
    return target.getvalue()


def _midi(*tracks: bytes, division: int = 96) -> bytes:
    chunks = b"".join(b"MTrk" + struct.pack(">I", len(track)) + track for track in tracks)
    return b"MThd" + struct.pack(">IHHH", 6, 1, len(tracks), division) + chunks


_END = b"\x00\xff\x2f\x00"


def midi_bytes(share: float) -> bytes:
    """The largest file, of the shortest events."""
    count = int(share * messages.LARGEST) // 3 - 30
    return _midi(b"\x00\x90\x3c\x40" + b"\x01\x3c\x40" * count + _END)


def midi_events(share: float) -> bytes:
    """As many notes as are allowed, one after the other."""
    count = int(share * messages.MOST_EVENTS) // 2 - 10
    return _midi(b"\x00\x90\x3c\x40\x06\x3c\x00" + b"\x00\x3c\x40\x06\x3c\x00" * count + _END)


def midi_chords(share: float) -> bytes:
    """As many notes as are allowed, all that there are at once."""
    keys = range(128)
    first = b"".join(bytes([0, 0x90, key, 64]) for key in keys)
    off = b"".join(bytes([24 if key == 0 else 0, 0x80, key, 0]) for key in keys)
    return _midi((first + off) * (int(share * messages.MOST_EVENTS) // 256 - 2) + _END)


def midi_tracks(share: float) -> bytes:
    """As many tracks as are allowed, each with a note that lasts through two thousand measures."""
    note = b"\x00\x90\x3c\x40" + b"\xae\x80\x00" + b"\x80\x3c\x00" + _END
    return _midi(*[note] * int(share * (messages.MOST_TRACKS - 2)))


def midi_signatures(share: float) -> bytes:
    """As many changes of time as are allowed, one each tick."""
    return _midi(
        b"\x01\xff\x58\x04\x04\x02\x18\x08" * (int(share * messages.MOST_EVENTS) - 20)
        + b"\x00\x90\x3c\x40\x0c\x3c\x00"
        + _END
    )


def _block(width: int) -> str:
    bar = ("-3" * 8 + "|") * (width // 17)
    return "".join(f"{name}|{bar}\n" for name in "eBGDAE") + "\n"


def tab_blocks(share: float) -> bytes:
    """The longest text, of usual blocks."""
    block = _block(76)
    return (block * (int(share * LARGEST_INPUT) // len(block))).encode()


def tab_line(share: float) -> bytes:
    """The longest text as one block."""
    return _block(int(share * LARGEST_INPUT) // 6 - 20).encode()


def tab_one_measure(share: float) -> bytes:
    """The longest text as one measure."""
    width = int(share * LARGEST_INPUT) // 6 - 20
    return "".join(f"{name}|{'-3' * (width // 2)}|\n" for name in "eBGDAE").encode()


def tab_rows(share: float) -> bytes:
    """Lines of dashes that make no block of their own, as many as fit."""
    return ("e|---3---|\n" * (int(share * LARGEST_INPUT) // 11)).encode()


def tab_pitches(share: float) -> bytes:
    """Lines of pitches with as many measures as there may be."""
    return b"pitches|" + b"C4-----|" * int((_LONGEST_PITCHED - 100) * share / 8) + b"\n"


def tab_words(share: float) -> bytes:
    """A block, and as many words as fit."""
    words = "Am  C  G/B  F#m7  \n" * ((int(share * LARGEST_INPUT) - 800) // 19)
    return (words + _block(76)).encode()


def tab_stops(share: float) -> bytes:
    """Tab stops, which become eight blanks each."""
    return (_block(76) + "\t" * (int(share * LARGEST_INPUT) - 800)).encode()


def _score(*lines: str) -> bytes:
    return ("score: 1\nmeasures:\n" + "".join(lines)).encode()


def yaml_measures(share: float) -> bytes:
    """As many measures as are allowed."""
    return _score("- notes: [1/8: 6:0 5:2 4:2 3:1 2:0 1:0 2:0 3:1]\n" * int(share * 19_900))


def yaml_maps(share: float) -> bytes:
    """The longest file of events written out."""
    return _score(
        "- notes: [{1/4: {1: 0}}, {1/4: {1: 1}}, {1/4: {1: 2}}, {1/4: {1: 3}}]\n" * int(share * 14_000)
    )


def yaml_row(share: float) -> bytes:
    """The longest file as one row."""
    return _score("- notes: [1/64: " + "1:0 " * int(share * (LARGEST - 100) / 4) + "]\n")


def yaml_pitches(share: float) -> bytes:
    """As many pitches as strings are chosen for."""
    return _score("- notes: [1/4: E4 G4 A4 C5]\n" * int(share * 6_240))


def yaml_chords(share: float) -> bytes:
    """As many pitches as strings are chosen for, in chords of which few are alike."""
    choose = random.Random(1)
    names = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"]

    def chord() -> str:
        base = choose.randint(52, 61)
        strings = sorted(choose.sample((0, 5, 10, 15, 19, 24), 2))
        midi = [base + string + choose.randint(0, 3) for string in strings]
        return "+".join(f"{names[number % 12]}{number // 12 - 1}" for number in midi)

    return _score(
        *(f"- notes: [1/4: {' '.join(chord() for _ in range(4))}]\n" for _ in range(int(share * 3_120)))
    )


def yaml_graces(share: float) -> bytes:
    """The longest file of grace notes."""
    return _score("- notes: [grace 1/16: " + "1:0 " * int(share * (LARGEST - 100) / 4) + ", 1/1: 1:0]\n")


def yaml_drawn(share: float) -> bytes:
    """The longest file of drawn tab."""
    rows = "      rhythm" + " 16" * 16 + "\n"
    rows += "".join(f"      {string}     " + "  3" * 16 + "\n" for string in range(1, 7))
    return _score(f"- tab: |\n{rows}" * int(share * (LARGEST - 100) / (len(rows) + 9)))


def yaml_marks(share: float) -> bytes:
    """The longest row of words that mean nothing."""
    words = " ".join(f"1:0 w{number:x}" for number in range(int(share * LARGEST / 11)))
    return _score(f"- notes: [1/64: {words}]\n")


def yaml_verses(share: float) -> bytes:
    """As many keys as a mapping may have, each of them wrong."""
    verses = ", ".join(f"{number + 100}: a" for number in range(int(share * 990)))
    return _score(f"- notes: [1/1: 1:0]\n  lyrics: {{{verses}}}\n")


def yaml_aliases(share: float) -> bytes:
    """As much music as aliases may repeat."""
    row = "- &a {notes: [1/64: " + "1:0 " * 64 + "]}\n"
    return _score((row + "- *a\n- *a\n") * int(share * 1700))


def yaml_brackets(share: float) -> bytes:
    """The longest file of brackets."""
    count = int(share * (LARGEST - 100) / 2)
    return ("score: 1\nmeasures: " + "[" * count + "]" * count).encode()


CASES: dict[str, Callable[[float], bytes]] = {
    "musicxml/elements": xml_elements,
    "musicxml/attributes": xml_attributes,
    "musicxml/lines": xml_lines,
    "musicxml/references": xml_references,
    "musicxml/notes": xml_notes,
    "musicxml/chords": xml_chords,
    "musicxml/one-measure": xml_one_measure,
    "musicxml/odd-tuplets": xml_odd_tuplets,
    "musicxml/two-ratios": xml_two_ratios,
    "musicxml/open-tuplets": xml_open_tuplets,
    "musicxml/comment": xml_comment,
    "musicxml/voices": xml_voices,
    "musicxml/jumps": xml_jumps,
    "musicxml/endings": xml_endings,
    "musicxml/spans": xml_spans,
    "musicxml/parts": xml_parts,
    "mxl/bomb": mxl_bomb,
    "mxl/members": mxl_members,
    "midi/bytes": midi_bytes,
    "midi/events": midi_events,
    "midi/chords": midi_chords,
    "midi/tracks": midi_tracks,
    "midi/signatures": midi_signatures,
    "tab/blocks": tab_blocks,
    "tab/line": tab_line,
    "tab/one-measure": tab_one_measure,
    "tab/rows": tab_rows,
    "tab/pitches": tab_pitches,
    "tab/words": tab_words,
    "tab/stops": tab_stops,
    "yaml/measures": yaml_measures,
    "yaml/maps": yaml_maps,
    "yaml/row": yaml_row,
    "yaml/pitches": yaml_pitches,
    "yaml/chords": yaml_chords,
    "yaml/graces": yaml_graces,
    "yaml/drawn": yaml_drawn,
    "yaml/marks": yaml_marks,
    "yaml/verses": yaml_verses,
    "yaml/aliases": yaml_aliases,
    "yaml/brackets": yaml_brackets,
}
"""What makes the file of each case, given the share of the full size."""
