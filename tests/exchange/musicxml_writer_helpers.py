"""The published schema of MusicXML 4.0, and documents checked against it (as carried by the musicxml package)."""

from pathlib import Path

import pytest

XS = "http://www.w3.org/2001/XMLSchema"


XML_STAND_IN = f"""<xs:schema xmlns:xs="{XS}" targetNamespace="http://www.w3.org/XML/1998/namespace">
  <xs:attribute name="lang" type="xs:language"/>
  <xs:attribute name="space" type="xs:NCName"/>
</xs:schema>"""


XLINK_STAND_IN = f"""<xs:schema xmlns:xs="{XS}" targetNamespace="http://www.w3.org/1999/xlink">
  <xs:attribute name="href" type="xs:anyURI"/>
  <xs:attribute name="type" type="xs:string"/>
  <xs:attribute name="role" type="xs:token"/>
  <xs:attribute name="title" type="xs:token"/>
  <xs:attribute name="show" type="xs:string"/>
  <xs:attribute name="actuate" type="xs:string"/>
</xs:schema>"""


STAND_INS = {"xml.xsd": XML_STAND_IN, "xlink.xsd": XLINK_STAND_IN}
"""Minimal local stand-ins for two schemas that the published one imports by URL; no test may use the network."""


def schema():
    etree = pytest.importorskip("lxml.etree")
    musicxml = pytest.importorskip("musicxml")

    class StandIns(etree.Resolver):
        def resolve(self, url, public_id, context):
            text = STAND_INS.get(url.rsplit("/", 1)[-1])
            return self.resolve_string(text, context) if text else None

    parser = etree.XMLParser(no_network=True)
    parser.resolvers.add(StandIns())
    path = Path(musicxml.__file__).parent / "generate_classes" / "musicxml_4_0.xsd"
    return etree.XMLSchema(etree.parse(str(path), parser))


_SCHEMA = []


def check_form(data):
    etree = pytest.importorskip("lxml.etree")
    if not _SCHEMA:
        _SCHEMA.append(schema())
    tree = etree.fromstring(data)
    assert _SCHEMA[0].validate(tree), _SCHEMA[0].error_log


def sounds(part, measure):
    """All notes as (onset, length, sounding pitch) and all (onset, string, fret), in whole notes; slashes have no pitch."""
    pitches, places = [], []
    for voice in measure.voices:
        for event in voice.events:
            for note in event.notes:
                pitch = note.pitch.midi - 12 * part.instrument.octave + part.instrument.capo
                if note.string:
                    assert pitch == part.instrument.sounding_midi(note.string, note.fret)
                    places.append((event.onset, note.string, note.fret))
                pitches.append((event.onset, event.length, -1 if note.is_slash else pitch))
    return sorted(pitches), sorted(places)
