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


LISTS = """title = "Apron"
joined = [
    ["Front"],
    ["Back", "Front"]
]
[[piece]]
notches = [
    # { edge = "A" },
    { edge = "B" },
  { edge = "C" },
]
marks = [{ kind = "drill" }, { kind = "button" }]
darts = [
    { edge = "A" }, { edge = "B" },
]
[[piece]]
name = "Back"
[[piece.notches]]
edge = "A"
at = "5 mm"
[[piece.notches]]
edge = "B"
[[seam]]
join = ["Front.A", "Back.B"]
[[seam]]
"""


@pytest.mark.parametrize(
    ("table", "key", "count", "nth", "lines"),
    [
        ("piece", "notches", 2, 0, [9, 10]),
        ("piece", "marks", 2, 0, [12, 12]),
        ("piece", "darts", 2, 0, [13, 13]),
        ("piece", "notches", 2, 1, [18, 21]),
        ("piece", "notches", 3, 1, [None, None, None]),
        ("piece", "marks", 1, 1, [None]),
        ("", "seam", 2, 0, [23, 25]),
        ("", "seam", 3, 0, [None, None, None]),
    ],
)
def test_tables_in_a_list(
    table: str, key: str, count: int, nth: int, lines: list[int | None]
) -> None:
    places = TomlPlaces.of("pattern.toml", LISTS)
    total = 2 if table else 1
    assert places.entries(table, key, count, nth, total) == lines


@pytest.mark.parametrize(("first", "key", "line"), [(18, "at", 20), (18, "from", 18), (9, "at", 9)])
def test_a_key_of_a_table_in_a_list(first: int, key: str, line: int) -> None:
    assert TomlPlaces.of("pattern.toml", LISTS).within(first, key) == line
