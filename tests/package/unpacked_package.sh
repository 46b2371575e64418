#!/usr/bin/env bash
# unpacked_package.sh BUILD WORK
set -euo pipefail
build=$1 work=$2
rm -rf "$work" && mkdir -p "$work"
cpack --config "$build/CPackConfig.cmake" -G DEB -B "$work/pack" >"$work/cpack.log" 2>&1 ||
  { cat "$work/cpack.log"; exit 1; }
package=$(ls "$work"/pack/*.deb)
if command -v lintian >/dev/null; then lintian --fail-on error --allow-root "$package"; fi
dpkg-deb -x "$package" "$work/root"
root=$work/root/usr

for file in bin/roomloom share/man/man1/roomloom.1.gz share/bash-completion/completions/roomloom \
  share/zsh/vendor-completions/_roomloom share/fish/vendor_completions.d/roomloom.fish \
  share/doc/roomloom/copyright share/doc/roomloom/changelog.gz share/doc/roomloom/README.md \
  share/roomloom/plugins/roomloom-blender.zip share/roomloom/plugins/roomloom-freecad.zip \
  share/roomloom/plugins/roomloom-blender/roomloom/roomloom_files/__init__.py \
  share/roomloom/plugins/roomloom-freecad/Roomloom/roomloom_files/__init__.py \
  share/doc/roomloom/examples/alder-hall/job.json share/doc/roomloom/examples/classroom/job.json \
  share/roomloom/roomloom-house.schema.json lib/*/libroomloom.so.0 include/roomloom/pipeline/roomloom.h; do
  compgen -G "$root/$file" >/dev/null || { echo "the package lacks $file"; exit 1; }
done
schema=$(find "$root" -name roomloom-job.schema.json)
[ -n "$schema" ] || { echo "the package lacks the job's schema"; exit 1; }

# Every word of --help stands in the manual page and is completed.
manual=$(zcat "$root/share/man/man1/roomloom.1.gz" | sed 's/\\-/-/g')
for command in $("$root/bin/roomloom" --help | sed -n '/^Subcommands:/,/^$/s/^  \([a-z]*\) .*/\1/p'); do
  for word in "roomloom $command" $("$root/bin/roomloom" "$command" --help | grep -oE '^ +(-.,)?--[a-z-]+' | grep -oE -e '--[a-z-]+'); do
    grep -qF -e "$word" <<<"$manual" || { echo "the manual lacks $word of $command"; exit 1; }
  done
done
completed=$(bash -c '. "$1"; COMP_WORDS=(roomloom route --pre); COMP_CWORD=2; _roomloom
  printf "%s" "${COMPREPLY[*]}"' _ "$root/share/bash-completion/completions/roomloom")
[ "$completed" = --prefer ] || { echo "--pre completes to '$completed'"; exit 1; }

# Completions of the other two shells name every command too.
for command in start sketch survey route check compare explain record; do
  for file in share/zsh/vendor-completions/_roomloom share/fish/vendor_completions.d/roomloom.fish; do
    grep -qw "$command" "$root/$file" || { echo "$file lacks $command"; exit 1; }
  done
done
# Each plug-in reads as Python with what is beside it, and with nothing of the source tree.
for folder in roomloom-blender/roomloom roomloom-freecad/Roomloom; do
  (cd "$root/share/roomloom/plugins/$folder" && env -i PATH="$PATH" PYTHONDONTWRITEBYTECODE=1 \
    python3 -c 'import roomloom_files.job, roomloom_files.program') ||
    { echo "$folder lacks something that both plug-ins share"; exit 1; }
done

# From here on nobody's settings count, as in an empty root.
export HOME="$work/home" ROOMLOOM_HOUSE=none
mkdir -p "$HOME"

cp -r "$root/share/doc/roomloom/examples/attic-studio" "$work/room"
"$root/bin/roomloom" sketch "$work/room/room.json" -o "$work/room/again.glb" --quiet
"$root/bin/roomloom" route "$work/room/job.json" -o "$work/result" --effort quick --quiet
"$root/bin/roomloom" check "$work/result" --quiet
[ "$(wc -l <"$work/result/lengths.csv")" -gt 10 ]

# From a filled-in sheet to a cut list.
cat >"$work/answers.txt" <<'ANSWERS'
units: metres
name: Den
wall_front: 3.5 m
wall_left: 420 cm
height: 2.4
suspended_ceiling: yes
void_depth: don't know
doors: 0
rack_wall: front
rack_from_left: 1.75
loudspeakers: 0+2+0
listener: 2.6
shelf_speaker: 50 m
ANSWERS
"$root/bin/roomloom" start "$work/den" --answers "$work/answers.txt" --quiet
grep -q 'on the shelf 50.0 m' "$work/den/first-answer.txt"
"$root/bin/roomloom" route "$work/den/job.json" -o "$work/den/plan" --effort quick --quiet || [ $? = 1 ]
[ "$(wc -l <"$work/den/plan/lengths.csv")" -ge 3 ]
