"""The benchmarks are run by hand; what they measure must still be there under its name."""

from __future__ import annotations

import importlib

import pytest

from tests.benchmarks.__main__ import NAMES


@pytest.mark.parametrize("name", NAMES)
def test_a_benchmark_finds_what_it_measures(name: str) -> None:
    assert callable(importlib.import_module(f"tests.benchmarks.{name}").main)
