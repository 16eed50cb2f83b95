"""How much cloth to buy: widths compared, ways of laying compared, and what stops the work."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

import tiler.layout.cloth.checking as checking
import tiler.layout.cloth.lay as engine
from tests.demos import drafted_demo
from tests.sheets.layplans import row
from tiler.job.cloth import (
    WIDTHS,
    ClothWishes,
    cloths_of,
    lay_plans,
    without_cloth,
    write_lay_plans,
)
from tiler.job.laying import width_word
from tiler.layout.cloth.model import Cloth, LayPlan, Spread
from tiler.layout.packing.options import Packing
from tiler.pattern.errors import (
    ClothError,
    FileError,
    NotProvenError,
    PatternError,
    StoppedError,
    Terminated,
)
from tiler.pattern.handover import ClothFacts
from tiler.pattern.model import Finding, Pattern, Severity

QUICK = Packing("quick")


class Table:
    """Stands for the search: lays one piece after the other, and keeps what it was asked for.

    Single cloth comes out a given length shorter or longer, and the work can be interrupted.
    """

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.asked: list[tuple[Cloth, str]] = []
        self.single_is_longer = 1000.0
        self.faults: tuple[Finding, ...] = ()
        self.stop_at: int | None = None
        self.interrupt_at: int | None = None
        self.interrupt: type[BaseException] = KeyboardInterrupt
        monkeypatch.setattr(engine, "lay_cloth", self.lay)
        # Lengths and faces are made up here, so that the check of plans would not have them.
        monkeypatch.setattr(checking, "faults_of", lambda *_: self.faults)

    def lay(  # type: ignore[no-untyped-def]
        self, needs, cloth, packing, progress=None, matches=(), *, repeatable=True
    ):
        self.repeatable = repeatable
        self.asked.append((cloth, packing.effort))
        self.matches = matches
        if len(self.asked) == self.interrupt_at:
            raise self.interrupt
        if progress:
            progress(1234.0, 0.5)
        plan = row(needs, replace(cloth, spread=Spread.FOLDED))
        longer = self.single_is_longer if cloth.spread is Spread.SINGLE else 0.0
        return LayPlan(
            cloth, plan.parts, 5000.0 + longer, 0.5, stopped=len(self.asked) == self.stop_at
        )


@pytest.fixture
def table(monkeypatch: pytest.MonkeyPatch) -> Table:
    return Table(monkeypatch)


def told(pattern: Pattern, **facts: object) -> Pattern:
    """The pattern with other facts of its main cloth."""
    cloth = replace(ClothFacts("main"), **facts)  # type: ignore[arg-type]
    others = tuple(each for each in pattern.handover.cloths if each.cloth != "main")
    return replace(pattern, handover=replace(pattern.handover, cloths=(cloth, *others)))


def test_the_makers_width_is_drawn_and_all_common_ones_are_compared(table: Table) -> None:
    """The drawn one with the effort that is asked for, the others in brief."""
    (lays,) = lay_plans(told(drafted_demo("apron"), width=1450.0), packing=Packing("long"))
    assert [laid.width for laid in lays.compared] == sorted({*WIDTHS, 1450.0})
    assert [plan.cloth.width for plan in lays.plans] == [1450.0]
    assert lays.width_said
    assert "long" in {effort for cloth, effort in table.asked if cloth.width == 1450.0}
    assert {effort for cloth, effort in table.asked if cloth.width != 1450.0} == {"quick"}


def test_common_widths_are_those_of_the_trade() -> None:
    """90, 110, 140, 150 cm; 36, 44, 54, 60 in. Common practice, no source."""
    assert sorted(map(width_word, WIDTHS)) == sorted(
        ("90cm", "110cm", "140cm", "150cm", "36in", "44in", "54in", "60in")
    )


def test_widths_that_are_asked_for_are_drawn_and_no_others(table: Table) -> None:
    wishes = ClothWishes(("main",), widths=(1100.0, 900.0))
    (lays,) = lay_plans(drafted_demo("smock"), wishes, QUICK)
    assert [laid.width for laid in lays.drawn] == [900.0, 1100.0]
    assert lays.compared == lays.drawn


def test_without_any_width_the_one_is_drawn_that_takes_the_least_cloth(table: Table) -> None:
    """All take 5 m here, so it is the narrowest."""
    (lays,) = lay_plans(told(drafted_demo("apron")), packing=Packing("long"))
    assert not lays.width_said
    assert [plan.cloth.width for plan in lays.plans] == [900.0]
    assert ("long", 900.0) in {(effort, cloth.width) for cloth, effort in table.asked}


def test_widths_that_are_compared_later_stand_beside_what_was_laid(table: Table) -> None:
    """What was laid first stays as it is, and the others fill the table."""
    apron = told(drafted_demo("apron"), width=1400.0)
    (first,) = lay_plans(apron, ClothWishes(widths=(1400.0,), spread="folded"), Packing("normal"))
    (later,) = lay_plans(apron, ClothWishes(spread="folded"), QUICK)
    found = first.beside(later)
    assert [laid.width for laid in found.compared] == sorted(WIDTHS)
    assert [laid for laid in found.compared if laid.width == 1400.0] == list(first.drawn)
    assert found.drawn == first.drawn


def test_folded_and_single_are_compared(table: Table) -> None:
    """Folded is half the cutting, so that single has to save at least what shops sell by."""
    wishes = ClothWishes(widths=(1500.0,))
    for longer, best in ((1000.0, "folded"), (-40.0, "folded"), (-300.0, "single")):
        table.single_is_longer = longer
        (lays,) = lay_plans(told(drafted_demo("apron")), wishes, QUICK)
        (laid,) = lays.drawn
        assert laid.plan
        assert laid.plan.cloth.spread.value == best
        assert laid.other
        assert {laid.plan.cloth.spread, laid.other.cloth.spread} == set(Spread)


def test_only_the_way_that_may_be_shorter_is_searched_with_care(table: Table) -> None:
    """Both are tried in brief first, so that an interrupt finds both."""
    wishes = ClothWishes(widths=(1500.0,))
    for longer, ways in (
        (200.0, ["folded", "single"]),
        (3000.0, ["folded"]),
        (-3000.0, ["single"]),
    ):
        table.asked.clear()
        table.single_is_longer = longer
        (lays,) = lay_plans(told(drafted_demo("apron")), wishes, Packing("long"))
        efforts = [effort for _, effort in table.asked]
        assert efforts == ["quick", "quick", *("long" for _ in ways)]
        assert sorted(cloth.spread.value for cloth, _ in table.asked[2:]) == ways
        (laid,) = lays.drawn
        assert laid.plan
        assert laid.plan.cloth.spread.value == ways[0]


def test_an_interrupt_in_the_careful_search_still_has_both_ways(table: Table) -> None:
    """The best so far is the better of the two."""
    table.single_is_longer = -900.0
    table.stop_at = 3
    wishes = ClothWishes(widths=(1500.0,))
    (lays,) = lay_plans(told(drafted_demo("apron")), wishes, Packing("long"))
    (laid,) = lays.drawn
    assert laid.plan
    assert laid.plan.cloth.spread is Spread.SINGLE
    assert lays.stopped


@pytest.mark.parametrize("spread", ["folded", "single"])
def test_a_way_that_is_asked_for_is_the_only_one(table: Table, spread: str) -> None:
    (lays,) = lay_plans(drafted_demo("apron"), ClothWishes(widths=(1500.0,), spread=spread), QUICK)
    assert {cloth.spread.value for cloth, _ in table.asked} == {spread}
    assert lays.drawn[0].other is None


def test_what_the_user_says_comes_before_what_the_maker_says(table: Table) -> None:
    facts = {"width": 1400.0, "nap": True, "shrinkage": (0.05, 0.02), "repeat": (40.0, 30.0)}
    pattern = told(drafted_demo("apron"), **facts)
    lay_plans(pattern, ClothWishes(spread="single"), QUICK)
    by_maker = table.asked[0][0]
    assert by_maker == Cloth(
        "main", 1400.0, Spread.SINGLE, nap=True, shrinkage=(0.05, 0.02), repeat=(40.0, 30.0)
    )
    table.asked.clear()
    wishes = ClothWishes(
        widths=(900.0,),
        spread="folded",
        nap=False,
        shrinkage=(0.0, 0.0),
        repeat=(0.0, 0.0),
        selvedge=20.0,
        gap=5.0,
        tilt=2.0,
    )
    lay_plans(pattern, wishes, QUICK)
    assert table.asked[0][0] == Cloth("main", 900.0, selvedge=20.0, gap=5.0, tilt=2.0)


def test_seams_that_ask_for_it_match_on_checked_cloth(table: Table) -> None:
    """At the notch of the side seam, which is as far from its upper end on both pieces."""
    pattern = drafted_demo("smock")
    seams = tuple(replace(seam, match=seam.name == "side seam") for seam in pattern.seams)
    pattern = replace(pattern, seams=seams)
    wishes = ClothWishes(("main",), (1500.0,), "single", repeat=(40.0, 0.0))
    (lays,) = lay_plans(pattern, wishes, QUICK)
    assert lays.matched == ("side seam",)
    (match,) = table.matches
    assert {match.first, match.second} == {"Front", "Back"}
    pieces = {piece.name: piece for piece in pattern.pieces}
    for name, point in ((match.first, match.at), (match.second, match.to)):
        (side,) = [e for e in pieces[name].stitch[0].edges if e.name == "side seam"]
        assert min(side.path.start.to(point), side.path.end.to(point)) == pytest.approx(240, abs=1)
    lay_plans(pattern, replace(wishes, repeat=(0.0, 0.0)), QUICK)
    assert table.matches == ()
    (interfacing,) = lay_plans(pattern, replace(wishes, cloths=("interfacing",)), QUICK)
    assert interfacing.matched == ()


def test_what_nobody_has_said_is_told_as_supposed(table: Table) -> None:
    (lays,) = lay_plans(told(drafted_demo("apron")), ClothWishes(widths=(1500.0,)), QUICK)
    assert lays.assumed == ("nap", "shrinkage", "repeat", "selvedge")
    said = ClothWishes(widths=(1500.0,), nap=False, repeat=(0.0, 0.0), selvedge=10.0)
    (lays,) = lay_plans(told(drafted_demo("apron"), shrinkage=(0.0, 0.0)), said, QUICK)
    assert lays.assumed == ()


@pytest.mark.parametrize("repeatable", [True, False])
def test_plans_that_have_to_come_out_again_are_laid_so(table: Table, repeatable: bool) -> None:
    lay_plans(drafted_demo("apron"), packing=QUICK, repeatable=repeatable)
    assert table.repeatable is repeatable


def test_a_width_that_is_too_narrow_is_told_in_the_table(table: Table) -> None:
    """And refused where it was asked for."""

    def narrow(needs, cloth, *others, **said):  # type: ignore[no-untyped-def]
        if cloth.width < 1000:
            raise ClothError("Body is 720 mm wide", where="cloth main")
        return table.lay(needs, cloth, *others, **said)

    pattern = told(drafted_demo("apron"), width=1500.0)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(engine, "lay_cloth", narrow)
        (lays,) = lay_plans(pattern, packing=QUICK)
        refused = [laid for laid in lays.compared if laid.refusal]
        assert [laid.width for laid in refused] == [900.0, 36 * 25.4]
        assert all(laid.plan is None for laid in refused)
        with pytest.raises(ClothError, match="720 mm"):
            lay_plans(pattern, ClothWishes(widths=(900.0,)), QUICK)


def test_cloth_too_narrow_to_be_folded_is_laid_single(table: Table) -> None:
    def unfolded(needs, cloth, *others, **said):  # type: ignore[no-untyped-def]
        if cloth.spread is Spread.FOLDED:
            raise ClothError("Body is wider than half the cloth")
        return table.lay(needs, cloth, *others, **said)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(engine, "lay_cloth", unfolded)
        (lays,) = lay_plans(drafted_demo("apron"), ClothWishes(widths=(900.0,)), QUICK)
    assert [plan.cloth.spread for plan in lays.plans] == [Spread.SINGLE]


def test_an_interrupt_keeps_what_there_is(table: Table) -> None:
    """The plan that was being made is the best so far; no other one is begun."""
    table.stop_at = 1
    main, interfacing = lay_plans(drafted_demo("smock"), packing=QUICK)
    assert len(table.asked) == 1
    assert main.stopped
    assert len(main.plans) == 1
    assert [laid.width for laid in main.compared if laid.plan is None and not laid.refusal]
    assert interfacing.plans == ()


def test_an_interrupt_before_anything_is_one_message(table: Table) -> None:
    table.interrupt_at = 1
    with pytest.raises(StoppedError):
        lay_plans(drafted_demo("smock"), packing=QUICK)
    assert len(table.asked) == 1


def test_the_system_may_end_the_work_at_once(table: Table) -> None:
    table.interrupt_at, table.interrupt = 2, Terminated
    with pytest.raises(Terminated):
        lay_plans(drafted_demo("smock"), packing=QUICK)


def test_a_plan_that_does_not_hold_is_never_handed_over(table: Table) -> None:
    table.faults = (Finding("overlap", Severity.ERROR, "Body", "It lies on the tie."),)
    with pytest.raises(NotProvenError, match="It lies on the tie"):
        lay_plans(drafted_demo("apron"), ClothWishes(widths=(1500.0,)), QUICK)


def test_progress_tells_the_best_length_so_far(table: Table) -> None:
    heard = []
    wishes = ClothWishes(widths=(1500.0,), spread="single")
    lay_plans(drafted_demo("apron"), wishes, QUICK, lambda *told: heard.append(told))
    assert heard == [("laying main, 150cm single, 1.23 m so far", 50, 100)]


def test_every_cloth_is_laid_and_the_ones_that_are_named_alone(table: Table) -> None:
    pattern = drafted_demo("smock")
    assert list(cloths_of(pattern)) == ["main", "interfacing"]
    assert [lays.cloth for lays in lay_plans(pattern, packing=QUICK)] == ["main", "interfacing"]
    (only,) = lay_plans(pattern, ClothWishes(("interfacing",)), QUICK)
    assert only.cloth == "interfacing"


def test_what_is_cut_from_no_cloth_is_told() -> None:
    pattern = drafted_demo("apron")
    body, *others = pattern.pieces
    assert without_cloth(pattern) == ()
    unsaid = replace(pattern, pieces=(replace(body, cuts=()), *others))
    assert without_cloth(unsaid) == (body.name,)
    bare = replace(pattern, pieces=(replace(body, cuts=()),), cloths=())
    with pytest.raises(ClothError, match="nobody has said"):
        lay_plans(bare, packing=QUICK)


@pytest.mark.parametrize(
    "wishes",
    [
        ClothWishes(("velvet",)),
        ClothWishes(widths=(1500.0, 1.0)),
        ClothWishes(shrinkage=(0.9, 0.0)),
        ClothWishes(selvedge=-1.0),
        ClothWishes(gap=-1.0),
        ClothWishes(tilt=60.0),
        ClothWishes(repeat=(1.0, 0.0)),
    ],
)
def test_what_cannot_be_is_refused_before_the_long_work(table: Table, wishes: ClothWishes) -> None:
    with pytest.raises(ClothError):
        lay_plans(drafted_demo("smock"), wishes, QUICK)
    assert table.asked == []


def test_an_unknown_style_is_refused(table: Table) -> None:
    with pytest.raises(PatternError, match="style"):
        lay_plans(drafted_demo("smock"), ClothWishes(styles=("gown",)), QUICK)


def test_a_style_is_laid_alone(table: Table) -> None:
    """The short sleeve does not take the room of the long one."""
    wishes = ClothWishes(("main",), (1500.0,), styles=("short",))
    (lays,) = lay_plans(drafted_demo("smock"), wishes, QUICK)
    (whole,) = lay_plans(drafted_demo("smock"), replace(wishes, styles=()), QUICK)
    sleeve, nested = (
        next(need for need in each.needs if need.piece == "Sleeve") for each in (lays, whole)
    )
    assert sleeve.ring != nested.ring


def test_each_plan_becomes_a_file_of_its_own(table: Table, tmp_path: Path) -> None:
    """Named by pattern, style, cloth, width and how it lies."""
    wishes = ClothWishes(("main",), (1500.0, 60 * 25.4), styles=("short",))
    lays = lay_plans(drafted_demo("smock"), wishes, QUICK)
    files = write_lay_plans(lays, Path("demo:smock"), tmp_path / "out", "svg")
    assert [file.name for file in files] == [
        "gardeners-smock-short-lay-main-150cm-folded.svg",
        "gardeners-smock-short-lay-main-60in-folded.svg",
    ]
    assert all(file.read_text().startswith("<?xml") for file in files)
    assert sorted(files) == sorted((tmp_path / "out").iterdir())


def test_a_folder_that_cannot_be_written_is_told(table: Table, tmp_path: Path) -> None:
    lays = lay_plans(drafted_demo("apron"), ClothWishes(widths=(1500.0,)), QUICK)
    (tmp_path / "file").write_text("")
    with pytest.raises(FileError):
        write_lay_plans(lays, Path("demo:apron"), tmp_path / "file")


def test_a_plan_is_a_drawing_for_the_notes_too(table: Table) -> None:
    (lays,) = lay_plans(drafted_demo("apron"), ClothWishes(widths=(1500.0,)), QUICK)
    drawing = lays.picture(lays.plans[0])
    assert drawing.items
    assert drawing.bounds.left == drawing.bounds.bottom == 0


def test_widths_are_named_as_they_are_sold() -> None:
    assert width_word(1500.0) == "150cm"
    assert width_word(60 * 25.4) == "60in"
    assert width_word(1372.5) == "1372.5mm"


def test_cloths_whose_names_make_the_same_file_name_do_not_take_each_others_place(
    table: Table, tmp_path: Path
) -> None:
    pattern = drafted_demo("apron")
    names = ("Main", "main / 1", "main 1", "main")
    pieces = tuple(
        replace(piece, cuts=tuple(replace(cut, cloth=name) for cut in piece.cuts[:1]))
        for piece, name in zip(pattern.pieces, names, strict=False)
    )
    lays = lay_plans(replace(pattern, pieces=pieces), ClothWishes(widths=(1400.0,)), QUICK)
    files = write_lay_plans(lays, Path("demo:apron"), tmp_path, "svg")
    assert len({str(file).lower() for file in files}) == len(files) == len(names)
    assert all(file.exists() for file in files)
