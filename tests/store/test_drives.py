"""Network drives are told from disks of this machine. The tables of mounts are invented."""

import pytest

from trainer.store import drives
from trainer.store.drives import (
    NetworkDriveError,
    network_kind,
    of_mounts,
    of_windows,
    parse_mount_command,
    parse_proc_mounts,
)
from trainer.store.opening import open_store

PROC = r"""
sysfs /sys sysfs rw,relatime 0 0
/dev/sda2 / ext4 rw,relatime 0 0
server:/exports/people /people nfs4 rw,vers=4.2 0 0
/dev/sda3 /people/local ext4 rw 0 0
//server/class /media/class\040of\0403 cifs rw 0 0
teacher@server:/ /media/far fuse.sshfs rw 0 0
/dev/sdb1 /media/stick fuseblk rw 0 0
something /media/odd fuse.somefs rw 0 0
host /media/host 9p rw,trans=virtio 0 0
server:/old /media/covered nfs rw 0 0
/dev/sdc1 /media/covered ext4 rw 0 0
half a line
"""
MAC = """
/dev/disk3s1s1 on / (apfs, sealed, local, read-only, journaled)
//teacher@server/class on /Volumes/Class of 3 (on the wall) (smbfs, nodev, nosuid, mounted by t)
server:/exports on /Volumes/exports (nfs)
/dev/disk3s5 on /System/Volumes/Data (apfs, local, journaled)
"""


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("/class.db", ""),
        ("/people", "nfs4"),
        ("/people/anne/class.db", "nfs4"),
        ("/people/local/class.db", ""),
        ("/peoples/class.db", ""),
        ("/media/class of 3/class.db", "cifs"),
        ("/media/far/class.db", "fuse.sshfs"),
        ("/media/stick/class.db", ""),
        ("/media/odd/class.db", "fuse.somefs"),
        ("/media/host/class.db", "9p"),
        ("/media/covered/class.db", ""),
    ],
)
def test_mounts_of_linux(path, kind):
    assert of_mounts(path, parse_proc_mounts(PROC)) == kind


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("/Users/anne/class.db", ""),
        ("/Volumes/Class of 3 (on the wall)/class.db", "smbfs"),
        ("/Volumes/exports/class.db", "nfs"),
        ("/System/Volumes/Data/class.db", ""),
    ],
)
def test_mounts_of_macos(path, kind):
    assert of_mounts(path, parse_mount_command(MAC)) == kind


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        (r"C:\class\class.db", ""),
        (r"\\server\share\class.db", "a shared folder"),
        (r"\\?\UNC\server\share\class.db", "a shared folder"),
        (r"\\?\C:\class\class.db", ""),
        (r"Z:\class.db", "drive Z:"),
    ],
)
def test_paths_of_windows(path, kind):
    assert of_windows(path, lambda root: 4 if root == "Z:\\" else 3) == kind


def test_a_store_on_a_network_drive_is_refused(tmp_path, monkeypatch):
    mounts = tmp_path / "mounts"
    mounts.write_text(f"/dev/sda / ext4 rw 0 0\nserver:/x {tmp_path}/far nfs rw 0 0\n")
    monkeypatch.setattr(drives, "MOUNTS", mounts)
    (tmp_path / "far").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "far")
    for folder in ("far", "link"):
        with pytest.raises(NetworkDriveError) as told:
            open_store(str(tmp_path / folder / "class.db"))
        assert "nfs" in told.value.what
        assert "postgresql://" in told.value.hint
    assert list((tmp_path / "far").iterdir()) == []
    open_store(str(tmp_path / "class.db")).close()


def test_this_folder_is_looked_up(tmp_path):
    assert network_kind(tmp_path) == ""
