#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
#
# Every page and window of the program, its paper and its drawings, one sheet for each subject:
#   sh tests/contact-sheet.sh FOLDER [BUILD]
# and two such folders, made before and after a change, beside each other:
#   sh tests/contact-sheet.sh --beside BEFORE AFTER FOLDER
# Windows are drawn as tests/desk/test-sizes.c shows them. Needs Xvfb, ImageMagick, poppler-utils and librsvg2-bin.
set -eu
subjects='bench sheets shelf-start customer-paper windows drawing'

# small FOLDER TO: its pictures, as large as on a sheet, so that a sheet of many takes no more room than there is
small ()
{
  mkdir -p "$2"
  find "$1" -maxdepth 1 -name '*.png' | sort | while read -r page; do
    convert "$page" -depth 8 -resize '588x420>' "$2/${page##*/}"
  done
}
if [ "${1:-}" = --beside ]; then
  work=$(mktemp -d)
  trap 'rm -rf "$work"' EXIT
  mkdir -p "$4"
  for subject in $subjects; do
    small "$2/$subject" "$work/before"
    small "$3/$subject" "$work/after"
    # A page that only one of them has stands beside nothing.
    (cd "$work" && ls before after | sed -n '/\.png$/p' | sort -u) | while read -r page; do
      for from in before after; do
        if [ -e "$work/$from/$page" ]; then printf -- '-label\n%s %s\n%s\n' "$from" "${page%.png}" "$work/$from/$page"; else printf -- '-label\n%s: none\nxc:none\n' "$from"; fi
      done
    done >"$work/list"
    xargs -d '\n' sh -c 'to=$1; shift; montage -font DejaVu-Sans "$@" -geometry "588x420+5+5" -tile 4x -depth 8 "$to"' sh \
      "$4/contact-before-after-$subject.png" <"$work/list"
    echo "$4/contact-before-after-$subject.png"
    rm -rf "$work/before" "$work/after"
  done
  exit
fi
[ $# -ge 1 ] || { sed -n 's/^# \{0,1\}//p' "$0" | sed -n 3,6p >&2; exit 2; }
mkdir -p "$1"
out=$(cd "$1" && pwd)
cd "$(dirname "$0")/.."
build=$(cd "${2:-build}" && pwd)
walk=$build/tests/desk/test-sizes
calc=$build/src/calc/sidelong-calc
demo=data/demo/anchor-street-flat-top.sidelong
for subject in $subjects; do mkdir -p "$out/$subject"; done
ninja -C "$build" tests/desk/test-sizes src/calc/sidelong-calc >/dev/null

# pages FOLDER PART LOOK SIZE: what is cut there is for tests/sizes.sh to say.
pages ()
{
  SIDELONG_LOCALE_DIR=$build/po GSETTINGS_SCHEMA_DIR=$build/data SL_SOURCE_ROOT=$PWD SL_BUILD_ROOT=$build \
    sh tests/display.sh --screen "${4%@*}" "$walk" -k --part "$2" --look "$3" --pictures "$out/$1" "$4" >"$out/log" 2>&1 ||
    sed -n 's/^# \([0-9]* × .*\)/\1/p' "$out/log"
  for picture in "$out/$1"/[0-9]*x*@*-mm-*.png; do
    name=${picture##*-mm-}
    mv "$picture" "$out/$1/$3-${4}-$name"
  done
}
usual=1440x900@100
pages sheets bench light $usual
pages sheets empty light $usual
mv "$out"/sheets/*-bench-*-Gaps.png "$out/bench"
for look in dark contrast-light contrast-dark; do pages bench empty $look $usual; done
for look in dark contrast-light; do pages bench bench $look $usual; done
for size in 1280x720@100 2560x1440@100 1440x900@150; do pages bench bench light $size; done
# of these one page a sheet
find "$out/bench" \( -name '*-larger-*' -o -name '*-[0-9]-[A-Z]*-*.png' \) -delete
pages shelf-start shelf light $usual
pages shelf-start start light $usual
pages shelf-start shelf dark $usual
pages shelf-start start dark $usual
pages customer-paper customer light $usual
pages customer-paper customer dark $usual
pages windows windows light $usual
pages windows words light $usual
pages windows words dark $usual

# paper
"$calc" sheet $demo -o "$out/sheet.pdf" >/dev/null
"$calc" template $demo -o "$out/template.pdf" >/dev/null
for paper in sheet template; do
  pdftoppm -r 96 -png "$out/$paper.pdf" "$out/customer-paper/paper-$paper"
done

# The drawing by itself, in the proportions of A2, and every picture that is exported.
for dark in '' --dark; do
  for view in side all nut fret-12 bridge; do
    "$calc" draw $demo --view=$view $dark --width=1600 --height=1131 -o "$out/drawing/drawing$dark-$view.png" >/dev/null
  done
  for sheet in strings pitch frets gaps; do
    "$calc" draw $demo --sheet=$sheet $dark -o "$out/drawing/drawing$dark-sheet-$sheet.png" >/dev/null
  done
done
"$calc" draw $demo --view=side --string=6 --width=1600 --height=1131 -o "$out/side.svg" >/dev/null
rsvg-convert -d 150 -p 150 -z 2.19 "$out/side.svg" -o "$out/drawing/poster-a2.png"

for subject in $subjects; do
  small "$out/$subject" "$out/small"
  montage -font DejaVu-Sans -label '%t' "$out/small/*.png" -geometry '588x420+5+5' -tile 4x -depth 8 "$out/contact-$subject.png"
  echo "$out/contact-$subject.png"
  rm -r "$out/small"
done
