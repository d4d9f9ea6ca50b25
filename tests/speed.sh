#!/usr/bin/env bash
# SPDX-License-Identifier: MIT
# Measures the whole command against common tools and prints a Markdown table for DEVELOPERS.md:
#
#     tests/speed.sh [--pairs N] [--megabytes N] [--big] [--skip-build]
#
# Every figure is a median over N pairs (default 7) that are run in turn, A B A B ..., on files in the page cache, after one
# warm-up of each: a shared machine drifts, so a ratio of neighbours says more than seconds. "pinned" rows run on one core, the
# others wherever the system puts them. Ratios are of wall time; the remark adds those of processor time (user and system), which
# a busy machine disturbs less. --big adds a file of ten times the size. --megabytes (default 100) shrinks all files, for trying the script. The files stay in artifacts/speed (ignored by git).
# FUMECAST_NATIVE and FUMECAST_JIT name programs to run instead of our own two builds.
# Needs the .NET SDK, mawk, gzip, taskset, GNU time and bash 5.
set -euo pipefail
export LC_ALL=C
cd "$(dirname "$0")/.."

pairs=7 megabytes=100 big=no build=yes
while (($#)); do
    case $1 in
        --pairs) pairs=$2; shift 2 ;;
        --megabytes) megabytes=$2; shift 2 ;;
        --big) big=yes; shift ;;
        --skip-build) build=no; shift ;;
        *) sed -n '3,15s/^# \{0,1\}//p' "$0" >&2; exit 2 ;;
    esac
done
[[ $pairs =~ ^[1-9][0-9]*$ && $megabytes =~ ^[1-9][0-9]*$ ]] || { echo "speed.sh: --pairs and --megabytes take whole numbers over 0" >&2; exit 2; }
for tool in mawk gzip taskset /usr/bin/time dotnet; do
    command -v "$tool" >/dev/null || { echo "speed.sh: $tool is missing" >&2; exit 2; }
done

work=artifacts/speed
mkdir -p "$work"
say() { echo "speed.sh: $*" >&2; }

# --- the programs -----------------------------------------------------------------------------------------------------------

samples=tests/Fumecast.Samples/bin/Release/net10.0/Fumecast.Samples
native=${FUMECAST_NATIVE:-$work/native/fumecast}
jit=${FUMECAST_JIT:-$work/jit.sh}
if [[ $build == yes ]]; then
    say "building"
    {
        dotnet build tests/Fumecast.Samples -c Release -v q -nologo
        if [[ -z ${FUMECAST_JIT:-} ]]; then
            dotnet build src/Fumecast.Cli -c Release -v q -nologo
            printf '#!/bin/sh\nexec dotnet src/Fumecast.Cli/bin/Release/net10.0/fumecast.dll "$@"\n' > "$work/jit.sh"
            chmod +x "$work/jit.sh"
        fi
        if [[ -z ${FUMECAST_NATIVE:-} ]]; then
            dotnet publish src/Fumecast.Cli -c Release -r linux-x64 -v q -nologo -o "$work/native"
        fi
    } >&2
fi

# The core of the pinned rows, and what goes before a command to keep it there; empty when it may run anywhere.
cores=$(taskset -pc $$ | sed 's/.*: //' | awk '{n = split($0, part, ","); for (i = 1; i <= n; i++) {m = split(part[i], e, "-"); for (c = e[1]; c <= e[m]; c++) print c}}' | head -2)
one=$(head -1 <<< "$cores")
pin=()

estimate() { "${pin[@]}" "$1" estimate "$2" --format json --quiet; }
estimate_pinned() { taskset -c "$one" "$1" estimate "$2" --format json --quiet; }
sum_e() { "${pin[@]}" mawk '{for (i = 2; i <= NF; i++) if (substr($i, 1, 1) == "E") s += substr($i, 2)} END {print s}' "$1"; }

# --- the files --------------------------------------------------------------------------------------------------------------

make() { # size kind: name of the file, made unless it is there and newer than its generator
    local file=$work/$2-$1.gcode
    if [[ ! -s $file || $samples -nt $file ]]; then
        say "making $file"
        "$samples" big --megabytes "$1" --kind "$2" --out "$file"
    fi
    echo "$file"
}

common=$(make "$megabytes" perimeters)
small=$(make "$(( (megabytes + 99) / 100 ))" perimeters)
if [[ ! -s $common.gz || $common -nt $common.gz ]]; then
    say "packing $common.gz"
    gzip -kf "$common"
fi
many=$work/many
mkdir -p "$many"
for ((i = 1; i <= 200; i++)); do
    [[ -s $many/$i.gcode && ! $small -nt $many/$i.gcode ]] || cp "$small" "$many/$i.gcode"
done

