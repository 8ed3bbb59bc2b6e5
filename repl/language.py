"""The job language: one table of everything that can be said, from which parsing, help and the docs are made."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from . import facts, queries, remarks, steps
from .answer import Answer, Row
from .assists import NAMES
from .form import Form
from .job import Job
from .question import DEFAULT_SHOWN, MOST_SHOWN, Question
from .slot import Slot, word
from .slots import (
    APPLICATION,
    BILL,
    CODES,
    DIMENSION,
    DOOR,
    FACTS,
    FILE,
    HOST,
    LENGTH,
    OPENING_TRAIT,
    OPENING_VALUE,
    PART,
    PART_TEXT,
    POSITION,
    STACK,
    STATEMENT,
    TEXT,
    TOPIC,
    TRAIT,
    VALUES,
    number,
)
from .tours import COURSES
from .vocabulary import Scene, positions
from .words import MOST_NUMBER, Words


@dataclass(frozen=True, slots=True)
class Help(Question):
    """What can be said, or how one word of it is used."""

    word: str | None

    def answer(self, job: Job) -> Answer:
        """List every form, or write one out."""
        if self.word is None:
            rows: list[Row] = [{"say": form.word, "meaning": form.gist} for form in FORMS.values()]
            about = (
                "facts first, then questions; one a line, or separated by semicolons; # starts a comment",
                "on the bundled catalogs for example: use rim; door 1-3/4 in; into YEW-30; fit",
                "`help WORD` tells all about one of these:",
            )
            return replace(job.plain(self.text), rows=tuple(rows), message=about)
        form = WORDS[self.word]
        return replace(job.plain(self.text), message=(form.usage, form.meaning, f"example: {form.example}"))


def _help(words: Words, scene: Scene) -> Question:
    named = words.peek() is not None
    word = queries.known_name(words, dict.fromkeys(WORDS, ""), "statement or question") if named else None
    words.end()
    return Help(words.text, word)


_BY = word("by", "what by")
_ORDER = Slot(lambda scene, before: {**dict.fromkeys(("price", "status"), ""), **positions(scene)})
_TO = word("to", "what is to be so")
_OF = word("of", "which part")
_NOT = word("not", "why something is in no assembly")
_FORM_WORD = Slot(lambda scene, before: {word: form.gist for word, form in WORDS.items()})
_DETAIL = Slot(lambda scene, before: dict.fromkeys(("short", "full"), "how much is told"))
_HELP = Slot(lambda scene, before: {**NAMES, remarks.ALL: "all of them"})
_ON_OR_OFF = Slot(lambda scene, before: dict.fromkeys(remarks.ON, ""))
_OFF = word("off", "record no more")
_COURSE = Slot(lambda scene, before: {name: course.title for name, course in COURSES.items()})

_FACTS = (
    Form(
        "use APPLICATION",
        "what the job is about",
        "use rim; fit",
        facts.use,
        follows=((APPLICATION,),),
    ),
    Form(
        "door LENGTH",
        "how thick the door is; a tolerance or a range may be given",
        "use rim; door 1-3/4 in ± 1/32; count",
        facts.door,
        brief="how thick the door is",
        follows=((DOOR,),),
    ),
    Form(
        "opening TRAIT VALUE",
        "what else is known of the opening: hand (add `from inside` if seen so), material, preparation, fire, egress",
        "use rim; door 1-3/4 in; opening hand RHR from inside; opening fire 90; count",
        facts.opening,
        brief="what else is known of the opening: hand, material, fire label, ...",
        follows=((OPENING_TRAIT, OPENING_VALUE),),
    ),
    Form(
        "into HOST",
        "the lock or housing, old or new, that receives the assembly",
        "use rim; door 1-3/4 in; into YEW-30; fit 2",
        facts.into,
        brief="the lock or housing, old or new",
        follows=((HOST,),),
    ),
    Form(
        "want TRAIT VALUE[, VALUE...] or POSITION DIMENSION LENGTH",
        "take only parts with one of these values; a symbol such as US26D stands for every finish that looks so; or "
        "only parts of that length in the position, cut to it if they are cut to measure",
        "use rim; door 1-3/4 in; want finish US26D; want status stocked; want body length 1-1/4 in; fit 2",
        facts.want,
        brief="take only parts of this finish, keyway, length, ...",
        follows=((TRAIT, VALUES), (POSITION, DIMENSION, LENGTH)),
    ),
    Form(
        "keep CODE[, CODE...]",
        "use these parts, which are in hand and need not be bought",
        "use rim; door 1-3/4 in; keep ALD-R1.125, ALD-T3; fit 2",
        facts.keep,
        brief="use these parts, which are in hand",
        follows=((CODES,),),
    ),
    Form(
        "without CODE[, CODE...] or TRAIT VALUE[, VALUE...]",
        "don't use these parts, or parts with one of these values",
        "use rim; door 1-3/4 in; without YEW-T1; without finish US3, US4; count",
        facts.without,
        brief="don't use these parts, or parts of this finish, ...",
        follows=((TRAIT, VALUES), (CODES,)),
    ),
    Form(
        "selective",
        "also accept what fits only if parts are selected within their tolerances",
        "use rim; door 1-3/4 in; selective; count",
        facts.selective,
        brief="also accept what fits only if parts are selected",
    ),
)

_QUESTIONS = (
    Form(
        "fit [N]",
        f"the first N assemblies ({DEFAULT_SHOWN} if not said, at most {MOST_SHOWN:,}): in stock before to order, then "
        "by price",
        "use rim; door 1-3/4 in; fit 3",
        queries.fit,
        brief="the first assemblies that fit",
        asks=True,
        needs_use=True,
        follows=((number(MOST_SHOWN),),),
    ),
    Form(
        "count",
        "how many assemblies there are, exactly",
        "use rim; door 1-3/4 in; count",
        queries.count,
        asks=True,
        needs_use=True,
    ),
    Form(
        "choices [POSITION]",
        "what can still stand in each position, or in one, and in how many assemblies",
        "use rim; door 1-3/4 in; choices tailpiece",
        queries.choices,
        brief="what can still stand in each position",
        asks=True,
        needs_use=True,
        follows=((POSITION,),),
    ),
    Form(
        "group by POSITION",
        "each part that can stand in a position, in how many assemblies, and the best of these",
        "use rim; door 1-3/4 in; into YEW-30; group by tailpiece",
        queries.group,
        brief="the best assembly with each part of a position",
        asks=True,
        needs_use=True,
        follows=((_BY, POSITION),),
    ),
    Form(
        "why N [POSITION] [short or full] or not [CODE[, CODE...] or TRAIT VALUE[, VALUE...] or FACT]",
        "why assembly N fits: each joint, stack and rule in short, or about one position or in `full` each check with "
        "its numbers and its line of the catalog; or why nothing does, or nothing with these parts, values or a "
        "further fact, and the ways out; `why not 2` for the second reason",
        "use rim; door 1-3/4 in; why 1; why 1 core; why 1 full; into YEW-30; why not finish 626",
        queries.why,
        brief="why an assembly fits; `why not`: why nothing does",
        asks=True,
        needs_use=True,
        follows=(
            (number(MOST_NUMBER), POSITION, _DETAIL),
            (number(MOST_NUMBER), _DETAIL),
            (_NOT, number(MOST_NUMBER)),
            (_NOT, TRAIT, VALUES),
            (_NOT, POSITION, DIMENSION, LENGTH),
            (_NOT, STATEMENT),
            (_NOT, CODES),
        ),
    ),
    Form(
        "change N or [N x] CODE [cut LENGTH][, ...] to STATEMENT [and STATEMENT...]",
        "what to exchange so that an assembly is so as well: the nearest one, its keys kept if they can be, and the "
        "steps in working order",
        "use rim; door 1-3/4 in; into YEW-30; want finish 605; change 1 to want finish 626",
        queries.change,
        brief="what to exchange for another finish, door, lock, ...",
        asks=True,
        needs_use=True,
        follows=((number(MOST_NUMBER), _TO, STATEMENT), (TEXT,)),
    ),
    Form(
        "instead of CODE",
        "what else would do where a part stands: as it is, everywhere or here, or with which further changes; and what "
        "never does, and why",
        "use rim; door 1-3/4 in; into YEW-30; instead of ALD-T3",
        queries.instead,
        brief="what else would do where a part stands",
        asks=True,
        needs_use=True,
        follows=((_OF, PART),),
    ),
    Form(
        "check [N x] CODE [cut LENGTH][, ...]",
        "whether these parts make a valid assembly, and every fault if not",
        "use rim; door 1-3/4 in; into YEW-30; check ALD-R1.125, ALD-CP1-626, ALD-F1-626, ALD-T3 cut 1-3/16 in, ALD-B1, "
        "2 x ALD-S12 cut 1-1/8 in",
        queries.check,
        brief="whether these parts make a valid assembly",
        asks=True,
        needs_use=True,
        follows=((BILL,),),
    ),
    Form(
        "reach STACK",
        "from where to where the sum of a stack goes over all assemblies",
        "use rim; door 1-3/4 in; reach body-room",
        queries.reach,
        brief="from where to where the sum of a stack goes",
        asks=True,
        needs_use=True,
        follows=((STACK,),),
    ),
    Form(
        "parts [WORD]",
        "the parts with a word in their code, title, kind or traits; without it, how many there are of each kind",
        "parts tailpiece",
        queries.parts,
        brief="the parts with a word in what is known of them",
        asks=True,
        follows=((PART_TEXT,),),
    ),
    Form(
        "part CODE",
        "everything that the catalog says of one part",
        "part ALD-T3",
        queries.part,
        asks=True,
        follows=((PART,),),
    ),
    Form(
        "substitutes [WORD]",
        "which parts may replace which in every job of the application in use, or of all: both ways or one way, with a "
        "job that shows the difference; and whether what replaces a part does so everywhere",
        "substitutes escutcheon",
        queries.substitutes,
        brief="which parts may take each other's place in every job",
        asks=True,
        follows=((PART_TEXT,),),
    ),
    Form(
        "list [WHAT]",
        "the names of applications, hosts, openings, preparations, traits, kinds, positions, stacks, a trait's values",
        "use rim; list hosts; list finish",
        queries.listing,
        brief="the names of applications, hosts, a trait's values, ...",
        asks=True,
        follows=((TOPIC,),),
    ),
    Form(
        "help [WORD]",
        "what can be said, or how one word of it is used",
        "help want",
        _help,
        brief="this list, or all about one of its words",
        asks=True,
        follows=((_FORM_WORD,),),
    ),
)

_ACTIONS = (
    Form(
        "next [N]",
        "the assemblies that follow those that were shown last, as many again or N",
        "use rim; door 1-3/4 in; fit 3; next",
        steps.further,
        brief="the assemblies after those that were shown last",
        acts=True,
        needs_use=True,
        follows=((number(MOST_SHOWN),),),
    ),
    Form(
        "sort by price or status or POSITION",
        "all assemblies in another order, and numbered so: by price alone, by stock status and price (as `fit` does), "
        "or by the codes in a position",
        "use rim; door 1-3/4 in; fit 3; sort by price; next; sort by body; why 2",
        steps.sort,
        brief="all assemblies in another order",
        acts=True,
        needs_use=True,
        follows=((_BY, _ORDER),),
    ),
    Form(
        "show",
        "the job as a numbered list: the facts in force",
        "use rim; door 1-3/4 in; show",
        steps.show,
        brief="the facts in force, numbered",
        acts=True,
    ),
    Form(
        "drop N[, N...]",
        "take back the facts with these numbers of `show`",
        "use rim; door 1-3/4 in; want finish 626; drop 3; count",
        steps.drop,
        brief="take facts back by their numbers",
        acts=True,
        follows=((FACTS,),),
    ),
    Form(
        "undo",
        "take back the last change of the list, whatever it was",
        "use rim; door 1-3/4 in; door 2 in; undo; show",
        steps.undo,
        brief="take back the last change of the job",
        acts=True,
    ),
    Form(
        "redo",
        "make the change again that was undone last",
        "use rim; door 1-3/4 in; door 2 in; undo; redo; show",
        steps.redo,
        brief="make the change again that was undone",
        acts=True,
    ),
    Form(
        "clear",
        "take back all facts",
        "use rim; door 1-3/4 in; clear; use mortise; show",
        steps.clear,
        acts=True,
    ),
    Form(
        "save FILE",
        "write the facts to a file; a file that holds anything but a saved job is not overwritten",
        "use rim; door 1-3/4 in; save pier.job",
        steps.save,
        brief="write the facts to a file",
        acts=True,
        follows=((FILE,),),
    ),
    Form(
        "open FILE",
        "let the facts in a file take the place of the job's; what else it says is left out",
        "use rim; door 1-3/4 in; save pier.job; clear; open pier.job; count",
        steps.open_file,
        brief="take the facts from a file",
        acts=True,
        follows=((FILE,),),
    ),
    Form(
        "record FILE or off",
        "write down from now on what is said and answered, for `replay`",
        "use rim; door 1-3/4 in; record pier.txt; count; record off",
        steps.record,
        brief="write down what is said and answered",
        acts=True,
        follows=((_OFF,), (FILE,)),
    ),
    Form(
        "replay FILE",
        "run what was recorded again, by itself, and show which answers differ",
        "use rim; door 1-3/4 in; record pier.txt; count; record off; replay pier.txt",
        steps.replay,
        brief="run what was recorded again, and compare",
        acts=True,
        follows=((FILE,),),
    ),
)

_REMARKS = (
    Form(
        "set [HELP on or off]",
        f"switch a help at the prompt on or off: {', '.join(NAMES)}; `quiet on` switches all of them off",
        "set toolbar off; set",
        remarks.set_help,
        brief="switch a help at the prompt on or off",
        acts=True,
        follows=((_HELP, _ON_OR_OFF),),
    ),
    Form(
        "tour [WHO]",
        f"a guided first session of a few minutes, for one of {', '.join(COURSES)}; in a script its steps are listed",
        "tour technician",
        remarks.tour,
        brief="a guided first session of a few minutes",
        acts=True,
        follows=((_COURSE,),),
    ),
    Form("hint", "what could be typed at this step of the tour", "hint", remarks.hint, acts=True),
    Form("skip", "let the tour do this step and go on", "skip", remarks.skip, acts=True),
    Form(
        "leave",
        "end the tour, or else the session; `exit` and `quit` do the same",
        "leave",
        remarks.leave,
        brief="end the tour, or else the session",
        acts=True,
        also=("exit", "quit"),
    ),
)

FORMS: Mapping[str, Form] = {form.word: form for form in (*_FACTS, *_QUESTIONS, *_ACTIONS, *_REMARKS)}
"""Every statement, question and action by its word, facts first, in the order in which they are explained."""

WORDS: Mapping[str, Form] = {**FORMS, **{word: form for form in FORMS.values() for word in form.also}}
"""Every form by each word that it may begin with."""
