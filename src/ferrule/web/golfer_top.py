"""The top line of a golfer's pages: who, what to know today, where one can go, which club."""

from ferrule.app import lessons as teaching
from ferrule.app.views import ClubView, GolferView
from ferrule.app.workspace import Workspace
from ferrule.web.markup import Markup, join, tag
from ferrule.web.parts import segments, top
from ferrule.web.words import first_name, ordinal


def golfer_top(
    ws: Workspace, golfer: GolferView, here: str, clubs: list[ClubView] | None = None, club: str = ""
) -> Markup:
    """The line for one of the pages `case`, `lesson`, `progress`, `golfer`. clubs: the choice of club, where the page has one."""
    held = teaching.lessons(ws, golfer.id)
    return top_line(golfer, len(held), held[0].id if held else None, here, clubs or [], club)


def top_line(
    golfer: GolferView, lessons: int, last_lesson: int | None, here: str, clubs: list[ClubView], club: str
) -> Markup:
    """The line from its data."""
    base = f"/golfers/{golfer.id}"
    said = [f"{ordinal(lessons)} lesson"] if lessons else ["no lesson yet"]
    if golfer.big_miss:
        said.append(
            {"both": "misses both ways", "straight": "misses nowhere"}.get(golfer.big_miss, f"misses {golfer.big_miss}")
        )
    if golfer.pain:
        said.append(f"pain: {', '.join(golfer.pain)}")
    elif golfer.pain_asked_at is not None:
        said.append("no pain")
    links = [("Case", base, here == "case")]
    if last_lesson is not None:
        links.append(("Lesson", f"/lessons/{last_lesson}", here == "lesson"))
    links.append(("Progress", f"{base}/progress", here == "progress"))
    links.append(("Interview", f"{base}/screen", here == "golfer"))
    who = join(tag("b", first_name(golfer.name)), " ", tag("span", " · ".join(said), class_="soft"))
    choice = (
        segments("Club", [(_club(c.name), f"{base}?club={c.name.replace(' ', '+')}", c.name == club) for c in clubs])
        if len(clubs) > 1
        else None
    )
    return top(who, links, choice)


def _club(name: str) -> str:
    return name[:1].upper() + name[1:]
