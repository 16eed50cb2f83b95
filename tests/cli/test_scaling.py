"""``blocksheet scale``: asks, tells, keeps; the cause first, then one thing to do."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.owncommand import Command, command
from tiler.job.scaling import bars_of

ACROSS, UP = bars_of("a4")


@pytest.fixture
def scale(tmp_path: Path) -> Command:
    return command("scale", tmp_path)


def bars(across: float, up: float, ruler: str = "0.5mm") -> tuple[str, ...]:
    """Options for readings that are off by so much, in millimetres."""
    return "--across", f"{ACROSS + across} mm", "--up", f"{UP + up} mm", "--ruler", ruler


def test_a_true_printer_is_kept_listed_and_forgotten(scale: Command) -> None:
    told = scale("--printer", "home", *bars(0, 0.1), "--prints-to", "4.2mm")
    assert "It prints at true size" in told
    assert "Next: blocksheet publish PATTERN --on a4 --printer home" in told
    listed = scale("--list")
    assert "home: on a4, across 100.00 % ± 0.31 %" in listed
    assert "prints to 4.2 mm from the edge" in listed
    assert "Forgotten: home" in scale("--forget", "HOME")
    assert "No printer is kept yet" in scale("--list")
    assert "no printer called 'home' is kept" in scale("--forget", "home", code=2)


def test_a_small_error_of_the_printer_s_own_is_kept_without_asking(scale: Command) -> None:
    told = scale("--printer", "home", *bars(0.8, 0, "0.2mm"))
    assert "The printer itself prints 0.4 % too large across and true to size up" in told
    assert "Kept: printer 'home'" in told


def test_the_error_is_told_on_the_garment(scale: Command) -> None:
    told = scale("demo:smock", *bars(-1.9, -2.7), code=1)
    assert (
        "Front and Back, where widest (1264 mm, 49 3/4 in) comes out 12.6 mm (1/2 in) small" in told
    )
    # 2 x 0.2944 mm on 190 and on 270 mm, weighted: 0.1783 % of 1264 mm.
    assert "± 2.3 mm" in told
    assert "ut of tolerance for this pattern" in told
    assert "(common practice, no source)" in told


def test_above_half_a_percent_it_wants_to_be_sure(scale: Command) -> None:
    off = bars(-1.4, -2.3)
    told = scale("--printer", "home", *off, code=1)
    assert "Do this first:" in told
    assert "add --keep" in told
    assert "No printer" in scale("--list")
    told = scale("--printer", "home", *off, "--keep")
    assert "as you say" in told
    assert "Do this first" not in told
    assert "home: on a4" in scale("--list")


def test_a_page_made_up_for_the_printer_does_not_wipe_out_what_is_kept(scale: Command) -> None:
    scale("--printer", "home", *bars(-1.4, -1.9), "--keep")
    told = scale("--printer", "home", *bars(0, 0))
    assert "Nothing new is kept: 'home' is kept with 99.26 % across" in told
    assert "home: on a4, across 99.26 %" in scale("--list")
    scale("--printer", "home", *bars(0, 0), "--keep")
    assert "home: on a4, across 100.00 %" in scale("--list")


def test_a_wrong_setting_is_put_right_and_never_kept(scale: Command) -> None:
    told = scale("--printer", "home", *bars(-0.0593 * ACROSS, -0.0593 * UP), "--keep", code=1)
    assert "A print setting is wrong; the printer is not." in told
    assert "fitted to another paper (Letter" in told
    assert "It fits as well:" in told
    assert "Do this: In the print window choose actual size, or 100 %" in told
    assert "Nothing is kept" in told
    assert "No printer" in scale("--list")


def test_it_asks_for_what_it_does_not_know_and_keeps_asking_until_it_makes_sense(
    scale: Command,
) -> None:
    answers = [
        "home",
        "a44",
        "a4",
        "",
        "0.5",
        "0.5 mm",
        f"{ACROSS / 10} mm",  # cm is meant
        f"{UP} mm",
        f"{ACROSS / 10} cm",
        f"{UP - 0.2} mm",
    ]
    told = scale(said="\n".join(answers) + "\n")
    assert "there is no paper called 'a44'. Did you mean" in told
    assert "the length '0.5' has no unit" in told
    assert f'If cm is meant, write "{ACROSS / 10:g} cm"' in told
    assert f"Bar along the short side of the paper, {ACROSS:g} mm when true" in told
    assert "Kept: printer 'home'" in told


def test_nobody_to_ask_is_a_stop_and_not_a_trace(scale: Command) -> None:
    assert "stopped before anything was written" in scale(code=2)
    assert "stopped" in scale("--across", "190mm", said="home\n", code=2)


def test_asked_whether_the_error_is_the_printer_s_own_one_may_say_no(scale: Command) -> None:
    said = f"home\n\n\n0.5mm\n{ACROSS - 1.4} mm\n{UP - 2.0} mm\n"
    assert "Nothing is kept" in scale(said=said + "n\n", code=1)
    assert "Kept: printer 'home'" in scale(said=said + "y\n")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--across", "0 mm", "--up", "270 mm"), "a bar cannot measure 0 mm"),
        (("--across", "-5 mm", "--up", "270 mm"), "a bar cannot measure -5 mm"),
        (("--across", "19", "--up", "270 mm"), "has no unit"),
        (("--across", "19 mm", "--up", "270 mm"), '"19 cm"'),
        (("--across", f"{UP} mm", "--up", f"{ACROSS} mm"), "probably swapped"),
        (("--across", "180 mm", "--up", "270 mm"), "--page pattern"),
        ((*bars(0, 0, "30 cm"),), "not the finest division of a ruler"),
        ((*bars(0, 0), "--keep"), "need --printer NAME"),
        ((*bars(0, 0), "--printer", "a/b"), "cannot be a name"),
        ((*bars(0, 0), "--printer", "home", "--prints-to", "300 mm"), "not between 0 and 100 mm"),
        ((*bars(0, 0), "--paper", "a44"), "Did you mean"),
        (("no-such-folder", *bars(0, 0)), "no-such-folder"),
    ],
)
def test_bad_input_gives_one_message_with_what_to_do(
    scale: Command, words: tuple[str, ...], told: str
) -> None:
    assert told in scale(*words, code=2)


def test_a_page_of_a_pattern_can_be_measured_in_inches(scale: Command) -> None:
    told = scale(
        "--page",
        "pattern",
        "--across",
        "7 1/8 in",
        "--up",
        "10 11/16in",
        "--ruler",
        "1/32in",
        code=1,
    )
    assert "for 180 mm: 100.54 %" in told


def test_other_bars_can_be_given(scale: Command) -> None:
    told = scale(
        "--bars", "100mm", "200mm", "--across", "100.1mm", "--up", "200mm", "--ruler", "0.2mm"
    )
    assert "100.1 mm for 100 mm" in told
    assert "It prints at true size" in told


def test_a_ruler_too_coarse_is_told_and_nothing_kept(scale: Command) -> None:
    told = scale("--printer", "home", *bars(0, 0, "1/8in"), code=1)
    assert "too coarse" in told
    assert "1 mm or finer marks" in told
    assert "Nothing is kept." in told


def test_the_rule_s_class_widens_the_interval(scale: Command) -> None:
    told = scale(*bars(0, 0, "1mm"), "--ruler-class", "2")
    # 2 x root(0.3467 + 0.0833) = 1.3115 mm on 190 mm.
    assert "± 0.69 %" in told


def test_a_damaged_file_is_told_and_left_alone(scale: Command, tmp_path: Path) -> None:
    (tmp_path / "own").mkdir()
    file = tmp_path / "own" / "printers.json"
    file.write_text("{ not json")
    assert "it is damaged in line 1" in scale("--list", code=2)
    assert "it is damaged" in scale("--printer", "home", *bars(0, 0), code=2)
    assert file.read_text() == "{ not json"


def test_the_calibration_page_is_written_and_then_made_up_for_a_printer(
    scale: Command, tmp_path: Path
) -> None:
    assert "sheets/calibration-a4.pdf" in scale("--sheet")
    scale("--printer", "home", *bars(0.8, 0, "0.2mm"))
    told = scale("--sheet", "--printer", "home", "--out", "pages")
    assert "pages/calibration-a4-for-home.pdf" in told
    assert (tmp_path / "pages" / "calibration-a4-for-home.pdf").read_bytes()[:5] == b"%PDF-"
    assert "no printer called 'other'" in scale("--sheet", "--printer", "other", code=2)


def test_for_a_printer_that_prints_true_it_is_the_page_for_any(scale: Command) -> None:
    """Nothing is made up for on its patterns either."""
    scale("--printer", "home", *bars(0.1, 0.1))
    told = scale("--sheet", "--printer", "home", "--out", "pages")
    assert "prints true within the tolerance" in told
    assert "pages/calibration-a4.pdf" in told


def test_it_is_told_when_another_paper_takes_the_place_of_the_first(scale: Command) -> None:
    scale("--printer", "home", *bars(0.8, 0, "0.2mm"))
    across, up = bars_of("letter")
    words = ("--paper", "letter", "--across", f"{across}mm", "--up", f"{up}mm")
    told = scale("--printer", "home", *words, "--ruler", "0.5mm")
    assert "It takes the place of what was measured on a4" in told
    assert "takes the place" not in scale("--printer", "home", *words, "--ruler", "0.5mm")
