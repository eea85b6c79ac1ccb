"""A stand-in for casework with invented values, so that a place can be worked by hand without a book.

Every function has the name and arguments of the real one; what is written is remembered in `said`.
"""

from __future__ import annotations

import time
from collections.abc import Generator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path
from types import SimpleNamespace
from typing import Any

from hoofbook.terms.drawing import Band, Drawing, Line, Role, Spot, Text
from hoofbook.terms.refusal import Refusal, Refused
from hoofbook.terms.shown import (
    EmptyPlace,
    MeasureLine,
    PhotoTile,
    Pick,
    Section,
    Step,
    Table,
    Tone,
    VerdictChip,
)

FACTS = "Mare, 11 · thoroughbred cross, 158 cm · hacks on lanes · owner A. K. · Thistle Bank Yard"
WATCH = "Right fore: keep clear of outside nail 3, drawn on 19 Aug. No glue for one more cycle."
DECIDED = "Like with like: after trim, bare. Only at readings 4, 7, 13, so that looking often does not make a change."
ALL_MEASURES = ("sole_concavity_at_frog_apex|from_sole_edge", "toe_angle|", "heel_height|")
FEET = (("LF", "Left fore"), ("RF", "Right fore"), ("LH", "Left hind"), ("RH", "Right hind"))
HORSES = (
    ("larkspur", "Larkspur", "Thistle Bank Yard", "A. K.", "Tue 11 Nov", False, "This week"),
    ("saltmarsh", "Saltmarsh", "Lower Quay", "P. O.", "Thu 13 Nov", False, "This week"),
    ("juniper", "Juniper", "Fell Gate", "T. W.", "26 d late", True, "Late"),
    ("copper", "Copper", "Ridge End", "R. M.", "Tue 9 Dec", False, "Later"),
)
WORK = Pick(
    "work", "Work", ("trim", "reset", "new nailed", "new glued", "off"), ("trim", "reset", "new", "glued", "off")
)
PARED = Pick(
    "sole_pared",
    "Sole pared",
    ("none", "loose", "to live", "by vet"),
    ("none", "loose", "to live", "by vet"),
)
SHOES = Pick(
    "shoe_on_arrival",
    "Shoes",
    ("tight", "risen", "loose", "lost", "bare"),
    ("tight", "risen", "loose", "lost", "bare"),
    hint="as arrived",
)
SOLE = Pick(
    "sole_before",
    "Sole",
    ("chalky", "packed", "live", "soft", "bruised"),
    ("chalky", "packed", "live", "soft", "bruised"),
    hint="as found",
)
LANDS = Pick("landing", "Lands", ("heel-first", "flat", "toe-first"), ("heel", "flat", "toe"), hint="on the")
WHOLE = (
    Pick(
        "since_last",
        "Since last time",
        ("nothing new", "sore after", "lost shoe", "vet seen"),
        ("nothing new", "sore after", "lost shoe", "vet seen"),
    ),
    Pick("weather", "Ground", ("dry", "wet", "frost"), ("dry", "wet", "frost")),
    Pick("walked_off", "Walked off", ("same", "better", "worse"), ("same", "better", "worse")),
    Pick("interval_weeks", "Next in weeks", ("4", "5", "6", "7", "8"), ("4", "5", "6", "7", "8")),
)
HEADS = ("Visit", "After", "Fore feet", "Hind feet", "Sole, before → after trim", "Seen", "Photos")
VISITS = Table(
    HEADS,
    (
        (
            "30 Sep 2025",
            "42 d",
            "nailed, reset",
            "trim",
            "live → live, loose flakes only",
            "vet’s films of 24 Sep kept",
            "14",
        ),
        ("19 Aug 2025", "42 d", "nailed, new, 5 nails", "trim", "live → live, not pared", "close nail drawn RF", "12"),
        (
            "27 May 2025",
            "41 d",
            "glued",
            "trim",
            "chalky → live, to live sole",
            "no bruise; no reaction to the tester",
            "13",
        ),
        ("22 Mar 2025", "day 25", "Day book: lost shoe, right fore; shoe found, wall broken at the outside quarter"),
    ),
    ("v3", "v2", "v1", ""),
    {3: "event"},
)


