"""What of the score language becomes which element (MusicXML 4.0, the published schema and its documentation)."""

import io
import xml.etree.ElementTree as ET
import zipfile

import pytest

from engrave.exchange.musicxml.writer import write_musicxml, write_mxl
from engrave.exchange.musicxml.writing.harmony import read_kind
from engrave.score.sign_list import SIGNS
from engrave.theory.chord_name import parse_chord_name
from tests.exchange.musicxml_writer_helpers import check_form
from tests.reading.helpers import measure, read


def written(text):
    """The root of the document for a score in text, checked against the schema."""
    data = write_musicxml(read(text))
    check_form(data)
    return ET.fromstring(data)


def texts(root, path):
    return [element.text for element in root.findall(path)]


def test_a_tuplet_in_a_tuplet_multiplies():
    root = written(
        measure("[3 in 2 of 1/4: [{1: 0}, {3 in 2 of 1/8: [{1: 1}, {1: 2}, {1: 3}]}, {1: 5}], 1/2: {1: 0}]")
    )
    ratios = [
        (t.findtext("actual-notes"), t.findtext("normal-notes")) for t in root.iter("time-modification")
    ]
    assert ratios == [("3", "2"), ("9", "4"), ("9", "4"), ("9", "4"), ("3", "2")]
    assert [(t.get("type"), t.get("number")) for t in root.iter("tuplet")] == [
        ("start", "1"),
        ("start", "2"),
        ("stop", "2"),
        ("stop", "1"),
    ]


def test_a_guitar_is_written_as_its_clef_reads_and_a_bass_with_a_transposition():
    guitar = written(measure("[1/1: {6: 0}]"))
    assert guitar.findtext(".//clef-octave-change") == "-1"
    assert guitar.find(".//transpose") is None
    assert guitar.findtext(".//pitch/octave") == "2"
    bass = written(measure("[1/1: {4: 0}]", "instrument: bass\n"))
    assert bass.findtext(".//transpose/octave-change") == "-1"
    assert bass.findtext(".//pitch/octave") == "2"  # sounds E1


def test_a_capo_is_told_and_transposes():
    root = written(measure("[1/1: {6: 0}]", "capo: 3\n"))
    assert root.findtext(".//staff-details/capo") == "3"
    assert (root.findtext(".//transpose/diatonic"), root.findtext(".//transpose/chromatic")) == ("2", "3")
    lowest = root.find(".//staff-tuning")
    assert (lowest.get("line"), lowest.findtext("tuning-step"), lowest.findtext("tuning-octave")) == (
        "1",
        "E",
        "2",
    )


def test_additive_and_common_times():
    assert (
        written(measure("[1/8: [{1: 0}, {1: 0}, {1: 0}, {1: 0}, {1: 0}]]", "time: 3+2/8\n")).findtext(
            ".//beats"
        )
        == "3+2"
    )
    assert written(measure("[1/1: rest]", "time: cut C\n")).find(".//time").get("symbol") == "cut"


def test_a_pickup_is_implicit():
    root = written(
        "score: 1\nmeasures:\n  - pickup: true\n    notes: [1/4: {1: 0}]\n  - notes: [1/1: {1: 0}]\n"
    )
    first, second = root.findall("part/measure")
    assert (first.get("number"), first.get("implicit"), second.get("number")) == ("0", "yes", "1")


def test_repeats_endings_and_jumps():
    root = written(
        "score: 1\nmeasures:\n"
        "  - {repeat: start, segno: true, notes: [1/1: {1: 0}]}\n"
        "  - {ending: [1, 2], repeat: end, times: 3, notes: [1/1: {1: 0}]}\n"
        "  - {ending: 3, to-coda: true, notes: [1/1: {1: 0}]}\n"
        "  - {go-back: D.S. al Coda, notes: [1/1: {1: 0}]}\n"
        "  - {coda: true, notes: [1/1: {1: 0}]}\n"
    )
    assert [(r.get("direction"), r.get("times")) for r in root.iter("repeat")] == [
        ("forward", None),
        ("backward", "3"),
    ]
    assert [(e.get("number"), e.get("type")) for e in root.iter("ending")] == [
        ("1,2", "start"),
        ("1,2", "stop"),
        ("3", "start"),
        ("3", "discontinue"),
    ]
    sounds = [dict(s.attrib) for s in root.iter("sound")]
    assert sounds == [{"segno": "segno"}, {"tocoda": "coda"}, {"dalsegno": "segno"}, {"coda": "coda"}]


