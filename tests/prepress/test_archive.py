"""Archival files, clause by clause of ISO 19005-2:2011 (PDF/A-2) and ISO 19005-3:2012 (PDF/A-3)."""

import re
from xml.etree import ElementTree

import pytest

from engrave.drawing.pdf.draw import draw_pdf
from engrave.fonts.text_face import text_face
from engrave.layout.document import place_score
from engrave.marks.mark import Box, Group, Link, Page, PlacedDocument, Text
from engrave.marks.role import Role
from engrave.prepress.archive import NotArchival, make_archival, srgb_profile
from engrave.style.load import load_style
from tests.prepress import archive_reader
from tests.prepress.archive_reader import pikepdf
from tests.reading.helpers import read


def page_of(*marks):
    return draw_pdf(PlacedDocument((Page(200, 100, (Group(10, 10, 5, marks),)),)))


TITLE, AUTHOR = "Übung <1> & Жар", "Ø. Ærlig"
SCORE = read(
    "score: 1\ntitle: Übung Nº 1 — Ñandú\ncredits: {music: Ø. Ærlig, words: Жанна}\nlanguage: de\nkey: Eb major\n"
    "measures:\n  - chord: F#m7b5/E\n"
    "    notes: [1/4: [{6: 3, 1: 12}, {2: 0}, {2: 1 hammer-on}, {3: x}]]\n"
)
DRAWN = draw_pdf(place_score(SCORE, load_style("")[0]))
SOURCES = {"übung.yaml": b"score: 1\n", "band.yml": b"album: 1\n", "notes.bin": b"\x00" * 3}
FILE = make_archival(DRAWN, TITLE, AUTHOR, "de")
WITH_SOURCES = make_archival(DRAWN, TITLE, AUTHOR, "de", SOURCES)
PDF = archive_reader.opened(FILE)
PDF_WITH_SOURCES = archive_reader.opened(WITH_SOURCES)
LETTERS = "".join(map(chr, (*range(0xC0, 0x180), *range(0x390, 0x3D0), *range(0x410, 0x450))))
KNOWN = "".join(sorted(set(LETTERS) - set(text_face("serif").missing(LETTERS))))
MANY = page_of(Text(Role.TITLE, 0, 0, KNOWN, "serif", 1))
PDF_OF_MANY = archive_reader.opened(make_archival(MANY, "Many characters, hence several subsets", "", ""))
FONTS = [*archive_reader.used_fonts(PDF), *archive_reader.used_fonts(PDF_OF_MANY)]
SPACES = {
    "dc": "http://purl.org/dc/elements/1.1/",
    "pdf": "http://ns.adobe.com/pdf/1.3/",
    "pdfaid": "http://www.aiim.org/pdfa/ns/id/",
    "rdf": "http://www.w3.org/1999/02/22-rdf-syntax-ns#",
    "xmp": "http://ns.adobe.com/xap/1.0/",
}


def xmp(pdf, path):
    """The text at `path` of the packet, without its wrapping."""
    found = ElementTree.fromstring(pdf.Root.Metadata.read_bytes()).find(f".//{path}", SPACES)
    return None if found is None else "".join(found.itertext())


def test_6_1_2_the_header_starts_the_file_and_a_binary_comment_follows():
    first, second, _ = FILE.split(b"\n", 2)
    assert re.fullmatch(rb"%PDF-1\.[0-7]", first)
    assert re.match(rb"%[\x80-\xff]{4}", second)


def test_6_1_3_the_trailer_has_an_id_and_no_encryption():
    assert [len(bytes(part)) for part in PDF.trailer.ID] == [16, 16]
    assert "/Encrypt" not in PDF.trailer


def test_6_1_3_nothing_follows_the_one_end_of_file():
    assert FILE.endswith(b"%%EOF\n")
    assert FILE.count(b"%%EOF") == 1


