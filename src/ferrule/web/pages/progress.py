"""Progress of one golfer with one club: the verdict, the picture, what was settled, cold tests, what the golfer says."""

from collections.abc import Sequence
from datetime import date

from ferrule.app import cold_tests, golfers, lessons, periods
from ferrule.app.cold_tests import ColdTestView, ReportView
from ferrule.app.drills import MaybeReps, library, maybe_reps
from ferrule.app.finding import now
from ferrule.app.progress import Progress, progress
from ferrule.app.views import ClubView, LessonLine
from ferrule.app.workspace import Workspace
from ferrule.coaching.change import FEWEST_SWINGS, TEST_SWINGS, Verdict
from ferrule.coaching.drills import Drill, allowed, drills_for
from ferrule.coaching.plan import opening
from ferrule.coaching.wording_change import EVIDENCE_WORDS, carry_over_sentence, verdict_note, verdict_sentence
from ferrule.coaching.wording_sheet import dose_sentence, number_sentence
from ferrule.coaching.wording_ways import TITLES
from ferrule.errors import InputError
from ferrule.sheet.content import progress_of
from ferrule.sheet.progress_picture import progress_picture
from ferrule.web.case_parts import caution
from ferrule.web.golfer_top import top_line
from ferrule.web.markup import Markup, join, tag
from ferrule.web.pad import pad
from ferrule.web.parts import (
    REST,
    area,
    behind,
    both_sizes,
    button,
    empty,
    fault_place,
    field,
    form,
    pairs,
    segments,
    select,
    sheet,
    submit,
)
from ferrule.web.progress_more import notes_part, periods_part, rep_words, reps_buttons, step_words, window_form
from ferrule.web.running import running_lesson
from ferrule.web.shell import Drawn, Parts, page
from ferrule.web.words import counted, day_words, first_name


@page("/golfers/{golfer_id}/progress")
def progress_page(ws: Workspace, parts: Parts) -> Drawn:
    """Progress with the club in the address, else with that of the newest plan."""
    golfer_id = int(parts["golfer_id"])
    found = progress(ws, golfer_id, parts.get("club") or None)
    held = lessons.lessons(ws, golfer_id)
    head = top_line(found.golfer, len(held), held[0].id if held else None, "progress", [], "")
    name = first_name(found.golfer.name)
    title = f"{name}, progress with the {found.club}"
    running = next((t for t in found.tests if t.is_running), None)
    if running is not None and held and running.lesson_id == held[0].id:
        return Drawn(title, sheet(head, _test_going_on(running, name)), golfer_id)
    since = found.settled.chosen.chosen_at if found.settled is not None else None
    maybe = maybe_reps(ws, held[0].id, since) if held and since is not None else []
    titles = [d.title for d in _fitting(library(ws), found)]
    more = (_periods(ws, parts, found), notes_part(periods.notes_of(ws, golfer_id)))
    html = progress_html(
        found, head, golfers.clubs(ws, golfer_id), held, cold_tests.reports(ws, golfer_id), maybe, titles, more
    )
    return Drawn(title, html, golfer_id)


def _fitting(drills: Sequence[Drill], found: Progress) -> Sequence[Drill]:
    """Drills for the way that this golfer may do; all that may be done before there is a way."""
    if found.settled is None:
        return [d for d in drills if allowed(d, found.person)[0]]
    way = found.settled.plan.way
    both = [*drills_for(drills, found.person, way=way), *drills_for(drills, found.person, way=way, closes=False)]
    return list(dict.fromkeys(both))


def _periods(ws: Workspace, parts: Parts, found: Progress) -> Markup | None:
    """Two periods as the address has them; else the usual ones are offered."""
    usual = periods.usual_periods(ws, found.golfer.id, found.club)
    try:
        days = [date.fromisoformat(parts[n]) for n in ("first_from", "first_to", "second_from", "second_to")]
    except (KeyError, ValueError):
        return periods_part(found, usual, None, (), "")
    asked = ((days[0], days[1]), (days[2], days[3]))
    try:
        answer = periods.compared(ws, found.golfer.id, *asked, found.club)
    except InputError as error:
        return periods_part(found, usual, asked, (), str(error).partition(": ")[2])
    return periods_part(found, usual, asked, answer, "")


