"""Lists the studies that come with the program: name and title.

Knows where they are and their first lines; must not build or energise them.
"""

from __future__ import annotations

from pathlib import Path

from trainer.base.errors import TrainerError
from trainer.base.places import scenarios_dir
from trainer.base.yamlfile import read
from trainer.cli.envelope import Outcome


def command() -> Outcome:
    """List the studies that come with the program; each is energised by its bare name."""
    studies, warnings = listed(scenarios_dir() / "studies")
    width = max((len(study["name"]) for study in studies), default=0)
    lines = [f"{study['name']:<{width}}  {study['title']}" for study in studies]
    return Outcome({"studies": studies}, "\n".join(lines), warnings)


def listed(folder: Path) -> tuple[list[dict[str, str]], list[str]]:
    """Name and title of every study in the folder, and a warning for each unreadable file."""
    studies, warnings = [], []
    for path in sorted(folder.glob("*.yaml")):
        try:
            data = read(path).data
        except TrainerError as error:
            warnings.append(str(error))
            continue
        if "study" in data:
            studies.append({"name": path.stem, "title": str(data.get("title", ""))})
    return studies, warnings
