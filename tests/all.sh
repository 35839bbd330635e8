#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Every check of the project, from a clean clone on a bare Debian 12: builds twice, with warnings as errors and with the address and
# undefined-behaviour sanitizers, and runs the tests of both under a display of their own. The last line counts them.
set -u
cd "$(dirname "$0")/.." || exit 1
. src/packages.sh

give_up ()
{
  echo "$1" >&2
  echo "0 passed, 1 failed"
  exit 1
}

need_packages $build_packages $test_packages || give_up "The packages needed can't be installed."

plain=build-tests
sanitized=build-sanitized
export LC_ALL=C.UTF-8 LANGUAGE= PYTHONDONTWRITEBYTECODE=1

# configure FOLDER OPTION...: a fresh configuration, on what was compiled before if there is any.
configure ()
{
  folder=$1
  shift
  if [ -f "$folder/build.ninja" ]; then
    meson setup --reconfigure "$folder" "$@"
  else
    rm -rf "$folder"
    meson setup "$folder" "$@"
  fi
}

# Locales that the tests of figures with a decimal comma ask for; built here because a bare system has none.
locales=$PWD/build-locales
if [ ! -d "$locales/de_DE.UTF-8" ]; then
  mkdir -p "$locales"
  localedef -i de_DE -f UTF-8 "$locales/de_DE.UTF-8" || give_up "The German locale can't be made."
fi
export LOCPATH="$locales:/usr/lib/locale"

# build FOLDER OPTION...: configures and compiles; what the tools say is shown only if they fail.
build ()
{
  echo "== Building in $1"
  log=$(mktemp) || give_up "No temporary file can be made."
  if configure "$@" >"$log" 2>&1 && meson compile -C "$1" >>"$log" 2>&1; then
    rm -f "$log"
  else
    cat "$log"
    rm -f "$log"
    give_up "The build in $1 fails."
  fi
}

build $plain --werror -Dbuildtype=debugoptimized
build $sanitized --werror -Dbuildtype=debug -Doptimization=1 -Db_sanitize=address,undefined -Db_lundef=false

# A log of an earlier run must never be counted for this one.
rm -f $plain/meson-logs/testlog.json $sanitized/meson-logs/testlog.json $plain/meson-logs/again.json $sanitized/meson-logs/again.json \
  $sanitized/meson-logs/desk.json

# What drives a window waits for it; where that failed it is run once more, on a machine that has nothing else to do by then.
once_more ()
{
  late=$(python3 tests/late.py $1)
  [ -n "$late" ] || return 0
  echo "== Once more: $(echo $late)"
  sh tests/display.sh meson test -C $1 --no-rebuild --num-processes 1 --print-errorlogs --timeout-multiplier $2 --logbase again $late
}

echo "== Tests"
sh tests/display.sh meson test -C $plain --no-rebuild --num-processes 2 --print-errorlogs
once_more $plain 1

# Leaks can't be looked for where the process may not trace itself, as in some containers.
leaks=1
probe=$(mktemp -d)
echo 'int main (void) { return 0; }' >"$probe/probe.c"
if ! { gcc -fsanitize=address -o "$probe/probe" "$probe/probe.c" && ASAN_OPTIONS=detect_leaks=1 "$probe/probe"; } >/dev/null 2>&1; then
  leaks=0
  echo "Leaks can't be looked for on this machine; all other sanitizer checks run."
fi
rm -rf "$probe"

# Where programs meet toolkits that were not built for it, stacks are right only when unwound slowly, and the suppressions go by stack.
export ASAN_OPTIONS="detect_leaks=$leaks:fast_unwind_on_malloc=0:malloc_context_size=30:strict_string_checks=1:detect_stack_use_after_return=1:allocator_may_return_null=1"
export LSAN_OPTIONS="suppressions=$PWD/tests/lsan.supp:print_suppressions=0"
export UBSAN_OPTIONS=halt_on_error=1:print_stacktrace=1
export G_SLICE=always-malloc
echo "== Tests with sanitizers"
# Without the journeys: they wait for windows that sanitizers make too slow, over code that the tests of its parts run too.
sh tests/display.sh meson test -C $sanitized --no-rebuild --num-processes 2 --print-errorlogs --timeout-multiplier 6 \
  --no-suite lint --no-suite install --no-suite desk
# GTK, its link to assistive technology and its printing keep memory in their own threads until the end: leaks are looked for below the window only.
ASAN_OPTIONS=$(echo "$ASAN_OPTIONS" | sed 's/detect_leaks=1/detect_leaks=0/')
sh tests/display.sh meson test -C $sanitized --no-rebuild --num-processes 2 --print-errorlogs --timeout-multiplier 6 --logbase desk \
  --suite desk --no-suite journeys
once_more $sanitized 6
unset ASAN_OPTIONS LSAN_OPTIONS UBSAN_OPTIONS

exec python3 tests/count.py $plain $sanitized
