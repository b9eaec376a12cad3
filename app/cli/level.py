"""The command level: screw moves from level readings or a turning test, and the record of the rounds."""

from __future__ import annotations

import argparse
import json
import re
import sys
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from app.words import tr, understood
from framecore.errors import UnitError

if TYPE_CHECKING:
    from framecore.brief.model import Brief
    from framecore.seat.answer import Answer, Question
    from framecore.seat.influence import Influence
    from framecore.seat.readings import Level, StationReading
    from framecore.seat.turning_test import TurningTest
    from framecore.stand.model import Stand

OK, BAD_INPUT = 0, 2
_TYPED = {"reading", "along", "sensitivity", "judged", "collars", "between", "overhang", "bar", "force", "micrometer",
          "centre_height", "tolerance", "most", "keep", "preload", "step"}  # fmt: skip
_WORDS = ("left", "middle", "right", "div")


def add_parser(commands: Any, parents: list[argparse.ArgumentParser]) -> None:
    """Add the command to those of the program."""
    p = commands(
        "level", parents, "screw moves from level readings or a turning test",
        "A reading is + where the bubble goes to the back. A length without a unit is in the brief's units.",
    )
    p.add_argument("file", type=Path, metavar="FILE")
    p.add_argument(
        "--reading", action="append", default=[], metavar='"left: +2 div, -1 div"',
        help="level across the bed at a station (left, middle, right, or a distance from the left-hand mounts); after a "
        "comma the same turned end for end; once for each station",
    )  # fmt: skip
    p.add_argument("--along", metavar="TILT", help="level along the bed, + where the right end is higher")
    p.add_argument("--sensitivity", metavar='"0.02 mm/m"', help="what a division of the level is worth")
    p.add_argument("--judged", default="0.1", metavar="SHARE", help="share of a division you can judge (0.1)")
    p.add_argument("--loose", action="append", default=[], metavar="FOOT", help="a foot that turns by hand, for example FL")
    p.add_argument("--collars", nargs=2, metavar=("CHUCK", "FREE"), help="turning test: the two diameters")
    p.add_argument("--between", metavar="LENGTH", help="from collar to collar")
    p.add_argument("--overhang", metavar="LENGTH", help="from the jaws to the free collar")
    p.add_argument("--bar", metavar="DIAMETER", help="diameter of the bar")
    p.add_argument("--force", metavar="FORCE", help="of the finishing cut across the bar (20 N)")
    p.add_argument("--micrometer", metavar="LENGTH", help="each diameter is known within this (half the last digit typed)")
    p.add_argument("--centre-height", metavar="LENGTH", help="spindle axis above the ways")
    p.add_argument("--tolerance", metavar="TILT", help="twist to be content with (limits.bed_twist)")
    p.add_argument("--most", metavar="LENGTH", help="largest move of one screw (1 mm)")
    p.add_argument("--keep", metavar="FORCE", help="least press of every screw (a tenth of the mean)")
    p.add_argument("--preload", metavar="FORCE", help="of each holding-down bolt on its mount, besides the weight")
    p.add_argument("--step", metavar="LENGTH", help="moves in whole steps of this (shims: 0.02 mm)")
    p.add_argument("--log", action="store_true", help="add the round to FILE.level.toml and learn from those before")
    p.add_argument("--sheet", action="store_true", help="only the sheet to fill in at the machine")
    p.add_argument("--json", action="store_true", help="as JSON")


def run_level(args: argparse.Namespace) -> int:
    """Answer one call; raises UnitError, BriefError or LayoutError with a sentence for the maker."""
    from app.cli.common import load_stand

    sys.stdout.write(told(args, load_stand(args.file)) + "\n")
    return OK


def told(args: argparse.Namespace, stand: Stand) -> str:
    """Return what there is to say about ``stand``; raises UnitError or BriefError with a sentence for the maker."""
    from framecore.seat.answer import READ, answer
    from framecore.seat.influence import FOOT, influence, no_bed
    from framecore.seat.record_file import read_rounds, record_path, write_rounds

    brief = stand.brief
    _read_as_spoken(args)
    bedless = stand.strength.bed is None
    screws = influence(brief, stand.frame, stand.strength, FOOT if bedless else "")
    feet = screws if screws.kind == FOOT else influence(brief, stand.frame, stand.strength, FOOT)
    if args.sheet:
        return _sheet(brief, screws)
    level = _level(args)
    stations = _stations(args, level, screws.length or brief.frame.length, brief.units)
    if bedless and args.collars:
        raise no_bed()
    question = _question(args, brief, (screws, feet), level, stations)
    if question.empty:
        raise UnitError(
            'there is nothing to level by: give --reading "left: +2 div" and --reading "right: ..." with --sensitivity, or '
            "--collars with --between, --overhang and --bar."
        )
    record = record_path(args.file)
    rounds = read_rounds(record) if args.log else ()
    each = 2 if brief.mounting.seating == "jacking screws" else 1
    found = answer(question, screws, feet, brief.machine.work_line, rounds, each)
    if found.stage == READ:
        raise UnitError(
            "all feet bear and the bed is level enough; now give --reading at two stations along it, or --collars."
        )
    if args.log and stations:
        from framecore.seat.level import as_round

        when = datetime.now().astimezone().strftime("%Y-%m-%d %H:%M")
        write_rounds(record, (*rounds, as_round(screws, found.advice, stations, when)), brief.title)
    if args.json:
        return json.dumps(_as_json(found, screws), indent=1, ensure_ascii=False, allow_nan=False)
    return "\n".join(_lines(found, args, brief))


