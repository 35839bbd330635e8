#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Makes the Debian packages twice, installs them in a bare root, runs them there and removes them again.

packages.py SOURCE_ROOT BUILD_ROOT; speaks TAP. The root is made from the mirror that this machine's apt is set to, and needs the rights to make one: without
them that part is skipped. What was fetched is kept in BUILD_ROOT/packages, with the packages and the logs."""

import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

sys.dont_write_bytecode = True
from tap import Tap

NAMES = ("sidelong", "sidelong-calc", "sidelong-doc")
APP_ID = "org.sidelong.Sidelong"
# What tells other programs of what is installed, and what the program is looked at with.
TOOLS = ("dbus-daemon", "desktop-file-utils", "gtk-update-icon-cache", "man-db", "xvfb")
PLUGINS = ("gstreamer1.0-plugins-base", "gstreamer1.0-plugins-good", "libgstreamer-plugins-base1.0-0")
# Where what changes is no file of a package: mounts, what is fetched and logged, and what runs.
PASSING = {"proc", "sys", "dev", "run", "tmp", "root", "var/cache", "var/log", "var/lib/apt", "var/tmp"}
# Mounts of its own, gone with it, and nothing left running.
INSIDE = 'mount -t proc proc "$1/proc" && mount -t tmpfs tmpfs "$1/run" && exec chroot "$@"'


def proxies():
    """What apt goes through, as its own settings and as the environment of other programs."""
    settings = subprocess.run(["apt-config", "dump"], capture_output=True, text=True).stdout
    found = re.findall(r'^Acquire::(https?)::Proxy "([^"]+)";', settings, re.MULTILINE)
    return "".join(f'Acquire::{kind}::Proxy "{proxy}";\n' for kind, proxy in found), {f"{kind}_proxy": proxy for kind, proxy in found}


def sources():
    """The mirrors of Debian that apt is set to: (site, release, component), the release's own first."""
    told = subprocess.run(["apt-get", "indextargets", "--format", "$(ORIGIN)|$(SITE)|$(RELEASE)|$(COMPONENT)", "Created-By: Packages"],
                          capture_output=True, text=True).stdout
    found = {tuple(line.split("|")[1:]) for line in told.splitlines() if line.startswith("Debian|")}
    return sorted(found, key=lambda source: ("-" in source[1], source))


class Root:
    """A bare root; what is said in it goes to a log."""

    def __init__(self, folder, log):
        self.folder = pathlib.Path(folder)
        self.log = log
        self.proxy_settings, self.proxies = proxies()
        self.env = {"PATH": "/usr/sbin:/usr/bin:/sbin:/bin", "HOME": "/root", "LC_ALL": "C.UTF-8", "DEBIAN_FRONTEND": "noninteractive"}

    def make(self, cache):
        site, release, _ = sources()[0]
        done = subprocess.run(["debootstrap", "--variant=minbase", f"--cache-dir={cache}", release, self.folder, site], stdout=self.log, stderr=subprocess.STDOUT,
                              env=dict(os.environ, LC_ALL="C.UTF-8", **self.proxies))
        if done.returncode:
            return False
        etc = self.folder / "etc"
        (etc / "apt/sources.list").write_text("".join(f"deb {site} {release} {component}\n" for site, release, component in sources()))
        (etc / "apt/apt.conf.d/proxy").write_text(self.proxy_settings)
        shutil.copy("/etc/resolv.conf", etc / "resolv.conf")
        # Nothing is started by being installed.
        starts = self.folder / "usr/sbin/policy-rc.d"
        starts.write_text("#!/bin/sh\nexit 101\n")
        starts.chmod(0o755)
        for package in pathlib.Path(cache).glob("*.deb"):
            shutil.copy(package, self.folder / "var/cache/apt/archives")
        return True

    def keep(self, cache):
        """What was fetched, for the next time."""
        for package in (self.folder / "var/cache/apt/archives").glob("*.deb"):
            if not (pathlib.Path(cache) / package.name).exists():
                shutil.copy(package, cache)

    def run(self, *command):
        """What a command said, and whether it succeeded."""
        print("#", *command, file=self.log, flush=True)
        done = subprocess.run(["unshare", "--mount", "--pid", "--fork", "--kill-child", "sh", "-c", INSIDE, "sh", self.folder, *command], stdin=subprocess.DEVNULL,
                              stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, errors="replace", env=self.env)
        print(done.stdout, f"({done.returncode})", file=self.log, flush=True)
        return done.returncode == 0, done.stdout

    def files(self):
        """Every name below the root, of what is there to stay."""
        found = set()
        for folder, folders, names in os.walk(self.folder):
            below = os.path.relpath(folder, self.folder)
            folders[:] = [name for name in folders if os.path.normpath(os.path.join(below, name)) not in PASSING]
            found |= {os.path.normpath(os.path.join(below, name)) for name in names + folders}
        return found

    def text(self, name):
        """A file's text, nothing where there is no such file."""
        path = self.folder / name
        return path.read_bytes().decode(errors="replace") if path.exists() else ""


