"""Scores written as MusicXML 4.0: valid, read alike by another reader, and exact.

Source unless said otherwise: MusicXML 4.0, the published schema and its documentation, as carried by the musicxml package."""

import xml.etree.ElementTree as ET
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.exchange.musicxml.writer import write_musicxml
from engrave.reading.load import load_score
from engrave.resources import data_folder
from tests.exchange.musicxml_writer_helpers import check_form, sounds
from tests.reading.helpers import read

SAMPLES = sorted(
    [*(data_folder() / "samples").glob("*.yaml"), *(data_folder() / "samples" / "signs").glob("*.yaml")]
)


def load(path):
    score, log = load_score(str(path))
    assert score is not None, [str(p) for p in log.problems]
    return score


def ticks_of(measure):
    """The moves in time of one measure, in divisions: each (moment, length) of a note, and where the measure ends."""
    now, last, rows, end = 0, 0, [], 0
    for element in measure:
        length = int(element.findtext("duration", "0"))
        if element.tag == "backup":
            now -= length
        elif element.tag == "forward":
            now += length
        elif element.tag == "note":
            if element.find("chord") is not None:
                rows.append((last, length))
            else:
                rows.append((now, length))
                last, now = now, now + length
        end = max(end, now)
        assert now >= 0
    return rows, end


def played_measures(score):
    """For each measure in the file: the index of the score's measure that holds its music."""
    rows = []
    for index, measure in enumerate(score.measures):
        rows.extend([index] * measure.rests)
    return rows


def source(part, index):
    while part.measures[index].repeats:
        index -= part.measures[index].repeats
    return part.measures[index]


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_every_sample_is_valid(path):
    check_form(write_musicxml(load(path)))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_equal_scores_give_equal_bytes(path):
    assert write_musicxml(load(path)) == write_musicxml(load(path))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_every_measure_of_every_part_fills_its_time_exactly(path):
    score = load(path)
    root = ET.fromstring(write_musicxml(score))
    for part in root.findall("part"):
        measures = part.findall("measure")
        divisions = int(part.findtext("measure/attributes/divisions"))
        assert len(measures) == len(played_measures(score))
        for measure, index in zip(measures, played_measures(score), strict=True):
            _, end = ticks_of(measure)
            assert Fraction(end, 4 * divisions) == score.measures[index].length


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_another_reader_finds_the_same_music(path):
    music21 = pytest.importorskip("music21")
    score = load(path)
    parsed = music21.converter.parseData(write_musicxml(score).decode("utf-8"), format="musicxml")
    assert len(parsed.parts) == len(score.parts)
    for part, other in zip(score.parts, parsed.parts, strict=True):
        others = list(other.getElementsByClass(music21.stream.Measure))
        order = played_measures(score)
        assert len(others) == len(order)
        change = other.recurse().getElementsByClass(music21.instrument.Instrument).first().transposition
        shift = change.semitones if change is not None else 0
        for index, measure in zip(order, others, strict=True):
            assert sounds_of_other(music21, measure, shift) == sounds(part, source(part, index))


def sounds_of_other(music21, measure, shift):
    """The same of a measure of the other reader, which keeps the places of a chord in one list, in order."""
    pitches, places = [], []
    for element in measure.recurse().notes:
        if isinstance(element, music21.harmony.Harmony) or element.duration.isGrace:
            continue
        onset = Fraction(element.getOffsetInHierarchy(measure)) / 4
        length = Fraction(element.quarterLength) / 4
        strings = [
            s.number for s in element.articulations if type(s) is music21.articulations.StringIndication
        ]
        frets = [s.number for s in element.articulations if type(s) is music21.articulations.FretIndication]
        places.extend((onset, string, fret) for string, fret in zip(strings, frets, strict=True))
        if isinstance(element, music21.note.Unpitched):
            pitches.append((onset, length, -1))
        else:
            pitches.extend((onset, length, pitch.midi + shift) for pitch in element.pitches)
    return sorted(pitches), sorted(places)


LENGTHS = ("1/2", "1/4", "1/4.", "1/8", "1/8.", "1/16", "1/8..", "1/32")


@st.composite
def measures(draw):
    """A measure of random values, tuplets and tuplets in tuplets, and its metre."""
    items, total = [], Fraction(0)
    for _ in range(draw(st.integers(1, 6))):
        kind = draw(st.integers(0, 3))
        if kind < 2:
            value = draw(st.sampled_from(LENGTHS))
            items.append(f"{value}: {{2: {draw(st.integers(0, 12))}}}")
            dots = value.count(".")
            total += Fraction(value.rstrip(".")) * (2 - Fraction(1, 2**dots))
        else:
            actual, normal = draw(st.sampled_from([(3, 2), (5, 4), (7, 4), (2, 3), (6, 4)]))
            notes = ["{3: 1}"] * actual
            if kind == 3:
                notes[0] = "{3 in 2 of 1/32: [{4: 2}, rest, {4: 3}]}"
            items.append(f"{actual} in {normal} of 1/16: [{', '.join(notes)}]")
            total += Fraction(normal, 16)
    while total % Fraction(1, 32):
        items.append("1/64: rest")
        total += Fraction(1, 64)
        if total.denominator > 64:
            break
    return items, total


@given(measures())
@settings(max_examples=60, deadline=None)
def test_all_times_of_random_measures_are_exact(content):
    items, total = content
    count = total * 32
    if count.denominator != 1 or not 1 <= count <= 64:
        return
    score = read(f"score: 1\ntime: {count}/32\nmeasures:\n  - notes: [{', '.join(items)}]\n")
    root = ET.fromstring(write_musicxml(score))
    divisions = int(root.findtext("part/measure/attributes/divisions"))
    rows, end = ticks_of(root.find("part/measure"))
    whole = [(Fraction(onset, 4 * divisions), Fraction(length, 4 * divisions)) for onset, length in rows]
    assert whole == [(e.onset, e.length) for e in score.parts[0].measures[0].voices[0].events]
    assert Fraction(end, 4 * divisions) == total
    for note in root.iter("note"):  # the written value times the ratio is the duration
        assert note.find("type") is not None
    starts = [t for t in root.iter("tuplet") if t.get("type") == "start"]
    stops = [t for t in root.iter("tuplet") if t.get("type") == "stop"]
    assert (
        len(starts)
        == len(stops)
        == sum(" in " in item.split(":")[0] for item in items) + sum("1/32: [" in i for i in items)
    )
