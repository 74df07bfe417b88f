#!/bin/sh
# Copies Conewright to where the desktop finds it; run again with a newer version
# to replace it.
#   sh install.sh [PREFIX]            ~/.local by default; /usr/local as root for everybody
#   sh install.sh --remove [PREFIX]
set -eu
cd "$(dirname "$0")"
remove=
if [ "${1:-}" = --remove ]; then
    remove=yes
    shift
fi
prefix=${1:-$HOME/.local}

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
for index in "update-desktop-database $prefix/share/applications" "update-mime-database $prefix/share/mime" \
    "gtk-update-icon-cache -qtf $prefix/share/icons/hicolor"; do
    if command -v "${index%% *}" >/dev/null 2>&1; then
        $index || true
    fi
done

if [ -n "$remove" ]; then
    echo "Removed from $prefix."
else
    echo "Installed; start $prefix/bin/conewright, or Conewright from the menu."
fi
