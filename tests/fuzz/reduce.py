"""A failing case made small: whatever can go without the failure going too is taken away, within a limit of time.

Steps first, then whole files, arguments, branches of YAML trees, lines, and last single bytes (delta debugging, after Zeller
and Hildebrandt).
"""

from __future__ import annotations

import copy
import time
from collections.abc import Callable, Iterator
from typing import Any

import yaml

from tests.fuzz.case import Case, Step

Fails = Callable[[Case], bool]
_FINEST = 3000
"""Bytes of a file above which single ones are not tried."""


def reduce_case(case: Case, fails: Fails, seconds: float) -> Case:
    """The smallest case found in so many seconds for which `fails` still says True."""
    until = time.monotonic() + seconds
    found: Case | None = case
    while found is not None and time.monotonic() < until:
        case = found
        candidates = (candidate for smaller in _SMALLER for candidate in smaller(case))
        found = next((c for c in candidates if time.monotonic() < until and fails(c)), None)
    return _reduce_files(case, fails, until)


def _without_step(case: Case) -> Iterator[Case]:
    """The case without one step and those that need it."""
    for gone in reversed(range(len(case.steps))):
        numbers = [gone]
        for number, step in enumerate(case.steps):
            if step.after in numbers:
                numbers.append(number)
        kept = [number for number in range(len(case.steps)) if number not in numbers]
        if kept:
            new = {old: place for place, old in enumerate(kept)}
            steps = (case.steps[number] for number in kept)
            yield case._replace(steps=tuple(_renumbered(step, new) for step in steps))


def _renumbered(step: Step, new: dict[int, int]) -> Step:
    after, agrees = (None if old is None else new.get(old) for old in (step.after, step.agrees))
    return step._replace(after=after, agrees=agrees)


def _without_file(case: Case) -> Iterator[Case]:
    for name in case.files:
        yield case._replace(files={other: data for other, data in case.files.items() if other != name})


def _without_argument(case: Case) -> Iterator[Case]:
    for number, step in enumerate(case.steps):
        words = step.arguments
        for count in (2, 1):
            for at in range(1, len(words) - count + 1):
                shorter = step._replace(arguments=words[:at] + words[at + count :])
                yield case._replace(steps=(*case.steps[:number], shorter, *case.steps[number + 1 :]))


_SMALLER = (_without_step, _without_file, _without_argument)


def _reduce_files(case: Case, fails: Fails, until: float) -> Case:
    for name in sorted(case.files, key=lambda file: -len(case.files[file])):
        case = _reduce_file(case, name, fails, until)
    return case


def _reduce_file(case: Case, name: str, fails: Fails, until: float) -> Case:
    def still(data: bytes) -> bool:
        return time.monotonic() < until and fails(case._replace(files={**case.files, name: data}))

    data = case.files[name]
    if name.endswith(".yaml"):
        data = _reduce_tree(data, still, until)
    data = b"".join(_shrink(data.splitlines(keepends=True), lambda kept: still(b"".join(kept))))
    if len(data) <= _FINEST:
        data = bytes(_shrink(list(data), lambda kept: still(bytes(kept))))
    return case._replace(files={**case.files, name: data})


def _shrink(items: list[Any], fails: Callable[[list[Any]], bool]) -> list[Any]:
    """The items without those that can go: halves of them, then smaller and smaller runs."""
    run = max(len(items) // 2, 1)
    while items:
        at, shorter = 0, False
        while at < len(items):
            rest = items[:at] + items[at + run :]
            if fails(rest):
                items, shorter = rest, True
            else:
                at += run
        if run == 1 and not shorter:
            break
        run = max(run // 2, 1) if not shorter or run > 1 else 1
    return items


def _reduce_tree(data: bytes, still: Callable[[bytes], bool], until: float) -> bytes:
    """A YAML document without the branches that can go; as it is where it is no YAML."""
    try:
        tree = yaml.safe_load(data)
    except (yaml.YAMLError, ValueError, RecursionError, UnicodeError, TypeError):
        return data
    if not isinstance(tree, dict) or not still(_dump(tree)):
        return data
    shorter = True
    while shorter and time.monotonic() < until:
        shorter = False
        for path in list(_paths(tree, ()))[:4000]:
            for way in ("gone", "risen"):
                candidate = _changed(tree, path, way)
                if candidate is not None and time.monotonic() < until and still(_dump(candidate)):
                    tree, shorter = candidate, True
                    break
            if shorter:
                break
    return _dump(tree)


def _dump(tree: Any) -> bytes:
    return yaml.safe_dump(
        tree, allow_unicode=True, sort_keys=False, default_flow_style=None, width=110
    ).encode("utf-8", "surrogatepass")


def _paths(node: Any, path: tuple[Any, ...], depth: int = 0) -> Iterator[tuple[Any, ...]]:
    """Every branch, the big ones first."""
    if depth > 40:
        return
    items = (
        list(node.items())
        if isinstance(node, dict)
        else list(enumerate(node))
        if isinstance(node, list)
        else []
    )
    for key, _ in items:
        yield (*path, key)
    for key, value in items:
        yield from _paths(value, (*path, key), depth + 1)


def _changed(tree: Any, path: tuple[Any, ...], way: str) -> Any:
    """A copy without the branch at `path`, or with the first of its own branches in its place; None where it has none."""
    tree = copy.deepcopy(tree)
    node = tree
    for key in path[:-1]:
        node = node[key]
    value = node[path[-1]]
    if way == "gone":
        del node[path[-1]]
        return tree
    if isinstance(value, list) and len(value) > 1:
        node[path[-1]] = value[: len(value) // 2]
        return tree
    if isinstance(value, str) and len(value) > 1:
        node[path[-1]] = value[: len(value) // 2]
        return tree
    return None
