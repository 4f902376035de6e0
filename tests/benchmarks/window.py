"""Frames of the window: ``python -m tests.benchmarks.window``.

On one core and without a graphics processor: the 99th percentile of a frame with 40 conductors
landed, at 1920 by 1080 and at 3840 by 2160, while a hand works, a replay plays and a slider moves;
the same while the solver compiles anew in its process; the first frame from launch; the processor
an idle window takes. A plain repaint of everything, in the same run, is the peer.
"""

import os
import statistics
import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

os.environ.setdefault("SDL_VIDEODRIVER", "dummy")
os.environ.setdefault("SDL_AUDIODRIVER", "dummy")

SIZES = ((1920, 1080), (3840, 2160))
LIMITS_MS = {(1920, 1080): 8.0, (3840, 2160): 16.0}
FRAMES = 400
#: Conductors that stand on the board while frames are timed.
CONDUCTORS = 40


def crowded():
    """A job under way with so many conductors landed."""
    from trainer.session.evolve import fold
    from trainer.unit.conductor import Conductor, End
    from trainer.view.serving import Serving
    from trainer.view.state import App
    from trainer.view.update import update

    serving = Serving()
    request = {"ask": "begin", "name": "a-full-service-call", "mode": "practice", "seed": 0}
    app, _ = update(App(), ("came", request, serving.answer(request)))
    unit = app.job.bench.unit
    every = [
        f"{part}.{terminal}"
        for part in unit.parts
        for terminal in _terminals(unit.parts[part].type)
    ]
    n = 0
    while len(unit.conductors) < CONDUCTORS:
        a, b = every[(7 * n) % len(every)], every[(11 * n + 3) % len(every)]
        if a.partition(".")[0] != b.partition(".")[0]:
            ends = {"a": End(on=a), "b": End(on=b)}
            unit = unit.with_conductor(Conductor(tag=f"x{n}", colour="BU", **ends))
        n += 1
    layout_covers = frozenset({"x"}) | unit.covers_off
    bench = replace(app.job.bench, unit=replace(unit, covers_off=layout_covers))
    assert fold is not None
    return replace(app, job=replace(app.job, bench=bench))


def _terminals(name):
    from trainer.unit.catalogue import type_of

    return type_of(name).terminals


def script(app, n):
    """What a hand does in the n-th frame: a pointer over things, a tool, a pick, a sheet."""
    from trainer.view.update import update

    names = ("meter", "hand", "strip", "look")
    if n % 40 == 0:
        return update(app, ("tool", names[(n // 40) % len(names)]))[0]
    if n % 40 == 10:
        return update(app, ("sheet", ("job", "meter", "note", "trace")[(n // 40) % 4]))[0]
    if n % 40 == 20:
        return update(app, ("scroll", "board", 30.0 if n % 80 else -30.0))[0]
    return replace(app, hover=f"tool.{names[n % 4]}")


def replaying():
    """A start that is played on the Trace sheet and on the board."""
    from trainer.view.shots import TRACES

    return TRACES["trace"]().with_job(sheet="trace", at_s=0.0, playing=True, slowed=20)


def played(app, n):
    """A sixtieth of a second of a replay, from the beginning again at its end."""
    from trainer.view.sheets.trace import span_shown
    from trainer.view.update import update

    after = update(app, ("tick", 0.016, span_shown(app.job)))[0]
    return after if after.job.playing else after.with_job(at_s=0.0, playing=True)


def frames_ms(app, size, naive=False, n=FRAMES, script=script):
    """Milliseconds of every frame; ``naive`` forgets what was painted before each."""
    import pygame

    from trainer.view.frames import frame
    from trainer.view.paint import Painter

    pygame.display.init()
    pygame.font.init()
    surface = pygame.display.set_mode(size)
    painter = Painter(1.0, app.settings.theme)
    app = replace(app, size=(float(size[0]), float(size[1])))
    found = []
    for k in range(-20, n):
        app = script(app, k)
        began = time.perf_counter()
        if naive:
            painter = Painter(1.0, app.settings.theme)
        painter.paint(frame(app), surface)
        pygame.display.flip()
        if k >= 0:
            found.append(1e3 * (time.perf_counter() - began))
    return found


def percentile(rows, share):
    return sorted(rows)[min(int(len(rows) * share), len(rows) - 1)]


def told(name, rows, limit=None):
    p50, p99 = statistics.median(rows), percentile(rows, 0.99)
    against = f", {p99 / limit:.2f} of {limit:g} ms" if limit else ""
    print(f"{name:<58} median {p50:6.2f} ms, 99th {p99:6.2f} ms{against}")
    return p99


def first_frame_s():
    """From launch to the first frame, by the window's own file of nodes; the best of three."""
    found = []
    for _ in range(3):
        with tempfile.TemporaryDirectory() as folder:
            tree = Path(folder) / "tree.json"
            env = {**os.environ, "CONDENSER_BENCH_TREE": str(tree), "CONDENSER_BENCH_DATA": folder}
            began = time.perf_counter()
            child = subprocess.Popen([sys.executable, "-m", "trainer"], env=env)
            while not tree.exists() and time.perf_counter() - began < 30.0:
                time.sleep(0.005)
            found.append(time.perf_counter() - began)
            child.terminate()
            child.wait()
    return min(found)


def idle_share(seconds=6.0):
    """Share of a core that an idle window takes, once it has settled."""
    with tempfile.TemporaryDirectory() as folder:
        env = {**os.environ, "CONDENSER_BENCH_DATA": folder}
        child = subprocess.Popen([sys.executable, "-m", "trainer"], env=env)
        time.sleep(15.0)
        before = _used_s(child.pid)
        time.sleep(seconds)
        after = _used_s(child.pid)
        child.terminate()
        child.wait()
    return (after - before) / seconds


def _used_s(pid):
    """Processor seconds of a process, as Linux tells them."""
    fields = Path(f"/proc/{pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def compiling():
    """A worker that compiles the solver anew in a folder of its own."""
    folder = tempfile.mkdtemp()
    env = {**os.environ, "CONDENSER_BENCH_CACHE": folder}
    line = b'{"ask": "warm", "number": 1}\n'
    child = subprocess.Popen(
        [sys.executable, "-m", "trainer.view.worker"], env=env, stdin=subprocess.PIPE,
        stdout=subprocess.DEVNULL,
    )  # fmt: skip
    child.stdin.write(line)
    child.stdin.flush()
    return child


def main():
    app = crowded()
    print(f"{len(app.job.bench.unit.conductors)} conductors on the board")
    for size in SIZES:
        wide, high = size
        name = f"{wide} x {high}"
        own = told(f"{name}, a hand at work", frames_ms(app, size), LIMITS_MS[size])
        rows = frames_ms(replaying(), size, script=played)
        told(f"{name}, a start replayed", rows, LIMITS_MS[size])
        peer = told(f"{name}, everything painted anew", frames_ms(app, size, True, 40))
        print(f"{'':<58} ratio to a plain repaint {own / peer:.2f}")
    child = compiling()
    told("1920 x 1080 while the solver compiles", frames_ms(app, SIZES[0]), LIMITS_MS[SIZES[0]])
    child.kill()
    print(f"first frame {first_frame_s():.2f} s after launch, of 1.0 s")
    if sys.platform.startswith("linux"):
        print(f"idle window {100.0 * idle_share():.1f} % of a core, of 5 %")


if __name__ == "__main__":
    main()
