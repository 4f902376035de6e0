"""An instructor's own layout file: where it may lie, and that an attempt carries it whole.

Invented: a shipped unit under another title, in a folder of the test.
"""

import pytest

from trainer.base.errors import Faults, NotFoundError, TrainerError
from trainer.unit.layout import layout_names, layouts_dir, load_layout
from trainer.unit.own_layout import (
    is_layout_file,
    layout_called,
    layout_from_plain,
    layout_to_plain,
)


@pytest.fixture
def folder(tmp_path):
    """A folder of a scenario with an own layout in a folder below, and one outside."""
    text = (layouts_dir() / "larkspur-row.yaml").read_text(encoding="utf-8")
    home = tmp_path / "jobs"
    (home / "layouts").mkdir(parents=True)
    (home / "layouts" / "yard.yaml").write_text(text.replace("Larkspur", "Yard"), encoding="utf-8")
    (tmp_path / "outside.yaml").write_text(text, encoding="utf-8")
    return home


def test_a_file_below_the_scenario_is_read(folder):
    mine = layout_called("layouts/yard.yaml", folder)
    assert mine.title.startswith("Yard")
    assert mine.digest != load_layout("larkspur-row").digest


def test_a_bare_name_is_one_that_ships(folder):
    assert layout_called("larkspur-row", folder) == load_layout("larkspur-row")
    with pytest.raises(NotFoundError, match="no layout 'larkspur-rov'") as told:
        layout_called("larkspur-rov", folder)
    assert told.value.hint == "larkspur-row"


@pytest.mark.parametrize(
    "name",
    [
        "../outside.yaml", "layouts/../../outside.yaml", "./layouts/yard.yaml", "/etc/passwd.yaml",
        "C:/yard.yaml", "layouts\\yard.yaml", "layouts//yard.yaml", "~/yard.yaml", "layouts/yard",
        "layouts/.hidden.yaml", "layouts/yard.yaml\n", "a/" * 100 + "b.yaml",
    ],
)  # fmt: skip
def test_no_trick_with_a_path(folder, name):
    with pytest.raises(TrainerError, match="is no path inside the scenario's folder") as told:
        layout_called(name, folder)
    assert "layouts/yard.yaml" in told.value.hint


def test_no_link_leads_out(folder):
    (folder / "file.yaml").symlink_to(folder.parent / "outside.yaml")
    (folder / "up").symlink_to(folder.parent)
    (folder / "round.yaml").symlink_to(folder / "round.yaml")
    for name in ("file.yaml", "up/outside.yaml"):
        with pytest.raises(TrainerError, match="is a link out of the scenario's folder"):
            layout_called(name, folder)
    with pytest.raises(TrainerError, match=r"round\.yaml"):
        layout_called("round.yaml", folder)


def test_a_link_that_stays_inside_and_a_folder_reached_by_a_link_are_ordinary(folder):
    (folder / "same.yaml").symlink_to(folder / "layouts" / "yard.yaml")
    (folder.parent / "way").symlink_to(folder)
    wanted = layout_called("layouts/yard.yaml", folder)
    assert layout_called("same.yaml", folder) == wanted
    assert layout_called("layouts/yard.yaml", folder.parent / "way") == wanted


def test_what_is_not_there_or_not_right_is_told(folder):
    with pytest.raises(NotFoundError, match=r"no layout file 'layouts/yord\.yaml' beside"):
        layout_called("layouts/yord.yaml", folder)
    with pytest.raises(TrainerError, match="no folder"):
        layout_called("layouts/yard.yaml", None)
    (folder / "bad.yaml").write_text("layout: 1\ntitle: A yard\n", encoding="utf-8")
    with pytest.raises(Faults, match=r"bad.yaml"):
        layout_called("bad.yaml", folder)


@pytest.mark.parametrize("name", layout_names())
def test_carried_and_read_again_it_is_the_same(name):
    layout = load_layout(name)
    assert layout_from_plain(layout_to_plain(layout), layout.digest) == layout


def test_a_layout_changed_in_an_attempt_is_refused():
    layout = load_layout("larkspur-row")
    plain = layout_to_plain(layout)
    with pytest.raises(TrainerError, match="not the one it was begun with"):
        layout_from_plain({**plain, "title": "Another"}, layout.digest)
    with pytest.raises(TrainerError, match="not the one it was begun with"):
        layout_from_plain({**plain, "wires": 7}, layout.digest)


def test_a_file_says_what_it_is(folder):
    assert is_layout_file(folder / "layouts" / "yard.yaml")
    job = folder / "job.yaml"
    job.write_text("scenario: 1\nlayout: layouts/yard.yaml\n", encoding="utf-8")
    assert not is_layout_file(job) and not is_layout_file(folder)
    assert not is_layout_file(folder / "none.yaml")
