"""Damage to a tree of maps, lists and scalars, as YAML reads it: structure kept, meaning spoilt."""

from __future__ import annotations

import copy
import random
from typing import Any

import yaml

from tests.fuzz.mutate_text import odd_word
from tests.fuzz.seeds import vocabulary

Place = tuple[Any, Any]
"""A map or list, and a key or index in it."""
_DEEPEST = 120
"""Maps inside each other: deeper ones only fill the dumper's own stack."""
_NUMBERS: list[Any] = [
    0, -1, 1, 2, 7, 12, 24, 36, 99, 100, 1000, 65536, 10**6, 2**31, 2**63, 10**30, 10**400, -(10**9),
    0.0, -0.0, 0.5, 1.0, 2.0, 6.0, 2.5, 1e-9, 1e9, 1e308, 1e-320, -1.0, float("nan"), float("inf"), float("-inf"),
]  # fmt: skip
_EMPTY: list[Any] = [None, "", {}, [], [[]], [{}], [None], True, False, " ", "~"]


def mutate_tree(tree: Any, rng: random.Random, donors: list[Any]) -> Any:
    """A copy of `tree` with one to four things wrong in it; `donors` are trees from which branches are taken."""
    tree = copy.deepcopy(tree)
    ways, times = (_GENTLE, [1, 1, 2]) if rng.random() < 0.65 else (_WAYS, [1, 1, 1, 2, 3, 4])
    for _ in range(rng.choice(times)):
        places = _places(tree)
        if not places:
            return tree
        rng.choice(ways)(places, rng, donors)
    return tree


def dump_tree(tree: Any, rng: random.Random) -> str:
    """A tree as YAML, in blocks or in brackets."""
    dumper = getattr(yaml, "CSafeDumper", yaml.SafeDumper)
    try:
        return str(
            yaml.dump(
                tree,
                Dumper=dumper,
                allow_unicode=rng.random() < 0.9,
                sort_keys=False,
                default_flow_style=rng.choice([None, False, None, True]),
                width=rng.choice([80, 10_000]),
            )
        )
    except (RecursionError, UnicodeError, ValueError, yaml.YAMLError):
        return repr(tree)[:100_000]


def _places(tree: Any) -> list[Place]:
    """Every place in a tree that holds something."""
    found: list[Place] = []
    seen: set[int] = set()
    waiting = [tree]
    while waiting:
        node = waiting.pop()
        if not isinstance(node, dict | list) or id(node) in seen:
            continue
        seen.add(id(node))
        for key in list(node) if isinstance(node, dict) else range(len(node)):
            found.append((node, key))
            waiting.append(node[key])
    return found


def _pick(places: list[Place], rng: random.Random) -> Place:
    """A place that is still there: earlier damage may have taken it away. The top of a tree is as likely as its leaves."""
    if rng.random() < 0.3:
        first = places[0][0]
        places = [place for place in places if place[0] is first]
    return rng.choice(places)


def _drop(places: list[Place], rng: random.Random, donors: list[Any]) -> None:
    node, key = _pick(places, rng)
    del node[key]


def _double(places: list[Place], rng: random.Random, donors: list[Any]) -> None:
    node, key = _pick(places, rng)
    times = rng.choice([1, 2, 5, 40])
    if isinstance(node, list):
        node[key:key] = [copy.deepcopy(node[key]) for _ in range(times)]
    else:
        node[f"{key}{rng.choice(['', ' ', '2', '-x'])}"] = node[key]


def _swap(places: list[Place], rng: random.Random, donors: list[Any]) -> None:
    one, other = _pick(places, rng), _pick(places, rng)
    first, second = copy.deepcopy(one[0][one[1]]), copy.deepcopy(other[0][other[1]])
    one[0][one[1]] = second
    if not _is_inside(one[0], other[0]):
        other[0][other[1]] = first


def _is_inside(node: Any, tree: Any) -> bool:
    return any(place[0] is node for place in _places(tree))


def _retype(places: list[Place], rng: random.Random, donors: list[Any]) -> None:
    """The same meaning in another type, or nearly."""
    node, key = _pick(places, rng)
    value = node[key]
    ways: list[Any] = [[value], {"x": value}, {str(value)[:50]: value}, str(value)]
    if isinstance(value, int) and abs(value) < 10**300:
        ways += [float(value)] * 4 + [str(value), value + 1, -value, bool(value), value * 1000]
    if isinstance(value, float):
        ways += [round(value) if abs(value) < 1e300 else 0, -value, value * 1e6, value / 1e6]
    if isinstance(value, list):
        ways += [{str(i): item for i, item in enumerate(value)}, *value[:1], list(reversed(value))]
    if isinstance(value, dict):
        ways += [[{k: v} for k, v in value.items()], list(value), list(value.values())]
    node[key] = rng.choice(ways)


def _number(places: list[Place], rng: random.Random, donors: list[Any]) -> None:
    """A number where a number stands, if there is one."""
    numbers = [p for p in places if isinstance(p[0][p[1]], int | float) and not isinstance(p[0][p[1]], bool)]
    node, key = rng.choice(numbers or places)
    node[key] = rng.choice(_NUMBERS)


def _empty(places: list[Place], rng: random.Random, donors: list[Any]) -> None:
    node, key = _pick(places, rng)
    node[key] = copy.deepcopy(rng.choice(_EMPTY))


