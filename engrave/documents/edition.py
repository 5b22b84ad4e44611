"""Whom the pages of a lesson are for."""

from __future__ import annotations

from enum import Enum


class Edition(Enum):
    """Whom pages are for: without the answers, or with them at the back."""

    STUDENT = "student"
    TEACHER = "teacher"
