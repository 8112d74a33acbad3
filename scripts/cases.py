"""Write into docs/cases/*.md what the product says of the case beside each page, or check that it stands there.

python scripts/cases.py            rewrites the blocks
python scripts/cases.py --check    fails when a page does not say what the product says
"""

import sys
from pathlib import Path

from ferrule.analysis.explain import Explanation, explain_case
from ferrule.analysis.options import OptionsAnswer, work_out_options
from ferrule.coaching.wording_ways import TITLES
from ferrule.files.casefile import read_case

FOLDER = Path(__file__).parents[1] / "docs" / "cases"
BEGIN, END = "<!-- what the product says: written by scripts/cases.py -->", "<!-- end -->"
SHOWN_CAUSES = 4
SHOWN_WAYS = 3


def said(explanation: Explanation, options: OptionsAnswer) -> str:
    """The first view, the larger causes, what was ruled out, the next look, the first ways; Markdown."""
    story = explanation.story
    lines = [f"**{story.headline}**", "", story.lead, story.sure, *story.notes, "", story.shaft_level, ""]
    lines += [f"* {c.sentence}" for c in explanation.causes[:SHOWN_CAUSES]]
    suspects = [c.sentence for c in explanation.triage if c.state == "suspect"]
    if suspects or explanation.path_causes:
        lines += ["", *(f"* {s}" for s in suspects), *(f"* {p.sentence}" for p in explanation.path_causes)]
    if explanation.looks:
        lines += ["", f"Next look: {explanation.looks[0].look.question} {explanation.looks[0].look.how_to}"]
    lines += ["", *(f"Mind: {i.message}" for i in options.issues), ""]
    for option in options.options[:SHOWN_WAYS]:
        lines.append(f"{option.rank}. {TITLES[option.way.name]}. {option.sentence} The balls {option.ball_sentence}.")
        lines += [f"    * {upper(n)}." for n in option.way.needs]
        lines += [f"    * {c}" for c in option.way.cautions]
    return "\n".join(lines).replace("\n\n\n", "\n\n")


def upper(text: str) -> str:
    """With a capital at its start."""
    return text[:1].upper() + text[1:]


def said_of(path: Path) -> str:
    """The block of one CASE.json."""
    case, _ = read_case(path.read_text(encoding="utf-8"))
    explanation = explain_case(case)
    return said(explanation, work_out_options(case, explanation=explanation))


def with_block(page: str, block: str) -> str:
    """The page with its block renewed. Raises ValueError when it has no place for one."""
    head, rest = page.split(BEGIN, 1)
    tail = rest.split(END, 1)[1]
    return f"{head}{BEGIN}\n\n{block}\n\n{END}{tail}"


def main() -> int:
    """Rewrite or check every page."""
    stale = []
    for path in sorted(FOLDER.glob("*.json")):
        page = path.with_suffix(".md")
        old = page.read_text(encoding="utf-8")
        new = with_block(old, said_of(path))
        if new != old:
            stale.append(page.name)
            if "--check" not in sys.argv:
                page.write_text(new, encoding="utf-8")
    print("\n".join(stale) or "every page says what the product says")
    return 1 if stale and "--check" in sys.argv else 0


if __name__ == "__main__":
    sys.exit(main())