def test_6_1_4_and_6_1_9_the_cross_reference_table_finds_well_spaced_objects():
    spans = list(archive_reader.object_spans(FILE))
    assert len(spans) > 10
    for span in spans:
        assert re.match(rb"\d+ 0 obj\n", span)
        assert span.endswith(b"\nendobj\n")


def test_6_1_7_streams_have_their_true_length_and_no_lzw_nor_other_files():
    assert list(PDF.check_pdf_syntax()) == []
    for thing in PDF.objects:
        if isinstance(thing, pikepdf.Stream):
            assert len(thing.read_raw_bytes()) == int(thing.Length)
            assert "LZW" not in str(thing.get("/Filter", ""))
            assert not {"/F", "/FFilter", "/FDecodeParms"} & set(thing.keys())


def test_6_1_13_nesting_strings_names_and_pages_stay_within_limits():
    assert archive_reader.deepest_nesting(PDF) <= 28
    for thing in PDF.objects:
        assert all(len(text) <= 32767 for text in archive_reader.strings_and_names(thing))
        if isinstance(thing, pikepdf.Dictionary):
            assert all(len(str(key).encode()) <= 128 for key in thing)  # 127 and the slash
    for page in PDF.pages:
        left, bottom, right, top = map(float, page.mediabox)
        assert all(3 <= side <= 14400 for side in (right - left, top - bottom))


def test_6_2_3_the_output_intent_holds_an_srgb_display_profile():
    (intent,) = PDF.Root.OutputIntents
    profile = intent.DestOutputProfile.read_bytes()
    assert (intent.S, int(intent.DestOutputProfile.N)) == ("/GTS_PDFA1", 3)
    assert profile[12:20] == b"mntrRGB "  # ICC.1:2004-10, 7.2.5 and 7.2.6
    assert profile[8] < 5
    assert int.from_bytes(profile[:4], "big") == len(profile)


def test_6_2_4_3_pages_are_painted_in_grey_only():
    colour = {"g", "G"}
    others = {"rg", "RG", "k", "K", "cs", "CS", "sc", "SC", "scn", "SCN", "sh", "Do"}
    used = {operator for _, _, operator in archive_reader.operators(PDF)}
    assert used & colour
    assert not used & others


def test_6_2_5_6_2_8_6_2_10_no_graphics_states_images_or_transparency():
    for page in PDF.pages:
        assert not {"/ExtGState", "/XObject"} & set(page.obj.Resources.keys())


def test_6_2_11_4_every_font_is_embedded_with_its_glyphs():
    assert len(archive_reader.used_fonts(PDF_OF_MANY)) > 1
    for font in FONTS:
        glyphs = font.program["glyf"]
        assert all(font.glyph_of(code) in glyphs.glyphs for code in font.codes)


def test_6_2_11_5_widths_agree_with_the_font_program():
    for font in FONTS:
        em = font.program["head"].unitsPerEm
        for code in font.codes:
            written = float(font.dictionary.Widths[code - int(font.dictionary.FirstChar)])
            true = font.program["hmtx"][font.glyph_of(code)][0] * 1000 / em
            assert written == pytest.approx(true, abs=1), (font.dictionary.BaseFont, code)


def test_6_2_11_6_symbolic_truetype_fonts_have_no_encoding_and_one_character_map():
    for font in FONTS:
        assert font.dictionary.Subtype == "/TrueType"
        assert int(font.dictionary.FontDescriptor.Flags) & 0b100100 == 0b100  # symbolic, not nonsymbolic
        assert "/Encoding" not in font.dictionary
        assert [(t.platformID, t.platEncID) for t in font.program["cmap"].tables] == [(1, 0)]


def test_6_2_11_8_no_code_shows_the_missing_glyph():
    for font in FONTS:
        assert [code for code in font.codes if font.glyph_of(code) == ".notdef"] == []


