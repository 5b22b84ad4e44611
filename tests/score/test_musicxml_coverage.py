"""Every sign of MusicXML 4.0 that a fretted instrument can use is in the language, or is left out with a reason.

Source: the published schema, musicxml_4_0.xsd (W3C Music Notation Community Group), as carried by the musicxml package.
"""

import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from engrave.score.sign_list import DYNAMICS, SIGNS

NAMESPACE = "{http://www.w3.org/2001/XMLSchema}"
GROUPS = [
    "technical",
    "articulations",
    "ornaments",
    "bend",
    "harmonic",
    "measure-style",
    "frame",
    "frame-note",
    "harmony",
]
BY_OTHER_MEANS = {  # written in the language without being a sign of its list
    "technical/fret": "the fret itself",
    "technical/open-string": "fret 0",
    "bend/bend-alter": "the amounts of bend:",
    "bend/pre-bend": "bend: pre ...",
    "bend/release": "bend: ... release",
    "harmonic/base-pitch": "the fret",
    "harmonic/sounding-pitch": "computed from the node; house style may print it",
    "measure-style/multiple-rest": "the key multiple-rest of a measure",
    "measure-style/measure-repeat": "the key measure-repeat of a measure",
    "measure-style/slash": "the event slash",
    "frame/frame-strings": "as many as the shape has",
    "frame/frame-frets": "as many as the shape needs",
    "frame/first-fret": "the number beside a grid that does not start at the nut",
    "frame/frame-note": "the frets of shapes:",
    "frame-note/string": "the order of the frets of a shape",
    "frame-note/fret": "the frets of a shape",
    "frame-note/fingering": "fingers: of a shape",
    "frame-note/barre": "one finger on several strings of a shape",
    "harmony/root": "the letter of a chord name",
    "harmony/kind": "the quality of a chord name",
    "harmony/bass": "what follows the stroke of a chord name",
    "harmony/degree": "alterations and additions of a chord name",
    "harmony/frame": "shapes:",
    "harmony/offset": "chord names by beat",
}
NOT_FRETTED = {
    "technical/thumb-position": "a cellist's thumb",
    "technical/double-tongue": "wind instruments",
    "technical/triple-tongue": "wind instruments",
    "technical/stopped": "horns",
    "technical/heel": "organ pedals",
    "technical/toe": "organ pedals",
    "technical/hole": "wind instruments",
    "technical/arrow": "fingering of wind instruments",
    "technical/handbell": "handbells",
    "technical/brass-bend": "brass",
    "technical/flip": "brass",
    "technical/smear": "brass",
    "technical/open": "brass mutes",
    "technical/half-muted": "brass mutes",
    "technical/harmon-mute": "brass mutes",
    "articulations/spiccato": "bowing",
    "articulations/stress": "spoken stress in new music for voices",
    "articulations/unstress": "spoken stress in new music for voices",
    "articulations/other-articulation": "holds nothing of its own",
    "ornaments/vertical-turn": "keyboard ornament of baroque tables",
    "ornaments/inverted-vertical-turn": "keyboard ornament of baroque tables",
    "ornaments/shake": "an old name of the trill",
    "ornaments/schleifer": "keyboard ornament of baroque tables",
    "ornaments/haydn": "one composer's ornament",
    "ornaments/other-ornament": "holds nothing of its own",
    "measure-style/beat-repeat": "a repeated beat of chords is written as slashes",
    "harmony/numeral": "names by degree belong to lessons in harmony, not to a player's page",
    "harmony/function": "an older form of numeral",
    "harmony/inversion": "told by the bass of a chord name",
    "harmony/footnote": "editorial remarks are free text",
    "harmony/level": "editorial remarks are free text",
    "harmony/staff": "chord names stand over their part",
}
LEFT_OUT_DYNAMICS = {
    "ppppp",
    "pppppp",
    "fffff",
    "ffffff",
    "sfpp",
    "sfzp",
    "other-dynamics",
}  # no symbol of its own in common use
VALUES = {  # types whose values, not elements, say what can be written: what is left out, and why
    "wedge-type": {"stop": "the end of a span", "continue": "spans go on over line breaks by themselves"},
    "tremolo-type": {"start": "tremolo between two notes is for keyboards and bows", "stop": "the same"},
    "up-down": {},
    "fermata-shape": {
        "angled": "short fermatas of new music",
        "square": "long fermatas of new music",
        "double-angled": "new music",
        "double-square": "new music",
        "double-dot": "new music",
        "half-curve": "new music",
        "curlew": "one composer's sign",
        "": "the same as normal",
    },
}
WRITTEN_VALUES = {
    "wedge-type": {"crescendo", "diminuendo"},
    "tremolo-type": {"single", "unmeasured"},
    "up-down": {"up", "down"},  # arpeggiate-up, arpeggiate-down
    "fermata-shape": {"normal"},
}
OF_ATTRIBUTES = {  # elements that hold no others: the signs that stand for them
    "slide": {"slide", "slurred-slide"},
    "glissando": {"slide"},
    "arpeggiate": {"arpeggiate", "arpeggiate-up", "arpeggiate-down", "strum-up", "strum-down", "rake"},
    "non-arpeggiate": {"non-arpeggiate"},
    "tremolo": {"tremolo", "tremolo-eighths", "tremolo-sixteenths"},
    "wedge": {"crescendo", "diminuendo"},
    "fermata": {"fermata"},
}


