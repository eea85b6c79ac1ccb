"""What is made for others holds its pixels alone: no place, serial number, small old picture, film or second picture of
the photos it was made from, and nothing of a part that was covered.

Every output of the command line is opened with tools that are not ours: ExifTool for tags, pdfimages and qpdf for what
lies inside a PDF, Pillow for pixels. A tool that is missing fails the test. The ring round the covered part is painted
by the test itself (`tests/imaging/planted.py`), so where that part must lie in each output is known without our code.
"""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from uuid import UUID

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from scipy import ndimage

from hoofbook.casework.open_book import OpenBook, open_book
from hoofbook.casework.owner_facts import OwnerWishes, read_owner_facts
from hoofbook.casework.papers import make_owner_paper
from hoofbook.casework.photo_days import day_of, one_per_visit
from hoofbook.casework.taking_in import change_photo
from hoofbook.casework.vet_chosen import chosen_photos
from hoofbook.casework.vet_facts import read_facts
from hoofbook.cli.main import run_command
from hoofbook.terms.feet import Foot
from hoofbook.terms.refusal import Refused
from hoofbook.terms.subjects import Photo
from hoofbook.terms.views import Moment, View
from hoofbook.wording.papers_place import WITH_BLOOD
from tests.imaging import planted
from tests.papers import tools

HORSE, DAYS = "Teasel", ("2025-01-20", "2025-03-20", "2025-05-20")
READINGS = "horse,foot,measure,definition,date,moment,days_since_trim,value,unit,u,goal,wanted\n" + "".join(
    f"{HORSE},LF,toe_angle,hand_gauge,{day},after trim,,{48 + number},deg,,yes,more\n"
    for number, day in enumerate(DAYS)
)
HIDDEN_TAGS = (
    "GPS",
    "SerialNumber",
    "ThumbnailImage",
    "PreviewImage",
    "OtherImage",
    "JpgFromRaw",
    "MPImage",
    "Trailer",
)
# a next farrier's record names the camera: by it photos taken through one lens are known
IN_THE_RECORD = ("handover records.json", planted.MAKER)
LEAST_SIDE, BLOCK = 40, 16  # px: of a covered part in the smallest output; of a JPEG's block with halved colours
FLAT, ALIKE = 3, 70  # levels: what JPEG leaves of one flat colour; how near a planted colour counts as that colour


@dataclass(frozen=True)
class Made:
    """Everything that left the book, by name, and how many covered parts each must show."""

    outputs: dict[str, Path]
    photos: tuple[Path, ...]


@pytest.fixture(scope="module")
def made(sample_book: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Made]:
    folder = tmp_path_factory.mktemp("planted")
    book = Path(shutil.copytree(sample_book, folder / "book"))
    with pytest.MonkeyPatch.context() as home:
        home.setenv("HOOFBOOK_HOME", str(folder / "home"))
        photos = (
            planted.with_film(folder / "with a film.jpg", DAYS[0]),
            planted.with_second_picture(folder / "with a second picture.jpg", DAYS[1]),
            planted.with_more_items(folder / "with more items.heic", DAYS[2]),
        )
        for photo, day in zip(photos, DAYS, strict=True):
            told = ("--horse", HORSE, "--visit", day, "--foot", "LF", "--view", "lateral", "--moment", "after trim")
            assert command("add", book, photo, *told) == 0
        readings = folder / "readings.csv"
        readings.write_text(READINGS, encoding="utf-8")
        assert command("add", book, readings) == 0
        cover(book)
        yield Made(outputs(book, folder), photos)


def command(*words: object) -> int:
    return run_command([str(word) for word in words], open_window=lambda *_: 1)


def cover(book: Path) -> None:
    opened = open_book(book)
    try:
        own = opened.book.photos(opened.horse_named(HORSE).key)
        assert len(own) == 3
        for photo in own:
            change_photo(opened, photo, covered=(planted.COVERED,))
    finally:
        opened.close()


def outputs(book: Path, folder: Path) -> dict[str, Path]:
    """One file per way of making something for others, with the pair of the first two and of the last two photos."""
    found: dict[str, Path] = {}
    told = ("--horse", HORSE, "--foot", "LF", "--view", "lateral")
    for pair, days in (("first", DAYS[:2]), ("last", DAYS[1:])):
        between = ("--then", days[0], "--now", days[1])
        for layout in ("side by side", "curtain", "fade"):
            found[f"compare {layout} {pair}"] = out = folder / f"{layout}-{pair}.png"
            assert command("compare", book, *told, *between, "--layout", layout, "--out", out) == 0
        for form, suffix in (("portrait", ".jpg"), ("square", ".png")):
            found[f"owner {form} {pair}"] = out = folder / f"{form}-{pair}{suffix}"
            assert command("paper", "owner", book, *told, *between, "--form", form, "--out", out) == 0
        found[f"owner sheet {pair}"] = out = folder / f"sheet-{pair}.pdf"
        assert command("paper", "owner", book, *told, *between, "--out", out) == 0
    for size in ("call", "case", "full"):
        found[f"vet {size}"] = out = folder / f"vet-{size}.pdf"
        assert command("paper", "vet", book, "--horse", HORSE, "--size", size, "--out", out) == 0
    found["compare row"] = out = folder / "row.png"
    assert command("compare", book, *told, "--row", "all", "--out", out) == 0
    for kind in ("handover", "dicom"):
        out = folder / kind
        assert command("paper", kind, book, "--horse", HORSE, "--out", out) == 0
        found |= {f"{kind} {path.name}": path for path in sorted(out.rglob("*")) if path.is_file()}
    return found


