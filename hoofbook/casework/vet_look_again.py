"""What a person may want to look at before a Vet case is sent: gaps, and a vet's words outside the vet's own box."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from hoofbook.casework.vet_facts import CaseFacts
from hoofbook.terms.subjects import Photo
from hoofbook.terms.views import CardPlane, CardStand
from hoofbook.wording import vet_gaps
from hoofbook.wording.plain_words import NAME_THE_SCALE, grade_without_scale, vets_words
from hoofbook.wording.plain_words import look_again as look_again_at
from hoofbook.wording.vet_history import finding_words, is_of_the_vet, of_event, of_finding, of_note


def look_again(facts: CaseFacts, question: str, lines: Sequence[str], photos: Sequence[Photo]) -> tuple[str, ...]:
    """Sentences in the order in which they matter; `photos` are those shown."""
    found = []
    if not question.strip():
        found.append(vet_gaps.NO_QUESTION)
    if facts.owner is None or facts.owner.consent_vet is None:
        found.append(vet_gaps.no_permission(facts.owner.name if facts.owner else ""))
    if not facts.phone:
        found.append(vet_gaps.NO_PHONE)
    days = [facts.day_of(photo) for photo in photos]
    found += vet_gaps.missing_views(facts.feet, photos, facts.newest_day, days)
    unsure = [photo for photo in photos if photo.key in facts.passes and _card_unsure(facts, photo)]
    found += vet_gaps.unsure_cards(unsure)
    found += [
        look_again_at(where, said) for where, text in _texts(facts, question, lines) if (said := vets_words(text))
    ]
    if any(grade_without_scale(text) for text in (question, *lines)):
        found.append(NAME_THE_SCALE)
    return tuple(dict.fromkeys(found))


def _card_unsure(facts: CaseFacts, photo: Photo) -> bool:
    sighting = facts.sightings.get(photo.key)
    if sighting is None or sighting.card is None:
        return False
    return photo.card_plane is CardPlane.UNSURE and photo.card_stands_on is not CardStand.FOOT


def _texts(facts: CaseFacts, question: str, lines: Sequence[str]) -> Iterator[tuple[str, str]]:
    """Everything the practitioner wrote that the case shows; what quotes the vet is left out."""
    yield vet_gaps.THE_QUESTION, question
    for line in lines:
        yield vet_gaps.THE_SUMMARY, line
    for visit in facts.visits:
        yield of_note(visit), f"{visit.note} {visit.advice} {visit.watch_next} {visit.since_last}"
    days = {visit.key: visit for visit in facts.visits}
    for finding in facts.findings:
        if finding.foot in facts.feet:
            yield of_finding(days[finding.visit]), finding_words(finding)
    for (visit_key, _), work in facts.works.items():
        if visit_key in days:
            yield of_note(days[visit_key]), f"{work.note} {work.reason}"
    for event in facts.events:
        if not is_of_the_vet(event):
            yield of_event(event), event.words
