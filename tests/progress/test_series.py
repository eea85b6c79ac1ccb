from __future__ import annotations

from datetime import date, timedelta

import pytest

from hoofbook.progress.derived import contradictions
from hoofbook.progress.series import Reading, build_series, comparable, flags, mean_reading, own_u
from hoofbook.terms.feet import Foot
from hoofbook.terms.quantity import Definition, Part, Quantity, Unit
from hoofbook.terms.subjects.visits import SolePared
from hoofbook.terms.views import CardPlane, Moment

from .lives import APEX, LARKSPUR_DAYS, LARKSPUR_LF, reading, series_of

DAY = date(2025, 3, 4)


def test_numbers_by_hand_however_many_never_push_photos_off_their_line() -> None:
    photos = [reading(day, value) for day, value in zip(LARKSPUR_DAYS, LARKSPUR_LF, strict=True)]
    hands = [reading(date(2024, month, 10), 9.0, method="hand", key=f"hand {month}") for month in range(1, 10)]
    series = build_series(hands + photos, measure=APEX, definition=Definition.FROM_SOLE_EDGE)
    assert [r.value for r in series.readings] == list(LARKSPUR_LF)
    assert {refusal.code for _, refusal in series.left_out} == {"hand_and_photo"}
    assert len(series.left_out) == 9


def test_before_trim_is_never_compared_with_after_trim() -> None:
    before = reading(LARKSPUR_DAYS[6], 10.9, moment=Moment.BEFORE_TRIM, definition=Definition.FROM_WALL_EDGE)
    refusal = comparable(before, reading(LARKSPUR_DAYS[0], 1.2))
    assert refusal is not None
    assert refusal.code == "another_moment"
    assert dict(refusal.facts) == {"one": "before trim", "other": "after trim"}
    same_edge = reading(LARKSPUR_DAYS[6], 10.9, moment=Moment.BEFORE_TRIM)
    again = comparable(same_edge, reading(LARKSPUR_DAYS[0], 1.2))
    assert again is not None
    assert again.code == "another_moment"


@pytest.mark.parametrize(
    ("code", "other"),
    [
        ("another_foot", {"foot": Foot.RF}),
        ("another_measure", {"measure": "toe_length"}),
        ("another_moment", {"moment": Moment.FINISHED}),
        ("another_definition", {"definition": Definition.FROM_WALL_EDGE}),
        ("hand_and_photo", {"method": "hand"}),
        ("another_method", {"method": "sole 2"}),
        ("another_shod_state", {"shod": True}),
    ],
)
def test_each_difference_has_its_reason(code: str, other: dict[str, object]) -> None:
    refusal = comparable(reading(DAY, 1.0), reading(DAY + timedelta(42), 1.0, **other))
    assert refusal is not None
    assert refusal.code == code


def test_day_of_the_cycle_counts_inside_the_cycle_only() -> None:
    def before(days: int | None) -> Reading:
        return reading(DAY, 90.0, moment=Moment.BEFORE_TRIM, days_since_trim=days)

    assert comparable(before(42), before(47)) is None
    refusal = comparable(before(42), before(48))
    assert refusal is not None
    assert refusal.code == "another_day_of_cycle"
    unknown = comparable(before(42), before(None))
    assert unknown is not None
    assert unknown.code == "days_since_trim_unknown"
    assert comparable(reading(DAY, 1.0, days_since_trim=42), reading(DAY, 1.0, days_since_trim=50)) is None


def test_the_largest_group_alike_stays_and_the_rest_keeps_its_reason() -> None:
    days = (42, 50, 41, 42, 43)
    readings = [
        reading(DAY + timedelta(42 * i), 90.0 + i, moment=Moment.BEFORE_TRIM, days_since_trim=since)
        for i, since in enumerate(days)
    ]
    readings.append(reading(DAY, 1.0, measure="toe_length"))
    series = build_series(readings, measure=APEX, definition=Definition.FROM_SOLE_EDGE, moment=Moment.BEFORE_TRIM)
    assert [r.days_since_trim for r in series.readings] == [42, 41, 42, 43]
    assert {refusal.code for _, refusal in series.left_out} == {"another_day_of_cycle", "another_measure"}
    assert len(series.readings) + len(series.left_out) == len(readings)


def test_values_play_no_part_in_what_is_kept() -> None:
    days = LARKSPUR_DAYS
    plain = series_of([reading(d, v) for d, v in zip(days, LARKSPUR_LF, strict=True)])
    other = series_of([reading(d, v) for d, v in zip(days, reversed(LARKSPUR_LF), strict=True)])
    assert plain.days == other.days


