"""Speed and memory as ratios within one run: ``python -m tests.benchmarks.measure``.

A machine's own speed says little, so every figure stands beside a peer measured in the same run;
each is the best of several. Nothing here is asserted.
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import numpy as np

from tests.benchmarks import peers
from trainer.circuit import spice, spice_run
from trainer.circuit.channels import Channel
from trainer.circuit.elements import Elements
from trainer.circuit.longrun import LongRun
from trainer.circuit.many import Many
from trainer.circuit.transient import Transient
from trainer.parts.slow import rules_of
from trainer.study.build import build, moves
from trainer.study.load import load_study

UNIT = "potential-relay"
LOOP = "x = 0\nfor i in range(20_000_000): x += i * i"
FIRST = """
import time; t = time.perf_counter()
from trainer.circuit.compiled import stepper
stepper(); print(time.perf_counter() - t)
"""


#: Runs of what takes milliseconds: other work on the machine comes and goes within one of them.
MANY = 60


def best(work: Callable[[], object], times: int = 5) -> float:
    """Shortest of several runs [s]."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        found.append(time.perf_counter() - start)
    return min(found)


def unit() -> tuple[Elements, list[Channel], list[tuple[float, str, bool]]]:
    """A fully wired unit: contactor, relay, two motors, thermal elements."""
    study = load_study(UNIT)
    elements, roles = build(study)
    compressor = roles.part("compressor") or ""
    assert roles.line is not None
    listed = [
        Channel("line", roles.line),
        Channel("speed", machine=compressor, quantity="speed_rad_s"),
    ]
    return elements, listed, [tuple(m) for m in moves(study)]


def ready(elements: Elements, listed: list[Channel], acts: list) -> Transient:
    made = Transient(elements, listed)
    for act in acts:
        made.act(*act)
    return made


def one_motor() -> list[tuple[str, float]]:
    """Seconds for one second of one motor's start, in each way."""
    step, steps = 1.0 / (60.0 * 336), 60 * 336
    out = np.zeros(steps)
    peers.hand_reduced(10, step, out)
    peers.general(0.01).run(0.01)
    runs = [peers.general(1.0) for _ in range(MANY)]
    return [
        ("general kernel", best(lambda: runs.pop().run(1.0, stride=4), MANY)),
        ("hand-reduced kernel", best(lambda: peers.hand_reduced(steps, step, out), MANY)),
        ("LSODA 1e-6", best(lambda: peers.solve_ivp(1.0, "LSODA", 1e-6), 2)),
        ("Radau 1e-8", best(lambda: peers.solve_ivp(1.0, "Radau", 1e-8), 1)),
    ]


def whole_unit() -> list[tuple[str, float]]:
    """Seconds for one second of the wired unit, a new contact state, and ngspice on the unit."""
    elements, listed, acts = unit()
    ready(elements, listed, acts).run(0.01)
    runs = [ready(elements, listed, acts) for _ in range(MANY)]
    found = [("wired unit", best(lambda: runs.pop().run(1.0, stride=4), MANY))]
    found.append(("one new contact state", new_state(elements, listed)))
    if spice_run.available():
        # no coils there: contacts stand as they do while the unit runs
        called = [act[1] for act in acts] + ["contactor~1", "contactor~2"]
        shut = [
            replace(
                s, closed=s.closed or s.name in called or s.name in ("contactor~1", "contactor~2")
            )
            for s in elements.switches
        ]
        deck = spice.write(replace(elements, switches=shut), listed, 1.0, {}, 5e-5)
        found.append(("ngspice, unit", best(lambda: spice_run.run(deck), 1)))
    return found


def new_state(elements: Elements, listed: list[Channel]) -> float:
    """Seconds a contact state costs when first met: a first step beyond a second one."""
    found = []
    for _ in range(5):
        made = Transient(elements, listed)
        first = best(lambda made=made: made.run(made.t_s + made.plan.step_s), 1)
        found.append(first - best(lambda made=made: made.run(made.t_s + made.plan.step_s), 5))
    return min(found)


