"""Fonts read at run time against fontTools."""

import pytest
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

from engrave.fonts.face_files import FACE_NAMES, UnknownFace, face_file
from engrave.fonts.symbols import UnknownSymbol, music_face
from engrave.fonts.text_face import text_face

SAMPLE = "AgñéøßЖΩ0123456789.,-—'"


@pytest.mark.parametrize("name", [n for n in FACE_NAMES if n != "music"])
def test_widths_and_ink_agree_with_fonttools(name):
    font = TTFont(face_file(name))
    cmap, metrics, glyphs = font.getBestCmap(), font["hmtx"], font.getGlyphSet()
    em = font["head"].unitsPerEm
    face = text_face(name)
    for character in SAMPLE:
        if face.setting_face(character) is not face:
            continue  # lent: tests/fonts/test_lent_letters.py
        assert face.has(character) == (ord(character) in cmap)
        if ord(character) not in cmap:
            continue
        glyph = cmap[ord(character)]
        assert face.width(character, 1.0) == pytest.approx(metrics[glyph][0] / em)
        pen = BoundsPen(glyphs)
        glyphs[glyph].draw(pen)
        if pen.bounds:
            assert tuple(face.ink(character, 1.0)) == pytest.approx(
                [v / em for v in pen.bounds], abs=6 / em
            )  # the boxes in the file are control boxes


def test_widths_add_up_without_kerning():
    face = text_face("serif")
    assert face.width("AVAVA", 10) == pytest.approx(sum(face.width(c, 10) for c in "AVAVA"))


def test_the_music_face_agrees_with_its_font():
    font = TTFont(face_file("music"))
    cmap = font.getBestCmap()
    space = font["head"].unitsPerEm / 4
    glyphs = font["glyf"]
    for name in music_face().names():
        symbol = music_face().glyph(name)
        glyph = glyphs[cmap[symbol.codepoint]]
        box = [glyph.xMin / space, glyph.yMin / space, glyph.xMax / space, glyph.yMax / space]
        assert list(symbol.box) == pytest.approx(box, abs=6e-4), name
        assert symbol.advance == pytest.approx(font["hmtx"][cmap[symbol.codepoint]][0] / space, abs=6e-4)


def test_unknown_names_are_refused_with_the_nearest():
    with pytest.raises(UnknownSymbol, match="noteheadBlack"):
        music_face().glyph("noteheadBlak")
    with pytest.raises(UnknownFace, match="serif"):
        face_file("serrif")


def test_missing_characters_are_known():
    assert text_face("serif").missing("a漢b") == ["漢"]
