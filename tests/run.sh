#!/usr/bin/env bash
# Installs what the tests need (ngspice, PostgreSQL and Chromium, from Debian's packages) and runs them all. Closes with "N passed, N failed" alone on a line.
set -uo pipefail
cd "$(dirname "$0")/.."
export DOTNET_NOLOGO=1 DOTNET_CLI_TELEMETRY_OPTOUT=1

if ! command -v ngspice >/dev/null 2>&1; then
  apt-get update -q && DEBIAN_FRONTEND=noninteractive apt-get install -y -q --no-install-recommends ngspice || exit 2
fi

# The tests start a server of their own from its programs; the package's own server is neither made nor started.
if ! compgen -G '/usr/lib/postgresql/*/bin/initdb' >/dev/null; then
  mkdir -p /etc/postgresql-common
  [ -e /etc/postgresql-common/createcluster.conf ] || echo 'create_main_cluster = false' >/etc/postgresql-common/createcluster.conf
  apt-get update -q && DEBIAN_FRONTEND=noninteractive apt-get install -y -q --no-install-recommends postgresql || exit 2
fi

# The pages are looked at in a real browser.
if ! command -v chromium >/dev/null 2>&1; then
  apt-get update -q && DEBIAN_FRONTEND=noninteractive apt-get install -y -q --no-install-recommends chromium fonts-dejavu-core || exit 2
fi

dotnet restore XoverOpt.sln --locked-mode || exit 2
dotnet build XoverOpt.sln -c Release --no-restore -v minimal || exit 2
dotnet format XoverOpt.sln --no-restore --verify-no-changes || exit 2

log=$(mktemp)
trap 'rm -f "$log"' EXIT
dotnet test --solution XoverOpt.sln -c Release --no-build --max-parallel-test-modules 1 2>&1 | tee "$log"
code=${PIPESTATUS[0]}

count() { sed -n "s/^ *$1: *\([0-9][0-9]*\) *$/\1/p" "$log" | tail -n 1; }
passed=$(count succeeded) failed=$(count failed) skipped=$(count skipped)
passed=${passed:-0} failed=${failed:-0} skipped=${skipped:-0}
if [ "$passed" -eq 0 ]; then
  echo "No test passed."
  code=8
fi
if [ "$skipped" -ne 0 ]; then
  echo "$skipped tests were skipped; none may be."
  [ "$code" -ne 0 ] || code=3
fi
# A run that broke without a failing test (a crashed module, say) still counts as a failure.
if [ "$code" -ne 0 ] && [ "$failed" -eq 0 ]; then failed=1; fi
echo "$passed passed, $failed failed"
exit "$code"
