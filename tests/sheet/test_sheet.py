"""The golfer's sheet on paper, on the phone and as text: whole, tagged, the same words everywhere, nothing from outside."""

import re
import xml.etree.ElementTree as ET
import zlib
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

import pytest
from sheets import DEMOS, TODAY, adult, junior, left_handed

from ferrule.coaching.case import Golfer
from ferrule.coaching.delivery_state import CAUSES
from ferrule.coaching.drills_library import BY_NAME, DRILLS
from ferrule.coaching.plan import Target, make_plan
from ferrule.coaching.quantities import GRIP_TURN, QUANTITIES
from ferrule.coaching.ways import _TABLE
from ferrule.coaching.wording_sheet import (
    caution_sentences,
    change_sentence,
    dose_sentence,
    number_sentence,
    why_sentences,
)
from ferrule.sheet.content import SheetContent, sheet_content
from ferrule.sheet.drill_pictures import _PICTURES, described, drill_picture
from ferrule.sheet.phone import phone_page
from ferrule.sheet.plain import plain_text
from ferrule.sheet.printed import make_sheet
from ferrule.sheet.progress_picture import progress_picture

FAULT_WORDS = ("wrong", "fault", "error", "bad ", "poor", "fail", "mistake", "too much cup", "lazy", "should not")
ALL = [pytest.param(make, id=name) for name, make in DEMOS.items()]


def flat(text: str) -> str:
    return " ".join(text.split())


def streams(pdf: bytes) -> bytes:
    out = b""
    for found in re.finditer(rb"stream\r?\n(.*?)\r?\nendstream", pdf, re.S):
        try:
            out += zlib.decompress(found.group(1))
        except zlib.error:
            out += found.group(1)
    return out


@pytest.mark.parametrize("make", ALL)
def test_pdf_is_tagged_and_claims_its_standards(make: object) -> None:
    pdf = make_sheet(make())  # type: ignore[operator]
    whole = pdf + streams(pdf)
    assert pdf.startswith(b"%PDF-1.7")
    assert re.search(rb"<pdfaid:part>2</pdfaid:part>", whole)
    assert re.search(rb"<pdfaid:conformance>A</pdfaid:conformance>", whole)
    assert re.search(rb"<pdfuaid:part>1</pdfuaid:part>", whole)
    assert b"/StructTreeRoot" in whole
    assert b"/Alt" in whole
    assert b"/Lang" in whole
    # All fonts are ours and inside the file; nothing reaches out.
    names = set(re.findall(rb"/FontName ?/[A-Z]{6}\+([A-Za-z]+)", whole))
    assert names and all(n.startswith((b"SourceSerif", b"HankenGrotesk")) for n in names)
    assert b"/URI" not in whole


@pytest.mark.parametrize("make", ALL)
def test_pdf_holds_what_an_archive_asks_for(make: object) -> None:
    """Structure only: the rules of ISO 19005-2 that can be seen without a validator."""
    pdf = make_sheet(make())  # type: ignore[operator]
    whole = pdf + streams(pdf)
    assert re.search(rb"/MarkInfo ?<<[^>]*/Marked true", whole)
    assert re.search(rb"/OutputIntents ?(\[|\d+ 0 R)", whole)
    assert re.search(rb"/S ?/GTS_PDFA1", whole)
    assert re.search(rb"/DestOutputProfile \d+ 0 R", whole)
    assert b"acsp" in streams(pdf)  # the colour profile itself
    described = re.findall(rb"/Type ?/FontDescriptor\b.*?>>", whole, re.S)
    assert described
    assert all(re.search(rb"/FontFile[23]? \d+ 0 R", d) for d in described)
    assert whole.count(b"/ToUnicode") >= len(described)
    assert re.search(rb"/ID ?\[", whole)
    for forbidden in (b"/Encrypt", b"/JavaScript", b"/Launch", b"/EmbeddedFiles", b"/AcroForm", b"/XFA"):
        assert forbidden not in whole
    assert re.search(rb"/Filter ?/LZWDecode", whole) is None


@pytest.mark.parametrize("make", ALL)
def test_one_or_two_pages_and_the_same_again(make: object) -> None:
    content = make()  # type: ignore[operator]
    pdf = make_sheet(content)
    assert pdf == make_sheet(content)
    pages = len(re.findall(rb"/Type ?/Page\b(?!s)", pdf + streams(pdf)))
    assert pages in (1, 2)
    assert pages == 1 or content.large_print


@pytest.mark.parametrize("make", ALL)
def test_phone_page_needs_nothing_from_outside(make: object) -> None:
    page = phone_page(make())  # type: ignore[operator]
    assert "default-src 'none'" in page
    links = re.sub(r'xmlns="[^"]*"', "", page)
    assert not re.search(r"https?:|src=|<script|<link|url\(|@import", links)
    body = page[page.index("<body>") : page.index("</body>") + 7]
    ET.fromstring(body)


@pytest.mark.parametrize("make", ALL)
def test_the_same_words_on_paper_phone_and_text(make: object) -> None:
    content = make()  # type: ignore[operator]
    text, page = flat(plain_text(content)), flat(phone_page(content))
    assert all(len(row) <= 76 for row in plain_text(content).splitlines())
    said = [*content.why, *content.change, content.number, *content.feel, *content.cautions, content.progress_words]
    said += [content.test, content.test_on]
    if content.drill is not None:
        said += [content.drill.dose, *content.drill.do, *content.drill.stop]
    for sentence in filter(None, said):
        assert sentence in text
        assert sentence.replace("'", "&#x27;") in page
    lowered = text.lower()
    assert not any(word in lowered for word in FAULT_WORDS)


