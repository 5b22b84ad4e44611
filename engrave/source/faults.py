"""Faults of form in plain words: one function for each rule of JSON Schema that our schemas use."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import Any, NamedTuple

from engrave.problems import Location, ProblemLog
from engrave.source.slips.kinds import MISSING_SPACE, Slip, missing_colon, missing_space
from engrave.source.tree import SourceList, SourceMap, Value, location_of
from engrave.theory.numbering import Numbering

Path = list[str | int]

_KINDS = {
    "string": "text",
    "integer": "a whole number",
    "number": "a number",
    "object": "a mapping",
    "array": "a list",
    "boolean": "true or false",
    "null": "nothing",
}
_BEAT = "^[0-9]+([.][0-9]+| [0-9]+/[0-9]+)?$"
PATTERNS = {
    "^[A-Za-z]{2,8}(-[A-Za-z0-9]{1,8})*$": ("is not a language", "write a tag such as en, de or pt-BR"),
    "^auto$": (
        "does not say how chords are held",
        "write auto, or chord names with their frets: {G: 3 2 0 0 0 3}",
    ),
    "^[A-Za-z][A-Za-z0-9_-]*$": (
        "cannot be a name here",
        "write a letter, then letters, digits, - or _, without spaces: guitar-1",
    ),
    _BEAT: ("is not a beat", "beats count from 1; 2.5 or 2 1/2 lies between two of them"),
    "^[1-9][0-9]?$": ("is not the number of a verse", "write 1 for the first verse, 2 for the second"),
}
"""What a text that breaks a pattern of the schemas is not, and what would be right."""
_DURATIONS = {"whole": "1/1", "half": "1/2", "quarter": "1/4", "eighth": "1/8", "sixteenth": "1/16"}
_MEANT = {
    "composer": "write credits: {{music: {}}}",
    "music": "write credits: {{music: {}}}",
    "lyricist": "write credits: {{words: {}}}",
    "poet": "write credits: {{words: {}}}",
    "words": "write credits: {{words: {}}}",
    "arranger": "write credits: {{arrangement: {}}}",
    "arrangement": "write credits: {{arrangement: {}}}",
    "author": "write credits: {{music: {}}}, or words: for who wrote the words",
}
"""What stands at the head of a score for words of the trade that are often tried there."""
_STRING_PATTERN = "^[1-8]$"
_DURATION = re.compile(r"(grace |appoggiatura |closing-grace |\d+ in \d+ of )?\d+/\d+\.*")
_MOST_SHOWN = 40


class MeasureNumbers:
    """The printed numbers of a tree's measures by their index, as well as a faulty tree can tell; counted once, when first asked for."""

    def __init__(self, tree: Value) -> None:
        """Nothing is counted yet."""
        self._tree = tree
        self._numbers: list[int] = []

    def __getitem__(self, index: int) -> int:
        """The number of the measure at `index`."""
        if not self._numbers:
            numbering = Numbering()
            self._numbers = [_number(numbering, entry) for entry in self._tree["measures"]]
        return self._numbers[index]


def _number(numbering: Numbering, entry: Value) -> int:
    facts = entry if isinstance(entry, SourceMap) else {}
    given, rests = facts.get("number"), facts.get("multiple-rest", 1)
    return numbering.number(
        given if type(given) is int else None, facts.get("pickup") is True, rests if type(rests) is int else 1
    )


