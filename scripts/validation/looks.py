"""Measured figures of the next look: against random looks, against the best constant order, against a sampling observer."""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import hypot
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from ferrule.analysis.recording import analyse_recording
from ferrule.club.clubs import club_by_name
from ferrule.coaching.case import Gear
from ferrule.coaching.delivery_state import SIZE, DeliveryModel, States
from ferrule.coaching.looks import SHOWN, SURENESS, WORTH
from ferrule.coaching.looks_table import LOOKS, Look
from ferrule.coaching.posterior import posterior_of
from ferrule.coaching.references import FACE_ADDRESS_SD_DEG, GRIP_ADDRESS_SD_DEG, SCATTER, reference_of
from ferrule.coaching.shares import shares_of_face
from ferrule.simulator.golfers import draw_states, read_golfers, simulate_golfers
from ferrule.simulator.lesson import simulate_lesson
from ferrule.simulator.looking import Looked, Looker
from ferrule.simulator.plans import CalibrationPlan, Pattern, SwingPlan
from ferrule.units import DEG

Floats = NDArray[np.float64]
Choice = Callable[[Looker, list[str], float], str | None]

TITLE: str = "Next look"

PAIRED = 2000
CEILING = 500
VARIED = 300
POINTS, OUTCOMES = 5000, 150
LESSONS, SWINGS = 20, 5
BUDGETS_S = (150.0, 300.0, 450.0)
STARTS = {"ball only": ["ball"], "ball and wrist": ["ball", "wrist"]}
_GEAR: tuple[Gear, ...] = ("video", "sensor", "ball")


def report(data: Path | None) -> str:  # noqa: ARG001 - no outside data: simulated golfers with known truth
    """Paired golfers, ceiling, varied golfers, what careful sensors read."""
    return "\n\n".join([_paired(), _varied(), _observed(), _careful()])


def _paired() -> str:
    rows = [
        "| start | measure | before | two of its looks | two random looks | difference | every look there is |",
        "|---|---|---|---|---|---|---|",
    ]
    chosen = []
    for start, kinds in STARTS.items():
        table = []
        counts: Counter[str] = Counter()
        for i, golfer in enumerate(simulate_golfers(PAIRED, seed=147, kinds=kinds)):
            rng = np.random.default_rng([5, i])
            looker = Looker(golfer, rng)
            taken = _taken(looker, _own, 2)
            counts.update(taken or ["none worth its time"])
            own = looker.after(taken)
            random = looker.after(_taken(looker, _random(rng), 2))
            every = looker.after(_every(looker)) if i < CEILING else None
            table.append([_scores(k) for k in (looker.after([]), own, random, every or own)])
        a = np.array(table, dtype=float)
        for j, measure in enumerate(("called largest, rightly", "named (at least 0.5 likely and 1.5°), rightly")):
            mean = a[:, :, j].mean(axis=0)
            gap = a[:, 1, j] - a[:, 2, j]
            error = gap.std() / np.sqrt(len(gap))
            ceiling = a[:CEILING, 3, j].mean()
            rows.append(
                f"| {start} | {measure} | {mean[0]:.1%} | {mean[1]:.1%} | {mean[2]:.1%} |"
                f" {100 * gap.mean():+.1f} ± {100 * error:.1f} | {ceiling:.1%} |"
            )
        often = ", ".join(f"{name} {count / PAIRED:.1%}" for name, count in counts.most_common())
        chosen.append(f"Its two looks from {start}, in how many of the golfers: {often}.")
    return (
        f"**After two looks**, {PAIRED} paired simulated golfers a start, every kind of gear at hand; each look brings what the"
        " table of looks says, with its doubt; random looks are drawn among those that could still be taken. Asked: 10 points"
        f" more than after two random looks for the largest cause to be *named*, which takes that it is at least as likely"
        " as not to be the largest and turns the face by 1.5 degrees; *called* is the likeliest cause, however likely."
        f" *Every look there is* ({CEILING} golfers) takes all that are left, the best of"
        " each kind.\n\n" + "\n".join(rows) + "\n\n" + "\n\n".join(chosen)
    )


def _scores(known: Looked) -> tuple[float, float]:
    return float(known.right), float(known.named)


def _taken(looker: Looker, choose: Choice, count: int, budget_s: float = np.inf) -> list[str]:
    """Names of the looks taken one after the other, each chosen in the light of what the ones before it brought."""
    done: list[str] = []
    time_of = {look.name: look.time_s for look in looker.table}
    while len(done) < count:
        name = choose(looker, done, budget_s - sum(time_of[n] for n in done))
        if name is None:
            break
        done.append(name)
    return done


def _own(looker: Looker, done: list[str], left_s: float) -> str | None:
    fitting = [look for look in looker.table if look.time_s <= left_s and look.name not in done]
    ranked = looker.looks(done, table=fitting) if fitting else []
    return ranked[0].look.name if ranked else None


