"""Parts that the case page and the screens of a lesson share: what is ruled out, and what must be said first."""

from ferrule.analysis.explain import Explanation
from ferrule.app.views import GolferView
from ferrule.coaching.triage import Check
from ferrule.web.markup import Markup, join, tag
from ferrule.web.words import listed


def ruled_out(explanation: Explanation, club_seen: bool = False) -> Markup:
    """What is suspect, ruled out, not checked. club_seen: the club itself was looked at, which no reading tells."""
    out: list[Check] = []
    open_: list[Check] = []
    suspect: list[Check] = []
    for check in explanation.triage:
        if check.check == "club" and club_seen:
            continue
        {"ruled_out": out, "suspect": suspect, "not_checked": open_}[check.state].append(check)
    names = {
        "strike": "strike",
        "aim_and_face_at_address": "aim and face at address",
        "club": "the club",
        "path": "path",
    }
    lines = [tag("p", tag("b", check.sentence)) for check in suspect]
    if out:
        lines.append(tag("p", "Ruled out. ", join(*(join(tag("span", c.sentence), " ") for c in out))))
    if open_:
        lines.append(tag("p", "Not checked: ", tag("b", listed([names[c.check] for c in open_])), "."))
    return tag("div", *lines, class_="out")


def caution(golfer: GolferView) -> Markup | None:
    """What must be said before anybody swings harder."""
    if golfer.pain:
        return tag("p", f"Pain today: {', '.join(golfer.pain)}. No new bow and no full effort; if it lasts, a doctor or physiotherapist first.", class_="caution")  # fmt: skip
    return None


__all__ = ["caution", "ruled_out"]
