"""Style files: complete, overlaid, and refused with their places. Sizes of paper: ISO 216."""

import json

import pytest

from engrave.resources import style_names
from engrave.settings.kinds import kinds_of
from engrave.style.load import THINNEST, load_style
from engrave.style.sections import Style


@pytest.mark.parametrize("name", style_names())
def test_every_shipped_style_is_right(name):
    style, log = load_style(name)
    assert style is not None, [str(p) for p in log.problems]
    assert style.paper.width == 210  # ISO 216, A4
    assert style.paper.height == 297
    for width in (style.staff.line, style.staff.tab_line, style.notes.stem):
        assert width * style.staff_space >= THINNEST


def test_at_least_the_three_promised_styles_are_there():
    assert {"base", "handout", "songbook", "large-print"} <= set(style_names())


def test_a_seven_millimetre_staff_has_spaces_of_4_961_points():  # computed: 7 / 4 mm
    assert load_style("")[0].staff_space == pytest.approx(4.961, abs=5e-4)


def test_large_print_keeps_to_sixteen_points_and_plain_faces():  # UKAAF minimum standards for large print
    style, _ = load_style("large-print")
    for field in style.words._fields:
        value = getattr(style.words, field)
        if hasattr(value, "size"):
            assert value.size * style.staff_space >= 16.0, field
            assert "italic" not in value.face, field
    assert style.staff.fret_height * style.staff_space / 0.66 >= 16


def test_large_print_has_no_thin_or_serif_number_beside_its_heavy_words():
    """Plain faces of one weight in a mark; house rule on the UKAAF minimum standards for large print."""
    words = load_style("large-print")[0].words
    assert words.metronome == words.tempo
    assert load_style("")[0].words.metronome.face == "serif"


def errors(tmp_path, text):
    path = tmp_path / "mine.yaml"
    path.write_text(text, "utf-8")
    style, log = load_style("mine.yaml", str(tmp_path / "score.yaml"))
    assert style is None
    return [str(p).removeprefix(str(path)) for p in log.in_order()]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("staff: {line: 0.1}\n", ":1:1: this is not a style"),
        ("style: 1\nstaf: {}\n", ':2:1: "staf" is not a section of a style; did you mean "staff"?'),
        ("style: 1\nstaff: {lin: 0.1}\n", ':2:9: "lin" is not known in staff; did you mean "line"?'),
        ("style: 1\nstaff: {line: thick}\n", ":2:15: staff: line must be a number"),
        ("style: 1\nstaff: {line: -1}\n", "may not be negative"),
        (
            "style: 1\nstaff: {line: 0.01}\n",
            ":2:15: staff: line would be 0.05 points thick; at this staff size the least is",
        ),
        ("style: 1\nstaff: {height_mm: 90}\n", "a staff must be 3 to 40 mm high"),
        ("style: 1\nwords: {title: {face: serrif}}\n", '"serrif" is not a face; did you mean "serif"?'),
        (
            "style: 1\nwords: {title: big}\n",
            "words: title must be a mapping of face and size; for example: {face: serif-bold, size: 4.2}",
        ),
        ("style: 1\nbeams: {ideal_stems: [1, 2]}\n", "must be a list of 4 numbers"),
        ("style: 1\nwords: {measure_numbers: often}\n", '"often" is not known'),
        ("style: 1\npaper: {mirrored: 3}\n", "must be true or false"),
        ("style: 1\npaper: {margin_inner: 100, margin_outer: 100}\n", "less than 50 mm"),
        ("style: 1\npaper: {width: 1000000}\n", ":2:16: paper: width must be a number from 60 to 1200 mm"),
        ("style: 1\npaper: {margin_top: 2000}\n", "paper: margin_top must be a number from 0 to 1200 mm"),
        ("style: 1\nbook: {leader_pitch: 0}\n", ":2:22: book: leader_pitch must be 0.1 or more"),
        ("style: 1\nstacking: {wave_height: 0.0001}\n", "stacking: wave_height must be 0.1 or more"),
        ("style: 1\nblank: {narrowing: 0}\n", "blank: narrowing must be a number from 0.01 to 50 mm"),
        ("style: 1\nspacing: {quarter: 20000}\n", "spacing: quarter must be a number from 0 to 10000"),
        ("style: 1\nsigns: {tapp: {letters: T}}\n", ':2:9: "tapp" is not a sign; did you mean "tap"?'),
        (
            "style: 1\nsigns: {tap: {leters: T}}\n",
            '"leters" is not known in signs: tap; did you mean "letters"?',
        ),
        ("style: 1\nsigns: {tap: {on: stave}}\n", '"stave" is not known for signs: tap: on'),
        ("style: 1\nsigns: {tap: {glyph: guitarTap}}\n", 'the music face has no symbol "guitarTap"'),
        ("style: 1\nsigns: {tap: {glyph: guitarGolpe, letters: T}}\n", "either a glyph or letters"),
        ("style: 1\nsigns: {tap: {order: near}}\n", "order must be a number"),
        ("style: 1\nsigns: {tap: {order: 200}}\n", "signs: tap: order must be a number from 0 to 100"),
        (
            "style: 1\nsigns: {tap: T}\n",
            "signs: tap must be a mapping; for example: {on: tab, side: above, order: 4}",
        ),
        ("style: 1\nwords: {no_chord: 5}\n", 'words: no_chord must be words; put it in quotation marks: "5"'),
        ("style: 1\nstaff: {tab_line_grey: 2}\n", "staff: tab_line_grey must be a number from 0 to 1"),
        ("style: 1\nsign-words: {tap: {name: ''}}\n", ":2:26: sign-words: tap: name must be words"),
        ("style: 1\nbased-on: handot\n", 'did you mean "handout"?'),
    ],
)
def test_wrong_styles_are_refused_with_their_place(tmp_path, text, message):
    assert any(message in problem for problem in errors(tmp_path, text)), errors(tmp_path, text)