def _random(rng: np.random.Generator) -> Choice:
    def choose(looker: Looker, done: list[str], left_s: float) -> str | None:
        can = [look.name for look in looker.open(done) if look.time_s <= left_s]
        return str(rng.choice(can)) if can else None

    return choose


def _every(looker: Looker) -> list[str]:
    done: list[str] = []
    while can := looker.open(done):
        done.append(min(can, key=lambda look: look.sd_deg).name)
    return done


@dataclass(frozen=True, slots=True)
class _Varied(DeliveryModel):
    """A model whose priors are wider or narrower, cause by cause."""

    factor: tuple[float, ...]

    def prior_sd(self) -> Floats:
        return np.asarray(DeliveryModel.prior_sd(self) * np.array(self.factor))


def _varied_lookers(count: int, seed: int) -> list[Looker]:
    """Golfers whose priors (0.5 to 2 times), doubts of looks, costs and gear at hand all differ; the model knows which."""
    rng = np.random.default_rng(seed)
    out = []
    for i in range(count):
        club = club_by_name(str(rng.choice(["7-iron", "driver", "5-iron", "pitching wedge"])))
        factor = np.exp(rng.uniform(np.log(0.5), np.log(2.0), SIZE))
        factor[-1] = 1.0
        model = _Varied(reference_of(club), tuple(factor))
        x = draw_states(model, 1, rng)
        hand = ("eye", *(gear for gear in _GEAR if rng.random() < 0.6))
        kinds = ["ball"] if i % 2 else ["ball", "wrist"]
        golfer = read_golfers(club, [model], x, rng, kinds=kinds, at_hand=hand)[0]
        table = [_dearer(look, float(np.exp(rng.normal(0, 0.35))), float(np.exp(rng.normal(0, 0.5)))) for look in LOOKS]
        out.append(Looker(golfer, rng, table, model))
    return out


def _dearer(look: Look, doubt: float, cost: float) -> Look:
    """The look with its doubt and its seconds multiplied."""
    sd = look.sd_deg * doubt
    shows = []
    for name, own in look.shows:
        if name == "grip_address":
            seen = hypot(GRIP_ADDRESS_SD_DEG, sd * np.sin(27 * DEG), FACE_ADDRESS_SD_DEG / np.sin(62 * DEG))
        elif name == "bend_lost":
            seen = hypot(0.4 * sd, 3.1)
        elif name == "face_since_address":
            seen = hypot(FACE_ADDRESS_SD_DEG, doubt * np.sqrt(own**2 - FACE_ADDRESS_SD_DEG**2))
        else:
            seen = own * doubt
        shows.append((name, float(seen)))
    return replace(look, sd_deg=sd, cost_s=look.cost_s * cost, shows=tuple(shows))


def _varied() -> str:
    lookers = _varied_lookers(VARIED, 11)
    before = _surest(lookers, [[] for _ in lookers])
    rows = [
        "| time, s | before | its own choice | best constant order | behind | the order |",
        "|---|---|---|---|---|---|",
    ]
    for budget in BUDGETS_S:
        own = _surest(lookers, [_taken(k, _own, 9, budget) for k in lookers])
        order, best = _best_order(lookers, budget)
        rows.append(
            f"| {budget:.0f} | {before:.1%} | {own:.1%} | {best:.1%} | {100 * (best - own):+.1f} points |"
            f" {', '.join(order)} |"
        )
    return (
        f"**Golfers of every kind** ({VARIED}; priors 0.5 to 2 times the usual cause by cause, doubts of the looks spread by"
        " 35 %, their seconds by 50 %, gear at hand by chance; half start from the ball, half from ball and wrist): the mean"
        " probability of the cause called largest, for the same time of the lesson, each look's interruption included. The"
        " constant order is built look by look to do best on these very golfers, one order for each time. Asked: never over 1"
        " point behind.\n\n" + "\n".join(rows)
    )


def _observed() -> str:
    gains = []
    for looker in _varied_lookers(VARIED, 11):
        own, observer = (_surest([looker], [_taken(looker, choose, 2)]) for choose in (_own, _observer))
        before = _surest([looker], [[]])
        gains.append((own - before, observer - before))
    gain = 100 * np.array(gains)
    own, observer = gain.mean(axis=0)
    error = float(np.std(gain[:, 0] - gain[:, 1]) / np.sqrt(len(gain)))
    return (
        f"**A sampling observer** (the same golfers and the same rule, each gain by reweighting {POINTS} points under"
        f" {OUTCOMES} drawn outcomes) gains {observer:.1f} points with two looks, the product {own:.1f}:"
        f" {own / observer:.2f} of it (asked 0.95), a difference of {own - observer:+.1f} ± {error:.1f} points."
    )


def _surest(lookers: Sequence[Looker], taken: Sequence[Sequence[str]]) -> float:
    """Mean probability of the cause that is called largest: what share of them is expected to be right."""
    return float(np.mean([looker.after(names).probability.max() for looker, names in zip(lookers, taken, strict=True)]))


