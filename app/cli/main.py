"""Commands and exit codes: 0 done, 1 a fault of the program, 2 the brief or the arguments are at fault."""

from __future__ import annotations

import argparse
import sys
import traceback
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from app.cli import level, search
from app.cli.common import finding_line, load_stand, say
from app.cli.parser import Parser, UsageError
from framecore.errors import BriefError, FramecoreError, LayoutError
from framecore.words import keep_names, languages, speak

if TYPE_CHECKING:
    pass

OK, FAULT, BAD_INPUT = 0, 1, 2
COMMANDS = ("check", "figures", "why", "packet", "search", "level")


def parser() -> argparse.ArgumentParser:
    """Return the parser of all commands."""
    debug = Parser(add_help=False)
    debug.add_argument("--debug", action="store_true", default=argparse.SUPPRESS, help="show tracebacks")
    debug.add_argument("--language", metavar="CODE", default=argparse.SUPPRESS, help="say everything in another language")
    top = Parser(
        prog="standwright",
        description="Design a welded stand for a bench machine.",
        epilog="standwright [FILE] opens the window. The figures are no certificate.",
        parents=[debug],
    )
    commands = top.add_commands()
    check = commands("check", [debug], "all findings of a brief")
    check.add_argument("file", type=Path, metavar="FILE")
    figures = commands("figures", [debug], "every figure of the stand")
    figures.add_argument("file", type=Path, metavar="FILE")
    figures.add_argument("--json", action="store_true", help="as JSON")
    figures.add_argument(
        "--model", type=Path, metavar="OUT.json", help="write the analysis model as plain arrays"
    )
    why = commands("why", [debug], "the working of one figure")
    why.add_argument("file", type=Path, metavar="FILE")
    why.add_argument("id", metavar="ID")
    packet = commands("packet", [debug], "everything for the shop in one folder")
    packet.add_argument("file", type=Path, metavar="FILE")
    packet.add_argument("-o", dest="out", type=Path, required=True, metavar="DIR")
    packet.add_argument("--force", action="store_true", help="replace the folder if it is there")
    search.add_parser(commands, [debug])
    level.add_parser(commands, [debug])
    return top


def _check(args: argparse.Namespace) -> int:
    from framecore.brief import load_source
    from framecore.brief.written import written
    from framecore.stand import evaluate

    reading = load_source(args.file).resolve()
    findings = tuple(reading.findings)
    if reading.brief is not None:
        keep_names(*written(reading.brief))
        try:
            more = evaluate(reading.brief).findings
        except (BriefError, LayoutError) as error:
            more = tuple(error.findings)
        known = {(f.code, f.message) for f in findings}
        findings += tuple(f for f in more if (f.code, f.message) not in known)
    for finding in findings:
        print(finding_line(finding, args.file.name))
    return BAD_INPUT if findings else OK


def _figures(args: argparse.Namespace) -> int:
    from app.cli import report

    stand = load_stand(args.file)
    if args.model is not None:
        from app.cli.model_json import write_model

        write_model(stand, args.model)
    sys.stdout.write(report.figures_json(stand) if args.json else report.figures_text(stand))
    return OK


def _why(args: argparse.Namespace) -> int:
    from app.cli import report

    stand = load_stand(args.file)
    figure = stand.figures.get(args.id)
    if figure is None:
        raise UsageError(report.no_such_figure(stand, args.id))
    sys.stdout.write(report.working_text(figure, stand.brief.units))
    return OK


def _packet(args: argparse.Namespace) -> int:
    from app.cli.packet import write_packet

    for path in write_packet(load_stand(args.file), args.out, force=args.force):
        print(path)
    return OK


RUN = {
    "check": _check,
    "figures": _figures,
    "why": _why,
    "packet": _packet,
    "search": search.run_search,
    "level": level.run_level,
}


def run(arguments: Sequence[str]) -> int:
    """Run one command and return its exit code; every failure ends here as one clear line."""
    words = list(arguments)
    debug, name = "--debug" in words, ""
    try:
        words, asked = _speak(words)
        plain = [w for w in words if not w.startswith("-")]
        helps = any(w in ("-h", "--help") for w in words)
        if not helps and (not plain or plain[0] not in COMMANDS):
            return _window(words, debug, asked)
        args = parser().parse_args(words)
        name = args.file.name
        return RUN[args.command](args)
    except UsageError as error:
        say(" ".join(str(error).split()))
    except (BriefError, LayoutError) as error:
        for finding in error.findings:
            say(finding_line(finding, name if finding.line else ""))
        if not error.findings:
            say(str(error))
    except FramecoreError as error:
        say(str(error))
    except UnicodeDecodeError:
        say("the brief is not a text file in UTF-8.")
    except OSError as error:
        say(f"{error.filename or 'file'}: {error.strerror or error}.")
    except Exception as error:
        if debug:
            traceback.print_exc()
        say(f"a fault of the program: {type(error).__name__}: {error}. Add --debug for the details.")
        return FAULT
    else:
        return OK
    if debug:
        traceback.print_exc()
    return BAD_INPUT


def _speak(words: list[str]) -> tuple[list[str], str]:
    """Take ``--language CODE`` out of the arguments and speak it; the system's language is the window's affair."""
    if "--language" not in words:
        return words, ""
    at = words.index("--language")
    code = words[at + 1] if at + 1 < len(words) else ""
    known = languages()
    if code not in known:
        message = f"there is no language “{code}”; there are {', '.join(f'{k} ({v})' for k, v in known.items())}."
        raise UsageError(message)
    speak(code)
    return words[:at] + words[at + 2 :], code


def _window(words: list[str], debug: bool, language: str) -> int:
    files = [w for w in words if w != "--debug"]
    if any(w.startswith("-") for w in files):
        bad = next(w for w in files if w.startswith("-"))
        message = f"there is no option {bad}; see standwright --help."
        raise UsageError(message)
    if len(files) > 1:
        message = f"one brief at a time, or a command ({', '.join(COMMANDS)}); see standwright --help."
        raise UsageError(message)
    from app.cli.window import open_window

    return open_window(Path(files[0]) if files else None, debug, language)