def _word(places: list[Place], rng: random.Random, donors: list[Any]) -> None:
    """An odd word for a string, or put into one."""
    strings = [place for place in places if isinstance(place[0][place[1]], str)]
    node, key = rng.choice(strings or places)
    old = str(node[key])
    at = rng.randint(0, len(old))
    node[key] = rng.choice([odd_word(rng), old[:at] + odd_word(rng) + old[at:], old[:at], old + old])


def _rename(places: list[Place], rng: random.Random, donors: list[Any]) -> None:
    """Another key: an odd word, a number, one of the language that belongs elsewhere."""
    node, key = _pick(places, rng)
    if isinstance(node, dict):
        new: Any = rng.choice([odd_word(rng), rng.choice(vocabulary()[0]), rng.choice(_NUMBERS), None, True])
        node[new] = node.pop(key)
    else:
        node[key] = rng.choice(vocabulary()[0])


def _known_value(places: list[Place], rng: random.Random, donors: list[Any]) -> None:
    node, key = _pick(places, rng)
    node[key] = copy.deepcopy(rng.choice(vocabulary()[1]))


def _add_key(places: list[Place], rng: random.Random, donors: list[Any]) -> None:
    """A key of the language with a value of the language, in some map."""
    maps = [place[0] for place in places if isinstance(place[0], dict)]
    keys, values = vocabulary()
    value = rng.choice([rng.choice(values), rng.choice(_EMPTY), rng.choice(_NUMBERS), odd_word(rng)])
    if maps:
        rng.choice([maps[0], rng.choice(maps)])[rng.choice(keys)] = copy.deepcopy(value)


def _graft(places: list[Place], rng: random.Random, donors: list[Any]) -> None:
    """A branch of another document, where possible under the same key."""
    node, key = _pick(places, rng)
    branches = _places(rng.choice(donors))
    alike = [branch for branch in branches if branch[1] == key and isinstance(key, str)]
    chosen = rng.choice(alike or branches) if branches else None
    if chosen is not None:
        node[key] = copy.deepcopy(chosen[0][chosen[1]])


def _blend(places: list[Place], rng: random.Random, donors: list[Any]) -> None:
    """A key or an item of another document's map or list put into one under the same key: often right, and unheard of."""
    lists: dict[Any, list[Any]] = {}
    for node, key in _places(rng.choice(donors)):
        if isinstance(node[key], dict | list) and node[key]:
            lists.setdefault(key if isinstance(key, str) else "item", []).append(node[key])
    targets = [
        p
        for p in places
        if isinstance(p[0][p[1]], dict | list) and (p[1] if isinstance(p[1], str) else "item") in lists
    ]
    if not targets:
        return
    node, key = rng.choice(targets)
    donor = rng.choice(lists[key if isinstance(key, str) else "item"])
    target = node[key]
    if isinstance(target, dict) and isinstance(donor, dict):
        taken = rng.choice(list(donor))
        target[taken] = copy.deepcopy(donor[taken])
    elif isinstance(target, list) and isinstance(donor, list):
        target.insert(rng.randint(0, len(target)), copy.deepcopy(rng.choice(donor)))


def _digit(places: list[Place], rng: random.Random, donors: list[Any]) -> None:
    """Another small number, alone or among words."""
    with_digits = [
        p
        for p in places
        if isinstance(p[0][p[1]], int | str) and any(c in "0123456789" for c in str(p[0][p[1]]))
    ]
    if not with_digits:
        return
    node, key = rng.choice(with_digits)
    text = str(node[key])
    at = rng.choice([i for i, c in enumerate(text) if c in "0123456789"])
    new = text[:at] + rng.choice("0123456789") + text[at + 1 :]
    node[key] = (
        new if isinstance(node[key], str) else rng.choice([int(new), node[key] + 1, max(node[key] - 1, 0)])
    )


def _alias(places: list[Place], rng: random.Random, donors: list[Any]) -> None:
    """The same branch in two places, which YAML writes as an anchor and aliases; sometimes one inside itself."""
    one, other = _pick(places, rng), _pick(places, rng)
    value = one[0][one[1]]
    if isinstance(other[0], list) and isinstance(value, dict | list):
        other[0][other[1] : other[1]] = [value] * rng.choice([1, 3, 200])
    else:
        other[0][other[1]] = value


def _deep(places: list[Place], rng: random.Random, donors: list[Any]) -> None:
    node, key = _pick(places, rng)
    for _ in range(rng.choice([3, 20, _DEEPEST])):
        node[key] = [node[key]] if rng.random() < 0.5 else {rng.choice(vocabulary()[0]): node[key]}


def _many(places: list[Place], rng: random.Random, donors: list[Any]) -> None:
    """Thousands of keys or items."""
    node, key = _pick(places, rng)
    count = rng.choice([300, 3000])
    value = node[key]
    if isinstance(node, list):
        node[key] = [value] * count if rng.random() < 0.5 else list(range(count))
    else:
        node[key] = {f"k{number}": number for number in range(count)}


_GENTLE = [
    _blend,
    _blend,
    _blend,
    _blend,
    _digit,
    _digit,
    _double,
    _drop,
    _swap,
    _graft,
    _add_key,
    _known_value,
]
"""Ways after which much is still right, so that what comes after reading is tried too."""
_WAYS = [
    _drop, _drop, _double, _swap, _swap, _retype, _retype, _retype, _number, _number, _number, _empty, _empty, _word, _word,
    _rename, _known_value, _known_value, _add_key, _add_key, _add_key, _graft, _graft, _alias, _deep, _many,
]  # fmt: skip
