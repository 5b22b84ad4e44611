"""The promises of DEVELOPERS.md about structure, kept by the machine."""

import ast
import re
import subprocess
import sys
import tomllib
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


def test_files_of_tests_are_short_too():
    paths = [
        path for path in (ROOT / "tests").rglob("*.py") if len(path.read_text("utf-8").splitlines()) >= 400
    ]
    assert paths == []


DEFERRED = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["engrave"]["deferred-imports"]
"""Modules that are loaded inside functions, by the module that does so."""


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_files_are_short_and_functions_fit_a_screen(path):
    text = path.read_text("utf-8")
    assert len(text.splitlines()) < 400
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            assert node.end_lineno - node.lineno < 70, (node.name, "does not fit a screen")


def imports_in_functions(path):
    for function in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(function, ast.FunctionDef | ast.AsyncFunctionDef):
            for node in ast.walk(function):
                if isinstance(node, ast.ImportFrom):
                    yield node.module
                elif isinstance(node, ast.Import):
                    yield from (name.name for name in node.names)


def test_imports_stand_at_the_top_except_those_that_are_named():
    found = {}
    for path in MODULES:
        loaded = sorted(set(imports_in_functions(path)))
        if loaded:
            found[".".join(path.relative_to(ROOT).with_suffix("").parts)] = loaded
    assert found == DEFERRED


def test_nothing_is_loaded_by_a_string():
    for path in MODULES:
        assert "import_module" not in path.read_text("utf-8"), path


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


def modules_after(code):
    """The modules that a process has loaded after running `code`."""
    code = f"import sys, contextlib, io\nwith contextlib.redirect_stdout(io.StringIO()):\n    {code}\nprint(*sys.modules)"
    command = [sys.executable, "-c", code]
    return subprocess.run(command, capture_output=True, text=True, check=True, cwd=ROOT).stdout.split()


@pytest.mark.parametrize(
    "sample",
    [
        "samples/lantern-waltz.yaml",
        "samples/books/harbour-songs.yaml",
        "samples/handouts/first-slides.yaml",
    ],
)
def test_checking_loads_nothing_that_draws(sample):
    loaded = modules_after(f"from engrave.cli import main; main(['check', '--jobs', '1', {sample!r}])")
    assert "engrave.layout.music_setter" in loaded
    assert not [name for name in loaded if name.split(".")[0] == "reportlab"]


def test_drawing_loads_what_draws():
    loaded = modules_after("from engrave.cli import main; main(['paper', '-o', '/dev/null'])")
    assert "reportlab" in loaded


def test_running_imports_none_of_the_tools_for_tests_and_faces():
    loaded = modules_after("import engrave.cli")
    found = [name for name in loaded for heavy in HEAVY if (name + ".").startswith(heavy.rstrip(".") + ".")]
    assert [name for name in found if not name.startswith("PIL")] == []


OPENED_ELSEWHERE = {
    "engrave/source/inputs.py": {"open"},  # the door itself
    "engrave/commands/delivery.py": {
        "open",
        "read_bytes",
    },  # pipes and devices to write; what a schema would replace
    "engrave/whole_files.py": {"open"},  # to write
    "engrave/cli.py": {"open"},  # where nothing is written
    "engrave/products/cache.py": {"read_bytes", "open"},  # songs kept; the program's own files
    # what travels with the program:
    "engrave/resources.py": {"read_text"},
    "engrave/settings/shipped.py": {"read_text"},
    "engrave/commands/starts.py": {"read_text"},
    "engrave/fonts/symbols.py": {"read_bytes"},
    "engrave/fonts/font_file.py": {"read_bytes"},
    # what is compared with what it was, results too:
    "engrave/commands/folders.py": {"open", "read_bytes", "read_text"},
    # what is no file, or not yet:
    "engrave/reading/pictures.py": {"open"},
    "engrave/exchange/musicxml/reading/source.py": {"open"},
    "engrave/playing/levels.py": {"open"},
    "engrave/playing/sound_file.py": {"open"},
}
"""What may open files besides `source/inputs.py`, which notes them, so that no result replaces one."""


