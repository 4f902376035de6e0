"""Shipped studies with something changed, energised or not."""

from functools import cache

from trainer.starts.run import run_start
from trainer.study.load import load_study


@cache
def study(name):
    return load_study(name)


def with_parts(name, **changes):
    """A shipped study with fields of some parts replaced."""
    base = study(name)
    parts = {part: base.parts[part].model_copy(update=new) for part, new in changes.items()}
    return base.model_copy(update={"parts": {**base.parts, **parts}})


def started(which, **more):
    return run_start(which, **more)