# --- measuring --------------------------------------------------------------------------------------------------------------

measure() { # command: wall and processor time in seconds; its output is dropped, its failure ends the script
    local TIMEFORMAT='%3U %3S' start end status=0 user system
    {
        start=$EPOCHREALTIME
        time "$@" > /dev/null 2> "$work/stderr" || status=$?
        end=$EPOCHREALTIME
    } 2> "$work/times"
    ((status == 0)) || { say "failed ($status): $*"; cat "$work/stderr" >&2; exit 1; }
    read -r user system < "$work/times"
    awk -v start="$start" -v end="$end" -v user="$user" -v kernel="$system" 'BEGIN {printf "%.6f %.3f\n", end - start, user + kernel}'
}

peak_kib() { # command: peak memory
    /usr/bin/time -o "$work/peak" -f %M "$@" > /dev/null
    cat "$work/peak"
}

# a_and_b COMMAND... -- COMMAND...: runs both in turn; "median of ratios, smallest, largest, median seconds of A, of B" of wall
# time, then "median of ratios, median seconds of A, of B" of processor time
a_and_b() {
    local a=() b=() i
    while [[ $1 != -- ]]; do a+=("$1"); shift; done
    shift
    b=("$@")
    measure "${a[@]}" > /dev/null
    measure "${b[@]}" > /dev/null
    for ((i = 0; i < pairs; i++)); do
        echo "$(measure "${a[@]}") $(measure "${b[@]}")"
    done | awk '
        function median(v, n,    i, j, t) {
            for (i = 2; i <= n; i++) for (j = i; j > 1 && v[j] < v[j-1]; j--) { t = v[j]; v[j] = v[j-1]; v[j-1] = t }
            return n % 2 ? v[(n+1)/2] : (v[n/2] + v[n/2+1]) / 2
        }
        NF == 4 { n++; r[n] = $1 / $3; a[n] = $1; b[n] = $3; p[n] = $4 > 0 ? $2 / $4 : 0; c[n] = $2; d[n] = $4 }
        END {
            if (!n) exit 1
            m = median(r, n)
            printf "%.6g %.6g %.6g %.6g %.6g %.6g %.6g %.6g\n", m, r[1], r[n], median(a, n), median(b, n), median(p, n), median(c, n), median(d, n)
        }'
}

# row TEXT MUST AIM VALUE REMARK [up]: a line of the table; smaller is better unless "up"
row() {
    awk -v text="$1" -v must="$2" -v aim="$3" -v value="$4" -v remark="$5" -v up="${6:-}" 'BEGIN {
        good = up ? value >= aim : value <= aim; fair = up ? value >= must : value <= must
        sign = up ? "≥" : "≤"
        printf "| %s | %s %s | %s %s | %.3g | %s | %s |\n", text, sign, must, sign, aim, value, good ? "aim" : fair ? "must" : "**missed**", remark }'
}

ratio_row() { # TEXT MUST AIM [up] COMMAND... -- COMMAND...
    local text=$1 must=$2 aim=$3 up='' numbers ratio low high a b processor c d
    shift 3
    if [[ $1 == up ]]; then up=up; shift; fi
    numbers=$(a_and_b "$@")
    read -r ratio low high a b processor c d <<< "$numbers"
    row "$text" "$must" "$aim" "$ratio" "$(awk -v l="$low" -v h="$high" -v a="$a" -v b="$b" -v p="$processor" -v c="$c" -v d="$d" 'BEGIN {
        printf "%.2f-%.2f; %.3f s against %.3f s; processor %.2f: %.3f s against %.3f s", l, h, a, b, p, c, d }')" "$up"
}

processor_row() { # TEXT MUST AIM COMMAND... -- COMMAND...: the same pairs, judged by wall time in one row and by processor time in another
    local text=$1 must=$2 aim=$3 numbers ratio low high a b processor c d
    shift 3
    numbers=$(a_and_b "$@")
    read -r ratio low high a b processor c d <<< "$numbers"
    row "$text, wall time" "$must" "$aim" "$ratio" "$(awk -v l="$low" -v h="$high" -v a="$a" -v b="$b" 'BEGIN {printf "%.2f-%.2f; %.3f s against %.3f s", l, h, a, b}')"
    row "$text, processor time" "$must" "$aim" "$processor" "$(awk -v c="$c" -v d="$d" 'BEGIN {printf "%.3f s against %.3f s", c, d}')"
}

say "comparing the output of both builds"
estimate "$native" "$small" > "$work/native.json"
estimate "$jit" "$small" > "$work/jit.json"
cmp "$work/native.json" "$work/jit.json" || { say "the two builds do not agree"; exit 1; }