def test_everything_that_is_read_is_opened_through_one_door():
    found = {}
    for path in MODULES:
        calls = [n.func for n in ast.walk(ast.parse(path.read_text("utf-8"))) if isinstance(n, ast.Call)]
        on_paths = {f.attr for f in calls if isinstance(f, ast.Attribute)} & {
            "open",
            "read_bytes",
            "read_text",
        }
        opened = on_paths | {f.id for f in calls if isinstance(f, ast.Name) and f.id == "open"}
        # the reader of events has a method called read_text
        if opened and path.name != "voices.py" and "face" not in path.parts:
            found[str(path.relative_to(ROOT))] = opened
    assert found == OPENED_ELSEWHERE


PROMISED = {"_replace", "_fields", "_asdict", "_make", "_field_defaults", "_exit"}
"""What NamedTuples and the module `os` have for everyone, underscore or not (Python's own documentation)."""
INSIDE = {"engrave/drawing/pdf/reportlab_inside.py", "engrave/prepress/pypdf_inside.py"}
"""The two modules that may use what a library does not promise; tests of their own watch it."""


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_nobody_uses_the_inner_parts_of_what_is_not_their_own(path):
    """Within a module, classes may know each other's; Python's own `__names__` are no inner parts (PEP 8)."""
    tree = ast.parse(path.read_text("utf-8"))
    private = [
        node
        for node in ast.walk(tree)
        if isinstance(node, ast.Attribute) and node.attr.startswith("_") and not node.attr.startswith("__")
    ]
    own = {n.attr for n in private if isinstance(n.value, ast.Name) and n.value.id in ("self", "cls")}
    foreign = {ast.unparse(node) for node in private if node.attr not in own | PROMISED}
    assert not foreign or str(path.relative_to(ROOT)) in INSIDE, foreign


def test_libraries_of_whose_inner_parts_engrave_knows_have_an_upper_bound():
    needed = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["dependencies"]
    for name in ("reportlab", "pypdf"):
        (needs,) = (line for line in needed if re.match(rf"{name}\b", line))
        assert "<" in needs, needs


def test_every_package_but_the_face_is_kept_from_importing_it():
    contracts = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["importlinter"][
        "contracts"
    ]
    (contract,) = (c for c in contracts if c.get("forbidden_modules") == ["engrave.face"])
    rooms = {path.relative_to(ROOT / "engrave").parts[0].removesuffix(".py") for path in MODULES}
    assert {name.removeprefix("engrave.") for name in contract["source_modules"]} == rooms - {
        "__init__",
        "__main__",
        "face",
    }


def test_no_product_writes_the_syntax_of_pdf():
    """Operators of a page stand between blanks in the text (ISO 32000-1, annex A); `drawing/pdf/` alone writes them."""
    operators = re.compile(r"\s(cm|Tj|Tf|Tm|BT|ET|re|Do)(\s|$)|(^|\s)[qQ](\s|$)")
    for path in (ROOT / "engrave/products").rglob("*.py"):
        words = [
            node.value
            for node in ast.walk(ast.parse(path.read_text("utf-8")))
            if isinstance(node, ast.Constant) and isinstance(node.value, str)
        ]
        assert [word for word in words if operators.search(word)] == [], path


def test_the_readme_names_every_subcommand():
    from engrave.parser import build_parser

    text = (ROOT / "README.md").read_text("utf-8")
    (commands,) = (action for action in build_parser()._actions if action.dest == "command")
    for name in commands.choices:
        assert f"engrave {name}" in text, name


def test_every_score_in_the_readme_reads_without_a_problem():
    from tests.reading.helpers import problems

    blocks = re.findall(r"```yaml\n(.*?)```", (ROOT / "README.md").read_text("utf-8"), re.DOTALL)
    scores = [block for block in blocks if "score: 1" in block]
    assert len(scores) == 1
    assert problems(scores[0]) == []


def test_the_readme_is_short():
    """What it does not say stands in the guide."""
    assert len((ROOT / "README.md").read_text("utf-8").splitlines()) < 150
