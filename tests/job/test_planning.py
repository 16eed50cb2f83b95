"""Pieces laid by hand, from the plan on the screen to the proven file."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tests.job.apronfolder import A4, QUICK, searched, write_apron
from tests.layout.byhand import check_pages
from tiler.drafting.paper import for_paper
from tiler.job import Packing, Surface, publish, read
from tiler.job.bundling import Giving
from tiler.job.editing import ConflictError, undo, version_of
from tiler.job.giving import give
from tiler.job.laidbyhand import for_another, kept_for
from tiler.job.planning import (
    fitted_for,
    forget_places,
    keep_places,
    look_over,
    moved,
    plan_and_tell,
    plan_pages,
)
from tiler.job.showing import prove_file
from tiler.layout.plan import Plan
from tiler.pattern.errors import PaperError, PatternError
from tiler.pattern.model import Severity

PIECE = "Tab"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A pattern folder, to be changed."""
    return write_apron(tmp_path / "apron")


def laid(folder: Path) -> Plan:
    """Its pages after a piece was moved off those of the others."""
    return moved(searched(), read(folder), PIECE, 3000, 12.345, 30.0005)


def keep(folder: Path, plan: Plan | None = None) -> Plan:
    """Keep that, or another plan; the plan."""
    plan = plan or laid(folder)
    keep_places(folder, plan, A4, QUICK, version_of(folder))
    return plan


def codes(folder: Path, surface: Surface = A4, packing: Packing = QUICK) -> list[str]:
    return [each.code for each in plan_and_tell(read(folder), surface, packing).findings]


class TestPublishing:
    """What is kept is what is printed."""

    def test_it_is_proven_as_it_was_shown_and_the_same_to_the_byte(self, folder: Path) -> None:
        shown = keep(folder)
        pattern = read(folder)
        (first,) = publish(pattern, [A4], folder / "one", packing=QUICK, map_as="svg")
        (again,) = publish(read(folder), [A4], folder / "two", packing=QUICK)
        assert first.by_hand
        assert first.plan == shown
        assert first.verdict.proven
        assert prove_file(first.file).proven
        assert first.pages == len(shown.cells)
        assert again.file.read_bytes() == first.file.read_bytes()
        check_pages(first.plan, for_paper(pattern))
        assert first.map
        picture = first.map.read_text()
        assert all(f">{cell.name}</text>" in picture for cell in shown.cells)

    def test_it_is_laid_anew_when_that_is_asked(self, folder: Path) -> None:
        keep(folder)
        found = plan_and_tell(read(folder), A4, QUICK, lay_anew=True)
        assert not found.by_hand
        assert found.findings == ()
        assert found.plan.code == searched().code

    def test_a_bundle_has_the_same_sheets(self, folder: Path) -> None:
        shown = keep(folder)
        given = give(read(folder), [A4], folder / "apron.zip", Giving(packing=QUICK))
        (sheet,) = given.sheets
        assert sheet.by_hand
        assert sheet.plan == shown
        assert sheet.verdict.proven

    def test_what_is_kept_can_be_undone_and_taken_away(self, folder: Path) -> None:
        text = (folder / "pattern.toml").read_text()
        keep(folder)
        undo(folder, version_of(folder))
        assert (folder / "pattern.toml").read_text() == text
        keep(folder)
        forget_places(folder, A4, version_of(folder))
        assert (folder / "pattern.toml").read_text() == text


class TestRefused:
    """What cannot be printed is not kept, and nothing is written then."""

    def refused(self, folder: Path, plan: Plan, surface: Surface, packing: Packing = QUICK) -> str:
        before = (folder / "pattern.toml").read_bytes()
        with pytest.raises((PatternError, PaperError)) as told:
            keep_places(folder, plan, surface, packing, version_of(folder))
        assert (folder / "pattern.toml").read_bytes() == before
        return str(told.value)

    def test_pieces_that_lie_over_one_another_are_named(self, folder: Path) -> None:
        pattern = read(folder)
        middle = {
            each.piece.name: each.at(each.piece.bounds.centre) for each in searched().placements
        }
        to, here = middle["Front"], middle["Back"]
        over = moved(searched(), pattern, "Back", to.x - here.x, to.y - here.y)
        (found,) = [each for each in look_over(over, pattern) if each.code == "placed-over"]
        assert found.severity is Severity.ERROR
        assert "Front over Back" in self.refused(folder, over, A4)

    def test_a_plan_of_other_pages_is_refused(self, folder: Path) -> None:
        for surface in (Surface("letter"), replace(A4, margin=8.0), replace(A4, overlap=14.0)):
            assert "for another paper" in self.refused(folder, laid(folder), surface)

    def test_what_the_packing_forbids_is_refused(self, folder: Path) -> None:
        told = self.refused(folder, laid(folder), A4, replace(QUICK, turn=False))
        assert told.startswith("The places turn")
        assert PIECE in told

    def test_a_small_piece_over_a_joint_is_refused_when_such_are_to_stay_whole(
        self, folder: Path
    ) -> None:
        whole = replace(QUICK, small_whole=True)
        across = searched().grid.setup.pitch[0]
        pattern = read(folder)
        aside = moved(searched(), pattern, PIECE, 3000, 0)
        # Half a page further it lies over a joint, or it does so now.
        plans = [aside, moved(aside, pattern, PIECE, across / 2, 0)]
        told = self.refused(folder, max(plans, key=lambda plan: len(plan.cells)), A4, whole)
        assert f"{PIECE} over a joint" in told

    def test_a_plan_of_an_older_version_whose_places_were_changed_is_refused(
        self, folder: Path
    ) -> None:
        old, plan = version_of(folder), laid(folder)
        keep(folder, moved(plan, read(folder), "Back", -2000, 0))
        with pytest.raises(ConflictError):
            keep_places(folder, plan, A4, QUICK, old)


