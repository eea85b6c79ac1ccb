"""Reads the arguments and runs one command. Nothing heavy is imported before the arguments are understood."""

from __future__ import annotations

import argparse
import importlib
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import hoofbook
from hoofbook.wording.command_line import ABOUT, ARGUMENTS, HELP, STOPPED

OpenWindow = Callable[[str, str], int]


@dataclass(frozen=True, slots=True)
class WindowRequest:
    """The window is wanted, on `folder` or (empty) on the last book."""

    folder: str


def is_window_request(given: Sequence[str]) -> WindowRequest | None:
    """Nothing, or one folder that exists, asks for the window."""
    if not given:
        return WindowRequest("")
    if len(given) == 1 and not given[0].startswith("-") and given[0] not in HELP and Path(given[0]).is_dir():
        return WindowRequest(given[0])
    return None


def run_command(given: Sequence[str], *, open_window: OpenWindow) -> int:
    """Runs the named command; returns its exit code (0 done, 1 something found wrong, 2 bad request or input)."""
    arguments = build_parser().parse_args(list(given))
    module = importlib.import_module(f"hoofbook.cli.{arguments.command}")
    from hoofbook.terms.refusal import Refused

    try:
        return int(module.run(arguments, open_window))
    except Refused as error:
        from hoofbook.wording.refusals import sentence

        print(sentence(error.refusal), file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        print(f"\n{STOPPED}", file=sys.stderr)
        return 2


def build_parser() -> argparse.ArgumentParser:
    """All commands and their arguments."""
    parser = argparse.ArgumentParser(prog="hoofbook", description=ABOUT)
    parser.add_argument("--version", action="version", version=f"{hoofbook.PRODUCT_NAME} {hoofbook.__version__}")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    _demo(commands.add_parser("demo", help=HELP["demo"], description=HELP["demo"]))
    _measure(commands.add_parser("measure", help=HELP["measure"], description=HELP["measure"]))
    _add(commands.add_parser("add", help=HELP["add"], description=HELP["add"]))
    _progress(commands.add_parser("progress", help=HELP["progress"], description=HELP["progress"]))
    _compare(commands.add_parser("compare", help=HELP["compare"], description=HELP["compare"]))
    _card(commands.add_parser("card", help=HELP["card"], description=HELP["card"]))
    _paper(commands.add_parser("paper", help=HELP["paper"], description=HELP["paper"]))
    return parser


def _demo(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("folder", nargs="?", default="hoofbook-sample", metavar="FOLDER", help=ARGUMENTS["demo folder"])
    parser.add_argument("--no-window", action="store_true", help=ARGUMENTS["no-window"])
    parser.add_argument("--json", action="store_true", help=ARGUMENTS["json"])


def _measure(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("file", metavar="MARKSFILE", help=ARGUMENTS["marks file"])
    parser.add_argument("--dense", action="store_true", help=ARGUMENTS["dense"])
    parser.add_argument("--json", action="store_true", help=ARGUMENTS["json"])


def _add(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("book", metavar="BOOK", help=ARGUMENTS["book"])
    parser.add_argument("files", nargs="+", metavar="PHOTO_MARKSFILE_OR_HANDOVER", help=ARGUMENTS["files"])
    for name in ("horse", "visit", "foot", "view", "moment"):
        parser.add_argument(f"--{name}", default="", help=ARGUMENTS[name])
    parser.add_argument("--retake", action="store_true", help=ARGUMENTS["retake"])
    parser.add_argument("--vets", action="store_true", help=ARGUMENTS["vets"])
    for name in ("taken", "received", "purpose"):
        parser.add_argument(f"--{name}", default="", help=ARGUMENTS[name])
    parser.add_argument("--from", dest="received_from", default="", metavar="WHO", help=ARGUMENTS["from"])
    parser.add_argument("--json", action="store_true", help=ARGUMENTS["json"])


def _progress(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("source", metavar="BOOK_OR_READINGS", help=ARGUMENTS["book or readings"])
    for name in ("horse", "foot", "measure"):
        parser.add_argument(f"--{name}", default="", help=ARGUMENTS[name])
    parser.add_argument("--export", default="", metavar="READINGS.csv", help=ARGUMENTS["export"])
    parser.add_argument("--json", action="store_true", help=ARGUMENTS["json"])


def _compare(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("book", metavar="BOOK", help=ARGUMENTS["book"])
    parser.add_argument("--horse", required=True, help=ARGUMENTS["horse"])
    parser.add_argument("--foot", required=True, help=ARGUMENTS["foot"])
    parser.add_argument("--view", default="solar", help=ARGUMENTS["view"])
    parser.add_argument("--then", default="", help=ARGUMENTS["then"])
    parser.add_argument("--now", default="", help=ARGUMENTS["now"])
    parser.add_argument(
        "--layout", default="side by side", choices=("side by side", "curtain", "fade"), help=ARGUMENTS["layout"]
    )
    several = parser.add_mutually_exclusive_group()
    several.add_argument("--row", default=None, metavar="DAYS", help=ARGUMENTS["row"])
    several.add_argument("--year", action="store_true", help=ARGUMENTS["year"])
    parser.add_argument("--out", required=True, metavar="PICTURE", help=ARGUMENTS["picture"])
    parser.add_argument("--json", action="store_true", help=ARGUMENTS["json"])


def _card(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--paper", default="a4", choices=("a4", "letter"), help=ARGUMENTS["paper"])
    parser.add_argument("--guide", action="store_true", help=ARGUMENTS["guide"])
    parser.add_argument("--out", required=True, metavar="FILE.pdf", help=ARGUMENTS["pdf"])


def _paper(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("kind", choices=("vet", "owner", "handover", "dicom"), help=ARGUMENTS["paper kind"])
    parser.add_argument("book", metavar="BOOK", help=ARGUMENTS["book"])
    parser.add_argument("--horse", required=True, help=ARGUMENTS["horse"])
    parser.add_argument("--size", default="case", help=ARGUMENTS["size"])
    parser.add_argument("--urgency", default="advice", help=ARGUMENTS["urgency"])
    for name in ("foot", "view", "then", "now", "practice", "note", "advice"):
        parser.add_argument(f"--{name}", default="", help=ARGUMENTS[name])
    parser.add_argument("--form", default="portrait", help=ARGUMENTS["form"])
    parser.add_argument("--name-owner", action="store_true", help=ARGUMENTS["name owner"])
    parser.add_argument("--without-vets-images", action="store_true", help=ARGUMENTS["without vets images"])
    parser.add_argument("--with-blood", action="store_true", help=ARGUMENTS["with blood"])
    for name in ("question", "feet", "since", "since-when", "gait", "taken-by", "phone", "allowed"):
        parser.add_argument(f"--{name}", default="", help=ARGUMENTS[name.replace("-", " ")])
    parser.add_argument("--vets-images", action="store_true", help=ARGUMENTS["vets images"])
    parser.add_argument("--for", dest="made_for", default="", metavar="WHO", help=ARGUMENTS["made for"])
    parser.add_argument("--out", required=True, metavar="FILE", help=ARGUMENTS["paper out"])
