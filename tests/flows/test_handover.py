"""A horse handed on to another book: what is in the bundle, what must not be, and that it comes back as it was.

References: RFC 8493 as recounted in tests/papers/test_bundle (hashlib alone) and the bagit library; ExifTool for what a
photo's file tells; Pillow for pixels; the sample book for what was said of the horse before.
"""

from __future__ import annotations

import csv
import hashlib
import io
import json
import re
import shutil
import subprocess
import zipfile
from dataclasses import replace
from pathlib import Path
from typing import Any

import bagit
import numpy as np
import pytest
from PIL import Image, ImageOps

from hoofbook.casework.handover import HandoverWishes, make_handover
from hoofbook.casework.handover_matches import proposed_matches
from hoofbook.casework.handover_records import KINDS
from hoofbook.casework.horses import HorseForm, add_horse
from hoofbook.casework.measuring_anew import measure_anew, outdated
from hoofbook.casework.open_book import OpenBook
from hoofbook.casework.progress_text import progress_of_book
from hoofbook.casework.taking_handover import look_at_handover, take_handover
from hoofbook.casework.taking_in import Filing, change_photo, take_one
from hoofbook.casework.vet_images import VetTold, take_vet_image
from hoofbook.cli.main import run_command
from hoofbook.imaging.pixels import open_upright
from hoofbook.measure.lateral import METHOD
from hoofbook.records.archive import spare_files
from hoofbook.records.book import DATABASE
from hoofbook.records.keys import new_key
from hoofbook.records.mapping import table_of
from hoofbook.records.writing import Writer
from hoofbook.terms.feet import Foot
from hoofbook.terms.marks import Mark
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.subjects import (
    FootRecord,
    Goal,
    Horse,
    MarkingPass,
    MeasureKept,
    PaperMade,
    Person,
    Photo,
    VetImage,
)
from hoofbook.wording.handover import KIND
from hoofbook.wording.refusals import sentence
from hoofbook.wording.vet_images import TITLE as IMAGES_TITLE
from tests.flows.handovers import finished, hand_on, rebagged, rows_of, said, state, take_in
from tests.imaging.heic_more import SECRET, with_more
from tests.imaging.test_primary_picture import HEIC, full_exif, picture, with_everything
from tests.papers import tools
from tests.papers.test_bundle import recount

NAME = re.compile(r"[a-z0-9][a-z0-9._-]*")


