#!/bin/sh
# SPDX-License-Identifier: MIT
# Turns the grammar files into the C# that is committed beside them: grammars/generate.sh [output folder]
# Needs Node and npm; the version of the tool is pinned by package-lock.json. The build itself needs neither.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
out=${1:-$here/../src/Fumecast.Core/GCode/Generated}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

cd "$here"
[ -d node_modules/antlr-ng ] || npm ci --no-audit --no-fund --ignore-scripts
# The tool exits with 0 on a broken grammar, so its words decide.
node node_modules/antlr-ng/dist/cli/runner.js -D language=CSharp -p Fumecast.GCode.Generated -l false -v false \
    -o "$work" GCodeLexer.g4 GCodeParser.g4 >"$work/log" 2>&1 || { cat "$work/log" >&2; exit 1; }
if [ -s "$work/log" ]; then
    cat "$work/log" >&2
    exit 1
fi

mkdir -p "$out"
for name in GCodeLexer GCodeParser; do
    # The classes stay inside the library; without public types the CLS marks only make warnings.
    sed -e 's/\r$//' -e 's/[ \t]*$//' -e '/^\[System.CLSCompliant(false)\]$/d' -e 's/^public partial class/internal partial class/' \
        -e '/^\[System.Diagnostics.DebuggerNonUserCode\]$/d' \
        "$work/$name.cs" >"$out/$name.cs"
done