def _read_as_spoken(args: argparse.Namespace) -> None:
    """Take a decimal comma, and a place or a division in the language that is spoken, for what the readers know."""
    from app.numbers import plain

    for name, typed in vars(args).items():
        if name in _TYPED and typed:
            try:
                read = [plain(understood(t, *_WORDS)) for t in ([typed] if isinstance(typed, str) else typed)]
            except UnitError as fault:
                raise UnitError(f"--{name.replace('_', '-')}: {fault}") from fault
            setattr(args, name, read[0] if isinstance(typed, str) else read)


def _question(
    args: argparse.Namespace, brief: Brief, both: tuple[Influence, Influence], level: Level,
    stations: tuple[StationReading, ...],
) -> Question:  # fmt: skip
    from framecore.seat import level as levelling
    from framecore.seat.answer import Question, foot_named
    from framecore.seat.influence import SHIM
    from framecore.seat.readings import parse_tilt

    screws, feet = both
    test, ways = _turned(args, brief)
    wanted = levelling.Wanted(
        tolerance=_tilt(args.tolerance, "--tolerance") if args.tolerance else brief.limits.bed_twist,
        most=_length(args, "most", brief, 1e-3, 20) or levelling.MOST_MOVE,
        keep=_force(args, "keep", brief), preload=_force(args, "preload", brief) or 0.0,
        step=_length(args, "step", brief, 1e-3, 2) or (levelling.SHIM_STEP if screws.kind == SHIM else 0.0),
        inch=brief.units.startswith("inch"),
    )  # fmt: skip
    try:
        loose = tuple(foot_named(name, feet.names) for name in args.loose)
    except UnitError as fault:
        raise UnitError(f"--loose: {fault}") from fault
    return Question(
        wanted=wanted, level=level, stations=stations, along=parse_tilt(args.along, level) if args.along else None,
        loose=loose, test=test, ways=ways,
    )  # fmt: skip


def _sheet(brief: Brief, screws: Influence) -> str:
    from framecore.seat.record_sheet import record_sheet

    return "\n".join("  ".join(map(tr, row)) for row in record_sheet(brief, screws.names))


def _level(args: argparse.Namespace) -> Level:
    from framecore.seat.readings import Level, parse_level

    try:
        judged = float(args.judged)
    except ValueError:
        judged = -1.0
    if not 0.01 <= judged <= 1:
        raise UnitError(f"--judged {args.judged!r} is no share of a division; allowed: 0.01 to 1, for example 0.1.")
    return parse_level(args.sensitivity, judged) if args.sensitivity else Level(judged=judged)


def _stations(args: argparse.Namespace, level: Level, length: float, system: str) -> tuple[StationReading, ...]:
    from framecore.seat.readings import in_order, parse_station

    return in_order([parse_station(t, level, length, system) for t in args.reading]) if args.reading else ()


def _tilt(text: str, option: str) -> float:
    from framecore.seat.readings import parse_tilt

    if re.fullmatch(r"\s*[\d.]+\s*", text):
        text += " mm/m"
    try:
        value = parse_tilt(text).value
    except UnitError as fault:
        raise UnitError(f"{option}: {fault}") from fault
    if not 0.001 <= value <= 5:
        near = min(max(value, 0.001), 5.0)
        raise UnitError(f"{option} is {value:g} mm/m; allowed: 0.001 to 5 mm/m, nearest {near:g} mm/m.")
    return value


def _length(args: argparse.Namespace, name: str, brief: Brief, low: float, high: float) -> float | None:
    from framecore.units import parse_length

    text = getattr(args, name.replace("-", "_"))
    if text is None:
        return None
    try:
        value = parse_length(text, brief.units)
    except UnitError as fault:
        raise UnitError(f"--{name}: {fault}") from fault
    if not low <= value <= high:
        near = min(max(value, low), high)
        raise UnitError(f"--{name} is {value:g} mm; allowed: {low:g} to {high:g} mm, nearest {near:g} mm.")
    return value


def _force(args: argparse.Namespace, name: str, brief: Brief) -> float | None:
    from framecore.units import parse_force

    text = getattr(args, name)
    if text is None:
        return None
    try:
        value = parse_force(text, brief.units)
    except UnitError as fault:
        raise UnitError(f"--{name}: {fault}") from fault
    if not 0 <= value <= 200_000:
        raise UnitError(f"--{name} is {value:g} N; allowed: 0 to 200000 N, nearest {min(max(value, 0.0), 200000.0):g} N.")
    return value