@dataclass
class FakeBook:
    folder: Path
    read_only: bool = False
    name: str = "Sample book"
    closed: bool = False

    def close(self) -> None:
        self.closed = True


@dataclass
class FakeCasework:
    """`photos` is a folder with side.jpg and sole.jpg. `refuse` makes the next write fail with that code."""

    photos: Path
    said: list[tuple[Any, ...]] = field(default_factory=list)
    kept: dict[tuple[str, str], str] = field(default_factory=dict)
    last: dict[tuple[str, str], str] = field(default_factory=dict)
    words: dict[str, str] = field(default_factory=dict)
    finished: bool = False
    refuse: str = ""
    limit: str = ""
    no_horses: bool = False
    asked: list[str] = field(default_factory=list)
    tray: dict[str, Any] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.last = {(foot, "work"): "trim" for foot in ("LH", "RH")} | {
            ("LF", "work"): "reset",
            ("RF", "work"): "new nailed",
            ("LF", "sole_pared"): "loose",
            ("", "interval_weeks"): "6",
        }
        spaces = {
            "open_book": ("open_book", "make_book", "default_folder", "sample_folder"),
            "horses": ("list_horses", "add_horse", "read_form", "change_horse", "HorseForm"),
            "horse_card": ("read_horse_card", "goal_choices", "open_goals", "set_goal", "end_goal", "price_of_goal"),
            "visit": (
                "list_visits",
                "add_visit",
                "read_visit",
                "choose",
                "write_words",
                "confirm_hollow",
                "finish_visit",
            ),
            "photo_tray": ("take_in", "read_tray", "file_photo", "choices"),
            "set_places": ("places_of_new",),
            "cycle_by_cycle": ("read_cycle",),
            "within_cycle": ("set_limit",),
            "what_it_takes": ("what_it_takes",),
            "how_measured": ("about", "own_figures"),
            "repeatability": ("ask_for_take", "asked"),
            "measuring_anew": ("measure_anew", "unseen", "mark_seen"),
            "scale_card": ("make_card", "card_sheet"),
            "photo_guide": ("make_guide", "guide_sheet"),
            "demo": ("make_sample_book",),
            "set_up": ("change_settings", "read_logo", "keep_logo", "drop_logo"),
            "owner_form": ("read_owner_form", "make_from_form"),
            "papers_made": ("read_papers_made", "put_again", "tell_sent"),
            "to_send": ("to_send_folder", "place_to_send"),
        }
        for space, names in spaces.items():
            members = {}
            for name in names:
                members[name] = HorseForm if name == "HorseForm" else getattr(self, f"_{name}")
            setattr(self, space, SimpleNamespace(**members))
        self.owner_facts = SimpleNamespace(OwnerWishes=SimpleNamespace)

    @cached_property
    def then_and_now(self) -> Any:
        """Pairs, rows and years: answered from memory, photos drawn when first asked for."""
        from tests.desktop.then_and_now.pair_stand_in import PairsFromMemory

        return PairsFromMemory(self.photos)

    @property
    def visits_row(self) -> Any:
        return self.then_and_now

    @property
    def row_files(self) -> Any:
        return self.then_and_now

    @property
    def pictures(self) -> Any:
        from hoofbook.casework import pictures

        return pictures

    def _may_write(self) -> None:
        if self.refuse:
            code, self.refuse = self.refuse, ""
            raise Refused(Refusal(code, {"file": "book.sqlite", "folder": "/books/mine"}))

    # book
    def _open_book(self, folder: Path, settings: Any = None) -> FakeBook:
        self._may_write()
        self.said.append(("open", folder))
        return FakeBook(folder)

    def _make_book(self, folder: Path, settings: Any = None) -> FakeBook:
        self._may_write()
        self.said.append(("make", folder))
        return FakeBook(folder, name="Hoofbook")

    def _default_folder(self) -> Path:
        return Path("/home/somebody/Documents/Hoofbook")

    def _sample_folder(self) -> Path:
        return self.photos / "not-made-yet"

    def _make_sample_book(self, folder: Path) -> Generator[Step, None, Path]:
        for number in range(200):
            yield Step(number, 200, f"Larkspur, photo {number + 1} of 200")
            time.sleep(0.005)
        return folder

    def _change_settings(self, **fields: Any) -> None:
        self.said.append(("settings", fields))

    def _read_logo(self) -> bytes:
        return b""

    def _keep_logo(self, picture: Path) -> bytes:
        return picture.read_bytes()

    def _drop_logo(self) -> None:
        self.said.append(("no logo",))

    # papers
    def _read_owner_form(self, book: Any, horse: str, wishes: Any, kind: str) -> Any:
        days = ("14 Jan", "25 Feb", "16 Apr", "27 May", "8 Jul", "19 Aug", "30 Sep")
        advice = ("dry bed", "pick out", "call", "stones", "lost shoe", "no oil")
        return SimpleNamespace(
            horse=horse,
            kind=Pick("kind", "", ("picture", "sheet"), ("picture for a phone", "sheet of paper"), kind),
            form=Pick("form", "", ("portrait", "square"), ("upright", "square"), "portrait"),
            feet=Pick("feet", "", ("LF", "RF"), ("Left fore", "Right fore"), "LF"),
            views=Pick("views", "", ("lateral", "solar"), ("Side", "Sole"), "solar"),
            then=Pick("then", "", days, days, days[0]),
            now=Pick("now", "", days, days, days[-1]),
            advice=Pick("advice", "", advice, advice, "", many=True),
            ticks=Pick("ticks", "", ("owner", "blood"), ("name the owner", "photos with blood or pus"), "", many=True),
            photos=("one", "other"),
            hidden=(0, 2),
            pages=((self.photos / "sole.jpg").read_bytes(),),
            look_again=("No next visit is set, so the paper names none.",),
            file_name="larkspur-owner-picture.jpg",
            read_only=False,
            empty=None,
        )

    def _make_from_form(self, book: Any, horse: str, wishes: Any, kind: str, out: Path | None = None) -> Path:
        self._may_write()
        self.said.append(("owner paper", kind, out))
        return out or Path("/books/mine/to-send/2025-09-30/larkspur-owner-picture.jpg")

    def _read_papers_made(self, book: Any, horse: str) -> Any:
        told = ("Sole concavity: about 4 mm more in 37 weeks; we can tell changes above 1.0 mm.",)
        lines = [
            SimpleNamespace(
                key=f"paper-{number}",
                title=f"Owner picture, {day} 2025 16:05",
                lines=("For A. K. · larkspur-owner-picture.jpg", *told),
                sent_words="Sent on 30 Sep 2025" if number else "Made, not noted as sent",
                sent=bool(number),
                kept=not number,
                page="owner",
            )
            for number, day in enumerate(("30 Sep", "19 Aug"))
        ]
        return SimpleNamespace(horse=horse, lines=tuple(lines), read_only=False, empty=None)

    def _put_again(self, book: Any, paper: str) -> Path:
        self.said.append(("again", paper))
        return Path("/books/mine/to-send/2025-09-30/larkspur-owner-picture.jpg")

    def _tell_sent(self, book: Any, paper: str, *, sent: bool) -> None:
        self.said.append(("sent", paper, sent))

    def _to_send_folder(self, book: Any) -> Path:
        return Path("/books/mine/to-send/2025-09-30")

    def _place_to_send(self, book: Any, name: str) -> Path:
        return self._to_send_folder(book) / name

    # horses
    def _list_horses(self, book: Any, search: str = "") -> tuple[Any, ...]:
        names = ("key", "name", "yard", "owner", "due", "late", "group")
        rows = [] if self.no_horses else [SimpleNamespace(**dict(zip(names, row, strict=True))) for row in HORSES]
        return tuple(row for row in rows if search.casefold() in f"{row.name} {row.owner}".casefold())

    def _add_horse(self, book: Any, form: Any) -> str:
        self._may_write()
        self.said.append(("add horse", form))
        return "larkspur"

    def _read_form(self, book: Any, horse: str) -> Any:
        return HorseForm("Larkspur", sex="mare", owner="A. K.")

    def _change_horse(self, book: Any, horse: str, form: Any) -> None:
        self.said.append(("change horse", horse, form))

    # horse card
    def tile(self, kind: str, caption: str, note: str = "") -> PhotoTile:
        picture = self.photos / f"{kind}.jpg"
        return PhotoTile(f"photo-{kind}-{caption}", picture, picture, caption, note, "full")

    def _read_horse_card(self, book: Any, horse: str) -> Any:
        up = VerdictChip(
            "increase shown, as wanted",
            "Left fore, sole concavity: increase shown, as wanted, plus 3.4 mm in 37 weeks",
            Tone.WANTED,
            "▲",
            ("+3.4 mm in 37 weeks.", "Next verdict at reading 13."),
        )
        calm = VerdictChip(
            "no change shown",
            "Right fore: no change shown, smallest we could see 1.6 mm",
            Tone.CALM,
            "",
            ("Smallest we could see: 1.6 mm.", "Next verdict at reading 7."),
        )
        feet = []
        for (foot, title), chip, value, pm in zip(
            FEET,
            (up, calm, None, None),
            ("4.8", "2.1", "52.3", "52.1"),
            ("± 0.6", "± 0.6", "± 0.8", "± 0.8"),
            strict=True,
        ):
            goal = chip is not None
            line = (
                MeasureLine("sole_concavity_at_frog_apex", "Sole concavity", value, "mm", pm, "from the sole edge")
                if goal
                else MeasureLine("toe_angle", "Toe angle", value, "°", pm)
            )
            tile = self.tile("sole", "Sole, after trim, 30 Sep") if goal else self.tile("side", "Side, 30 Sep")
            feet.append(
                SimpleNamespace(
                    foot=foot,
                    title=title,
                    tile=tile,
                    goal="Sole concavity" if goal else "no goal set",
                    wanted="wanted: more" if goal else "",
                    value=line,
                    second="from the sole edge (from the wall edge 6.1 ± 0.7)" if goal else "toe angle",
                    spark=spark() if goal else None,
                    chip=chip,
                    has_goal=goal,
                    has_map=goal,
                )
            )
        name = next(row[1] for row in HORSES if row[0] == horse)
        return SimpleNamespace(
            key=horse,
            name=name,
            facts=FACTS,
            due="next due Tue 11 Nov · 6 weeks",
            due_late=False,
            watch_next=WATCH,
            watch_from="Watch next time",
            feet=tuple(feet),
            visits=VISITS,
        )

    def _goal_choices(self, book: Any, horse: str, foot: str) -> tuple[tuple[str, str, str, str], ...]:
        return (
            (foot, "sole_concavity_at_frog_apex", "from_sole_edge", "Sole concavity, from the sole edge"),
            (foot, "toe_angle", "", "Toe angle"),
            (foot, "heel_height", "", "Heel height"),
            ("LH-RH", "toe_angle", "", "Toe angle, less right hind"),
        )

    def _set_goal(self, book: Any, horse: str, foot: str, *, measure: str, definition: str, wanted: str) -> None:
        self.said.append(("goal", foot, measure, definition, wanted))

    def _open_goals(self, book: Any, horse: str, foot: str) -> tuple[tuple[str, str, str, str], ...]:
        one = (foot, "sole_concavity_at_frog_apex", "from_sole_edge", "Sole concavity, from the sole edge")
        return (one,) if foot in ("LF", "RF") else ()

    def _end_goal(self, book: Any, horse: str, foot: str, *, measure: str, definition: str) -> None:
        self.said.append(("goal ended", foot, measure, definition))

    def _price_of_goal(self, book: Any, horse: str) -> str:
        return "Each more goal makes the others a little slower to show a change."

    # visit
    def _list_visits(self, book: Any, horse: str) -> Table | EmptyPlace:
        if horse == "copper":
            return EmptyPlace("No visit yet", "A visit keeps what you saw and did.", "Add visit", "add_visit")
        return VISITS

    def _add_visit(self, book: Any, horse: str) -> str:
        self._may_write()
        self.said.append(("add visit", horse))
        return "v4"

    def _pick(self, foot: str, pick: Pick) -> Pick:
        kept = self.kept.get((foot, pick.field), "")
        last = "" if self.finished else self.last.get((foot, pick.field), "")
        return replace(pick, chosen=kept or last, hollow=bool(last) and not kept)

    def _read_visit(self, book: Any, visit: str) -> Any:
        feet = tuple(
            SimpleNamespace(
                foot=foot,
                title=title,
                tile=self.tile("side", ""),
                photo_note="side and sole in",
                seen=tuple(self._pick(foot, pick) for pick in (SHOES, SOLE, LANDS)),
                done=tuple(self._pick(foot, pick) for pick in (WORK, PARED)),
            )
            for foot, title in FEET
        )
        whole = tuple(self._pick("", pick) for pick in WHOLE)
        hollow = sum(pick.hollow for column in feet for pick in (*column.seen, *column.done))
        hollow += sum(pick.hollow for pick in whole)
        return SimpleNamespace(
            key=visit,
            horse="larkspur",
            title="Tue 30 September 2025",
            subtitle="routine · 42 days",
            watch_last="Right fore: keep clear of outside nail 3, drawn.",
            watch_last_title="You wrote on 19 Aug",
            visit_picks=whole,
            feet=feet,
            note=self.words.get("note", ""),
            watch_next=self.words.get("watch_next", ""),
            due_words="Tue 11 Nov 2025",
            hollow_count=hollow,
            finished=self.finished,
            missing_photos=("left fore, sole after trim",),
            sole_caution="The trim changes the sole by itself.",
        )

    def _choose(self, book: Any, visit: str, foot: str, field: str, value: str) -> Any:
        self._may_write()
        self.said.append(("choose", foot, field, value))
        self.kept[(foot, field)] = value
        return self._read_visit(book, visit)

    def _write_words(self, book: Any, visit: str, field: str, text: str) -> Any:
        self.said.append(("words", field, text))
        self.words[field] = text
        return self._read_visit(book, visit)

    def _confirm_hollow(self, book: Any, visit: str) -> Any:
        self.said.append(("confirm",))
        for place, value in self.last.items():
            if not self.kept.get(place):
                self.kept[place] = value
        return self._read_visit(book, visit)

    def _finish_visit(self, book: Any, visit: str) -> Any:
        self.said.append(("finish", visit))
        self.finished = True
        return self._read_visit(book, visit)

    # photo tray
    def line(self, key: str, **changed: Any) -> Any:
        facts = {
            "key": key,
            "tile": self.tile("side", key),
            "name": f"IMG_{key}.jpg",
            "taken": "30 Sep 2025, 10:12",
            "horse": "Larkspur",
            "grade": "full",
            "remarks": (),
            "state": "to sort",
            "second": False,
            "together": (),
            "same_set": (),
            **dict.fromkeys(("visit", "foot", "view", "moment", "seen", "take", "in_set"), ""),
        }
        return SimpleNamespace(**(facts | changed))

    def _take_in(self, book: Any, paths: Sequence[Path], **where: Any) -> Generator[Step, None, tuple[Any, ...]]:
        self._may_write()
        lines = []
        for number, path in enumerate(paths):
            yield Step(number, len(paths), path.name)
            time.sleep(0.003)
            key = path.stem
            self.said.append(("take in", path.name, where.get("visit", "")))
            if path.suffix == ".txt":
                refusal = ("This is no photo. Choose a JPEG, PNG, TIFF or HEIC file.",)
                lines.append(self.line("", name=path.name, state="refused", remarks=refusal, grade=""))
                continue
            self.tray[key] = self.line(key, name=path.name)
            lines.append(self.tray[key])
        return tuple(lines)

    def _places_of_new(self, book: Any, horse: str, photos: Any) -> tuple[Any, ...]:
        return ()

    def _read_tray(self, book: Any, horse: str = "") -> tuple[Any, ...] | EmptyPlace:
        if not self.tray:
            return EmptyPlace("Photo tray", "No photo of this horse yet.", "Photos in", "photos_in")
        return tuple(sorted(self.tray.values(), key=lambda line: line.state != "to sort"))

    def _file_photo(self, book: Any, photo: str, **where: str) -> Any:
        self._may_write()
        self.said.append(("file", photo, where))
        line = self.tray[photo]
        for pick in self._choices(book, ""):
            if pick.field in where:
                words = dict(zip(pick.options, pick.labels, strict=True)).get(where[pick.field], "")
                setattr(line, pick.field, words)
        done = all((line.visit, line.foot, line.view, line.moment))
        self.tray[photo] = SimpleNamespace(**(vars(line) | {"state": "filed" if done else "to sort"}))
        return self.tray[photo]

    def _choices(self, book: Any, horse: str) -> tuple[Pick, ...]:
        return (
            Pick("visit", "Visit", ("v3", "v2"), ("30 Sep 2025", "19 Aug 2025")),
            Pick("foot", "Foot", tuple(f for f, _ in FEET), tuple(t.lower() for _, t in FEET)),
            Pick("view", "View", ("lateral", "solar"), ("side", "sole")),
            Pick("moment", "Moment", ("before trim", "after trim"), ("before trim", "after trim")),
            Pick(
                "card_plane",
                "Where the card stood",
                ("mid-line", "near wall"),
                ("in line with the middle", "near wall"),
            ),
        )

    # cycle by cycle
    def _read_cycle(self, book: Any, horse: str, foot: str = "", measure: str = "", definition: str = "") -> Any:
        foot, measure = foot or "LF", measure or "sole_concavity_at_frog_apex"
        self.said.append(("cycle", foot, measure))
        title = dict(FEET)[foot]
        wanted = next(option for option in ALL_MEASURES if option.startswith(measure))
        chip = VerdictChip("increase shown, as wanted", f"{title}: increase shown, as wanted", Tone.WANTED, "▲")
        return SimpleNamespace(
            foot=foot,
            measure=measure,
            definition="from_sole_edge",
            feet=Pick("foot", "Foot", tuple(f for f, _ in FEET), tuple(t for _, t in FEET), foot),
            measures=Pick("measure", "", (*ALL_MEASURES[:2], "more"), ("Sole concavity", "Toe angle", "more"), wanted),
            all_measures=Pick("measure", "", ALL_MEASURES, ("Sole concavity", "Toe angle", "Heel height"), wanted),
            title=f"{title}, sole concavity",
            sentence="Increase shown, as wanted: 1.1 to 5.7 mm more over 37 weeks; next verdict at reading 13.",
            chip=chip,
            headline="+3.4",
            headline_unit="mm",
            interval="1.1 to 5.7, over 37 weeks",
            chart=chart,
            point_keys={
                f"r{i}": (f"photo-{i}", f"reading {i + 1}, {1.4 + i * 0.6:.1f} mm ± 0.7, after trim") for i in range(7)
            },
            how_decided=Section("How it was decided", (DECIDED,)),
            fool=Section(
                "What could fool us",
                ("By hand, groove at the frog point: 3 → 7 mm.",),
                (("27 May", "sole pared to live sole"), ("16 Apr", "wet month, sole held")),
            ),
            other_foot=Section("Right fore", ("No change shown (smallest we could see: 1.6 mm).",)),
            within_cycle=Section("Within a cycle", rows=(("Toe length, in 30 days", "+8.9 mm ± 1.8"),)),
            each_cycle=Table(
                ("Cycle", "Days", "In 30 days", "At the trim"),
                (("19 Aug to 30 Sep 2025", "42", "+9.0 mm ± 1.9", "−12.1 mm ± 1.4"),),
            ),
            limit=SimpleNamespace(
                value=self.limit, unit="mm", sentence=f"About {self.limit} mm." if self.limit else ""
            ),
            asks_size="mm",
            two_readings=True,
            spreadsheet="Day\tValue\n2025-01-14\t1.4\n",
            table=Table(
                ("Day", "Value", "Moment"),
                (("14 Jan", "1.4 mm ± 0.7", "after trim"), ("30 Sep", "4.8 mm ± 0.6", "after trim")),
                ("photo-0", "photo-6"),
            ),
            caution="A measurement is never a diagnosis.",
            empty=None,
        )

    def _set_limit(self, book: Any, horse: str, foot: str, *, measure: str, definition: str, value: str) -> None:
        self._may_write()
        if value and not value.replace(".", "").isdigit():
            raise Refused(Refusal("limit_not_a_number", {"found": value, "unit": "mm"}))
        self.said.append(("limit", foot, measure, value))
        self.limit = value

    def _what_it_takes(self, book: Any, horse: str, foot: str, *, measure: str, definition: str, size: str) -> Any:
        if not size:
            raise Refused(Refusal("chance_needs_a_size", {}))
        self.said.append(("size", foot, measure, size))
        return (f"A change of {size} mm by reading 13 would be shown with a chance of 84 %.",)

    def _ask_for_take(self, book: Any, horse: str) -> Any:
        if "v7" in self.asked:
            return None
        return SimpleNamespace(visit="v7", words="One more photo would help: a second take of the left fore, side.")

    def _asked(self, visit: str) -> None:
        self.asked.append(visit)

    def _measure_anew(self, book: Any) -> Generator[Step, None, int]:
        yield Step(0, 0, "")
        return 0

    def _unseen(self, book: Any, horse: str, foot: str, measure: str, definition: str) -> Section | None:
        return None

    def _mark_seen(self, book: Any, horse: str, foot: str, measure: str, definition: str) -> None:
        self.said.append(("seen", foot, measure))

    def _own_figures(self, book: Any, measure: str = "") -> tuple[Section, ...]:
        return (Section("How well your readings repeat", ("There is no second take in this book yet.",)),)

    def _about(self, measure: str = "") -> tuple[Section, ...]:
        return (Section("Toe angle", ("The angle between the ground and the front wall.", "Source: written here.")),)

    def _make_guide(self, paper: str, out: Path) -> Path:
        out.write_bytes(b"%PDF-")
        self.said.append(("guide", paper))
        return out

    def _guide_sheet(self) -> tuple[Section, ...]:
        from hoofbook.casework.photo_guide import guide_sheet

        return guide_sheet()

    def _make_card(self, paper: str, out: Path) -> Path:
        out.write_bytes(b"%PDF-")
        self.said.append(("card", paper))
        return out

    def _card_sheet(self) -> tuple[Section, ...]:
        return (Section("Print it", ("Print at 100 %.",)), Section("Stand it", ("Beside the foot.",)))