echo "Processor: $(sed -n 's/^model name[^:]*: //p' /proc/cpuinfo | head -1), $(nproc) cores. Date: $(date -u +%F). .NET SDK $(dotnet --version), commit $(git rev-parse --short HEAD)."
echo "Medians of $pairs alternating pairs; file of $megabytes MB; range of the single ratios and median seconds as remark."
echo
echo "| what | must | aim | measured | meets | remark |"
echo "| --- | --- | --- | --- | --- | --- |"

against_mawk() { # suffix of the texts: the rows against mawk, on the cores that $pin allows
    say "native and JIT against mawk$1"
    ratio_row "\`estimate\` $megabytes MB, native, against mawk summing E$1" 0.28 0.20 estimate "$native" "$common" -- sum_e "$common"
    ratio_row "same, \`dotnet\` JIT$1" 0.55 0.35 estimate "$jit" "$common" -- sum_e "$common"
    local kind file
    for kind in tiny absolute-crlf comments; do
        say "$kind$1"
        file=$(make "$megabytes" "$kind")
        ratio_row "$kind, native, against mawk on that file$1" 0.26 0.20 estimate "$native" "$file" -- sum_e "$file"
    done
    say "arcs$1"
    file=$(make "$megabytes" arcs)
    ratio_row "arcs, native, against mawk on that file$1" 0.60 0.40 estimate "$native" "$file" -- sum_e "$file"
}

pin=(taskset -c "$one")
against_mawk ", pinned"
pin=()
against_mawk ""
say "not pinned against pinned"
for kind in perimeters arcs; do
    file=$(make "$megabytes" "$kind")
    processor_row "$kind, native, not pinned against pinned" 1.05 1.0 estimate "$native" "$file" -- estimate_pinned "$native" "$file"
done
say "wc"
ratio_row "native against \`wc -w\`" 1.5 0.9 estimate "$native" "$common" -- wc -w "$common"
say "gzip"
ratio_row "\`.gz\` input, native, two cores, against \`gzip -dc\`" 1.1 0.8 estimate "$native" "$common.gz" -- gzip -dc "$common.gz"

say "memory"
native_kib=$(peak_kib "$native" estimate "$common" --format json --quiet)
jit_kib=$(peak_kib "$jit" estimate "$common" --format json --quiet)
mib() { awk -v k="$1" 'BEGIN {printf "%.1f", k / 1024}'; }
row "peak memory native, $megabytes MB [MiB]" 25 20 "$(mib "$native_kib")" ""
row "peak memory JIT, $megabytes MB [MiB]" 80 50 "$(mib "$jit_kib")" ""

if [[ $big == yes ]]; then
    say "ten times the size"
    huge=$(make "$((megabytes * 10))" perimeters)
    huge_kib=$(peak_kib "$native" estimate "$huge" --format json --quiet)
    row "peak memory $((megabytes * 10)) MB over $megabytes MB, native" 1.2 1.05 "$(awk -v a="$huge_kib" -v b="$native_kib" 'BEGIN {print a / b}')" "$(mib "$huge_kib") MiB"
    numbers=$(a_and_b estimate "$native" "$huge" -- estimate "$native" "$common")
    read -r ratio _ _ a b _ <<< "$numbers"
    sizes=$(awk -v a="$(stat -c %s "$huge")" -v b="$(stat -c %s "$common")" 'BEGIN {print a / b}')
    row "time $((megabytes * 10)) MB over 10 × time $megabytes MB, native" 1.1 1.0 "$(awk -v r="$ratio" -v s="$sizes" 'BEGIN {print r / s}')" \
        "$(awk -v a="$a" -v b="$b" 'BEGIN {printf "%.3f s against %.3f s", a, b}')"
fi

say "start-up"
numbers=$(a_and_b estimate "$native" "$small" -- estimate "$jit" "$small")
read -r _ _ _ a b _ <<< "$numbers"
row "1 MB file, whole process, native [ms]" 30 15 "$(awk -v t="$a" 'BEGIN {print 1000 * t}')" ""
row "1 MB file, whole process, JIT [ms]" 300 200 "$(awk -v t="$b" 'BEGIN {print 1000 * t}')" ""

say "many files"
if ! "$native" estimate "$many/1.gcode" "$many/2.gcode" --format csv --quiet > /dev/null 2>&1; then
    say "this build takes one job at a time: the rate over two cores is left out"
elif [[ $(wc -l <<< "$cores") -eq 2 ]]; then
    two=${cores//$'\n'/,}
    on() { taskset -c "$1" "$2" estimate "$many"/*.gcode --format csv --quiet; }
    ratio_row "200 files of 1 MB: one core over two, native" 1.6 1.8 up on "$one" "$native" -- on "$two" "$native"
else
    say "only one core: the rate over two cores is left out"
fi
