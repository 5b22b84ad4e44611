"""The alphabet of a language (ISO 14651; Unicode CLDR, from memory). pyuca has the common table as Unicode publishes it."""

from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pyuca import Collator

from engrave.layout.text.collation import collation_key

LETTERS = "abcdefghijklmnopqrstuvwxyzáàâäãåéèêëíìîïóòôöõúùûüýÿçñøłđħśšżźžčćęąőűğşțαβγδεζηθικλμνξοπρσςτυφχψωάέήίόύώабвгдежзийклмнопрстуфхцчшщъыьэюяё"


@cache
def collator():
    return Collator()


def common_primary(word):
    """The weights of letters alone in the table of Unicode: those before the first zero."""
    key = collator().sort_key(word)
    return key[: key.index(0)]


@given(st.text(LETTERS, min_size=1, max_size=6), st.text(LETTERS, min_size=1, max_size=6))
def test_without_a_language_letters_stand_as_in_the_common_table(one, other):
    ours = collation_key(one)[0], collation_key(other)[0]
    theirs = common_primary(one), common_primary(other)
    assert (ours[0] < ours[1]) == (theirs[0] < theirs[1])
    assert (ours[0] == ours[1]) == (theirs[0] == theirs[1])


@pytest.mark.parametrize(
    ("language", "words"),
    [
        ("en", "Lima Łódź Lyon Oban Ødegård Orkney Zürich"),
        ("de", "Ofen Öl Olm Zug"),
        ("es", "nube nuez ñandú oca"),
        ("en", "nandu ñandú nube"),
        ("fr", "cœlacanthe cœur corde été étude"),
        ("sv", "zon ål ära öken"),
        ("nb", "zoo ære ønske åre"),
        ("pl", "lato łóżko mapa zima źrebak żaba"),
        ("da-DK", "zoo ære øl å"),
        ("cs", "cena dno čas".replace("dno čas", "čas dno")),
        ("ru", "и икра й йод к"),
    ],
)
def test_letters_of_their_own_stand_where_the_language_has_them(language, words):
    expected = words.split()
    assert sorted(expected, key=lambda word: collation_key(word, language)) == expected


def test_a_blank_stands_before_every_letter_and_punctuation_does_not_count():
    titles = ["Sea Song", "Sea, Wide", "Seafarer", "O’Neill", "Oneill’s"]
    assert sorted(titles, key=collation_key) == ["O’Neill", "Oneill’s", "Sea Song", "Sea, Wide", "Seafarer"]


def test_scripts_stay_together():
    titles = ["Яблоко", "Zebra", "Ωκεανός", "Apple"]
    assert sorted(titles, key=collation_key) == ["Apple", "Zebra", "Ωκεανός", "Яблоко"]
