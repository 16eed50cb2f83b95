"""A pattern file is changed whole or not at all, nobody's work is lost, and all can be undone."""

from __future__ import annotations

import copy
import hashlib
import json
import multiprocessing
import threading
import time
import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.job.editingpouch import PATTERN, pouch
from tiler.job import editing
from tiler.job.editing import ConflictError, edit, history, opened, redo, undo, version_of
from tiler.job.editinghistory import MOST, Line, State
from tiler.job.reading import read
from tiler.output.editing.changes import (
    AddEntry,
    Change,
    EdgeAllowance,
    EdgeLies,
    EdgeNamed,
    NotchWords,
    PatternSays,
    PieceNotes,
    RemoveEntry,
    RemoveSeam,
)
from tiler.output.editing.label import Label
from tiler.output.safely import Readied
from tiler.pattern.errors import BlocksheetError, FileError, PatternError
from tiler.pattern.model import Lies


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return pouch(tmp_path / "pouch")


def text(folder: Path) -> str:
    return (folder / "pattern.toml").read_bytes().decode()


def test_a_version_is_named_by_what_is_in_the_file(folder: Path) -> None:
    """The beginning of its SHA-256, as sha256sum prints it."""
    content = (folder / "pattern.toml").read_bytes()
    assert version_of(folder) == hashlib.sha256(content).hexdigest()[:16]


def test_an_edit_changes_the_pattern_and_nothing_else(folder: Path) -> None:
    """The line that it is about; the drawing stays to the byte; the mode of the file too."""
    drawing = (folder / "pouch.svg").read_bytes()
    (folder / "pattern.toml").chmod(0o640)
    done = edit(folder, EdgeAllowance("Back", "A", "5/8 in"), version_of(folder))
    assert (done.version, done.label, done.merged) == (
        version_of(folder),
        "Back, edge A: 5/8 in",
        False,
    )
    assert text(folder) == PATTERN.replace('A = "12 mm"', 'A = "5/8 in"')
    edge = next(e for e in read(folder).pieces[1].stitch[0].edges if e.letter == "A")
    assert edge.allowance == pytest.approx(15.875)  # 5/8 of 25.4 mm
    assert (folder / "pouch.svg").read_bytes() == drawing
    assert (folder / "pattern.toml").stat().st_mode & 0o777 == 0o640


@pytest.mark.parametrize(
    "change",
    [
        EdgeAllowance("Back", "A", "15"),
        EdgeAllowance("Back", "Q", "15 mm"),
        EdgeAllowance("Nobody", "A", "15 mm"),
        AddEntry("Front", NotchWords("B", "500 mm")),
        PatternSays("title", None),
        EdgeNamed("Front", "A", "x" * 121),
        PatternSays("about", "half a letter \ud800"),
    ],
    ids=lambda change: str(change.label).encode("ascii", "replace").decode(),
)
def test_what_does_not_hold_is_refused_and_nothing_is_written(folder: Path, change: Change) -> None:
    """No unit, no such edge, past the end, no title, too long: the file stays as it was."""
    before = sorted(folder.iterdir())
    with pytest.raises((PatternError, FileError)):
        edit(folder, change, version_of(folder))
    assert text(folder) == PATTERN
    assert {path.name for path in folder.iterdir()} - {path.name for path in before} <= {".before"}
    assert history(folder).undo is None


def test_the_drawing_has_the_last_word(folder: Path) -> None:
    """A fold that is drawn cannot be taken away in the pattern file, and that is said."""
    svg = (folder / "pouch.svg").read_text("utf-8")
    fold = '<path class="fold" d="M0 120H100"/></svg>'
    (folder / "pouch.svg").write_text(svg.replace("</svg>", fold), "utf-8")
    letter = next(e.letter for e in read(folder).pieces[0].outlines[0].edges if e.lies is Lies.FOLD)
    with pytest.raises(
        PatternError, match=r"drawing itself says that the edge is fold.*pouch\.svg"
    ):
        edit(folder, EdgeLies("Front", letter, Lies.SEWN), version_of(folder))


