"""Pages read back from the PDF with pdfplumber and compared with the score.

Every head's pitch (staff position, key signature, accidentals with the memory of a measure), every digit's string and fret, and the
common x of head and digit.
"""

from functools import cache

import pytest

from engrave.drawing.pdf.draw import draw_pdf
from engrave.layout.clefs import clefs_of_part
from engrave.layout.document import place_score
from engrave.reading.load import load_score
from engrave.resources import data_folder
from engrave.score.structure import View
from engrave.score.techniques import signs_of
from engrave.style.load import load_style
from engrave.theory.clef import staff_position
from engrave.theory.pitch import Pitch
from tests.pages.page_reader import read_staves

SAMPLES = sorted((data_folder() / "samples").glob("*.yaml"))
HALF_HEAD = 0.625


def columns_of(score, part):
    """(measure, onset, [notes of each voice]) in order, rests and slashes left out."""
    for index, content in enumerate(score.parts[part].measures):
        by_onset = {}
        for number, voice in enumerate(content.voices):
            for event in voice.events:
                if event.notes and not event.notes[0].is_slash:
                    by_onset.setdefault(event.onset, {})[number] = event
        for onset in sorted(by_onset):
            yield index, onset, by_onset[onset]


def head_count(voices):
    """How many heads are drawn: no more than two of one pitch in a voice; unisons of two voices may share one."""
    rows = [sorted((note.pitch for note in event.notes), key=lambda p: p.midi) for event in voices.values()]
    rows = [[p for i, p in enumerate(row) if i < 2 or p != row[i - 2]] for row in rows]
    total = sum(map(len, rows))
    if len(rows) == 2:
        upper, lower = voices[0], voices[1]
        kind = lambda e: (min(e.value.denominator, 4), bool(e.value.dots))  # noqa: E731
        if rows[0][0] == rows[1][-1] and kind(upper) == kind(lower):
            total -= 1
    return total


def heard(note):
    """The MIDI number of a struck note as it is bent first."""
    return note.midi + (note.bend[0].semitones if note.bend else 0)


def parts_staves(score, staves, view):
    """The staves of each part and kind, in reading order."""
    kinds = []
    for index, part in enumerate(score.parts):
        if not part.is_fretted or view in (View.STAFF, View.STAFF_AND_TAB):
            kinds.append((index, False))
        if part.is_fretted and view is not View.STAFF:
            kinds.append((index, True))
    rows = {kind: [] for kind in kinds}
    for number, staff in enumerate(staves):
        kind = kinds[number % len(kinds)]
        assert staff.is_tab == kind[1]
        rows[kind].append(staff)
    return rows


@cache
def read(sample, view):
    score, log = load_score(str(sample))
    assert score is not None, log.problems
    style = load_style(score.style)[0]
    pdf = draw_pdf(place_score(score, style, view))
    return score, parts_staves(score, read_staves(pdf, style.staff_space, "SourceSansPro-Semibold"), view)


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_every_head_has_the_pitch_of_the_score(sample):
    score, rows = read(sample, View.STAFF_AND_TAB)
    for (part, is_tab), staves in rows.items():
        if is_tab:
            continue
        staff_style = load_style(score.style)[0].staff
        clefs = clefs_of_part(
            score.parts[part],
            [measure.length for measure in score.measures],
            staff_style.ledger_lines_most,
            staff_style.clef_change_cost,
        )
        heads = [(number, head) for number, staff in enumerate(staves) for head in staff.heads]
        position, memory, current, last_x = 0, {}, None, {}
        for measure, onset, voices in columns_of(score, part):
            if measure != current:
                current, memory = measure, {}
            clef = clefs.at(measure, onset)
            count = head_count(voices)
            mine = heads[position : position + count]
            position += count
            assert len({number for number, _ in mine}) == 1, (measure, onset)
            staff = staves[mine[0][0]]
            left = last_x.get(mine[0][0], -100.0)
            alters = score.measures[measure].key.alters
            tied = {note.pitch for e in voices.values() for note in e.notes if note.tie_from}
            notes = [note for event in voices.values() for note in event.notes]
            wanted = {note.pitch for note in notes if not note.bend}
            found = set()
            for _, head in mine:
                diatonic = head.position + clef.bottom_line
                step, octave = diatonic % 7, diatonic // 7
                signs = [s for s in staff.signs if s.position == head.position and left < s.x < head.x]
                if signs:
                    memory[diatonic] = signs[-1].alter
                pitch = Pitch(step, memory.get(diatonic, alters[step]), octave)
                held = [p for p in tied if p.diatonic == diatonic]
                found.add(held[0] if held and not signs else pitch)
                assert staff_position(pitch, clef) == head.position
            assert found >= wanted, (sample.stem, measure + 1, onset)
            assert {pitch.midi for pitch in found} == {heard(note) for note in notes}, (measure + 1, onset)
            last_x[mine[0][0]] = max(head.x for _, head in mine)
        assert position == len(heads)


@pytest.mark.parametrize("view", [View.STAFF_AND_TAB, View.RHYTHM_TAB, View.TAB], ids=lambda view: view.value)
@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_every_digit_has_the_string_and_fret_of_the_score(sample, view):
    score, rows = read(sample, view)
    for (part, is_tab), staves in rows.items():
        if not is_tab:
            continue
        digits = [(number, digit) for number, staff in enumerate(staves) for digit in staff.digits]
        position = 0
        for measure, onset, voices in columns_of(score, part):
            wanted = set()
            for event in voices.values():
                for note in event.notes:
                    if not note.tie_from:
                        names = signs_of(note.techniques)
                        text = "X" if "dead" in names else str(note.fret)
                        wanted.add((note.string, f"({text})" if "ghost" in names else text))
            mine = digits[position : position + len(wanted)]
            position += len(wanted)
            assert {(d.string, d.text) for _, d in mine} == wanted, (sample.stem, measure + 1, onset)
            assert len({round(d.x, 1) for _, d in mine}) <= 1
        assert position == len(digits)


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_every_digit_stands_exactly_under_its_head(sample):
    score, rows = read(sample, View.STAFF_AND_TAB)
    for part in range(len(score.parts)):
        if (part, True) not in rows:
            continue
        for staff, tab in zip(rows[part, False], rows[part, True], strict=True):
            middles = [head.x + {0xE0A2: 0.86}.get(head.code, HALF_HEAD) for head in staff.heads]
            for digit in tab.digits:
                assert min(abs(digit.x - middle) for middle in middles) < 0.05, (sample.stem, digit)


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_staves_of_a_system_have_the_lines_of_their_instrument(sample):
    _, rows = read(sample, View.STAFF_AND_TAB)
    counts = {len(staves) for staves in rows.values()}
    assert len(counts) == 1
    assert counts.pop() >= 2
