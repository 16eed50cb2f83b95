"""What a wrong setting is called, and how it is put right, in plain words."""

from __future__ import annotations

from tiler.layout.scale.causes import Setting
from tiler.layout.scale.matching import Match

_ACTUAL = "In the print window choose actual size, or 100 %, instead of fit or shrink"
_STRAIGHT = (
    "Print the PDF itself from a PDF reader, at 100 %, and not a picture of it from another program"
)

#: What is done about each kind of setting.
REMEDIES: dict[Setting, str] = {
    Setting.SHRUNK: f"{_ACTUAL}.",
    Setting.FITTED: f"{_ACTUAL}, and publish the pattern for the paper that is in the printer.",
    Setting.STRETCHED: "In the print window switch off stretching or filling the paper, choose "
    "actual size, or 100 %, and the paper that is in the printer.",
    Setting.BORDERLESS: "In the printer's settings switch borderless printing off.",
    Setting.PERCENTAGE: "In the print window set the scale to 100 %; look in the printer's own "
    "settings too, where a percentage stays from one print to the next.",
    Setting.SEVERAL: "In the print window set one page on each sheet, and no booklet.",
    Setting.DOTS: f"{_STRAIGHT}.",
    Setting.POINTS: f"{_STRAIGHT}.",
    Setting.ROUND_INCH: f"{_STRAIGHT}.",
}


def cause_in_words(match: Match) -> str:
    """What was probably set, half a sentence."""
    details = list(dict.fromkeys(cause.detail for cause in match.causes if cause.detail))
    return _WORDS[match.setting].format(detail=_either(details))


_WORDS: dict[Setting, str] = {
    Setting.SHRUNK: "the page was shrunk to what the printer can reach ({detail})",
    Setting.FITTED: "the page was fitted to another paper ({detail})",
    Setting.STRETCHED: "the page was stretched to fill the paper ({detail})",
    Setting.BORDERLESS: "borderless printing enlarged the page past the edges of the paper",
    Setting.PERCENTAGE: "a percentage was set ({detail})",
    Setting.SEVERAL: "several pages were printed on one sheet ({detail})",
    Setting.DOTS: "another program took one number of dots per inch for another ({detail})",
    Setting.POINTS: "another program took the points of typesetters for those of PDF",
    Setting.ROUND_INCH: "another program took the inch for 25 mm instead of 25.4 mm",
}


def _either(details: list[str]) -> str:
    """At most three, the best first."""
    return " or ".join(details[:3])
