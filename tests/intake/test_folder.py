"""Patterns from folders, single drawings, and files in memory."""

import os
from pathlib import Path

import pytest

from tiler.intake import folder as folder_module
from tiler.intake.folder import read_pattern, read_sources
from tiler.pattern.errors import BlocksheetError, DrawingError, FileError, PatternError
from tiler.pattern.model import Lies, Role, Source

DEMO = Path(__file__).parents[2] / "demo_pieces"
HEAD = 'title = "Apron"\n'
BODY = '[[piece]]\nname = "Body"\ndrawing = "body.svg"\n'


def svg(inside: str) -> str:
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="300mm" '
        f'viewBox="0 0 300 300">{inside}</svg>'
    )


RECT = '<rect class="cut" x="10" y="20" width="100" height="200"/>'
GRAIN = '<line class="grain" x1="60" y1="200" x2="60" y2="40"/>'


@pytest.fixture
def apron(tmp_path: Path) -> Path:
    home = tmp_path / "apron"
    home.mkdir()
    (home / "pattern.toml").write_text(HEAD + BODY)
    (home / "body.svg").write_text(svg(RECT + GRAIN))
    return home


class TestWays:
    """One pattern, four ways in."""

    def test_a_folder(self, apron: Path) -> None:
        pattern = read_pattern(apron)
        assert pattern.title == "Apron"
        (piece,) = pattern.pieces
        assert piece.name == "Body"
        # The drawing is 300 mm high and y runs down in it: 20 + 200 from the top is 80 up.
        assert piece.outlines[0].path.bounds == pytest.approx((10, 80, 110, 280))
        assert [source.name for source in pattern.sources] == ["body.svg", "pattern.toml"]

    def test_its_pattern_file(self, apron: Path) -> None:
        assert read_pattern(apron / "pattern.toml") == read_pattern(apron)

    def test_the_same_files_in_memory_and_in_any_order(self, apron: Path) -> None:
        pattern = read_pattern(apron)
        again = read_sources([*pattern.sources[::-1], Source("other.svg", b"not read")])
        assert again == pattern
        assert again.digest == pattern.digest

    def test_a_single_drawing_names_itself(self, tmp_path: Path) -> None:
        path = tmp_path / "Hip pouch.svg"
        path.write_text(svg('<path d="M 10 10 h 100 v 80 h -100 z"/>'))
        pattern = read_pattern(path)
        assert pattern.title == "Hip pouch"
        assert pattern.pieces[0].name == "Hip pouch"
        assert pattern.pieces[0].outlines[0].role is Role.STITCH
        assert [finding.code for finding in pattern.findings] == ["outline-role-assumed"]

    def test_several_pieces_in_the_layers_of_one_drawing(self, apron: Path) -> None:
        layers = "".join(f'<g id="{name}">{RECT}</g>' for name in ("front", "back", "notes"))
        (apron / "body.svg").write_text(svg(layers))
        (apron / "pattern.toml").write_text(
            HEAD + BODY + 'layer = "front"\n' + BODY.replace("Body", "Back") + 'layer = "back"\n'
        )
        pattern = read_pattern(apron)
        assert [piece.name for piece in pattern.pieces] == ["Body", "Back"]
        assert "drawn-twice" not in [finding.code for finding in pattern.findings]
        assert "not-in-a-layer" in [finding.code for finding in pattern.findings]
        assert len(pattern.sources) == 2


class TestMissing:
    """A file that is not there is named, with what there is instead."""

    def test_no_such_folder(self, tmp_path: Path) -> None:
        with pytest.raises(FileError, match="no such file or folder"):
            read_pattern(tmp_path / "smock")

    def test_a_folder_without_a_pattern_file_lists_its_drawings(self, tmp_path: Path) -> None:
        (tmp_path / "front.svg").write_text("")
        (tmp_path / "back.SVG").write_text("")
        with pytest.raises(FileError) as told:
            read_pattern(tmp_path)
        assert "no pattern.toml; its drawings are back.SVG, front.svg" in str(told.value)
        assert "[[piece]]" in str(told.value)

    def test_an_empty_folder(self, tmp_path: Path) -> None:
        with pytest.raises(FileError, match=r"neither a pattern\.toml nor an \.svg drawing"):
            read_pattern(tmp_path)

    def test_a_file_of_another_kind(self, tmp_path: Path) -> None:
        path = tmp_path / "pattern.json"
        path.write_text("{}")
        with pytest.raises(FileError, match="no pattern folder"):
            read_pattern(path)

    def test_a_drawing_that_is_not_there(self, apron: Path) -> None:
        (apron / "body.svg").rename(apron / "bdoy.svg")
        with pytest.raises(PatternError) as told:
            read_pattern(apron)
        assert str(told.value) == (
            'pattern.toml line 2, piece Body: the drawing "body.svg" is not there. '
            "Drawings there are: bdoy.svg."
        )

    def test_drawings_in_memory_without_a_pattern_file(self) -> None:
        with pytest.raises(FileError, match=r"2 files without a pattern\.toml"):
            read_sources([Source("a.svg", b""), Source("b.svg", b"")])


