"""What the command says of places that are kept."""

from __future__ import annotations

from pathlib import Path

from click.testing import CliRunner

from tests.job.apronfolder import searched, write_apron
from tiler.cli.main import main
from tiler.job import read
from tiler.job.planning import moved
from tiler.layout.byhand import kept_places
from tiler.output.folder.placedwords import placed_table


def test_publish_says_that_pieces_lie_where_the_pattern_file_says(tmp_path: Path) -> None:
    folder = write_apron(tmp_path / "apron")
    pattern = read(folder)
    plan = moved(searched(), pattern, "Tab", 3000, 0)
    with (folder / "pattern.toml").open("a") as file:
        file.write("\n" + "\n".join(placed_table(kept_places(plan, pattern)).lines()) + "\n")
    common = ["publish", str(folder), "--effort", "quick", "--out", str(tmp_path / "sheets")]
    told = CliRunner().invoke(main, common)
    assert told.exit_code == 0, told.output
    assert "Laid by hand, as pattern.toml says." in told.output
    assert f"{len(plan.cells)} pattern pages" in told.output
    anew = CliRunner().invoke(main, [*common, "--lay-anew"])
    assert anew.exit_code == 0, anew.output
    assert "Laid by hand" not in anew.output
