"""A site server killed at any moment has lost nothing that it had told a device it kept.

Two devices send changes, files and requests for numbers to a server in a process of its own, which is killed with SIGKILL.
"""

from __future__ import annotations

import json
import os
import random
import signal
import socket
import sqlite3
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import closing, suppress
from hashlib import sha256
from http.client import HTTPConnection, HTTPException
from itertools import count
from pathlib import Path

import msgspec
import pytest

from baulk.record import NumberBlock
from baulk.server.tokens import Gate
from baulk.store import FileShelf, open_site
from baulk.store.backup import faults_of_file
from baulk.work.pen import Pen
from tests.crash.serving_session import KEY

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs a system that forks and kills processes")


class Server:
    """A program that serves a site on one port in children that are killed."""

    def __init__(self) -> None:
        self.listener = socket.socket()
        self.listener.bind(("127.0.0.1", 0))
        self.listener.listen(16)
        os.set_inheritable(self.listener.fileno(), True)
        self.port = self.listener.getsockname()[1]
        program = [sys.executable, "-m", "tests.crash.serving_session", str(self.listener.fileno())]
        self.program = subprocess.Popen(
            program, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=Path(__file__).parents[2],
            pass_fds=[self.listener.fileno()],
        )  # fmt: skip

    def start(self, path: Path, *, lies: bool = False) -> int:
        """Serve a site and return the id of the process."""
        self.program.stdin.write(json.dumps({"path": str(path), "lies": lies}) + "\n")
        self.program.stdin.flush()
        return int(self.program.stdout.readline())

    def killed(self, process: int) -> None:
        """Kill the process that serves and wait until it is gone."""
        os.kill(process, signal.SIGKILL)
        assert self.program.stdout.readline() == "gone\n"


@pytest.fixture(scope="module")
def server() -> Iterator[Server]:
    """Return the program that serves."""
    running = Server()
    yield running
    with running.program:
        running.program.stdin.close()
    running.listener.close()


class Tablet(threading.Thread):
    """Sends until the server is gone, and remembers what it was told."""

    def __init__(self, port: int, seed: int, enough: threading.Event, wanted: int) -> None:
        super().__init__()
        self.port, self.dice, self.enough, self.wanted = port, random.Random(seed), enough, wanted
        self.kept: list[str] = []
        self.files: list[str] = []
        self.blocks: list[tuple[int, int]] = []
        gate = Gate(KEY)
        self.head = {
            "authorization": f"Bearer {gate.join(gate.code, 'AK', f'tablet {seed}')[0]}",
            "content-type": "application/json",
        }
        ticks = count(1_790_000_000_000)
        self.pen = Pen("AK", f"tablet {seed}", clock=lambda: next(ticks), bits=self.dice.getrandbits)

    def run(self) -> None:
        """Send one thing after another."""
        with suppress(OSError, HTTPException, ValueError), closing(HTTPConnection("127.0.0.1", self.port, timeout=30)) as way:
            while True:
                self.send(way)
                if len(self.kept) >= self.wanted:
                    self.enough.set()

    def send(self, way: HTTPConnection) -> None:
        """Send changes, a file or a request for numbers, and remember what is answered."""
        draw = self.dice.random()
        if draw < 0.1:
            content = self.dice.randbytes(300_000)
            sha = sha256(content).hexdigest()
            if self.asked(way, "PUT", f"/api/uploads/{sha}?offset=0&size={len(content)}", content)["whole"]:
                self.files.append(sha)
        elif draw < 0.2:
            given = self.asked(way, "POST", "/api/sync/block", b'{"series": "context", "size": 10}')
            self.blocks.append((given["first"], given["last"]))
        else:
            sent = [self.pen.create("context", {"number": "1", "notes": "slag " * self.dice.choice((1, 900))}) for _ in range(3)]
            self.kept += self.asked(way, "POST", "/api/sync/changes", msgspec.json.encode({"changes": sent}))["kept"]

    def asked(self, way: HTTPConnection, method: str, path: str, body: bytes) -> dict:
        """Return an answer; anything but success is a fault."""
        way.request(method, path, body, self.head)
        answer = way.getresponse()
        held = answer.read()
        assert answer.status == 200, held
        return json.loads(held)


def run_and_kill(server: Server, path: Path, seed: int, *, lies: bool = False) -> list[Tablet]:
    """Return two devices that sent to a server until it was killed, a moment after one of them had been told enough."""
    dice, enough = random.Random(seed), threading.Event()
    process = server.start(path, lies=lies)
    tablets = [Tablet(server.port, 1000 * seed + n, enough, dice.randint(1, 25)) for n in range(2)]
    for tablet in tablets:
        tablet.start()
    assert enough.wait(60)
    time.sleep(dice.uniform(0.0, 0.012))
    server.killed(process)
    for tablet in tablets:
        tablet.join(60)
    return tablets


def lost(path: Path, tablets: list[Tablet]) -> set[str]:
    """Return what the devices were told is kept and is not, once the file is seen to be whole and no number was given twice."""
    with open_site(path) as store:
        held = {change.id for change in store.changes()}
        blocks = [(one.first, one.last) for one in store.record().all(NumberBlock)]
    with closing(sqlite3.connect(path)) as tables:
        assert faults_of_file(tables) == []
    numbers = [number for first, last in blocks for number in range(first, last + 1)]
    assert len(numbers) == len(set(numbers))
    told = [block for tablet in tablets for block in tablet.blocks]
    shelf = FileShelf.beside(path)
    assert shelf.faults(sha for tablet in tablets for sha in tablet.files) == ()
    return {each for tablet in tablets for each in tablet.kept} - held | {str(block) for block in told if block not in blocks}


def test_50_servers_killed(server: Server, tmp_path: Path) -> None:
    """Of 50 servers killed while two devices send, none has lost a change, file or block of numbers that it had told is kept."""
    acknowledged = files = blocks = half_written = 0
    for seed in range(50):
        path = tmp_path / f"site-{seed // 10}.gpkg"  # ten servers after another on one site
        if not path.exists():
            open_site(path, create=True).close()
        tablets = run_and_kill(server, path, seed)
        half_written += path.with_name(f"{path.name}-journal").exists()
        assert lost(path, tablets) == set(), f"run {seed}"
        acknowledged += sum(len(tablet.kept) for tablet in tablets)
        files += sum(len(tablet.files) for tablet in tablets)
        blocks += sum(len(tablet.blocks) for tablet in tablets)
    assert acknowledged > 300 and files > 10 and blocks > 10
    assert half_written > 0, "the moments missed every write"


def test_the_check_would_see_a_loss(server: Server, tmp_path: Path) -> None:
    """A server that answers before it writes is caught, so the check above can fail."""
    caught = 0
    for seed in range(8):
        path = tmp_path / f"{seed}.gpkg"
        open_site(path, create=True).close()
        caught += bool(lost(path, run_and_kill(server, path, seed, lies=True)))
    assert caught
