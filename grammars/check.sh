#!/bin/sh
# SPDX-License-Identifier: MIT
# Fails when the committed parser is not what the grammar files give. Says so and passes where Node is missing.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
if ! command -v node >/dev/null 2>&1 || ! command -v npm >/dev/null 2>&1; then
    echo "grammars/check.sh: skipped, Node and npm are not here"
    exit 0
fi
fresh=$(mktemp -d)
trap 'rm -rf "$fresh"' EXIT
"$here/generate.sh" "$fresh"
if diff -r "$here/../src/Fumecast.Core/GCode/Generated" "$fresh"; then
    echo "grammars/check.sh: the committed parser is current"
else
    echo "grammars/check.sh: the committed parser is stale; run grammars/generate.sh and commit the result" >&2
    exit 1
fi