def test_bends_are_steps_from_where_the_string_is():
    root = written(
        measure(
            "[1/2: {2: {fret: 15, bend: pre full}}, 1/4: {2: {fret: tie, bend: release}}, 1/4: {2: {fret: 15, bend: 1/2 then full}}]"
        )
    )
    steps = [[child.tag for child in bend if child.tag != "bend-alter"] for bend in root.iter("bend")]
    assert texts(root, ".//bend-alter") == ["2", "-2", "1", "1"]
    assert steps == [["pre-bend"], ["release"], [], []]


def test_grace_notes_after_a_note_are_told_from_those_before_one():
    root = written(measure("[grace 1/16: [{1: 1}], 1/2: {1: 0}, closing-grace 1/16: [{1: 3}], 1/2: {1: 0}]"))
    graces = [dict(g.attrib) for g in root.iter("grace")]
    assert graces == [{"slash": "yes"}, {"steal-time-previous": "20", "slash": "no"}]


def test_a_long_rest_is_as_many_measures():
    root = written("score: 1\nmeasures:\n  - multiple-rest: 3\n  - notes: [1/1: {1: 0}]\n")
    assert [m.get("number") for m in root.iter("measure")] == ["1", "2", "3", "4"]
    assert texts(root, ".//multiple-rest") == ["3"]


def test_repeated_measures_hold_their_music_again():
    root = written(
        "score: 1\nmeasures:\n  - notes: [1/1: {1: 5}]\n  - measure-repeat: 1\n  - notes: [1/1: {1: 0}]\n"
    )
    assert texts(root, ".//fret") == ["5", "5", "0"]
    assert [(r.get("type"), r.text) for r in root.iter("measure-repeat")] == [("start", "1"), ("stop", None)]


def test_syllables_know_their_place_in_the_word():
    root = written(
        "score: 1\nmeasures:\n  - notes: [1/4: [{1: 0}, {1: 1}, {1: 3}, {1: 5}]]\n    lyrics: har-bour lights now\n"
    )
    assert texts(root, ".//syllabic") == ["begin", "end", "single", "single"]


def test_signs_that_last_start_and_stop_with_one_number_and_keep_their_name():
    root = written(
        measure("[1/4: [{1: 0}, {1: 1}, {1: 3}, {1: 5}]]").rstrip("\n")
        + "\n    spans: {1: [palm-mute for 1/2, barre 5 for 1/1, 8va for 1/1]}\n"
    )
    assert texts(root, ".//other-direction") == ["palm-mute", "barre 5"]
    assert [(d.get("type"), d.get("number")) for d in root.iter("dashes")] == [
        ("start", "1"),
        ("start", "2"),
        ("stop", "1"),
        ("stop", "2"),
    ]
    assert [o.get("type") for o in root.iter("octave-shift")] == [
        "down",
        "stop",
    ]  # sounds as in the file, printed lower


DETAILS = {
    "artificial-harmonic": 15,
    "tapped-harmonic": 15,
    "touched-harmonic": 15,
    "bend": "full",
    "vibrato-bar": "dip 1/2",
    "pluck": "i",
    "finger": 2,
}


DERIVED = ("accidental-mark",)


JOINED = ("hammer-on", "pull-off", "slide", "slurred-slide", "slur", "phrase")


def sign_example(name):
    if name in ("slur", "end-slur", "phrase", "end-phrase"):
        start, end = ("slur", "end-slur") if "slur" in name else ("phrase", "end-phrase")
        return measure(f"[1/4: 1:1 {start}, 1/4: 1:3 {end}, 1/2: rest]")
    fret = f"{{fret: 3, {name}: {DETAILS[name]}}}" if name in DETAILS else f"5 {name}"
    if name == "natural-harmonic":
        fret = "12 natural-harmonic"
    before = 7 if name == "pull-off" else 1
    return measure(f"[1/4: {{1: {before}}}, 1/4: {{1: {fret}, 2: 1}}, 1/2: rest]")


BY_SPAN = [name for name, sign in SIGNS.items() if sign.carrier.value == "span"]


INSTEAD = {"technical/other-technical": "direction-type/other-direction"}


NOT_USED = ("notations/glissando", "articulations/detached-legato")
"""A slide says more than a glissando; tenuto and staccato stand beside each other."""


