"""Each app leans only on those below it: imports are held by import-linter, relations of the database here."""

import tomllib
from pathlib import Path

import pytest
from django.apps import apps

ROOT = Path(__file__).resolve().parents[2]
CONTRACTS = tomllib.loads((ROOT / "pyproject.toml").read_text())["tool"]["importlinter"]["contracts"]
LAYERS = [
    {name.strip() for name in layer.split("|")}
    for contract in CONTRACTS
    if contract["type"] == "layers"
    for layer in contract["layers"]
]
HEIGHT = {name: -place for place, names in enumerate(LAYERS) for name in names}
OUR_MODELS = [model for model in apps.get_models() if model.__module__.startswith("restoration.")]


def app_of(model: type) -> str:
    return model.__module__.split(".")[1]


@pytest.mark.parametrize("model", OUR_MODELS, ids=lambda model: model._meta.label)
def test_relations_point_down(model):
    related = [field.related_model for field in model._meta.get_fields() if field.concrete and field.is_relation]
    for other in related:
        if other in OUR_MODELS:
            assert HEIGHT[app_of(other)] <= HEIGHT[app_of(model)], (
                f"{model._meta.label} points up, to {other._meta.label}"
            )


def test_every_folder_of_the_house_is_named_in_the_layers():
    folders = {place.parent.name for place in (ROOT / "restoration").glob("*/__init__.py")}
    assert folders - HEIGHT.keys() == set()
    assert (HEIGHT.keys() - {"urls", "wsgi"}) - folders == set(), "a room that is named and not there"


def test_every_app_that_is_installed_stands_in_the_layers():
    ours = {config.name.split(".")[1] for config in apps.get_app_configs() if config.name.startswith("restoration.")}
    assert ours <= HEIGHT.keys()
    assert len(OUR_MODELS) > 20


def test_arithmetic_lies_at_the_bottom_and_has_no_tables():
    assert min(HEIGHT, key=lambda name: HEIGHT[name]) == "engineering"
    assert not [model for model in OUR_MODELS if app_of(model) == "engineering"]
