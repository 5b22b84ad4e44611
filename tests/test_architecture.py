"""The promises of DEVELOPERS.md about structure, kept by the machine."""

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
MODULES = sorted((ROOT / "engrave").rglob("*.py"))
HEAVY = (
    "fontTools",
    "shapely",
    "scipy",
    "numpy",
    "PIL",
    "pypdfium2",
    "jsonschema.",
    "music21",
    "pdfplumber",
    "pypdf.",
)


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_files_are_short_and_imports_stand_at_the_top(path):
    text = path.read_text("utf-8")
    assert len(text.splitlines()) < 400
    tree = ast.parse(text)
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            assert not any(isinstance(inner, ast.Import | ast.ImportFrom) for inner in ast.walk(node)), (
                node.name
            )
            assert node.end_lineno - node.lineno < 70, (node.name, "does not fit a screen")


MOST_POSITIONAL = 6
"""A reader cannot tell the seventh argument of a call from the sixth without its name (house rule)."""


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_arguments_beyond_the_sixth_are_named(path):
    calls = [node for node in ast.walk(ast.parse(path.read_text("utf-8"))) if isinstance(node, ast.Call)]
    assert [ast.unparse(call) for call in calls if len(call.args) > MOST_POSITIONAL] == []


@pytest.mark.parametrize(
    "path", [p for p in MODULES if p.name == "__init__.py"], ids=lambda path: path.parent.name
)
def test_packages_hold_nothing_but_their_docstring(path):
    body = ast.parse(path.read_text("utf-8")).body
    assert isinstance(body[0], ast.Expr)
    assert len(body) == 1 or path.parent.name == "engrave"


def test_running_imports_none_of_the_tools_for_tests_and_faces():
    code = "import sys, engrave.cli; print('\\n'.join(sys.modules))"
    loaded = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT
    ).stdout.split()
    found = [name for name in loaded for heavy in HEAVY if (name + ".").startswith(heavy.rstrip(".") + ".")]
    assert [name for name in found if not name.startswith("PIL")] == []


def test_the_readme_names_every_command_mark_and_preset():
    from engrave.score.sign_list import MARKS
    from engrave.theory.instrument import PRESETS

    text = " ".join((ROOT / "README.md").read_text("utf-8").split())
    for word in (*MARKS, *PRESETS, "engrave make", "engrave check"):
        assert word in text, word


def test_the_readme_names_every_subcommand():
    from engrave.options import build_parser

    text = (ROOT / "README.md").read_text("utf-8")
    (commands,) = (action for action in build_parser()._actions if action.dest == "command")
    for name in commands.choices:
        assert f"engrave {name}" in text, name


def test_every_score_in_the_readme_reads_without_a_problem():
    from tests.reading.helpers import problems

    blocks = re.findall(r"```yaml\n(.*?)```", (ROOT / "README.md").read_text("utf-8"), re.DOTALL)
    scores = [block for block in blocks if "score: 1" in block]
    assert len(scores) >= 2
    for text in scores:
        assert problems(text) == []
