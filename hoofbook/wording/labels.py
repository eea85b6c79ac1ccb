"""Every fixed text of the window that is not data: names of places, buttons, headings, hints.

Sentences made from data stand in the other modules of this package; keys shown beside buttons stand with the buttons.
"""

from __future__ import annotations

# Places and the frame of the window
HORSE_CARD = "Horse card"
VISITS = "Visits"
BENCH = "Bench"
THEN_AND_NOW = "Then and now"
CYCLE_BY_CYCLE = "Cycle by cycle"
PAPERS = "Papers"
PHOTO_TRAY = "Photo tray"
SCALE_CARD = "Scale card"
HOW_MEASURED = "How measured"
SET_UP = "Set up"
FIND_A_HORSE = "Find a horse or owner"
OPEN_HORSES = "Horses"
ADD_HORSE = "Add a horse"
PHOTOS_IN = "Photos in"
ADD_VISIT = "Add visit"
NO_HORSE_FOUND = "No horse or owner by that name."
MORE_BELOW = "more below"
STOP = "Stop"
STOPPING = "Stopping…"
PUT_AWAY = "Put away"
UNDO = "Undo"
UNDO_KEY = "Ctrl+Z"
CANCEL = "Leave it"
SAVE = "Keep"
READ_ONLY = "For looking only"
READ_ONLY_SENTENCE = (
    "This book can be looked at but not written: its folder is read-only. Copy it elsewhere to write in it."
)
DROP_PHOTOS = "Let go to bring these photos in"
LOOKING = "Opening the book…"
CHOSEN = "chosen"
COPIED_NOT_CONFIRMED = "copied from last time, not yet confirmed"
UNEXPECTED = (
    "Something went wrong that is our fault. What you had kept is safe. "
    "A report without names lies at {file}: please send it to us."
)
UNEXPECTED_NO_FILE = (
    "Something went wrong that is our fault. What you had kept is safe. Please close the program and open it again."
)

# First start
FIRST_TITLE = "Horses, visits, four feet, and what changed."
FIRST_WORDS = "Stand the printed scale card beside the foot, and a phone photo becomes millimetres."
READS_EASILY = "Which line reads easily?"
READING_LINE = "Larkspur is due on Tuesday."
OPEN_SAMPLE = "Open the sample book"
OPEN_SAMPLE_WORDS = "Made-up horses and seven visits. Look round, spoil nothing."
START_OWN = "Start my own"
START_OWN_WORDS = "A folder on this computer. First horse in a minute."
WILL_LIE_IN = "It will lie in"
OTHER_FOLDER = "Another folder"
CHOOSE_FOLDER = "Where shall the book lie?"
OPEN_BOOK = "Open a book I have"
CHOOSE_BOOK = "Choose the folder of the book"
STAYS_HERE = "Everything stays on this computer. No account."
MAKING_SAMPLE = "Making the sample book"
SAMPLE_STOPPED = "Stopped. The sample book was not kept; press Open the sample book to begin again."
FIRST_PICTURE = "A left fore foot from the side with the printed scale card beside it"
LIGHT = "Light"
DARK = "Dark"
DAYLIGHT = "Daylight"
THEME = "Look"
TEXT_SIZE = "Size of text"

# Horse card
WATCH_NEXT = "Watch next time"
NEXT_DUE = "next due"
NO_PHOTO_YET = "No photo yet"
SET_GOAL = "Set a goal"
CHANGE_GOAL = "Another goal"
CHANGE_HORSE = "Change these facts"
GOAL_TITLE = "What shall we follow on this foot?"
GOAL_MEASURE = "Measure"
GOAL_WANTED = "Wanted"
WANTED_MORE = "more"
WANTED_LESS = "less"
WANTED_KEEP = "keep"
GOAL_KEEP = "Follow this"
GOAL_STOP = "Stop following: {measure}"

# Form of a horse
NEW_HORSE = "A new horse"
HORSE_FACTS = "About this horse"
NAME = "Name"
SEX = "Sex"
BORN = "Born (year)"
BREED = "Breed or type"
COLOUR = "Colour"
HEIGHT = "Height, cm"
WORK_OF_HORSE = "Work"
OWNER = "Owner"
YARD = "Yard"
HANDLING = "Handling"
INTERVAL = "Weeks between visits"
NAME_NEEDED = "Give the horse a name; everything else can wait."
ONLY_NAME_NEEDED = "Only the name is needed; everything else can wait."