@pytest.mark.parametrize("name", [name for name in SIGNS if name not in (*BY_SPAN, *DERIVED)])
def test_every_mark_is_the_element_of_its_list(name):
    root = written(sign_example(name))
    found = {f"{parent.tag}/{child.tag}" for parent in root.iter() for child in parent}
    for element in SIGNS[name].elements:
        if element not in NOT_USED:
            assert element in found or (element == "notehead" and f"note/{element}" in found), (name, element)
    if name in JOINED:
        tag = "slide" if "slide" in name else name.replace("phrase", "slur")
        assert [e.get("type") for e in root.iter(tag)] == ["start", "stop"]


@pytest.mark.parametrize("name", BY_SPAN)
def test_every_sign_that_lasts_is_the_element_of_its_list(name):
    detail = " 5" if name in ("position", "barre", "half-barre") else ""
    root = written(measure("[1/1: {1: 5}]").rstrip("\n") + f"\n    spans: {{1: {name}{detail} for 1/1}}\n")
    found = {f"{parent.tag}/{child.tag}" for parent in root.iter() for child in parent}
    for element in SIGNS[name].elements:
        assert INSTEAD.get(element, element) in found


def test_a_trill_out_of_the_key_has_its_accidental():
    root = written(measure("[1/1: {1: {fret: 0, trill: 2}}]", "key: C major\n"))
    assert texts(root, ".//ornaments/accidental-mark") == ["sharp"]  # E to F sharp


KINDS = [
    ("C", "major", []),
    ("Cm", "minor", []),
    ("C7", "dominant", []),
    ("Cmaj7", "major-seventh", []),
    ("Cm7b5", "minor-seventh", [(5, -1, "alter")]),
    ("Cø", "half-diminished", []),
    ("Cdim7", "diminished-seventh", []),
    ("C6/9", "major-sixth", [(9, 0, "add")]),
    ("Csus4", "suspended-fourth", []),
    ("C7sus4", "dominant", [(3, 0, "subtract"), (4, 0, "add")]),
    ("Cadd9", "major", [(9, 0, "add")]),
    ("C7#9", "dominant", [(9, 1, "add")]),
    ("C9#11", "dominant-ninth", [(11, 1, "add")]),
    ("Cmmaj7", "major-minor", []),
    ("C5", "power", []),
    ("C7b9", "dominant", [(9, -1, "add")]),
    ("Caug", "augmented", []),
]


@pytest.mark.parametrize(("name", "kind", "degrees"), KINDS)
def test_chord_names_have_a_kind_and_what_it_leaves_open(name, kind, degrees):
    found, rest = read_kind(parse_chord_name(name))
    assert (found, [tuple(degree) for degree in rest]) == (kind, degrees)


def test_a_chord_name_keeps_its_words_and_its_bass():
    root = written("score: 1\nmeasures:\n  - chord: {1: F#m7b5/E, 3: N.C.}\n    notes: [1/1: {1: 0}]\n")
    first, second = root.findall(".//harmony")
    assert first.find("kind").get("text") == "m7b5"
    assert (
        first.findtext("root/root-step"),
        first.findtext("root/root-alter"),
        first.findtext("bass/bass-step"),
    ) == ("F", "1", "E")
    assert second.find("kind").text == "none"
    assert int(second.findtext("offset")) == 2 * int(root.findtext(".//divisions"))


def test_the_container_names_the_score_and_has_no_date_of_today():
    data = write_musicxml(read(measure("[1/1: {1: 0}]")))
    packed = write_mxl(data, "song.musicxml")
    assert packed == write_mxl(data, "song.musicxml")
    with zipfile.ZipFile(io.BytesIO(packed)) as archive:
        assert archive.namelist() == ["mimetype", "META-INF/container.xml", "song.musicxml"]
        assert archive.read("song.musicxml") == data
        root = ET.fromstring(archive.read("META-INF/container.xml"))
        assert root.find("rootfiles/rootfile").get("full-path") == "song.musicxml"
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}


@pytest.mark.parametrize("name", ["", "/a.xml", "../a.xml", "META-INF/a.xml", "mimetype"])
def test_names_that_cannot_be_in_a_container_are_refused(name):
    with pytest.raises(ValueError, match="cannot be the name"):
        write_mxl(b"", name)


def test_words_with_signs_of_xml_and_forbidden_characters_are_safe():
    root = written(
        'score: 1\ntitle: "Salt & <Tide>"\nmeasures:\n  - text: "a < b"\n    notes: [1/1: {1: 0}]\n'
    )
    assert root.findtext("work/work-title") == "Salt & <Tide>"
    assert "a < b" in texts(root, ".//words")