class TestKeptInside:
    """Nothing from outside of the folder is read, and nothing without end."""

    def test_a_link_that_leads_out_is_refused(self, apron: Path) -> None:
        (apron / "body.svg").rename(apron.parent / "secret.svg")
        (apron / "body.svg").symlink_to(apron.parent / "secret.svg")
        with pytest.raises(FileError, match="a link leads out of the pattern folder"):
            read_pattern(apron)

    def test_a_link_that_stays_inside_is_followed(self, apron: Path) -> None:
        (apron / "body.svg").rename(apron / "first.svg")
        (apron / "body.svg").symlink_to("first.svg")
        assert read_pattern(apron).pieces[0].drawing == "body.svg"

    @pytest.mark.parametrize("name", ["body.svg", "pattern.toml"])
    def test_a_link_to_itself_is_refused(self, apron: Path, name: str) -> None:
        (apron / name).unlink()
        (apron / name).symlink_to(name)
        with pytest.raises(FileError, match=f"{name}: this is a link that leads round in a circle"):
            read_pattern(apron)

    @pytest.mark.parametrize("name", ["body.svg", "pattern.toml"])
    def test_a_link_to_nothing_is_refused(self, apron: Path, name: str) -> None:
        (apron / name).unlink()
        (apron / name).symlink_to("gone.svg")
        with pytest.raises(FileError) as told:
            read_pattern(apron)
        assert told.value.where == str(apron / name)
        assert 'a link to "gone.svg", which is not there' in told.value.problem
        assert "Put the file itself in its place" in told.value.remedy

    def test_a_folder_that_is_a_link_to_nothing(self, apron: Path) -> None:
        (apron / "drawings").symlink_to("gone")
        (apron / "pattern.toml").write_text(HEAD + BODY.replace("body.svg", "drawings/body.svg"))
        with pytest.raises(FileError, match='drawings: this is a link to "gone"'):
            read_pattern(apron)
        with pytest.raises(FileError, match='drawings: this is a link to "gone"'):
            read_pattern(apron / "drawings")

    def test_a_pipe_is_refused_and_not_waited_for(self, apron: Path) -> None:
        (apron / "body.svg").unlink()
        os.mkfifo(apron / "body.svg")
        with pytest.raises(FileError, match="not an ordinary file"):
            read_pattern(apron)

    def test_a_folder_in_place_of_a_drawing_is_refused(self, apron: Path) -> None:
        (apron / "body.svg").unlink()
        (apron / "body.svg").mkdir()
        with pytest.raises(FileError, match="not an ordinary file"):
            read_pattern(apron)

    def test_a_drawing_that_is_too_large(
        self, apron: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setattr(folder_module, "DRAWING_LIMIT", 100)
        with pytest.raises(FileError, match="larger than"):
            read_pattern(apron)
        with pytest.raises(FileError, match="larger than"):
            read_sources([Source("a.svg", b"x" * 101)])

    def test_a_pattern_file_that_is_too_large(self, apron: Path) -> None:
        (apron / "pattern.toml").write_text(HEAD + "# long\n" * 200_000)
        with pytest.raises(FileError, match="larger than 1 MiB"):
            read_pattern(apron)

    @pytest.mark.parametrize("name", ["a\0b", "x" * 5000])
    def test_a_name_that_no_file_can_have(self, name: str) -> None:
        with pytest.raises(FileError, match=r"no such file|cannot be reached"):
            read_pattern(Path(name))

    def test_a_drawing_with_a_name_that_no_file_can_have(self, apron: Path) -> None:
        """Most file systems allow 255 bytes (POSIX NAME_MAX); these are 330 and more."""
        long = f"{'前' * 110}.svg"
        (apron / "pattern.toml").write_text(HEAD + BODY.replace("body.svg", long), "utf-8")
        with pytest.raises(FileError, match="cannot be reached"):
            read_pattern(apron)

    def test_a_folder_that_may_not_be_entered(
        self, apron: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        def locked(_self: Path, **_kwargs: object) -> bool:
            raise PermissionError(13, "Permission denied")

        monkeypatch.setattr(Path, "exists", locked)
        with pytest.raises(FileError, match=r"permission denied.*permissions of the folders"):
            read_pattern(apron)

    @pytest.mark.parametrize("spoil", ["pipe", "folder", "circle", "gone", "missing"])
    def test_every_refusal_says_what_to_do(self, apron: Path, spoil: str) -> None:
        body = apron / "body.svg"
        body.unlink()
        if spoil == "pipe":
            os.mkfifo(body)
        elif spoil == "folder":
            body.mkdir()
        elif spoil != "missing":
            body.symlink_to("body.svg" if spoil == "circle" else "gone.svg")
        with pytest.raises(BlocksheetError) as told:
            read_pattern(apron)
        assert told.value.where
        assert told.value.remedy.startswith("Put ")


class TestStyles:
    """Styles that are drawn and styles that are described are the same ones."""

    narrow = '<path class="cut style:narrow" d="M 90 20 V 220"/>'

    def test_both(self, apron: Path) -> None:
        (apron / "pattern.toml").write_text(HEAD + '[style]\nnarrow = "Slim"\n' + BODY)
        (apron / "body.svg").write_text(svg(RECT + self.narrow))
        pattern = read_pattern(apron)
        assert pattern.styles == (("narrow", "Slim"),)
        assert not pattern.findings

    def test_only_drawn(self, apron: Path) -> None:
        (apron / "body.svg").write_text(svg(RECT + self.narrow))
        pattern = read_pattern(apron)
        assert pattern.styles == (("narrow", ""),)
        (finding,) = pattern.findings
        assert finding.code == "style-not-described"
        assert finding.where == "body.svg, piece Body"

    @pytest.mark.parametrize("style", ["v1.2", "Σ/x", "1/2", "it&quot;s"])
    def test_the_advice_for_an_undescribed_one_can_be_copied(self, apron: Path, style: str) -> None:
        (apron / "body.svg").write_text(
            svg(RECT + self.narrow.replace("narrow", style)), encoding="utf-8"
        )
        (finding,) = read_pattern(apron).findings
        line = finding.text.partition("Add ")[2].partition(" under [style]")[0]
        (apron / "pattern.toml").write_text(f"{HEAD}[style]\n{line}\n{BODY}", encoding="utf-8")
        pattern = read_pattern(apron)
        assert pattern.styles == ((style.replace("&quot;", '"'), "what it is"),)
        assert not pattern.findings

    def test_a_point_in_a_bare_key_is_told(self, apron: Path) -> None:
        (apron / "pattern.toml").write_text(HEAD + '[style]\nv1.2 = "Slim"\n' + BODY)
        with pytest.raises(PatternError, match="a name with a point in it in quotation marks"):
            read_pattern(apron)

    def test_only_described(self, apron: Path) -> None:
        (apron / "pattern.toml").write_text(HEAD + '[style]\nwide = "Full"\n' + BODY)
        (finding,) = read_pattern(apron).findings
        assert finding.code == "style-not-drawn"
        assert '"wide"' in finding.text


def test_a_cloth_that_no_piece_is_cut_from_is_noted(apron: Path) -> None:
    (apron / "pattern.toml").write_text(HEAD + '[cloth]\nmain = "Linen"\n' + BODY)
    assert [finding.code for finding in read_pattern(apron).findings] == ["cloth-not-used"]


def test_what_the_drawing_reader_noticed_is_told_once_a_drawing(apron: Path) -> None:
    (apron / "body.svg").write_text(svg(RECT + '<text x="5" y="5">Body</text>'))
    (apron / "pattern.toml").write_text(HEAD + BODY + BODY.replace("Body", "Second body"))
    pattern = read_pattern(apron)
    assert len(pattern.findings) == 1
    assert pattern.findings[0].where.startswith("body.svg")


class TestUnseen:
    """Lines that nobody sees are told where the outline, or a layer, is missing for them."""

    @pytest.mark.parametrize(
        ("layer", "words"),
        [
            ('<g id="front" display="none">{}</g>', "what it holds is hidden. Show the layer"),
            ('<g id="front"><g style="display:none">{}</g></g>', "holds is hidden"),
            ('<g display="none"><g id="front">{}</g></g>', "holds is hidden"),
            ('<g id="front" visibility="hidden">{}</g>', "holds is hidden"),
            ('<g id="front" class="ignore"><path d="M 0 0 H 9"/></g>', "its class is ignore"),
            ('<g id="front" fill="none"><path d="M 0 0 H 9"/></g>', "neither fill nor stroke"),
            ('<g id="front"><rect width="300" height="300"/></g>', "the background of the page"),
        ],
    )
    def test_a_layer_without_lines_to_be_seen(self, apron: Path, layer: str, words: str) -> None:
        (apron / "body.svg").write_text(svg(RECT + layer.format(RECT)))
        (apron / "pattern.toml").write_text(HEAD + BODY + 'layer = "front"\n')
        with pytest.raises(PatternError) as told:
            read_pattern(apron)
        assert 'the layer "front" of the drawing body.svg has no lines to be seen' in str(
            told.value
        )
        assert words in str(told.value)
        assert told.value.where == "pattern.toml line 2, piece Body, key layer"

    @pytest.mark.parametrize(
        ("shape", "words"),
        [
            ('<path fill="none" d="M 10 10 H 90 V 90 Z"/>', "without fill, stroke and role"),
            ('<rect width="300" height="300"/>', "that cover the whole page"),
            (f'<g display="none">{RECT}</g>', "1 hidden element"),
        ],
    )
    def test_no_outline_is_left(self, apron: Path, shape: str, words: str) -> None:
        (apron / "body.svg").write_text(svg(shape + GRAIN))
        with pytest.raises(DrawingError, match=f"there is no closed outline.*{words}"):
            read_pattern(apron)


class TestNearlyARole:
    """A name that is nearly cut or stitch must not become the other one by default."""

    outline = '<rect x="10" y="20" width="100" height="200"/>'

    @pytest.mark.parametrize(
        ("open_tag", "word", "like"),
        [
            ('<g inkscape:label="Cutting line">', "Cutting", '"cut"'),
            ('<g inkscape:label="Sttich">', "Sttich", '"stitch"'),
            ('<g class="cutline">', "cutline", '"cut"'),
            ('<g id="stitching_1_">', "stitching", '"stitch"'),
            ('<g id="stiching-2">', "stiching", '"stitch"'),
            ('<g inkscape:label="cut and stitch">', "cut and stitch", "two roles"),
        ],
    )
    def test_an_outline(self, apron: Path, open_tag: str, word: str, like: str) -> None:
        space = 'xmlns:inkscape="http://www.inkscape.org/namespaces/inkscape"'
        (apron / "body.svg").write_text(svg(f"<g {space}>{open_tag}{self.outline}</g></g>"))
        with pytest.raises(DrawingError) as told:
            read_pattern(apron)
        assert told.value.where == "body.svg, piece Body, <rect> on line 1"
        assert f'name "{word}", which is not a role but looks like {like}' in str(told.value)
        assert "Rename it cut" in told.value.remedy

    def test_an_outline_in_parts(self, apron: Path) -> None:
        parts = '<path class="cuts" d="M9 9V90H90"/><path class="cuts" d="M90 90L9 9"/>'
        (apron / "body.svg").write_text(svg(parts))
        with pytest.raises(DrawingError, match='name "cuts"'):
            read_pattern(apron)

    @pytest.mark.parametrize(
        "inside",
        [
            f'<g class="foldline">{outline}</g>',
            f'<g class="cutline"><g class="stitch">{outline}</g></g>',
            f'{RECT}<path class="sttich" d="M 20 30 V 90"/>',
        ],
    )
    def test_anything_else_stays_a_warning(self, apron: Path, inside: str) -> None:
        (apron / "body.svg").write_text(svg(inside))
        assert "unclear-role" in [finding.code for finding in read_pattern(apron).findings]


def test_an_outline_that_is_open_is_told_with_drawing_and_piece(apron: Path) -> None:
    (apron / "body.svg").write_text(svg('<path class="cut" d="M 0 0 V 100 H 100"/>'))
    with pytest.raises(DrawingError, match=r"body\.svg, piece Body, .*141\.42 mm apart"):
        read_pattern(apron)


@pytest.mark.parametrize("name", ["apron", "hat", "smock", "trousers"])
def test_every_demo_pattern_reads_without_a_finding(name: str) -> None:
    pattern = read_pattern(DEMO / name)
    assert pattern.findings == ()
    for piece in pattern.pieces:
        assert piece.cuts
        assert piece.grain is not None or piece.wishes.grain is not None
        assert all(edge.name for outline in piece.outlines for edge in outline.edges)


def test_the_front_of_the_smock_is_what_its_maker_says() -> None:
    front = read_pattern(DEMO / "smock").pieces[0]
    edges = {edge.name: edge for edge in front.outlines[0].edges}
    assert list(edges) == ["centre front", "neck", "shoulder", "armhole", "side seam", "hem"]
    assert edges["centre front"].lies is Lies.FOLD
    assert edges["hem"].lies is Lies.HEM
    assert front.allowance == 15
