"""The guide keeps its word: every example is engraved from its own text, every command answers as shown."""

from __future__ import annotations

import shlex

import pytest

from engrave.cli import main
from tests import made
from tests.guide_texts import CHAPTERS, all_typed, commands, save_all


@pytest.mark.parametrize("chapter", CHAPTERS, ids=lambda path: path.stem)
def test_every_example_of_a_chapter_is_engraved_without_a_problem(chapter):
    outcome = made.check(chapter)
    assert [str(problem) for problem in outcome.problems] == []


@pytest.mark.parametrize("chapter", CHAPTERS, ids=lambda path: path.stem)
def test_every_command_of_a_chapter_does_what_the_guide_says(chapter, tmp_path, monkeypatch, capsys):
    save_all(tmp_path)
    monkeypatch.chdir(tmp_path)
    for command in commands(chapter):
        status = main(shlex.split(command.line)[1:])
        told = capsys.readouterr()
        said = f"{told.out}{told.err}".rstrip("\n")
        assert status == (1 if ":1:" in command.answer else 0), said
        if command.answer:
            assert said == command.answer, command.line
        else:
            assert "Traceback" not in said


def test_no_text_is_saved_under_a_name_that_another_has(tmp_path):
    save_all(tmp_path)
    names = [typed.file_name for typed in all_typed() if typed.file_name]
    assert sorted(names) == sorted(path.name for path in tmp_path.iterdir())
