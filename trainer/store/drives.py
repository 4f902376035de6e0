"""Whether a folder lies on another machine's disk.

SQLite's log needs memory that all its processes share, so they must be on one machine, and many
network drives do not lock as they say (SQLite's own papers, from memory).
Knows kinds of drives by what the platform tells; opens no file.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path, PureWindowsPath

from trainer.base.errors import PolicyError

#: Kinds of file systems that another machine serves, or several share.
NETWORK = {
    "nfs", "nfs3", "nfs4", "cifs", "smb", "smb2", "smb3", "smbfs", "ncpfs", "9p", "virtiofs", "afs",
    "afpfs", "coda", "ceph", "glusterfs", "lustre", "gfs2", "ocfs2", "davfs", "webdav", "sshfs",
}  # fmt: skip
#: Behind ``fuse.`` these are disks of this machine; whatever else is there may be anywhere.
LOCAL_FUSE = {"blk", "ntfs", "ntfs3", "exfat", "ext2"}
MOUNTS = Path("/proc/mounts")
#: DRIVE_REMOTE of GetDriveType (from memory).
REMOTE = 4


class NetworkDriveError(PolicyError):
    """The store would lie on another machine's disk."""

    code = "network_drive"


def refuse_network(path: Path) -> None:
    """A SQLite store on a network drive would be damaged sooner or later."""
    kind = network_kind(path)
    if kind:
        what = f"the class store would lie on a network drive ({kind}), where SQLite loses data"
        hint = (
            "name a folder of this machine with --store, or keep the class in PostgreSQL: "
            "--store postgresql://USER@HOST/DATABASE"
        )
        raise NetworkDriveError(what, str(path), hint)


def network_kind(path: Path) -> str:
    """The kind of network drive that holds ``path``, or nothing."""
    if sys.platform == "win32":
        return of_windows(str(path.absolute()), _windows_drive_type)
    whole = str(_there(path))
    if sys.platform == "darwin":
        return of_mounts(whole, parse_mount_command(_mount_command()))
    try:
        with open(MOUNTS, encoding="utf-8", errors="surrogateescape") as file:
            return of_mounts(whole, parse_proc_mounts(file.read()))
    except OSError:
        return ""


def of_mounts(path: str, mounts: list[tuple[str, str]]) -> str:
    """Kind of the innermost mount over ``path``; of two at one place the later covers the other."""
    best, found = -1, ""
    for place, kind in mounts:
        inside = path == place or path.startswith(place.rstrip("/") + "/")
        if inside and len(place) >= best:
            best, found = len(place), kind
    return found if is_network(found) else ""


def is_network(kind: str) -> bool:
    head, _, rest = kind.lower().partition(".")
    if head == "fuse" and rest:
        return rest not in LOCAL_FUSE
    return head in NETWORK


def parse_proc_mounts(text: str) -> list[tuple[str, str]]:
    """(place, kind) of each line of proc(5)'s mounts; blanks in it are octal."""
    rows = [line.split(" ") for line in text.splitlines()]
    return [(_unescaped(row[1]), row[2]) for row in rows if len(row) > 2]


def parse_mount_command(text: str) -> list[tuple[str, str]]:
    """(place, kind) of each line ``X on PLACE (kind, ...)`` that mount(8) prints on macOS."""
    found = re.findall(r"^.*? on (/.*) \((\w+)[,)].*$", text, re.MULTILINE)
    return [(place, kind) for place, kind in found]


def of_windows(path: str, drive_type: object) -> str:
    r"""``\\server\share`` by its form, a letter by what the system says of it."""
    plain = re.sub(r"^\\\\[?.]\\(?!UNC\\)", "", path, flags=re.IGNORECASE)
    drive = PureWindowsPath(plain).drive
    if drive.startswith("\\\\"):
        return "a shared folder"
    remote = callable(drive_type) and drive_type(drive + "\\") == REMOTE
    return f"drive {drive}" if remote else ""


def _unescaped(text: str) -> str:
    return re.sub(r"\\([0-7]{3})", lambda octal: chr(int(octal.group(1), 8)), text)


def _there(path: Path) -> Path:
    """The path with its links followed, as far as it exists."""
    try:
        return Path(os.path.realpath(path))
    except OSError:
        return path.absolute()


def _mount_command() -> str:
    try:
        done = subprocess.run(
            ["/sbin/mount"],
            capture_output=True,
            timeout=10,
            check=False,
        )
    except (OSError, subprocess.SubprocessError):
        return ""
    return done.stdout.decode("utf-8", "replace")


def _windows_drive_type(root: str) -> int:
    import ctypes

    kernel = getattr(ctypes, "windll").kernel32  # noqa: B009
    return int(kernel.GetDriveTypeW(root))
