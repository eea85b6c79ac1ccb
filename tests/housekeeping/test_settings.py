"""Settings survive odd values, damage, and other versions of the program."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hoofbook.housekeeping import settings
from hoofbook.housekeeping.settings import Settings, load, save


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "home" / "settings.toml"


def test_nothing_told_is_the_default(file: Path) -> None:
    assert load(file) == Settings(17, "light", "", "", False, False)


def test_what_is_saved_is_loaded(file: Path) -> None:
    told = Settings(20, "daylight", r"C:\Users\Ann\Müller's \"book\"", 'Ann "the rasp"\n\t\x7f', True, True)
    save(told, file)
    assert load(file) == told


@given(st.text(st.characters(exclude_categories=["Cs"])))
def test_any_text_is_toml(text: str) -> None:
    assert tomllib.loads(f"a = {settings._value(text)}")["a"] == text


def test_unusable_values_count_as_not_told(file: Path) -> None:
    file.parent.mkdir()
    file.write_text(
        'text_size = 15\ntheme = "pink"\nperson = 7\ninches = 1\nfirst_start_done = true\n', encoding="utf-8"
    )
    assert load(file) == Settings(first_start_done=True)
    file.write_text("text_size = true\n", encoding="utf-8")
    assert load(file) == Settings()


def test_keys_of_another_version_are_kept(file: Path) -> None:
    file.parent.mkdir()
    text = 'person = "Ann"\nfrom_later = [1, 2.5, "x"]\nday = 2026-03-02\n["odd key"]\na = true\nb = {c = "d"}\n'
    file.write_text(text, encoding="utf-8")
    before = tomllib.loads(text)
    save(Settings(person="Ben"), file)
    after = tomllib.loads(file.read_text(encoding="utf-8"))
    assert after["person"] == "Ben"
    assert {name: after[name] for name in ("from_later", "day", "odd key")} == {
        name: before[name] for name in ("from_later", "day", "odd key")
    }


@pytest.mark.parametrize("damage", [b"person = ", b"\xff\xfe\x00", b"<html>"])
def test_a_damaged_file_is_put_aside(file: Path, damage: bytes) -> None:
    file.parent.mkdir()
    file.write_bytes(damage)
    assert load(file) == Settings()
    assert file.read_bytes() == damage
    save(Settings(person="Ann"), file)
    assert load(file).person == "Ann"
    assert file.with_name("damaged-settings.toml").read_bytes() == damage


def test_another_home_may_be_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOOFBOOK_HOME", str(tmp_path / "stick"))
    save(Settings(person="Ann"))
    assert (tmp_path / "stick" / "settings.toml").is_file()
    assert load().person == "Ann"
    assert settings.books_folder().is_relative_to(tmp_path / "stick")
    monkeypatch.delenv("HOOFBOOK_HOME")
    assert settings.home() != tmp_path / "stick"
    assert settings.home().is_absolute()
    assert settings.books_folder().is_absolute()


def test_a_setting_that_is_none_of_ours_is_our_fault() -> None:
    with pytest.raises(ValueError, match="not a text size"):
        Settings(text_size=15)