def registered(root):
    """Where other programs look things up, and whether this one is found there."""
    return {
        "the desktop's programs": f"application/x-sidelong+xml={APP_ID}.desktop" in root.text("usr/share/applications/mimeinfo.cache"),
        "media types": "application/x-sidelong+xml:*.sidelong" in root.text("usr/share/mime/globs2"),
        "settings": APP_ID in root.text("usr/share/glib-2.0/schemas/gschemas.compiled"),
        "icons": APP_ID in root.text("usr/share/icons/hicolor/icon-theme.cache"),
    }


def last(text):
    return text.splitlines()[-30:]


def try_root(tap, root, packages, tests):
    """Installs, runs and removes."""
    shutil.copytree(tests, root.folder / "srv/tests")
    for package in packages:
        shutil.copy(package, root.folder / "srv")
    ours = [f"/srv/{package.name}" for package in packages]
    install = ("apt-get", "-q", "-y", "--no-install-recommends", "-o", "APT::Keep-Downloaded-Packages=true", "install")
    good, said = root.run("apt-get", "-q", "update")
    if not good:
        tap.skip("packages in a bare root", "the mirror is out of reach")
        return
    good, said = root.run(*install, "-s", *ours)
    if not tap.check(good, "all that the packages depend on is there", last(said)):
        return
    needed = [name for name in re.findall(r"^Inst (\S+)", said, re.MULTILINE) if name not in NAMES]
    good, said = root.run(*install, *needed, *TOOLS)
    if not tap.check(good, "what they depend on is installed", last(said)):
        return
    before = root.files()

    good, said = root.run(*install, *ours)
    tap.check(good, "the packages are installed", last(said))
    put = root.files() - before
    tap.check({"usr/bin/sidelong", "usr/bin/sidelong-calc"} <= put, "with both programs", sorted(put)[:30])
    for where, known in registered(root).items():
        tap.check(known, f"what is installed is known to {where}")
    for page in ("sidelong", "sidelong-calc"):
        good, said = root.run("man", page)
        tap.check(good and page in said and "SYNOPSIS" in said, f"man {page}", last(said))
    for name in ("command-line", "window"):
        good, said = root.run(f"/srv/tests/{name}")
        tap.check(good, f"the packages' own test: {name}", last(said))
    good, said = root.run("sidelong-calc", "pitch", "/usr/share/sidelong/demo/missing.wav", "--expect=110")
    tap.check(not good and "apt install" in said, "without GStreamer's plug-ins, listening says what is missing", last(said))

    good, said = root.run("apt-get", "-q", "-y", "purge", *NAMES)
    tap.check(good, "the packages are purged", last(said))
    after = root.files()
    tap.check(after == before, "nothing of them is left, and nothing of others is gone", sorted(after ^ before)[:30])
    for where, known in registered(root).items():
        tap.check(not known, f"what is gone is no longer known to {where}")

    good, said = root.run(*install, *PLUGINS, *ours)
    tap.check(good, "the packages are installed with plug-ins to listen by", last(said))
    good, said = root.run("/srv/tests/listening")
    tap.check(good, "the packages' own test: listening", last(said))


def why_no_root():
    if os.geteuid() != 0:
        return "it takes root's rights to make one"
    for tool in ("debootstrap", "apt-get", "unshare", "chroot"):
        if not shutil.which(tool):
            return f"{tool} is not there"
    if subprocess.run(["unshare", "--mount", "--pid", "--fork", "sh", "-c", 'mount -t tmpfs tmpfs "$0"', "/mnt"], stderr=subprocess.DEVNULL).returncode:
        return "nothing may be mounted here"
    if not sources():
        return "apt knows no mirror of Debian"
    return None


def main(source, build):
    tap = Tap()
    source = pathlib.Path(source)
    kept = pathlib.Path(build, "packages")
    cache = kept / "fetched"
    cache.mkdir(parents=True, exist_ok=True)
    packaging = source / "data" / "packaging"
    if not (source / ".git").exists():
        tap.skip("packages", "a release is made from a checkout")
        return tap.done()
    # None of what the tests set, which would bind the tools of the build too.
    env = {name: os.environ[name] for name in ("PATH", "HOME", "TMPDIR") if name in os.environ}
    for old in [*kept.glob("*.deb"), *kept.glob("*.changes")]:
        old.unlink()
    done = subprocess.run(["sh", packaging / "build-deb.sh", "--twice", kept], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env=dict(env, LC_ALL="C.UTF-8"))
    if tap.check(done.returncode == 0, "the packages are built, twice with the same bytes, and lintian finds no fault", done.stdout.splitlines()[-60:]):
        packages = [path for name in NAMES for path in kept.glob(f"{name}_*.deb")]
        tap.check(len(packages) == len(NAMES), "they are the ones expected", [path.name for path in packages])
        why = why_no_root()
        if why:
            tap.skip("packages in a bare root", why)
        else:
            with tempfile.TemporaryDirectory(prefix="sidelong-root-", dir=kept) as folder, open(kept / "bare-root.log", "w", encoding="utf-8") as log:
                root = Root(folder, log)
                if root.make(cache):
                    try_root(tap, root, packages, packaging / "debian" / "tests")
                    root.keep(cache)
                else:
                    tap.skip("packages in a bare root", f"none can be made; see {kept / 'bare-root.log'}")
    return tap.done()


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
