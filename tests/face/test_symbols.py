"""The compiled music face against the published SMuFL tables and its own design."""

import importlib.util

import pytest
from fontTools.ttLib import TTFont

from engrave.fonts.face_files import MUSIC_FONT_FILE, MUSIC_METRICS_FILE
from engrave.fonts.symbols import music_face

FACE = music_face()
HAS_TOOLS = all(importlib.util.find_spec(name) for name in ("shapely", "scipy", "numpy"))
needs_tools = pytest.mark.skipif(not HAS_TOOLS, reason="the face's builder is not installed (extra: face)")


@pytest.mark.parametrize(
    ("name", "code_point"),
    [
        ("gClef", 0xE050),
        ("gClef8vb", 0xE052),
        ("fClef", 0xE062),
        ("fClef8vb", 0xE064),
        ("6stringTabClef", 0xE06D),
        ("4stringTabClef", 0xE06E),
        ("noteheadBlack", 0xE0A4),
        ("noteheadHalf", 0xE0A3),
        ("noteheadWhole", 0xE0A2),
        ("accidentalFlat", 0xE260),
        ("accidentalNatural", 0xE261),
        ("accidentalSharp", 0xE262),
        ("accidentalDoubleSharp", 0xE263),
        ("accidentalDoubleFlat", 0xE264),
        ("timeSig0", 0xE080),
        ("timeSig9", 0xE089),
        ("timeSigCommon", 0xE08A),
        ("timeSigCutCommon", 0xE08B),
        ("restWhole", 0xE4E3),
        ("restHalf", 0xE4E4),
        ("restQuarter", 0xE4E5),
        ("rest8th", 0xE4E6),
        ("rest16th", 0xE4E7),
        ("repeatDot", 0xE043 + 1),
        ("segno", 0xE047),
        ("coda", 0xE048),
        ("repeat1Bar", 0xE500),
        ("repeat2Bars", 0xE501),
        ("repeat4Bars", 0xE502),
        ("guitarString0", 0xE833),
        ("guitarString9", 0xE83C),
        ("guitarLeftHandTapping", 0xE840),
        ("guitarRightHandTapping", 0xE841),
        ("guitarGolpe", 0xE842),
        ("guitarStrumUp", 0xE846),
        ("guitarStrumDown", 0xE847),
        ("guitarVibratoBarScoop", 0xE830),
        ("guitarVibratoBarDip", 0xE831),
        ("fretboardFilledCircle", 0xE858),
        ("fretboardX", 0xE859),
        ("fretboardO", 0xE85A),
        ("fingering0", 0xED10),
    ],
)
def test_code_points_are_those_of_smufl(name, code_point):  # SMuFL 1.40, glyph tables
    assert FACE.glyph(name).codepoint == code_point


def test_sharps_and_flats_stand_in_words_too():  # Unicode, Miscellaneous Symbols
    cmap = TTFont(MUSIC_FONT_FILE).getBestCmap()
    assert cmap[0x266D] == "csymAccidentalFlat"
    assert cmap[0x266F] == "csymAccidentalSharp"


def test_an_em_is_four_spaces_and_heads_are_centred():  # SMuFL, metrics and registration
    assert TTFont(MUSIC_FONT_FILE)["head"].unitsPerEm == 4000
    for name in ("noteheadBlack", "noteheadHalf", "noteheadWhole", "noteheadXBlack", "accidentalDoubleSharp"):
        box = FACE.glyph(name).box
        assert box.bottom == pytest.approx(-box.top, abs=0.02)


def test_registration_of_rests_and_digits():  # SMuFL, metrics and registration
    assert FACE.glyph("restWhole").box.top == pytest.approx(0, abs=0.01)
    assert FACE.glyph("restHalf").box.bottom == pytest.approx(0, abs=0.01)
    for digit in range(10):
        box = FACE.glyph(f"timeSig{digit}").box
        assert 1.9 < box.top - box.bottom <= 2.0, digit


def test_stacked_time_digits_do_not_touch():
    for upper in range(10):
        for lower in range(10):
            gap = (1 + FACE.glyph(f"timeSig{upper}").box.bottom) - (
                -1 + FACE.glyph(f"timeSig{lower}").box.top
            )
            assert gap > 0.0, (upper, lower)


def test_stems_start_inside_their_heads():
    for name in FACE.names():
        symbol = FACE.glyph(name)
        if name.startswith("notehead") and symbol.anchors:
            x, y = symbol.anchors["stemUpSE"]
            assert x == pytest.approx(symbol.box.right, abs=0.002)
            assert symbol.box.bottom < y < symbol.box.top


def test_flags_of_every_number_are_there_and_long_flags_clear_the_head():
    for name in ("flag8thUp", "flag16thUp", "flag32ndUp", "flag64thUp"):
        assert FACE.has(name)
        assert FACE.has(name.replace("Up", "Down"))
    from engrave.style.load import load_style

    notes = load_style("")[0].notes
    length = notes.stem_length + notes.sixteenth_stem_extra
    assert (
        length - 0.5 + FACE.glyph("flag16thDown").box.bottom * 0 - FACE.glyph("flag16thDown").box.top > -0.2
    )


@needs_tools
@pytest.mark.parametrize(
    "name", ["gClef", "noteheadBlack", "restQuarter", "accidentalSharp", "flag8thUp", "timeSig4", "coda"]
)
def test_the_compiled_outline_lies_within_two_thousandths_of_the_design(name):
    from fontTools.pens.recordingPen import DecomposingRecordingPen
    from shapely.geometry import Point

    import engrave.face.compile  # noqa: F401  # registers the drawings
    from engrave.face.registry import draw

    shape = draw(name)
    font = TTFont(MUSIC_FONT_FILE)
    glyphs = font.getGlyphSet()
    pen = DecomposingRecordingPen(glyphs)
    glyphs[font.getBestCmap()[FACE.glyph(name).codepoint]].draw(pen)
    points = [p for _, args in pen.value for p in args[-1:] if p]
    assert len(points) > 3
    assert max(shape.boundary.distance(Point(x / 1000, y / 1000)) for x, y in points) < 0.002


@needs_tools
def test_a_drawing_compiles_to_the_same_outline_every_time():
    import engrave.face.compile as compiler
    from engrave.face.registry import draw

    committed = TTFont(MUSIC_FONT_FILE)
    name = committed.getBestCmap()[FACE.glyph("fClef").codepoint]
    first = compiler.compile_glyph(draw("fClef"))
    assert first.coordinates == committed["glyf"][name].coordinates


def test_the_metrics_are_compact():
    lines = MUSIC_METRICS_FILE.read_text("utf-8").splitlines()
    assert len(lines) == len(FACE.names()) + 2
