"""The look: one table of tokens for each mode, the head of every page, and where the fonts come from.

Colours of the face (`open`, `closed`) are used for the face alone and always beside the word. Contrast of every ink on
every ground is checked in the tests (AA).
"""

from importlib.util import find_spec
from pathlib import Path
from types import MappingProxyType
from typing import Final

from ferrule.web.markup import Markup, join, tag

PAPER: Final = MappingProxyType(
    {
        "paper": "#F5F1E8",
        "sheet": "#FFFCF5",
        "ink": "#1B2426",
        "soft": "#4B5759",
        "rule": "#D8D0BF",
        "open": "#9E420B",
        "closed": "#135C78",
        "now": "#656B67",
        "act": "#22403A",
        "act-ink": "#FFFCF5",
        "mark": "#EFE6CF",
        "turf": "#E9E6D6",
        "green": "#D7DCC0",
        "divot": "#C9BFA0",
    }
)
SUN: Final = MappingProxyType(
    {
        "paper": "#FFFFFF",
        "sheet": "#FFFFFF",
        "ink": "#000000",
        "soft": "#1A1A1A",
        "rule": "#000000",
        "open": "#7A2E00",
        "closed": "#003B57",
        "now": "#555555",
        "act": "#000000",
        "act-ink": "#FFFFFF",
        "mark": "#FFFFFF",
        "turf": "#FFFFFF",
        "green": "#E6E6E6",
        "divot": "#BBBBBB",
    }
)
DARK: Final = MappingProxyType(
    {
        "paper": "#14191A",
        "sheet": "#1B2223",
        "ink": "#F1ECE0",
        "soft": "#B9BFB9",
        "rule": "#4A5554",
        "open": "#F2A06B",
        "closed": "#7CC2E0",
        "now": "#98A09B",
        "act": "#A6D3C2",
        "act-ink": "#0F1F1A",
        "mark": "#28302F",
        "turf": "#1C2420",
        "green": "#2B3829",
        "divot": "#4A432F",
    }
)
MODES: Final = MappingProxyType({"paper": PAPER, "sun": SUN, "dark": DARK})
"""Paper is the usual one; sun is black on white, thicker; dark is for a dim bay or an evening."""
STATIC: Final = Path(__file__).parent / "static"

_FONTS: Final = {
    "SourceSerifPro-Regular.otf": ("font_source_serif_pro", "Book", 400),
    "SourceSerifPro-Semibold.otf": ("font_source_serif_pro", "Book", 600),
    "HankenGrotesk-Regular.otf": ("font_hanken_grotesk", "Plain", 400),
    "HankenGrotesk-Medium.otf": ("font_hanken_grotesk", "Plain", 500),
    "HankenGrotesk-SemiBold.otf": ("font_hanken_grotesk", "Plain", 600),
}


def font_path(name: str) -> Path | None:
    """The file of one of our five fonts, inside its package; None for any other name."""
    if name not in _FONTS:
        return None
    package = find_spec(_FONTS[name][0])
    if package is None or package.origin is None:
        return None
    return Path(package.origin).parent / "files" / name


def tokens_css() -> str:
    """Custom properties of every mode and the font faces."""
    faces = "".join(
        f"@font-face{{font-family:{family};font-weight:{weight};font-display:swap;src:url(/fonts/{name})}}"
        for name, (_, family, weight) in _FONTS.items()
    )
    ground = "html{background:var(--paper)}"
    return (
        faces
        + ground
        + "".join(
            f"{':root' if mode == 'paper' else f':root[data-mode={mode}]'}"
            f"{{color-scheme:{'dark' if mode == 'dark' else 'light'};{_properties(tokens)}}}"
            for mode, tokens in MODES.items()
        )
    )


def _properties(tokens: MappingProxyType[str, str]) -> str:
    return "".join(f"--{name}:{value};" for name, value in tokens.items())


def head(version: str) -> Markup:
    """What every page has in its head. The mode is set before the first paint, so that nothing flashes."""
    return join(
        tag("script", Markup(EARLY)),
        tag("style", Markup(tokens_css())),
        *(tag("link", rel="stylesheet", href=f"/static/{name}?{version}") for name in style_sheets()),
    )


EARLY: Final = (
    "(()=>{const modes=['paper','sun','dark'];"
    "const wants=q=>{try{return matchMedia(q).matches}catch(e){return false}};"
    "globalThis.ferruleMode=()=>{let kept=null;try{kept=localStorage.getItem('ferrule-mode')}catch(e){}"
    "const usual=wants('(prefers-color-scheme: dark)')?'dark':wants('(prefers-contrast: more)')?'sun':'paper';"
    "return document.documentElement.dataset.mode=modes.includes(kept)?kept:usual};"
    "ferruleMode()})()"
)
"""Sets the mode: the one chosen on this device, else what its system asks for (dark, or more contrast), else paper."""


def style_sheets() -> tuple[str, ...]:
    """File names of the style sheets: the common one first, then those of single pages by name."""
    names = sorted(path.name for path in STATIC.glob("*.css"))
    return tuple(sorted(names, key=lambda name: name != "ferrule.css"))


def contrast(a: str, b: str) -> float:
    """Contrast ratio of two colours "#RRGGBB" after WCAG 2.1 (relative luminance, 1 to 21)."""
    high, low = sorted((_luminance(a), _luminance(b)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def _luminance(colour: str) -> float:
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    r, g, b = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b
