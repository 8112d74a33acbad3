"""The sheet on paper: a tagged PDF (PDF/A-2a and PDF/UA-1) set by typst from plain data, with vector pictures."""

import json
from datetime import UTC, datetime, time
from functools import lru_cache
from importlib.resources import files
from importlib.util import find_spec
from pathlib import Path
from typing import Any, Final

import typst

from ferrule.errors import MissingExtraError
from ferrule.sheet.content import SheetContent
from ferrule.sheet.drill_pictures import described, drill_picture, seen_from
from ferrule.sheet.headings import FOOTER, headings
from ferrule.sheet.progress_picture import progress_picture

FONT_PACKAGES: Final = ("font_source_serif_pro", "font_hanken_grotesk")


def make_sheet(content: SheetContent) -> bytes:
    """The sheet as PDF. The same content gives the same bytes."""
    made = typst.compile(
        _template(),
        format="pdf",
        font_paths=_fonts(),
        sys_inputs={"data": json.dumps(sheet_data(content), ensure_ascii=False)},
        pdf_standards=["a-2a", "ua-1"],
        # Noon of the sheet's day: a sheet made again is the same file.
        timestamp=int(datetime.combine(content.on, time(12), tzinfo=UTC).timestamp()),
    )
    return bytes(made)


def sheet_data(content: SheetContent) -> dict[str, Any]:
    """What the template gets: words and pictures, no code."""
    drill = content.drill
    left = content.handedness == "left"
    picture = None if content.progress is None else progress_picture(content.progress)
    return {
        "title": f"{content.name}: {content.thought}",
        "author": content.coach or "Ferrule",
        "name": content.name,
        "club": content.club,
        "on": content.on_words,
        "thought": content.thought,
        "why": content.why,
        "change": content.change,
        "number": content.number,
        "feel": content.feel,
        "drill": None
        if drill is None
        else {
            "title": drill.title,
            "set_up": drill.set_up,
            "do": drill.do,
            "dose": drill.dose,
            "good": drill.good,
            "stop": drill.stop,
            "next_step": drill.next_step,
            "picture": None if drill.picture is None else drill_picture(drill.picture, left),
            "alt": "" if drill.picture is None else described(drill.picture),
            "seen": "" if drill.picture is None else seen_from(drill.picture),
        },
        "cautions": content.cautions,
        "progress": picture,
        "progress_alt": "" if content.progress is None else content.progress.quantity,
        "progress_words": content.progress_words,
        "test": content.test,
        "test_on": content.test_on,
        "paper": content.paper,
        "large_print": content.large_print,
        "growing": content.age_group == "junior",
        "footer": f"{content.coach} · {FOOTER}" if content.coach else FOOTER,
        "words": headings(content),
    }


@lru_cache(maxsize=1)
def _template() -> bytes:
    return files("ferrule.sheet").joinpath("sheet.typ").read_bytes()


@lru_cache(maxsize=1)
def _fonts() -> typst.Fonts:
    """The fonts of our two packages and no others, so that every machine sets the same sheet."""
    folders = []
    for name in FONT_PACKAGES:
        spec = find_spec(name)
        if spec is None or spec.origin is None:
            package = name.replace("_", "-")
            raise MissingExtraError(
                f"The sheet is set in the fonts of the package {package}, which is not there: install it."
            )
        folders.append(Path(spec.origin).parent / "files")
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=folders)