def pictures_of(output: Path, folder: Path) -> list[Path]:
    """Every picture in a file, taken out of a PDF by poppler, out of a DICOM file by DCMTK."""
    inside = folder / f"{output.parent.name} {output.name}"
    if output.suffix == ".pdf":
        inside.mkdir()
        found = tools.pictures(output, inside)
        assert found
        return found
    if output.suffix == ".dcm" and "case" in output.name:
        pdf = inside.with_suffix(".pdf")
        tools.tool("dcm2pdf", output, pdf)
        return pictures_of(pdf, folder)
    if output.suffix == ".dcm":
        tools.tool("dcmj2pnm", "+on", output, inside.with_suffix(".png"))
        return [inside.with_suffix(".png")]
    return [output] if output.suffix in (".jpg", ".png") else []


def hidden_tags(path: Path) -> list[str]:
    """Names of tags of the kinds that must not leave, in the file and in whatever lies inside it."""
    [tags] = json.loads(tools.tool("exiftool", "-json", "-a", "-u", "-ee", "-G1", path))
    return [name for name in tags if any(kind in name for kind in HIDDEN_TAGS)]


def content(path: Path) -> bytes:
    """The bytes, those of a PDF with its streams unpacked beside them."""
    raw = path.read_bytes()
    return (
        raw + tools.tool("qpdf", "--qdf", "--object-streams=disable", path, "-").encode()
        if path.suffix == ".pdf"
        else raw
    )


def like(picture: NDArray[np.int16], colour: planted.Colour, near: int = ALIKE) -> NDArray[np.bool_]:
    return np.abs(picture - np.array(colour, np.int16)).max(axis=2) < near


def opened(path: Path) -> NDArray[np.int16]:
    with Image.open(path) as picture:
        return np.asarray(picture.convert("RGB"), np.int16)


def covered_parts(picture: NDArray[np.int16]) -> list[NDArray[np.int16]]:
    """What lies inside each ring, without the blocks of a JPEG at its rim, into which the ring bleeds (T.81, A.1)."""
    found = []
    names, _ = ndimage.label(ndimage.binary_closing(like(picture, planted.RING), iterations=2))
    rim = planted.RING_PX / (planted.SIZE[0] * (planted.COVERED[2] - planted.COVERED[0]) + 2 * planted.RING_PX)
    low_rim = planted.RING_PX / (planted.SIZE[1] * (planted.COVERED[3] - planted.COVERED[1]) + 2 * planted.RING_PX)
    for rows, columns in ndimage.find_objects(names):
        tall, wide = rows.stop - rows.start, columns.stop - columns.start
        if wide > LEAST_SIDE and tall > LEAST_SIDE:
            across, down = round(rim * wide) + BLOCK, round(low_rim * tall) + BLOCK
            found.append(picture[rows.start + down : rows.stop - down, columns.start + across : columns.stop - across])
    return found


def test_the_planted_photos_carry_all_that_is_looked_for(made: Made) -> None:
    """Each check below can fail: run on the photos themselves, every one of them does."""
    for photo in made.photos:
        tags = hidden_tags(photo)
        assert {kind for kind in ("GPS", "SerialNumber", "ThumbnailImage") if any(kind in tag for tag in tags)} == {
            "GPS",
            "SerialNumber",
            "ThumbnailImage",
        }
        assert planted.WORDS[0] in photo.read_bytes()
    assert planted.FILM in made.photos[0].read_bytes()
    assert any("MPImage" in tag for tag in hidden_tags(made.photos[1]))
    [part] = covered_parts(planted.scene().astype(np.int16))
    assert np.ptp(part, axis=(0, 1)).max() > 200
    assert like(part, planted.SECRET).mean() > 0.3


def test_no_place_number_or_small_picture_is_in_any_output(made: Made, tmp_path: Path) -> None:
    for name, output in made.outputs.items():
        assert not hidden_tags(output), name
        for picture in pictures_of(output, tmp_path):
            assert not hidden_tags(picture), (name, picture.name)


def test_no_planted_words_or_bytes_are_in_any_output(made: Made, tmp_path: Path) -> None:
    tails = [photo.read_bytes()[-400:] for photo in made.photos]  # the film, the second picture's and the items' own
    for name, output in made.outputs.items():
        for path in (output, *pictures_of(output, tmp_path)):
            data = content(path)
            for words in (*planted.WORDS, *tails):
                assert words not in data or (name, words) == IN_THE_RECORD, (name, words[:30])


