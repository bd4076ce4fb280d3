"""Safe minimum internal temperatures as FoodSafety.gov publishes them."""

from __future__ import annotations

import pytest

from helper.kitchen.cautions import Cautions
from helper.kitchen.foods import Foods

SOURCE = "FoodSafety.gov, Safe Minimum Internal Temperatures"

# food, °F, minutes of rest
CHART = [
    ("ground beef", 160, 0),
    ("ground pork", 160, 0),
    ("ground lamb", 160, 0),
    ("ground veal", 160, 0),
    ("ground chicken", 165, 0),
    ("ground turkey", 165, 0),
    ("meatloaf", 160, 0),
    ("sausage", 160, 0),
    ("poultry sausage", 165, 0),
    ("beef steak", 145, 3),
    ("beef roast", 145, 3),
    ("veal chop", 145, 3),
    ("lamb chop", 145, 3),
    ("lamb roast", 145, 3),
    ("pork chop", 145, 3),
    ("pork roast", 145, 3),
    ("pork leg", 145, 3),
    ("pork shoulder", 145, 3),
    ("whole chicken", 165, 0),
    ("whole turkey", 165, 0),
    ("chicken breast", 165, 0),
    ("chicken thigh", 165, 0),
    ("chicken wing", 165, 0),
    ("chicken leg", 165, 0),
    ("turkey breast", 165, 0),
    ("giblet", 165, 0),
    ("duck", 165, 0),
    ("goose", 165, 0),
    ("stuffing", 165, 0),
    ("smoked ham", 145, 3),
    ("cooked ham", 140, 0),
    ("egg", 160, 0),
    ("egg dish", 160, 0),
    ("quiche", 160, 0),
    ("salmon", 145, 0),
    ("cod", 145, 0),
    ("haddock", 145, 0),
    ("trout", 145, 0),
    ("shrimp", 145, 0),
    ("lobster", 145, 0),
    ("crab", 145, 0),
    ("scallop", 145, 0),
    ("clam", 145, 0),
    ("oyster", 145, 0),
    ("mussel", 145, 0),
    ("leftover", 165, 0),
    ("casserole", 165, 0),
    ("venison", 160, 0),
    ("rabbit", 160, 0),
]


@pytest.fixture(scope="module")
def cautions() -> Cautions:
    return Cautions(Foods())


@pytest.mark.parametrize(
    ("food", "fahrenheit", "rest"), CHART, ids=[f"{SOURCE}: {food}" for food, *_ in CHART]
)
def test_safe_minimum_temperature(
    cautions: Cautions, food: str, fahrenheit: int, rest: int
) -> None:
    heat = cautions.temperature(food)
    assert heat is not None
    assert heat.fahrenheit == fahrenheit
    assert heat.rest_minutes == rest
    assert heat.celsius == pytest.approx((fahrenheit - 32) / 1.8, abs=0.1)