def progress_html(
    found: Progress,
    head: Markup,
    bag: list[ClubView],
    held: list[LessonLine],
    reports: list[ReportView],
    maybe: Sequence[MaybeReps],
    drills: Sequence[str],
    more: Sequence[Markup | None],
) -> Markup:
    """The page from its data."""
    base = f"/golfers/{found.golfer.id}/progress"
    choice = segments(
        "Club", [(c.name[:1].upper() + c.name[1:], f"{base}?club={c.name.replace(' ', '+')}", c.name == found.club) for c in bag]
    )  # fmt: skip
    body = tag(
        "main",
        tag("section", choice if len(bag) > 1 else None, _first(found), caution(found.golfer)),
        _picture(found),
        tag(
            "div",
            tag(
                "section",
                tag("h2", "What was settled"),
                _settled(found),
                reps_buttons(
                    maybe, found.settled.plan.drill.title if found.settled and found.settled.plan.drill else ""
                ),
                _settle(found, held, drills),
                window_form(found, held[0].id, found.club) if held and found.settled else None,
                tag(
                    "p",
                    tag(
                        "a",
                        f"All drills, and what suits {first_name(found.golfer.name)}",
                        href=f"/drills?golfer={found.golfer.id}",
                        class_="bare",
                    ),
                ),
                id="plan",
            ),
            tag("section", tag("h2", "Cold test"), _cold(found, held), id="cold"),
            class_="split",
        ),
        _kinds(found),
        tag(
            "div",
            tag("section", tag("h2", f"What {first_name(found.golfer.name)} says"), _says(found, reports), id="says"),
            tag("section", tag("h2", "The sheet to take home"), _sheet(found), id="sheet"),
            class_="split",
        ),
        *more,
    )
    return sheet(head, body)


def _first(found: Progress) -> Markup:
    """The verdict in one sentence, what stands behind it, and the next test."""
    main = found.main
    name = first_name(found.golfer.name)
    if found.settled is None:
        return join(
            tag("h1", f"Nothing is settled yet with {name}’s {found.club}", class_="calm"),
            tag("p", "Choose a way below. From then on ten cold balls at the start of a lesson show what has stayed.", class_="lead"),
        )  # fmt: skip
    said = (
        verdict_sentence(main) if main is not None else f"Not yet distinguishable: no ball with the {found.club} yet."
    )
    plan = found.settled.plan
    late = (now().astimezone().date() - plan.next_test).days
    due = (
        f"Cold test due since {day_words(plan.next_test)}"
        if late > 0
        else f"Next cold test: {day_words(plan.next_test)}"
    )
    return join(
        tag("h1", said, class_="calm"),
        tag("p", f"{due}.", class_="lead"),
        tag("p", verdict_note(main), class_="sure") if main is not None else None,
        tag("p", found.cause.sentence, class_="sure") if found.cause is not None else None,
        *(tag("p", reason, class_="caution") for reason in plan.reasons),
    )


def _picture(found: Progress) -> Markup | None:
    main = found.main
    if main is None or found.settled is None:
        return None
    drawn = progress_of(main, found.settled.plan)
    if drawn is None:
        return None
    q = main.question
    real = " The dashed line is the smallest change that one cold test can show." if main.smallest_real else ""
    return tag(
        "section",
        tag("h2", f"{q.quantity[:1].upper()}{q.quantity[1:]}, day by day"),
        tag("div", both_sizes(Markup(progress_picture(drawn)), Markup(progress_picture(drawn, narrow=True))), class_="plate"),
        tag("p", f"{EVIDENCE_WORDS[q.evidence].capitalize()}. Whiskers: where the day’s level is, nine times in ten.{real}", class_="soft"),
        id="picture",
    )  # fmt: skip


def _kinds(found: Progress) -> Markup | None:
    """Every quantity with its kind of evidence, named."""
    if not found.verdicts:
        return None
    return tag(
        "section",
        tag("h2", "What it rests on"),
        tag("ul", *(tag("li", _kind(v), data_key=f"verdict-{i}") for i, v in enumerate(found.verdicts)), class_="list", aria_label="Verdicts"),
        id="evidence-kinds",
    )  # fmt: skip


