#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""A shelf on real network file systems. Servers of SMB, NFS and SFTP run in a network of their own, where nothing else is reached and all end with the test;
each is used by two clients as two machines would, through GVfs or a mount. No save may be lost though programs are killed in the middle, what one client saves
is seen by the other within two seconds, who has what open is seen, and what was left is told apart. What this machine can't do is skipped, with the reason."""

import os
import pathlib
import shutil
import statistics
import subprocess
import sys
import tempfile
import time

sys.dont_write_bytecode = True
SOURCE = pathlib.Path(os.environ["SL_SOURCE_ROOT"])
sys.path.insert(0, str(SOURCE / "tests"))
from tap import Tap

PROGRAM = sys.argv[1]
SAVES, KILL_EACH_MS, LOOKS, SEEN_S = 12, 700, 5, 2  # seen so soon, as promised
SLOW_S = 90  # a server or mount that takes longer is not there
NAME, MACHINE = "profile-0.sidelong", "bench-two"
NAMESPACES = ["unshare", "--net", "--mount", "--pid", "--uts", "--fork", "--kill-child", "--mount-proc"]

SMB = """[global]
map to guest = Bad User
guest account = root
{homes}
[shelf]
path = {place}
guest ok = yes
read only = no
force user = root
"""
SMB_HOMES = ("lock directory", "state directory", "cache directory", "private dir", "pid directory", "ncalrpc dir")
NFS = """NFS_CORE_PARAM {{ Protocols = 3; Enable_NLM = false; Enable_RQUOTA = false; mount_path_pseudo = true; }}
EXPORT {{ Export_Id = 1; Path = {place}; Pseudo = /shelf; Access_Type = RW; Squash = No_Root_Squash; Protocols = 3; Transports = TCP; Attr_Expiration_Time = 0; FSAL {{ Name = VFS; }} }}
"""
SSHD = """HostKey {home}/key
AuthorizedKeysFile {home}/key.pub
StrictModes no
UsePAM no
PidFile none
Subsystem sftp internal-sftp
"""
SSH = """Host *
IdentityFile {home}/key
StrictHostKeyChecking no
UserKnownHostsFile {home}/known
ControlPath none
"""
Missing = type("Missing", (Exception,), {})  # what this machine can't do


def wait(met, what):
    end = time.monotonic() + SLOW_S
    while not met():
        if time.monotonic() > end:
            raise Missing(f"{what} did not come within {SLOW_S} s")
        time.sleep(0.1)


def need(*programs):
    for program in programs:
        if shutil.which(program, path=os.environ["PATH"] + ":/usr/sbin:/usr/libexec") is None:
            raise Missing(f"there is no {program}")


class Place:
    """A folder that servers hand out, and what leads there."""

    def __init__(self, home):
        self.home, self.place, self.running = home, home / "place", []
        self.place.mkdir()
        self.log = open(home / "log", "w", encoding="utf-8")

    def serve(self, *command):
        self.running.append(subprocess.Popen(command, stdin=subprocess.DEVNULL, stdout=self.log, stderr=self.log, start_new_session=True))
        return self.running[-1]

    def write(self, name, text):
        (self.home / name).write_text(text.format(home=self.home, place=self.place, homes="\n".join(f"{name} = {self.home}" for name in SMB_HOMES)), encoding="utf-8")
        return self.home / name

    def bus(self):
        """A session's bus: each has a GVfs of its own, which is a client of its own."""
        self.running.append(subprocess.Popen(["dbus-daemon", "--session", "--nofork", "--print-address"], stdout=subprocess.PIPE, stderr=self.log, text=True))
        return self.running[-1].stdout.readline().strip()

    def by_gvfs(self, uri, *options):
        clients = []
        for _ in range(2):
            environment = os.environ | {"DBUS_SESSION_BUS_ADDRESS": self.bus(), "GIO_USE_VFS": "gvfs"}
            done = subprocess.run(["timeout", str(SLOW_S), "gio", "mount", *options, uri], env=environment, stdin=subprocess.DEVNULL, capture_output=True, text=True)
            if subprocess.run(["gio", "list", uri], env=environment, capture_output=True).returncode != 0:
                raise Missing(f"GVfs does not mount {uri}: {done.stderr.strip()[-120:]}")
            clients.append((environment, uri))
        return clients

    def by_mounts(self, *command):
        clients = []
        for name in ("here", "there"):
            (mount := self.home / name).mkdir()
            done = subprocess.run([*command, mount], stdin=subprocess.DEVNULL, capture_output=True, text=True)
            if done.returncode != 0 or not mount.is_mount():
                raise Missing(f"{command[0]} does not mount: {done.stderr.strip()[-120:]}")
            clients.append((os.environ | {"GIO_USE_VFS": "local"}, str(mount)))
        return clients

    def end(self):
        for name in ("here", "there"):
            subprocess.run(["umount", "--lazy", self.home / name], stderr=subprocess.DEVNULL)
        for server in reversed(self.running):
            server.kill()
            server.wait()
        self.log.close()


