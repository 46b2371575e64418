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
  share/doc/roomloom/copyright share/doc/roomloom/changelog.gz share/roomloom/plugins/blender; do
  [ -e "$root/$file" ] || { echo "the package lacks $file"; exit 1; }
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

cp -r "$root/share/doc/roomloom/examples/attic-studio" "$work/room"
"$root/bin/roomloom" sketch "$work/room/room.json" -o "$work/room/again.glb" --quiet
"$root/bin/roomloom" route "$work/room/job.json" -o "$work/result" --effort quick --quiet
"$root/bin/roomloom" check "$work/result" --quiet
[ "$(wc -l <"$work/result/lengths.csv")" -gt 10 ]
