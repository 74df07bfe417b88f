#!/bin/sh
# Motion files of every card with inverse time through an interpreter of
# RS-274/NGC from outside: the stand-alone one of Debian's linuxcnc-uspace.
set -eu
cd "$(dirname "$0")/../.."
. packaging/need.sh

if ! command -v rs274 >/dev/null 2>&1; then
    # Its window and real-time parts aren't needed: no recommended packages.
    need linuxcnc-uspace
fi
go test -count=1 ./packaging/cards -run Outside "$@"