def listens(port):
    """Whether something on this machine takes connections there (proc(5), /proc/net/tcp: the state 0A is that)."""
    lines = pathlib.Path("/proc/net/tcp").read_text() + pathlib.Path("/proc/net/tcp6").read_text()
    return any(line.split()[1].endswith(f":{port:04X}") and line.split()[3] == "0A" for line in lines.splitlines() if ":" in line.split()[1])


def smb(place):
    need("smbd", "gvfsd-smb")
    place.serve("/usr/sbin/smbd", "--foreground", "--no-process-group", "--configfile", place.write("smb.conf", SMB), "--log-basename", place.home)
    wait(lambda: listens(445), "smbd")
    return place.by_gvfs("smb://127.0.0.1/shelf", "--anonymous")


def nfs(place):
    need("rpcbind", "ganesha.nfsd", "gvfsd-nfs")
    place.serve("/usr/sbin/rpcbind", "-f", "-w")
    wait(lambda: listens(111), "rpcbind")
    server = place.serve("ganesha.nfsd", "-F", "-f", place.write("nfs.conf", NFS), "-L", place.home / "nfs.log", "-p", place.home / "nfs.pid")
    wait(lambda: listens(2049) or server.poll() is not None, "ganesha.nfsd")
    return place.by_gvfs("nfs://127.0.0.1/shelf")


def sshd(place):
    need("sshd", "ssh", "ssh-keygen")
    subprocess.run(["ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-f", place.home / "key"], check=True)
    os.makedirs("/run/sshd", exist_ok=True)
    place.serve("/usr/sbin/sshd", "-D", "-e", "-f", place.write("sshd.conf", SSHD))
    wait(lambda: listens(22), "sshd")
    (ssh := place.home / "bin" / "ssh").parent.mkdir()
    ssh.write_text(f'#!/bin/sh\nexec /usr/bin/ssh -F {place.write("ssh.conf", SSH)} "$@"\n', encoding="utf-8")
    ssh.chmod(0o755)
    return ssh


def sftp(place):
    need("gvfsd-sftp")
    os.environ["PATH"] = f"{sshd(place).parent}:{os.environ['PATH']}"
    return place.by_gvfs(f"sftp://127.0.0.1{place.place}")


def sshfs(place, *options):
    need("sshfs")
    return place.by_mounts("sshfs", "-F", sshd(place).parent.parent / "ssh.conf", *options, f"127.0.0.1:{place.place}")


# Kind, how it is reached, and whether what the other saved is seen as soon as is promised: SSHFS remembers for 20 s unless it is told not to.
KINDS = {
    "SMB, by GVfs": (smb, True), "NFS, by GVfs": (nfs, True), "SFTP, by GVfs": (sftp, True),
    "SFTP, by SSHFS with dir_cache=no": (lambda place: sshfs(place, "-o", "dir_cache=no"), True), "SFTP, by SSHFS": (sshfs, False),
}


