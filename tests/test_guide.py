"""The guide keeps its word: every example is engraved from its own text, every command answers as shown."""

from __future__ import annotations

import re
import shlex

import pypdf
import pytest
import yaml

from engrave.cli import main
from engrave.resources import guide_file
from tests import made
from tests.guide_texts import CHAPTERS, GUIDE, all_typed, commands, save_all
from tests.tools.guide_reference import write_reference

_WRONG = re.compile(r"^[\w-]+\.yaml(:\d+:\d+)?: (?!warning|no problems)", re.MULTILINE)
"""A line that tells of something wrong, not of something doubtful."""


def test_every_example_of_the_guide_is_engraved_without_a_problem():
    assert [str(problem) for problem in made.check(guide_file()).problems] == []


def test_engrave_guide_writes_a_book_of_all_chapters(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert main(["guide"]) == 0
    pdf = pypdf.PdfReader("guide.pdf")
    marks = [mark.title for mark in pdf.outline if not isinstance(mark, list)]
    titles = [yaml.load(path.read_text("utf-8"), yaml.BaseLoader)["title"] for path in CHAPTERS]
    assert [title for title in titles if not any(title in mark for mark in marks)] == []
    assert len(pdf.pages) >= 40


@pytest.mark.parametrize("chapter", CHAPTERS, ids=lambda path: path.stem)
def test_every_command_of_a_chapter_does_what_the_guide_says(chapter, tmp_path, monkeypatch, capsys):
    """An answer that is shown is the whole answer; a command without one ends well, or the guide would say so."""
    save_all(tmp_path)
    monkeypatch.chdir(tmp_path)
    for command in commands(chapter):
        status = main(shlex.split(command.line)[1:])
        told = capsys.readouterr()
        said = "\n".join(line.rstrip() for line in f"{told.out}{told.err}".rstrip("\n").split("\n"))
        assert status == (1 if _WRONG.search(command.answer) else 0), said
        assert said == (command.answer or said), command.line


def test_the_ten_commonest_messages_are_brought_about_by_wrong_texts():
    (chapter,) = (path for path in CHAPTERS if path.stem.endswith("wrong"))
    wrong = [command for command in commands(chapter) if _WRONG.search(command.answer)]
    assert sum(command.line.startswith("engrave check") for command in wrong) == 10


def test_no_text_is_saved_under_a_name_that_another_has(tmp_path):
    save_all(tmp_path)
    names = [typed.file_name for typed in all_typed() if typed.file_name]
    assert sorted(names) == sorted(path.name for path in tmp_path.iterdir())


@pytest.mark.parametrize("name", write_reference())
def test_the_reference_is_up_to_date(name):
    """Else run python -m tests.tools.guide_reference."""
    assert (GUIDE / name).read_text("utf-8") == write_reference()[name]


def test_the_guide_names_every_mark_and_every_instrument():
    from engrave.score.sign_list import MARKS
    from engrave.theory.instrument import PRESETS

    text = " ".join(path.read_text("utf-8") for path in CHAPTERS)
    assert [word for word in (*MARKS, *PRESETS) if word not in text] == []


@pytest.mark.parametrize("name", ["necks.yaml", "write-the-frets.yaml"])
def test_what_a_handout_shows_is_what_its_text_says(name):
    """The guide shows pieces of handouts before their text: both are the same."""
    (typed,) = (typed for typed in all_typed() if typed.file_name == name)
    (item,) = yaml.load(typed.text, yaml.BaseLoader)["content"]
    assert item in yaml.load(typed.chapter.read_text("utf-8"), yaml.BaseLoader)["content"]
