#!/usr/bin/env bash
# Runs a command beside a Slurm of one node that is this machine, on loopback alone, and ends it again.
# Use: slurm.sh COMMAND [ARGUMENTS]; exits with 77 if Slurm does not start here, its logs then told.
set -euo pipefail
if ! { command -v slurmctld && command -v slurmd && command -v munged; } >/dev/null; then
    apt-get update -q && apt-get install -qy --no-install-recommends slurm-wlm munge
fi
home=$(mktemp -d)
chmod 755 "$home"
mkdir "$home/state" "$home/spool"
daemons=()
finish() {
    # In the reverse order of their start, each by its own id.
    for ((i = ${#daemons[@]} - 1; i >= 0; i--)); do
        kill "${daemons[i]}" 2>/dev/null || true
        wait "${daemons[i]}" 2>/dev/null || true
    done
    rm -rf "$home"
}
trap finish EXIT

head -c 1024 /dev/urandom >"$home/munge.key"
chmod 400 "$home/munge.key"
host=$(hostname -s)
cat >"$home/slurm.conf" <<CONF
ClusterName=alone
SlurmctldHost=$host(127.0.0.1)
SlurmctldPort=26817
SlurmdPort=26818
SlurmUser=$(id -un)
SlurmdUser=$(id -un)
AuthType=auth/munge
AuthInfo=socket=$home/munge.socket
CredType=cred/munge
StateSaveLocation=$home/state
SlurmdSpoolDir=$home/spool
SlurmctldPidFile=$home/slurmctld.pid
SlurmdPidFile=$home/slurmd.pid
# Without control groups, accounts and mail: only what a job array needs.
ProctrackType=proctrack/linuxproc
TaskPlugin=task/none
JobAcctGatherType=jobacct_gather/none
SelectType=select/cons_tres
SelectTypeParameters=CR_Core
MailProg=/bin/true
ReturnToService=2
NodeName=$host NodeAddr=127.0.0.1 CPUs=$(nproc) State=UNKNOWN
PartitionName=all Nodes=$host Default=YES MaxTime=INFINITE State=UP
CONF
export SLURM_CONF=$home/slurm.conf

start() { # NAME COMMAND...
    local name=$1
    shift
    "$@" >"$home/$name.log" 2>&1 &
    daemons+=($!)
}
start munged munged --foreground --force --num-threads=2 --key-file="$home/munge.key" \
    --socket="$home/munge.socket" --pid-file="$home/munged.pid" --log-file="$home/munged-file.log" \
    --seed-file="$home/munge.seed"
for _ in $(seq 50); do [ -S "$home/munge.socket" ] && break; sleep 0.1; done
start slurmctld slurmctld -D -c
start slurmd slurmd -D
for _ in $(seq 60); do
    if [ "$(sinfo --noheader --format=%T 2>/dev/null)" = idle ]; then
        "$@"
        exit
    fi
    sleep 0.5
done
tail -n 20 "$home"/*.log >&2
exit 77
