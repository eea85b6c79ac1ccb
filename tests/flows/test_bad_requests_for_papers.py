"""Papers asked for with something wrong: exit code 2, one sentence that says what to do, and nothing left behind.

Exit code 2 for a wrong request is that of the Python standard library's argparse.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from hoofbook.casework.open_book import open_book
from hoofbook.cli.main import run_command
from hoofbook.terms.subjects import PaperMade, Person


@pytest.fixture(autouse=True)
def own_settings(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOOFBOOK_HOME", str(tmp_path_factory.mktemp("home")))


def no_window(folder: str, horse: str) -> int:
    raise AssertionError("the window was opened")


VET = ("paper", "vet", "{book}", "--horse", "Larkspur", "--size", "call")
OWNER = ("paper", "owner", "{book}", "--horse", "Larkspur")
COMPARE = ("compare", "{book}", "--horse", "Larkspur", "--foot", "LF")

WRONG = {
    "no horse": (("paper", "vet", "{book}", "--horse", " ", "--out", "{out}/a.pdf"), "--horse"),
    "a card without .pdf": (("card", "--out", "{out}/card"), ".pdf"),
    "a folder in its place": ((*VET, "--out", "{out}/there.pdf"), "another name"),
    "a file as its folder": ((*VET, "--out", "{out}/file/a.pdf"), "Choose a folder"),
    "a name too long": ((*OWNER, "--out", "{out}/" + "x" * 290 + ".jpg"), "shorter"),
    "since after the last visit": ((*VET, "--since", "2035-01-01", "--out", "{out}/a.pdf"), "earlier"),
    "allowed on a day to come": ((*VET, "--allowed", "2055-01-01", "--out", "{out}/a.pdf"), "still to come"),
    "an unknown form of a sheet": ((*OWNER, "--form", "round", "--out", "{out}/a.pdf"), "portrait or square"),
    "one day twice": (
        (*OWNER, "--foot", "LF", "--then", "2025-09-30", "--now", "2025-09-30", "--out", "{out}/a.jpg"),
        "two different days",
    ),
    "nothing before that day": ((*COMPARE, "--now", "2025-01-14", "--out", "{out}/a.jpg"), "two different days"),
    "a row of one day": ((*COMPARE, "--row", "2025-01-14", "--out", "{out}/a.jpg"), "two different days"),
    "a row of no day": ((*COMPARE, "--row", "", "--out", "{out}/a.jpg"), "two different days"),
}


@pytest.mark.parametrize(("arguments", "says"), WRONG.values(), ids=WRONG.keys())
def test_a_wrong_request_ends_with_two_one_sentence_and_nothing_written(
    sample_book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], arguments: tuple[str, ...], says: str
) -> None:
    (tmp_path / "there.pdf").mkdir()
    (tmp_path / "file").write_bytes(b"kept")
    before = sorted(path.name for path in tmp_path.rglob("*"))
    given = [part.format(book=sample_book, out=tmp_path) for part in arguments]
    assert run_command(given, open_window=no_window) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert says in told.err and told.err.count("\n") == 1
    assert sorted(path.name for path in tmp_path.rglob("*")) == before
    assert (tmp_path / "file").read_bytes() == b"kept"


@pytest.mark.parametrize(
    "wrong", [("--size", "nonsense"), ("--feet", "XX"), ("--allowed", "2025-13-40"), ("--out", "a")]
)
def test_nothing_is_kept_of_a_request_that_is_refused(
    own_sample_book: Path, tmp_path: Path, wrong: tuple[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    asked = ["paper", "vet", str(own_sample_book), "--horse", "Larkspur", "--phone", "01632 960 999", "--out", "a.pdf"]

    def kept() -> tuple[object, ...]:
        book = open_book(own_sample_book)
        try:
            people = {(person.name, person.phone, person.consent_vet) for person in book.book.every(Person)}
            return people, len(book.book.every(PaperMade))
        finally:
            book.close()

    before = kept()
    assert run_command([*asked, *wrong], open_window=no_window) == 2
    assert kept() == before
    assert not list(tmp_path.glob("a*"))


def test_a_permission_withdrawn_in_the_book_is_not_touched_by_a_wrong_day(own_sample_book: Path) -> None:
    book = open_book(own_sample_book)
    try:
        owner = book.book.get(Person, book.horse_named("Larkspur").owner)  # type: ignore[arg-type]
        with book.book.writing() as writer:
            writer.change(replace(owner, consent_vet=date(2025, 1, 14)))
    finally:
        book.close()
    asked = ["paper", "vet", str(own_sample_book), "--horse", "Larkspur", "--allowed", "2055-01-01", "--out", "a.pdf"]
    assert run_command(asked, open_window=no_window) == 2
    book = open_book(own_sample_book)
    try:
        assert book.book.get(Person, owner.key).consent_vet == date(2025, 1, 14)
    finally:
        book.close()


def test_a_paper_from_a_book_for_looking_only_says_that_it_is_not_noted(
    own_sample_book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("hoofbook.housekeeping.files.is_writable_folder", lambda folder: False)
    asked = ["paper", "owner", str(own_sample_book), "--horse", "Larkspur", "--out", str(tmp_path / "o.jpg")]
    assert run_command(asked, open_window=no_window) == 0
    assert "not noted there" in capsys.readouterr().err
