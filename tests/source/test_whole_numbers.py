"""Numbers that a person types: a whole number is one however it is written (JSON Schema 2020-12, 6.1.1); infinity is none."""

import json

import pytest

from engrave.problems import ProblemLog
from engrave.source.parse import parse_yaml
from engrave.style.load import load_style
from tests.made import check, make, place


@pytest.mark.parametrize("typed", ["2", "2.0", "2.", "2e0", "+2.00"])
def test_two_is_two(typed):
    value = parse_yaml(f"a: {typed}", ProblemLog("f"))["a"]
    assert (value, type(value)) == (2, int)


def test_halves_and_numbers_beyond_reach_stay_what_they_are():
    tree = parse_yaml("a: 2.5\nb: 1e300\nc: '2.0'", ProblemLog("f"))
    assert tree == {"a": 2.5, "b": 1e300, "c": "2.0"}
    assert isinstance(tree["b"], float)


DOCUMENTS = (
    "paper: {n}\nmeasures: 4{f}\nsystems: 5{f}\npages: 2{f}\n",
    "handout: {n}\nlesson: 3{f}\ncontent:\n  - blank: {{strings: 6{f}, kind: tab, measures: 2{f}, systems: 3{f}}}\n",
    "score: {n}\ncapo: 2{f}\nmeasures:\n"
    "  - {{number: 5{f}, repeat: start, notes: [1/1: {{1: 3{f}, 2: {{fret: 5{f}, finger: 2{f}}}}}]}}\n"
    "  - {{ending: [1{f}], repeat: end, notes: [1/1: 1:0]}}\n  - {{ending: 2{f}, notes: [1/1: 1:0]}}\n"
    "  - {{notes: [1/1: 1:0]}}\n  - {{notes: [1/1: 1:0]}}\n  - {{measure-repeat: 2{f}}}\n  - {{measure-repeat: 2{f}}}\n  - {{multiple-rest: 3{f}}}\n",
)


@pytest.mark.parametrize("document", DOCUMENTS)
def test_pages_are_the_same_however_whole_numbers_are_written(tmp_path, document):
    pages = []
    for number, point in (("1", ""), ("1.0", ".0")):
        path = tmp_path / "a.yaml"
        path.write_text(document.format(n=number, f=point), "utf-8")
        assert [str(problem) for problem in check(path).problems] == []
        placed, _ = place(path)
        pages.append([[group._replace(marks=[mark._replace(source=None) if hasattr(mark, "source") else mark for mark in group.marks]) for group in page.groups] for page in placed.pages])  # fmt: skip
    assert pages[0] == pages[1]


def test_messages_say_whole_numbers_as_such(tmp_path):
    path = tmp_path / "a.yaml"
    path.write_text("score: 1\nmeasures: [{notes: [1/1: {1: 99.0}]}, {multiple-rest: 0.0}]\n", "utf-8")
    told = "\n".join(map(str, check(path).problems))
    assert "99" in told
    assert ".0" not in told


@pytest.mark.parametrize("number", [".nan", ".inf", "-.INF", "1e999"])
@pytest.mark.parametrize(
    "document",
    [
        "score: 1\ntempo: {}\nmeasures: [{{notes: [1/1: 1:0]}}]",
        "score: 1\nmeasures: [{{notes: [1/1: {{1: {}}}]}}]",
        "score: 1\nmeasures: [{{notes: [1/1: 1:0], text: {}}}]",
        "score: 1\nhouse-style: {{staff: {{height_mm: {}}}}}\nmeasures: [{{notes: [1/1: 1:0]}}]",
        "handout: 1\ncontent: [{{picture: a.png, alt: a, width: {}}}]",
        "paper: 1\nspacing: {}",
    ],
)
def test_infinity_and_not_a_number_are_refused_by_name(tmp_path, document, number):
    path = tmp_path / "a.yaml"
    path.write_text(document.format(number), "utf-8")
    outcome = make(path, output=str(tmp_path / "a.pdf"))
    assert outcome.failed
    assert any(f"not {number}" in problem.what and problem.location.line for problem in outcome.problems)
    assert not (tmp_path / "a.pdf").exists()


def test_a_style_has_no_infinite_number(tmp_path):
    path = tmp_path / "mine.yaml"
    path.write_text("style: 1\nstaff: {height_mm: .inf}\n", "utf-8")
    style, log = load_style(str(path))
    assert style is None
    assert [problem.what for problem in log.problems] == ['"height_mm" must be a number, not .inf']


def test_the_schemas_take_what_is_taken_here():
    """A second opinion: the published validator in Python."""
    jsonschema = pytest.importorskip("jsonschema")
    from engrave.resources import schema_text

    validator = jsonschema.Draft202012Validator(json.loads(schema_text("paper")))
    assert validator.is_valid({"paper": 1.0, "measures": 2.0})
