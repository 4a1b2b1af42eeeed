# shellcheck shell=bash
# What the scripts of the checks share; sourced by them, with set -Eeuo pipefail.

current=start
trap 'echo "== $current: FAILED" >&2' ERR

# Output is shown only of what fails.
quietly() {
    local output
    output=$(mktemp)
    if ! "$@" >"$output" 2>&1; then
        cat "$output" >&2
        rm -f "$output"
        return 1
    fi
    rm -f "$output"
}

as_root() {
    if [ "$(id -u)" -eq 0 ]; then "$@"; else sudo "$@"; fi
}

# Not within a condition: there, bash would overlook failures inside the stage.
stage() {
    current=$1
    local begun=$SECONDS
    shift
    echo "== $current"
    "$@"
    echo "== $current: $((SECONDS - begun)) s"
}

# Debian packages, if any are named.
install_packages() {
    if [ $# -eq 0 ]; then return; fi
    echo "installing $*"
    quietly as_root apt-get update
    quietly as_root env DEBIAN_FRONTEND=noninteractive apt-get install --yes --no-install-recommends "$@"
}