def test_no_planted_colour_is_in_any_output(made: Made, tmp_path: Path) -> None:
    for name, output in made.outputs.items():
        for path in pictures_of(output, tmp_path):
            picture = opened(path)
            for colour, value in planted.PLANTED.items():
                assert not like(picture, value).any(), (name, path.name, colour)


def test_a_covered_part_is_one_flat_colour_wherever_its_photo_shows(made: Made, tmp_path: Path) -> None:
    shown = {}
    for name, output in made.outputs.items():
        parts = [part for path in pictures_of(output, tmp_path) for part in covered_parts(opened(path))]
        shown[name] = len(parts)
        for part in parts:
            assert min(part.shape[:2]) >= LEAST_SIDE // 2, name
            assert np.ptp(part, axis=(0, 1)).max() <= FLAT, name
    pairs = {name: 2 for name in made.outputs if "side" in name or name.startswith("owner")}
    one_place = {name: 1 for name in made.outputs if "curtain" in name or "fade" in name}
    whole = {name: 1 for name in made.outputs if name.startswith(("handover 2025", "dicom 2025"))}
    assert len(whole) == 6
    # page 1 has the newest photo (earlier ones only where they are free of remarks), a case has it once more unmarked
    # and all three in the strip of visits, a full case all three with and without marks beside page 1 and the strip
    vet = {"vet call": 1, "vet case": 1 + 1 + 3, "vet full": 1 + 2 * 3 + 3}
    handed = {"handover case.pdf": vet["vet full"], "dicom vet-case.dcm": vet["vet case"]}
    found = {name: count for name, count in shown.items() if count}
    assert found == pairs | one_place | whole | vet | handed | {"compare row": 3}


def test_what_a_person_covers_for_one_paper_is_covered_beside_it(made: Made, tmp_path: Path) -> None:
    """The wish of one paper adds to what is covered for good: here a box over the ring itself."""
    folder = made.photos[0].parent / "book"
    book = open_book(folder)
    try:
        wishes = OwnerWishes("LF", "lateral", covered=(((0.0, 0.0, 1.0, 0.6),), ()))
        key = str(book.horse_named(HORSE).key)
        picture = opened(make_owner_paper(book, key, wishes, tmp_path / "o.png"))
    finally:
        book.close()
    left, right = np.array_split(picture, 2, axis=1)
    assert 0 < like(left, planted.RING).sum() < 0.6 * like(right, planted.RING).sum()
    assert not like(picture, planted.SECRET).any()


def set_blood(book: OpenBook, *, but: int) -> list[Photo]:
    """All sole photos of the left fore show blood, but for those of `but` visits; one photo a visit is handed back."""
    own = book.book.photos(book.horse_named("Larkspur").key, foot=Foot.LF, view=View.SOLAR)
    visits = one_per_visit([photo for photo in own if photo.moment is Moment.AFTER_TRIM], ())
    plain = {photo.visit for photo in visits[:but]}
    for photo in own:
        if photo.visit not in plain:
            change_photo(book, photo, shows_blood=True)
    return visits


def test_photos_that_show_blood_stay_out_of_what_an_owner_gets(opened_sample: OpenBook, tmp_path: Path) -> None:
    visits = set_blood(opened_sample, but=2)
    horse = str(opened_sample.horse_named("Larkspur").key)
    wishes = OwnerWishes("LF", "solar")
    plain = read_owner_facts(opened_sample, horse, wishes)
    shown = [opened_sample.book.get(Photo, UUID(side.key)) for side in (plain.then, plain.now)]
    assert {photo.visit for photo in shown} == {visit.visit for visit in visits[:2]}
    first, last = str(visits[0].key), str(visits[-1].key)
    day = day_of(visits[-1], ()).isoformat()
    for told in (OwnerWishes("LF", "solar", now=day), OwnerWishes("LF", "solar", photos=(first, last))):
        with pytest.raises(Refused, match="photos_show_blood"):
            make_owner_paper(opened_sample, horse, told, tmp_path / "o.png")
        make_owner_paper(opened_sample, horse, replace(told, with_blood=True), tmp_path / "o.png")


def test_a_vet_gets_photos_that_show_blood(opened_sample: OpenBook) -> None:
    visits = set_blood(opened_sample, but=0)
    facts = read_facts(opened_sample, visits[0].horse, (Foot.LF,), None, None)
    assert visits[-1].key in {photo.key for photo in chosen_photos(facts)}


def test_the_command_says_what_to_tick_where_only_photos_with_blood_make_a_pair(
    opened_sample: OpenBook, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    set_blood(opened_sample, but=1)
    folder = opened_sample.folder
    opened_sample.close()
    out = tmp_path / "o.jpg"
    words = ("paper", "owner", folder, "--horse", "Larkspur", "--foot", "LF", "--view", "solar", "--out", out)
    assert command(*words) == 2
    assert f"tick “{WITH_BLOOD}” (--with-blood)" in capsys.readouterr().err
    assert not out.exists()
    assert command(*words, "--with-blood") == 0
    assert out.exists()
