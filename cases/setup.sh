# SPDX-License-Identifier: GPL-3.0-or-later
# Sourced by cases/start.sh and tests/run.sh: install what is missing, then configure and build.
# Expects $top, the project's folder.

# missing_packages LIST...: Debian packages of these lists that are not installed.
missing_packages() {
    cat "$@" | sed 's/#.*//' | while read -r package; do
        [ -n "$package" ] || continue
        state=$(dpkg-query -W -f '${Status}' "$package" 2>/dev/null) || state=
        [ "$state" = "install ok installed" ] || printf '%s ' "$package"
    done
}

# install_missing LIST...
install_missing() {
    missing=$(missing_packages "$@")
    [ -n "$missing" ] || return 0
    as_root=
    if [ "$(id -u)" -ne 0 ]; then
        if ! command -v sudo >/dev/null 2>&1; then
            echo "missing Debian packages: $missing" >&2
            echo "install them as root, or install sudo, and run this again" >&2
            return 1
        fi
        as_root=sudo
    fi
    echo "installing Debian packages: $missing" >&2
    log=$(mktemp)
    # One failed look at the package lists is no failure: they may be good enough as they are.
    $as_root env DEBIAN_FRONTEND=noninteractive apt-get update -qq >"$log" 2>&1 || true
    # shellcheck disable=SC2086 # the list is meant to be split
    if ! $as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq \
        --no-install-recommends $missing >>"$log" 2>&1; then
        tail -n 5 "$log" >&2
        rm -f "$log"
        echo "these Debian packages could not be installed: $(missing_packages "$@")" >&2
        echo "is there a network? install them by hand and run this again" >&2
        return 1
    fi
    rm -f "$log"
}

# build_in FOLDER TARGET [CMAKE OPTION...]: quiet unless something goes wrong.
build_in() {
    folder=$1
    target=$2
    shift 2
    log=$(mktemp)
    if ! { cmake -S "$top" -B "$folder" -DBF_WERROR=ON "$@" &&
        cmake --build "$folder" --target "$target" -j "$(nproc)"; } >"$log" 2>&1; then
        cat "$log" >&2
        rm -f "$log"
        echo "the build failed" >&2
        return 1
    fi
    rm -f "$log"
}