def two_processes() -> float:
    """How much more this machine does with two processes than with one: what threads can reach."""

    def by(count: int) -> float:
        began = time.perf_counter()
        all_of_them = [subprocess.Popen([sys.executable, "-c", LOOP]) for _ in range(count)]
        for one in all_of_them:
            one.wait()
        return time.perf_counter() - began

    return 2.0 * min(by(1) for _ in range(3)) / min(by(2) for _ in range(3))


def threads(count: int = 1000, bunch: int = 10) -> list[tuple[str, float]]:
    """Seconds for many starts with capacitors inside their tolerance, by one core and by two."""
    elements, listed, acts = unit()
    many = Many(elements, listed, acts, 0.6, stride=4)

    def circuit(k: int) -> Elements:
        share = 0.94 + 0.12 * (k % 97) / 96.0
        caps = [replace(c, farads=c.farads * share) for c in elements.capacitives]
        return replace(elements, capacitives=caps)

    def peaks(first: int) -> list[float]:
        traces = many.run([circuit(k) for k in range(first, first + bunch)])
        return [float(np.abs(trace["line"]).max()) for trace in traces]

    def by(workers: int) -> float:
        with ThreadPoolExecutor(workers) as pool:
            began = time.perf_counter()
            list(pool.map(peaks, range(0, count, bunch)))
            return time.perf_counter() - began

    return [(f"{count} starts, 1 thread", by(1)), (f"{count} starts, 2 threads", by(2))]


def hour() -> float:
    """Seconds for an hour of bench time in running mode."""
    study = load_study(UNIT)
    elements, roles = build(study)
    rules = rules_of(study.parts, elements, roles.part("compressor"), roles.part("fan"))
    run = LongRun(elements, rules=rules)
    for move in moves(study):
        run.act(*move)
    run.run(60.0)
    begin = time.perf_counter()
    run.run(3660.0)
    return time.perf_counter() - begin


def first_compile() -> float:
    """Seconds to import and compile everything into an empty cache, in a process of its own."""
    with tempfile.TemporaryDirectory() as folder:
        done = subprocess.run(
            [sys.executable, "-c", FIRST], capture_output=True, text=True, check=True,
            env={"CONDENSER_BENCH_CACHE": folder, "PATH": "/usr/bin:/bin", "HOME": folder},
        )  # fmt: skip
    return float(done.stdout)


def help_time() -> float:
    return best(lambda: subprocess.run([sys.executable, "-m", "trainer", "--help"],
                                       capture_output=True, check=True), 5)  # fmt: skip


def main() -> None:
    """Print every figure and its ratios."""
    motor, wired = dict(one_motor()), dict(whole_unit())
    many = dict(threads())
    (one, two) = many.values()
    general, reduced = motor["general kernel"], motor["hand-reduced kernel"]
    rows = [
        *[(name, f"{1e3 * s:.2f} ms") for name, s in (motor | wired).items()],
        ("Radau 1e-8 / general (aim: over 100)", f"{motor['Radau 1e-8'] / general:.0f}"),
        ("LSODA 1e-6 / general (aim: over 3)", f"{motor['LSODA 1e-6'] / general:.1f}"),
        ("general / hand-reduced (aim: under 5)", f"{general / reduced:.1f}"),
        ("wired unit / hand-reduced", f"{wired['wired unit'] / reduced:.1f}"),
        *[(name, f"{s:.2f} s") for name, s in many.items()],
        ("two threads against one (aim: over 1.7)", f"{one / two:.2f}"),
        ("two processes against one, nothing shared", f"{two_processes():.2f}"),
        ("hour of running", f"{hour():.2f} s"),
        ("first compile", f"{first_compile():.1f} s"),
        ("--help", f"{help_time():.2f} s"),
        ("peak memory of this process",
         f"{resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MiB"),
    ]  # fmt: skip
    if "ngspice, unit" in wired:
        ratio = wired["ngspice, unit"] / wired["wired unit"]
        rows.insert(-6, ("ngspice / wired unit (aim: over 20)", f"{ratio:.0f}"))
    for name, figure in rows:
        sys.stdout.write(f"{name:42s}{figure:>12s}\n")


if __name__ == "__main__":
    main()
