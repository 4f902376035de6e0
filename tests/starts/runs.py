"""Each shipped study energised once for all tests of this folder."""

from functools import cache

from trainer.starts.run import run_file


@cache
def report_of(study):
    return run_file(study)


@cache
def data_of(study):
    return report_of(study).as_data()
