"""The drawings: what is drawn where, for either hand, with its doubt, in words as well."""

import re
from itertools import pairwise
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ferrule.web import look
from ferrule.web.markup import Markup
from ferrule.web.pictures.flight import FLAG, HEIGHT, TEE, WIDTH, Flight, flight_picture, landing_point, pad_curve
from ferrule.web.pictures.golfer import (
    FaceAt,
    ShaftLevel,
    edge_tilt_deg,
    impact_picture,
    shaft_level_picture,
    top_picture,
)
from ferrule.web.pictures.ink import Point, solid, words, wrapped
from ferrule.web.pictures.ladder import Piece, Rung, closing_words, ladder
from ferrule.web.pictures.rail import Mark, rail
from ferrule.web.pictures.staircase import Step, share_words, staircase, staircase_narrow, tops

SVG = "{http://www.w3.org/2000/svg}"
STEPS = [
    Step("lead wrist too cupped", 3.3, 1.2, "sensor"),
    Step("forward bend lost", 1.3, 1.7, "assumed"),
    Step("grip strong", -1.2, 1.5, "by eye"),
]


def parsed(picture: Markup) -> ET.Element:
    return ET.fromstring(str(picture))


def every_picture() -> list[Markup]:
    rungs = [Rung("Top", "Shaft level", (Piece("wrist", 12), Piece("arm", -3)), 9.0)]
    at = FaceAt(20, 4, says="4° open")
    return [
        flight_picture(Flight(3, 4), "x"), staircase(STEPS, "3° open", "x"), staircase_narrow(STEPS, "3° open", "x"),
        rail([Mark(2), Mark(-1, "try", "bow early")], "x"), rail([Mark(2)], "x", narrow=True), ladder(rungs, "x"),
        ladder(rungs, "x", narrow=True), shaft_level_picture(ShaftLevel(35, 24, 5, "now", "then"), "x"),
        top_picture(at, "x"), impact_picture(at, "x"),
    ]  # fmt: skip


def test_every_picture_is_well_formed_says_what_it_shows_and_has_no_small_type() -> None:
    for picture in every_picture():
        root = parsed(picture)
        assert root.get("role") == "img"
        assert root.get("aria-label") == "x"
        sizes = [float(t.get("font-size", "0")) for t in root.iter(f"{SVG}text")]
        assert all(s >= 16 for s in sizes)
        # Only tokens of the look, so that every mode has its colours.
        used = set(re.findall(r"var\(--([a-z-]+)\)", picture))
        assert used <= set(look.PAPER)
        assert not re.search(r"#[0-9A-Fa-f]{3,6}", picture)


def test_what_is_written_is_escaped() -> None:
    evil = "<script>x</script>"
    for picture in (
        flight_picture(Flight(1, 1, title=evil, start_words=(evil,), landing_words=evil, path_words=evil), evil),
        staircase([Step(evil, 1, 1, "typed")], evil, evil),
        rail([Mark(1, "try", evil)], evil),
        ladder([Rung(evil, evil, (Piece(evil, 5),), 5.0)], evil),
    ):
        assert "<script>" not in picture
        assert "&lt;script&gt;" in picture


def test_small_type_is_a_mistake() -> None:
    with pytest.raises(ValueError, match="under 16"):
        words(Point(0, 0), "small", size=15)


def test_text_breaks_between_words() -> None:
    assert wrapped("arm and body turn the face shut", 130) == ["arm and body", "turn the face", "shut"]


# --- the ball ---------------------------------------------------------------------------------------------------------


@given(st.floats(-50, 50), st.floats(-40, 40), st.booleans())
@settings(max_examples=80, derandomize=True)
def test_the_ball_lands_on_its_own_side_and_on_the_page(start: float, curve: float, left_handed: bool) -> None:
    land = landing_point(Flight(start, curve, left_handed=left_handed))
    if abs(start + curve) > 0.5:
        assert (land.x > TEE.x) == (start + curve > 0)
    assert 0 <= land.x <= WIDTH
    assert FLAG.y <= land.y < TEE.y
    parsed(flight_picture(Flight(start, curve, left_handed=left_handed), "x"))


