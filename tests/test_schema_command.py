"""The schemas for an editor: copied where a document finds them, printed, and never over a file that is something else."""

import json
import os
import re
from pathlib import Path
from urllib.parse import urlparse
from urllib.request import url2pathname

import jsonschema
import pytest

from engrave.cli import main
from engrave.problems import ProblemLog
from engrave.reading.load import DOCUMENTS
from engrave.resources import data_folder, schema_text
from engrave.source.parse import parse_yaml

README = Path(__file__).parent.parent / "README.md"
MARK = "# yaml-language-server: $schema="


def find(line, folder):
    """The schema that the first line of a document in `folder` names, as an editor finds it."""
    address = line[line.index(MARK) + len(MARK) :].strip()
    path = Path(url2pathname(urlparse(address).path)) if address.startswith("file:") else folder / address
    schema = json.loads(path.read_text("utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    return schema


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_copies_lie_beside_the_scores_and_the_lines_lead_to_them(folder, capsys):
    assert main(["schema"]) == 0
    out = capsys.readouterr()
    assert out.out.split() == [os.path.join("schemas", f"{kind}.schema.json") for kind in DOCUMENTS]
    lines = out.err.splitlines()
    assert len(lines) == len(DOCUMENTS)
    for kind, line in zip(DOCUMENTS, lines, strict=True):
        assert line.startswith(f"first line of a {kind} in this folder: ")
        assert find(line, folder) == json.loads(schema_text(kind))


def test_the_score_in_the_readme_finds_its_schema_in_any_folder(folder):
    text = README.read_text("utf-8").partition("```yaml\n")[2].partition("```")[0]
    (folder / "score.yaml").write_text(text, "utf-8")
    assert main(["schema", "--quiet"]) == 0
    schema = find(text.splitlines()[0], folder)
    tree = json.loads(
        json.dumps(parse_yaml(text, ProblemLog("README")))
    )  # as an editor reads it: 2:3 is text in YAML 1.2
    jsonschema.Draft202012Validator(schema).validate(tree)
    assert not jsonschema.Draft202012Validator(schema).is_valid({**tree, "titel": "x"})


def test_a_folder_is_made_and_may_be_elsewhere(folder, tmp_path_factory, capsys):
    elsewhere = tmp_path_factory.mktemp("other") / "for editors" / "here"
    assert main(["schema", "score", "-o", str(elsewhere)]) == 0
    assert [path.name for path in elsewhere.iterdir()] == ["score.schema.json"]
    assert find(capsys.readouterr().err, folder)["title"] == "Score"


def test_one_schema_may_have_a_name_of_its_own(folder, capsys):
    assert main(["schema", "handout", "-o", "lesson.json"]) == 0
    assert find(capsys.readouterr().err, folder)["title"] == "Handout"


@pytest.mark.parametrize("kind", DOCUMENTS)
def test_a_schema_is_printed_with_a_line_that_works_from_anywhere_on_this_machine(folder, kind, capsys):
    assert main(["schema", kind]) == 0
    out = capsys.readouterr()
    assert json.loads(out.out) == json.loads(schema_text(kind))
    assert find(out.err, folder)["title"] == json.loads(schema_text(kind))["title"]
    assert not list(folder.iterdir())


def test_a_file_that_is_the_same_stays_and_one_that_is_not_stops_everything(folder, capsys):
    assert main(["schema", "--quiet"]) == 0
    assert main(["schema", "--quiet"]) == 0
    own = folder / "schemas" / "paper.schema.json"
    own.write_text("{}", "utf-8")
    (folder / "schemas" / "score.schema.json").unlink()
    capsys.readouterr()
    assert main(["schema"]) == 1
    assert re.fullmatch(
        r"schema: \S+paper.schema.json already exists and is something else; remove it, or name another folder with -o\n",
        capsys.readouterr().err,
    )
    assert own.read_text("utf-8") == "{}"
    assert not (folder / "schemas" / "score.schema.json").exists()


@pytest.mark.parametrize("output", ["taken", "taken/inside"])
def test_a_file_in_the_way_of_the_folder_is_one_message(folder, output, capsys):
    (folder / "taken").write_text("x", "utf-8")
    assert main(["schema", "-o", output]) == 1
    assert "cannot be made" in capsys.readouterr().err


@pytest.mark.parametrize("arguments", [["schema", "scor"], ["schema", "-o", "-"]])
def test_wrong_use_is_status_two(folder, arguments, capsys):
    with pytest.raises(SystemExit) as stop:
        main(arguments)
    assert stop.value.code == 2
    assert "''" not in capsys.readouterr().err


def test_schemas_travel_with_an_installed_program(tmp_path, monkeypatch, capsys):
    """Installed, they lie inside the package (pyproject.toml puts them there)."""
    inside = tmp_path / "engrave" / "_data" / "schemas"
    inside.mkdir(parents=True)
    for kind in DOCUMENTS:
        (inside / f"{kind}.schema.json").write_bytes(
            (data_folder() / "schemas" / f"{kind}.schema.json").read_bytes()
        )
    monkeypatch.setattr("engrave.resources._PACKAGE", tmp_path / "engrave")
    monkeypatch.chdir(tmp_path)
    assert main(["schema", "score"]) == 0
    assert inside.as_uri() in capsys.readouterr().err
    assert main(["schema", "--quiet"]) == 0
    assert len(list((tmp_path / "schemas").iterdir())) == len(DOCUMENTS)
