"""Accidentals before chords: order after Gould (from memory), cut-outs after SMuFL."""

from hypothesis import given
from hypothesis import strategies as st

from engrave.fonts.symbols import music_face
from engrave.layout.notes.accidental_stack import _pieces, decide_accidental_offsets
from engrave.marks.mark import Box
from engrave.style.load import load_style

NOTES = load_style("")[0].notes
SIGNS = (
    "accidentalSharp",
    "accidentalFlat",
    "accidentalNatural",
    "accidentalDoubleFlat",
    "accidentalDoubleSharp",
)


def item(position, name):
    symbol = music_face().glyph(name)
    return position, Box(*symbol.box), symbol.anchors


def test_a_single_sign_keeps_its_distance_from_the_head():
    (dx,) = decide_accidental_offsets([item(4, "accidentalSharp")], 0.0, NOTES)
    right = dx + music_face().glyph("accidentalSharp").box.right
    assert abs(right + NOTES.accidental_gap) < 1e-9


def test_octaves_share_a_column():
    offsets = decide_accidental_offsets([item(0, "accidentalSharp"), item(7, "accidentalSharp")], 0.0, NOTES)
    assert offsets[0] == offsets[1]


def test_the_highest_stands_nearest():
    low, high = decide_accidental_offsets(
        [item(2, "accidentalSharp"), item(4, "accidentalSharp")], 0.0, NOTES
    )
    assert high > low


@given(
    st.lists(
        st.tuples(st.integers(-6, 14), st.sampled_from(SIGNS)),
        min_size=1,
        max_size=6,
        unique_by=lambda i: i[0],
    ),
    st.floats(-2, 0),
)
def test_signs_never_touch_each_other_or_the_heads(chord, left):
    items = [item(*entry) for entry in sorted(chord)]
    offsets = decide_accidental_offsets(items, left, NOTES)
    pieces = []
    for (position, box, cutouts), dx in zip(items, offsets, strict=True):
        assert dx + box.right <= left - NOTES.accidental_gap + 1e-9
        pieces.append(
            [
                Box(left_edge + dx, b + position / 2, r + dx, t + position / 2)
                for b, t, left_edge, r in _pieces(box, cutouts)
            ]
        )
    for i, first in enumerate(pieces):
        for second in pieces[:i]:
            assert not any(a.overlaps(b, 1e-6) for a in first for b in second)
