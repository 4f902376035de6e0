"""The text of a new scenario: every key with a comment, passing ``check`` as it stands.

Knows one file, assets/new-scenario.yaml, whose content is invented; must write none.
"""

from __future__ import annotations

import json
import re

from trainer.base.places import assets_dir

TITLE_MOST = 60


def new_scenario(title: str, layout: str = "") -> str:
    """The text of a scenario with this title; parts in it are of the layout it comes with."""
    text = (assets_dir() / "new-scenario.yaml").read_text(encoding="utf-8")
    plain = json.dumps(" ".join(title.split())[:TITLE_MOST])
    text = re.sub(r"(?m)^title: .*$", lambda _: f"title: {plain}", text, count=1)
    if not layout:
        return text
    named = f"layout: {json.dumps(layout)}"
    return re.sub(r"(?m)^layout: \S+", lambda _: named, text, count=1)


def file_name(title: str) -> str:
    """The file a scenario of this title would be kept in."""
    words = re.findall(r"[a-z0-9]+", title.lower())
    return f"{'-'.join(words)[:TITLE_MOST] or 'scenario'}.yaml"
