# Sourced by the other scripts: finds Go and installs missing Debian packages.
# Usage: . packaging/need.sh; need PACKAGE...

if ! command -v go >/dev/null 2>&1; then
    # Where the Go project's own instructions put it.
    PATH=$PATH:/usr/local/go/bin
    export PATH
fi
if ! command -v go >/dev/null 2>&1; then
    echo "Go isn't on the PATH: install it (version 1.25 or newer) and try again." >&2
    exit 1
fi

# What building the window needs: a C compiler, OpenGL and the X headers.
build_packages="ca-certificates gcc libc6-dev pkg-config libgl1-mesa-dev xorg-dev"

need() {
    missing=
    for package in "$@"; do
        case $(dpkg-query -W -f '${db:Status-Status}' "$package" 2>/dev/null) in
        installed) ;;
        *) missing="$missing $package" ;;
        esac
    done
    [ -z "$missing" ] && return 0
    echo "Installing:$missing"
    if [ "$(id -u)" -eq 0 ]; then
        as_root=
    elif command -v sudo >/dev/null 2>&1; then
        as_root=sudo
    else
        echo "These packages are missing and there is no sudo; as root: apt-get install$missing" >&2
        return 1
    fi
    $as_root env DEBIAN_FRONTEND=noninteractive apt-get -q update >/dev/null || return 1
    # shellcheck disable=SC2086 # a list of words on purpose
    $as_root env DEBIAN_FRONTEND=noninteractive apt-get -q install -y --no-install-recommends $missing >/dev/null
}