def test_first_names_only() -> None:
    assert adult().name == "Anna"
    assert "Example" not in plain_text(adult()) + phone_page(adult())


def test_words_are_escaped_never_run() -> None:
    bad = replace(adult(), thought='<b>x</b> & "#panic()" $x$', name="<script>")
    page = phone_page(bad)
    assert "<script" not in page
    assert "&lt;b&gt;" in page
    assert make_sheet(bad).startswith(b"%PDF")


def test_left_handed_drawing_is_the_mirror() -> None:
    right, left = drill_picture("wall_behind"), drill_picture("wall_behind", left_handed=True)
    assert 'transform="translate(320,0) scale(-1,1)"' in left
    assert "scale(-1,1)" not in right
    assert "scale(-1,1)" in phone_page(left_handed())


@pytest.mark.parametrize("picture", list(_PICTURES))
def test_pictures_are_drawn_inside_their_frame(picture: str) -> None:
    root = ET.fromstring(drill_picture(picture))  # type: ignore[arg-type]
    assert described(picture)  # type: ignore[arg-type]
    for element in root.iter():
        for key in ("x1", "x2", "cx"):
            assert 0 <= float(element.get(key, 1)) <= 320
        for key in ("y1", "y2", "cy"):
            assert 0 <= float(element.get(key, 1)) <= 240


def test_every_drill_has_a_picture_and_every_picture_a_drill() -> None:
    assert {d.picture for d in DRILLS} == set(_PICTURES)


def test_plot_draws_the_smallest_real_change_and_tells_practice_apart() -> None:
    progress = adult().progress
    assert progress is not None
    picture = progress_picture(progress)
    assert "real from here on" in picture
    assert "practice (does not count)" in picture
    assert picture.count("<rect") == sum(p.kind == "practice" for p in progress.points) + 1
    ET.fromstring(picture)
    assert progress_picture(replace(progress, baseline=None, smallest_real=None)).count("real from here on") == 0


@pytest.mark.parametrize("wanted", [1.0, -1.0])
def test_on_a_phone_the_words_of_the_lines_do_not_cover_the_days(wanted: float) -> None:
    progress = adult().progress
    assert progress is not None
    assert progress.baseline is not None
    flat_ = tuple(
        replace(p, level=progress.baseline, low=progress.baseline - 1, high=progress.baseline + 1)
        for p in progress.points
    )
    picture = progress_picture(replace(progress, points=flat_, wanted=wanted), narrow=True)
    assert picture.index("where you began") < picture.index("<circle")
    words_at = [float(y) for y in re.findall(r'y="([\d.]+)"[^>]*>where you began', picture)]
    days_at = [float(y) for y in re.findall(r'cy="([\d.]+)" r="6.5"', picture)]
    assert all(abs(w - 5.0 - d) > 10.0 for w in words_at for d in days_at)


def test_plot_of_a_long_record_keeps_its_dates_apart() -> None:
    progress = adult().progress
    assert progress is not None
    many = tuple(replace(progress.points[0], on=TODAY + timedelta(days=7 * i)) for i in range(40))
    labels = re.findall(r'x="([\d.]+)" y="214', progress_picture(replace(progress, points=many)))
    places = sorted(float(x) for x in labels)
    assert 3 <= len(places) <= 7
    assert min(b - a for a, b in pairwise(places)) > 40


def test_thin_sheet_still_makes_sense() -> None:
    golfer = Golfer("right", pain=("left wrist",))
    target = Target("wrist.top.flexion_deg", "7-iron", -5.0, 5.0, "")
    plan = make_plan(golfer, "flexed_early", target, DRILLS, TODAY)
    content = sheet_content("Jo", golfer, plan, why_sentences("7-iron", None, None, 0.0, None, False), TODAY)
    assert (content.drill, content.number, content.progress) == (None, "", None)
    assert content.change == ("Wrist work pauses for now.",)
    assert "doctor or physiotherapist" in content.cautions[0]
    assert make_sheet(content).startswith(b"%PDF")
    assert "Wrist work pauses" in plain_text(content)


def test_a_junior_hears_of_the_grown_up_and_of_nothing_twice() -> None:
    content: SheetContent = junior()
    assert any("grown-up" in c for c in content.cautions)
    assert len(set(content.cautions)) == len(content.cautions)
    assert "Stay safe" in plain_text(content)


def test_sentences_for_every_way_cause_and_quantity() -> None:
    for way in _TABLE:
        assert change_sentence(way)
        assert caution_sentences(Golfer("right"), way, None)
    for cause in CAUSES:
        said = why_sentences("7-iron", 3.0, None, 3.0, (cause, 2.0), False)
        assert said[1] == "When it meets the ball, the face looks about 3° right of the target."
        assert "about 2°" in said[2]
    assert "3° left" in why_sentences("7-iron", -3.0, None, 3.0, None, True)[1]
    for key in (*QUANTITIES, GRIP_TURN.key):
        sentence = number_sentence(Target(key, "7-iron", 2.0, 6.0, ""))
        assert "_" not in sentence
        assert sentence.endswith(".")


def test_doses_in_words() -> None:
    drill = BY_NAME["stop_coming_down"]
    assert dose_sentence(drill.doses[1]) == (
        "Five slow swings, three times, half a minute's rest between, on up to five days a week."
    )


def test_sheet_of_a_plan_close_to_an_event() -> None:
    target = Target("wrist.top.flexion_deg", "7-iron", -5.0, 5.0, "")
    plan = make_plan(Golfer("right"), "flexed_early", target, DRILLS, TODAY, event=date(2026, 4, 12))
    content = sheet_content("Jo", Golfer("right"), plan, (), TODAY)
    assert "nothing new now" in content.change[0]
    assert content.drill is None