def _kind(verdict: Verdict) -> Markup:
    q = verdict.question
    carried = [carry_over_sentence(c, q) for c in verdict.carry_over]
    return tag(
        "div",
        tag(
            "span",
            tag("span", f"{q.quantity[:1].upper()}{q.quantity[1:]}", class_="name"),
            tag("p", verdict_sentence(verdict)),
            *(tag("p", c) for c in carried),
            tag("p", verdict_note(verdict), class_="note"),
            class_="main",
        ),
        class_="item",
    )  # fmt: skip


def _settled(found: Progress) -> Markup | None:
    settled = found.settled
    if settled is None:
        return None
    plan = settled.plan
    drill = settled.own_drill or (plan.drill.title if plan.drill else "none for now")
    return pairs(
        ("Since", day_words(settled.began)),
        ("Way", TITLES.get(plan.way, plan.way)),
        ("Thought", plan.thought),
        ("Drill", drill),
        ("Dose", dose_sentence(plan.dose) if plan.dose else None),
        ("A good one", f"{plan.drill.measure.words}." if plan.drill and plan.drill.measure else None),
        ("Window", number_sentence(plan.target) if settled.has_window else None),
        ("Reps", rep_words(found)),
        ("Next step", step_words(found)),
        ("Test", plan.test),
    )


def _settle(found: Progress, held: list[LessonLine], drills: Sequence[str]) -> Markup:
    """The form in which a way is chosen; it belongs to the newest lesson."""
    if not held:
        return tag("p", "A plan belongs to a lesson: start one first.", class_="soft")
    settled = found.settled
    inside = form(
        f"{REST}/lessons/{held[0].id}/plan",
        tag("input", type="hidden", name="club", value=found.club),
        tag(
            "div",
            select("way", "The way", list(TITLES.items()), chosen=settled.chosen.way if settled else "flexed_early", id_="plan"),
            field("thought", "One thought", value=settled.chosen.thought if settled else "", id_="plan", maxlength=400),
            field("drill", "One drill", value=settled.chosen.drill if settled else "", id_="plan", maxlength=400, list="drills",
                  hint="One of ours by its title, or your own in words. Empty: the one that suits."),
            field("test", "One test", value=settled.chosen.test if settled else "", id_="plan", maxlength=400,
                  hint="Empty: ten balls, cold, nobody says anything."),
            class_="stack",
        ),
        tag("datalist", *(tag("option", value=t) for t in drills), id="drills"),
        fault_place(""), fault_place("club.name"),
        tag("div", submit("Settle on it", class_="a"), class_="tools"),
    )  # fmt: skip
    return behind("Change the plan" if settled else "Settle on a way", inside, id_="settle", opened=settled is None)


def _cold(found: Progress, held: list[LessonLine]) -> Markup:
    """Start one, or say that the first balls were one; the tests there were."""
    running = running_lesson(held)
    parts: list[Markup] = [
        tag("p", f"{counted(TEST_SWINGS, 'ball').capitalize()} before anything else is said: under four minutes. Nobody comments, nobody helps.")
    ]  # fmt: skip
    if running is None:
        parts.append(tag("div", button("Start a lesson with it", f"{REST}/golfers/{found.golfer.id}/lessons", class_="do", data_then=f"/golfers/{found.golfer.id}/progress"), class_="tools"))  # fmt: skip
    else:
        send = f"{REST}/lessons/{running.id}/cold-tests"
        taps = [button("Start the cold test", send, {"club": found.club}, class_="do")]
        if found.settled is not None and found.settled.plan.drill is not None:
            taps.append(tag("a", "Practise the drill", href=f"/lessons/{running.id}/practice", class_="a"))
        parts.append(tag("div", *taps, class_="tools"))
        parts.append(
            behind(
                "Elsewhere: another target, or the course",
                form(
                    send,
                    tag("input", type="hidden", name="club", value=found.club),
                    field("elsewhere", "Where", id_="else", maxlength=120),
                    tag("div", submit("Start it there", class_="a small"), class_="tools"),
                ),
                id_="elsewhere",
            )
        )
    if held and held[0].swings >= FEWEST_SWINGS and not any(t.lesson_id == held[0].id for t in found.tests):
        send = f"{REST}/lessons/{held[0].id}/cold-tests/first"
        parts.append(tag("div", button(f"The first balls of {_of_day(held[0])} were cold", send, {"club": found.club}, class_="bare"), class_="tools"))  # fmt: skip
    rows = [
        tag("li", tag("div", tag("span", day_words(t.started_at), f": {counted(len(t.balls), 'ball')}", f", {t.elsewhere}" if t.elsewhere else "", class_="main"), class_="item"), data_key=f"test-{t.id}")
        for t in found.tests[:6]
    ]  # fmt: skip
    return tag(
        "div", *parts, fault_place(""), fault_place("club"), tag("ul", *rows, class_="list", aria_label="Cold tests") if rows else None,
        data_faults=True,
    )  # fmt: skip


