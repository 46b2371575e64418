#!/bin/sh
# valgrind.sh ROOMLOOM JOB: plans a room and judges the result under valgrind's memcheck. The reading
# process has limits on address space that valgrind cannot live within, so it runs by itself.
command -v valgrind >/dev/null || { echo "skipped: valgrind is not installed"; exit 77; }
out=$(mktemp -d)
trap 'rm -rf "$out"' EXIT
check="valgrind --quiet --error-exitcode=9 --leak-check=full --errors-for-leak-kinds=definite"
check="$check --suppressions=$(dirname "$0")/valgrind.supp"
$check "$1" route "$2" -o "$out/result" --effort quick --quiet || exit 1
$check "$1" check "$out/result" --quiet