def work(tap, kind, lead, place, clients):
    """Programs add marks through both clients and the server's own folder, but of NFS: that server remembers what it saw there itself; none is lost."""
    ways = [] if lead == nfs else [str(place.place)]
    for environment, folder in clients:
        words = [f"{name}={environment[name]}" for name in ("DBUS_SESSION_BUS_ADDRESS", "GIO_USE_VFS") if name in environment]
        ways.append(" ".join([*words, folder]))
    done = subprocess.run([PROGRAM, str(SAVES), str(KILL_EACH_MS), *ways], env=clients[0][0], capture_output=True, text=True, timeout=600)
    tap.check(done.returncode == 0, f"{kind}: no save is lost", (done.stdout + done.stderr).splitlines()[-20:])
    return done.stdout.strip().splitlines()[-1] if done.stdout.strip() else "ended"


def look(tap, kind, place, clients, promised):
    """What the one client saves, the other sees."""
    shutil.copy(SOURCE / "tests" / "example.sidelong", place.place / NAME)
    seen = []
    with subprocess.Popen([PROGRAM, "--follow", clients[1][1]], env=clients[1][0], stdout=subprocess.PIPE, text=True) as follower:
        follower.stdout.readline()
        time.sleep(5)  # the looks after the copy
        for i in range(LOOKS if promised else 1):
            subprocess.run([PROGRAM, "--work", clients[0][1], "0", str(3 * i), str(3 * i + 1), place.home / "saves"], env=clients[0][0], check=True, timeout=SLOW_S)
            saved = (place.place / NAME).stat().st_ctime
            seen.append(next(at for at in (float(line.split()[1]) for line in follower.stdout) if at > saved) - saved)
            time.sleep(0.3 * i + 4)
        follower.kill()
    if promised:
        tap.check(statistics.median(seen) <= SEEN_S, f"{kind}: what one saves the other sees within {SEEN_S} s", [str(seen)])
    return f"{statistics.median(seen):.2f} s / {max(seen):.2f} s"


def have_open(tap, kind, place, clients):
    """Who has it open is seen, a program that was cut off there is told apart, and both notes go."""

    def opens(client, *before):
        program = subprocess.Popen([*before, PROGRAM, "--open", client[1]], env=client[0], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        return program, program.stdout.readline()

    first, _ = opens(clients[0], "unshare", "--uts", "sh", "-c", f'hostname {MACHINE} && exec "$@"', "sh")
    for age, words, what in (0, f"{MACHINE} has it", "who has it open is seen"), (600, f"{MACHINE} left it", "who left it open is told apart"):
        if age > 0:
            first.kill()
            first.wait()
            os.utime(place.place / f".{NAME}.open", (time.time() - age,) * 2)
        second, says = opens(clients[1])
        tap.check(words in says, f"{kind}: {what}", [says])
        second.communicate()
    left = [name for name in os.listdir(place.place) if ".open" in name]
    tap.check(not left, f"{kind}: no note stays", left)


def run():
    tap, rows = Tap(), []
    subprocess.run(["ip", "link", "set", "lo", "up"], check=True)
    subprocess.run(["mount", "-t", "tmpfs", "none", "/run"], check=True)
    for kind, (lead, promised) in KINDS.items():
        with tempfile.TemporaryDirectory(prefix="sidelong-shared-", dir="/var/tmp") as home:
            os.environ |= {"HOME": home, "XDG_RUNTIME_DIR": home, "XDG_CACHE_HOME": home, "XDG_CONFIG_HOME": home, "GVFS_DISABLE_FUSE": "1"}
            place = Place(pathlib.Path(home))
            try:
                clients = lead(place)
                marks = work(tap, kind, lead, place, clients)
                have_open(tap, kind, place, clients)
                rows.append(f"| {kind} | {marks} | {look(tap, kind, place, clients, promised)} |")
            except Missing as why:
                tap.skip(kind, why)
                rows.append(f"| {kind} | not had: {why} | |")
            finally:
                place.end()
    print("\n".join(f"# {row}" for row in ["load " + pathlib.Path("/proc/loadavg").read_text().strip(), *rows]))
    return tap.done()


if __name__ == "__main__":
    if len(sys.argv) > 2:
        sys.exit(run())
    if subprocess.run([*NAMESPACES, "true"], capture_output=True).returncode != 0:
        sys.exit(print("1..0 # SKIP no network of its own can be made here"))
    sys.exit(subprocess.run([*NAMESPACES, sys.executable, *sys.argv, "inside"]).returncode)