def test_a_wider_doubt_is_a_wider_patch() -> None:
    def width(sd: float) -> float:
        root = parsed(flight_picture(Flight(3, 3, landing_sd_deg=sd), "x"))
        return max(float(e.get("rx", 0)) for e in root.iter(f"{SVG}ellipse") if "4 4" in e.get("stroke-dasharray", ""))

    assert width(1.5) < width(3) < width(6)


def test_the_right_hander_s_shaft_comes_from_the_left_and_the_left_hander_s_from_the_right() -> None:
    """Seen from above with the target up, a right-handed golfer stands to the left of the ball."""
    heads = [
        re.search(r"translate\(([\d.]+),[\d.]+\) scale\((-?1),1\)", flight_picture(Flight(0, 0, left_handed=h), "x"))
        for h in (False, True)
    ]
    assert [h.group(2) for h in heads if h] == ["1", "-1"]


def test_open_and_closed_side_follow_the_hand() -> None:
    right_ball = [flight_picture(Flight(4, 4, left_handed=h), "x") for h in (False, True)]
    assert "var(--open)" in right_ball[0]
    assert "var(--closed)" not in right_ball[0]
    assert "var(--closed)" in right_ball[1]
    assert "var(--open)" not in right_ball[1]


def test_the_words_stay_on_the_page() -> None:
    for side in (-1, 1):
        flight = Flight(
            9 * side,
            14 * side,
            title="Ines’s usual ball",
            start_words=("starts 9° right,", "bends right"),
            landing_words="48 yd right",
        )
        for t in parsed(flight_picture(flight, "x")).iter(f"{SVG}text"):
            x, wide = float(t.get("x", 0)), len(t.text or "") * 17 * 0.52
            left = x - wide if t.get("text-anchor") == "end" else x
            assert left >= 0
            assert left + wide <= WIDTH
            assert 0 < float(t.get("y", 0)) < HEIGHT


def test_nine_keys_are_nine_drawings() -> None:
    assert len({pad_curve(s, b) for s in (-1, 0, 1) for b in (-1, 0, 1)}) == 9


# --- the staircase ----------------------------------------------------------------------------------------------------


def blocks(picture: Markup) -> list[tuple[float, float, bool, str]]:
    return [
        (float(r.get("y", 0)), float(r.get("height", 0)), r.get("class") == "assumed", r.get("fill", ""))
        for r in parsed(picture).iter(f"{SVG}rect")
    ]


@given(st.lists(st.floats(-8, 8).filter(lambda v: abs(v) > 0.4), min_size=1, max_size=6))
@settings(max_examples=60, derandomize=True)
def test_the_steps_add_up_to_where_the_staircase_ends(shares: list[float]) -> None:
    steps = [Step(f"cause {i}", v, 0.5, "typed") for i, v in enumerate(shares)]
    picture = staircase(steps, "end", "x")
    root = parsed(picture)
    square = next(float(e.get("y1", 0)) for e in root.iter(f"{SVG}line") if e.get("x1") == "30")
    end = next(float(c.get("cy", 0)) for c in root.iter(f"{SVG}circle"))
    drawn = blocks(picture)
    scale = sum(h for _, h, _, _ in drawn) / sum(abs(v) for v in shares)
    assert (square - end) / scale == pytest.approx(sum(shares), abs=0.15 * len(shares))
    assert tops(steps)[-1][1] == pytest.approx(sum(shares))
    # Each step begins where the one before ended.
    for (_, a_end), (b_start, _) in pairwise(tops(steps)):
        assert a_end == b_start


def test_what_was_assumed_is_paler_and_says_so() -> None:
    for picture in (staircase(STEPS, "3° open", "x"), staircase_narrow(STEPS, "3° open", "x")):
        assert [b[2] for b in blocks(picture)] == [False, True, False]
        assert re.search(r'class="assumed"[^>]*', picture)
        assert "assumed" in " ".join(t.text or "" for t in parsed(picture).iter(f"{SVG}text"))
        assert [b[3] for b in blocks(picture)] == ["var(--open)", "var(--open)", "var(--closed)"]


def test_a_step_has_its_doubt_as_a_thin_line() -> None:
    root = parsed(staircase(STEPS, "3° open", "x"))
    upright = [e for e in root.iter(f"{SVG}line") if e.get("x1") == e.get("x2")]
    long = [abs(float(e.get("y1", 0)) - float(e.get("y2", 0))) for e in upright]
    assert long[1] / long[0] == pytest.approx(1.7 / 1.2, rel=0.02)


