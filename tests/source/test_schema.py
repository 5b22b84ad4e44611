"""The schema of scores: valid by JSON Schema 2020-12, documented throughout, and explained in plain words."""

import json
import random
import re

import jsonschema
import jsonschema_rs
import pytest
import yaml
from referencing import Registry, Resource

from engrave.problems import ProblemLog
from engrave.reading.load import DOCUMENTS
from engrave.resources import data_folder, schema_text
from engrave.source.faults import EXPLAINED, PATTERNS
from engrave.source.parse import parse_yaml
from engrave.source.schema import check_form, without_word_patterns
from tests import made

SCHEMA = json.loads(schema_text("score"))
SAMPLES = sorted((data_folder() / "samples").glob("*.yaml"))


def problems(text):
    log = ProblemLog("f")
    tree = parse_yaml(text, log)
    check_form(tree, "score", log)
    return [str(problem) for problem in log.in_order()]


def test_the_schema_is_a_schema():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


def test_every_key_has_a_description_and_an_example():
    def visit(node, path):
        if isinstance(node, dict):
            for name, inner in node.get("properties", {}).items():
                if "$ref" not in inner or "description" in inner:
                    assert inner.get("description"), (*path, name)
                    assert inner.get("examples"), (*path, name)
            for key, inner in node.items():
                if key != "allOf":  # conditions: they describe no key of their own
                    visit(inner, (*path, key))
        elif isinstance(node, list):
            for inner in node:
                visit(inner, path)

    visit(SCHEMA, ())


def test_the_examples_are_valid():
    def visit(node):
        if isinstance(node, dict):
            for example in node.get("examples", []) if isinstance(node.get("examples"), list) else []:
                if "description" in node:
                    validator = jsonschema.Draft202012Validator({**node, "$defs": SCHEMA["$defs"]})
                    assert validator.is_valid(example), (node["description"], example)
            for inner in node.values():
                visit(inner)
        elif isinstance(node, list):
            for inner in node:
                visit(inner)

    visit(SCHEMA)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("score: 1\ntitel: x\nmeasures: [{}]\n", 'f:2:1: "titel" is not known here; did you mean "title"?'),
        ("score: 2\nmeasures: [{}]\n", 'f:1:8: "score" must be 1'),
        ("score: 1\n", 'f:1:1: "measures" is missing here'),
        ("score: 1\nmeasures: []\n", 'f:2:11: "measures" needs at least 1 entry'),
        (
            "score: 1\nmeasures:\n  - repeat: ende\n",
            'f:3:13: "repeat" cannot be "ende" (measure 1); did you mean "end"?',
        ),
        ("score: 1\ntime: 3\nmeasures: [{}]\n", 'f:2:7: "time" must be text; for example: 3/4'),
        ("score: 1\nmeasures:\n  - notes: [1/5: {3: 0}]\n", 'f:3:13: "1/5" is not a duration (measure 1)'),
        ("score: 1\nmeasures:\n  - notes: [1/4: {9: 0}]\n", 'there is no string "9"'),
        ("score: 1\ncapo: -1\nmeasures: [{}]\n", '"capo" must be at least 0'),
    ],
)
def test_faults_of_form_are_told_in_plain_words(text, message):
    assert any(message in problem for problem in problems(text)), problems(text)


def test_every_word_and_pattern_by_which_the_schemas_refuse_has_its_sentence():
    words, patterns = set(), set()

    def visit(node):
        for key, inner in node.items() if isinstance(node, dict) else ():
            if key in ("pattern", "propertyNames"):
                patterns.add(inner if isinstance(inner, str) else inner["pattern"])
            words.add(key)
        nodes = node if isinstance(node, list) else []
        for inner in (
            [value for key, value in node.items() if key != "allOf"] if isinstance(node, dict) else nodes
        ):
            visit(inner)  # what allOf says is for editors

    for name in DOCUMENTS:
        visit(without_word_patterns(json.loads(schema_text(name))))
    refusing = set(jsonschema.Draft202012Validator.VALIDATORS) - {
        "$ref",
        "properties",
        "patternProperties",
        "items",
        "allOf",
    }
    assert words & refusing <= set(EXPLAINED)
    assert patterns <= set(PATTERNS)


