"""Every kind of fault, put into a copy of a demo on purpose, is found; sound demos have none.

Numbers that the findings have to give follow from the edit itself or from a closed form that
stands beside it.
"""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest

from tests.demos import each_demo
from tests.drafting.checks.breaking import Edit, broken
from tiler.drafting.checks import Fault, check
from tiler.job import read
from tiler.pattern.model import Severity

ERROR, WARNING, NOTE = Severity.ERROR, Severity.WARNING, Severity.NOTE
TOML = "pattern.toml"


class Case(NamedTuple):
    """A break, and the finding that has to come of it."""

    code: str
    severity: Severity
    demo: str
    edits: tuple[Edit, ...]
    where: str
    numbers: dict[str, float] = {}  # noqa: RUF012  (a tuple's default is never changed)


def seam(*join: str) -> str:
    return f"\n[[seam]]\njoin = [{', '.join(join)}]\n"


FRONT_E = r'\{ edge = "E", at = "240 mm" \}'
CASES = [
    # The side runs from (308, 297) to (324, 861) instead of (324, 851).
    Case("seam-length", ERROR, "smock", (("front.svg", "L 324,851", "L 324,861"),),
         "side seam", {"off_mm": math.hypot(16, 554) - math.hypot(16, 564)}),
    Case("seam-length", WARNING, "smock", (("front.svg", "L 324,851", "L 324,853"),),
         "side seam", {"off_mm": math.hypot(16, 554) - math.hypot(16, 556)}),
    # The head is 15 longer than the armhole: 10 more than is declared now.
    Case("seam-ease", ERROR, "smock", ((TOML, 'ease = "15 mm"', 'ease = "5 mm"'),),
         "sleeve head", {"off_mm": 10.0, "difference_mm": 15.0}),
    Case("sleeve-head", NOTE, "smock", ((TOML, 'ease = "15 mm"', ""),),
         "sleeve head", {"ease_mm": 15.0}),
    Case("notch-off", ERROR, "smock",
         ((TOML, r'\{ edge = "E", meets = "Front.E" \}', '{ edge = "E", at = "246 mm" }'),),
         "side seam", {"move_mm": -6.0}),
    Case("notch-lone", WARNING, "smock",
         ((TOML, r'\{ edge = "E", meets = "Front.E" \}', '{ edge = "E", at = "240 mm" }'),
          (TOML, FRONT_E, '{ edge = "E", at = "240 mm" }, { edge = "E", at = "400 mm" }'),),
         "side seam", {"at_mm": 400.0}),
    Case("line-breaks", ERROR, "smock",
         (("front.svg", "C 195.195,854.72", "C 290,820"),), "side seam"),
    # Square would be y = 172; the handle is 43.784 away from the fold.
    Case("fold-angle", ERROR, "smock", (("front.svg", "C 51.784,172", "C 51.784,180"),),
         "Front, edge B", {"off_degrees": -math.degrees(math.atan2(8, 43.784))}),
    Case("fold-angle", WARNING, "smock", (("front.svg", "C 51.784,172", "C 51.784,170"),),
         "Front, edge B", {"off_degrees": math.degrees(math.atan2(2, 43.784))}),
    Case("fold-angle", NOTE, "smock", (("front.svg", "C 51.784,172", "C 51.784,140"),),
         "Front, edge B"),
    Case("fold-sewn", ERROR, "smock",
         ((TOML, r"\n\[\[seam\]\]", seam('"Front.A"', '"Front.A"') + "\n[[seam]]"),),
         "Front, edge A"),
    Case("dart-drill", ERROR, "trousers",
         (("back.svg", r'<circle class="drill"',
           '<circle class="drill" cx="206.3" cy="183.8" r="1.5"/><circle class="drill"'),), "Back"),
    Case("hem-curve", WARNING, "hat",
         ((TOML, 'names = { A = "centre fold"',
           'hem = { edge = "B", allowance = "30 mm" }\nnames = { A = "centre fold"'),),
         "Brim, edge B"),
    Case("hem-narrow", NOTE, "apron",
         ((TOML, r'edge = "D", allowance = "20 mm"', 'edge = "D", allowance = "6 mm"'),),
         "Body, edge D", {"hem_mm": 6.0}),
    # The side leans out by 20 over 230, and the hem runs on with it instead of mirroring it.
    Case("hem-side", WARNING, "apron",
         (("tool_pocket.svg", "L 236,38", "L 256,38"),
          (TOML, r'hem = \{ edge = "B", allowance = "30 mm" \}',
           'hem = { edge = "B", allowance = "30 mm", finish = "mitre" }')), "Tool pocket, edge B"),
    Case("allowance-differs", ERROR, "smock",
         ((TOML, r'allowances = \{ B = "10 mm" \}', 'allowances = { B = "10 mm", E = "10 mm" }'),),
         "side seam", {"first_mm": 10.0, "second_mm": 15.0}),
    Case("allowance-none", ERROR, "smock",
         ((TOML, r'allowances = \{ B = "10 mm" \}', 'allowances = { B = "10 mm", E = "0 mm" }'),),
         "Front, edge E"),
    Case("stitch-line-off", ERROR, "trousers",
         (("knee_patch.svg", "</g>",
           '<line class="stitch" x1="60" y1="100" x2="60" y2="160"/></g>'),),
         "Knee patch"),
    # The grainline is 400 long and leans by 30.
    Case("grain-fold", ERROR, "smock", (("front.svg", 'x1="45" y1="677"', 'x1="75" y1="677"'),),
         "Front", {"angle_degrees": math.degrees(math.atan2(30, 400))}),
    Case("grain-short", NOTE, "smock", (("front.svg", 'y1="677"', 'y1="300"'),),
         "Front", {"length_mm": 23.0}),
    Case("neck-depth", ERROR, "smock",
         ((TOML, 'part = "front"', 'part = "x"'), (TOML, 'part = "back"', 'part = "front"'),
          (TOML, 'part = "x"', 'part = "back"')),
         # The necks are 145 and 37 deep, drawn from (8, 172) to (113, 27) and (8, 62) to (113, 25).
         "Back and Front", {"back_mm": 145.0, "front_mm": 37.0}),
    Case("pair-copies", ERROR, "smock",
         ((TOML, r'count = 2, cloth = "main", lay = "pair"',
           'count = 2, cloth = "main", lay = "copies"'),), "Sleeve"),
    Case("side-unsaid", WARNING, "trousers", ((TOML, 'side = "(left|right)"\n', ""),), "Placket"),
    Case("pair-symmetric", NOTE, "trousers",
         ((TOML, r'drawing = "back_pocket.svg"\ncut = \{ count = 2, cloth = "main", lay = "copies"',
           'drawing = "back_pocket.svg"\ncut = { count = 2, cloth = "main", lay = "pair"'),),
         "Back pocket"),
    Case("piece-twice", NOTE, "smock",
         ((TOML, r"\n\[\[seam\]\]", '\n[[piece]]\nname = "Other sleeve"\ndrawing = "sleeve.svg"\n'
           'allowance = "15 mm"\ncut = { count = 2, cloth = "main", lay = "pair" }\nhem = "D"\n'
           'allowances = { D = "40 mm" }\nstyles = { long = "D", jacket = "D", short = "D" }\n'
           "\n[[seam]]"),), "Sleeve and Other sleeve"),
    Case("cloth-unused", WARNING, "smock", ((TOML, r"\[cloth\]", '[cloth]\nlining = "Lawn"'),),
         "cloth lining"),
    Case("interfacing-alone", WARNING, "smock",
         ((TOML, r'(?<=drawing = "back_facing.svg"\npart = "back"\ncut = \[\n)'
           r'    \{ count = 1, cloth = "main", lay = "fold" \},\n', ""),), "Back neck facing"),
    Case("piece-unsewn", NOTE, "smock", (), "the seams"),
    Case("edge-unsewn", NOTE, "smock",
         ((TOML, r'\[\[seam\]\]\nname = "shoulder"\njoin = \["Front.C", "Back.C"\]', ""),),
         "Front, edge C"),
    Case("edge-twice", NOTE, "smock",
         ((TOML, r"\n\[\[seam\]\]", seam('"Front.E"', '"Sleeve.C"') + "\n[[seam]]"),),
         "Front, edge E"),
    Case("seam-twice", WARNING, "smock",
         ((TOML, r"\n\[\[seam\]\]", seam('"Front.C"', '"Back.C"') + "\n[[seam]]"),), "shoulder"),
    # 1 - 1 / 1.25 = 20 % (see tests of the stretch).
    Case("stretch-missing", ERROR, "smock",
         ((TOML, 'traced_stretch = "0 %"', 'traced_stretch = "25 %"'),),
         "cloth main", {"traced_negative_ease_share": 0.2, "per_metre_mm": 200.0}),
    Case("stretch-added", WARNING, "smock", ((TOML, 'main = "0 %"', 'main = "25 %"'),),
         "cloth main", {"per_metre_mm": -200.0}),
    Case("stretch-unsaid", NOTE, "smock", ((TOML, 'traced_stretch = "0 %"\n', ""),),
         "cloth main"),
]  # fmt: skip