@dataclass(frozen=True)
class HorseForm:
    name: str
    sex: str = ""
    born: str = ""
    breed: str = ""
    colour: str = ""
    height_cm: str = ""
    work: str = ""
    owner: str = ""
    yard: str = ""
    handling: str = ""
    interval_weeks: str = "6"


def spark() -> Drawing:
    """A small line of readings."""
    points = tuple((10.0 + 30 * i, 50.0 - 5 * i) for i in range(7))
    return Drawing(
        200, 70, (Line(points, Role.SOFT_INK), *(Spot(p, 3.5) for p in points), Line(((0, 60), (200, 60)), Role.LINE))
    )


def chart(width: float, height: float, text_size: float, before_trim: bool, close_up: bool = False) -> Drawing:
    """Seven readings with a band; hollow ones more when the other moment is asked for."""
    points = [(40 + (width - 80) * i / 6, height - 40 - (height - 100) * i / 7) for i in range(7)]
    parts: list[Any] = [
        Band((*((x, y - 30) for x, y in points), *((x, y + 30) for x, y in reversed(points)))),
        Line(tuple(points), Role.CALM, 1.5),
        *(Spot((x, y), 5, key=f"r{i}") for i, (x, y) in enumerate(points)),
        Text((40, height - 10), "Jan", text_size),
    ]
    if close_up:
        parts.append(Text((40, 20), "close up, not from 0", text_size))
    if before_trim:
        parts += [Spot((x + 8, y + 40), 5, hollow=True) for x, y in points]
    return Drawing(width, height, tuple(parts), "Seven readings rising from 1.4 mm to 4.8 mm")