def _best_order(lookers: Sequence[Looker], budget_s: float) -> tuple[list[str], float]:
    """The constant order that does best for this time, built look by look."""
    order: list[str] = []
    best = _surest(lookers, [[] for _ in lookers])
    while True:
        tried = {
            look.name: _surest(lookers, [_taken(k, _in_order([*order, look.name]), 9, budget_s) for k in lookers])
            for look in LOOKS
            if look.name not in order
        }
        name = max(tried, key=lambda n: tried[n])
        if tried[name] <= best + 1e-4:
            return order, best
        order, best = [*order, name], tried[name]


def _in_order(order: Sequence[str]) -> Choice:
    def choose(looker: Looker, done: list[str], left_s: float) -> str | None:
        can = {look.name for look in looker.open(done) if look.time_s <= left_s}
        return next((name for name in order if name in can), None)

    return choose


def _observer(looker: Looker, done: list[str], left_s: float) -> str | None:
    """The same rule with gains by plain sampling."""
    known = looker.after(done)
    posterior = posterior_of(looker.model, known.seen.observations, POINTS)
    states = States(looker.model, posterior.x)
    shares = shares_of_face(looker.model, posterior.x)
    largest = np.eye(shares.shape[1])[np.argmax(np.abs(shares), axis=1)] * posterior.weight[:, None]
    now = float(np.sum(largest.sum(axis=0) ** SURENESS))
    predict = {**SHOWN, **known.seen.through_ball}
    rng = np.random.default_rng(len(done))
    best: tuple[float, str] | None = None
    for look in looker.open(done):
        if look.time_s > left_s:
            continue
        sd = np.array([s for _, s in look.shows]) * DEG
        shown = np.column_stack([predict[name](states) for name, _ in look.shows]) / sd
        true = rng.choice(len(posterior.weight), OUTCOMES, p=posterior.weight)
        brought = shown[true] + rng.normal(size=(OUTCOMES, len(sd)))
        log = -0.5 * np.sum((brought[:, None, :] - shown[None]) ** 2, axis=2)
        probability = np.exp(log - log.max(axis=1, keepdims=True)) @ largest
        probability /= probability.sum(axis=1, keepdims=True)
        gain = float(np.mean(np.sum(probability**SURENESS, axis=1))) - now
        if gain >= WORTH and (best is None or gain / look.time_s > best[0]):
            best = gain / look.time_s, look.name
    return None if best is None else best[1]


def _careful() -> str:
    """Errors of the mean over the swings of one careful calibration, behind the look `lead_wrist_with_care`."""
    patterns: tuple[Pattern, ...] = (
        "neutral",
        "flexed_early",
        "flexed_in_transition",
        "cupped_and_flipped",
        "rolled_late",
    )
    scatter = {"flexion": "flexion", "forearm roll": "roll", "unsetting": "unset", "face since address": "face"}
    errors: dict[str, list[float]] = {name: [] for name in (*scatter, "flexion at address")}
    for seed in range(52000, 52000 + LESSONS):
        told = simulate_lesson(
            seed=seed, pattern=patterns[seed % 5], calibration=CalibrationPlan.best(), swings=[SwingPlan()] * SWINGS
        )
        found = analyse_recording(told.recording, club=club_by_name("7-iron"), calibration=told.calibration, draws=24)
        swings = [s for s in found.swings if s.kind != "waggle" and {"address", "impact"} <= s.readings.keys()]
        if len(swings) != SWINGS:
            continue
        own: dict[str, list[float]] = {name: [] for name in errors}
        for swing, truth in zip(swings, told.truth.swings, strict=True):
            at, start = truth.at["impact"], truth.at["address"]
            reading = swing.readings["impact"]
            unset = at.ulnar_deviation - start.ulnar_deviation
            own["flexion"].append(reading.flexion.value - at.flexion)
            own["forearm roll"].append(reading.forearm_roll.value - at.forearm_roll)
            own["unsetting"].append(swing.change["impact"]["ulnar_deviation"].value - unset)
            if reading.face is not None:
                own["face since address"].append(reading.face.value - (at.face - start.face))
            own["flexion at address"].append(swing.readings["address"].flexion.value - start.flexion)
        for name, values in own.items():
            errors[name].append(float(np.mean(values)) / DEG)
    rows = ["| mean of five swings | lessons | RMS error, deg | with the golfer's scatter |", "|---|---|---|---|"]
    for name, values in errors.items():
        rms = float(np.sqrt(np.mean(np.square(values))))
        more = f"{hypot(rms, SCATTER[scatter[name]] / np.sqrt(SWINGS)):.1f}" if name in scatter else ""
        rows.append(f"| {name} | {len(values)} | {rms:.2f} | {more} |")
    return (
        "**What carefully calibrated sensors read** (simulated lessons of five swings, pose within 1 deg, axes within 1.5, at"
        " impact): where the doubts of that look come from.\n\n" + "\n".join(rows)
    )


if __name__ == "__main__":
    print(report(None))
