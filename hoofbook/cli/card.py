"""`hoofbook card`: the printable scale card."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path

from hoofbook.wording.command_line import CARD_WRITTEN


def run(arguments: argparse.Namespace, open_window: Callable[[str, str], int]) -> int:
    from hoofbook.casework.scale_card import make_card

    print(CARD_WRITTEN.format(path=make_card(arguments.paper, Path(arguments.out))))
    return 0
