#!/bin/sh
# Copies Conewright to where the desktop finds it; run again with a newer version
# to replace it.
#   sh install.sh [PREFIX]            ~/.local by default; /usr/local as root for everybody
#   sh install.sh --remove [PREFIX]
set -eu
here=$(pwd)
cd "$(dirname "$0")"
remove=
if [ "${1:-}" = --remove ]; then
    remove=yes
    shift
fi
prefix=${1:-$HOME/.local}
case $prefix in /*) ;; *) prefix=$here/$prefix ;; esac

find bin share -type f | sort | while IFS= read -r file; do
    if [ -n "$remove" ]; then
        rm -f "$prefix/$file"
    else
        mkdir -p "$prefix/$(dirname "$file")"
        cp "$file" "$prefix/$file"
    fi
done

# Menus start the program also where PREFIX/bin isn't on their path.
desktop=$prefix/share/applications/conewright.desktop
if [ -z "$remove" ]; then
    sed "s|^Exec=conewright|Exec=\"$prefix/bin/conewright\"|" share/applications/conewright.desktop >"$desktop"
fi

# These only speed look-ups up; a desktop without them finds the files anyway.
index() {
    if command -v "$1" >/dev/null 2>&1; then "$@" 2>/dev/null || true; fi
}
index update-desktop-database "$prefix/share/applications"
index update-mime-database "$prefix/share/mime"
index gtk-update-icon-cache -qtf "$prefix/share/icons/hicolor"

if [ -n "$remove" ]; then
    echo "Removed from $prefix."
else
    echo "Installed; start $prefix/bin/conewright, or Conewright from the menu."
fi
