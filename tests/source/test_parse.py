"""The tree and its places, and every way in which text can be refused (YAML 1.2.2)."""

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from engrave.problems import Location, ProblemLog
from engrave.source.parse import DEEPEST, parse_yaml
from engrave.source.tree import location_of


def parse(text):
    log = ProblemLog("f")
    return parse_yaml(text, log), [str(problem) for problem in log.problems]


def test_every_value_knows_its_place():
    tree, problems = parse("a: 1\nb:\n  - x\n  - {c: 2}\n")
    assert not problems
    assert tree == {"a": 1, "b": ["x", {"c": 2}]}
    assert tree.key_location("b") == Location(2, 1)
    assert location_of(tree, ["b", 1, "c"]) == Location(4, 9)


def test_keys_are_always_text():
    assert parse("{3: 0, 1/4: x}")[0] == {"3": 0, "1/4": "x"}


def test_quoted_scalars_are_text():
    assert parse("a: '1'\nb: \"true\"\n")[0] == {"a": "1", "b": "true"}


def test_a_repeated_key_is_refused_with_both_places():
    _, problems = parse("a: 1\nb: 2\na: 3\n")
    assert problems == ['f:3:1: "a" is written twice here; remove one of them; the first is in line 1']


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "empty"),
        ("# nothing\n", "empty"),
        ("a: [1, 2", 'a "]" is missing'),
        ("a: 1\n\tb: 2\n", "indented with a tab"),
        ("a: *x\n", "anchor"),
        ("<<: {a: 1}\n", "merge"),
        ("a: !!python/object 1\n", "tags"),
        ("a: 1\n---\nb: 2\n", "second document"),
        ("? [a]\n: 1\n", "key"),
        ("a: b: c\n", "colon"),
        ("&a [*a]\n", "anchor"),
        ("%YAML 9.9\n---\na: 1", "start with %"),
    ],
)
def test_bad_text_has_one_clear_message(text, words):
    tree, problems = parse(text)
    assert tree is None
    assert len(problems) == 1
    assert words in problems[0]


def test_words_that_start_with_a_hyphen_are_told_to_need_quotes():
    assert "put the text in quotation marks" in parse("lyrics: - so\n")[1][0]


@pytest.mark.parametrize(
    ("words", "right"),
    [
        ("notes: 1/4: 3:0 3:2", "write notes: [1/4: 3:0 3:2]"),
        ("lower: 3 in 2 of 1/8.: 3:0", "write lower: [3 in 2 of 1/8.: 3:0]"),
    ],
)
def test_durations_without_brackets_are_told_to_need_them(words, right):
    assert right in parse(words)[1][0]


def test_a_nest_a_thousand_deep_is_refused():
    tree, problems = parse("[" * 1000 + "]" * 1000)
    assert tree is None
    assert f"more than {DEEPEST} deep" in problems[0]


def test_an_alias_bomb_is_refused():
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{i}: &a{i} [" + ", ".join([f"*a{i - 1}"] * 10) + "]" for i in range(1, 12)]
    tree, problems = parse("\n".join(lines))
    assert tree is None
    assert "too large" in problems[0]


def test_modest_aliases_are_welcome():
    tree, problems = parse("a: &bar [1, 2]\nb: *bar\nc: *bar\n")
    assert not problems
    assert tree["c"] == [1, 2]


values = st.recursive(
    st.one_of(st.none(), st.booleans(), st.integers(-999, 999), st.text("abcdef ghij", max_size=8)),
    lambda inner: st.one_of(
        st.lists(inner, max_size=4),
        st.dictionaries(st.text("abcdef", min_size=1, max_size=4), inner, max_size=4),
    ),
    max_leaves=20,
)


@given(values)
def test_what_a_writer_wrote_reads_back(value):
    if value is None:
        return
    assert parse(yaml.safe_dump(value))[0] == value or "null" in repr(value)


@given(st.text(max_size=60))
def test_no_text_raises(text):
    parse(text)