def _turned(args: argparse.Namespace, brief: Brief) -> tuple[TurningTest | None, float]:
    from framecore.seat.turning_test import LIGHT_CUT, TurningTest, checked
    from framecore.units import INCH, parse_length

    given = [n for n in ("between", "overhang", "bar", "force", "micrometer", "centre_height") if getattr(args, n) is not None]
    if args.collars is None:
        if given:
            option = given[0].replace("_", "-")
            raise UnitError(f"--{option} belongs to a turning test; add --collars CHUCK FREE, the two diameters.")
        return None, 0.0
    for name, what in (
        ("between", "the distance from collar to collar"), ("overhang", "how far the free collar is out of the jaws"),
        ("bar", "the bar's diameter"),
    ):  # fmt: skip
        if getattr(args, name) is None:
            raise UnitError(f"a turning test needs --{name}, {what}.")
    diameters = []
    for text in args.collars:
        try:
            diameters.append(parse_length(text, brief.units))
        except UnitError as fault:
            raise UnitError(f"--collars: {fault}") from fault
    half = _length(args, "micrometer", brief, 0, 0.5)
    if half is None:
        scale = INCH if brief.units.startswith("inch") or "in" in args.collars[0] or '"' in args.collars[0] else 1.0
        half = max(_half_digit(t) for t in args.collars) * scale
    ways = _length(args, "centre-height", brief, 10, 1000) or 0.0
    force = _force(args, "force", brief)
    test = TurningTest(
        near=diameters[0], free=diameters[1], between=_needed(args, "between", brief),
        overhang=_needed(args, "overhang", brief), bar=_needed(args, "bar", brief), within=min(half, 0.5),
        force=LIGHT_CUT if force is None else force,
    )  # fmt: skip
    return checked(test), ways


def _needed(args: argparse.Namespace, name: str, brief: Brief) -> float:
    value = _length(args, name, brief, 1, 3000)
    assert value is not None
    return value


def _half_digit(text: str) -> float:
    found = re.search(r"\d*\.(\d+)", text)
    return 0.5 * 10.0 ** -len(found[1]) if found else 0.5


def _lines(found: Answer, args: argparse.Namespace, brief: Brief) -> list[str]:
    from framecore.seat.readings import inch_per_foot

    level, learned, turned = found.question.level, found.learned, found.turned

    def inches(tilt: float) -> str:
        return f" = {inch_per_foot(tilt):+.5f} in/ft" if brief.units.startswith("inch") else ""

    lines = []
    for s in found.question.stations:
        lines.append(f"read      {s.name}: {s.typed} = {s.value:+.4f} mm/m{inches(s.value)}, within {s.within:.4f}")
    if found.zero is not None:
        own = found.zero[0]
        lines.append(f"level     its own error is {own:+.4f} mm/m{inches(own)}{_divisions(own, level)}")
        if found.note("wipe"):
            lines.append(f"look      {found.note('wipe')}")
    if turned is not None:
        lines.append(
            f"turned    taper {turned.taper:+.4f} mm within {turned.within:.4f} over {args.between}; the bar bends for "
            f"{turned.bending:.4f} of it"
        )
        lines.append(
            f"means     {turned.twist:+.3f} mm/m of bed, {turned.low:+.3f} to {turned.high:+.3f}, with the axis "
            f"{turned.heights[0]:.0f} to {turned.heights[1]:.0f} mm above the line it twists about"
            + (" (height above the ways assumed; give --centre-height)" if found.note("assumed") else "")
        )
        if found.note("slender"):
            lines.append(f"look      {found.note('slender')}")
    if learned.rounds:
        lines.append(
            f"learnt    {learned.share:.2f} ± {learned.sd:.2f} of what the model says is seen, moves read so far: "
            f"{learned.rounds}"
        )
    lines.append("")
    lines += found.advice.sentences
    for e in found.expected:
        lines.append(f"then read {e.name}: {e.roll:+.4f} mm/m{inches(e.roll)}{_divisions(e.roll, level)}")
    if found.note("differ"):
        lines.append(found.note("differ"))
    return [*([brief.title] if brief.title else []), *map(tr, lines)]


def _divisions(tilt: float, level: Level) -> str:
    return f" = {tilt / level.division:+.2f} div" if level.division else ""


def _as_json(found: Answer, screws: Influence) -> dict[str, Any]:
    from dataclasses import asdict

    from framecore.seat.level import SOURCE

    advice = found.advice
    return {
        "format": 1, "kind": screws.kind, "thread": screws.thread, "stage": advice.stage, "reached": advice.reached,
        "stations": [asdict(s) for s in found.question.stations], "zero_error": found.zero[0] if found.zero else None,
        "turned": None if found.turned is None else asdict(found.turned),
        "twist": list(advice.twist), "low": list(advice.low), "high": list(advice.high), "tolerance": advice.tolerance,
        "moves": [asdict(t.move) | {"words": t.words} for t in found.turns], "twist_after": list(advice.twist_after),
        "expected": [{"x": x, "roll": roll} for x, roll in advice.expected], "preload": advice.preload,
        "learned": asdict(found.learned), "sentences": list(advice.sentences), "source": SOURCE,
        "headline": found.headline, "notes": [asdict(n) for n in found.notes], "causes": list(found.causes),
    }  # fmt: skip
