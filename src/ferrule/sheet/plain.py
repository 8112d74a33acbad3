"""The sheet as plain text, to paste into a message."""

from textwrap import fill

from ferrule.sheet.content import SheetContent
from ferrule.sheet.headings import headings

COLUMNS = 76


def plain_text(content: SheetContent) -> str:
    """The whole sheet in lines of at most 76 characters."""
    said = headings(content)
    parts = [f"For {content.name} - {content.club} - {content.on_words}", content.thought.upper()]
    parts += [_part(said["why"], content.why), _part(said["change"], content.change)]
    if content.number:
        parts.append(_part(said["number"], (content.number, *content.feel)))
    drill = content.drill
    if drill is not None:
        steps = [fill(f"{i}. {s}", COLUMNS, subsequent_indent="   ") for i, s in enumerate(drill.do, 1)]
        head = _part(f"{said['drill']}: {drill.title}", drill.set_up)
        rest = fill(f"{drill.dose} {drill.good}".strip(), COLUMNS)
        stop = fill(f"Stop if {'; '.join(drill.stop)}.", COLUMNS)
        parts.append(
            "\n".join(
                [
                    head,
                    *steps,
                    rest,
                    stop,
                    *([fill(f"When it is easy: {drill.next_step}", COLUMNS)] if drill.next_step else []),
                ]
            )
        )
    cautions = [fill(f"- {c}", COLUMNS, subsequent_indent="  ") for c in content.cautions]
    parts.append("\n".join([said["cautions"], *cautions]))
    if content.progress_words:
        parts.append(_part(said["progress"], (content.progress_words,)))
    parts.append(_part(f"{said['test']}: {content.test_on}", (content.test,)))
    return "\n\n".join(parts) + "\n"


def _part(heading: str, sentences: tuple[str, ...]) -> str:
    return f"{heading}\n{fill(' '.join(sentences), COLUMNS)}" if sentences else heading