NOTES = "score: 1\nmeasures:\n  - notes: "


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (NOTES + "[1/4: {2 1}]\n", 'f:3:20: a colon is missing after "2" (measure 1); write 2: 1'),
        (
            NOTES + "[1/4: {2:1}]\n",
            'f:3:21: a space is missing after the colon of "2" (measure 1); write 2: 1',
        ),
        (
            NOTES + "[1/4: {2:3 hammer-on}]\n",
            'f:3:21: a space is missing after the colon of "2" (measure 1); write 2: 3 hammer-on',
        ),
        (
            NOTES + "[1/4: {2: {fret 3}}]\n",
            'f:3:27: a colon is missing after "fret" (measure 1); write fret: 3',
        ),
        (NOTES + "[1/4: {2: }]\n", "f:3:22: string 2 has no fret (measure 1); for example: 3"),
        (
            NOTES + "[1/4: {2: [3]}]\n",
            "f:3:22: the fret of string 2 must be a number, text or a mapping (measure 1); for example: 3",
        ),
        (
            NOTES + "[1/4: {B: 1}]\n",
            'f:3:19: "B" is not a string (measure 1); strings have numbers, 1 for the thinnest: {2: 3}',
        ),
        (
            NOTES + "[1/4: {fret: 1}]\n",
            'f:3:19: "fret" stands here without its string (measure 1); for example: {2: {fret: 3, bend: full}}',
        ),
        (
            NOTES + "[{2: 1}]\n",
            'f:3:14: a duration is missing before string "2" (measure 1); for example: 1/4: {2: 3}',
        ),
        (NOTES + "[quarter: {2: 1}]\n", 'f:3:13: "quarter" is not a duration (measure 1); write 1/4'),
        (
            NOTES + "[{1/4: {2: 1}, 1/8: {2: 1}}]\n",
            'f:3:13: "notes" has two durations in one entry (measure 1); start a new entry for each duration',
        ),
        (
            NOTES + "[1/4: {2: {fret: 1, marks: [xyz]}}]\n",
            'f:3:40: "marks" cannot be "xyz" (measure 1); known here are 57 words, among them hammer-on, pull-off, slide, slurred-slide and slide-from-below',
        ),
        (
            "score: 1\nmeasures:\n  - chord: {1:C, 3: G}\n",
            'f:3:15: a space is missing after the colon of "1" (measure 1); write 1: C',
        ),
        (
            "score: 1\nmeasures:\n  - chord: {one: C}\n",
            'f:3:13: "one" is not a beat (measure 1); beats count from 1; 2.5 or 2 1/2 lies between two of them',
        ),
        (
            "score: 1\nmeasures:\n  - lyrics: {0: la}\n",
            'f:3:14: "0" is not the number of a verse (measure 1); write 1 for the first verse, 2 for the second',
        ),
        (
            "score: 1\nlanguage: US English\nmeasures: [{}]\n",
            'f:2:11: "US English" is not a language; write a tag such as en, de or pt-BR',
        ),
        (
            "score: 1\nshapes: all\nmeasures: [{}]\n",
            'f:2:9: "all" does not say how chords are held; write auto, or',
        ),
        (
            "score: 1\nparts: [{id: a b}]\nmeasures: [{}]\n",
            'f:2:14: "a b" cannot be a name here; write a letter',
        ),
        (
            "score: 1\ntitle: # 1 hit\nmeasures: [{}]\n",
            '"title" has no value; for example: Lantern Waltz; text that starts with # needs quotation marks',
        ),
        (
            "score: 1\nmeasures:\n  -notes: rest\n",
            "f:3:3: a space is missing after the dash; write - and a space before each item",
        ),
        (
            "score: 1\nmeasures:\n  notes: rest\n",
            'f:3:3: "measures" must be a list; write - and a space before each item',
        ),
    ],
)
def test_a_fault_of_form_is_told_once_and_says_what_would_be_right(text, message):
    (found,) = problems(text)
    assert message in found


