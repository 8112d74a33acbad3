"""A drawing of ours as a PNG, made on this machine by typst, with the fonts of our packages."""

import re
from typing import Final

import typst

from ferrule.sheet.printed import _fonts

FAMILIES: Final = {"Plain": "Hanken Grotesk", "Book": "Source Serif Pro"}
"""What our style sheets call a font, and what its file calls it."""
_VIEW: Final = re.compile(r'viewBox="0 0 ([0-9.]+) ([0-9.]+)"')
_FAMILY: Final = re.compile(r'font-family="(Plain|Book)[^"]*"')


def with_font_names(svg: str) -> str:
    """The drawing with the names its fonts go by outside our pages."""
    return _FAMILY.sub(lambda found: f'font-family="{FAMILIES[found[1]]}"', svg)


def png_of(svg: str, width_px: int, ground: str = "#FFFFFF") -> bytes:
    """The drawing as a PNG of this width. ground: colour behind it. svg: one of ours, colours written out, with a viewBox.

    Raises ValueError for a drawing without a viewBox.
    """
    view = _VIEW.search(svg)
    if view is None:
        raise ValueError("the drawing says no size")
    wide, high = float(view[1]), float(view[2])
    margin = 12.0
    source = (
        f"#set page(width: {wide + 2 * margin}pt, height: {high + 2 * margin}pt, margin: {margin}pt, fill: rgb({ground!r}))\n"
        "#image(bytes(sys.inputs.svg), format: \"svg\", width: 100%)\n"
    ).replace("'", '"')  # fmt: skip
    made = typst.compile(
        source.encode(),
        format="png",
        ppi=72.0 * width_px / (wide + 2 * margin),
        font_paths=_fonts(),
        sys_inputs={"svg": with_font_names(svg)},
    )
    assert isinstance(made, bytes)
    return made
