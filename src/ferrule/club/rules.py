"""What the Equipment Rules allow, as data with their sources: used to tell an impossible number from an unusual one.

The identifiers are those of the check values in docs/validation.md. Values in SI beside the rule's own words.
"""

from dataclasses import dataclass
from typing import Final

from ferrule.club.clubs import Club
from ferrule.errors import Issue
from ferrule.units import DEG, INCH, MPH, YARD

OUNCE: Final = 0.028349523125
"""One avoirdupois ounce in kilograms, exact since 1959."""
FOOT: Final = 12.0 * INCH


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule or published test figure.

    value: the limit in SI (several where the rule has several); unit: of the value; text: the rule in short; source:
    where it was read; status: "found" (read there), "computed" (from found ones) or "from memory".
    """

    id: str
    text: str
    value: tuple[float, ...]
    unit: str
    source: str
    status: str = "found"


_APPENDIX: Final = "Rules of Golf, Appendix III (agc.com.sg, balls.com)"
_NEWS: Final = "news of 6 December 2023 (thegolfnewsnet.com, indiagolfweekly.com)"
_RANDA: Final = "R&A, A Guide to the Rules on Clubs and Balls, chapter 7"

RULES: Final = {
    rule.id: rule
    for rule in (
        Rule("C40", "Ball: mass at most 1.620 oz", (1.620 * OUNCE,), "kg", _APPENDIX),
        Rule("C41", "Ball: diameter at least 1.680 in", (1.680 * INCH,), "m", _APPENDIX),
        Rule("C42", "Ball falls through the ring gauge in fewer than 25 of 100 positions at 23 C", (25.0, 100.0), "positions", _APPENDIX),
        Rule("C43", "Initial velocity: 250 ft/s; with 2 % tolerance 255 ft/s", (250.0 * FOOT, 255.0 * FOOT), "m/s", "english.dabuanbodil.com, Measurements in sports: golf"),
        Rule("C44", "Overall Distance Standard until 2027: clubhead 120 mph, 10 degrees, 2520 rpm, ball about 176 mph", (120.0 * MPH, 10.0 * DEG, 2520.0, 176.0 * MPH), "m/s, rad, rpm, m/s", _NEWS),
        Rule("C45", "The same from January 2028: 125 mph, 11 degrees, 2200 rpm, ball about 183 mph", (125.0 * MPH, 11.0 * DEG, 2200.0, 183.0 * MPH), "m/s, rad, rpm, m/s", "several news pages (one prints 2220 rpm)"),
        Rule("C46", "Ball speed for clubhead speed implied by C44; C45", (176.0 / 120.0, 183.0 / 125.0), "ratio", "C44, C45", "computed"),
        Rule("C47", "120, 125, 176, 183 mph", (120.0 * MPH, 125.0 * MPH, 176.0 * MPH, 183.0 * MPH), "m/s", "C44, C45", "computed"),
        Rule("C48", "Distance limit 317 yd; with 3 yd tolerance 320 yd", (317.0 * YARD, 320.0 * YARD), "m", _NEWS, "computed"),
        Rule("C49", "Head: moment of inertia at most 5900 g cm2; tolerance 100", (5900.0e-7, 100.0e-7), "kg m2", "usga.org, notice on clubhead inertia, in force 1 May 2006"),
        Rule("C50", "Head: volume at most 460 cm3; tolerance 10", (460.0e-6, 10.0e-6), "m3", _RANDA),
        Rule("C51", "Head: heel to toe at most 127 mm; sole to crown at most 71.12 mm", (0.127, 0.07112), "m", _RANDA),
        Rule("C52", "Characteristic time: 239 us; tolerance 18; most 257", (239.0e-6, 18.0e-6, 257.0e-6), "s", "golfbusinessnews.com, R&A notice of 2004"),
        Rule("C53", "Coefficient of restitution at most 0.822; with test tolerance 0.830", (0.822, 0.830), "ratio", "usga.org 2025-05; franklygolf.com"),
        Rule("C54", "Restitution of a plain face with a standard ball: about 0.78", (0.78,), "ratio", "franklygolf.com"),
        Rule("C55", "Club: length at least 18 in, at most 48 in (not putters); a local rule may ask for 46 in", (18.0 * INCH, 48.0 * INCH, 46.0 * INCH), "m", "Equipment Rules, part 2", "from memory"),
        Rule("C56", "Shaft leans at least 10 degrees from vertical, heel to toe (25 may be asked)", (10.0 * DEG, 25.0 * DEG), "rad", "R&A guide, chapter 4"),
        Rule("C57", "Shaft leans along the line of play at most 20 degrees forward, 10 back", (20.0 * DEG, 10.0 * DEG), "rad", "R&A guide, chapter 4"),
        Rule("C58", "Shaft bends and twists the same whichever way; neck at most 127 mm", (0.127,), "m", "usga.org, Equipment Rules part 2, rule 3"),
        Rule("C59", "Putter: loft at most 10 degrees", (10.0 * DEG,), "rad", "usga.org, Equipment Rules part 2"),
    )
}  # fmt: skip


def check_club(club: Club) -> list[Issue]:
    """What about a club's numbers lies outside the rules: worth a second look before anything is blamed on the swing."""
    found = []
    shortest, longest, _ = RULES["C55"].value
    if not shortest <= club.length <= longest:
        found.append(
            Issue(
                "club_length_outside_rules",
                "warning",
                "club.length_m",
                f"{club.name}: {club.length:.3f} m is outside the {shortest:.3f} to {longest:.3f} m of the rules.",
            )
        )
    most_upright = 90.0 * DEG - RULES["C56"].value[0]
    if club.lie > most_upright:
        found.append(
            Issue(
                "club_lie_outside_rules",
                "warning",
                "club.lie_deg",
                f"{club.name}: a lie of {club.lie / DEG:.1f} degrees is more upright than the rules allow (80).",
            )
        )
    return found