def test_measures_are_named_by_the_number_that_is_printed():
    """As a reader of the page counts: a pickup is 0, a rest of eight measures counts eight."""
    text = "score: 1\nparts: [{id: voice, name: Anna}, {id: guitar}]\nmeasures:\n  - {pickup: true}\n  - {multiple-rest: 8}\n"
    found = problems(
        text
        + "  - {repeat: ende, parts: {voice: {chord: 7}, guitar: {chord: 7}}}\n  - {number: 40, label: [x]}\n"
    )
    assert [re.search(r"\((.*?)\)", problem)[1] for problem in found] == [
        "measure 9",
        "Anna, measure 9",
        "Guitar, measure 9",
        "measure 40",
    ]


def test_all_faults_are_told_at_once():
    found = problems("score: 1\ntitel: x\ntime: 3\nmeasures:\n  - repeat: ende\n    label: [1]\n")
    assert len(found) == 4
    assert found == sorted(found, key=lambda text: [int(n) for n in text.split(":")[1:3]])


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_both_validators_agree_on_samples_and_on_damaged_ones(sample):
    reference = jsonschema.Draft202012Validator(without_word_patterns(SCHEMA))
    whole, other = jsonschema.Draft202012Validator(SCHEMA), jsonschema_rs.validator_for(SCHEMA)
    text = sample.read_text("utf-8")
    rng = random.Random(sample.stem)
    for attempt in range(12):
        tree = parse_yaml(text, ProblemLog("f"))
        if attempt:
            _damage(tree, rng)
        assert check_form(tree, "score", ProblemLog("f")) == reference.is_valid(_plain(tree))
        assert other.is_valid(_plain(tree)) == whole.is_valid(_plain(tree))


def _plain(tree):
    return json.loads(json.dumps(tree))


def _damage(tree, rng):
    """Change one value somewhere to something of another kind."""
    node = tree
    while True:
        keys = list(node) if isinstance(node, dict) else list(range(len(node)))
        key = rng.choice(keys)
        inner = node[key]
        if isinstance(inner, dict | list) and inner and rng.random() < 0.8:
            node = inner
            continue
        node[key] = rng.choice([None, -5, "nonsense", [], {}, 1.5, True, ["x"], {"y": 1}])
        return


def test_the_schema_is_written_as_json_that_yaml_tools_read():
    assert yaml.safe_load(schema_text("score")) == SCHEMA


SCHEMAS = {name: json.loads(schema_text(name)) for name in DOCUMENTS}
MEASURES = "score: 1\nmeasures:\n  - notes: [1/1: {1: 0}]\n"
CONDITIONS = [
    (MEASURES + "  - {notes: [1/1: {1: 0}], tab: x}\n", "a measure has either notes or a drawn tab"),
    (MEASURES + "  - {lower: [1/1: {1: 0}], tab: x}\n", "a measure has either notes or a drawn tab"),
    (MEASURES + "  - {times: 3}\n", "times stands beside repeat: end"),
    (MEASURES + "  - {times: 3, repeat: start}\n", "times stands beside repeat: end"),
    (
        MEASURES + "  - {measure-repeat: 1, notes: [1/1: {1: 0}]}\n",
        "a measure with measure-repeat has no notes of its own",
    ),
    (
        MEASURES + "  - {multiple-rest: 4, lower: [1/1: {1: 0}]}\n",
        "a measure with multiple-rest has no lower of its own",
    ),
    (MEASURES + "  - {parts: {guitar: {notes: rest}}}\n", "no parts are listed at the head of this score"),
    (
        MEASURES.replace("measures:", "parts: [{id: a}, {id: b}]\nmeasures:"),
        'with several parts, "notes" belongs to one of them',
    ),
    (
        "score: 1\nparts: [{id: a}]\nmeasures:\n  - parts: {a: {notes: rest, tab: x}}\n",
        "a measure has either notes or a drawn tab",
    ),
    ("handout: 1\ncontent:\n  - {text: a, tip: b}\n", "an item cannot be text and tip at once"),
    ("handout: 1\ncontent:\n  - {caption: a}\n", "this item has only caption"),
    ("handout: 1\ncontent:\n  - {text: a, view: tab}\n", '"view" does not belong to text'),
    ("handout: 1\ncontent:\n  - {tip: a, caption: b}\n", '"caption" does not belong to tip'),
    ("handout: 1\ncontent:\n  - {blank: {}, left-handed: true}\n", '"left-handed" does not belong to blank'),
    ("handout: 1\ncontent:\n  - {picture: a.png}\n", "this picture has no description"),
    ("songbook: 1\nsongs:\n  - {title: a}\n", "this song has no file"),
    ("songbook: 1\nsongs:\n  - {section: a, file: b.yaml}\n", '"file" does not belong to a section'),
    ("paper: 1\nstrings: 0\nkinds: [staff, tab]\n", "a tab needs strings"),
    ("paper: 1\nstrings: 0\nstaff: false\n", "this paper would be empty"),
]


