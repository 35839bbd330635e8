#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# The tests of the project, from a clean clone on a bare Debian 12. The last line counts what passed and what failed.
#   sh tests/all.sh           before every commit: builds the product and tests its window and its figures, then what lies below the window with
#                             the address and undefined-behaviour sanitizers
#   sh tests/all.sh --full    also what takes longer: everything as it is shipped and with sanitizers, every journey, the tree of names, the
#                             installation, 10,000 profiles, long random tests, how much of each layer the tests run
set -u
cd "$(dirname "$0")/.." || exit 1
. src/packages.sh

give_up ()
{
  echo "$1" >&2
  echo "0 passed, 1 failed"
  exit 1
}

full=
case ${1:-} in
  '') ;;
  --full) full=1 ;;
  *) give_up "“$1” is no option; --full is." ;;
esac

need_packages $build_packages $test_packages ${full:+$packing_packages $sharing_packages} || give_up "The packages needed can't be installed."

# A build that is tested quickly, or the one that is shipped; its precompiled headers could hide one that is missing.
if [ -n "$full" ]; then
  plain=build-full plain_options='-Dbuildtype=debugoptimized -Db_pch=false' sanitized=build-full-sanitized counting=build-full-coverage
  plain_suites='' sanitized_suites='' rounds=10 sanitized_rounds=1
else
  plain=build-tests plain_options='-Doptimization=0 -Ddebug=false' sanitized=build-sanitized rounds=1 sanitized_rounds=0.25
  # What needs no window is run with sanitizers; without them once more only what tests/meson.build says of its suites.
  plain_suites='--suite desk --suite lint --suite setup --suite words --suite draw --suite figures --suite twice --no-suite full'
  sanitized_suites='--no-suite figures --no-suite full'
  # --full moves as the program does for a person (tests/display.sh).
  export SL_STILL=1
  # Of Debian's linkers (binutils) the one that takes a third of the time.
  export CC_LD=gold
fi
below='--no-suite lint --no-suite install --no-suite desk'
# Lines are all that the sanitizers' stacks need of what a debugger would (-g1).
sanitized_options='-Dbuildtype=debug -Doptimization=1 -Dc_args=-g1 -Db_sanitize=address,undefined -Db_lundef=false'
export LC_ALL=C.UTF-8 LANGUAGE= PYTHONDONTWRITEBYTECODE=1
# Tests of the window mostly wait for it, so more of them run than there are cores.
cores=$(nproc)
more=$((cores * 2))

# begin WHAT, end: how long a part took.
begin ()
{
  echo "== $1"
  what=$1
  begun=$(date +%s)
}

end ()
{
  took=$(($(date +%s) - begun))
  echo "== $what: $((took / 60)) min $((took % 60)) s"
}

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

# build FOLDER TARGETS SUITES OPTION...: configures and compiles the targets, and what the tests of those suites need; what the tools say is shown only if
# they fail.
build ()
{
  begin "Building in $1"
  log=$(mktemp) || give_up "No temporary file can be made."
  folder=$1 targets=$2 suites=$3
  shift 3
  if configure "$folder" --werror "$@" >"$log" 2>&1 &&
    { [ -z "$suites" ] || targets="$targets $(python3 tests/needed.py "$folder" $suites 2>>"$log")"; } &&
    ninja -C "$folder" $targets >>"$log" 2>&1; then
    rm -f "$log"
  else
    cat "$log"
    rm -f "$log"
    give_up "The build in $folder fails."
  fi
  # A log of an earlier run must never be counted for this one.
  rm -f "$folder"/meson-logs/*.json
  end
}

# run WHAT FOLDER LOG OPTION...: runs tests of a build folder. What hangs is ended, but only long after a busy machine would be done.
logs=
run ()
{
  begin "$1"
  folder=$2 log=$3
  shift 3
  logs="$logs $folder/meson-logs/$log.json"
  meson test -C "$folder" --no-rebuild --print-errorlogs --timeout-multiplier 6 --logbase "$log" "$@"
  end
}

# Locales that the tests of figures, money, translations and writing from right to left ask for; built here because a bare system has none.
locales=$PWD/build-locales
mkdir -p "$locales"
for name in de_DE en_US es_ES fr_FR he_IL ja_JP; do
  [ -d "$locales/$name.UTF-8" ] || localedef -i $name -f UTF-8 "$locales/$name.UTF-8" &
done
wait
for name in de_DE en_US es_ES fr_FR he_IL ja_JP; do
  [ -d "$locales/$name.UTF-8" ] || give_up "The locale $name can't be made."
done
export LOCPATH="$locales:/usr/lib/locale"

if [ -n "$full" ]; then
  build $plain all '' $plain_options
  build $counting below-window '' -Doptimization=0 -Db_coverage=true
  build $sanitized all '' $sanitized_options
else
  build $plain product "$plain_suites" $plain_options
  build $sanitized src/calc/sidelong-calc "$below $sanitized_suites" $sanitized_options
fi

export SL_TEST_ROUNDS=$rounds
run Tests $plain testlog --num-processes $more $plain_suites
[ -z "$full" ] || run "Shelves of 10,000 profiles, long simulations and other benchmarks" $plain benchmarklog --benchmark --num-processes 1

# What the tests below the window run of each layer, counted afresh.
if [ -n "$full" ]; then
  export SL_TEST_ROUNDS=1
  find $counting -name '*.gcda' -delete
  run "Tests below the window, counting the lines they run" $counting testlog --num-processes $cores $below
  run "Lines that were run" $counting coveragelog --benchmark --suite coverage --verbose
fi

# Leaks can't be looked for where the process may not trace itself, as in some containers.
leaks=1
probe=$(mktemp -d)
echo 'int main (void) { return 0; }' >"$probe/probe.c"
if ! { gcc -fsanitize=address -o "$probe/probe" "$probe/probe.c" && ASAN_OPTIONS=detect_leaks=1 "$probe/probe"; } >/dev/null 2>&1; then
  leaks=0
  echo "Leaks can't be looked for on this machine; all other sanitizer checks run."
fi
rm -rf "$probe"

export SL_TEST_ROUNDS=$sanitized_rounds
export ASAN_OPTIONS="malloc_context_size=30:strict_string_checks=1:detect_stack_use_after_return=1:allocator_may_return_null=1"
# Where programs meet toolkits that were not built for it, stacks are right only when unwound slowly, and the suppressions go by stack.
[ -z "$full" ] || ASAN_OPTIONS=$ASAN_OPTIONS:fast_unwind_on_malloc=0
export LSAN_OPTIONS="suppressions=$PWD/tests/lsan.supp:print_suppressions=0"
export UBSAN_OPTIONS=halt_on_error=1:print_stacktrace=1
export G_SLICE=always-malloc
export ASAN_OPTIONS=$ASAN_OPTIONS:detect_leaks=$leaks
run "Tests with sanitizers" $sanitized testlog --num-processes $cores $below $sanitized_suites
# GTK, its link to assistive technology and its printing keep memory in their own threads until the end: leaks are looked for below the window only.
# Stacks are unwound fast then. Without the journeys: they wait for windows that sanitizers make too slow, over code that the tests of its parts run too.
# Nor does it take the window at every size.
ASAN_OPTIONS=$ASAN_OPTIONS:detect_leaks=0:fast_unwind_on_malloc=1
[ -z "$full" ] || run "Tests of the window with sanitizers" $sanitized desklog --num-processes $cores --suite desk --no-suite journeys --no-suite full
unset ASAN_OPTIONS LSAN_OPTIONS UBSAN_OPTIONS

exec python3 tests/count.py $logs
