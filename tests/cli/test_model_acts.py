"""Model acts on other variants: told anew they score full, and what they do not fit is told."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.outside import only_in_ci
from tests.session.once import judged_once
from trainer.base.places import scenarios_dir
from trainer.cli.model_acts import Model, with_model_acts
from trainer.cli.resolving import other_job, played
from trainer.scenario.checking import Checked
from trainer.scenario.key import MODEL_SEED
from trainer.scenario.load import load_scenario, model_file, scenario_names
from trainer.session.acts import load_moves
from trainer.session.opening import opening

JOBS = scenarios_dir() / "jobs"


@pytest.fixture(autouse=True, scope="module")
def quickly() -> Iterator[None]:
    with judged_once():
        yield


def same_work(job: str) -> int:
    """The first other seed that asks for the same work."""
    scenario = load_scenario(job)
    return next(s for s in range(1, 200) if not other_job(scenario, job, s, MODEL_SEED))


def proved(path: Path, *seeds: int) -> Checked:
    return with_model_acts(Checked(str(path)), path, simulate=True, seeds=seeds)


def model(job: str) -> Model:
    scenario, path = load_scenario(job), JOBS / f"{job}.yaml"
    moves = model_file(scenario, path)
    assert moves is not None
    return Model(scenario, path, moves.name, load_moves(moves).acts)


def test_they_score_full_on_another_variant() -> None:
    """Charge, volts and dirt differ; the acts are the same."""
    job = "empty-three-capacitors"
    seed = same_work(job)
    found = proved(JOBS / f"{job}.yaml", seed)
    assert found.ok and not found.notes
    assert [p.what for p in found.proofs if p.ok] == [
        "the model acts score full", f"seed {seed}: the model acts score full",
    ]  # fmt: skip


@only_in_ci
@pytest.mark.parametrize("job", scenario_names())
def test_all_that_ship_score_full_on_another_variant(job: str) -> None:
    found = proved(JOBS / f"{job}.yaml", same_work(job))
    assert found.ok and len(found.proofs) == 2, found.faults


def test_only_citations_and_what_was_read_are_told_anew() -> None:
    acts = model("dual-capacitor-unit").acts
    written = played(acts, opening("dual-capacitor-unit", MODEL_SEED))
    seed = same_work("dual-capacitor-unit")
    again = played(acts, opening("dual-capacitor-unit", seed), written)
    asked = [
        [dict(e.data) for e in done.running.events if e.kind == "asked"]
        for done in (written, again)
    ]
    for was, now in zip(*asked, strict=True):
        differs = {key for key in was if was[key] != now[key]}
        assert differs <= ({"reading", "value"} if was["act"] == "record" else set())
    values = [[a["value"] for a in said if a["act"] == "record"] for said in asked]
    assert values[0] != values[1]


def test_a_verdict_that_holds_on_its_own_variant_alone_is_a_fault(tmp_path: Path) -> None:
    """The sheet made so narrow that the volts of seed 0 are in order and those of the next not."""
    for folder in ("jobs", "moves"):
        (tmp_path / folder).mkdir()
        text = (scenarios_dir() / folder / "make-it-dead.yaml").read_text(encoding="utf-8")
        narrow = text.replace("accept: [197 V, 253 V]", "accept: [237 V, 238 V]")
        (tmp_path / folder / "make-it-dead.yaml").write_text(narrow, encoding="utf-8")
    seed = same_work("make-it-dead")
    found = proved(tmp_path / "jobs" / "make-it-dead.yaml", seed)
    assert [p.ok for p in found.proofs] == [True, False]
    assert f"seed {seed}: " in found.faults[0].what and "points lost" in found.faults[0].what


def test_a_variant_with_other_work_is_told_and_no_fault() -> None:
    scenario = load_scenario("find-c-s-r-by-ohms")
    seed = next(s for s in range(1, 50) if other_job(scenario, "find-c-s-r-by-ohms", s, MODEL_SEED))
    found = proved(JOBS / "find-c-s-r-by-ohms.yaml", seed)
    assert found.ok
    assert found.notes == [f"other work than the model acts do: seed {seed} (plug first)"]
