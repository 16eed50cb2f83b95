"""What the user prefers; it lives in the browser, as a cookie."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from tiler.web.words import LANGUAGES

COOKIE = "studio_settings"
UNITS = ("mm", "in")
THEMES = ("auto", "light", "dark")


@dataclass(frozen=True, slots=True)
class Settings:
    """How the studio speaks and looks.

    Args:
        language: One of `LANGUAGES`.
        units: mm or in.
        theme: auto follows the system; light or dark.
    """

    language: str = "en"
    units: str = "mm"
    theme: str = "auto"

    @classmethod
    def read(cls, cookie: str, accepted: str = "") -> Settings:
        """From the cookie's words; what is not known is as usual.

        Args:
            cookie: As `words` writes it; empty when there is none.
            accepted: The languages that the browser asks for (RFC 9110, 12.5.4).
        """
        parts = (*cookie.split("."), "", "", "")[:3]
        asked = (part.split(";")[0].strip()[:2].lower() for part in accepted.split(","))
        usual = next((tag for tag in asked if tag in LANGUAGES), "en")
        return cls(
            parts[0] if parts[0] in LANGUAGES else usual,
            parts[1] if parts[1] in UNITS else "mm",
            parts[2] if parts[2] in THEMES else "auto",
        )

    @classmethod
    def chosen(cls, form: Mapping[str, str], before: Settings) -> Settings:
        """As a form says; what it does not say stays as it was."""
        return cls.read(
            ".".join(form.get(key, getattr(before, key)) for key in ("language", "units", "theme"))
        )

    @property
    def words(self) -> str:
        """For the cookie."""
        return f"{self.language}.{self.units}.{self.theme}"