@pytest.fixture(scope="module")
def schema():
    musicxml = pytest.importorskip("musicxml")
    return ET.parse(Path(musicxml.__file__).parent / "generate_classes" / "musicxml_4_0.xsd").getroot()


def elements(schema, name):
    """The elements of a complex type, those of the groups in it included."""
    kind = next(node for node in schema.iter(f"{NAMESPACE}complexType") if node.get("name") == name)
    return _elements(schema, kind)


def _elements(schema, kind):
    found = []
    for node in kind.iter():
        if node.tag == f"{NAMESPACE}element":
            found.append(node.get("name"))
        elif node.tag == f"{NAMESPACE}group" and node.get("ref"):
            group = next(g for g in schema.iter(f"{NAMESPACE}group") if g.get("name") == node.get("ref"))
            found.extend(_elements(schema, group))
    return found


@pytest.mark.parametrize("group", GROUPS)
def test_every_element_is_written_or_has_a_reason(schema, group):
    written = {element for sign in SIGNS.values() for element in sign.elements}
    for element in elements(schema, group):
        name = f"{group}/{element}"
        places = [name in written, name in BY_OTHER_MEANS, name in NOT_FRETTED]
        assert sum(places) == 1, (name, places)


@pytest.mark.parametrize("kind", VALUES)
def test_every_value_is_written_or_has_a_reason(schema, kind):
    node = next(n for n in schema.iter(f"{NAMESPACE}simpleType") if n.get("name") == kind)
    values = {value.get("value") for value in node.iter(f"{NAMESPACE}enumeration")}
    assert values == WRITTEN_VALUES[kind] | set(VALUES[kind])
    assert not WRITTEN_VALUES[kind] & set(VALUES[kind])


@pytest.mark.parametrize("element", OF_ATTRIBUTES)
def test_elements_without_content_have_their_signs(element):
    signs = {name for name, sign in SIGNS.items() if any(e.split("/")[-1] == element for e in sign.elements)}
    assert signs == OF_ATTRIBUTES[element]


def test_no_reason_is_given_for_what_the_schema_does_not_have(schema):
    known = {f"{group}/{element}" for group in GROUPS for element in elements(schema, group)}
    assert set(NOT_FRETTED) | set(BY_OTHER_MEANS) <= known


def test_every_element_that_a_sign_names_is_in_the_schema(schema):
    known = {node.get("name") for node in schema.iter(f"{NAMESPACE}element")}
    for name, sign in SIGNS.items():
        for element in sign.elements:
            assert element.split("/")[-1] in known, name


def test_the_dynamics_are_those_of_the_schema(schema):
    assert set(DYNAMICS) | LEFT_OUT_DYNAMICS == set(elements(schema, "dynamics"))