def test_a_style_beside_the_score_overrides_a_shipped_one(tmp_path):
    (tmp_path / "mine.yaml").write_text(
        "style: 1\nbased-on: songbook\nstaff: {height_mm: 6.5}\nwords: {title: {size: 5}}\n"
    )
    style, log = load_style("mine.yaml", str(tmp_path / "score.yaml"))
    assert style is not None, log.problems
    assert style.staff.height_mm == 6.5
    assert style.paper.mirrored
    assert style.words.title.face == load_style("songbook")[0].words.title.face


def test_an_unknown_style_names_the_nearest():
    _, log = load_style("hand-out")
    assert 'did you mean "handout"?' in str(log.problems[0])


def test_a_style_may_say_how_a_sign_is_drawn(tmp_path):
    (tmp_path / "mine.yaml").write_text("style: 1\nsigns: {tap: {glyph: guitarRightHandTapping, on: both}}\n")
    style, log = load_style("mine.yaml", str(tmp_path / "score.yaml"))
    assert style is not None, log.problems
    assert (style.signs["tap"].glyph, style.signs["tap"].letters, style.signs["tap"].on) == (
        "guitarRightHandTapping",
        "",
        "both",
    )
    assert load_style("")[0].signs["tap"].letters == "T"


def other(kind, value):
    """Another value of the same kind."""
    if kind.is_record:
        return {
            key: other(inner, getattr(value, key))
            for key, inner in kinds_of(kind.type).items()
            if inner.type in (int, float, tuple) or inner.is_record
        }
    if kind.type is tuple:
        return [number + 0.5 for number in value]
    return value + 1 if kind.type is int else value * 0.99 + 0.005


def test_a_house_style_may_change_every_number(tmp_path):
    base = load_style("")[0]
    sections = {
        name: other(kind, getattr(base, name)) for name, kind in kinds_of(Style).items() if kind.is_record
    }
    del sections["wordbook"]
    (tmp_path / "mine.yaml").write_text(json.dumps({"style": 1, **sections}), "utf-8")
    style, log = load_style("mine.yaml", str(tmp_path / "score.yaml"))
    assert style is not None, [str(problem) for problem in log.problems]
    for section, values in sections.items():
        for key, value in values.items():
            found = getattr(getattr(style, section), key)
            if isinstance(value, dict):
                assert found.size == pytest.approx(value["size"]), (section, key)
            else:
                assert found == pytest.approx(tuple(value) if isinstance(value, list) else value), (
                    section,
                    key,
                )
    assert sum(len(values) for values in sections.values()) > 350


@pytest.mark.parametrize(
    "change", ["fermata: {of: join}", "slide: {yields: outwards}", "tap: {yields: stays}"]
)
def test_what_a_mark_belongs_to_is_its_nature(tmp_path, change):
    (tmp_path / "mine.yaml").write_text(f"style: 1\nsigns: {{{change}}}\n")
    style, log = load_style("mine.yaml", str(tmp_path / "score.yaml"))
    assert style is None
    (problem,) = log.problems
    assert change.partition(":")[0] in str(problem)
    assert "is always" in str(problem)


def test_a_style_may_say_where_a_sign_over_a_note_stands(tmp_path):
    (tmp_path / "mine.yaml").write_text("style: 1\nsigns: {tap: {of: start, order: 3, lane: row}}\n")
    style, log = load_style("mine.yaml", str(tmp_path / "score.yaml"))
    assert style is not None, log.problems
    assert style.signs["tap"][4:7] == (3, "start", "row")