def named(case: Case) -> str:
    return f"{case.code}-{case.severity.value}"


@pytest.mark.parametrize("case", CASES, ids=named)
def test_a_fault_made_on_purpose_is_found(case: Case, tmp_path: Path) -> None:
    faults = check(broken(case.demo, tmp_path, *case.edits))
    found = [f for f in faults if f.code == case.code and case.where in f.where]
    assert found, [str(fault) for fault in faults]
    assert found[0].severity is case.severity
    assert found[0].text.endswith((".", "?"))
    assert found[0].remedy.endswith(".")
    for name, value in case.numbers.items():
        assert found[0].numbers[name] == pytest.approx(value, abs=0.05)


@cache
def faults_of(demo: str) -> tuple[Fault, ...]:
    """What is found on a demo as it is."""
    return tuple(check(read(Path(f"demo:{demo}"))))


@each_demo
def test_a_sound_demo_has_no_errors(demo: str) -> None:
    assert [str(fault) for fault in faults_of(demo) if fault.severity is ERROR] == []


@pytest.mark.parametrize(
    "case", [case for case in CASES if case.edits and case.severity is not NOTE], ids=named
)
def test_the_fault_is_not_found_in_the_sound_demo(case: Case) -> None:
    def key(fault: Fault) -> tuple[str, str, str]:
        return fault.code, fault.where, fault.severity

    faults = faults_of(case.demo)
    assert [f for f in faults if f.code == case.code and case.where in f.where] == []
    assert len({key(fault) for fault in faults}) == len(faults)


def test_there_are_cases_of_more_than_25_kinds() -> None:
    assert len({case.code for case in CASES}) >= 25
