#!/usr/bin/env bash
# The browser tests drive Debian's Chromium: installed here when it is missing and this account may install it.
set -eu
command -v chromium >/dev/null 2>&1 && exit 0
if command -v apt-get >/dev/null 2>&1; then
    as_root=""
    [ "$(id -u)" = 0 ] || as_root="sudo -n"
    $as_root apt-get update -qq && $as_root apt-get install -y -qq --no-install-recommends chromium >/dev/null && exit 0
fi
echo "No Chromium here and it could not be installed: the browser tests will say that they did not run. On Debian: apt-get install chromium" >&2