def test_a_late_edit_is_merged_where_nothing_meets(folder: Path) -> None:
    """Both changes are in the file, and each can be undone."""
    first = version_of(folder)
    edit(folder, EdgeAllowance("Back", "A", "8 mm"), first)
    late = edit(folder, EdgeNamed("Back", "A", "side"), first)
    assert late.merged
    assert 'A = "8 mm"' in text(folder)
    assert 'names = { A = "side" }' in text(folder)
    undo(folder, late.version)
    assert text(folder) == PATTERN.replace('A = "12 mm"', 'A = "8 mm"')


def test_a_late_edit_is_refused_where_both_want_the_same_place(folder: Path) -> None:
    """With what stands there and what was wanted; the file is left alone."""
    first = version_of(folder)
    edit(folder, EdgeAllowance("Back", "A", "8 mm"), first)
    with pytest.raises(ConflictError) as caught:
        edit(folder, EdgeAllowance("Back", "A", "9 mm"), first)
    found = caught.value
    assert (found.place, found.mine, found.theirs) == ("Back, edge A", "9 mm", "8 mm")
    assert text(folder) == PATTERN.replace('A = "12 mm"', 'A = "8 mm"')


def test_an_edit_for_a_version_that_nobody_knows_is_refused(folder: Path) -> None:
    """It cannot be said whether it meets what was done in between."""
    with pytest.raises(ConflictError, match="changed since you saw it"):
        edit(folder, EdgeAllowance("Back", "A", "8 mm"), "0123456789abcdef")


def test_a_change_by_hand_is_merged_with_and_can_be_undone(folder: Path) -> None:
    """What was typed in an editor is a version like all others."""
    first = version_of(folder)
    edit(folder, EdgeAllowance("Back", "A", "8 mm"), first)
    seen = version_of(folder)
    by_hand = text(folder).replace("# A pouch", "# My pouch")
    (folder / "pattern.toml").write_bytes(by_hand.encode())
    assert history(folder).undo == "changed outside the studio"
    done = edit(folder, PatternSays("title", "Bag"), seen)
    assert done.merged
    undo(folder, done.version)
    assert text(folder) == by_hand
    undo(folder, version_of(folder))
    assert text(folder) == PATTERN.replace('A = "12 mm"', 'A = "8 mm"')
    redo(folder, version_of(folder))
    assert text(folder) == by_hand
    assert history(folder).redo == "Title: Bag"


def test_undo_keeps_what_was_typed_by_hand_in_between(folder: Path) -> None:
    """It is one redo away; and a page that has not seen it undoes nothing."""
    done = edit(folder, EdgeAllowance("Back", "A", "8 mm"), version_of(folder))
    by_hand = text(folder) + "# by hand\n"
    (folder / "pattern.toml").write_bytes(by_hand.encode())
    with pytest.raises(ConflictError):
        undo(folder, done.version)
    assert text(folder) == by_hand
    undo(folder, version_of(folder))
    edit(folder, PatternSays("title", "Bag"), version_of(folder))
    kept = [path.read_bytes() for path in (folder / ".before").glob("*.toml")]
    assert by_hand.encode() in kept


def test_there_is_an_end_to_undo_and_redo(folder: Path) -> None:
    """A file that was never changed here, and one at the end of its history."""
    for step in (undo, redo):
        with pytest.raises(FileError, match=r"nothing to (undo|redo)"):
            step(folder, version_of(folder))
    assert history(folder) == editing.History(None, None)
    edit(folder, PatternSays("title", "Bag"), version_of(folder))
    assert history(folder, "de") == editing.History("Titel: Bag", None)
    assert history(folder, "uk").undo == "Назва: Bag"


def test_history_is_bounded_and_its_files_too(folder: Path) -> None:
    """Two hundred states, whatever comes."""
    line = Line((State("0" * 16, None),))
    for number in range(MOST + 30):
        line = line.gone_on(f"{number:016x}", Label("by_hand"))
    assert (len(line.states), line.at) == (MOST, MOST - 1)
    before = editing.Before(folder)
    with editing.alone_in(before.folder):
        for number in range(70):
            before.keep(f"{number:016x}", b"old")
        before.write(Line((State(f"{3:016x}", None),)))
    left = sorted(path.name for path in before.folder.glob("*.toml"))
    assert len(left) == 51
    assert any(f"{3:016x}" in name for name in left)


