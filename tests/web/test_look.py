"""The look: contrast, fonts, no type under 16 px, nothing from another host."""

import re

import pytest

from ferrule.web import look

GROUNDS = ("paper", "sheet", "turf", "mark", "green")
INKS = ("ink", "soft", "open", "closed", "act")


@pytest.mark.parametrize("mode", look.MODES)
def test_every_ink_reads_on_every_ground(mode: str) -> None:
    tokens = look.MODES[mode]
    for ground in GROUNDS:
        for ink in INKS:
            # WCAG 2.1, success criterion 1.4.3: at least 4.5 to 1 for text of this size.
            assert look.contrast(tokens[ink], tokens[ground]) >= 4.5, (ink, ground)
        assert look.contrast(tokens["now"], tokens[ground]) >= 3, ground  # lines, criterion 1.4.11
    assert look.contrast(tokens["act-ink"], tokens["act"]) >= 7
    assert look.contrast(tokens["paper"], tokens["ink"]) >= 7  # the short words that come and go


def test_sun_is_black_on_white_and_says_more() -> None:
    assert look.contrast(look.SUN["ink"], look.SUN["paper"]) == pytest.approx(21)
    for ink in INKS:
        assert look.contrast(look.SUN[ink], look.SUN["paper"]) > look.contrast(look.PAPER[ink], look.PAPER["paper"])


def test_dark_is_light_on_dark_and_open_and_closed_stay_apart() -> None:
    assert look.contrast(look.DARK["paper"], "#FFFFFF") > 12
    assert look.contrast(look.DARK["ink"], look.DARK["paper"]) > 12
    for tokens in look.MODES.values():
        red = [int(tokens[name][1:3], 16) for name in ("open", "closed")]
        blue = [int(tokens[name][5:7], 16) for name in ("open", "closed")]
        # Warm against cold holds for every colour-blind eye; brightness alone would not.
        assert red[0] - red[1] > 60
        assert blue[1] - blue[0] > 60


def test_the_mode_is_set_before_anything_is_drawn() -> None:
    head = str(look.head("1"))
    assert head.index("ferruleMode()") < head.index("<style") < head.index('rel="stylesheet"')
    assert "prefers-color-scheme: dark" in head
    css = look.tokens_css()
    assert css.count("color-scheme:dark") == 1
    assert css.count("color-scheme:light") == 2


def test_contrast_of_known_pairs() -> None:
    assert look.contrast("#FFFFFF", "#000000") == pytest.approx(21)
    assert look.contrast("#777777", "#FFFFFF") == pytest.approx(4.48, abs=0.01)  # the well-known grey that just fails


def test_every_mode_has_every_token() -> None:
    assert {frozenset(tokens) for tokens in look.MODES.values()} == {frozenset(look.PAPER)}


def test_fonts_come_from_their_packages_and_nothing_else_does() -> None:
    names = re.findall(r"url\(/fonts/([^)]+)\)", look.tokens_css())
    assert len(names) == 5
    for name in names:
        path = look.font_path(name)
        assert path is not None
        assert path.read_bytes()[:4] == b"OTTO"
    for name in ("../../../etc/passwd", "OFL.txt", ""):
        assert look.font_path(name) is None


def test_the_style_sheet_has_no_small_type_and_no_other_host() -> None:
    css = (look.STATIC / "ferrule.css").read_text()
    sizes = [float(v) for v in re.findall(r"(?:font-size:|font:[^;}]*?)(\d+(?:\.\d+)?)px", css)]
    assert len(sizes) > 10
    assert min(sizes) >= 16
    assert "http" not in css
    assert "@import" not in css
    used = set(re.findall(r"var\(--([a-z-]+)\)", css))
    assert used <= {*look.PAPER, "at", "ratio"}  # the last two are places within a drawing