class Case(NamedTuple):
    """One fault: the tree, where in it (keys and indices), the part of the schema that it breaks, and the schema's error."""

    tree: Value
    schema: dict[str, Any]
    path: Path
    rule: dict[str, Any]
    error: Any
    numbers: MeasureNumbers

    @property
    def word(self) -> str:
        """The word of the schema that is broken."""
        steps = list(self.error.schema_path)
        return str(steps[-2] if steps[-2:-1] == ["propertyNames"] else steps[-1]) if steps else ""

    @property
    def node(self) -> Value:
        """What is wrong."""
        return find_node(self.tree, self.path)

    @property
    def location(self) -> Location:
        """Where it stands."""
        return location_of(self.tree, self.path)

    @property
    def name(self) -> str:
        """What it is called in a message."""
        if self.is_fret and self.path:
            return f"the fret of string {self.path[-1]}"
        return name_of(self.tree, self.path)

    @property
    def where(self) -> str:
        """The measure (and part) in which it lies, in words."""
        return where_of(self.tree, self.path, self.numbers)

    @property
    def is_fret(self) -> bool:
        """True for what stands behind a string."""
        return list(self.error.schema_path)[-3:-1] == ["$defs", "fret"]

    def example(self) -> str:
        """An example from the schema, as a hint."""
        return example_of(self.rule)


def find_case(tree: Value, schema: dict[str, Any], error: Any, numbers: MeasureNumbers) -> Case:
    """The case of an error that the validator found."""
    steps = list(error.schema_path)[:-1]
    if steps and steps[-1] == "propertyNames":
        steps.pop()
    return Case(tree, schema, list(error.instance_path), find_rule(schema, steps), error, numbers)


def explain(case: Case, log: ProblemLog) -> None:
    """Log what is wrong and what would be right."""
    EXPLAINED[case.word](case, log)


def find_slips(case: Case) -> list[tuple[str, Slip]]:
    """The keys of a case that lack their colon, or the space after it, and are no keys for that reason."""
    node = case.node
    if not isinstance(node, SourceMap):
        return []
    keys = case.error.kind.unexpected if case.word == "additionalProperties" else ()
    keys = [case.error.kind.error.instance] if case.word == "propertyNames" else keys
    found = ((key, _slip(key, node, case)) for key in keys if node[key] is None)
    return [(key, slip) for key, slip in found if slip is not None]


def _slip(key: str, node: SourceMap, case: Case) -> Slip | None:
    line, column = node.key_location(key)
    for match in re.finditer(":| +", key):
        first, rest = key[: match.start()], key[match.end() :]
        if not rest or not _is_key(first, case):
            continue
        if match[0] == ":":
            return missing_space(Location(line, column + match.end()), first, rest)
        return missing_colon(Location(line, column + len(first)), first, rest)
    return None


def _is_key(word: str, case: Case) -> bool:
    """True when `word` could be a key at this place."""
    if case.word == "propertyNames":
        return re.search(case.rule["propertyNames"]["pattern"], word) is not None
    patterns = case.rule.get("patternProperties", {})
    return word in case.rule.get("properties", {}) or any(re.search(pattern, word) for pattern in patterns)


def _explain_keys(case: Case, log: ProblemLog) -> None:
    slips = dict(find_slips(case))
    for key in case.error.kind.unexpected:
        if key in slips:
            log.error(slips[key].location, slips[key].what, case.where, slips[key].hint)
            continue
        what, hint = _unknown_key(key, case, log)
        location = case.node.key_location(key) if isinstance(case.node, SourceMap) else case.location
        log.error(location, what, case.where, hint)


def _unknown_key(key: str, case: Case, log: ProblemLog) -> tuple[str, str]:
    rule = case.rule
    known, patterns = list(rule.get("properties", {})), list(rule.get("patternProperties", {}))
    has_strings, has_durations = _STRING_PATTERN in patterns, any(" of " in pattern for pattern in patterns)
    durations = "durations are 1/1 to 1/64 with one or two dots, tuplets 3 in 2 of 1/8"
    if key.lower() in _DURATIONS and has_durations:
        return f'"{key}" is not a duration', f"write {_DURATIONS[key.lower()]}"
    if _DURATION.fullmatch(key) and patterns:
        if not has_durations:
            return f'the duration "{key}" stands inside an event', "close the brackets of the event before it"
        return f'"{key}" is not a duration', durations
    if key.isdigit() and patterns and not has_strings:
        return f'a duration is missing before string "{key}"', f"for example: 1/4: {{{key}: 3}}"
    if key[:1].isdigit() and patterns:
        return (
            (f'there is no string "{key}"', "strings count from 1, the thinnest, to 8")
            if has_strings
            else (f'"{key}" is not a duration', durations)
        )
    if re.fullmatch("[A-Ga-g][#b]?[0-9]?", key) and has_strings:
        return f'"{key}" is not a string', "strings have numbers, 1 for the thinnest: {2: 3}"
    if "credits" in known and key.lower() in _MEANT:
        return f'"{key}" is not known here', _MEANT[key.lower()].format(write(case.node[key]))
    if has_strings and key in case.schema["$defs"]["fret"]["properties"]:
        return f'"{key}" stands here without its string', "for example: {2: {fret: 3, bend: full}}"
    return f'"{key}" is not known here', log.suggest(key, known) if known else example_of(rule)


