"""`hoofbook card`: the printable scale card, or with `--guide` the page that shows how to take sole photos."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path

from hoofbook.wording.command_line import CARD_WRITTEN, GUIDE_WRITTEN


def run(arguments: argparse.Namespace, open_window: Callable[[str, str], int]) -> int:
    if arguments.guide:
        from hoofbook.casework.photo_guide import make_guide

        print(GUIDE_WRITTEN.format(path=make_guide(arguments.paper, Path(arguments.out))))
        return 0
    from hoofbook.casework.scale_card import make_card

    print(CARD_WRITTEN.format(path=make_card(arguments.paper, Path(arguments.out))))
    return 0
