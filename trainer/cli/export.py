"""What leaves the class's database as files: gradebook, evidence, class report, statements.

Knows the verbs; each is in a file of its own.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from trainer.cli import export_class, export_evidence, export_grades, export_xapi

ABOUT = "Write gradebooks, evidence for an appeal, class reports and statements to files."
VERBS: dict[str, Callable[..., Any]] = {
    "grades": export_grades.command,
    "evidence": export_evidence.command,
    "class": export_class.command,
    "xapi": export_xapi.command,
}