def _explain_required(case: Case, log: ProblemLog) -> None:
    missing = case.error.kind.property
    hint = example_of(case.rule.get("properties", {}).get(missing))
    log.error(case.location, f'"{missing}" is missing here', case.where, hint)


def _explain_enum(case: Case, log: ProblemLog) -> None:
    value = write(case.node)
    hint = log.suggest(value, [write(item) for item in case.rule["enum"]])
    log.error(case.location, _is_empty(case) or f"{case.name} cannot be {_shown(value)}", case.where, hint)


def _explain_const(case: Case, log: ProblemLog) -> None:
    log.error(case.location, f"{case.name} must be {case.rule['const']}", case.where)


_LEADING_DURATION = re.compile(r"((?:[a-z-]+ |\d+ in \d+ of )?1/\d+\.{0,2}) +(\S.*)")
"""A list's entry that starts like a duration with its events: its colon was forgotten."""


def _explain_type(case: Case, log: ProblemLog) -> None:
    kinds = case.rule["type"] if isinstance(case.rule["type"], list) else [case.rule["type"]]
    wanted = [_KINDS[kind] for kind in kinds]
    if "array" in kinds and isinstance(case.node, SourceMap) and case.node:
        what = f"{case.name} must be a list"
        if next(iter(case.node)).startswith("-"):
            what = f"{MISSING_SPACE} after the dash"
        log.error(case.location, what, case.where, "write - and a space before each item")
        return
    duration = _LEADING_DURATION.match(case.node) if isinstance(case.node, str) else None
    if duration is not None and kinds == ["object"]:
        typed, rest = duration.groups()
        log.error(case.location, f'a colon is missing after "{typed}"', case.where, f"write {typed}: {rest}")
        return
    is_item = bool(case.path) and isinstance(find_node(case.tree, case.path[:-1]), SourceList)
    name = f"an entry of {case.name}" if is_item else case.name
    must = f"{name} must be {', '.join(wanted[:-1])}{' or ' if len(wanted) > 1 else ''}{wanted[-1]}"
    hint = case.example()
    if case.node is None and kinds == ["string"]:
        hint += f"{'; ' if hint else ''}text that starts with # needs quotation marks"
    log.error(case.location, _is_empty(case) or must, case.where, hint)


def _is_empty(case: Case) -> str:
    """What is wrong with a key that has nothing behind it; "" for others."""
    if case.node is not None:
        return ""
    return f"string {case.path[-1]} has no fret" if case.is_fret else f"{case.name} has no value"


def _explain_bound(case: Case, log: ProblemLog) -> None:
    bound = "at least" if case.word == "minimum" else "at most"
    name = f"fret {write(case.node)}" if case.is_fret else case.name
    log.error(case.location, f"{name} must be {bound} {case.rule[case.word]}", case.where)


def _explain_count(case: Case, log: ProblemLog) -> None:
    limit = case.rule[case.word]
    count = "1 entry" if limit == 1 else f"{limit} entries"
    what = {
        "minItems": f"{case.name} needs at least {count}",
        "maxItems": f"{case.name} may have at most {count}",
        "minProperties": f"{case.name} is empty"
        if case.path and isinstance(case.path[-1], str)
        else "this item is empty",
        "maxProperties": f"{case.name} has two durations in one entry",
    }[case.word]
    hint = "start a new entry for each duration" if case.word == "maxProperties" else case.example()
    log.error(case.location, what, case.where, hint)


