# shellcheck shell=bash
# Sourced by data/demo/run, tests/run and .ci/run: the packages each of them needs, and how they are
# installed. Debian 12 names; only what is missing is asked for, so a second run needs no network.

# The lists are used by the scripts that source this file.
# shellcheck disable=SC2034
{
  build_packages=(
    g++ cmake ninja-build pkg-config libcli11-dev libsqlite3-dev libsqlitecpp-dev
    nlohmann-json3-dev libfmt-dev libboost-math-dev libhowardhinnant-date-dev libcsv-dev
    libutf8proc-dev
  )
  test_packages=(catch2)
  check_packages=(
    clang-14 clang-tidy-14 clang-format-14 libclang-rt-14-dev cppcheck shellcheck sqlite3 strace
    python3-scipy r-base-core r-cran-survival r-cran-boot chromium poppler-utils
  )
}

# Which of the packages named are not installed, one a line.
missing_packages() {
  local name
  for name in "$@"; do
    if [ "$(dpkg-query -W -f='${db:Status-Status}' "$name" 2>/dev/null)" != installed ]; then
      echo "$name"
    fi
  done
}

# Installs what is missing of the packages named: as root without sudo, as a user with it. Says
# plainly what is needed and fails where neither will do.
need_packages() {
  local -a missing
  if ! command -v dpkg-query >/dev/null || ! command -v apt-get >/dev/null; then
    if [ "${SHEARPIN_PACKAGES_THERE:-}" = yes ]; then
      return 0
    fi
    printf '%s\n' "This is no Debian system, so nothing is installed here. Needed, by their Debian" \
      "names: $*" "With all of them there, say so: SHEARPIN_PACKAGES_THERE=yes $0" >&2
    return 1
  fi
  mapfile -t missing < <(missing_packages "$@")
  if [ "${#missing[@]}" -eq 0 ]; then
    return 0
  fi
  local -a as_root=()
  if [ "$(id -u)" != 0 ]; then
    if ! command -v sudo >/dev/null; then
      printf '%s\n' "These packages are needed, and installing them takes root:" \
        "  apt-get install --no-install-recommends ${missing[*]}" >&2
      return 1
    fi
    as_root=(sudo)
  fi
  echo "Installing: ${missing[*]}"
  "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get update -qq </dev/null &&
    "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -qq -y \
      --no-install-recommends "${missing[@]}" </dev/null >/dev/null
}

# configure_into FOLDER [cmake options]: from the top of the checkout. A folder that was configured
# for a checkout standing elsewhere is made anew.
configure_into() {
  local folder=$1
  shift
  local cache=$folder/CMakeCache.txt
  if [ -f "$cache" ] && ! grep -qxF "CMAKE_HOME_DIRECTORY:INTERNAL=$PWD" "$cache"; then
    rm -rf "$folder"
  fi
  local -a generator=(-G Ninja)
  if [ -f "$cache" ]; then
    generator=()
  fi
  mkdir -p "$folder"
  cmake -S . -B "$folder" "${generator[@]}" "$@" >"$folder/configure.log" 2>&1 || {
    cat "$folder/configure.log" >&2
    return 1
  }
}
