"""Files a command was asked to write."""

import pytest

from trainer.base.errors import TrainerError
from trainer.cli.files import writing


def test_a_file_is_written(tmp_path):
    with writing(tmp_path / "a.csv") as path:
        path.write_text("t_s\n")
    assert (tmp_path / "a.csv").read_text() == "t_s\n"


def test_a_folder_that_is_not_there(tmp_path):
    refused = pytest.raises(TrainerError, match="cannot be written: No such file")
    with refused, writing(tmp_path / "none" / "a.csv") as path:
        path.write_text("t_s\n")
