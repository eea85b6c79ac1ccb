"""`hoofbook paper`: papers for others, one branch a kind."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

from hoofbook.cli.terminal import follow
from hoofbook.wording.command_line import (
    BESIDE_IT,
    DICOM_WRITTEN,
    HANDOVER_WRITTEN,
    LOOK_AGAIN,
    OWNER_PICTURE_WRITTEN,
    OWNER_SHEET_WRITTEN,
    VET_CASE_WRITTEN,
    photos_counted,
)

if TYPE_CHECKING:
    from hoofbook.casework.open_book import OpenBook
    from hoofbook.casework.vet_case import VetWishes


def run(arguments: argparse.Namespace, open_window: Callable[[str, str], int]) -> int:
    from hoofbook.casework.open_book import open_book

    book = open_book(Path(arguments.book))
    try:
        return KINDS[arguments.kind](book, arguments)
    finally:
        book.close()


def _vet(book: OpenBook, arguments: argparse.Namespace) -> int:
    from hoofbook.casework.vet_case import make_vet_case, named_pdf

    named_pdf(Path(arguments.out))
    horse = str(book.horse_named(arguments.horse).key)
    made = make_vet_case(book, horse, _vet_wishes(book, horse, arguments), Path(arguments.out))
    print(VET_CASE_WRITTEN.format(path=made.file))
    for path in made.beside:
        print(BESIDE_IT.format(path=path))
    _say_look_again(made.look_again)
    return 0


def _dicom(book: OpenBook, arguments: argparse.Namespace) -> int:
    from hoofbook.casework.vet_archive import make_vet_archive
    from hoofbook.wording.vet_archive import to_scale

    horse = str(book.horse_named(arguments.horse).key)
    made = follow(make_vet_archive(book, horse, _vet_wishes(book, horse, arguments), Path(arguments.out)))
    scaled = to_scale(made.to_scale, made.photos)
    print(DICOM_WRITTEN.format(photos=photos_counted(made.photos), path=made.folder, to_scale=scaled))
    _say_look_again(made.look_again)
    return 0


def _say_look_again(lines: Sequence[str]) -> None:
    if lines:
        print(f"{LOOK_AGAIN}\n" + "\n".join(f"- {line}" for line in lines), file=sys.stderr)


def _vet_wishes(book: OpenBook, horse: str, arguments: argparse.Namespace) -> VetWishes:
    """What was told for a vet. Phone and permission are kept in the book for the next time, once all else is right."""
    from hoofbook.casework.vet_case import VetWishes, allow_showing, case_facts, keep_phone

    wishes = VetWishes(
        question=arguments.question,
        urgency=arguments.urgency,
        size=arguments.size,
        feet=tuple(foot for foot in arguments.feet.replace(",", " ").split() if foot),
        since=arguments.since,
        since_when=arguments.since_when,
        gait=arguments.gait,
        taken_by=arguments.taken_by,
        vets_images=not arguments.without_vets_images,
    )
    if arguments.phone.strip() or arguments.allowed:
        case_facts(book, horse, wishes)
    if arguments.allowed:
        allow_showing(book, horse, arguments.allowed)
    if arguments.phone.strip():
        keep_phone(book, arguments.phone)
    return wishes


def _owner(book: OpenBook, arguments: argparse.Namespace) -> int:
    from hoofbook.casework.owner_facts import OwnerWishes
    from hoofbook.casework.papers import make_owner_paper
    from hoofbook.wording.owner import NOT_LOGGED

    wishes = OwnerWishes(
        foot=arguments.foot,
        view=arguments.view,
        then=arguments.then,
        now=arguments.now,
        form=arguments.form,
        practice=arguments.practice,
        name_owner=arguments.name_owner,
        note=arguments.note,
        with_blood=arguments.with_blood,
        advice=tuple(part.strip() for part in arguments.advice.split(",") if part.strip()),
    )
    made = make_owner_paper(book, str(book.horse_named(arguments.horse).key), wishes, Path(arguments.out))
    words = OWNER_SHEET_WRITTEN if made.suffix.lower() == ".pdf" else OWNER_PICTURE_WRITTEN
    print(words.format(path=made))
    if book.read_only:
        print(NOT_LOGGED, file=sys.stderr)
    return 0


def _handover(book: OpenBook, arguments: argparse.Namespace) -> int:
    from hoofbook.casework.handover import HandoverWishes, make_handover

    wishes = HandoverWishes(vets_images=arguments.vets_images, made_for=arguments.made_for)
    horse = str(book.horse_named(arguments.horse).key)
    made = follow(make_handover(book, horse, wishes, Path(arguments.out)))
    print(HANDOVER_WRITTEN.format(path=made.file, photos=photos_counted(made.photos)))
    if made.permission not in made.look_again:
        print(made.permission)
    _say_look_again(made.look_again)
    return 0


KINDS = MappingProxyType({"vet": _vet, "owner": _owner, "handover": _handover, "dicom": _dicom})
