"""The plot of a start: its panels, and a picture for every kind of start."""

import pytest

from trainer.cli.start_plot import draw, panels
from trainer.starts.run import run_file, run_start
from trainer.study.model import Study


@pytest.mark.parametrize(
    "name, shown",
    [
        ("psc", ["line", "v_sc", "speed"]),
        ("potential-relay", ["line", "v_sc", "start_capacitor", "speed"]),
        ("leg-lost", ["line", "v_sc", "speed"]),
    ],
)
def test_panels_follow_the_record(name, shown):
    assert panels(run_file(name)) == shown


@pytest.mark.parametrize("name", ["late-disengage", "line-short", "locked-rotor", "fifty-hertz"])
def test_a_picture_is_drawn(name, tmp_path):
    path = tmp_path / "start.png"
    draw(run_file(name), path)
    assert path.stat().st_size > 20_000


def test_a_compressor_without_supply_is_drawn(tmp_path):
    parts = {"comp": {"kind": "compressor", "machine": "anchor"}}
    path = tmp_path / "start.png"
    draw(run_start(Study(study=1, title="alone", parts=parts, until="0.1 s")), path)
    assert path.exists()
