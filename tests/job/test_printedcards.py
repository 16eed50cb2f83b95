"""The size of the cards is measured or known, never guessed; slips of reading are caught."""

from __future__ import annotations

import pytest

from tiler.job.printedcards import printed_cards
from tiler.job.scaling import keep_printer
from tiler.layout.scale import Printer
from tiler.pattern.errors import FileError, MeasureError

MM = 1.0


def test_both_bars_tell_both_directions() -> None:
    """Bars of 190 and 240 mm, as the page says; read to tenths a rule tells about 0.1 %."""
    printed, findings = printed_cards(189.6, 240.2, MM)
    assert printed.across == pytest.approx(189.6 / 190)
    assert printed.up == pytest.approx(240.2 / 240)
    assert 0.0005 < printed.u < 0.002
    assert findings == ()


def test_a_finer_rule_is_surer() -> None:
    assert printed_cards(190, 240, 0.5)[0].u < printed_cards(190, 240, 1.0)[0].u


def test_a_reading_between_the_marks_is_surer_than_one_at_the_nearest_mark() -> None:
    # A rectangle of half a division either way at each end, and as much again for the eye, is
    # 0.6 mm for whole millimetres (JCGM 100:2008, 4.3.7); tenths were not written for nothing.
    whole, halves, tenths = (printed_cards(a, 239, MM)[0].u * 190 for a in (190, 189.5, 189.6))

    assert 0.4 < whole < 0.7
    assert 0.2 < halves < 0.4
    assert 0.15 < tenths < 0.25


def test_one_bar_is_taken_with_a_warning() -> None:
    printed, findings = printed_cards(189.6, None, MM)
    assert printed.up is None
    assert printed.across == pytest.approx(189.6 / 190)
    assert [finding.code for finding in findings] == ["one-bar"]


def test_true_size_is_never_guessed() -> None:
    with pytest.raises(MeasureError, match="never guessed"):
        printed_cards(None, None, MM)


def test_a_page_that_was_fitted_to_another_paper_is_used_and_told() -> None:
    """A4 on Letter without margins: 279.4 / 297 = 94.07 %, on both bars."""
    share = 279.4 / 297
    printed, findings = printed_cards(round(190 * share, 1), round(240 * share, 1), MM)
    assert printed.across == pytest.approx(share, abs=1e-3)
    assert [finding.code for finding in findings] == ["cards-off"]
    assert "fitted to another paper (Letter" in findings[0].text


@pytest.mark.parametrize(
    ("across", "up", "told"),
    [
        # A number in inches with millimetres as its unit, and centimetres likewise.
        (7.48, 9.45, "unit is probably wrong"),
        (19.0, 24.0, "unit is probably wrong"),
        (240.0, 190.0, "swapped"),
        # Lengths of other things on our sheets.
        (180.0, 234.0, "a card along its cut line"),
        (168.0, 105.0, "squares of a card"),
        (190.0, 250.0, "calibration page on Letter"),
        (190.0, 270.0, "calibration page on A4"),
        # One bar misread by 10 mm: no printer stretches one way so much.
        (190.0, 230.0, "no printer differs so much"),
        # Two thirds of the size.
        (127.0, 160.0, "too far from 100 %"),
    ],
)
def test_a_reading_of_something_else_is_refused(across: float, up: float, told: str) -> None:
    with pytest.raises(MeasureError, match=told):
        printed_cards(across, up, MM)


@pytest.mark.parametrize("across", [168.0, 180.0, 100.0, 270.0, 7.48])
def test_a_wrong_length_alone_is_refused_too(across: float) -> None:
    with pytest.raises(MeasureError):
        printed_cards(across, None, MM)


def test_a_kept_printer_speaks_for_its_cards(
    tmp_path: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    """And its half-width of 95 % is two standard uncertainties; measured bars count before it."""
    monkeypatch.setenv("BLOCKSHEET_HOME", str(tmp_path))
    keep_printer(Printer("Potting shed", 1.004, 0.998, 0.002, 0.0016, "a4"))
    printed, findings = printed_cards(None, None, MM, "potting shed")
    assert (printed.across, printed.up, printed.u) == (1.004, 0.998, 0.001)
    assert [finding.code for finding in findings] == ["cards-by-printer"]
    assert printed_cards(190.0, 240.0, MM, "potting shed")[0].across == 1.0
    with pytest.raises(FileError, match="no printer"):
        printed_cards(None, None, MM, "kitchen")
