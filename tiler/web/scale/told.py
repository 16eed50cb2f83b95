"""A judgement in the user's words: the cause first, then the one thing to do."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tiler.layout.scale import Verdict
from tiler.layout.scale.matching import together

if TYPE_CHECKING:
    from tiler.layout.scale import Axis, Effect, Judgement, Match
    from tiler.web.asking import Asked

#: Directions that differ by less are told as one.
_SAME = 0.0015
#: Causes that one sentence names at most.
_MOST = 3
_MARGINS = re.compile(r"(?:(?P<paper>[\w ]+), )?(?:no margins|margins of (?P<mm>[\d.]+) mm)")
_DOTS = re.compile(r"(?P<written>\d+) read as (?P<read>\d+)")
#: How each verdict looks: as done, as something to look at, or as wrong.
_TONES = {
    Verdict.TRUE: "good",
    Verdict.PRINTER_ERROR: "warning",
    Verdict.ASK: "warning",
    Verdict.TOO_COARSE: "warning",
    Verdict.WRONG_SETTING: "trouble",
    Verdict.TOO_FAR: "trouble",
}


@dataclass(frozen=True)
class Told:
    """A judgement, told.

    Args:
        tone: good, warning or trouble.
        title: The verdict.
        sentences: What it means.
        todo: What to do; empty when nothing is.
    """

    tone: str
    title: str
    sentences: tuple[str, ...]
    todo: str = ""


@dataclass(frozen=True)
class Row:
    """What becomes of a length of the garment.

    Args:
        what: In the user's words.
        span: As the pattern has it, such as names of pieces; empty for none.
        length: As it should be.
        off: How it comes out.
        verdict: Whether that is in tolerance.
        good: The same, for the eye.
    """

    what: str
    span: str
    length: str
    off: str
    verdict: str
    good: bool


def told(asked: Asked, judgement: Judgement) -> Told:
    """The verdict in words."""
    t, verdict = asked.t, judgement.verdict
    how = _how(asked, judgement)
    likely = [match for match in judgement.matches if not match.rare]
    rare = [match for match in judgement.matches if match.rare]
    sentences: list[str] = []
    todo = ""
    match verdict:
        case Verdict.TRUE:
            sentences = [t("true_text", pm=asked.decimal(_percent(_worst(judgement))))]
        case Verdict.WRONG_SETTING:
            sentences = [t("setting_text", how=how)]
            sentences += _causes(asked, "setting_cause", list(judgement.matches))
            todo = t("again", remedy=_remedy(asked, judgement.matches[0]))
        case Verdict.PRINTER_ERROR:
            sentences = [t("printer_text", how=how), *_rarely(asked, rare)]
        case Verdict.ASK if likely:
            sentences = [t("ask_setting_text", how=how)]
            sentences += _causes(asked, "ask_cause", likely)
            sentences += _rarely(asked, rare)
            todo = t("again_first", remedy=_remedy(asked, likely[0]))
        case Verdict.ASK if judgement.hidden:
            sentences = [t("ask_hidden_text", how=how), *_rarely(asked, rare)]
            todo = t("ask_hidden_todo")
        case Verdict.ASK:
            sentences = [t("ask_much_text", how=how), *_feed(asked, judgement)]
            sentences += _rarely(asked, rare)
            todo = t("ask_much_todo")
        case Verdict.TOO_FAR:
            sentences = [t("far_text", how=how), *_feed(asked, judgement)]
            todo = t("far_todo")
        case Verdict.TOO_COARSE:
            sentences = [t("coarse_text", pm=asked.decimal(_percent(_worst(judgement), 1)))]
            todo = t("coarse_todo")
    return Told(_TONES[verdict], t(f"verdict_{_key(verdict)}"), tuple(sentences), todo)


def rows(asked: Asked, judgement: Judgement, *, garment: bool) -> list[Row]:
    """What becomes of the lengths of the garment, or of a hip of 1 m."""
    names = ("effect_girth", "effect_length", "effect_seam") if garment else ("effect_hip",)
    found = []
    for key, effect in zip(names, judgement.effects, strict=False):
        good = effect.in_tolerance
        words = "in" if good else "out"
        found.append(
            Row(
                asked.t(key),
                effect.span.what if garment else "",
                asked.length(effect.span.length, 0),
                _seam(asked, effect) if key == "effect_seam" else _effect(asked, effect),
                asked.t(
                    f"{words}_tolerance" if effect.surely else f"{words}_tolerance_perhaps",
                    limit=asked.length(effect.limit.limit),
                ),
                good,
            )
        )
    return found


def detail_in_words(asked: Asked, detail: str) -> str:
    """What tells a wrong setting from others of its kind, in the user's words.

    Raises:
        ValueError: It is none that is known.
    """
    if detail.endswith(" %"):
        return detail.replace(" ", "\u00a0")
    if detail.isdigit():
        return asked.t("detail_pages", n=detail)
    if dots := _DOTS.fullmatch(detail):
        return asked.t("detail_dots", **dots.groupdict())
    if margins := _MARGINS.fullmatch(detail):
        paper, mm = margins["paper"], margins["mm"]
        words = asked.t("detail_margins", mm=asked.length(float(mm), 2)) if mm else ""
        words = words or asked.t("detail_no_margins")
        return f"{paper}, {words}" if paper else words
    raise ValueError(detail)


def percents(axis: Axis) -> tuple[str, str]:
    """A scale and its half-width, in percent."""
    return f"{axis.scale * 100:.2f}\u00a0%", f"{axis.pm * 100:.2f}\u00a0%"


def _key(verdict: Verdict) -> str:
    return verdict.value.replace(" ", "_")


def _percent(share: float, places: int = 2) -> str:
    return f"{share * 100:.{places}f}\u00a0%"


def _worst(judgement: Judgement) -> float:
    return max(judgement.across.pm, judgement.up.pm)


def _how(asked: Asked, judgement: Judgement) -> str:
    across, up = judgement.across, judgement.up
    if abs(across.off - up.off) < _SAME:
        return _off(asked, together(across, up))
    return asked.t("how_two", across=_off(asked, across), up=_off(asked, up))


def _off(asked: Asked, axis: Axis) -> str:
    share = _percent(abs(axis.off), 1)
    if share.startswith("0.0"):
        return asked.t("off_true")
    return asked.t("off_small" if axis.off < 0 else "off_large", share=asked.decimal(share))


def _cause(asked: Asked, match: Match) -> str:
    details = list(dict.fromkeys(cause.detail for cause in match.causes if cause.detail))
    words = [detail_in_words(asked, detail) for detail in details[:_MOST]]
    either = f" {asked.t('or')} ".join(words)
    return asked.t(f"cause_{match.setting.value.replace(' ', '_')}", detail=either)


def _causes(asked: Asked, key: str, matches: list[Match]) -> list[str]:
    found = [_cause(asked, match) for match in matches]
    said = [asked.t(key, cause=found[0])]
    if len(found) > 1:
        said.append(asked.t("fits_as_well", causes="; ".join(found[1 : 1 + _MOST])))
    return said


def _rarely(asked: Asked, rare: list[Match]) -> list[str]:
    causes = [_cause(asked, match) for match in rare[:2]]
    return [asked.t("rarer", causes="; ".join(causes))] if causes else []


def _remedy(asked: Asked, match: Match) -> str:
    return asked.t(f"remedy_{match.setting.value.replace(' ', '_')}")


def _feed(asked: Asked, judgement: Judgement) -> list[str]:
    return [asked.t(f"feed_{judgement.one_way}")] if judgement.one_way else []


def _effect(asked: Asked, effect: Effect) -> str:
    pm = asked.length(effect.pm)
    if effect.least == effect.most:
        return asked.t("comes_out", off=_out(asked, effect.worst), pm=pm)
    return asked.t(
        "comes_out_between",
        least=_out(asked, effect.least),
        most=_out(asked, effect.most),
        pm=pm,
    )


def _seam(asked: Asked, effect: Effect) -> str:
    return asked.t("differ", off=asked.length(effect.worst), pm=asked.length(effect.pm))


def _out(asked: Asked, off: float) -> str:
    if abs(off) < 0.05:
        return asked.t("out_true")
    key = "out_small" if off < 0 else "out_large"
    return asked.t(key, length=asked.length(abs(off)))