@pytest.mark.parametrize("spoilt", ["", "{", "[]", '{"states": [{"version": "../../x"}]}', "null"])
def test_a_spoilt_history_costs_no_edit(folder: Path, spoilt: str) -> None:
    """It begins anew; the kept files stay."""
    edit(folder, PatternSays("title", "Bag"), version_of(folder))
    (folder / ".before" / "history.json").write_text(spoilt, "utf-8")
    assert history(folder) == editing.History(None, None)
    done = edit(folder, PatternSays("title", "Sack"), version_of(folder))
    undo(folder, done.version)
    assert 'title = "Bag"' in text(folder)


def test_kept_versions_lie_in_a_folder_and_not_behind_a_link(folder: Path, tmp_path: Path) -> None:
    """A pattern from a stranger must not make us write elsewhere."""
    (tmp_path / "elsewhere").mkdir()
    (folder / ".before").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(FileError, match="no folder of its own"):
        edit(folder, PatternSays("title", "Bag"), version_of(folder))
    assert text(folder) == PATTERN
    assert not list((tmp_path / "elsewhere").iterdir())


def test_work_that_is_cut_off_before_the_file_is_written_leaves_it_consistent(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The history is a step ahead of the file then; it is read one step back."""
    first = edit(folder, PatternSays("title", "Bag"), version_of(folder))

    def cut_off(*_: object) -> bool:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(editing, "_swapped", cut_off)
        with pytest.raises(KeyboardInterrupt):
            edit(folder, PatternSays("title", "Sack"), first.version)
    assert 'title = "Bag"' in text(folder)
    assert history(folder) == editing.History("Title: Bag", "Title: Sack")
    undo(folder, first.version)
    assert text(folder) == PATTERN


def test_what_was_read_stays_as_it_was_while_changes_are_made(folder: Path) -> None:
    """It is at hand for others meanwhile: a panel that is being made, another tab."""
    was = opened(folder)
    said = copy.deepcopy(was.said)
    version = was.version
    for change in (
        EdgeAllowance("Front", "A", "8 mm"),
        AddEntry("Back", NotchWords("B", "9 mm")),
        PieceNotes("Front", ("cut twice",)),
        RemoveSeam(0),
        PatternSays("title", "Bag"),
    ):
        version = edit(folder, change, version).version
    assert was.said == said == tomllib.loads(PATTERN)
    assert opened(folder).said == tomllib.loads(text(folder))


names = st.sampled_from(["Front", "Back"])
CHANGES: st.SearchStrategy[Change] = st.one_of(
    st.builds(EdgeAllowance, names, st.sampled_from("ABCD"), st.sampled_from(["8 mm", None])),
    st.builds(EdgeLies, names, st.sampled_from("ABCD"), st.sampled_from(Lies)),
    st.builds(EdgeNamed, names, st.sampled_from("ABCD"), st.sampled_from(["", "ä", '"q" #'])),
    st.builds(AddEntry, names, st.builds(NotchWords, st.sampled_from("ABCD"), st.just("9 mm"))),
    st.builds(RemoveEntry, st.just("Front"), st.just("notches"), st.just(0)),
    st.builds(PieceNotes, names, st.lists(st.text("ab #'", max_size=4), max_size=2).map(tuple)),
    st.builds(RemoveSeam, st.just(0)),
)


@settings(max_examples=8)
@given(st.lists(CHANGES, max_size=8), st.integers(0, 9))
def test_undone_to_the_start_the_file_is_the_one_that_was(changes: list[Change], back: int) -> None:
    """To the byte, in whatever order changes were done, refused, undone and done again."""
    import tempfile

    with tempfile.TemporaryDirectory() as home:
        folder = pouch(Path(home))
        seen = [text(folder)]
        for change in changes:
            try:
                edit(folder, change, version_of(folder))
            except BlocksheetError:
                assert text(folder) == seen[-1]
            if text(folder) != seen[-1]:
                seen.append(text(folder))
        for _ in range(min(back, len(seen) - 1)):
            undo(folder, version_of(folder))
        while history(folder).redo:
            redo(folder, version_of(folder))
        assert text(folder) == seen[-1]
        for expected in reversed(seen[:-1]):
            undo(folder, version_of(folder))
            assert text(folder) == expected
        assert text(folder) == PATTERN


def _add_notches(folder: Path, edge: str, count: int, based_on: str) -> tuple[int, int]:
    """Add notches, half of them for a version long gone; how many were done and refused."""
    done = refused = 0
    for number in range(count):
        words = NotchWords(edge, f"{5 + number * 2} mm")
        try:
            edit(folder, AddEntry("Front", words), based_on, drafting=_unlooked)
            done += 1
        except ConflictError:
            refused += 1
    return done, refused


def _unlooked(sources: object) -> object:
    """What is tried here is who writes when, not what a draft says."""
    return sources


def test_edits_at_once_lose_nothing(folder: Path) -> None:
    """Two threads and a process beside them, a hundred edits of one list for one old version."""
    first = version_of(folder)
    found: list[tuple[int, int]] = []
    threads = [
        threading.Thread(target=lambda e=edge: found.append(_add_notches(folder, e, 30, first)))  # type: ignore[misc]
        for edge in "AC"
    ]
    context = multiprocessing.get_context("fork")
    with context.Pool(1) as pool:
        beside = pool.apply_async(_add_notches, (folder, "D", 40, first))
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        found.append(beside.get())
    words = text(folder)
    assert sum(done for done, _ in found) == 100
    for edge, count in (("A", 30), ("C", 30), ("D", 40)):
        assert words.count(f'edge = "{edge}", at =') == count
    states = json.loads((folder / ".before" / "history.json").read_text("utf-8"))["states"]
    assert len(states) == 101


def test_edits_beside_somebody_who_writes_by_hand_lose_nothing(folder: Path) -> None:
    """Both read, think and write; the one by hand looks, right before, that nothing has changed."""
    first = version_of(folder)
    found: list[tuple[int, int]] = []
    own = threading.Thread(target=lambda: found.append(_add_notches(folder, "A", 20, first)))
    own.start()
    written = 0
    file = folder / "pattern.toml"
    while written < 12:
        before = file.read_bytes()
        draft = folder / "by-hand.toml"
        draft.write_bytes(before + f"# by hand {written}\n".encode())
        if file.read_bytes() == before:
            draft.replace(file)
            written += 1
        time.sleep(0.1)
    own.join()
    done, refused = found[0]
    assert done + refused == 20
    kept = "".join(path.read_text("utf-8") for path in (folder / ".before").glob("*.toml"))
    now = text(folder)
    # What is not in the file is in a kept version: nothing that anybody wrote is gone for good.
    assert all(f'edge = "A", at = "{5 + n * 2} mm"' in now + kept for n in range(done))


@pytest.mark.parametrize("looked", [False, True], ids=["before the last look", "after it"])
def test_a_file_written_by_hand_in_the_last_moment_is_not_written_over(
    folder: Path, monkeypatch: pytest.MonkeyPatch, looked: bool
) -> None:
    """Between the first look at the file and its replacement, an editor writes into it."""
    file = folder / "pattern.toml"
    late = [PATTERN + "# at the last moment\n"]
    step = "place" if looked else "wait"
    real = getattr(Readied, step)

    def by_hand(draft: Readied) -> None:
        if late and draft.target == file:
            with file.open("r+b") as old:
                old.write(late.pop().encode())
        real(draft)

    monkeypatch.setattr(Readied, step, by_hand)
    edit(folder, PatternSays("title", "Bag"), version_of(folder))
    assert text(folder) == PATTERN.replace("Seed pouch", "Bag") + "# at the last moment\n"
