"""The words of a pattern file for whoever gets the pattern."""

import pytest

from tests.intake.said import HEAD, PIECE, read, refused
from tiler.pattern.handover import ClothFacts, Finished, Handover, Wearer

CLOTH = '[cloth]\nmain = "Twill"\n"fusible web" = "Light"\n'
STYLE = '[style]\nlong = "to the wrist"\nshort = ""\n'


def test_what_is_not_said_stays_open() -> None:
    assert read(HEAD + PIECE).handover == Handover()


def test_all_of_it() -> None:
    words = read(
        HEAD
        + 'address = "https://example.org/smock"\n'
        + 'licence = ["Sew as many as you like.", "Do not sell the pattern."]\n'
        + 'language = "en-GB"\nwearer = "child"\ncords = true\nsmall_parts = true\n'
        + 'notions = "Thread"\nsewing = ["Darts.", "Shoulders."]\n'
        + CLOTH
        + STYLE
        + '[finished]\n"bust girth" = "126 cm"\n'
        + '"back length" = { long = "830 mm", short = "25 in" }\n'
        + '[cutting.main]\navoid = "Jersey"\nwidth = "60 in"\nnap = false\n'
        + 'shrinkage = ["5 %", "2.5 %"]\nrepeat = "40 mm"\n'
        + '[cutting."fusible web"]\nshrinkage = "0 %"\nrepeat = ["0 mm", "1 in"]\n'
        + PIECE
    ).handover
    assert words == Handover(
        address="https://example.org/smock",
        licence=("Sew as many as you like.", "Do not sell the pattern."),
        language="en-GB",
        wearer=Wearer.CHILD,
        cords=True,
        small_parts=True,
        notions=("Thread",),
        sewing=("Darts.", "Shoulders."),
        finished=(
            Finished("bust girth", 1260.0),
            Finished("back length", 830.0, "long"),
            Finished("back length", 635.0, "short"),
        ),
        cloths=(
            ClothFacts("main", "Jersey", 1524.0, False, (0.05, 0.025), (40.0, 40.0)),
            ClothFacts("fusible web", shrinkage=(0.0, 0.0), repeat=(0.0, 25.4)),
        ),
    )
    assert words.cloth("main").width == 1524.0
    assert words.cloth("lining") == ClothFacts("lining")


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        ('address = "example.org"', "line 2, key address: the address"),
        ('address = "javascript:alert(1)"', "not one that a browser opens"),
        ('address = "https://a b.org"', "not one that a browser opens"),
        ('address = "https://user@example.org/"', "not one that a browser opens"),
        ('address = "https://exämple.org"', "letters beyond ASCII"),
        ('language = "English please"', 'Write "en"'),
        ('wearer = "dog"', 'wearer = "adult" or wearer = "child"'),
        ('cords = "yes"', "not true or false"),
        ("notions = 3", "not text"),
        ('sewing = ["Darts.", ""]', "has an empty text"),
        ('[finished]\n"bust girth" = 1260', "bust girth"),
        ('[finished]\n"bust girth" = "0 mm"', "is nothing"),
        (
            STYLE + '[finished]\n"bust girth" = { lnog = "1 m" }',
            'no style "lnog". Did you mean "long"?',
        ),
        (CLOTH + "[cutting.mian]\nnap = true", 'no cloth "mian"'),
        (CLOTH + '[cutting]\nmain = "150 cm"', "[cutting.main]"),
        (CLOTH + '[cutting.main]\nwdith = "150 cm"', 'Did you mean "width"?'),
        (CLOTH + '[cutting.main]\nshrinkage = "60 %"', "from 0 % to 40 %"),
        (CLOTH + "[cutting.main]\nshrinkage = 5", "not a percentage"),
        (CLOTH + '[cutting.main]\nshrinkage = ["5 %", "5 %", "5 %"]', "has 3 values"),
        (CLOTH + '[cutting.main]\nrepeat = "40"', "repeat"),
        (CLOTH + '[cutting.main]\nrepeat = ["-1 mm", "40 mm"]', "less than nothing"),
    ],
)
def test_what_cannot_be_is_refused_with_its_place(lines: str, told: str) -> None:
    message = refused(HEAD + lines + "\n" + PIECE)
    assert told in message
    assert message.startswith("pattern.toml")


def test_the_line_under_a_header_of_its_own_is_named() -> None:
    message = refused(HEAD + CLOTH + "[cutting.main]\nnap = 1\n" + PIECE)
    assert message.startswith("pattern.toml line 6, table [cutting.main], key nap: ")