def test_6_3_links_are_printed_and_never_hidden():
    link = Link(Role.TITLE, Box(0, 0, 5, 1), "https://example.org/")
    pdf = archive_reader.opened(make_archival(page_of(link), "a", "", ""))
    (annotation,) = pdf.pages[0].obj.Annots
    assert annotation.Subtype == "/Link"
    assert int(annotation.F) == 4  # ISO 32000-1, table 165: bit 3 is Print
    assert annotation.A.S == "/URI"


def test_6_3_other_annotations_are_refused():
    pdf = archive_reader.opened(DRAWN)
    note = pikepdf.Dictionary(Type=pikepdf.Name.Annot, Subtype=pikepdf.Name.Text, Rect=[0, 0, 9, 9])
    pdf.pages[0].obj.Annots = pikepdf.Array([note])
    with pytest.raises(NotArchival, match=r"6\.3"):
        make_archival(saved(pdf), "a", "", "")


@pytest.mark.parametrize("action", ["JavaScript", "Launch", "Sound", "Movie"])
def test_6_5_links_that_act_are_refused(action):
    pdf = archive_reader.opened(DRAWN)
    link = {"Type": pikepdf.Name.Annot, "Subtype": pikepdf.Name.Link, "Rect": [0, 0, 9, 9]}
    pdf.pages[0].obj.Annots = pikepdf.Array(
        [pikepdf.Dictionary(**link, A=pikepdf.Dictionary(S=pikepdf.Name("/" + action)))]
    )
    with pytest.raises(NotArchival, match=action):
        make_archival(saved(pdf), "a", "", "")


def test_6_5_the_document_and_its_pages_do_nothing_by_themselves():
    for thing in (PDF.Root, *(page.obj for page in PDF.pages)):
        assert not {"/AA", "/OpenAction"} & set(thing.keys())


def test_6_2_11_4_a_font_outside_the_file_is_refused():
    pdf = archive_reader.opened(DRAWN)
    font = pikepdf.Dictionary(
        Type=pikepdf.Name.Font, Subtype=pikepdf.Name.Type1, BaseFont=pikepdf.Name.Helvetica
    )
    pdf.pages[0].obj.Resources.Font["/F99"] = font
    with pytest.raises(NotArchival, match="Helvetica"):
        make_archival(saved(pdf), "a", "", "")


def test_6_1_3_an_encrypted_file_is_refused():
    with pytest.raises(NotArchival, match="encrypted"):
        make_archival(
            saved(archive_reader.opened(DRAWN), pikepdf.Encryption(owner="o", user="u")), "a", "", ""
        )


def saved(pdf, encryption=False):
    buffer = archive_reader.BytesIO()
    pdf.save(buffer, encryption=encryption)
    return buffer.getvalue()


def test_6_6_2_the_metadata_is_a_plain_utf8_packet():
    stream = PDF.Root.Metadata
    packet = stream.read_raw_bytes().decode("utf-8")
    assert (stream.Type, stream.Subtype, "/Filter" in stream) == ("/Metadata", "/XML", False)
    header = packet.split("?>", 1)[0]
    assert header == '<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"'
    assert packet.endswith('<?xpacket end="w"?>')


def test_6_6_4_the_packet_names_the_part_and_level():
    for pdf, part in ((PDF, "2"), (PDF_WITH_SOURCES, "3")):
        assert xmp(pdf, "pdfaid:part") == part
        assert xmp(pdf, "pdfaid:conformance") == "B"


def test_6_6_2_the_packet_holds_title_creator_language_and_producer():
    assert xmp(PDF, "dc:title/rdf:Alt/rdf:li") == TITLE
    assert xmp(PDF, "dc:creator/rdf:Seq/rdf:li") == AUTHOR
    assert xmp(PDF, "dc:language/rdf:Bag/rdf:li") == PDF.Root.Lang == "de"
    assert xmp(PDF, "pdf:Producer") == "engrave"