def test_repeats_of_one_visit_become_their_mean() -> None:
    shared = Part("card a print", 0.3)
    one = reading(DAY, 4.0, 0.5, parts=(shared, Part("photo 1 mark", 0.4)), key="1", photos=("p1",))
    two = reading(DAY, 5.0, 0.5, parts=(shared, Part("photo 2 mark", 0.4)), key="2", photos=("p2",))
    series = series_of([one, two])
    assert len(series.readings) == 1
    mean = series.readings[0]
    assert mean.value == pytest.approx(4.5)
    assert mean.u == pytest.approx((0.3**2 + 0.4**2 / 2) ** 0.5)
    assert (mean.repeats, mean.photos, mean.key) == (2, ("p1", "p2"), "1 2")
    plain = mean_reading([reading(DAY, 1.0, 0.6), reading(DAY, 2.0, 0.8)])
    assert plain.u == pytest.approx(0.5)
    assert mean_reading([reading(DAY, 1.0, 0.6), reading(DAY, 2.0)]).u is None


def test_shared_sources_do_not_scatter_between_visits() -> None:
    quantity = Quantity(APEX, 3.0, Unit.MM, (Part("card a print", 0.3), Part("photo 1 mark", 0.4)), method="sole 1")
    first = Reading.of(quantity, DAY, Moment.AFTER_TRIM)
    other = Quantity(APEX, 4.0, Unit.MM, (Part("card a print", 0.4), Part("photo 2 mark", 0.4)), method="sole 1")
    second = Reading.of(other, DAY + timedelta(42), Moment.AFTER_TRIM)
    assert own_u((first, second)) == pytest.approx([(0.05**2 + 0.4**2) ** 0.5] * 2)


def test_what_could_fool_us_stands_beside_and_leaves_nothing_out() -> None:
    readings = [
        reading(DAY, 1.0, person="A", sole_pared=SolePared.TO_LIVE),
        reading(DAY + timedelta(42), 1.0, person="A", sole_wet=True),
        reading(DAY + timedelta(84), 1.0, person="B", card_plane=CardPlane.UNSURE),
        reading(DAY + timedelta(126), 1.0, person="A"),
    ]
    series = series_of(readings)
    assert len(series.readings) == 4
    codes = {key: [remark.code for remark in remarks] for key, remarks in flags(series).items()}
    assert codes == {
        readings[0].key: ["sole_pared_to_live_sole"],
        readings[1].key: ["sole_wet"],
        readings[2].key: ["card_plane_unsure", "another_person"],
    }


def test_a_stored_difference_that_contradicts_its_parts_is_refused() -> None:
    """Dareh-Shori trim study (Iran J Vet Surg, 10 horses): T 48.65, S 50.05, printed T - S of -2 (true -1.40)."""

    def angle(name: str, value: float) -> Reading:
        return reading(DAY, value, measure=name, definition=Definition.ONE, method="hand")

    parts = [angle("toe_angle", 48.65), angle("heel_angle", 50.05)]
    refused = contradictions([*parts, angle("toe_heel_angle_difference", -2.0)])
    assert [(r.value, refusal.code) for r, refusal in refused] == [(-2.0, "difference_contradicts_parts")]
    assert refused[0][1].facts["follows"] == pytest.approx(-1.40)
    assert contradictions([*parts, angle("toe_heel_angle_difference", -1.4)]) == ()


def test_one_measure_by_two_definitions_is_held_against_its_own_parts_only() -> None:
    """The same study; beside it the angles by another rule: neither pair of parts may hide the other."""

    def angle(name: str, value: float, definition: Definition = Definition.HAND_GAUGE) -> Reading:
        return reading(DAY, value, measure=name, definition=definition, method="hand")

    gauge = [angle("toe_angle", 48.65), angle("heel_angle", 50.05)]
    other = [angle(name, value, Definition.ALONG_SOLE) for name, value in (("toe_angle", 52.0), ("heel_angle", 40.0))]
    for readings in ([*gauge, *other], [*other, *gauge]):
        assert contradictions([*readings, angle("toe_heel_angle_difference", -1.4)]) == ()
        assert len(contradictions([*readings, angle("toe_heel_angle_difference", -2.0)])) == 1
        assert len(contradictions([*readings, angle("toe_heel_angle_difference", 12.0)])) == 1
        assert contradictions([*readings, angle("toe_heel_angle_difference", 12.0, Definition.ALONG_SOLE)]) == ()


def test_what_is_typed_without_a_definition_was_read_by_hand() -> None:
    plain = [
        reading(DAY, value, measure=name, definition=definition, method="hand")
        for name, value, definition in (
            ("toe_angle", 48.65, Definition.ONE),
            ("heel_angle", 50.05, Definition.HAND_GAUGE),
            ("toe_heel_angle_difference", -2.0, Definition.ONE),
        )
    ]
    assert len(contradictions(plain)) == 1
