"""Tests of the store share the fixtures of the class's tests."""

from tests.classroom.conftest import blank, desk, store, store_url

__all__ = ["blank", "desk", "store", "store_url"]
