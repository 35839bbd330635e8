# SPDX-License-Identifier: GPL-3.0-or-later
# Sourced, not run: what the scripts need from Debian 12, and getting what is missing.

build_packages='gcc libc6-dev meson ninja-build pkg-config gettext python3 libglib2.0-dev libglib2.0-bin libgtk-4-dev libgsl-dev
  libxml2-dev libcairo2-dev libgdk-pixbuf-2.0-dev libexif-dev libarchive-dev libpango1.0-dev desktop-file-utils shared-mime-info gtk-update-icon-cache fonts-dejavu-core adwaita-icon-theme cmark-gfm
  libgstreamer1.0-dev libgstreamer-plugins-base1.0-dev gstreamer1.0-plugins-base gstreamer1.0-plugins-good gstreamer1.0-libav gstreamer1.0-pulseaudio'

test_packages='git xvfb dbus dbus-bin dbus-daemon dbus-session-bus-common at-spi2-core python3-pyatspi python3-gi gir1.2-atspi-2.0
  poppler-utils libxml2-utils appstream mandoc xdotool imagemagick librsvg2-bin binutils locales procps clang-format
  bindfs fuse3 pulseaudio pulseaudio-utils csound python3-jsonschema gir1.2-json-1.0 bash-completion zsh fish'

# What makes the release and tries it, for --full and data/packaging/build-deb.sh alone.
packing_packages='debhelper fakeroot lintian debootstrap locales faketime'

# Servers and clients of network file systems, for --full alone. Debian starts what it installs: in a container nothing is, elsewhere smbd and the
# like are better masked first (systemctl mask smbd ssh nfs-ganesha rpcbind). What is not there is skipped.
sharing_packages='samba gvfs-backends gvfs-daemons nfs-ganesha-vfs rpcbind openssh-server sshfs iproute2'

# need_packages NAME...: installs those that are missing. Nothing is fetched, and no rights are needed, where all are there.
need_packages ()
{
  missing=
  for package in "$@"; do
    case $(dpkg-query -W -f '${db:Status-Status}' "$package" 2>/dev/null) in
      installed*) ;;
      *) missing="$missing $package" ;;
    esac
  done
  [ -n "$missing" ] || return 0

  as_root=
  if [ "$(id -u)" != 0 ]; then
    if ! command -v sudo >/dev/null 2>&1; then
      echo "Missing Debian packages:$missing. Install them as root, or install sudo." >&2
      return 1
    fi
    as_root=sudo
  fi
  echo "Installing$missing"
  $as_root env DEBIAN_FRONTEND=noninteractive apt-get -q update &&
    $as_root env DEBIAN_FRONTEND=noninteractive apt-get -q -y --no-install-recommends install $missing
}
