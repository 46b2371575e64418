# Sourced by demo and test: installs Debian packages that are not there yet.

build_packages="g++ cmake ninja-build ccache mold pkg-config
  libocct-data-exchange-dev libocct-ocaf-dev libocct-modeling-algorithms-dev
  libocct-modeling-data-dev libocct-foundation-dev libocct-visualization-dev
  libassimp-dev libdraco-dev libmeshoptimizer-dev nlohmann-json3-dev libcli11-dev coinor-libcbc-dev libpolyclipping-dev
  libcairo2-dev libpango1.0-dev libxlsxwriter-dev libssl-dev zlib1g-dev libeigen3-dev fonts-dejavu-core"
test_packages="libgtest-dev libboost-graph-dev libcgal-dev python3 clang-format poppler-utils
  blender freecad xvfb xauth lintian chromium libreoffice-calc-nogui valgrind locales"
sanitize_packages="clang libclang-rt-14-dev libgtest-dev libboost-graph-dev libcgal-dev python3"

# need PACKAGE...: installs those that dpkg does not list as installed.
need() {
  missing=""
  for package in "$@"; do
    dpkg-query -W -f='${db:Status-Status}' "$package" 2>/dev/null | grep -qx installed ||
      missing="$missing $package"
  done
  [ -n "$missing" ] || return 0
  as_root=""
  if [ "$(id -u)" != 0 ]; then
    command -v sudo >/dev/null || { echo "Run this as root, or install sudo: needs$missing" >&2; exit 2; }
    as_root="sudo"
  fi
  echo "Installing:$missing"
  $as_root apt-get update -qq
  # shellcheck disable=SC2086
  $as_root env DEBIAN_FRONTEND=noninteractive \
    apt-get install -y -qq --no-install-recommends $missing >/dev/null
}

# need_npm: Node.js and npm, from wherever they are; report.html is bundled with them.
need_npm() {
  { command -v node && command -v npm; } >/dev/null || need nodejs npm
}