@pytest.mark.parametrize(("text", "sentence"), CONDITIONS)
def test_editors_are_told_what_keys_mean_for_each_other_and_readers_say_it_in_words(tmp_path, text, sentence):
    """The schema refuses the document, and the only message about it is the reader's own."""
    tree = parse_yaml(text, ProblemLog("f"))
    kind = next(iter(tree))
    assert not jsonschema.Draft202012Validator(SCHEMAS[kind]).is_valid(_plain(tree))
    assert check_form(tree, kind, ProblemLog("f"))
    path = tmp_path / "document.yaml"
    path.write_text(text, "utf-8")
    found = [str(problem) for problem in made.check(str(path)).problems]
    assert len([problem for problem in found if sentence in problem]) == 1, found
    assert not [problem for problem in found if "required" in problem or "not allowed" in problem]


def test_a_fault_of_form_is_told_beside_a_condition(tmp_path):
    path = tmp_path / "document.yaml"
    path.write_text(MEASURES + "    lyrcs: x\n  - {}\n  - {}\n  - {times: 3}\n", "utf-8")
    found = "\n".join(str(problem) for problem in made.check(str(path)).problems)
    assert '"lyrcs" is not known here' in found
    assert "times stands beside repeat: end" in found


@pytest.mark.parametrize(
    "sample", sorted((data_folder() / "samples").rglob("*.yaml")), ids=lambda path: path.stem
)
def test_the_first_line_of_every_sample_leads_from_its_folder_to_a_schema_that_accepts_it(sample):
    line = sample.read_text("utf-8").splitlines()[0]
    path = sample.parent / line.partition("$schema=")[2]
    schema = json.loads(path.read_text("utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    beside = Registry(
        retrieve=lambda name: Resource.from_contents(json.loads((path.parent / name).read_text("utf-8")))
    )
    jsonschema.Draft202012Validator(schema, registry=beside).validate(
        _plain(parse_yaml(sample.read_text("utf-8"), ProblemLog("f")))
    )


@pytest.mark.parametrize("kind", DOCUMENTS)
def test_conditions_stand_apart_from_what_is_explained_as_form(kind):
    """Every word that ties keys together stands under allOf, where the explanation of faults leaves it to the readers."""
    tying = {"if", "then", "else", "not", "anyOf", "oneOf", "dependentRequired", "dependentSchemas"}

    def visit(node, inside):
        if isinstance(node, dict):
            assert inside or not tying & node.keys() - set(node.get("properties", ()))
            for key, inner in node.items():
                visit(inner, inside or key == "allOf")
        elif isinstance(node, list):
            for inner in node:
                visit(inner, inside)

    visit(SCHEMAS[kind], False)
