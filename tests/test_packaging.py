"""What travels with the program, and what its metadata say. Building and installing it is tested by .ci/wheel."""

import re
import tomllib
from pathlib import Path

import pytest
import yaml
from fontTools.ttLib import TTFont

import engrave
from engrave.fonts.face_files import ALL_FACES, face_file

ROOT = Path(__file__).parent.parent
CONFIGURATION = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
PROJECT = CONFIGURATION["project"]
TARGETS = CONFIGURATION["tool"]["hatch"]["build"]["targets"]
FACES = (ROOT / "engrave" / "fonts" / "LICENSE-FACES.txt").read_text("utf-8")
ALWAYS = {"pyproject.toml"}
"""What hatchling puts into every source archive unasked."""
COPYRIGHT, FAMILY, LICENCE = 0, 1, 13
"""Numbers of names in a font (OpenType specification, table "name")."""


def test_schemas_styles_and_the_guide_travel_in_the_wheel():
    travels = {"schemas": "schemas", "styles": "styles", "samples/guide": "guide"}
    assert TARGETS["wheel"]["force-include"] == {
        source: f"engrave/_data/{name}" for source, name in travels.items()
    }


def test_what_makes_the_music_face_stays_out_of_the_wheel_but_not_out_of_the_sources():
    assert "engrave/face" in TARGETS["wheel"]["exclude"]
    assert "/engrave" in TARGETS["sdist"]["include"]
    assert (ROOT / "engrave/face/compile.py").exists()


def test_the_source_archive_has_everything_that_is_kept():
    ignored = {line.strip("/") for line in (ROOT / ".gitignore").read_text("utf-8").splitlines()}
    kept = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")} - ignored
    kept = {name for name in kept if not name.endswith(".egg-info")} | {".ci", ".pre-commit-config.yaml"}
    assert {f"/{name}" for name in kept - ALWAYS} == set(TARGETS["sdist"]["include"])


def test_types_are_announced_to_those_who_import_the_package():
    """PEP 561."""
    assert (ROOT / "engrave" / "py.typed").is_file()
    assert "Typing :: Typed" in PROJECT["classifiers"]


def test_the_oldest_python_of_the_classifiers_is_the_oldest_that_is_allowed():
    versions = [name.split("3.")[1] for name in PROJECT["classifiers"] if re.search(r":: 3\.\d+$", name)]
    assert PROJECT["requires-python"] == f">=3.{min(map(int, versions))}"
    assert CONFIGURATION["tool"]["ruff"]["target-version"] == f"py3{min(map(int, versions))}"


def test_licences_are_named_and_travel():
    """PEP 639."""
    assert PROJECT["license"] == "MIT AND OFL-1.1"
    assert not [name for name in PROJECT["classifiers"] if name.startswith("License ::")]
    there = {path for folder in (ROOT, ROOT / "engrave" / "fonts") for path in folder.glob("LICENSE*")}
    assert {ROOT / name for name in PROJECT["license-files"]} == there
    assert (ROOT / "LICENSE").read_text("utf-8").startswith("MIT License")


_AFTER = "The licence of the face for what is typed"


def _permission(notice):
    """What the licence of the Bitstream Vera fonts permits, as a font file has it."""
    permitted = " ".join(notice.split()).partition("Permission is hereby granted")
    assert permitted[1]
    return "".join(permitted[1:]).partition(" subject to")[0]


@pytest.mark.parametrize("name", ALL_FACES)
def test_the_notice_of_every_face_stands_beside_its_licence(name):
    """SIL Open Font License 1.1, condition 2; the licence of the Bitstream Vera fonts, its second paragraph."""
    names = TTFont(face_file(name))["name"]
    licence = names.getDebugName(LICENCE)
    assert "SIL Open Font License, Version 1.1" in licence or _permission(licence) in " ".join(FACES.split())
    family = re.sub(" (Semibold|Black|Light)$", "", names.getDebugName(FAMILY))
    assert family.removeprefix("Engrave ").casefold() in FACES.casefold()
    holder = re.search(r"[A-Z][\w ]+ \(http[^)]+\)", names.getDebugName(COPYRIGHT) or "")
    assert (holder[0] if holder else "The Engrave authors") in FACES


def test_the_licence_of_the_faces_is_whole():
    """Five conditions, between preamble and disclaimer."""
    licence = FACES.partition("SIL OPEN FONT LICENSE Version 1.1 - 26 February 2007")[2].partition(_AFTER)[0]
    assert re.findall(r"^(\d)\) ", licence, re.MULTILINE) == list("12345")
    heads = re.findall(r"^[A-Z]{2}[A-Z &]+$", licence, re.MULTILINE)
    assert heads[:2] == ["PREAMBLE", "DEFINITIONS"]
    assert heads[-3:] == ["PERMISSION & CONDITIONS", "TERMINATION", "DISCLAIMER"]


def test_the_changes_start_with_what_is_not_released_and_name_this_version():
    heads = re.findall(r"^## (.+)$", (ROOT / "CHANGELOG.md").read_text("utf-8"), re.MULTILINE)
    assert heads[0].startswith("Unreleased")
    assert any(engrave.__version__ in head for head in heads)


def test_hooks_check_what_the_clean_checkout_checks():
    (repository,) = yaml.safe_load((ROOT / ".pre-commit-config.yaml").read_text("utf-8"))["repos"]
    hooks = {hook["entry"]: hook["language"] for hook in repository["hooks"]}
    run = (ROOT / ".ci" / "run").read_text("utf-8")
    checks = re.findall(r"^\.venv/bin/((?:ruff|mypy|lint-imports).*)$", run, re.MULTILINE)
    assert len(checks) == 4
    assert {*checks, "python -m pytest tests/test_architecture.py"} == hooks.keys()
    assert repository["repo"] == "local"
    assert set(hooks.values()) == {"system"}
