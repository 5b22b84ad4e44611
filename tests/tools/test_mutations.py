"""The lists of mistakes are kept in step with the code; making them is a command of its own (tests/tools/mutate.py)."""

import ast
from pathlib import Path

import pytest

from engrave.style import load
from tests.tools import numbers
from tests.tools.mutation import LIST, ROOT, Mutation, find_stale, read_mutations
from tests.tools.numbers import find_numbers, judge
from tests.tools.random_mutations import draw_mutations

NAMED = (
    "beams rise otherwise than wished at no cost",
    "slivers of white between beam and staff line cost nothing",
    "lines no longer like to end with a section",
    "ledger lines do not reach past the head on the right",
    "page numbers stand on the inner side",
)
"""What once changed hundreds of marks and no test noticed."""


def test_every_mistake_of_the_list_can_be_made():
    """Where code has changed, the list must follow."""
    assert list(find_stale(read_mutations())) == []


def test_the_list_is_long_and_has_the_mistakes_that_started_it():
    mutations = read_mutations()
    assert len(mutations) == LIST.read_text("utf-8").count("old: ") >= 60  # no file is listed twice
    assert {*NAMED} <= {mutation.breaks for mutation in mutations}


def test_mistakes_leave_python_that_can_be_read():
    for mutation in [*read_mutations(), *draw_mutations(200, seed=3)]:
        if mutation.file.endswith(".py"):
            right = (ROOT / mutation.file).read_text("utf-8")
            wrong = mutation.apply(right)
            assert wrong != right
            ast.parse(wrong, mutation.file)


@pytest.mark.parametrize("text", ["a = 1\n", "b = 2\nb = 2\n", ""], ids=["gone", "twice", "no text"])
def test_a_mistake_that_does_not_fit_is_told(tmp_path, text):
    (tmp_path / "file.py").write_text(text, "utf-8")
    assert len(list(find_stale([Mutation("file.py", "b = 2", "b = 3", "nothing")], tmp_path))) == 1


def test_a_mistake_is_made_where_it_belongs():
    assert Mutation("", "1", "2", "", at=4).apply("1 + 1") == "1 + 2"


def test_all_numbers_of_the_style_are_found():
    text = load.style_file("base").read_text("utf-8")
    found = [(place.section, text[place.start : place.stop]) for place in find_numbers(text)]
    assert ("beams", "0.25") in found
    assert found.count(("blank", "5")) == 1
    assert not any(section in ("", "style") for section, _ in found)
    assert len(found) > 300
    assert Path(load.style_file("base")).is_file()


@pytest.mark.parametrize(("line", "seen"), [("ledger_overhang: 0.35", True), ("hole_mark: 3.0", False)])
def test_a_number_is_seen_by_the_cases_that_need_it(line, seen, monkeypatch):
    monkeypatch.setattr(numbers, "case_names", lambda: ["ledger-lines-reach-past-the-head"])
    text = load.style_file("base").read_text("utf-8")
    places = [place for place in find_numbers(text) if place.line == line]
    assert len(places) == 1
    assert judge(places, text) == ([] if seen else places)
    assert load.load_style("")[0].staff.ledger_overhang == 0.35
