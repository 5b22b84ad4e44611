"""Lines of a chord sheet: every verse ends its lines at the same places of the tune (common practice, no source)."""

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from engrave.layout.songbook.verse_lines import Token, break_verses
from engrave.score.structure import Syllable
from engrave.style.load import load_style

BOOK = load_style("")[0].book
HALF = Fraction(1, 2)


def verse(text, first=0, line_at=()):
    """Tokens of a verse, a syllable a quarter from quarter `first` on, each as wide as it has letters; "_" is a rest."""
    tokens = []
    for index, word in enumerate(text.split(), start=first):
        if word == "_":
            continue
        syllable = Syllable(word.removesuffix("-"), word.endswith("-"))
        tokens.append(
            Token(syllable, None, index in line_at, "", Fraction(index, 4), len(syllable.text) + 1.0)
        )
    return tokens


def words(lines):
    return [
        " ".join(token.syllable.text + "-" * token.syllable.hyphen for token in line).replace("- ", "")
        for line in lines
    ]


def test_a_line_that_one_verse_starts_with_a_capital_starts_in_every_verse():
    """The traditional song The Water Is Wide: its second verse has a pickup where the first has none."""
    one = verse("The wa- ter is wide, I can- not get o’er, and nei- ther have I wings to fly. Give me a boat")
    two = verse(
        "There is a ship _ and she sails the sea, She’s load- ed deep as deep can be, But not so deep"
    )
    first, second = break_verses([one, two], 60, HALF, BOOK)
    assert words(first) == [
        "The water is wide, I cannot get o’er,",
        "and neither have I wings to fly.",
        "Give me a boat",
    ]
    assert words(second) == [
        "There is a ship and she sails the sea,",
        "She’s loaded deep as deep can be,",
        "But not so deep",
    ]


def test_where_one_verse_is_full_all_verses_start_a_line():
    short, long = verse("a b c d e f"), verse("aaaa bbbb cccc dddd eeee ffff")
    first, second = break_verses([short, long], 16, HALF, BOOK)
    assert words(first) == ["a b c", "d e f"]
    assert words(second) == ["aaaa bbbb cccc", "dddd eeee ffff"]


def test_no_line_starts_inside_a_word():
    one, two = verse("aaaa bbbb cccc dddd eeee"), verse("aaaa bbbb- cccc- dddd eeee")
    for lines in break_verses([one, two], 20, Fraction(0), BOOK):
        for line in lines[:-1]:
            assert not line[-1].syllable.hyphen


def test_a_line_that_the_score_asks_for_takes_its_pickup_along():
    (lines,) = break_verses([verse("roll- ing riv- er. Oh Shen- an- doah", line_at={5})], 100, HALF, BOOK)
    assert words(lines) == ["rolling river.", "Oh Shenandoah"]


def test_a_name_at_the_end_of_a_sentence_starts_no_line():
    (lines,) = break_verses([verse("I am bound a- way, ’cross the wide Mis- sou- ri.")], 60, HALF, BOOK)
    assert words(lines) == ["I am bound away, ’cross the wide Missouri."]


def test_an_apostrophe_or_quotation_mark_before_a_capital_does_not_hide_it():
    (lines,) = break_verses(
        [verse("roll- ing riv- er. ’Tis sev- en years. “Come here,” “And stay.”")], 40, HALF, BOOK
    )
    assert words(lines) == ["rolling river.", "’Tis seven years.", "“Come here,”", "“And stay.”"]


def test_a_verse_that_is_silent_for_a_while_has_no_empty_lines():
    one = verse("One two three four. Five six seven eight. Nine ten")
    two = verse("One two three four.")
    first, second = break_verses([one, two], 40, HALF, BOOK)
    assert len(first) == 3
    assert words(second) == ["One two three four."]


SYLLABLES = st.lists(st.sampled_from(["a", "To", "sail,", "lu-", "I", "home.", "And", "_"]), max_size=40).map(
    " ".join
)


@given(st.lists(SYLLABLES, min_size=1, max_size=4), st.integers(8, 40))
def test_every_syllable_stands_once_in_order_and_no_line_is_too_wide(texts, width):
    verses = [verse(text) for text in texts]
    for tokens, lines in zip(verses, break_verses(verses, width, HALF, BOOK), strict=True):
        assert [token for line in lines for token in line] == tokens
        for line in lines:
            one_word = all(token.syllable.hyphen for token in line[:-1])
            assert line
            assert one_word or sum(token.width for token in line) <= width
