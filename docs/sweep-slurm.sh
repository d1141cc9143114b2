#!/usr/bin/env bash
#SBATCH --job-name=sweep
#SBATCH --cpus-per-task=4
#SBATCH --time=01:00:00
# One piece of a sweep as a task of a job array.
# Use: sbatch --array=1-16 sweep-slurm.sh STAND FOLDER [arguments of pressfed sweep]
set -euo pipefail
stand=$1 folder=$2
shift 2
export RAYON_NUM_THREADS=${SLURM_CPUS_PER_TASK:-1}
"${PRESSFED:-pressfed}" sweep "$stand" "$@" -o "$folder" \
    --shard "$SLURM_ARRAY_TASK_ID/$SLURM_ARRAY_TASK_COUNT"