# Visits and one visit
SEEN_TODAY = "Seen today"
SEEN_TODAY_HINT = "never copied; what you leave untouched is kept as “not looked”"
DONE_TODAY = "Done today"
DONE_TODAY_HINT = "copied values stay hollow until you confirm them"
CONFIRM_HOLLOW = "Confirm the {count} hollow ones"
CONFIRM_HOLLOW_ONE = "Confirm the hollow one"
FINISH_VISIT = "Finish visit"
FINISHED = "Finished"
ALL_VISITS = "All visits"
NOTES = "Notes"
NOTES_HINT = "What else you saw or did"
WATCH_NEXT_HINT = "What to look for next time"
STILL_MISSING = "Photos still missing"
NOTHING_TO_UNDO = "Nothing left to undo here."
KEYS_OF_VISIT = "arrows move · Space chooses · Enter confirms the hollow ones · Ctrl+Z takes back"

# Photo tray
DROP_HERE = "Drop photos here, or press Photos in"
PHOTOS_IN_TITLE = "Which photos?"
PHOTO_FILES = "Photos"
TRAY_WORDS = "New photos land here. Say which foot, from where and when; the card's tags fill in what they know."
BRINGING_IN = "Bringing photos in"
BRINGING_STOPPED = "Stopped. The photos already in the book stay; the rest can be brought in again."
MARK_IT = "Mark it on the Bench"
SORT_IT = "Sort it"
SORT_AGAIN = "File elsewhere"
SORTED = "Fold away"
TO_SORT = "to sort"
FILED = "filed"
ALREADY_HERE = "already in the book"
REFUSED = "not taken in"
SECOND_TAKE = "second take"
NO_HORSE_FOR_PHOTOS = "Choose the horse these photos belong to first: press its name in the list."

# Cycle by cycle
SHOW_BEFORE_TRIM = "before trim"
VALUES = "values"
FROM_ZERO = "from 0"
CLOSE_UP = "close up"
SHOW_TABLE = "As a table"
SHOW_CHART = "As a chart"
COPY_CHART = "Copy chart"
CHART_COPIED = "The chart is on the clipboard as a picture."
OPEN_PHOTO = "Open the photo"
POINT_HINT = "← → from reading to reading, Enter opens the photo"
FOOT = "Foot"
VIEW = "View"
MEASURE = "Measure"
HOW_LINK = "How measured"
COPY_TABLE = "Copy table"
TABLE_COPIED = "The readings are on the clipboard, ready for a spreadsheet."
SWITCH_KEYS = "F next foot · M next measure · with Shift the one before"
OWN_LIMIT = "Your own limit"
OWN_LIMIT_HINT = "a value this foot should not pass within a cycle; you set it, nobody else"
KEEP_LIMIT = "Set it"
TAKE_LIMIT_AWAY = "Take it away"
WHAT_IT_TAKES = "What would it take?"
A_CHANGE_OF = "To show a change of"
ASK = "Say"
COULD_BE_NOISE = "Could be noise?"
MARKED_ANEW = "Marked anew"
DIFFERENCE = "Difference"
DRAW_OF = "marked anew, {number} of {count}"

# Scale card
MAKE_CARD_A4 = "Make it for A4 paper"
MAKE_CARD_LETTER = "Make it for US Letter paper"
SAVE_CARD = "Keep the card as"
CARD_MADE = "The card is in {file}. Print it at 100 %, then measure its check bar with a steel rule."
PDF_FILES = "PDF"

# How measured and Set up
ALL_MEASURES = "All measures"
PERSON = "Your name"
PERSON_HINT = "Stands beside what you mark and write"
BOOK = "Book"
BOOK_FOLDER = "This book lies in"
OTHER_BOOK = "Open another book"
NEW_BOOK = "Start a new book"
KEYS = "Keys"
KEYS_TABLE = (
    ("Ctrl+F", "find a horse or owner"),
    ("Ctrl+1 … Ctrl+6", "Horse card, Visits, Bench, Then and now, Cycle by cycle, Papers"),
    ("Ctrl+O", "photos in"),
    ("Ctrl+N", "add visit"),
    ("F, M", "Cycle by cycle: next foot, next measure; with Shift the one before"),
    ("Ctrl+Z, Ctrl+Shift+Z", "take back, do again"),
    ("F8", "light, dark, daylight"),
    ("Esc", "close what lies on top"),
)
NO_HORSE_TITLE = "No horse yet"
NO_HORSE_WORDS = (
    "A horse card keeps four feet, their photos and what changed. Add the first horse; only its name is needed."
)
HIDDEN = "hidden"
SHOWN = "shown"
