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
PAGE = "Page {number} of {count}"


def visit_day(day: date) -> str:
    return day_month_year(day)
