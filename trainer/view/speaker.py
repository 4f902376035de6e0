"""Plays sounds of starts with pygame, where there is a sound device; silent and content where not.

Samples are made in a thread, so that no frame waits for them. Knows samples; must know no bench.
"""

from __future__ import annotations

import threading
from collections.abc import Mapping
from typing import Any

import pygame

from trainer.view.sound import RATE_HZ, heard_of, sound


class Speaker:
    """``device`` is False once no sound could be opened: it is not tried again."""

    def __init__(self) -> None:
        self.device: bool | None = None
        self._turn = 0
        self._lock = threading.Lock()

    def play(self, start: Mapping[str, Any], slowed: float = 1.0, from_s: float = 0.0) -> None:
        """The sound of a start from so many seconds of it on; replaces what is heard now."""
        self._turn += 1
        if self._ready():
            rest = (self._turn, dict(start), slowed, from_s)
            threading.Thread(target=self._make, args=rest, daemon=True).start()

    def stop(self) -> None:
        self._turn += 1
        if self.device:
            pygame.mixer.stop()

    def _ready(self) -> bool:
        if self.device is None:
            try:
                pygame.mixer.init(RATE_HZ, -16, 2, 1024)
                self.device = True
            except pygame.error:
                self.device = False
        return self.device

    def _make(self, turn: int, start: Mapping[str, Any], slowed: float, from_s: float) -> None:
        samples = sound(heard_of(start), slowed)
        first = min(int(from_s * slowed * RATE_HZ), max(len(samples) - 1, 0))
        with self._lock:
            if turn == self._turn:
                pygame.mixer.stop()
                pygame.mixer.Sound(buffer=samples[first:].tobytes()).play()
