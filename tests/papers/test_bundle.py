"""Bags: made so that others find them right, and opened only when everything in them is.

References: RFC 8493 (its rules recounted here with hashlib alone), the bagit library as a second opinion, Python's
zipfile, and zips put together byte by byte as the format's note (APPNOTE) has them, from memory.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import struct
import zipfile
import zlib
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import bagit
import pytest

from hoofbook.papers.bundle import DECLARATION, LIMITS, Limits, is_bundle, make_bag, opened, pack
from hoofbook.terms.refusal import Refused

NOON = datetime(2026, 3, 2, 12, 30, 15, tzinfo=UTC)
PAYLOAD = {
    "records.json": b'{"version": 1}',
    "photos/one.jpg": bytes(range(256)) * 40,
    "photos/two.jpg": b"\xff\xd8" * 999,
    "tables/a.csv": b"a,b\r\n",
}


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("made") / "bag"
    for name, content in PAYLOAD.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    before = Path.cwd()
    make_bag(folder, {"Bagging-Date": "2026-03-02", "Bag-Software-Agent": "Hoofbook 0"})
    assert Path.cwd() == before
    return folder


@pytest.fixture
def bag(made: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(made, tmp_path / "bag"))


def recount(folder: Path) -> None:
    """RFC 8493: the declaration word for word (2.1.1), every payload file in every manifest and every listed file
    there (2.1.3), Payload-Oxum (2.2.2), tag manifests of all other tag files (2.2.1); sums by hashlib alone."""
    assert (folder / "bagit.txt").read_bytes() == b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
    payload = {p.relative_to(folder).as_posix() for p in (folder / "data").rglob("*") if p.is_file()}
    tags = {p.name for p in folder.iterdir() if p.is_file()}
    for kind in ("sha256", "sha512"):
        for name, wanted in (
            (f"manifest-{kind}.txt", payload),
            (f"tagmanifest-{kind}.txt", {tag for tag in tags if not tag.startswith("tagmanifest")}),
        ):
            rows = [line.split(maxsplit=1) for line in (folder / name).read_text(encoding="utf-8").splitlines()]
            assert {path for _, path in rows} == wanted and len(rows) == len(wanted)
            for digest, path in rows:
                assert hashlib.new(kind, (folder / path).read_bytes()).hexdigest() == digest
    info = dict(line.split(": ", 1) for line in (folder / "bag-info.txt").read_text(encoding="utf-8").splitlines())
    octets = sum((folder / path).stat().st_size for path in payload)
    assert info["Payload-Oxum"] == f"{octets}.{len(payload)}"


def test_a_bag_is_right_by_the_library_and_by_hand(made: Path) -> None:
    recount(made)
    assert bagit.Bag(str(made)).validate()
    assert {p.relative_to(made / "data").as_posix() for p in (made / "data").rglob("*") if p.is_file()} == set(PAYLOAD)
    for tag in made.glob("*.txt"):
        assert str(made.parent).encode() not in tag.read_bytes()
    info = (made / "bag-info.txt").read_text()
    assert "Bag-Software-Agent: Hoofbook 0\n" in info and "Bagging-Date: 2026-03-02\n" in info


def test_a_bag_packed_comes_out_as_it_was(made: Path, tmp_path: Path) -> None:
    packed = tmp_path / "x.zip"
    pack(made, packed, "Bag of Éloïse", NOON)
    with zipfile.ZipFile(packed) as listed:
        assert listed.testzip() is None
        assert {name.split("/")[0] for name in listed.namelist()} == {"bag-of-eloise"}
        assert {info.date_time for info in listed.infolist()} == {
            (2026, 3, 2, 12, 30, 14)
        }  # a zip knows even seconds only
    again = tmp_path / "again.zip"
    pack(made, again, "Bag of Éloïse", NOON)
    assert again.read_bytes() == packed.read_bytes()
    with opened(packed, tmp_path) as found:
        recount(found.folder)
        assert found.sums == {f"data/{k}": hashlib.sha256(v).hexdigest() for k, v in PAYLOAD.items()}
        inside = found.folder
    assert not inside.exists()
    assert sorted(p.name for p in tmp_path.iterdir()) == ["again.zip", "x.zip"]


def test_a_folder_is_opened_where_it_lies(bag: Path) -> None:
    with opened(bag) as found:
        assert found.folder == bag and len(found.sums) == len(PAYLOAD)
    assert bag.is_dir()


def code_of(path: Path, beside: Path, limits: Limits = LIMITS) -> str:
    before = sorted(beside.rglob("*"))
    with pytest.raises(Refused) as told, opened(path, beside, limits):
        pass
    assert sorted(beside.rglob("*")) == before  # nothing is left
    return told.value.refusal.code


def _change(bag: Path) -> None:
    (bag / "data" / "photos" / "one.jpg").write_bytes(PAYLOAD["photos/one.jpg"][::-1])


def _change_tag(bag: Path) -> None:
    (bag / "bag-info.txt").write_text((bag / "bag-info.txt").read_text().replace("Hoofbook", "Horsebook"))


def _without_sums(bag: Path) -> None:
    for path in bag.glob("*manifest-*.txt"):
        path.unlink()


def _weak_sums(bag: Path) -> None:
    names = [p.relative_to(bag).as_posix() for p in (bag / "data").rglob("*") if p.is_file()]
    _without_sums(bag)
    rows = [f"{hashlib.md5((bag / name).read_bytes()).hexdigest()}  {name}\n" for name in names]
    (bag / "manifest-md5.txt").write_text("".join(rows))


def _one_weak_sum(bag: Path) -> None:
    """One file is left out of the strong lists and stands in a weak one only."""
    for kind in ("sha256", "sha512"):
        (bag / f"tagmanifest-{kind}.txt").unlink()
        listed = bag / f"manifest-{kind}.txt"
        listed.write_text("".join(row for row in listed.read_text().splitlines(True) if "one.jpg" not in row))
    digest = hashlib.md5(PAYLOAD["photos/one.jpg"]).hexdigest()
    (bag / "manifest-md5.txt").write_text(f"{digest}  data/photos/one.jpg\n")


def _row(name: str) -> Callable[[Path], None]:
    def add(bag: Path) -> None:
        (bag / "tagmanifest-sha256.txt").unlink()
        (bag / "tagmanifest-sha512.txt").unlink()
        with (bag / "manifest-sha256.txt").open("a") as listed:
            listed.write(f"{'0' * 64}  {name}\n")

    return add


def _write(name: str, content: bytes) -> Callable[[Path], None]:
    return lambda bag: (bag / name).write_bytes(content)  # type: ignore[return-value]


def _remove(name: str) -> Callable[[Path], None]:
    return lambda bag: (bag / name).unlink()


BAD_BAGS: dict[str, tuple[Callable[[Path], object], str]] = {
    "changed": (_change, "bundle_changed"),
    "longer": (_write("data/photos/one.jpg", b"x"), "bundle_changed"),
    "tag changed": (_change_tag, "bundle_changed"),
    "missing": (_remove("data/tables/a.csv"), "bundle_changed"),  # Payload-Oxum says so first
    "extra": (_write("data/more.txt", b"more"), "bundle_changed"),
    "no declaration": (_remove("bagit.txt"), "bundle_no_declaration"),
    "no checksums": (_without_sums, "bundle_no_checksums"),
    "weak checksums": (_weak_sums, "bundle_no_checksums"),
    "one weak checksum": (_one_weak_sum, "bundle_no_checksums"),
    "to be fetched": (_write("fetch.txt", b"https://example.org/x 1 data/x\n"), "bundle_file_missing"),
    "list leads up": (_row("../outside.txt"), "bundle_path_outside"),
    "list leads to a neighbour": (_row("../bag-too/x"), "bundle_path_outside"),
    "list leads up in other signs": (_row("data/%2e%2e/%2e%2e/x"), "bundle_path_outside"),
    "list is absolute": (_row("/etc/passwd"), "bundle_path_outside"),
    "list is at home": (_row("~/x"), "bundle_path_outside"),
    "list names a drive": (_row("C:/x"), "bundle_path_outside"),
    "list goes back": (_row("data\\..\\x"), "bundle_path_outside"),
    "list is not text": (_write("manifest-sha256.txt", b"\xff\xfe\x00"), "bundle_damaged"),
    "declaration is nonsense": (_write("bagit.txt", b"\0\1\2"), "bundle_damaged"),
    "version is nonsense": (
        _write("bagit.txt", b"BagIt-Version: x\nTag-File-Character-Encoding: UTF-8\n"),
        "bundle_damaged",
    ),
    "version to come": (
        _write("bagit.txt", b"BagIt-Version: 9.0\nTag-File-Character-Encoding: UTF-8\n"),
        "bundle_damaged",
    ),
    "letters nobody has": (
        _write("bagit.txt", b"BagIt-Version: 1.0\nTag-File-Character-Encoding: zlib\n"),
        "bundle_damaged",
    ),
    "oxum is nonsense": (_write("bag-info.txt", b"Payload-Oxum: many\n"), "bundle_damaged"),
}


@pytest.mark.parametrize("packed", [False, True])
@pytest.mark.parametrize("fault", sorted(BAD_BAGS))
def test_a_bag_that_is_not_right_is_refused(bag: Path, tmp_path: Path, fault: str, packed: bool) -> None:
    (tmp_path / "bag-too").mkdir()
    (tmp_path / "bag-too" / "x").write_bytes(b"")
    make_fault, code = BAD_BAGS[fault]
    make_fault(bag)
    path = bag
    if packed:
        path = tmp_path / "bag.zip"
        pack(bag, path, "bag", NOON)
    work = tmp_path / "work"
    work.mkdir()
    assert code_of(path, work) == code


@pytest.mark.parametrize(
    ("fault", "code"),
    [(_remove("data/tables/a.csv"), "bundle_file_missing"), (_write("data/more.txt", b"more"), "bundle_file_extra")],
)
def test_without_a_count_the_file_itself_is_named(bag: Path, fault: Callable[[Path], object], code: str) -> None:
    for tag in ("bag-info.txt", "tagmanifest-sha256.txt", "tagmanifest-sha512.txt"):
        (bag / tag).unlink()
    fault(bag)
    assert code_of(bag, bag) == code


@pytest.mark.parametrize("where", ["data/photos/three.jpg", "elsewhere"])
def test_a_link_in_a_folder_is_refused(bag: Path, tmp_path: Path, where: str) -> None:
    (tmp_path / "secret").write_bytes(b"secret")
    (bag / where).symlink_to(tmp_path / "secret")
    assert code_of(bag, bag) == "bundle_link"
    (bag / where).unlink()
    (bag / where).symlink_to(tmp_path, target_is_directory=True)
    assert code_of(bag, bag) == "bundle_link"


def test_a_pipe_in_a_folder_is_refused(bag: Path) -> None:
    os.mkfifo(bag / "data" / "pipe")
    assert code_of(bag, bag) == "bundle_link"


def zipped(bag: Path, target: Path, more: dict[str, bytes], *, mode: int = 0o100644) -> Path:
    """The bag as others zip, and more names in it as they are given."""
    with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as packed:
        for path in sorted(p for p in bag.rglob("*") if p.is_file()):
            packed.write(path, f"bag/{path.relative_to(bag).as_posix()}")
        for name, content in more.items():
            info = zipfile.ZipInfo("x")
            info.filename = info.orig_filename = name
            info.external_attr = mode << 16
            info.compress_type = zipfile.ZIP_DEFLATED
            packed.writestr(info, content)
    return target


@pytest.mark.parametrize(
    "name",
    [
        "../outside.txt",
        "bag/../../outside.txt",
        "/absolute.txt",
        "C:/drive.txt",
        "C:\\drive.txt",
        "bag\\..\\..\\outside.txt",
        "//server/share/x",
        "bag/./x",
        "bag//x",
        "~root/x",
        "bag/con.txt",
        "bag/NUL",
        "bag/name. ",
        "bag/line\nbreak",
        "bag/x:stream",
        "bag/" + "n" * 300,
    ],
)
def test_a_name_that_leads_out_is_refused(bag: Path, tmp_path: Path, name: str) -> None:
    work = tmp_path / "work" / "deep"
    work.mkdir(parents=True)
    path = zipped(bag, tmp_path / "b.zip", {name: b"x"})
    assert code_of(path, work) == "bundle_path_outside"
    assert [p.name for p in (tmp_path / "work").iterdir()] == ["deep"]


def test_a_zero_byte_hides_no_name(bag: Path, tmp_path: Path) -> None:
    """Zip readers cut names at a zero byte: what stands before it must not be taken for the whole."""
    path = zipped(bag, tmp_path / "b.zip", {"bag/data/hidden__/x": b"x"})
    path.write_bytes(path.read_bytes().replace(b"bag/data/hidden__/x", b"bag/data/hidden\0_/x"))
    assert code_of(path, tmp_path) == "bundle_path_outside"


def test_links_and_devices_in_a_zip_are_refused(bag: Path, tmp_path: Path) -> None:
    for number, mode in enumerate((0o120777, 0o020666, 0o010666)):
        path = zipped(bag, tmp_path / f"{number}.zip", {"bag/data/link": b"/etc/passwd"}, mode=mode)
        assert code_of(path, tmp_path) == "bundle_link"


@pytest.mark.parametrize(
    "more",
    [
        {"bag/data/RECORDS.json": b"x"},
        {"bag/data/records.json": b"{}"},
        {"bag/data/records.json/x": b"x"},
        {"bag/data/ä": b"x", "bag/data/a\u0308": b"x"},
    ],
)
@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_one_place_twice_is_refused(bag: Path, tmp_path: Path, more: dict[str, bytes]) -> None:
    assert code_of(zipped(bag, tmp_path / "b.zip", more), tmp_path) == "bundle_name_twice"


def test_a_locked_zip_is_refused(bag: Path, tmp_path: Path) -> None:
    path = zipped(bag, tmp_path / "b.zip", {})
    data = bytearray(path.read_bytes())
    place = data.find(b"PK\x01\x02")
    data[place + 8] |= 1  # general purpose bit 0 in the central directory: encrypted
    path.write_bytes(bytes(data))
    assert code_of(path, tmp_path) == "bundle_locked"


def test_other_ways_of_pressing_are_refused(bag: Path, tmp_path: Path) -> None:
    path = tmp_path / "b.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_LZMA) as packed:
        packed.write(bag / "bagit.txt", "bag/bagit.txt")
    assert code_of(path, tmp_path) == "bundle_damaged"


@pytest.mark.parametrize("content", [b"", b"Dear Anna", b"PK\3\4" + b"\0" * 50, b"PK\5\6" + b"\xff" * 18])
def test_what_is_no_zip_is_refused(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "b.zip"
    path.write_bytes(content)
    assert code_of(path, tmp_path) == "bundle_not_zip"


@pytest.mark.parametrize("share", [0.2, 0.5, 0.9, 0.99])
def test_a_zip_cut_short_is_refused(made: Path, tmp_path: Path, share: float) -> None:
    path = tmp_path / "b.zip"
    pack(made, path, "bag", NOON)
    path.write_bytes(path.read_bytes()[: int(path.stat().st_size * share)])
    assert code_of(path, tmp_path) == "bundle_not_zip"


def test_a_zip_with_a_flipped_bit_anywhere_never_passes_as_other_bytes(made: Path, tmp_path: Path) -> None:
    """Every 97th byte turned round: refused, or (padding, times, modes) everything in it is still what it was."""
    path = tmp_path / "b.zip"
    pack(made, path, "bag", NOON)
    whole = path.read_bytes()
    wanted = {f"data/{k}": hashlib.sha256(v).hexdigest() for k, v in PAYLOAD.items()}
    refused = 0
    for place in range(0, len(whole), 97):
        path.write_bytes(whole[:place] + bytes((whole[place] ^ 0xFF,)) + whole[place + 1 :])
        try:
            with opened(path, tmp_path) as found:
                assert found.sums == wanted
        except Refused:
            refused += 1
    assert refused > 20
    assert [p.name for p in tmp_path.iterdir()] == ["b.zip"]


@pytest.mark.parametrize("names", [("one", "two"), ("one", "")])
def test_two_bags_or_none_are_refused(made: Path, tmp_path: Path, names: tuple[str, str]) -> None:
    path = tmp_path / "b.zip"
    with zipfile.ZipFile(path, "w") as packed:
        packed.write(made / "bagit.txt", f"{names[0]}/bagit.txt")
        packed.write(made / "bagit.txt", f"{names[1]}/bagit.txt" if names[1] else "two/readme.txt")
    assert code_of(path, tmp_path) == "bundle_no_declaration"


def test_a_bag_without_its_folder_and_a_foreign_folder_beside_it_are_taken(made: Path, tmp_path: Path) -> None:
    bare = tmp_path / "bare.zip"
    with zipfile.ZipFile(bare, "w") as packed:
        for path in sorted(p for p in made.rglob("*") if p.is_file()):
            packed.write(path, path.relative_to(made).as_posix())
    beside = zipped(made, tmp_path / "beside.zip", {"__MACOSX/bag/._data": b"x"})
    for path in (bare, beside):
        with opened(path, tmp_path) as found:
            assert len(found.sums) == len(PAYLOAD)
            assert not (found.folder / "__MACOSX").exists()


def test_too_many_files_are_refused_before_one_is_written(made: Path, tmp_path: Path) -> None:
    path = tmp_path / "b.zip"
    pack(made, path, "bag", NOON)
    assert code_of(path, tmp_path, Limits(files=5)) == "bundle_too_large"
    assert code_of(made, tmp_path, Limits(files=5)) == "bundle_too_large"


def test_too_much_in_all_is_refused(made: Path, tmp_path: Path) -> None:
    path = tmp_path / "b.zip"
    pack(made, path, "bag", NOON)
    assert code_of(path, tmp_path, Limits(size=9_000)) == "bundle_too_large"
    assert code_of(made, tmp_path, Limits(size=9_000)) == "bundle_too_large"


def bomb(made: Path, target: Path, told: int) -> Path:
    """30 MB of zeros in 30 kB, whose headers say that `told` bytes come out (0: the truth)."""
    zeros = bytes(30 << 20)
    zipped(made, target, {"bag/data/zeros": zeros})
    if told:
        data, right = target.read_bytes(), struct.pack("<I", len(zeros))
        assert data.count(right) == 2  # local header and central directory
        target.write_bytes(data.replace(right, struct.pack("<I", told)))
    return target


def test_a_bomb_is_stopped_on_the_way(made: Path, tmp_path: Path) -> None:
    path = bomb(made, tmp_path / "b.zip", 0)
    assert path.stat().st_size * LIMITS.ratio < 30 << 20
    assert code_of(path, tmp_path) == "bundle_too_large"
    assert code_of(bomb(made, tmp_path / "c.zip", 1000), tmp_path) == "bundle_damaged"  # the checksum does not fit


def test_files_that_lie_over_one_another_are_stopped(made: Path, tmp_path: Path) -> None:
    """Many entries that share one compressed stretch: each is small, together they are not."""
    squeezer = zlib.compressobj(9, zlib.DEFLATED, -15)
    zeros = bytes(1 << 20)
    packed = squeezer.compress(zeros) + squeezer.flush()
    crc, head = zlib.crc32(zeros), b""
    body, central, count = b"", b"", 400
    names = ["bag/bagit.txt", *(f"bag/data/{number:04d}" for number in range(count))]
    body = local("bag/bagit.txt", crc, packed)
    for name in names:
        central += (
            b"PK\1\2"
            + struct.pack(
                "<HHHHHHIIIHHHHHII", 20, 20, 0, 8, 0, 33, crc, len(packed), len(zeros), len(name), 0, 0, 0, 0, 0, 0
            )
            + name.encode()
        )
    end = b"PK\5\6" + struct.pack("<HHHHIIH", 0, 0, len(names), len(names), len(central), len(body), 0)
    path = tmp_path / "b.zip"
    path.write_bytes(head + body + central + end)
    assert code_of(path, tmp_path) in ("bundle_damaged", "bundle_too_large")


def local(name: str, crc: int, packed: bytes) -> bytes:
    head = struct.pack("<HHHHHIIIHH", 20, 0, 8, 0, 33, crc, len(packed), 1 << 20, len(name), 0)
    return b"PK\3\4" + head + name.encode() + packed


def test_what_looks_like_a_bundle(made: Path, tmp_path: Path) -> None:
    assert is_bundle(made) and is_bundle(tmp_path / "x.ZIP")
    assert not is_bundle(tmp_path) and not is_bundle(tmp_path / "x.jpg")
    assert code_of(tmp_path / "none.zip", tmp_path) == "file_missing"
    assert DECLARATION == "bagit.txt"
