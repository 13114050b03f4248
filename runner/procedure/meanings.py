"""What each item and key of the language is for, in a line, and in which form it is written. For editors and the reference.

The reader judges; this only tells. A test holds it complete, and its forms to what the reader takes.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from runner.procedure.head import STATUSES
from runner.procedure.items import LONGEST_TEXT, SOURCES
from runner.procedure.model import AGAIN_AT_MOST, DECISIONS, WAYS_OUT
from runner.procedure.scalars import NAME as A_NAME


class Shape(Enum):
    """How a value stands in the file."""

    TEXT = "on one line"
    WORDS = "in brackets or one a line; one alone needs neither"
    VALUES = "in brackets or one a line"
    SENTENCES = "one a line, each after a dash"
    ITEMS = "items, each after a dash"
    ANY = ""


@dataclass(frozen=True, slots=True)
class Form:
    """One form of what stands behind a key; `says` is how it is written."""

    name: str
    says: str
    shape: Shape = Shape.TEXT
    one_of: tuple[str, ...] = ()
    pattern: str = ""
    longest: int | None = None


@dataclass(frozen=True, slots=True)
class Meaning:
    form: Form
    says: str


TEXT = Form("text", "a sentence, shown as written", longest=LONGEST_TEXT)
TITLE = Form("title", "plain words for people", longest=LONGEST_TEXT)
NAME = Form(
    "name",
    "letters, digits and _, a letter first; given once in the whole procedure, for formulas",
    pattern=f"^{A_NAME.pattern}$",
)
CALLED = Form("known name", "a name that something in this procedure has")
FORMULA = Form("formula", "a formula on one line: mean(bore) + 0.02 mm")
CONDITION = Form("condition", 'a comparison or a choice: bore < 42 mm, looks is "clean"')
RANGE = Form("range", "A to B, or a tolerance of a nominal: 0.010 mm of bore_wanted")
QUANTITY = Form("quantity", "a number, one blank, a unit, with a point and no comma: 0.05 mm")
DURATION = Form("duration", "a number, one blank, a unit of time: 20 min, 1 h 30 min")
COUNT = Form("count", "a whole number: 3 times")
UNIT = Form(
    "unit", "mm, um, in, thou, deg, degC, K, s, min, h, N*m, kPa, bar, cc, rpm, times, percent and others"
)
SOURCE = Form(
    "source",
    "begins with one of: " + ", ".join(SOURCES) + "; all but common practice say which or why behind a comma",
    pattern="^(" + "|".join(SOURCES) + ")(,.*)?$",
)
NAMES = Form("names", "names", Shape.WORDS)
TITLES = Form("titles", "titles that stand in this procedure", Shape.WORDS)
WORDS = Form("words", "a few words each", Shape.WORDS)
VALUES = Form("quantities", "a number and a unit each", Shape.VALUES)
SENTENCES = Form("sentences", "a sentence each", Shape.SENTENCES)
ITEMS = Form("items", "a key and a colon each", Shape.ITEMS)
DECISION = Form("one of", " or ".join(DECISIONS), one_of=DECISIONS)
STATUS = Form("one of", ", ".join(STATUSES), one_of=STATUSES)
LEVEL = Form("level", "job, or a part or a load of this procedure")
ROLE = Form("role", "one of the roles in the head")
UNKNOWN = Meaning(Form("text", "", Shape.ANY), "")
"""For a key that the reader has and nobody has told of yet."""

ITEM_MEANS: dict[str, str] = {
    "procedure": "The head: what the work is, who answers for it, and the lists that its steps use.",
    "part": "A sort of part that the job works on, or a thing inside another part.",
    "load": "Parts put together at the bench, for an oven or a freezer.",
    "instrument": "A kind of gauge that the work needs.",
    "danger": "A hazard that will kill or maim whoever doesn't avoid it; acknowledged before the step.",
    "warning": "A hazard that could kill or maim; acknowledged before the step.",
    "caution": "A hazard that could hurt somebody a little.",
    "notice": "A hazard to parts and tools, never to people.",
    "given": "A value that the procedure says, or takes from the table of materials.",
    "table": "Values looked up by a part's name or by a size.",
    "row": "One row: for a part's name (is), or for sizes over one bound up to another.",
    "ladder": "The sizes that a part can be on, from the lowest up; it never goes down.",
    "total": "What adds up on a part over the whole job; over its limit the work on that part stops.",
    "rework": "What is done after a check that wasn't met, where the part will then meet its limit.",
    "repair": "What is done after a check that wasn't met, where the part may stay outside its limit.",
    "stage": "One stretch of work on each part of a level, or on the whole job.",
    "do": "An act. It is confirmed by the one who did it, or tick by tick.",
    "zero": "An instrument is read back on its master before it is trusted.",
    "read": "Something is measured and typed.",
    "choose": "One of several things seen is picked; nothing is picked beforehand.",
    "keep": "Something that must stay so, in view until a time is recorded.",
    "write": "A text is typed and kept: a lot number, a remark.",
    "work out": "A value worked out by itself, shown with its working.",
    "rung": "The lowest size of a ladder that is not below a value is taken.",
    "check": "A value against a limit: one of within, at least, at most; for a choice, is.",
    "wait": "At least so long from a recorded time; no key shortens it.",
    "window": "At most so long from one recorded time to another; decided by itself.",
    "not before": "The work goes on at a time of day (clock and starts), or once a condition is so (when).",
    "soak": "Time inside a temperature band, counted only between readings on the part itself.",
    "against the clock": "Two acts told by a key each, and the seconds that may lie between.",
    "hold point": "Nothing goes on until somebody of a role, with no entry in this pass, releases it.",
    "witness point": "Somebody is called, and waited for a while; the record says whether they came.",
    "sign off": "Signed by whoever did the work.",
    "repeat": "A block of steps gone through again and again until a condition is so.",
    "take steps": "Steps taken in from a shared file.",
    "only if": "A block of steps for parts where a condition is so; for others they are not applicable.",
}
"""What each item is, by its first key."""

COMMON: dict[str, Meaning] = {
    "key point": Meaning(TEXT, "What makes or breaks the step, shown beside it."),
    "reason": Meaning(TEXT, "Why."),
    "beware": Meaning(TITLES, "Hazards of the head's list that are met here."),
    "show": Meaning(NAMES, "Values in view beside the step."),
    "timed as": Meaning(NAME, "A name for the time when this was done; waits and windows point at it."),
    "may skip": Meaning(ROLE, "The role that may pass this step by, with a reason."),
    "good for": Meaning(DURATION, "How long it stands; then it is done again before the work goes on."),
    "explain": Meaning(TEXT, "Asked of an apprentice, whose answer is read by whoever signs."),
    "predict": Meaning(TEXT, "Asked of an apprentice before the entry or the result is shown."),
    "ask": Meaning(TEXT, "What the machinist is asked, as a sentence."),
    "unit": Meaning(UNIT, "The unit that is shown and meant where none is typed."),
    "plausible": Meaning(
        RANGE, "What can be; a reading outside is asked twice. Wider than any limit, and no verdict."
    ),
    "points": Meaning(WORDS, "How many places are measured, or what each is called; left out, one."),
    "with": Meaning(TITLE, "The instrument of the head's list that it is read with."),
    "adds to": Meaning(CALLED, "The total that the value adds to."),
    "source": Meaning(SOURCE, "Where the number comes from; the record prints it."),
    "if not": Meaning(
        TITLES,
        f"What may be decided where it isn't met: {', '.join(WAYS_OUT)}, titles of reworks. It must be said: nothing stops for good.",
    ),
    "steps": Meaning(ITEMS, "What is done, in this order."),
    "for each": Meaning(LEVEL, "What it is for: once for every part of this level, or once for the job."),
    "starts": Meaning(CALLED, "The time it counts from: a name that a step is timed as."),
    "by": Meaning(ROLE, "Whose it is."),
    "tag": Meaning(TEXT, "Where its name is read at the bench."),
    "only if": Meaning(CONDITION, "The condition; left out on a rework, always."),
}
"""What a key means wherever it stands, unless an item has a meaning of its own for it."""

OWN: dict[str, dict[str, Meaning]] = {
    "procedure": {
        "procedure": Meaning(TITLE, "The title, as people say it."),
        "id": Meaning(
            Form("id", "letters, digits and dashes: head-seats"),
            "What programs and entries files call it by.",
        ),
        "revision": Meaning(Form("number", "a whole number"), "One more at every change."),
        "changed": Meaning(TEXT, "What is otherwise than in the revision before."),
        "status": Meaning(STATUS, "How far it has been looked at."),
        "written by": Meaning(TEXT, "Who wrote it."),
        "approved by": Meaning(TEXT, "Who approved it; must be said once it is approved."),
        "approved on": Meaning(TEXT, "When it was approved; must be said once it is."),
        "scope": Meaning(TEXT, "What it is for."),
        "not for": Meaning(TEXT, "What it must not be used for."),
        "decision": Meaning(
            DECISION, "Whether checks decide on the value as it is, or only inside a limit by U."
        ),
        "roles": Meaning(WORDS, "Who there is at the bench."),
        "released by": Meaning(ROLE, "The role that releases the job at its end."),
        "concessions by": Meaning(ROLE, "The role that may let a failed check go as it is."),
        "prerequisites": Meaning(SENTENCES, "What must be so before the first step; each is confirmed."),
        "parts": Meaning(ITEMS, "The sorts of part that a job has, the outer ones first."),
        "instruments": Meaning(ITEMS, "The gauges that the steps name."),
        "hazards": Meaning(ITEMS, "What can hurt people or harm parts; steps name them with beware."),
        "givens": Meaning(ITEMS, "Values that are known before the work begins."),
        "tables": Meaning(ITEMS, "Values looked up by a part's name or a size."),
        "ladders": Meaning(ITEMS, "Sizes in rising order, such as oversizes."),
        "totals": Meaning(ITEMS, "What only grows over the job, such as hours of heat."),
        "reworks": Meaning(ITEMS, "Ways back from a check that isn't met."),
        "stages": Meaning(
            ITEMS, "The work, stage by stage; each comes after the one above unless it says otherwise."
        ),
    },
    "part": {
        "part": Meaning(NAME, "What such a part is called."),
        "in": Meaning(CALLED, "The part that it lies in; left out, the job."),
        "named": Meaning(
            WORDS, "What the parts are called, where it is always the same; left out, asked when a job opens."
        ),
    },
    "load": {
        "load": Meaning(NAME, "What such a load is called."),
        "of": Meaning(CALLED, "The parts that are put together."),
    },
    "instrument": {
        "instrument": Meaning(TITLE, "What the gauge is called."),
        "reads to": Meaning(QUANTITY, "Its smallest step: 0.001 mm."),
        "uncertainty": Meaning(QUANTITY, "What it may be out by, nineteen times in twenty."),
    },
    **{
        word: {
            word: Meaning(TITLE, "What steps call the hazard."),
            "hazard": Meaning(TEXT, "What is dangerous."),
            "consequence": Meaning(TEXT, "What it does to whom."),
            "avoid": Meaning(TEXT, "What to do so that it doesn't."),
        }
        for word in ("danger", "warning", "caution", "notice")
    },
    "given": {
        "given": Meaning(NAME, "What formulas call it."),
        "value": Meaning(QUANTITY, "How much it is."),
        "uncertainty": Meaning(QUANTITY, "What it may be out by; left out, nothing."),
        "material": Meaning(TITLE, "A material of the table, whose property is taken instead of a value."),
        "property": Meaning(TITLE, "Which property: expansion, modulus, yield and others."),
        "over": Meaning(RANGE, "For an expansion: 20 degC to the temperature that the part will have."),
        "at": Meaning(QUANTITY, "For any other property: the temperature that it is wanted at."),
    },
    "table": {
        "table": Meaning(NAME, "What stands before the dot in table.column."),
        "looked up by": Meaning(CALLED, "A sort of part, or the name of a value."),
        "columns": Meaning(NAMES, "What each column is called."),
        "rows": Meaning(ITEMS, "The rows."),
    },
    "row": {
        "is": Meaning(TITLE, "The part's name that the row is for."),
        "over": Meaning(QUANTITY, "The row is for sizes over this one, itself not among them …"),
        "up to": Meaning(QUANTITY, "… up to this one, itself among them."),
        "values": Meaning(VALUES, "One value for each column."),
    },
    "ladder": {
        "ladder": Meaning(NAME, "What formulas call the size that the part is on."),
        "rungs": Meaning(WORDS, "The sizes, from the lowest up."),
    },
    "total": {
        "total": Meaning(NAME, "What it is called."),
        "over": Meaning(QUANTITY, "Where it counts the time over a temperature: that temperature."),
        "ageing at": Meaning(
            QUANTITY, "Or it counts heat as ageing: the temperature at which its minutes are told."
        ),
        "energy": Meaning(QUANTITY, "With ageing at: the activation energy, such as 128.7 kJ/mol."),
        "at most": Meaning(QUANTITY, "What it may add up to."),
    },
    **{
        word: {
            word: Meaning(TITLE, "What checks call it under if not."),
            "only if": Meaning(CONDITION, "When it is offered; left out, always."),
            "climb": Meaning(CALLED, "The ladder that the part goes up by one rung."),
            "steps": Meaning(ITEMS, "What is done first, before the work goes back."),
            "back to": Meaning(
                TITLE,
                "The stage or the name from which all is done again; left out, the first reading of the check.",
            ),
            "at most": Meaning(COUNT, "How often, 1 to 20 times."),
        }
        for word in ("rework", "repair")
    },
    "stage": {
        "stage": Meaning(TITLE, "What the stage is called."),
        "after": Meaning(
            TITLES, "Stages that must be done first on this part; left out, the one above; [] none."
        ),
        "prerequisites": Meaning(SENTENCES, "What must be so before the stage begins; each is ticked."),
        "order": Meaning(NAMES, "Which part comes before which of those beside it: [EX, IN]."),
        "after all": Meaning(TITLES, "Stages that must be done first on every part there is."),
    },
    "do": {
        "do": Meaning(TEXT, "The act, verb first."),
        "tick": Meaning(SENTENCES, "What is ticked one by one."),
    },
    "zero": {
        "zero": Meaning(TITLE, "The instrument."),
        "on": Meaning(TEXT, "The master that it is read on."),
        "within": Meaning(RANGE, "How near it must read: 0.002 mm of 0 mm."),
    },
    "read": {
        "read": Meaning(NAME, "What formulas and checks call the reading."),
        "levels": Meaning(WORDS, "Heights at which it is measured; go with axes."),
        "axes": Meaning(WORDS, "Directions in which it is measured; go with levels."),
        "again at most": Meaning(
            COUNT, f"How often it may be measured again; left out, {AGAIN_AT_MOST} times."
        ),
    },
    "choose": {
        "choose": Meaning(NAME, "What checks and conditions call it."),
        "options": Meaning(WORDS, "Two or more things that can be seen, in words."),
    },
    "keep": {
        "keep": Meaning(TEXT, "What must stay so."),
        "ends": Meaning(CALLED, "The time until which it stays in view."),
    },
    "repeat": {
        "repeat": Meaning(NAME, "What the block is called."),
        "until": Meaning(CONDITION, "What must be so to go on."),
        "at most": Meaning(COUNT, "How often it may be gone through."),
    },
    "take steps": {
        "take steps": Meaning(TITLE, "The group of the shared file."),
        "from": Meaning(TEXT, "The shared file, in the procedure's folder or below it."),
        "called": Meaning(NAME, "What stands before the dot in the names of what they make."),
    },
    "write": {"write": Meaning(NAME, "What the text is called.")},
    "work out": {
        "work out": Meaning(NAME, "What the value is called."),
        "as": Meaning(FORMULA, "How it is worked out."),
        "to the nearest": Meaning(QUANTITY, "What is shown; what is compared is never rounded."),
    },
    "rung": {
        "rung": Meaning(CALLED, "The ladder."),
        "at least": Meaning(FORMULA, "What the size must not be below."),
    },
    "check": {
        "check": Meaning(CALLED, "The value that is held against the limit."),
        "within": Meaning(RANGE, "From a smallest to a largest value."),
        "at least": Meaning(FORMULA, "The smallest value."),
        "at most": Meaning(FORMULA, "The largest value."),
        "is": Meaning(WORDS, "For a choice: the option that is met, or several."),
        "decision": Meaning(DECISION, "Left out, as the head says."),
        "source": Meaning(SOURCE, "Where the limit comes from; one that is only a name has that one's."),
    },
    "wait": {
        "wait": Meaning(NAME, "What the wait is called."),
        "at least": Meaning(DURATION, "How long."),
    },
    "window": {
        "window": Meaning(NAME, "What the window is called."),
        "ends": Meaning(CALLED, "The time it counts to: a name that a step is timed as."),
        "at most": Meaning(DURATION, "How long it may be."),
    },
    "not before": {
        "not before": Meaning(NAME, "What it is called."),
        "clock": Meaning(
            Form("time of day", "hours and minutes: 06:00"), "The first such time after it starts."
        ),
        "when": Meaning(CONDITION, "What must be so; its readings may be taken again till then."),
    },
    "soak": {
        "soak": Meaning(NAME, "What the soak is called."),
        "within": Meaning(RANGE, "The band that counts."),
        "at least": Meaning(DURATION, "The time that must be counted."),
        "at most": Meaning(DURATION, "The time that may pass."),
        "reading every": Meaning(DURATION, "How far apart two readings may lie and still count."),
        "grace": Meaning(DURATION, "How much later than that a reading may come."),
        "never over": Meaning(FORMULA, "The temperature over which it stops."),
    },
    "against the clock": {
        "against the clock": Meaning(NAME, "What the clock is called."),
        "ready": Meaning(SENTENCES, "What is ticked before it is armed."),
        "first key": Meaning(TEXT, "The act that starts the seconds."),
        "second key": Meaning(TEXT, "The act that stops them."),
        "useful limit": Meaning(FORMULA, "The seconds while it will go well."),
        "last limit": Meaning(FORMULA, "The seconds while it may."),
        "at least": Meaning(DURATION, "How soon after the first act the second one can come."),
        "hold down": Meaning(DURATION, "How long it is held down afterwards."),
        "tell": Meaning(SENTENCES, "What is read across the bench meanwhile, five words a line."),
        "if stuck": Meaning(TEXT, "What to do when it doesn't go, in five words."),
    },
    "hold point": {
        "hold point": Meaning(TITLE, "What is released."),
        "must see": Meaning(SENTENCES, "What whoever releases must have seen with their own eyes."),
        "measures again": Meaning(
            CALLED, "A reading of this stage that they take too, without seeing the first."
        ),
        "agree within": Meaning(QUANTITY, "How far apart the two means may lie."),
    },
    "witness point": {
        "witness point": Meaning(TITLE, "What is to be seen."),
        "goes on after": Meaning(DURATION, "How long they are waited for."),
    },
    "sign off": {"sign off": Meaning(TEXT, "What is signed for.")},
}
"""What a key means in one item, where that isn't what it means everywhere."""


def meaning_of(item: str, key: str) -> Meaning:
    """What a key of an item is for and how it is written."""
    return OWN.get(item, {}).get(key) or COMMON.get(key) or UNKNOWN
