#!/usr/bin/env bash
# Comparisons with what one would otherwise run. Installs the outside programs from Debian's packages, builds, and hands its arguments on:
#   compare.sh compare [JOB] --folder DIR [--seconds S] [--evaluations N] [--seeds N] [--only NAME,…] [--on job,layout] [--values ideal,real]
#                      [--layout N] [--run no]                  optimisers; tables in Markdown; goes on where it was broken off
#   compare.sh circuit [JOB]                                    ngspice and NumPy on the same network, evaluations a second
#   compare.sh threads [JOB] [--evaluations N] [--rounds N]     two threads against one, and whether 1, 2 and 8 find the same
# Leave the machine alone meanwhile: everything here is measured in time.
set -euo pipefail
cd "$(dirname "$0")/../.."
export DOTNET_NOLOGO=1 DOTNET_CLI_TELEMETRY_OPTOUT=1

missing() { ! /usr/bin/python3 -c 'import cmaes, nlopt, numpy, scipy' 2>/dev/null || ! command -v ngspice >/dev/null 2>&1; }
if missing; then
  {
    apt-get update -q
    DEBIAN_FRONTEND=noninteractive apt-get install -y -q --no-install-recommends \
      python3 python3-numpy python3-scipy python3-nlopt python3-cmaes ngspice
  } >&2
fi

{
  dotnet build -c Release -v quiet src/XoverOpt.Worker
  dotnet build -c Release -v quiet tests/XoverOpt.Benchmarks
} >&2
exec dotnet tests/XoverOpt.Benchmarks/bin/Release/net10.0/XoverOpt.Benchmarks.dll "$@"
