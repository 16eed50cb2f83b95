"""Line numbers of keys in a TOML file."""

import pytest

from tiler.intake.tomlplaces import TomlPlaces

TEXT = '''title = "Apron"
about = """
hem = "not a key"
"""
allowance = "10 mm"

[cloth]  # what to buy
main = "Linen"

[[piece]]
name = "Body"
hem = "B"
"fold" = "A"

[[piece]]
name = "Strap"
cut.count = 2

[piece.names]
A = "long edge"
'''


@pytest.fixture
def places() -> TomlPlaces:
    return TomlPlaces.of("pattern.toml", TEXT)


@pytest.mark.parametrize(
    ("table", "key", "nth", "line"),
    [
        ("", "title", 0, 1),
        ("", "allowance", 0, 5),
        ("cloth", "main", 0, 8),
        ("cloth", "", 0, 7),
        ("piece", "", 0, 10),
        ("piece", "hem", 0, 12),
        ("piece", "fold", 0, 13),
        ("piece", "", 1, 15),
        ("piece", "name", 1, 16),
        ("piece", "cut", 1, 17),
        ("piece", "names", 1, 19),
    ],
)
def test_a_key_has_a_line(places: TomlPlaces, table: str, key: str, nth: int, line: int) -> None:
    assert places.line(table, key, nth, total=2 if table == "piece" else 1) == line


def test_a_key_that_is_not_found_has_none(places: TomlPlaces) -> None:
    assert places.line("piece", "hem", 1, total=2) is None
    assert places.line("lining", "main") is None


def test_where_the_headers_do_not_add_up_nothing_is_claimed(places: TomlPlaces) -> None:
    """A parser that found three pieces saw something that this search did not."""
    assert places.line("piece", "hem", 0, total=3) is None


def test_where_a_text_looks_like_the_key_nothing_is_claimed() -> None:
    text = 'notes = """\nhem = "C"\n"""\nhem = "B"\n'
    assert TomlPlaces.of("pattern.toml", text).line("", "hem") is None
