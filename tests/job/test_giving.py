"""A bundle: all that a friend needs, the same bytes every time, and nothing private if asked."""

from __future__ import annotations

import datetime
import hashlib
import os
import re
import socket
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest

import tiler.layout.cloth.lay as engine
from tests.job.seedpouch import DRAWING, FLAP, TELLING, seed_pouch
from tiler import job
from tiler.job.bundling import Giving
from tiler.job.giving import Given, bundle_name, give, licence_from, spoilt
from tiler.job.opening import open_published
from tiler.pattern.errors import BlocksheetError, FileError
from tiler.pattern.model import Severity
from tiler.proof import prove

QUICK = job.Packing("quick")
A4 = [job.Surface("a4")]
#: What every bundle holds; each has to be there as a new user would look for it.
ALWAYS = {
    "READ-ME-FIRST.txt",
    "LICENCE.txt",
    "SHA256SUMS",
    "sheets/seed-pouch-a4.pdf",
    "notes/notes.pdf",
    "notes/notes.html",
    "notes/notes.md",
    "lay-plans/main-90cm.pdf",
    "lay-plans/main-90cm.svg",
}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return seed_pouch(tmp_path_factory.mktemp("plots") / "pouch")


@pytest.fixture(scope="module")
def given(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Given:
    target = tmp_path_factory.mktemp("given") / "pouch.zip"
    return give(job.read(folder), A4, target, Giving(packing=QUICK))


@pytest.fixture(scope="module")
def unpacked(given: Given, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """As a new user would: with the program that is there."""
    home = tmp_path_factory.mktemp("unpacked")
    subprocess.run(["unzip", "-q", str(given.file), "-d", str(home)], check=True)
    return home


def names_in(folder: Path) -> set[str]:
    return {p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file()}


def test_it_holds_all_that_a_friend_needs_and_nothing_else(unpacked: Path, given: Given) -> None:
    names = names_in(unpacked)
    rest = names - ALWAYS - {"pattern/pattern.toml", f"pattern/{DRAWING}"}
    assert names >= ALWAYS
    assert all(re.fullmatch(r"notes/pictures/[a-z0-9-]+\.svg", name) for name in rest)
    assert set(given.names) == names
    assert all(name.isascii() for name in names)


def test_the_checksums_hold(unpacked: Path) -> None:
    """sha256sum of GNU coreutils."""
    done = subprocess.run(
        ["sha256sum", "--strict", "-c", "SHA256SUMS"], cwd=unpacked, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert done.stdout.count(": OK\n") == len(names_in(unpacked)) - 1


def test_the_sheets_prove_and_the_pattern_is_the_one_given(unpacked: Path, folder: Path) -> None:
    assert prove(unpacked / "sheets/seed-pouch-a4.pdf").proven
    for file in folder.iterdir():
        assert (unpacked / "pattern" / file.name).read_bytes() == file.read_bytes()


def test_every_file_that_the_texts_name_is_there(unpacked: Path) -> None:
    first = (unpacked / "READ-ME-FIRST.txt").read_text("utf-8-sig")
    named = set(re.findall(r"\b[a-zA-Z-]+/[\w.-]+\.(?:pdf|html)\b", first))
    assert {"sheets/seed-pouch-a4.pdf", "notes/notes.pdf", "lay-plans/main-90cm.pdf"} == named
    notes = (unpacked / "notes/notes.md").read_text("utf-8")
    shown = re.findall(r"\]\(([^):]+\.svg)\)", notes)
    assert shown
    assert all((unpacked / "notes" / name).is_file() for name in shown)
    assert "seed-pouch-a4.pdf" in notes
    licence = (unpacked / "LICENCE.txt").read_text()
    assert "Do not sell the pattern." in licence


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_a_friend_opens_it_and_publishes_on_other_paper(
    given: Given, tmp_path: Path, paper: str
) -> None:
    opened = open_published(given.file, tmp_path / "mine")
    surfaces = [job.Surface(paper)]
    again = job.publish(job.read(opened.pattern), surfaces, tmp_path / "sheets", packing=QUICK)
    assert again[0].verdict.proven
    assert prove(again[0].file).proven
    if paper == "a4":
        with zipfile.ZipFile(given.file) as bundle:
            assert again[0].file.read_bytes() == bundle.read("sheets/seed-pouch-a4.pdf")


def given_by_command(home: Path, *words: str, **environment: str) -> bytes:
    """The bundle of a pouch that lies in a home of somebody's own."""
    (home / "tmp").mkdir(parents=True)
    folder = seed_pouch(home / "pouch")
    name = home.name
    done = subprocess.run(
        [sys.executable, "-m", "tiler", "give", str(folder), "--effort", "quick", *words],
        capture_output=True,
        text=True,
        cwd=home,
        env={
            **os.environ,
            "PYTHONPATH": str(Path.cwd()),
            "HOME": str(home),
            "TMPDIR": str(home / "tmp"),
            **dict.fromkeys(("USER", "LOGNAME", "USERNAME"), name),
            **environment,
        },
    )
    assert done.returncode == 0, done.stderr
    assert not list((home / "tmp").iterdir())
    return (home / "seed-pouch.zip").read_bytes()


def test_the_same_pattern_gives_the_same_bytes_for_everybody(given: Given, tmp_path: Path) -> None:
    """Another folder, user, home, time, time zone, language of the system and seed of hashes."""
    other = given_by_command(
        tmp_path / "verbena",
        *("--on", "a4"),
        TZ="Pacific/Auckland",
        LC_ALL="C.UTF-8",
        PYTHONHASHSEED="77",
    )
    assert hashlib.sha256(other).hexdigest() == hashlib.sha256(given.file.read_bytes()).hexdigest()


@pytest.fixture(scope="module")
def private(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A private bundle, in the home of a user with a name that no text holds by chance."""
    home = tmp_path_factory.mktemp("homes") / "quillon77"
    given_by_command(home, "--private", "--on", "a4", "--on", "roll:914mm")
    return home / "seed-pouch.zip"


def unpacked_pdf(content: bytes, folder: Path) -> bytes:
    """All objects and streams unpacked (qpdf)."""
    file = folder / "one.pdf"
    file.write_bytes(content)
    unpack = ["qpdf", "--qdf", "--object-streams=disable", "--decode-level=all", str(file), "-"]
    return subprocess.run(unpack, capture_output=True, check=True).stdout


def told_by_pdf(content: bytes, folder: Path) -> bytes:
    """All objects as JSON, without the streams (qpdf)."""
    file = folder / "one.pdf"
    file.write_bytes(content)
    facts = ["qpdf", "--json", "--json-stream-data=none", str(file)]
    told = subprocess.run(facts, capture_output=True, check=True).stdout
    # qpdf tells where it has found the file.
    return told.replace(str(file).encode(), b"")


def printed(content: bytes) -> str:
    """All words on the pages (pdfium)."""
    document = pypdfium2.PdfDocument(content)
    return "\n".join(page.get_textpage().get_text_bounded() for page in document)


def searched(bundle: Path, folder: Path) -> Iterator[tuple[str, bytes]]:
    """Names and contents, each as plain as it gets."""
    yield "the ZIP file", bundle.read_bytes()
    with zipfile.ZipFile(bundle) as archive:
        for name in archive.namelist():
            content = archive.read(name)
            yield name, name.encode() + content
            if name.endswith(".pdf"):
                yield f"{name}, unpacked", unpacked_pdf(content, folder)
                yield f"{name}, told", told_by_pdf(content, folder)
                yield f"{name}, printed", printed(content).encode()


def ways_to_write(word: str) -> Iterator[bytes]:
    """As PDF, ZIP, XML and plain texts hold words."""
    for each in (word, word.lower(), word.upper()):
        for encoding in ("utf-8", "utf-16-be", "utf-16-le"):
            yield each.encode(encoding)
            yield each.encode(encoding).hex().encode()
            yield each.encode(encoding).hex().upper().encode()


def test_a_private_bundle_tells_nothing_of_whose_it_is(private: Path, tmp_path: Path) -> None:
    home = private.parent
    words = [*TELLING, home.name, str(home), "/tmp"]
    found = [
        (name, word)
        for name, content in searched(private, tmp_path)
        for word in words
        if any(way in content for way in ways_to_write(word))
    ]
    assert found == []
    # The name of the machine may be so short that it is in any font by chance.
    host = re.compile(rb"\b%s\b" % re.escape(socket.gethostname().encode()))
    texts = (".txt", ".md", ".html", ".svg", ", printed", "SUMS", ", told")
    assert not [
        name
        for name, content in searched(private, tmp_path)
        if name.endswith(texts) and host.search(content)
    ]


def test_the_search_finds_what_an_ordinary_bundle_tells(given: Given, tmp_path: Path) -> None:
    """So that the test above would see it."""
    places = {
        name
        for name, content in searched(given.file, tmp_path)
        if any(way in content for way in ways_to_write("Thistlewick"))
    }
    assert places >= {
        "READ-ME-FIRST.txt",
        "sheets/seed-pouch-a4.pdf, unpacked",
        "sheets/seed-pouch-a4.pdf, printed",
        "notes/notes.html",
        "notes/notes.md",
        "notes/notes.pdf, printed",
        "pattern/pattern.toml",
    }


def test_a_private_bundle_tells_no_time(private: Path, tmp_path: Path) -> None:
    year = str(datetime.date.today().year).encode()
    dates = (b"/CreationDate", b"/ModDate", b"(D:20", b"xmp:CreateDate", b"xmp:ModifyDate")
    with zipfile.ZipFile(private) as archive:
        assert {entry.date_time[0] for entry in archive.infolist()} == {1980}
        for name in archive.namelist():
            content = archive.read(name)
            if name.endswith(".pdf"):
                facts = unpacked_pdf(content, tmp_path)
                assert not any(date in facts for date in dates)
                info = re.search(rb"<x:xmpmeta.*?</x:xmpmeta>", facts, re.DOTALL)
                assert info is None or year not in info[0]
                assert year not in printed(content).encode()
            else:
                # Not as digits of a longer number, such as a coordinate.
                assert not re.search(rb"(?<![\d.a-f])%s(?![\da-f])" % year, content), name


def test_a_private_bundle_has_no_pattern_in_it_and_proves_against_the_makers(
    private: Path, folder: Path, tmp_path: Path
) -> None:
    with zipfile.ZipFile(private) as archive:
        assert not [name for name in archive.namelist() if name.startswith("pattern/")]
        sheets = [name for name in archive.namelist() if name.startswith("sheets/")]
        assert len(sheets) == 2
        for name in sheets:
            archive.extract(name, tmp_path)
            listed = subprocess.run(
                ["qpdf", "--list-attachments", str(tmp_path / name)], capture_output=True, text=True
            )
            assert listed.stdout.split()[0] == "blocksheet.json"
            assert len(listed.stdout.splitlines()) == 1
            assert prove(tmp_path / name, job.read(folder), on_paper=False).proven
            with pytest.raises(FileError, match="whoever made it has kept that"):
                open_published(tmp_path / name, tmp_path / "taken")
    with pytest.raises(FileError, match="whoever made it has kept that"):
        open_published(private, tmp_path / "taken")
    assert not (tmp_path / "taken").exists()


def refused(pattern_folder: Path, target: Path, giving: Giving, *papers: str) -> str:
    before = target.read_bytes() if target.is_file() else None
    surfaces = [job.Surface(paper) for paper in papers or ("a4",)]
    with pytest.raises(BlocksheetError) as caught:
        give(job.read(pattern_folder), surfaces, target, giving)
    assert (target.read_bytes() if target.is_file() else None) == before
    return str(caught.value)


def test_what_is_in_the_way_is_left(folder: Path, given: Given, tmp_path: Path) -> None:
    target = tmp_path / "pouch.zip"
    target.write_bytes(b"PK\5\6 my holiday pictures")
    assert "is no bundle" in refused(folder, target, Giving())
    other = seed_pouch(tmp_path / "other", Seed__pouch="Bean pouch")
    target.write_bytes(given.file.read_bytes())
    assert "another pattern, 'Seed pouch'" in refused(other, target, Giving())


def test_a_bundle_of_the_same_pattern_is_replaced(folder: Path, given: Given) -> None:
    before = given.file.read_bytes()
    again = give(job.read(folder), A4, given.file, Giving(language="de", packing=QUICK))
    assert again.file.read_bytes() != before
    with zipfile.ZipFile(given.file) as archive:
        assert "AUSPACKEN" in archive.read("READ-ME-FIRST.txt").decode("utf-8-sig")
    given.file.write_bytes(before)


def test_what_cannot_be_given_is_refused_before_any_work(folder: Path, tmp_path: Path) -> None:
    target = tmp_path / "pouch.zip"
    assert "Use one of de, en, uk" in refused(folder, target, Giving(language="xx"))
    assert "a projector of your own" in refused(folder, target, Giving(), "mat:bench")
    named = seed_pouch(tmp_path / "named", Hem__the__flap="As Quillon Thistlewick does it")
    assert "the order of sewing says who" in refused(named, target, Giving(private=True))
    odd = seed_pouch(tmp_path / "odd", **{DRAWING: "aux.svg"})
    (odd / DRAWING).rename(odd / "aux.svg")
    assert "name of a device" in refused(odd, target, Giving())
    assert "name of a device" in refused(folder, tmp_path / "Con.zip", Giving())
    unfolded = seed_pouch(tmp_path / "unfolded", **{'lay__=__"copies"': 'lay = "fold"'})
    assert "no edge of it is on the fold" in refused(unfolded, target, Giving())
    over = seed_pouch(tmp_path / "over", **{'lay__=__"copies"': 'lay = "fold"'})
    with (over / "pattern.toml").open("a") as words:
        words.write('fold = "A"\n')
    drawing = FLAP.replace("M10 10 H110 V130 H10 Z", "M50 200 L50 50 L200 50 L200 250 L20 250 Z")
    (over / DRAWING).write_text(drawing)
    assert "over its fold" in refused(over, target, Giving())
    assert not target.exists()


def test_a_licence_of_ones_own_takes_the_place_of_the_patterns(
    folder: Path, tmp_path: Path
) -> None:
    text = tmp_path / "terms.txt"
    text.write_bytes("\ufeffTerms\r\n\r\nFor the allotments only.\r\n".encode())
    licence = licence_from(text)
    assert licence == ("Terms", "For the allotments only.")
    giving = Giving(licence=licence, packing=QUICK, private=True)
    done = give(job.read(folder), A4, tmp_path / "pouch.zip", giving)
    with zipfile.ZipFile(done.file) as archive:
        assert b"For the allotments only." in archive.read("LICENCE.txt")
        assert "For the allotments only." in archive.read("notes/notes.md").decode()
        assert b"Do not sell" not in b"".join(map(archive.read, archive.namelist()))
    both = give(job.read(folder), A4, tmp_path / "both.zip", replace(giving, private=False))
    assert [finding.code for finding in both.findings] == ["two-licences"]
    text.write_bytes(b"\xff\xfe")
    with pytest.raises(FileError, match="not UTF-8"):
        licence_from(text)
    text.write_bytes(b" \n\n")
    with pytest.raises(FileError, match="is empty"):
        licence_from(text)


def test_a_bundle_is_called_after_its_title_in_any_alphabet(folder: Path) -> None:
    pattern = job.read(folder)
    assert bundle_name(pattern, ()) == "seed-pouch.zip"
    odd = replace(pattern, title="Садовий халат")
    assert bundle_name(odd, ("вузький",)) == "садовий-халат-вузький.zip"
    assert bundle_name(replace(pattern, title="Con"), ()) == "con-pattern.zip"


def test_what_would_spoil_the_garment_is_known_before(folder: Path) -> None:
    pattern = job.read(folder)
    assert spoilt(pattern) == ()
    faults = spoilt(replace(pattern, cloths=()))
    assert all(fault.severity is Severity.ERROR for fault in faults)


def test_the_lay_plan_of_one_style_says_which(tmp_path: Path) -> None:
    giving = Giving(packing=QUICK, styles=("wide",), cloth_widths=(1500.0,))
    hat = give(job.read(Path("demo:hat")), A4, tmp_path / "hat.zip", giving)
    with zipfile.ZipFile(hat.file) as bundle:
        document = pypdfium2.PdfDocument(bundle.read("lay-plans/main-150cm.pdf"))
    assert "Style: wide." in document[0].get_textpage().get_text_bounded()


def test_only_cloth_that_is_drawn_is_laid(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A pouch for cloth 90 cm wide: the other common widths would take most of the time."""
    laid = []

    def lay(needs, cloth, *rest, **more):  # type: ignore[no-untyped-def]
        laid.append(cloth.width)
        return real(needs, cloth, *rest, **more)

    real = engine.lay_cloth
    monkeypatch.setattr(engine, "lay_cloth", lay)
    give(job.read(folder), A4, tmp_path / "pouch.zip", Giving(packing=QUICK))
    assert set(laid) == {900.0}