def test_the_zip_is_a_bag_by_the_library_and_by_hand(larkspur_zip: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(larkspur_zip) as packed:
        assert packed.testzip() is None
        packed.extractall(tmp_path)
        names = packed.namelist()
    assert len(names) == len({name.casefold() for name in names})
    assert all(NAME.fullmatch(part) for name in names for part in name.split("/"))
    bag = tmp_path / "larkspur-s-records"
    recount(bag)
    assert bagit.Bag(str(bag)).validate()
    payload = {path.relative_to(bag / "data").as_posix() for path in (bag / "data").rglob("*") if path.is_file()}
    assert {"records.json", "case.pdf", "tables/visits.csv", "tables/files.csv"} <= payload
    for path in bag.rglob("*"):
        if path.is_file():
            assert not re.search(rb"/(work|home|tmp|root|private|Users)/", path.read_bytes()), path
    records = json.loads((bag / "data" / "records.json").read_bytes())
    assert records["version"] == 1 and records["program"].startswith("Hoofbook ")
    assert set(records["records"]) == {table_of(kind).name for kind in KINDS}
    with (bag / "data" / "tables" / "files.csv").open(encoding="utf-8-sig", newline="") as table:
        listed = {row["file"]: row["sha256"] for row in csv.DictReader(table)}
    photos = {path.relative_to(bag / "data").as_posix(): path for path in (bag / "data" / "photos").iterdir()}
    assert listed == {name: hashlib.sha256(path.read_bytes()).hexdigest() for name, path in photos.items()}


def told(folder: Path) -> list[dict[str, Any]]:
    done = subprocess.run(
        ["exiftool", "-json", "-G1", "-a", "-u", "-ee3", "-r", str(folder)], capture_output=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return list(json.loads(done.stdout))


def test_no_photo_tells_place_or_camera(larkspur_zip: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(larkspur_zip) as packed:
        packed.extractall(tmp_path)
    found = told(tmp_path / "larkspur-s-records" / "data" / "photos")
    assert len(found) == 54
    for photo in found:
        for name in photo:
            assert not re.search(r"gps|serial|thumbnail|maker|model|xmp|preview|software", name, re.IGNORECASE), name
    dated = [photo for photo in found if "ExifIFD:DateTimeOriginal" in photo]
    assert len(dated) == 53  # one sample photo went through a messenger, which took its date


def test_it_comes_back_as_it_was(opened_sample: OpenBook, larkspur_zip: Path, next_book: OpenBook) -> None:
    contents = look_at_handover(larkspur_zip)
    assert (contents.horse.name, contents.counts["photo"], contents.problems) == ("Larkspur", 54, ())
    taken = take_in(next_book, larkspur_zip)
    assert taken.new_horse and taken.already == 0
    horse, again = opened_sample.horse_named("Larkspur"), next_book.horse_named("Larkspur")
    assert again == horse
    assert said(next_book, "Larkspur") == said(opened_sample, "Larkspur")
    before, after = rows_of(opened_sample, horse), rows_of(next_book, again)
    for kind, rows in before.items():
        if kind is Photo:
            plain = {key: replace(photo, sha256="", suffix="") for key, photo in rows.items()}
            assert {key: replace(photo, sha256="", suffix="") for key, photo in after[kind].items()} == plain
        else:
            assert after[kind] == rows, kind
    assert len(before[MeasureKept]) > 300 and len(before[MarkingPass]) == 50
    for key in list(before[Photo])[::9]:
        pictures = [
            open_upright(b.archive.path(rows[Photo][key])) for b, rows in ((opened_sample, before), (next_book, after))
        ]
        assert (np.asarray(pictures[0]) == np.asarray(pictures[1])).all()
    for photo in after[Photo].values():
        data = next_book.archive.path(photo).read_bytes()
        assert hashlib.sha256(data).hexdigest() == photo.sha256
        assert next_book.archive.preview(photo.sha256, "thumbnail.jpg").is_file()
    owner = next_book.book.get(Person, again.owner)  # type: ignore[arg-type]
    assert owner.name == "A. K." and owner.consent_vet is not None
    changed = opened_sample.book.corrections_among({row.key for row in before[Photo].values()})
    assert next_book.book.corrections_among({row.key for row in before[Photo].values()}) == changed


def test_a_second_time_adds_nothing(next_book: OpenBook, copper_folder: Path) -> None:
    take_in(next_book, copper_folder)
    before, rows = state(next_book), rows_of(next_book, next_book.horse_named("Copper"))
    taken = take_in(next_book, copper_folder, "copper")
    assert not taken.added and not taken.new_horse and taken.already > 100
    assert state(next_book) == before
    assert rows_of(next_book, next_book.horse_named("Copper")) == rows
    with pytest.raises(Refused, match="handover_horse_there"):
        take_in(next_book, copper_folder)
    assert state(next_book) == before


def test_back_in_its_own_book_it_changes_nothing(opened_sample: OpenBook, copper_folder: Path) -> None:
    before = state(opened_sample)
    taken = take_in(opened_sample, copper_folder, "Copper")
    assert not taken.added
    assert state(opened_sample) == before


def test_it_goes_into_a_horse_that_is_named(next_book: OpenBook, copper_folder: Path) -> None:
    """What the book says of that horse in words of its own stays, and keeps the Handover's out."""
    key = add_horse(next_book, HorseForm("Old Copper", sex="gelding", owner="R. M."))
    horse = next_book.horse(key)
    handed = look_at_handover(copper_folder)
    document = json.loads((copper_folder / "data" / "records.json").read_bytes())
    goal = document["records"]["goal"][0]
    own_goal = replace(as_goal(goal), key=new_key(), horse=horse.key, note="mine")
    own_foot = FootRecord(new_key(), horse.key, Foot.LF, horn="mine")
    with next_book.book.writing() as writer:
        writer.add_all([own_foot, own_goal])
    taken = take_in(next_book, copper_folder, "old copper")
    assert not taken.new_horse and taken.horse == key
    assert next_book.horse(key) == horse
    assert [g for g in next_book.book.every(Goal, horse=horse.key) if g.note == "mine"] == [own_goal]
    assert len([g for g in next_book.book.every(Goal, horse=horse.key) if g.measure == own_goal.measure]) == 1
    assert any("goals stayed out" in line for line in taken.lines)
    assert taken.added["photo"] == handed.counts["photo"] and "horse" not in taken.added
    assert len(next_book.book.photos(horse.key)) == 6
    assert [person.name for person in next_book.book.every(Person, name="R. M.")] == [
        "R. M."
    ]  # the same owner, not twice
    assert any(line.startswith("Owner R. M.") for line in taken.lines)
    assert len(next_book.book.every(Horse)) == 1
    assert progress_of_book(next_book, "Old Copper").goals == 1


def as_goal(row: dict[str, Any]) -> Goal:
    from hoofbook.records.whole import whole_from_text

    return whole_from_text(Goal, json.dumps(row))


def test_people_are_matched_as_told(next_book: OpenBook, copper_folder: Path) -> None:
    key = add_horse(next_book, HorseForm("Robin", owner="Somebody Else"))
    other = next_book.horse(key).owner
    contents = look_at_handover(copper_folder)
    matches = proposed_matches(next_book, contents)
    assert set(matches.values()) == {"new"}
    owner = next(person for person in contents.people if person.role == "owner")
    finished(take_handover(next_book, copper_folder, {**matches, owner.key: str(other)}))
    assert next_book.horse_named("Copper").owner == other
    assert not next_book.book.every(Person, name=owner.name)
    robin = {**matches, contents.horse.key: key}
    with pytest.raises(Refused, match="handover_horse_other"):
        finished(take_handover(next_book, copper_folder, robin))
    with pytest.raises(Refused, match="not_in_book"):
        finished(take_handover(next_book, copper_folder, {**matches, contents.horse.key: str(new_key())}))


def test_marks_added_elsewhere_come_back_and_are_measured(
    opened_sample: OpenBook, copper_folder: Path, next_book: OpenBook, tmp_path: Path
) -> None:
    """The other farrier moves a mark; taken back into the first book its pass is added, and that photo measured."""
    take_in(next_book, copper_folder)
    horse = next_book.horse_named("Copper")
    photo = next_book.book.photos(horse.key)[-1]
    old = next_book.book.latest_pass(photo.key)
    assert old is not None
    name = next(iter(old.marking.confirmed))
    mark = old.marking.marks[name]
    moved = old.marking.with_mark(name, Mark(mark.x + 9.0, mark.y + 4.0))
    newer = replace(old, key=new_key(), marked_by="Next Farrier", marked_at=next_book.clock.now(), marking=moved)
    with next_book.book.writing() as writer:
        writer.add(newer)
    hand_on(next_book, "Copper", tmp_path / "back.zip")
    figures = {kept.key: kept for kept in opened_sample.book.measures(horse.key)}
    taken = take_in(opened_sample, tmp_path / "back.zip", "Copper")
    assert dict(taken.added) == {"marking_pass": 1}
    assert opened_sample.book.latest_pass(photo.key) == newer
    after = {kept.key: kept for kept in opened_sample.book.measures(horse.key)}
    same = [kept for key, kept in figures.items() if str(photo.key) not in kept.quantity.photos]
    assert all(after[kept.key] == kept for kept in same)
    anew = [kept for key, kept in after.items() if key not in figures]
    assert anew and all(kept.quantity.photos == (str(photo.key),) and newer.key in kept.passes for kept in anew)


def test_it_is_one_transaction(next_book: OpenBook, copper_folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A disk that fails at the last rows: the book is as it was but for spare pictures; next time all goes in."""
    before = (next_book.folder / DATABASE).read_bytes()
    with monkeypatch.context() as failing:
        failing.setattr(Writer, "keep_measures", full_disk)
        with pytest.raises(Refused, match="disk_full"):
            take_in(next_book, copper_folder)
    assert (next_book.folder / DATABASE).read_bytes() == before
    assert not next_book.book.every(Horse) and not next_book.book.every(Photo)
    assert len(spare_files(next_book.book, next_book.archive)) == 6
    assert take_in(next_book, copper_folder).added["measure"] > 10
    assert not spare_files(next_book.book, next_book.archive)


def full_disk(*_: Any) -> None:
    raise Refused(Refusal("disk_full", {}))


def test_measures_of_an_earlier_method_are_found_and_made_anew(
    next_book: OpenBook, copper_folder: Path, tmp_path: Path
) -> None:
    """The book was looked through for its methods before; what comes in with an earlier one must not be passed over."""
    family, _, number = METHOD.rpartition(" ")
    earlier = Path(shutil.copytree(copper_folder, tmp_path / "earlier"))
    file = earlier / "data" / "records.json"
    text = file.read_text(encoding="utf-8")
    assert f'"method":"{METHOD}"' in text
    file.write_text(text.replace(f'"method":"{METHOD}"', f'"method":"{family} {int(number) - 1}"'), encoding="utf-8")
    rebagged(earlier)
    assert finished(measure_anew(next_book)) == 0  # an empty book: notes that all is of the present methods
    take_in(next_book, earlier)
    assert outdated(next_book) == 6
    assert finished(measure_anew(next_book)) == 6
    assert outdated(next_book) == 0


def test_photos_with_more_in_their_file_and_covered_parts(opened_sample: OpenBook, tmp_path: Path) -> None:
    """A film behind the end, a second picture by its index, a HEIC with more than its first picture."""
    horse = opened_sample.horse(add_horse(opened_sample, HorseForm("Plain")))
    film = with_everything(tmp_path / "film.jpg")
    two = tmp_path / "two.jpg"
    picture().save(two, "MPO", save_all=True, append_images=[picture(9)], exif=full_exif())
    heic = with_more(HEIC / "orientation6.heic", tmp_path / "more.heic")
    hidden = tmp_path / "hidden.jpg"
    picture(11).save(hidden, "JPEG", quality=95, exif=full_exif(8))
    added = {}
    for path in (film, two, heic, hidden):
        arrived = take_one(opened_sample, path, Filing(horse.key, foot=Foot.LF))
        assert arrived.photo is not None, arrived
        added[path.name] = arrived.photo
    box = (0.2, 0.3, 0.5, 0.6)
    change_photo(opened_sample, added["hidden.jpg"], covered=(box,))
    out = hand_on(opened_sample, "Plain", tmp_path / "plain").file
    for path in out.rglob("*"):
        if path.is_file():  # the name of the camera's make is a record: sizes of a lens are shared by its photos
            assert SECRET not in path.read_bytes().replace(b'"camera":"' + SECRET + b'"', b""), path
    document = json.loads((out / "data" / "records.json").read_bytes())
    files = {row["key"]: out / "data" / row["file"] for row in document["files"]}
    for photo in told(out / "data" / "photos"):
        for name in photo:
            assert not re.search(r"gps|serial|thumbnail|maker|xmp|preview|mpf|mpimage|trailer", name, re.IGNORECASE)
    for name in ("film.jpg", "two.jpg"):
        with Image.open(files[str(added[name].key)]) as opened:
            assert (np.asarray(opened) == np.asarray(first_picture(tmp_path / name))).all()
    with Image.open(files[str(added["hidden.jpg"].key)]) as opened:
        shown = np.asarray(ImageOps.exif_transpose(opened).convert("RGB"))
    height, width = shown.shape[:2]
    inside = shown[int(0.3 * height) : int(0.6 * height), int(0.2 * width) : int(0.5 * width)]
    assert (inside == inside[0, 0]).all()
    assert (width, height) == (added["hidden.jpg"].width, added["hidden.jpg"].height)


def first_picture(path: Path) -> Image.Image:
    """The first picture of a file by Pillow, whatever lies behind it."""
    data = path.read_bytes()
    with Image.open(io.BytesIO(data), formats=["JPEG"]) as opened:
        opened.load()
        return opened.copy()


def with_vets_image(book: OpenBook, tmp_path: Path) -> VetImage:
    source = tmp_path / "film of the vet.jpg"
    picture(21).save(source, "JPEG", exif=full_exif())
    taken = book.archive.take_in(source)
    book.archive.keep(taken, ".jpg")
    horse, day = book.horse_named("Copper").key, book.clock.now().date()
    image = VetImage(
        new_key(), horse, day, taken.sha256, ".jpg", Foot.LF, "side", source.name, "Vet D.", day, "shoeing"
    )
    with book.book.writing() as writer:
        writer.add(image)
    return image


def test_the_vets_images_go_only_when_asked_for(opened_sample: OpenBook, next_book: OpenBook, tmp_path: Path) -> None:
    image = with_vets_image(opened_sample, tmp_path)
    without = hand_on(opened_sample, "Copper", tmp_path / "without")
    assert not (without.file / "data" / "vets-images").exists()
    assert json.loads((without.file / "data" / "records.json").read_bytes())["records"]["vet_image"] == []
    assert any("the vet's images stay" in line for line in without.look_again)
    assert IMAGES_TITLE not in tools.text(without.file / "data" / "case.pdf")
    with_them = hand_on(opened_sample, "Copper", tmp_path / "with", HandoverWishes(vets_images=True))
    assert IMAGES_TITLE in tools.text(with_them.file / "data" / "case.pdf")
    (file,) = (with_them.file / "data" / "vets-images").iterdir()
    assert SECRET not in file.read_bytes()
    taken = take_in(next_book, with_them.file)
    assert taken.added["vet_image"] == 1
    (again,) = next_book.book.every(VetImage)
    assert replace(again, sha256=image.sha256) == image
    assert next_book.archive.path(again.sha256, again.suffix).read_bytes() == file.read_bytes()


def test_what_stays_behind(opened_sample: OpenBook, tmp_path: Path) -> None:
    """Photos set aside, and the farrier's own notes about people; the permission is told."""
    horse = opened_sample.horse_named("Copper")
    photo = opened_sample.book.photos(horse.key)[0]
    owner = opened_sample.book.get(Person, horse.owner)  # type: ignore[arg-type]
    with opened_sample.book.writing() as writer:
        writer.set_aside(photo)
        writer.change(replace(owner, note="PAYS LATE", phone="01632 960 001", consent_vet=None))
    made = hand_on(opened_sample, "Copper", tmp_path / "c")
    assert made.photos == 5 and made.permission in made.look_again
    assert made.permission.startswith(f"It is not noted that owner {owner.name}")
    assert any("set aside stay" in line for line in made.look_again)
    text = b"".join(path.read_bytes() for path in made.file.rglob("*") if path.suffix in (".json", ".csv", ".txt"))
    assert b"PAYS LATE" not in text and b"01632 960 001" in text
    assert str(photo.key).encode() not in (made.file / "data" / "records.json").read_bytes()
    assert look_at_handover(made.file).problems


def test_it_is_noted_with_its_hash_and_not_kept_twice(opened_sample: OpenBook, tmp_path: Path) -> None:
    before = {path for path in opened_sample.folder.rglob("*") if path.is_file()}
    packed = hand_on(opened_sample, "Copper", tmp_path / "c.zip", HandoverWishes(made_for="Next Farrier")).file
    folder = hand_on(opened_sample, "Copper", tmp_path / "c").file
    papers = [paper for paper in opened_sample.book.every(PaperMade) if paper.kind == KIND]
    assert [(paper.file_name, paper.made_for) for paper in papers] == [("c.zip", "Next Farrier"), ("c", "")]
    sums = [hashlib.sha256(path.read_bytes()).hexdigest() for path in (packed, folder / "tagmanifest-sha256.txt")]
    assert [paper.sha256 for paper in papers] == sums
    grown = {path for path in opened_sample.folder.rglob("*") if path.is_file()} - before
    assert not [path for path in grown if "previews" not in path.parts and path.name != "in-use.json"]


@pytest.mark.parametrize(("name", "code"), [("c.pdf", "handover_kind_unknown"), ("there", "handover_there")])
def test_bad_targets_are_refused(opened_sample: OpenBook, tmp_path: Path, name: str, code: str) -> None:
    (tmp_path / "there").mkdir()
    with pytest.raises(Refused, match=code):
        hand_on(opened_sample, "Copper", tmp_path / name)
    assert not list((tmp_path / "there").iterdir()) and not (tmp_path / "c.pdf").exists()
    (tmp_path / "link").symlink_to(tmp_path / "nowhere")
    with pytest.raises(Refused, match="handover_there"):
        hand_on(opened_sample, "Copper", tmp_path / "link")


def test_stopped_half_way_nothing_is_left(opened_sample: OpenBook, tmp_path: Path) -> None:
    out = tmp_path / "out" / "c.zip"
    work = make_handover(opened_sample, str(opened_sample.horse_named("Copper").key), HandoverWishes(), out)
    for _ in range(4):
        next(work)
    assert list(out.parent.iterdir())
    work.close()
    assert not list(out.parent.iterdir())


def test_a_photo_that_is_gone_is_named(opened_sample: OpenBook, tmp_path: Path) -> None:
    photo = opened_sample.book.photos(opened_sample.horse_named("Copper").key)[0]
    opened_sample.archive.path(photo).unlink()
    with pytest.raises(Refused, match="handover_photo_lost") as refused:
        hand_on(opened_sample, "Copper", tmp_path / "c.zip")
    assert photo.given_name in sentence(refused.value.refusal)
    assert not (tmp_path / "c.zip").exists()


def test_a_book_for_looking_only_hands_on_but_takes_nothing(
    opened_sample: OpenBook, copper_folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(opened_sample.book, "read_only_because", Refusal("folder_read_only", {"folder": "x"}))
    made = hand_on(opened_sample, "Copper", tmp_path / "c.zip")
    assert any("looking only" in line for line in made.look_again)
    assert not [paper for paper in opened_sample.book.every(PaperMade) if paper.kind == KIND]
    with pytest.raises(Refused, match="folder_read_only"):
        finished(take_handover(opened_sample, copper_folder, {}))


def test_the_command_makes_it_and_takes_it_in(
    own_sample_book: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out, other = tmp_path / "c.zip", tmp_path / "other"
    words = ["paper", "handover", str(own_sample_book), "--horse", "Copper", "--out", str(out)]
    assert run_command(words, open_window=lambda *_: 1) == 0
    assert "Handover with 6 photos" in capsys.readouterr().out
    assert run_command(words, open_window=lambda *_: 1) == 2
    assert "is there already" in capsys.readouterr().err
    assert run_command(["add", str(other), str(out)], open_window=lambda *_: 1) == 0
    assert "into Copper (a new horse): 7 visits, 6 photos" in capsys.readouterr().out
    assert run_command(["add", str(other), str(out)], open_window=lambda *_: 1) == 2
    assert "There is a horse called Copper" in capsys.readouterr().err
    assert run_command(["add", str(other), str(out), "--horse", "Copper", "--json"], open_window=lambda *_: 1) == 0
    (taken,) = json.loads(capsys.readouterr().out)["handovers"]
    assert taken["added"] == {} and not taken["new_horse"]
    assert run_command(["add", str(other), str(out), "--horse", "Nobody"], open_window=lambda *_: 1) == 2
    capsys.readouterr()
    out.write_bytes(b"PK")
    assert run_command(["add", str(tmp_path / "none"), str(out)], open_window=lambda *_: 1) == 2
    assert capsys.readouterr().err.count("\n") == 1
    assert not (tmp_path / "none").exists()


def test_a_vets_png_goes_on_without_words_and_with_its_pixels(opened_sample: OpenBook, tmp_path: Path) -> None:
    file = tmp_path / "film.png"
    picture(22).save(file, "PNG", exif=full_exif())
    pixels = np.asarray(Image.open(file))
    assert SECRET in file.read_bytes()
    take_vet_image(opened_sample, str(opened_sample.horse_named("Copper").key), file, VetTold("LF", taken="2025-09-01"))
    made = hand_on(opened_sample, "Copper", tmp_path / "with", HandoverWishes(vets_images=True)).file
    [handed] = (made / "data" / "vets-images").iterdir()
    assert SECRET not in handed.read_bytes()
    with Image.open(handed) as opened:
        np.testing.assert_array_equal(np.asarray(opened), pixels)