def _explain_pattern(case: Case, log: ProblemLog) -> None:
    what, hint = PATTERNS[case.rule["pattern"]]
    log.error(case.location, f"{_shown(write(case.node))} {what}", case.where, hint)


def _explain_names(case: Case, log: ProblemLog) -> None:
    key = str(case.error.kind.error.instance)
    location = case.node.key_location(key) if isinstance(case.node, SourceMap) else case.location
    for _, slip in find_slips(case):
        log.error(slip.location, slip.what, case.where, slip.hint)
        return
    what, hint = PATTERNS[case.rule["propertyNames"]["pattern"]]
    log.error(location, f"{_shown(key)} {what}", case.where, hint)


def _explain_unique(case: Case, log: ProblemLog) -> None:
    values = [write(item) for item in case.node]
    index = next(i for i, value in enumerate(values) if value in values[:i])
    location = location_of(case.tree, [*case.path, index])
    log.error(location, f'{case.name} has "{values[index]}" twice', case.where, "remove one of them")


EXPLAINED: dict[str, Callable[[Case, ProblemLog], None]] = {
    "additionalProperties": _explain_keys,
    "required": _explain_required,
    "enum": _explain_enum,
    "const": _explain_const,
    "type": _explain_type,
    "minimum": _explain_bound,
    "maximum": _explain_bound,
    "minItems": _explain_count,
    "maxItems": _explain_count,
    "minProperties": _explain_count,
    "maxProperties": _explain_count,
    "pattern": _explain_pattern,
    "propertyNames": _explain_names,
    "uniqueItems": _explain_unique,
}
"""Every word of JSON Schema that our schemas use to refuse something."""


def example_of(rule: Any) -> str:
    """The first example of a rule, as a hint; "" when it has none."""
    examples = rule.get("examples") if isinstance(rule, dict) else None
    return "for example: " + write(examples[0]) if examples else ""


def write(value: Any) -> str:
    """A value as it would be typed on one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {write(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(write(item) for item in value) + "]"
    if isinstance(value, bool | None):
        return {True: "true", False: "false", None: "null"}[value]
    return str(value)


def _shown(text: str) -> str:
    return f'"{text if len(text) <= _MOST_SHOWN else text[: _MOST_SHOWN - 4] + " ..."}"'


def find_rule(schema: dict[str, Any], path: Sequence[Any]) -> Any:
    """The part of a schema at `path`; an empty rule when there is none."""
    node: Any = schema
    for step in path:
        try:
            node = node[step]
        except (KeyError, IndexError, TypeError):
            return {}
    return node


def find_node(tree: Value, path: Path) -> Value:
    """The value at `path`."""
    node = tree
    for step in path:
        node = node[str(step)] if isinstance(node, SourceMap) else node[int(step)]
    return node


def name_of(tree: Value, path: Path) -> str:
    """The innermost key of `path` in quotation marks."""
    name, node = "an entry" if path else "the document", tree
    for step in path:
        if isinstance(node, SourceMap):
            name, node = f'"{step}"', node[str(step)]
        else:
            node = node[int(step)]
    return name


def where_of(tree: Value, path: Path, numbers: MeasureNumbers) -> str:
    """The measure (and part) that `path` lies in, in words, by the number that is printed."""
    if len(path) < 2 or path[0] != "measures" or not isinstance(path[1], int):
        return ""
    words = f"measure {numbers[path[1]]}"
    if len(path) > 3 and path[2] == "parts":
        words = f"{_part_name(tree, str(path[3]))}, {words}"
    return words


def _part_name(tree: SourceMap, part: str) -> str:
    """What the part with the id `part` is called."""
    parts = tree.get("parts")
    for entry in parts if isinstance(parts, list) else ():
        if isinstance(entry, SourceMap) and entry.get("id") == part:
            return str(entry.get("name", part[:1].upper() + part[1:]))
    return part
