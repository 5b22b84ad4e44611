"""Every sign of MusicXML 4.0 that a fretted instrument can use is in the language, waits by name, or is left out with a reason.

Source: the published schema, musicxml_4_0.xsd (W3C Music Notation Community Group), as carried by the musicxml package.
"""

import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from engrave.score.sign_list import DYNAMICS, SIGNS

NAMESPACE = "{http://www.w3.org/2001/XMLSchema}"
BY_OTHER_MEANS = {
    "technical/fret": "the fret itself",
    "technical/open-string": "fret 0",
    "articulations/detached-legato": "tenuto with staccato",
}
WAITING = {"ornaments/accidental-mark"}  # to come; each is taken out of this list when it can be written
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
}
LEFT_OUT_DYNAMICS = {"ppppp", "pppppp", "fffff", "ffffff", "sfpp", "sfzp", "other-dynamics"}  # no symbol of its own in common use


@pytest.fixture(scope="module")
def schema():
    musicxml = pytest.importorskip("musicxml")
    return ET.parse(Path(musicxml.__file__).parent / "generate_classes" / "musicxml_4_0.xsd").getroot()


def elements(schema, group):
    kind = next(node for node in schema.iter(f"{NAMESPACE}complexType") if node.get("name") == group)
    return [node.get("name") for node in kind.iter(f"{NAMESPACE}element")]


@pytest.mark.parametrize("group", ["technical", "articulations", "ornaments"])
def test_every_element_is_supported_waits_or_has_a_reason(schema, group):
    written = {element for sign in SIGNS.values() for element in sign.elements} | set(BY_OTHER_MEANS)
    for element in elements(schema, group):
        name = f"{group}/{element}"
        places = [name in written, name in WAITING, name in NOT_FRETTED]
        assert sum(places) == 1, (name, places)


def test_every_element_that_a_sign_names_is_in_the_schema(schema):
    known = {node.get("name") for node in schema.iter(f"{NAMESPACE}element")}
    for name, sign in SIGNS.items():
        for element in sign.elements:
            assert element.split("/")[-1] in known, name


def test_the_dynamics_are_those_of_the_schema(schema):
    assert set(DYNAMICS) | LEFT_OUT_DYNAMICS == set(elements(schema, "dynamics"))
