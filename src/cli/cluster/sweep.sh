#!/bin/bash
# A sweep as a job array of Slurm: every task computes its part of the rows into the same folder (on storage that all nodes
# share). Sent from the project's folder, after any command has run there once (packages, engine):
#
#   sbatch --array=1-100 src/cli/cluster/sweep.sh plan.json DIR
#   sbatch --array=7 src/cli/cluster/sweep.sh plan.json DIR      task 7 once more, should it have been lost
#   npm run -s sweep -- --collect DIR                            when all are done
#
# The folder remembers how many parts there are. Other options of sbatch (partition, account, time) go before the script.
# With RIMTIDE=FOLDER it may be sent from anywhere; `node` must be 20.19 or newer.
#SBATCH --job-name=rimtide-sweep
#SBATCH --cpus-per-task=1
#SBATCH --output=rimtide-sweep-%A_%a.log
#SBATCH --open-mode=append

if [ $# -ne 2 ]; then
  echo "Which lives, and where to? Write: sbatch --array=1-N src/cli/cluster/sweep.sh PLAN.json DIR" >&2
  exit 2
fi
# In the place of this shell, so that a stop reaches the program itself.
exec node "${RIMTIDE:-$SLURM_SUBMIT_DIR}/src/cli/launch.mjs" sweep "$1" --out "$2" --workers "${SLURM_CPUS_PER_TASK:-1}"
