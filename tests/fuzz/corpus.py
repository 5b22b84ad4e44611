"""Cases kept: `corpus/` holds the smallest failing inputs of the past, `known.txt` those that are not mended yet.

A line of `known.txt` is the name of a case, a colon, and the reason why it may still fail. A case that is marked there and
does not fail any more makes the test fail: the mark must go.
"""

from __future__ import annotations

import hashlib
import json
import re
from pathlib import Path

from tests.fuzz.case import Case, from_json, to_json
from tests.fuzz.judge import Failure

FOLDER = Path(__file__).parent
CORPUS = FOLDER / "corpus"
FOUND = FOLDER / "found"
KNOWN = FOLDER / "known.txt"


def case_names() -> list[str]:
    """Every case that is kept, by name."""
    return sorted(path.stem for path in CORPUS.glob("*.json"))


def read_case(name: str) -> Case:
    """A case that is kept."""
    return from_json((CORPUS / f"{name}.json").read_text("utf-8"))


def read_key(name: str) -> str:
    """By what the failure is known that a kept case shows, or once showed; "" where that is not written."""
    return str(json.loads((CORPUS / f"{name}.json").read_text("utf-8")).get("key", ""))


def read_known() -> dict[str, str]:
    """The reason of each case that may still fail, by its name."""
    lines = (line.split("#")[0].strip() for line in KNOWN.read_text("utf-8").splitlines())
    return {
        name.strip(): reason.strip() for name, _, reason in (line.partition(":") for line in lines if line)
    }


def keep_found(case: Case, failure: Failure, origin: str) -> Path:
    """Write a case that failed into `found/`, with the reason; `origin` says how it was made."""
    FOUND.mkdir(exist_ok=True)
    words = re.sub(r"[^a-z0-9]+", "-", failure.key.lower()).strip("-")[:60]
    digest = hashlib.md5(failure.key.encode("utf-8", "replace"), usedforsecurity=False).hexdigest()[:4]
    path = FOUND / f"{case.reader}-{words}-{digest}.json"
    path.write_text(to_json(case, f"{origin}\n{failure.detail}", failure.key), "utf-8")
    return path
