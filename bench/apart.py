"""Measurements in a process of their own, so that each has its own peak memory."""

from __future__ import annotations

import json
import resource
import subprocess
import sys
import time
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

__all__ = ["best_of", "forget_peak", "peak_megabytes", "run_apart", "serve"]

Job = Callable[..., dict[str, Any]]


def run_apart(file: str, job: str, *, timeout: float = 900, python: str = sys.executable, **settings: Any) -> dict[str, Any]:
    """Run one job of a bench file in a fresh process of an interpreter; return its answer with ``megabytes`` added."""
    command = [python, str(Path(file).resolve()), job, json.dumps(settings)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=timeout, check=False)
    if done.returncode:
        raise RuntimeError(f"the job {job} of {Path(file).name} failed:\n{done.stderr}")
    answer: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
    return answer


def serve(jobs: Mapping[str, Job]) -> None:
    """Be that process: run the job named on the command line and print its answer as one line of JSON."""
    answer = jobs[sys.argv[1]](**json.loads(sys.argv[2]))
    print(json.dumps({**answer, "megabytes": peak_megabytes()}))


def forget_peak() -> None:
    """Let the peak begin anew from what is held now, where the kernel can: what made the data is not part of the measure."""
    switch = Path("/proc/self/clear_refs")
    if switch.exists():
        switch.write_text("5", encoding="ascii")


def peak_megabytes() -> float:
    """Return the peak memory of this process in MB."""
    status = Path("/proc/self/status")
    if status.exists():  # the kernel's own figure begins anew with each program; getrusage keeps its parent's
        for line in status.read_text(encoding="utf-8").splitlines():
            if line.startswith("VmHWM:"):
                return int(line.split()[1]) / 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def best_of(times: int, call: Callable[[], Any]) -> tuple[float, Any]:
    """Return the shortest time of some calls, and the last answer."""
    shortest, answer = float("inf"), None
    for _ in range(times):
        start = time.perf_counter()
        answer = call()
        shortest = min(shortest, time.perf_counter() - start)
    return shortest, answer
