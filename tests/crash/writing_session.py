"""Run jobs on a site in children that are killed at a moment drawn by lot, and tell what they had acknowledged.

Started once as a program, so that Python and the store are loaded once: each line of input is a job as JSON, each line of output
what its child had told before it was killed.
"""

from __future__ import annotations

import itertools
import json
import os
import random
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path

from baulk.record import Stamp, creation, rewrite
from baulk.store import FileShelf, open_site

Tell = Callable[[str], None]


def batches(seed: int):
    """Yield batches of changes without end: new contexts, and rewrites of earlier ones."""
    dice, made = random.Random(seed), 0
    for number in itertools.count():
        batch = []
        for place in range(dice.choice((1, 1, 1, 3, 40))):
            stamp = Stamp(f"{seed}-{number}-{place}", f"{1_770_000_000_000 + number:013d}.{place:06d}", "tablet", "AB")
            if made and dice.random() < 0.4:
                batch.append(
                    rewrite(
                        stamp, "context", f"{seed}-context-{dice.randrange(made)}", "notes", f"{number} " * dice.choice((1, 900))
                    )
                )
            else:
                batch.append(
                    creation(
                        stamp, "context", f"{seed}-context-{made}", {"number": str(made), "notes": "slag " * dice.choice((1, 900))}
                    )
                )
                made += 1
        yield batch


def write(path: Path, seed: int, tell: Tell, *, lies: bool = False) -> None:
    """Append batch after batch and tell each change once it is acknowledged (or, when lying, before)."""
    with open_site(path) as store:
        for batch in batches(seed):
            if lies:
                tell("\n".join(change.id for change in batch))
            store.append(batch)
            if not lies:
                tell("\n".join(change.id for change in batch))


def back_up(path: Path, seed: int, tell: Tell) -> None:
    """Write and back up in turn, and tell the revision of each finished backup."""
    with open_site(path) as store:
        for batch in batches(seed):
            revision = store.append(batch)
            store.backup(path.with_name("copy.gpkg"))
            tell(str(revision))


def keep(path: Path, seed: int, tell: Tell) -> None:
    """Keep file after file and tell the hash of each."""
    dice, shelf = random.Random(seed), FileShelf.beside(path)
    while True:
        tell(shelf.keep(dice.randbytes(dice.choice((10, 1_000_000)))))


def make(path: Path, seed: int, tell: Tell) -> None:
    """Make new sites one after another and tell each name."""
    for number in itertools.count():
        new = path.with_name(f"new {number}.gpkg")
        open_site(new, create=True).close()
        tell(new.name)


JOBS = {
    "write": write,
    "lie": lambda path, seed, tell: write(path, seed, tell, lies=True),
    "back_up": back_up,
    "keep": keep,
    "make": make,
}


def run_and_kill(job: str, path: Path, seed: int, words: int, further: float) -> list[str]:
    """Return what a child told before it was killed: `further` seconds after its line number `words`, however fast the machine."""
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reader)
        try:
            os.write(writer, b"ready\n")
            JOBS[job](path, seed, lambda said: os.write(writer, said.encode() + b"\n"))
        except BaseException as fault:  # noqa: BLE001 - handed to the test
            os.write(writer, f"fault {fault!r}\n".encode())
        finally:
            os._exit(1)
    os.close(writer)
    with os.fdopen(reader) as told:
        assert told.readline() == "ready\n"
        first = [told.readline().rstrip("\n") for _ in range(words)]
        time.sleep(further)
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        return first + told.read().splitlines()


def main() -> None:
    """Answer jobs until the input ends."""
    for line in sys.stdin:
        job = json.loads(line)
        told = run_and_kill(job["job"], Path(job["path"]), job["seed"], job["words"], job["further"])
        sys.stdout.write(json.dumps(told) + "\n")
        sys.stdout.flush()


if __name__ == "__main__":
    main()