class TestChanged:
    """Places go on to be used when something else has changed; what differs is told."""

    def change(self, folder: Path, old: str, new: str) -> None:
        file = folder / "pattern.toml"
        text = file.read_text()
        assert old in text
        file.write_text(text.replace(old, new, 1))

    def test_a_drawing_that_grows_is_printed_where_it_was(self, folder: Path) -> None:
        keep(folder)
        self.change(folder, 'allowance = "10 mm"', 'allowance = "11 mm"')
        (done,) = publish(read(folder), [A4], folder / "sheets", packing=QUICK)
        assert done.by_hand
        assert "placed-close" in [each.code for each in done.findings]
        assert {each.severity for each in done.findings} == {Severity.NOTE}
        assert done.verdict.proven
        check_pages(done.plan, for_paper(read(folder)))

    def test_a_piece_that_has_grown_over_another_is_laid_beside_and_both_are_named(
        self, folder: Path
    ) -> None:
        keep(folder)
        self.change(folder, 'allowance = "10 mm"', 'allowance = "20 mm"')
        (done,) = publish(read(folder), [A4], folder / "sheets", packing=QUICK)
        (told,) = done.findings
        assert (told.code, told.severity, told.where) == (
            "placed-over",
            Severity.WARNING,
            "piece Back",
        )
        assert "lie over Front" in told.text
        assert done.verdict.proven
        check_pages(done.plan, for_paper(read(folder)))

    def test_a_piece_without_a_place_is_laid_beside_with_a_warning(self, folder: Path) -> None:
        keep(folder)
        text = (folder / "pattern.toml").read_text()
        line = next(each for each in text.splitlines() if f'piece = "{PIECE}"' in each)
        self.change(folder, f"{line}\n", "")
        found = plan_and_tell(read(folder), A4, QUICK)
        assert [(each.code, each.severity, each.where) for each in found.findings] == [
            ("placed-new", Severity.WARNING, f"piece {PIECE}")
        ]
        check_pages(found.plan, for_paper(read(folder)))

    def test_a_place_without_a_piece_is_told(self, folder: Path) -> None:
        keep(folder)
        self.change(folder, f'piece = "{PIECE}"', 'piece = "Hat string"')
        assert codes(folder) == ["placed-new", "placed-gone"]

    def test_places_for_another_margin_are_told_and_not_used(self, folder: Path) -> None:
        keep(folder)
        assert codes(folder, replace(A4, margin=9.0)) == ["placed-for-another"]

    def test_places_are_for_their_paper_its_way_up_margin_overlap_and_styles(
        self, folder: Path
    ) -> None:
        setup = keep(folder).grid.setup
        kept = read(folder).placed
        assert kept_for(kept, fitted_for(A4).setups, []) == (kept[0], setup)
        other = "portrait" if setup.landscape else "landscape"
        for surface, styles in (
            (replace(A4, orientation=other), []),
            (replace(A4, margin=9.0), []),
            (replace(A4, overlap=9.0), []),
            (Surface("letter"), []),
            (A4, ["short"]),
        ):
            setups = fitted_for(surface).setups
            assert kept_for(kept, setups, styles) is None
            assert bool(for_another(kept, setups)) == (surface.paper == "a4")

    def test_places_of_a_style_are_for_that_style(self, folder: Path) -> None:
        pattern = read(folder)
        plan = moved(plan_pages(pattern, A4, QUICK, None, ["short"]), pattern, PIECE, 3000, 0)
        keep_places(folder, plan, A4, QUICK, version_of(folder), ["short"])
        found = plan_and_tell(read(folder), A4, QUICK, styles=["short"])
        assert found.by_hand
        assert found.plan == plan

    def test_places_that_turn_a_piece_are_not_used_when_none_may_turn(self, folder: Path) -> None:
        keep(folder)
        way = "landscape" if searched().grid.setup.landscape else "portrait"
        packing = replace(QUICK, turn=False)
        assert codes(folder, replace(A4, orientation=way), packing) == ["placed-not-used"]

    def test_places_for_large_paper_are_told_and_not_used(self, folder: Path) -> None:
        keep(folder)
        self.change(folder, 'on = "a4"', 'on = "a1"')
        found = plan_and_tell(read(folder), Surface("a1"), QUICK)
        assert [each.code for each in found.findings] == ["placed-on-large"]
        assert not found.by_hand

    def test_a_paper_that_there_is_not_is_refused_with_its_line(self, folder: Path) -> None:
        keep(folder)
        self.change(folder, 'on = "a4"', 'on = "a44"')
        with pytest.raises(PaperError, match=r"line \d+, placed 1.*no paper called 'a44'"):
            plan_pages(read(folder), A4, QUICK)
