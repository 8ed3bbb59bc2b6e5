"""What was found on an assembly in short: a line for each joint, stack, rule and look; and what concerns a position."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby

from ..solver.application import Application
from ..solver.check import Gap
from ..solver.finding import Finding, Verdict, worst
from ..solver.length import Unit, format_length
from .answer import Shown
from .wording import check_words, measure_words, share, sum_words


def summary_lines(findings: Sequence[Finding], unit: Unit, titles: Mapping[str, str]) -> Iterator[str]:
    """Yield a line for each joint, stack, rule and look, with the least that there is to spare.

    Below it stands each check that needs selecting, or fails. `titles` say what a joint or stack is about.
    """
    for where, group in groupby(findings, key=lambda each: each.where.partition(":")[0]):
        own = list(group)
        yield f"{where}: {worst([each.verdict for each in own]).value}{_spare(own, unit, titles.get(where))}"
        for each in own:
            if each.verdict is Verdict.SELECTED:
                yield f"  {share(each.share)} expected to fit: {check_words(each, unit)}"
            elif each.verdict is Verdict.FAILS:
                yield f"  {each.verdict.value}: {check_words(each, unit)}"


def _spare(own: Sequence[Finding], unit: Unit, title: str | None) -> str:
    measured = [each for each in own if each.margin is not None]
    if not measured:
        told = dict.fromkeys(measure_words(each, unit) for each in own if each.compared)
        return f", {', '.join(told)}" if told else ""
    tightest = min(measured, key=lambda each: each.margin or 0)
    margin = tightest.margin or 0
    room = f"{format_length(abs(margin), unit)} {'to spare' if margin >= 0 else 'beyond a limit in the worst case'}"
    most = " at the least" if margin >= 0 and len(measured) > 1 else ""
    what = title or (sum_words(tightest.check) if isinstance(tightest.check, Gap) else "")
    return f", {room}{most}" + (f" ({what})" if what else "")


def concerning(position: str, shown: Shown, application: Application) -> tuple[Finding, ...]:
    """Return the findings about a position: where it meets another, and the stacks, rules and looks that read it.

    Where it is left empty its neighbours meet, so the joints through it are told.
    """
    filled = any(line.position == position for line in shown.lines)
    through = {f"joint {each.name}" for each in application.joints if position in {ref.owner for ref in each.features}}
    reading = {f"stack {each.name}" for each in application.stacks if position in {*each.when, *each.unless}}
    reading |= {
        f"stack {each.name}" for each in application.stacks if position in {ref.owner for ref in each.gap.refs()}
    }
    reading |= {
        f"rule {each.name}" for each in application.rules if position in (each.check.left.owner, each.check.right.owner)
    }
    if application.positions[position].visible:
        reading |= {f"match {trait}" for trait in application.match}

    def about(finding: Finding) -> bool:
        where, _, faces = finding.where.partition(": ")
        if where in through:
            return not filled or any(face.partition(".")[0] == position for face in faces.split(" - "))
        return where in reading or where == position

    return tuple(filter(about, shown.findings))
