"""Slips of typing: each told in one sentence at the place where the text has to be changed (YAML 1.2.2 for what is one)."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.problems import Location, ProblemLog
from engrave.resources import data_folder
from engrave.source.parse import parse_yaml
from engrave.source.slips.find import find_glued_key, find_slip
from engrave.source.slips.kinds import quote, shorten

HEAD = "score: 1\ntitle: Quay\nmeasures:\n"


def slip(text):
    """Line, column, what is wrong and what would be right, of the only message for `text`."""
    log = ProblemLog("f")
    assert parse_yaml(text, log) is None
    (problem,) = log.problems
    return (*problem.location, problem.what, problem.hint)


@pytest.mark.parametrize(
    ("line", "location", "what", "hint"),
    [
        (
            "  - notes: [1/4: [{6: 3 5: 2}]]",
            (4, 24),
            'a comma is missing between "3" and "5:"',
            "write 3, 5:",
        ),
        (
            "  - notes: [1/4: [{6: 3} {5: 2}]]",
            (4, 25),
            'a comma is missing between "}" and "{"',
            "write }, {",
        ),
        ("  - chord: {1: C 3: G}", (4, 17), 'a comma is missing between "C" and "3:"', "write C, 3:"),
        (
            "  - text: ['a' 'b']",
            (4, 16),
            "there is text after the closing quotation mark",
            "put all of it in one pair",
        ),
        (
            "  - notes: [1/4: {2: 1}; 1/4: {2: 3}]",
            (4, 24),
            "a semicolon cannot stand between two entries",
            "write a comma instead",
        ),
        ("  - notes: [1/4: [{2: 1},, {2: 3}]]", (4, 26), "nothing stands before this comma", "remove it"),
        ("  - notes: [1/4: [{2,: 1}]]", (4, 22), "nothing stands before this colon", "remove it"),
    ],
)
def test_commas(line, location, what, hint):
    found = slip(f"{HEAD}{line}\n")
    assert found[:3] == (*location, what)
    assert found[3].startswith(hint)


@pytest.mark.parametrize(
    ("line", "location", "what", "hint"),
    [
        (
            "  - notes [1/4: [{2: 1}]]",
            (4, 10),
            'a colon is missing after "notes"',
            "write notes: [1/4: [{2: 1}]]",
        ),
        ("  - notes: [1/4 [{2: 1}]]", (4, 16), 'a colon is missing after "1/4"', "write 1/4: [{2: 1}]]"),
        (
            "  - notes: [1/4: {2: {fret 3, finger: 1}, 1: [}]",
            (4, 47),
            'a "]" is missing here',
            'it closes the "["',
        ),
        ("tempo Lively\nkey: C major", (4, 6), 'a colon is missing after "tempo"', "write tempo: Lively"),
        ("  - notes rest\n    chord: G", (4, 10), 'a colon is missing after "notes"', "write notes: rest"),
        (
            "  - parts:\n      voice\n        notes: rest",
            (5, 12),
            'a colon is missing after "voice"',
            "write voice:",
        ),
        (
            "  - notes: [1/4:[{2: 1}]]",
            (4, 17),
            'a space is missing after the colon of "1/4"',
            "write 1/4: [{2: 1}]]",
        ),
        (
            "  - notes:[1/4: [{2: 1}]]",
            (4, 11),
            'a space is missing after the colon of "notes"',
            "write notes: [1/4: [{2: 1}]]",
        ),
        (
            "key:C major\ntime: 3/4",
            (4, 5),
            'a space is missing after the colon of "key"',
            "write key: C major",
        ),
        ("  - notes: [1/4: {2:}]", (4, 21), 'nothing stands after "2:"', "write a value after it"),
        ("  - notes: [1/4: 2: 1]", (4, 18), 'a "{" is missing here', "for example: {2: 1}, or 2:1"),
        (
            "  - notes: [1/4\n      : {2: 1}]",
            (5, 7),
            '"1/4" and its colon stand on two lines',
            "write them on one",
        ),
        (
            "  -notes: rest\n  - notes: rest",
            (4, 4),
            "a space is missing after the dash",
            "write - and a space before each item",
        ),
        (
            "  - notes: rest\n  -notes: rest",
            (5, 4),
            "a space is missing after the dash",
            "write - and a space before each item",
        ),
    ],
)
def test_colons_and_the_spaces_after_them(line, location, what, hint):
    found = slip(f"{HEAD}{line}\n")
    assert found[:3] == (*location, what)
    assert found[3].startswith(hint)


@pytest.mark.parametrize(
    ("line", "location", "what", "hint"),
    [
        (
            "  - notes: [1/4: [{2: 1}]\n  - notes: rest",
            (4, 26),
            'a "]" is missing here',
            'it closes the "[" that opens in line 4, column 12',
        ),
        (
            "  - notes: [1/4: [{2: 1}]   # three more\n    chord: G",
            (4, 26),
            'a "]" is missing here',
            'it closes the "[" that opens in line 4, column 12',
        ),
        (
            "  - notes: [1/4: [{2: 1, {2: 3}]]",
            (4, 24),
            'a "}" is missing here',
            'it closes the "{" that opens in line 4, column 19',
        ),
        (
            "  - notes: [1/4: [{2: 1}, {2: 3]]",
            (4, 32),
            'a "}" is missing here',
            'it closes the "{" that opens in line 4, column 27',
        ),
        (
            "  - {notes: [\n      1/4: {2: 1}\n    ]",
            (6, 6),
            'a "}" is missing here',
            'it closes the "{" that opens in line 4, column 5',
        ),
        (
            "  - notes: [1/4: [{2: 1}]]]",
            (4, 27),
            'no "[" is open for this "]"',
            'remove it, or write the "["',
        ),
        ("  - notes: 1/4: {2: 1}]", (4, 12), 'a "[" is missing here', "for example: [1/4: {2: 1}]"),
        ("  - chord: {1: G]", (4, 17), 'no "[" is open for this "]"', 'remove it, or write the "["'),
        ("  - text: [softly}", (4, 18), 'this "}" cannot close the "[" in line 4, column 11', 'write "]"'),
        (
            "  - notes: [1/4: {2: 1}], 1/4: {2: 3}]",
            (4, 25),
            'the "[" in column 12 is closed before this',
            'move its "]"',
        ),
        ("  - notes: (1/4: {2: 1})", (4, 16), "round brackets hold no list", "write notes: [1/4: {2: 1}]"),
        (
            "  - notes: [\n      - 1/4: {2: 1}]",
            (4, 13),
            'a "]" is missing here',
            'it closes the "[" that opens in line 4, column 12',
        ),
        (
            "  - notes: [- 1/4: {2: 1}]",
            (4, 13),
            'a dash stands inside the "[" of line 4, column 12',
            "remove it",
        ),
    ],
)
def test_brackets(line, location, what, hint):
    found = slip(f"{HEAD}{line}\n")
    assert found[:3] == (*location, what)
    assert found[3].startswith(hint)


@pytest.mark.parametrize(
    ("text", "location", "what", "hint"),
    [
        (
            "  - notes: rest\n   chord: G",
            (5, 4),
            "this line is indented by 3 spaces and lines up with none above it",
            'indent it by 4 spaces, like "notes" in line 4',
        ),
        (
            "  - notes: [1/1: {2: 1}]\n     chord: G",
            (5, 6),
            "this line is indented by 5 spaces and lines up with none above it",
            'indent it by 4 spaces, like "notes" in line 4',
        ),
        (
            "  - notes: rest\n - notes: rest",
            (5, 2),
            "this line is indented by 1 space and lines up with none above it",
            'indent it by 2 spaces, like "-" in line 4',
        ),
        (
            "  - notes: rest\n- notes: rest",
            (5, 1),
            "this line starts at the left edge and lines up with none above it",
            'indent it by 2 spaces, like "-" in line 4',
        ),
        (
            "  - notes: rest\nkey: C major\n  time: 3/4",
            (6, 3),
            "this line is indented by 2 spaces and lines up with none above it",
            'start it at the left edge, like "key" in line 5',
        ),
        ("  - notes: rest\n\tchord: G", (5, 1), "this line is indented with a tab", "use spaces"),
        ("  - notes: rest\n  \tchord: G", (5, 3), "this line is indented with a tab", "use spaces"),
        ("  -\tnotes: rest", (4, 4), "a space is missing after the dash", "write - and a space"),
        ("  - tab: |\n\t\trhythm 4\n", (5, 1), "this line is indented with a tab", "use spaces"),
        (
            "  - tab: |\n      rhythm 4 4\n     1      0 3",
            (6, 6),
            'this line starts further left than the first line of "tab"',
            "indent it by at least 6 spaces",
        ),
        (
            "  - tab: |\n      rhythm 4 4\n    1      0 3",
            (6, 5),
            'this line starts further left than the first line of "tab"',
            "indent it by at least 6 spaces",
        ),
        (
            "  - notes: - 1/4: rest",
            (4, 12),
            "a dash cannot stand on the line of its key",
            'start a new line for it under "notes"',
        ),
        (
            "  - chord: C    notes: [1/1: rest]",
            (4, 22),
            '"notes:" stands on the line of another key',
            "start a new line for it",
        ),
    ],
)
def test_indents_and_lines(text, location, what, hint):
    found = slip(f"{HEAD}{text}\n")
    assert found[:3] == (*location, what)
    assert found[3].startswith(hint)


@pytest.mark.parametrize(
    ("value", "column", "what", "hint"),
    [
        (
            "Night: a waltz",
            13,
            '"Night: a waltz" has a colon in it, so it needs quotation marks',
            'write title: "Night: a waltz"',
        ),
        (
            'The "Quay": a waltz',
            18,
            "'The \"Quay\": a waltz' has a colon in it, so it needs quotation marks",
            "write title: 'The \"Quay\": a waltz'",
        ),
        ("@home", 8, 'text that starts with "@" needs quotation marks', 'write title: "@home"'),
        ("*Night*", 8, 'text that starts with "*" needs quotation marks', 'write title: "*Night*"'),
        ("%", 8, 'text that starts with "%" needs quotation marks', 'write title: "%"'),
        ("& more", 8, 'text that starts with "&" needs quotation marks', 'write title: "& more"'),
        ('"Night', 8, "the quotation mark that opens here is never closed", 'write " where the text ends'),
        ("'Night", 8, "the quotation mark that opens here is never closed", "write ' where the text ends"),
        ('"Night" waltz', 16, "there is text after the closing quotation mark", "put all of it in one pair"),
        (
            "'Don't go'",
            13,
            "there is text after the closing quotation mark",
            "put all of it in one pair; inside, write ''",
        ),
        ('"a \\q"', 11, '"\\q" means nothing in double quotation marks', "write \\\\ for a backslash"),
        ("a\x07b", 9, "the character U+0007 cannot stand in a file", "remove it"),
    ],
)
def test_text_and_its_quotation_marks(value, column, what, hint):
    found = slip(f"score: 1\ntitle: {value}\nkey: C major\n")
    assert found[:3] == (2, column, what)
    assert found[3].startswith(hint)


def test_a_line_that_speaks_to_readers_of_yaml():
    assert slip("%NONE x\nscore: 1\n")[:3] == (1, 1, "lines that start with % are not used here")


def test_a_first_key_without_its_space_is_found_though_the_text_can_be_read():
    found = find_glued_key("# a tune\nscore:1\n")
    assert (found.location, found.hint) == (Location(2, 7), "write score: 1")
    assert find_glued_key("just words\n") is None


@pytest.mark.parametrize(
    "text",
    [
        "key: C major\nnotes: [1/4: {&a 2: 1}\n",
        "a: &x {b: 1}\nc: [*x, &y d\n",
        "? [a\n",
        "!!map {a: 1\n",
        "a: >\n  b\n c: [\n",
    ],
)
def test_rare_ways_of_writing_do_not_mislead_the_search(text):
    assert slip(text)[:2] <= (3, 9)


def test_long_text_is_cut_short_in_a_message():
    assert shorten("a" * 200) == "a" * 36 + " ..."
    assert quote('say "no"') == "'say \"no\"'"


SAMPLES = [path.read_text("utf-8") for path in sorted((data_folder() / "samples").rglob("*.yaml"))]
JARGON = re.compile(
    r"block (mapping|end|collection|sequence)|flow|scalar|token|mapping values|could not find expected|indicator|stream|simple key|parsing|scanning"
)
SIGNS = '{}[]:,"-\n \t'


@st.composite
def damaged(draw):
    """A sample with one sign taken out or put in."""
    text = draw(st.sampled_from(SAMPLES))
    if draw(st.booleans()):
        places = [location for location, sign in enumerate(text) if sign in SIGNS]
        location = draw(st.sampled_from(places))
        return text[:location] + text[location + 1 :]
    location = draw(st.integers(0, len(text)))
    return text[:location] + draw(st.sampled_from(SIGNS)) + text[location:]


@settings(max_examples=400)
@given(damaged())
def test_a_sample_with_one_wrong_sign_is_read_or_has_problems_inside_the_file_in_plain_words(text):
    log = ProblemLog("f")
    tree = parse_yaml(text, log)
    assert tree is not None or log.problems
    last = len(text.splitlines())
    for problem in log.problems:
        assert 1 <= problem.location.line <= last, problem
        assert problem.location.column >= 1
        assert not JARGON.search(problem.what + problem.hint), problem


@settings(max_examples=300)
@given(st.text(alphabet="ab1 -:,[]{}\"'\n\t#|>&*!%@?\\", max_size=40), st.integers(1, 5), st.integers(1, 9))
def test_the_search_ends_at_a_place_for_any_text(text, line, column):
    found = find_slip(text, Location(line, column))
    assert found.location.line >= 1
    assert found.what
