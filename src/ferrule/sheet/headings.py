"""Headings of the sheet: the same on paper, on the phone and in plain text; shorter words for growing golfers."""

from typing import Final

from ferrule.sheet.content import SheetContent

FOOTER: Final = "This sheet is yours. Nothing of it leaves your coach's machine unless you share it."
_USUAL: Final = {
    "why": "Why",
    "change": "What to change",
    "number": "The number and the feel",
    "drill": "The drill",
    "cautions": "Look after yourself",
    "progress": "How it is going",
    "test": "Next test",
}
_GROWING: Final = {
    **_USUAL,
    "why": "Why the ball does that",
    "change": "What we try",
    "number": "What to feel",
    "drill": "Your drill",
    "cautions": "Stay safe",
    "progress": "How far you have come",
}


def headings(content: SheetContent) -> dict[str, str]:
    """Heading of each part."""
    return dict(_GROWING if content.age_group == "junior" else _USUAL)
