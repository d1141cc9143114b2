#!/usr/bin/env bash
# A sweep in pieces under GNU parallel, put together at the end.
# Use: sweep-parallel.sh PIECES STAND FOLDER [arguments of pressfed sweep]
set -euo pipefail
pieces=$1 stand=$2 folder=$3
shift 3
# One thread a piece: parallel starts one piece a core.
export RAYON_NUM_THREADS=1
seq "$pieces" | parallel --quote "${PRESSFED:-pressfed}" sweep "$stand" "$@" -o "$folder" --shard "{}/$pieces"
"${PRESSFED:-pressfed}" gather "$stand" "$folder"
