"""Words of the form of a Vet case in the window: fields, hints, buttons."""

from __future__ import annotations

from datetime import date
from types import MappingProxyType

from hoofbook.wording.dates import day_month_year

TITLE = "Vet case"
WORDS = "What a vet needs on one page, and the record behind it. The vet reads your question first."
QUESTION = "Your question"
QUESTION_HINT = "One question a vet can answer"
URGENCY = "How urgent"
SIZE = "How much"
SIZES = MappingProxyType({"call": "one page", "case": "about five pages", "full": "every photo"})
FEET = "Which feet"
SINCE = "From which visit"
AS_MANY = "as many as fit"
SINCE_WHEN = "Since when"
GAIT = "Sound or lame"
GAIT_HINT = "Name the scale and who graded, like 2 of 5, by the vet"
TAKEN_BY = "Photos taken by"
PHONE = "Your phone"
PERMISSION = "Permission"
ALLOWED = "The owner allowed it today"
SHOW_PAGES = "Show the pages"
SETTING = "Setting the pages…"
NO_PAGES = (
    "The pages come here",
    "Look at every page before you send it. Nothing leaves this computer until you send the file yourself.",
    SHOW_PAGES,
)
LOOK_AGAIN = "Before you send it"
NOTHING_OPEN = "Nothing is left open."
ANSWER_TITLE = "The vet's answer"
ANSWER_WORDS = "Type it as the vet said or wrote it. It stands in the next case, as the vet's."
ANSWER = "What the vet said"
ANSWER_HINT = "Word for word"
ANSWER_BY, ANSWER_DAY = "Who said it", "On which day"
ANSWER_DAY_HINT = "Like 2025-09-30; empty: today"
KEEP_ANSWER = "Keep the answer"
ANSWER_KEPT = "The answer is kept in the day book."
IMAGES_WORDS = "Films, pictures and reports from the vet. They are shown with their day and never measured."
IMAGES_FOOT, IMAGES_DAY = "Which foot", "Taken on"
IMAGES_DAY_HINT = "Like 2025-09-24; empty: as the file says"
IMAGES_FROM, IMAGES_FOR = "Received from", "What for"
SEVERAL_FEET = "several"
AS_THE_FILE_SAYS = "as the file says"
ADD_IMAGES = "Add the vet's files"
BRINGING = "Bringing the vet's files in"
IMAGE_FILES = "Vet's files"
NO_IMAGES = "None yet."
SET_ASIDE = "Set aside"
IMAGES_TOO = "the vet's images too"
ALSO = "Also"
PAGE = "Page {number} of {count}"


def visit_day(day: date) -> str:
    return day_month_year(day)
