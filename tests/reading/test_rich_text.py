"""Markdown read into blocks. Rules of parsing: the CommonMark 0.31 specification; what is allowed is a house rule."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.problems import NOWHERE, Location, ProblemLog
from engrave.reading.rich_text import read_markdown
from engrave.score.rich_text import Heading, ListBlock, Paragraph, Quote, Rule, Run

START = Location(10, 3)


def read(text, location=START):
    log = ProblemLog("lesson.yaml")
    return read_markdown(text, location, log), log


def clean(text):
    blocks, log = read(text)
    assert log.problems == []
    return blocks


def faults(text):
    return [(problem.location.line, problem.what) for problem in read(text)[1].in_order()]


def test_headings_of_both_kinds():  # CommonMark 4.2 and 4.3
    assert clean("# One\n\nTwo\n---\n") == (
        Heading(1, (Run("One"),), Location(10, 3)),
        Heading(2, (Run("Two"),), Location(12, 3)),
    )


def test_looks_of_runs():  # CommonMark 6.1 and 6.2
    (paragraph,) = clean("a *b **c*** `d*` \\*e* &amp;")
    assert paragraph.runs == (
        Run("a "),
        Run("b ", italic=True),
        Run("c", bold=True, italic=True),
        Run(" "),
        Run("d*", code=True),
        Run(" *e* &"),
    )


def test_soft_breaks_are_blanks_and_hard_breaks_newlines():  # CommonMark 6.7 and 6.8
    (paragraph,) = clean("one\ntwo  \nthree\\\nfour &#10; five")
    assert [run.text for run in paragraph.runs] == ["one two", "\n", "three", "\n", "four   five"]


def test_lists_nest_and_count_from_their_start():  # CommonMark 5.2 and 5.3
    (numbers,) = clean("7. a\n8. b\n\n   - c\n")
    assert (numbers.ordered, numbers.start, len(numbers.items)) == (True, 7, 2)
    assert numbers.items[1][1] == ListBlock(
        ((Paragraph((Run("c"),), Location(13, 3)),),), False, 1, Location(13, 3)
    )
    assert clean("0) a")[0].start == 0


def test_quotes_and_rules():  # CommonMark 5.1 and 4.1
    assert clean("> a\nb\n\n***\n") == (
        Quote((Paragraph((Run("a b"),), START),), START),
        Rule(Location(13, 3)),
    )


@pytest.mark.parametrize(
    ("written", "link"),
    [
        ("[a](https://b.c/d)", "https://b.c/d"),
        ("[a](HTTP://b.c)", "HTTP://b.c"),
        ("[a](mailto:b@c.d)", "mailto:b@c.d"),
        ("[a](#größe)", "#größe"),
        ("[a][b]\n\n[b]: http://c.d", "http://c.d"),
    ],
)
def test_allowed_links(written, link):
    assert clean(written) == (Paragraph((Run("a", link=link),), START),)


def test_automatic_links():  # CommonMark 6.5
    (paragraph,) = clean("<https://a.b> <c@d.e>")
    assert [run.link for run in paragraph.runs] == ["https://a.b", "", "mailto:c@d.e"]


@pytest.mark.parametrize(
    "address", ["javascript:alert(1)", "file:///a", "data:text/html,a", "page.md", "#", "", "ftp://a.b"]
)
def test_other_links_are_errors_and_leave_their_words(address):
    blocks, log = read(f"x\n\ny\n[*a*]({address})")
    assert blocks[1].runs[-1] == Run("a", italic=True)
    assert [problem.location.line for problem in log.problems] == [13]
    assert log.problems[0].hint


def test_everything_unsupported_is_reported_on_its_line():
    text = "\n".join(
        [
            "a <b>c</b>",  # 10
            "![d](e.png)",  # 11
            "`code",  # 12
            "more` [f",  # 13
            "g](h.md) <i>",  # 14
            "",
            "<div>",  # 16
            "</div>",
            "",
            "",  # 19
            "",
            "",
            "",
            "",
            "a | b",  # 24
            "--|--",
            "c | <b>",
            "",
            "- > ![i](j.png)",  # 28
            "  > # <u>",  # 29
        ]
    )
    assert [(line, what.split()[0]) for line, what in faults(text)] == [
        (10, "HTML"), (10, "HTML"), (11, "images"), (13, "the"), (14, "HTML"), (16, "HTML"),
        (24, "tables"), (28, "images"), (29, "HTML"),
    ]  # fmt: skip


def test_blocks_of_code_are_kept_as_they_are_typed():
    # CommonMark 0.31, 4.4 and 4.5
    text = "    an indent\n\n```\na  fence\n\tand a tab\n\n```"
    assert [block.lines for block in clean(text)] == [("an indent",), ("a  fence", "    and a tab")]


def test_text_in_a_nest_too_deep_is_not_lost_silently():
    assert clean("> " * 18 + "a")
    assert faults("> " * 25 + "a") == [(10, "lists and quotations are nested too deeply")]
    assert faults("- " * 12 + "a") == [(10, "lists and quotations are nested too deeply")]


def test_a_text_from_nowhere_has_no_places():
    blocks, log = read("a\n\n<b>", NOWHERE)
    assert blocks[0].location == NOWHERE
    assert log.problems[0].location == NOWHERE


@settings(max_examples=200, deadline=None)
@given(st.lists(st.text("abcäß12", min_size=1, max_size=6), min_size=1, max_size=6), st.integers(1, 3))
def test_every_plain_paragraph_is_found_on_its_line(words, gap):
    blocks = clean(("\n" * (gap + 1)).join(words))
    assert blocks == tuple(Paragraph((Run(w),), Location(10 + n * (gap + 1), 3)) for n, w in enumerate(words))


@settings(max_examples=300, deadline=None)
@given(st.text("ab *_`[](<>!#-\n\\|&1.:/", max_size=60))
def test_no_text_breaks_the_reader(text):
    _, log = read(text)
    lines = text.count("\n") + 1
    assert all(10 <= problem.location.line < 10 + lines and problem.hint for problem in log.problems)
