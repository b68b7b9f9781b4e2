#!/usr/bin/env bash
# Runs the reference cures with the project's integrator, SciPy and SUNDIALS at the same
# tolerances and prints medians, errors and the ratio of times. Installs python3-scipy,
# libsundials-dev and gcc from Debian when they are missing, and says so.
set -euo pipefail
cd "$(dirname "$0")"
need=()
/usr/bin/python3 -c 'import scipy' >/dev/null 2>&1 || need+=(python3-scipy)
[ -e /usr/include/cvode/cvode.h ] || need+=(libsundials-dev)
command -v gcc >/dev/null 2>&1 || need+=(gcc libc6-dev)
if [ ${#need[@]} -gt 0 ]; then
  echo "installing ${need[*]}"
  root=""
  [ "$(id -u)" = 0 ] || root=sudo
  $root apt-get update -qq
  DEBIAN_FRONTEND=noninteractive $root apt-get install -y -qq "${need[@]}" >/dev/null
fi
data=../../cure/testdata/reference
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
go build -o "$work/ode" .
gcc -O2 -o "$work/sundials" sundials/cvode_runs.c -lsundials_cvode -lsundials_nvecserial -lsundials_sunmatrixdense -lsundials_sunlinsoldense -lsundials_sunnonlinsolfixedpoint -lm
/usr/bin/python3 - "$data" >"$work/cases" <<'PY'
import json, sys
p = json.load(open(sys.argv[1] + "/parameters.json"))
r = json.load(open(sys.argv[1] + "/reference.json"))["results"]
k = p["kinetics"]
print(*(k[x] for x in ("A1_per_s", "E1_J_per_mol", "A2_per_s", "E2_J_per_mol", "m", "n", "H_J_per_kg", "cp_J_per_kgK", "rho_kg_per_m3")), p["alpha_gel"])
for c, w in zip(p["cases"], r):
    print(c["name"], c["S_over_V_per_m"], c["h_W_per_m2K"], c["Ta_K"], c["T0_K"], c["t_end_s"], w["t_gel_s"], w["T_peak_K"], w["t_peak_s"])
PY
"$work/ode" "$data/parameters.json" "$data/reference.json" >"$work/all"
"$work/sundials" <"$work/cases" >>"$work/all"
/usr/bin/python3 scipy_runs.py "$data/parameters.json" "$data/reference.json" >>"$work/all"
/usr/bin/python3 - "$work/all" <<'PY'
import collections, statistics, sys, scipy
rows = collections.defaultdict(list)
for line in open(sys.argv[1]):
    program, tol, case, us, err = line.split()
    rows[tol, program].append((float(us), float(err)))
print(f"11 cures, gel and peak located; SciPy {scipy.__version__}; time is the median over the cases of the median run")
print(f"{'tolerance':>9}  {'program':<15} {'µs a run':>9}  {'× gelwright':>11}  {'greatest error':>14}")
for (tol, program), v in rows.items():
    own = statistics.median(u for u, _ in rows[tol, "gelwright"])
    med = statistics.median(u for u, _ in v)
    print(f"{tol:>9}  {program:<15} {med:>9.1f}  {med / own:>11.2f}  {max(e for _, e in v):>14.1e}")
PY