def _of_day(lesson: LessonLine) -> str:
    return f"the lesson of {day_words(lesson.started_at)}"


def _test_going_on(test: ColdTestView, name: str) -> Markup:
    """Nothing but the pad: no verdict, no flight, no number."""
    done = len(test.balls)
    return tag(
        "main",
        tag(
            "section",
            tag("h1", f"{name}’s cold test: ball {done + 1} of {TEST_SWINGS}", class_="calm"),
            tag("p", f"With the {test.club}{f', {test.elsewhere}' if test.elsewhere else ''}. Tap where it went and say nothing.", class_="lead"),
            pad(f"{REST}/cold-tests/{test.id}/balls"),
            tag("div", button("Undo", f"{REST}/lessons/{test.lesson_id}/undo", class_="bare") if done else None,
                button("End it here", f"{REST}/cold-tests/{test.id}/end", class_="bare", sure="End with fewer than ten?"), class_="last"),
            fault_place(""),
            data_faults=True,
            id="cold-test",
        ),
    )  # fmt: skip


def _says(found: Progress, reports: list[ReportView]) -> Markup:
    rows = [tag("li", tag("div", tag("span", day_words(r.reported_at), ": ", _said(r), class_="main"), class_="item"), data_key=f"report-{r.id}") for r in reports[:5]]  # fmt: skip
    return tag(
        "div",
        tag("ul", *rows, class_="list", aria_label="Reports") if rows else None,
        form(
            f"{REST}/golfers/{found.golfer.id}/report",
            tag(
                "div",
                field("confidence", "Trust in the change, 0 to 10", kind="number", id_="says"),
                field("hurts", "What hurts or is numb", value=", ".join(found.golfer.pain), id_="says", hint="Empty when nothing does. Wrist, hand or forearm pauses wrist work.", maxlength=400),
                area("words", "In the golfer’s words"),
                class_="stack",
            ),
            fault_place(""),
            tag("div", submit("Note it", class_="a small"), class_="tools"),
            clear=True,
        ),
    )  # fmt: skip


def _said(report: ReportView) -> str:
    parts = [f"trust {report.confidence} of 10"] if report.confidence is not None else []
    parts.append(f"hurts: {', '.join(report.hurts)}" if report.hurts else "nothing hurts")
    return f"{'; '.join(parts)}.{f' “{report.words}”' if report.words else ''}"


def _sheet(found: Progress) -> Markup:
    if found.settled is None:
        return empty("No sheet yet", "It says what to change and when it is tested: settle on a way first.", level="h3")
    base = f"{REST}/golfers/{found.golfer.id}/sheet"
    club = f"club={found.club.replace(' ', '+')}"
    links = (
        ("PDF, A4", f"{base}.pdf?{club}"),
        ("PDF, Letter", f"{base}.pdf?{club}&paper=letter"),
        ("PDF, large print", f"{base}.pdf?{club}&large_print=true"),
        ("Page for the phone", f"{base}.html?{club}"),
        ("Plain text", f"{base}.txt?{club}"),
    )
    brief = opening(found.settled.plan, now().astimezone().date()).brief
    return tag(
        "div",
        tag("p", "One or two pages: why, what to change, the drill, progress, the next test."),
        tag("div", *(tag("a", said, href=to, class_="a small", target="_blank", rel="noopener") for said, to in links), class_="strikes"),
        behind("How the next lesson opens", *(tag("p", line) for line in brief), id_="opening"),
    )  # fmt: skip