def test_shares_are_words() -> None:
    assert share_words(STEPS[0]) == "3.3° opens · sensor"
    assert share_words(STEPS[2]) == "1.2° closes · by eye"
    assert "-" not in share_words(STEPS[2])


# --- the rail ---------------------------------------------------------------------------------------------------------


def test_the_rail_runs_from_closed_to_open_and_piles_up_equal_balls() -> None:
    root = parsed(rail([Mark(-4), Mark(0), Mark(4), Mark(4)], "x"))
    places = [(float(c.get("cx", 0)), float(c.get("cy", 0))) for c in root.iter(f"{SVG}circle")]
    assert places[0][0] < places[1][0] < places[2][0] == places[3][0]
    assert places[3][1] < places[2][1]
    assert [t.text for t in root.iter(f"{SVG}text")][:3] == ["closed", "square", "open"]


def test_the_words_of_tries_do_not_touch() -> None:
    marks = [Mark(1, "try", "bow early"), Mark(1.3, "try", "bow early, twice as much"), Mark(1.6, "try", "stay down")]
    said = list(parsed(rail(marks, "x")).iter(f"{SVG}text"))[3:]
    boxes = [
        (float(t.get("x", 0)) - len(t.text or "") * 4.2, float(t.get("x", 0)) + len(t.text or "") * 4.2, t.get("y"))
        for t in said
    ]
    for i, a in enumerate(boxes):
        for b in boxes[i + 1 :]:
            assert a[2] != b[2] or a[1] < b[0] or b[1] < a[0]


# --- sketches and the ladder ------------------------------------------------------------------------------------------


def test_an_open_face_stands_more_upright_than_the_spine() -> None:
    assert edge_tilt_deg(35, 24) == 11
    assert edge_tilt_deg(35, 0) == 35
    assert edge_tilt_deg(35, -10) == 45


def test_now_is_grey_and_the_way_green_and_the_left_hander_is_the_mirror_image() -> None:
    right = shaft_level_picture(ShaftLevel(35, 24, 5, "now", "then"), "x")
    left = shaft_level_picture(ShaftLevel(35, 24, 5, "now", "then", left_handed=True), "x")
    assert "var(--now)" in right
    assert "var(--act)" in right
    assert "scale(-1,1)" in left
    assert "scale(-1,1)" not in right
    # The figure is the same, seen in the mirror; words are not mirrored with it.
    assert re.findall(r'd="M90[^"]*"', right) == re.findall(r'd="M90[^"]*"', left)
    group = parsed(left).find(f"{SVG}g")
    assert group is not None
    assert list(group.iter(f"{SVG}text")) == []
    for picture in (right, left):
        assert "seen from behind" in picture


def test_the_face_at_impact_turns_to_the_side_it_faces() -> None:
    turns = {}
    for face in (-6.0, 6.0):
        match = re.search(r"rotate\((-?[\d.]+)\)", impact_picture(FaceAt(face_deg=face), "x"))
        assert match
        turns[face] = float(match.group(1))
    assert turns[6.0] > 0 > turns[-6.0]  # clockwise on the page is to the right of the target


def test_what_was_not_read_is_not_drawn() -> None:
    assert "var(--now)" not in impact_picture(FaceAt(), "x")
    assert 'stroke-width="8"' not in top_picture(FaceAt(), "x")


def test_the_ladder_names_every_piece_and_leaves_out_what_is_nothing() -> None:
    rungs = [
        Rung("Top", "Shaft level", (Piece("wrist bows", 12), Piece("play", 0.2)), 12.4),
        Rung("Shaft level", "Impact", (Piece("arm", -6),), -6.0),
    ]
    said = [t.text for t in parsed(ladder(rungs, "x")).iter(f"{SVG}text")]
    assert "wrist bows" in said
    assert "play" not in said
    assert "12° closing" in said
    assert "6° opening" in said
    assert [closing_words(v) for v in (41.2, -6, 0.3)] == ["41° closing", "6° opening", "no turn"]


def test_a_picture_for_paper_has_its_colours_written_out() -> None:
    made = solid(staircase(STEPS, "3° open", "x"), look.PAPER)
    assert "var(" not in made
    assert look.PAPER["open"] in made