def test_6_1_5_the_information_dictionary_agrees_with_the_packet():
    info = PDF.trailer.Info
    twins = {
        "/Title": "dc:title",
        "/Author": "dc:creator",
        "/Creator": "xmp:CreatorTool",
        "/Producer": "pdf:Producer",
    }
    assert set(info.keys()) == {*twins, "/CreationDate", "/ModDate"}
    for key, path in twins.items():
        assert str(info[key]) == xmp(PDF, path)
    for key, path in (("/CreationDate", "xmp:CreateDate"), ("/ModDate", "xmp:ModifyDate")):
        assert re.sub(r"\D", "", str(info[key])) == re.sub(r"\D", "", xmp(PDF, path))
        assert str(info[key])[-1] == xmp(PDF, path)[-1] == "Z"


def test_6_6_2_what_is_empty_is_left_out_and_blanks_become_spaces():
    pdf = archive_reader.opened(make_archival(DRAWN, "a\x01\n\tb", "", ""))
    assert xmp(pdf, "dc:title") == str(pdf.trailer.Info.Title) == "a b"
    assert xmp(pdf, "dc:creator") is None
    assert xmp(pdf, "dc:language") is None
    assert "/Author" not in pdf.trailer.Info
    assert xmp(archive_reader.opened(make_archival(DRAWN, "", "", "")), "dc:title") == "Untitled"


def test_6_8_without_sources_nothing_is_attached():
    assert "/AF" not in PDF.Root
    assert "/Names" not in PDF.Root


def test_6_8_of_part_3_every_source_is_attached_and_associated():
    attached = {str(file.UF): file for file in PDF_WITH_SOURCES.Root.AF}
    assert {name: file.EF.F.read_bytes() for name, file in attached.items()} == SOURCES
    for file in attached.values():
        assert (file.Type, file.AFRelationship) == ("/Filespec", "/Source")
        assert str(file.F).isascii()
        assert file.EF.F.objgen == file.EF.UF.objgen
        assert int(file.EF.F.Params.Size) == len(file.EF.F.read_bytes())
        assert file.EF.F.Params.ModDate == "D:20000101000000Z"
    types = [str(attached[name].EF.F.Subtype) for name in SOURCES]
    assert types == ["/text/yaml", "/text/yaml", "/application/octet-stream"]
    assert b"/Subtype /text#2Fyaml" in WITH_SOURCES


def test_6_8_of_part_3_the_tree_of_names_is_sorted_and_holds_the_associated_files():  # ISO 32000-1, 7.9.6
    pairs = list(PDF_WITH_SOURCES.Root.Names.EmbeddedFiles.Names)
    keys = [bytes(key) for key in pairs[::2]]
    assert keys == sorted(keys)
    assert [file.objgen for file in pairs[1::2]] == [file.objgen for file in PDF_WITH_SOURCES.Root.AF]


def test_two_runs_give_the_same_bytes():
    assert make_archival(DRAWN, TITLE, AUTHOR, "de") == FILE
    assert make_archival(DRAWN, TITLE, AUTHOR, "de", dict(reversed(SOURCES.items()))) == WITH_SOURCES


def test_the_profile_does_not_hold_the_present_date():  # ICC.1:2004-10, 7.2.8: bytes 24 to 35
    year, *rest = (int.from_bytes(srgb_profile()[at : at + 2], "big") for at in range(24, 36, 2))
    assert (year, rest) == (2000, [1, 1, 0, 0, 0])


def test_files_of_different_sources_have_different_identifiers():  # ISO 32000-1, 14.4
    ids = {bytes(pdf.trailer.ID[1]) for pdf in (PDF, PDF_WITH_SOURCES)}
    assert len(ids) == 2


def test_the_pages_look_the_same():
    drawn = archive_reader.opened(DRAWN)
    assert [page.Contents.read_bytes() for page in drawn.pages] == [
        page.Contents.read_bytes() for page in PDF.pages
    ]
