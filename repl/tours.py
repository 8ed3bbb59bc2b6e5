"""The guided first sessions, as data: for a technician, a parts manager and someone who keeps a catalog."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Step:
    """What is to be known and done, the `line` that does it, and what to `see` in what comes back."""

    do: str
    line: str
    see: str = ""


@dataclass(frozen=True, slots=True)
class Course:
    """A guided session on the bundled catalogs: for whom, and its steps."""

    title: str
    steps: tuple[Step, ...]


COURSES: Mapping[str, Course] = {
    "technician": Course(
        "what fits this old lock",
        (
            Step(
                "A door has an old exit device on its inner face; its cylinder is worn out. First say what the job is "
                "about: a rim cylinder. `list applications` shows what else there is.",
                "use rim",
                "A statement has no answer; how many assemblies are left is told beside it.",
            ),
            Step(
                "You measured the door: 1-3/4 in thick. Lengths need a unit; `44.5 mm` would do as well.",
                "door 1-3/4 in",
                "Fewer assemblies are left: each fact rules some out.",
            ),
            Step(
                "The device is a Yew, number 30. `into` names the lock, old or new. Type `into Y` and look at what is "
                "offered; `list hosts` shows all.",
                "into YEW-30",
            ),
            Step(
                "There is a fire label on the door: 90 minutes. That is a trait of the opening.",
                "opening fire 90",
                "From now on every answer carries the caution for labelled openings.",
            ),
            Step(
                "Now ask what fits. `fit 3` shows the first three: in stock before to order, then by price.",
                "fit 3",
                "The verdict comes first. What is equal in all of them stands once, above the table.",
            ),
            Step(
                "Why should you believe it? Ask about number 1.",
                "why 1",
                "Each check with its numbers, what is to spare, and the line of the catalog that it comes from.",
            ),
            Step(
                "What if the door were 3 in thick? Say so; the new fact takes the place of the old one.",
                "door 3 in",
                "Nothing is left.",
            ),
            Step(
                "Ask for the reason and for ways out.",
                "why not",
                "Only what can't hold together is named. Each way out was solved, and works.",
            ),
            Step(
                "Take the last fact back.",
                "undo",
                "The door is 1-3/4 in thick again. `show` lists the whole job.",
            ),
        ),
    ),
    "manager": Course(
        "what else would do",
        (
            Step(
                "A case on a door, and a batch of assemblies to stock for it. Several statements can stand on one "
                "line, separated by semicolons: use mortise, a door of 1-3/4 in, into OAK-220.",
                "use mortise; door 1-3/4 in; into OAK-220",
            ),
            Step(
                "The building has satin chromium (626) and the keyway P3. Want the finish and the keyway.",
                "want finish 626; want keyway P3",
                "`want` is asked of parts that are bought; the lock itself may look as it likes.",
            ),
            Step(
                "How many assemblies is that, exactly?",
                "count",
            ),
            Step(
                "What can stand as the cam, and how much hangs on each?",
                "choices cam",
                "The numbers of assemblies say which part is hardest to do without.",
            ),
            Step(
                "The first of them, ALD-K1, is out of stock. Do without it.",
                "without ALD-K1",
            ),
            Step(
                "See the two best of what is left.",
                "fit 2",
            ),
            Step(
                "Is it only the finish that stands in the way of something cheaper? Take that statement back: `show` "
                "numbers the facts, `drop` takes one by its number. The finish is number 4.",
                "drop 4",
                "It can be taken back with `undo`, like everything else.",
            ),
        ),
    ),
    "catalog": Course(
        "check and extend a catalog",
        (
            Step(
                "What is in the catalogs? Count the parts of each kind.",
                "parts",
            ),
            Step(
                "See everything that is known of one of them: the cam ALD-K2.",
                "part ALD-K2",
                "Dimensions with tolerances, the features that mate with other parts, and the file and line.",
            ),
            Step(
                "Which values can a finish have?",
                "list finish",
                "A symbol such as US26D stands for every finish that looks so.",
            ),
            Step(
                "Stacks are sums along the axis. See which the application has: use rim, then list its stacks.",
                "use rim; list stacks",
            ),
            Step(
                "How far can a cylinder stand out of the door, over all assemblies? Ask for the reach of projection.",
                "reach projection",
                "A new part that widens it shows here first.",
            ),
            Step(
                "Give a whole bill to the judge, with a tailpiece that is wrong for the device: door 1-3/4 in, into "
                "YEW-30, check ALD-R1.125, ALD-CP1-626, ALD-F1-626, ALD-T1, ALD-B1, ALD-S12",
                "door 1-3/4 in; into YEW-30; check ALD-R1.125, ALD-CP1-626, ALD-F1-626, ALD-T1, ALD-B1, ALD-S12",
                "Every fault is told with its numbers. Your own parts go into a folder of YAML files: "
                "`fitwright catalogs check DIR` lists all faults of it, `fitwright --catalog DIR` asks with it; "
                "docs/catalog-format.md adds a part step by step.",
            ),
        ),
    ),
}
"""The courses by the word that `tour` takes."""
