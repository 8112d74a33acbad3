"""The sheet on a phone: one HTML file that needs nothing from anywhere. No script, no request, no tracking."""

from collections.abc import Sequence
from html import escape
from typing import Final

from ferrule.sheet.content import DrillPart, SheetContent
from ferrule.sheet.drill_pictures import drill_picture, seen_from
from ferrule.sheet.headings import FOOTER, headings
from ferrule.sheet.progress_picture import progress_picture

_STYLE: Final = """
:root{--paper:#F5F1E8;--ink:#1B2426;--soft:#4B5759;--rule:#D8D0BF;--act:#22403A}
*{box-sizing:border-box}
body{margin:0;background:var(--paper);color:var(--ink);font:18px/1.5 Georgia,"Source Serif Pro",serif}
main{max-width:38rem;margin:0 auto;padding:20px 18px 40px}
p,ul,ol{margin:0 0 12px}ul,ol{padding-left:1.3em}li{margin-bottom:6px}
.who,.seen,footer,h2,b.l{font-family:system-ui,"Hanken Grotesk",sans-serif}
.who,.seen,footer{color:var(--soft);font-size:16px}footer{margin-top:20px}
h1{font-size:30px;line-height:1.2;margin:6px 0 18px;font-weight:600}
h2{font-size:18px;color:var(--act);border-top:1px solid var(--rule);padding-top:12px;margin:22px 0 8px}
b.l{color:var(--soft);font-weight:600}
svg{display:block;width:100%;max-width:30rem;height:auto;margin:0 0 6px;background:#fff;border-radius:4px}
.test{border:2px solid var(--act);border-radius:4px;padding:14px 16px;margin-top:24px}
.test h2{border:0;margin:0 0 4px;padding:0}
.large body,.large main{font-size:23px}.large h1{font-size:36px}.large h2,.large .who,.large .seen,.large footer{font-size:21px}
@media print{body{background:#fff}}
"""
_POLICY: Final = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"


def phone_page(content: SheetContent) -> str:
    """The whole page as HTML text."""
    said = headings(content)
    parts = [
        f'<p class="who">For <b>{escape(content.name)}</b> · {escape(content.club)} · {escape(content.on_words)}</p>',
        f"<h1>{escape(content.thought)}</h1>",
        _part(said["why"], _paragraph(content.why)),
        _part(said["change"], _paragraph(content.change)),
    ]
    if content.number:
        parts.append(_part(said["number"], f"<p><b>{escape(content.number)}</b></p>{_paragraph(content.feel)}"))
    if content.drill is not None:
        parts.append(_drill(content.drill, said["drill"], content.handedness == "left"))
    parts.append(_part(said["cautions"], _items("ul", content.cautions)))
    if content.progress is not None:
        plot = progress_picture(content.progress, narrow=True)
        parts.append(_part(said["progress"], f"<p>{escape(content.progress_words)}</p>{plot}"))
    elif content.progress_words:
        parts.append(_part(said["progress"], f"<p>{escape(content.progress_words)}</p>"))
    parts.append(
        f'<section class="test"><h2>{escape(said["test"])}: {escape(content.test_on)}</h2><p>{escape(content.test)}</p></section>'
    )
    footer = f"{content.coach} · {FOOTER}" if content.coach else FOOTER
    large = ' class="large"' if content.large_print else ""
    return (
        f'<!doctype html><html lang="en"{large}><head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{escape(content.name)}: {escape(content.thought)}</title><style>{_STYLE}</style></head>"
        f"<body><main>{''.join(parts)}<footer><p>{escape(footer)}</p></footer></main></body></html>\n"
    )


def _drill(drill: DrillPart, heading: str, left: bool) -> str:
    drawn = ""
    if drill.picture is not None:
        drawn = f'{drill_picture(drill.picture, left)}<p class="seen">{escape(seen_from(drill.picture))}</p>'
    body = (
        f"{drawn}{_paragraph(drill.set_up)}{_items('ol', drill.do)}"
        f"<p><b>{escape(drill.dose)}</b> {escape(drill.good)}</p>"
        f'<p><b class="l">Stop if</b> {escape("; ".join(drill.stop))}.</p>'
        f"{_easy(drill)}"
    )
    return _part(f"{heading}: {drill.title}", body)


def _easy(drill: DrillPart) -> str:
    return f'<p><b class="l">When it is easy:</b> {escape(drill.next_step)}</p>' if drill.next_step else ""


def _part(heading: str, body: str) -> str:
    return f"<section><h2>{escape(heading)}</h2>{body}</section>"


def _paragraph(sentences: Sequence[str]) -> str:
    return f"<p>{escape(' '.join(sentences))}</p>" if sentences else ""


def _items(tag: str, sentences: Sequence[str]) -> str:
    return f"<{tag}>{''.join(f'<li>{escape(s)}</li>' for s in sentences)}</{tag}>"
