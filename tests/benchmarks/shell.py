"""How quick the prompt is: until it stands on the screen, from a key to the menu, from Ctrl-C to `stopped`.

Run by hand: python -m tests.benchmarks.shell [--items N]. No test asserts a time.
"""

from __future__ import annotations

import argparse
import os
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pexpect
from fitwright.catalogs import load
from fitwright.repl.completion import suggestions
from fitwright.repl.outlook import Outlook
from fitwright.repl.session import Session
from fitwright.repl.vocabulary import Scene
from fitwright.solver.catalog import Catalog

sys.path.insert(0, str(Path(__file__).parent.parent))  # as pytest does, for terminal.py

from terminal import PATIENCE, Terminal, terminal

from .generate import setting

ENDLESS = """
import sys
from fitwright.repl.command import main
from fitwright.repl.question import Count
def endless(self, job):
    while True:
        job.watch.tick()
Count.answer = endless
sys.exit(main([]))
"""


def spread(seconds: list[float]) -> str:
    """Write the median, the 95th of a hundred and the most, in milliseconds."""
    ordered = sorted(seconds)
    picked = (ordered[len(ordered) // 2], ordered[min(len(ordered) - 1, len(ordered) * 95 // 100)], ordered[-1])
    return "median {:.0f} ms, p95 {:.0f} ms, most {:.0f} ms".format(*(1000 * each for each in picked))


def _spawn(*arguments: str) -> pexpect.spawn:
    environment = {**os.environ, "TERM": "xterm-256color", "PROMPT_TOOLKIT_NO_CPR": "1", "FITWRIGHT_HISTORY": "off"}
    child = pexpect.spawn(sys.executable, list(arguments), env=environment, timeout=30, encoding="utf-8")
    child.delaybeforesend = None
    return child


def prompt(rounds: int) -> list[float]:
    """Return how long it takes from the command to the prompt, the cache warm."""
    load()
    taken = []
    for _ in range(rounds):
        begun = time.perf_counter()
        child = _spawn("-m", "fitwright.repl.command")
        child.expect_exact("fitwright>")
        taken.append(time.perf_counter() - begun)
        child.close(force=True)
    return taken


def interrupt(rounds: int) -> list[float]:
    """Return how long it takes from the key to `stopped`."""
    child = _spawn("-c", ENDLESS)
    child.expect_exact("fitwright>")
    child.send("use rim\r")
    child.expect_exact("rim>")
    taken = []
    for _ in range(rounds):
        time.sleep(0.3)
        child.send("count\r")
        time.sleep(0.3)
        begun = time.perf_counter()
        child.sendintr()
        child.expect_exact("stopped")
        taken.append(time.perf_counter() - begun)
    child.close(force=True)
    return taken


def keys(catalog: Catalog, facts: str, texts: list[str]) -> tuple[list[float], ...]:
    """Return how long it takes from each key to its echo, to the menu for it, and to the last change of the screen.

    The menu is there when what belongs first in it is; numbers and reasons that take longer come after it.
    """
    firsts = _firsts(catalog, facts, texts)
    with terminal(Session(catalog)) as screen:
        screen.press(facts, "enter")
        screen.settle()
        echoed, offered, settled = [], [], []
        for text in texts:
            typed = ""
            for key in text:
                typed += key
                shown = typed.rstrip()
                begun = time.perf_counter()
                screen.press(key)
                echoed.append(_until(screen, begun, lambda shown=shown: shown in screen.text))
                offered.append(_until(screen, begun, lambda first=firsts[typed]: first in screen.text))
                settled.append(_rest(screen, begun))
            screen.press("c-c")
            screen.settle()
    return echoed, offered, settled


def _firsts(catalog: Catalog, facts: str, texts: list[str]) -> dict[str, str]:
    """Return for each beginning of the texts what the menu begins with."""
    session = Session(catalog)
    for said in session.read(facts).said:
        session.do(said)
    outlook, scene = Outlook(session.begin()), Scene(catalog, session.said)
    outlook.solve()
    found = {}
    for typed in (text[:length] for text in texts for length in range(1, len(text) + 1)):
        suggested = [
            each for each in suggestions(typed, len(typed), scene, outlook) if not typed.endswith(each.text)
        ]  # what is written already needs no menu
        found[typed] = f" {suggested[0].text} " if suggested else ""
    return found


def _until(screen: Terminal, begun: float, seen: Callable[[], bool]) -> float:
    while not seen():
        if time.perf_counter() - begun > PATIENCE:
            raise TimeoutError(f"what was waited for has not come:\n{screen.text}")
        time.sleep(0.001)
    return time.perf_counter() - begun


def _rest(screen: Terminal, begun: float) -> float:
    last, changed = len(screen.raw), time.perf_counter()
    while time.perf_counter() - changed < 0.2:
        if len(screen.raw) != last:
            last, changed = len(screen.raw), time.perf_counter()
        time.sleep(0.001)
    return changed - begun


def main() -> None:
    """Measure and print."""
    options = argparse.ArgumentParser()
    options.add_argument("--items", type=int, default=20_000, help="the size of the generated catalog")
    options.add_argument("--rounds", type=int, default=10)
    given = options.parse_args()
    print("prompt on the screen:", spread(prompt(given.rounds)))
    print("Ctrl-C to stopped:", spread(interrupt(given.rounds)))
    report("bundled catalogs", load(), "use mortise; door 1-3/4 in; into OAK-220", ["want finish 62", "keep ALD-K1"])
    if given.items:
        facts = "use cylinder; door 44 mm ± 0.5 mm; opening hand LH; into HOST-1; want finish 626, 652; want keyway K1"
        catalog = setting("ordinary", given.items).catalog
        report(f"{given.items:,} items", catalog, facts, ["want finish 63", "keep CAM-1"])


def report(what: str, catalog: Catalog, facts: str, texts: list[str]) -> None:
    """Print how long keys take on a catalog."""
    echoed, offered, settled = keys(catalog, facts, texts)
    print(f"{what}: key to its echo: {spread(echoed)}")
    print(f"{what}: key to the menu for it: {spread(offered)}")
    print(f"{what}: key to the last number beside it: {spread(settled)}")


if __name__ == "__main__":
    main()
