"""What is empty is told, or left out: never a crash."""

import pytest

from tests.made import check, make

SONG = "score: 1\ntitle: A\nmeasures: [{notes: [1/1: 1:0]}]\n"


@pytest.mark.parametrize(
    ("document", "what"),
    [
        ("handout: 1\ncontent:\n  - shapes: {}\n  - text: a\n", '"shapes" is empty'),
        ("handout: 1\ncontent:\n  - shapes: {others: auto}\n", "there is no chord shape here"),
        ("songbook: 1\ntitle: T\nsongs: [{section: ' '}, a.yaml]\n", "this section has no title"),
        ("songbook: 1\ntitle: T\nsongs: []\n", '"songs" needs at least 1 entry'),
        ("handout: 1\ncontent:\n  - music: {score: 1, measures: []}\n", '"measures" needs at least 1 entry'),
    ],
)
def test_what_must_hold_something_says_so(tmp_path, document, what):
    (tmp_path / "a.yaml").write_text(SONG, "utf-8")
    path = tmp_path / "b.yaml"
    path.write_text(document, "utf-8")
    assert [problem.what for problem in check(path).problems] == [what]


@pytest.mark.parametrize(
    "document",
    [
        "handout: 1\ncontent:\n  - text: ''\n",
        "handout: 1\ncontent:\n  - {tip: ' '}\n  - {caution: ''}\n",
        "handout: 1\ncontent:\n  - blank: {}\n",
        "handout: 1\ncontent:\n  - page: new\n",
        "songbook: 1\ntitle: ''\nsongs: [a.yaml]\nindexes: [title]\n",
        "songbook: 1\ntitle: T\nsongs: [a.yaml]\nindexes: [first-line, writer]\n",
        "songbook: 1\ntitle: T\nsongs: [a.yaml]\nindexes: []\n",
    ],
)
def test_what_may_be_empty_is_drawn(tmp_path, document):
    (tmp_path / "a.yaml").write_text(SONG, "utf-8")
    path = tmp_path / "b.yaml"
    path.write_text(document, "utf-8")
    outcome = make(path, output=str(tmp_path / "b.pdf"))
    assert not outcome.failed
    assert (tmp_path / "b.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize(
    "document",
    [
        "handout: 1\ncontent:\n  - {{picture: {name}.png, alt: a}}\n",
        "handout: 1\ncontent:\n  - music: {name}.yaml\n",
        "songbook: 1\ntitle: T\nsongs: [{name}.yaml]\n",
        "score: 1\nstyle: {name}.yaml\nmeasures: [{{notes: [1/1: 1:0]}}]\n",
    ],
)
def test_a_name_longer_than_the_system_takes_is_no_file(tmp_path, document):
    path = tmp_path / "b.yaml"
    path.write_text(document.format(name="n" * 400), "utf-8")
    (problem,) = check(path).problems
    assert problem.what.startswith("there is no ")
    assert problem.location.line > 1
