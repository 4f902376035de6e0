"""What the card before a graded start says. Knows scenarios and rubrics; must know no shape."""

from __future__ import annotations

from typing import Any

from trainer.view.language import again, term, tr
from trainer.view.language import later as _


def card_of(name: str) -> dict[str, Any]:
    """Title, facts and the critical errors that fail the attempt. Raises TrainerError."""
    from trainer.assess.finding_rubric import rubric_for
    from trainer.assess.procedure import procedure
    from trainer.assess.showing import floored
    from trainer.scenario.load import load_scenario

    scenario = load_scenario(name)
    rubric = rubric_for(scenario, name)
    words = procedure()
    weights = ", ".join(
        f"{term('state', domain)} {float(w.weight):g}"
        + (" " + tr("(floor {n:g} %)", n=float(w.floor)) if w.floor else "")
        for domain, w in rubric.domains.items()
    )
    hints = ", ".join(rubric.hints.allowed) or tr("none")
    facts = [
        (_("Time"), f"{scenario.time / 60.0:.0f} min"),
        (_("Cut score"), tr("{n} of 100", n=floored(rubric.cut, rubric.cut))),
        (_("Weights"), weights), (_("Hints"), hints),
        (_("Attempts"), tr("as many as you like; an instructor's assignment says which counts")),
    ]  # fmt: skip
    critical = [again(words.critical[c].title) for c in rubric.critical if c in words.critical]
    return {"title": scenario.title, "facts": facts, "critical": critical}
