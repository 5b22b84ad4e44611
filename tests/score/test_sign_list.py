"""One list of signs decides what may be written, what the schema completes and what a style must say."""

import json
import re
from pathlib import Path

from engrave.fonts.symbols import music_face
from engrave.layout.measures.lanes import dynamic_glyph
from engrave.score.sign_list import DYNAMICS, MARKS, PARTS_OF_SLURS, SIGNS, SPANS
from engrave.style.load import load_style
from engrave.style.words import OtherMark

ROOT = Path(__file__).parent.parent.parent
DRAWN_BY_RULES = {"ghost", "dead", *PARTS_OF_SLURS}


def test_the_schema_completes_just_the_marks_of_the_list():
    schema = json.loads((ROOT / "schemas" / "score.schema.json").read_text("utf-8"))["$defs"]
    for place in (schema["eventmap"]["properties"]["marks"], schema["fret"]["properties"]["marks"]):
        assert place["$ref"] == "#/$defs/marks"
    assert schema["marks"]["items"] == {"$ref": "#/$defs/mark"}
    assert tuple(schema["mark"]["enum"]) == MARKS


def test_the_patterns_of_the_schema_spell_out_just_the_marks_of_the_list():
    schema = json.loads((ROOT / "schemas" / "score.schema.json").read_text("utf-8"))["$defs"]
    for name in ("marks", "words", "row"):
        groups = re.findall(r"\(([a-z|-]*\|[a-z|-]*)", schema[name]["pattern"])
        spelled = [group.strip("|").split("|") for group in groups if MARKS[0] in group.split("|")]
        assert spelled
        assert all(tuple(words) == MARKS for words in spelled), name


def test_the_base_style_says_how_every_sign_is_drawn():
    style, _ = load_style("")
    assert set(style.signs) == (set(SIGNS) - DRAWN_BY_RULES) | set(OtherMark)
    assert set(SPANS) <= set(style.signs)


def test_every_symbol_of_the_house_style_is_in_the_music_face():
    style, _ = load_style("")
    for name, sign in style.signs.items():
        assert (
            sign.letters
            or not sign.glyph
            or music_face().has(sign.glyph)
            or music_face().has(f"{sign.glyph}Above")
        ), name


def test_every_dynamic_has_a_symbol():
    assert not [text for text in DYNAMICS if not music_face().has(dynamic_glyph(text))]
