#!/usr/bin/env bash
# Runs published one-dimensional instances through package cutting and through two
# open-source integer programming solvers from Debian (CBC and GLPK, arc-flow model),
# one after the other on one core, and prints each time, the medians and the ratios.
# usage: compare.sh [SECONDS] [INSTANCE ...]   (instances of cutting/testdata/csp)
set -euo pipefail
cd "$(dirname "$0")/../.."
limit=${1:-20}
shift || true
if [ $# -gt 0 ]; then
  names=("$@")
else
  names=(Falkenauer_u250_12 Falkenauer_u1000_09 Falkenauer_t60_01 Falkenauer_t60_19 Falkenauer_t120_05
    N1W3B1R1 N2C2W1_H N4C3W4_O N2W4B2R5 Schwerin1_BPP17 Schwerin2_BPP4 Waescher_TEST0022 Hard28_BPP14 Hard28_BPP766)
fi
need=()
command -v cbc >/dev/null 2>&1 || need+=(coinor-cbc)
command -v glpsol >/dev/null 2>&1 || need+=(glpk-utils)
if [ ${#need[@]} -gt 0 ]; then
  root=""
  [ "$(id -u)" = 0 ] || root=sudo
  $root apt-get update -qq
  DEBIAN_FRONTEND=noninteractive $root apt-get install -y -qq "${need[@]}" >/dev/null
fi
since() { awk -v a="$1" -v b="$(date +%s.%N)" 'BEGIN { print b - a }'; }
dir=$(mktemp -d)
trap 'rm -rf "$dir"' EXIT
go build -o "$dir/cutting" ./bench/cutting
printf '%-24s %22s %22s %22s\n' instance "cutting (s)" "CBC (s)" "GLPK (s)"
for name in "${names[@]}"; do
  file=cutting/testdata/csp/$name.txt
  read -r cost state own < <("$dir/cutting" -in "$file" -limit "${limit}s")
  "$dir/cutting" -in "$file" -lp "$dir/model.lp"
  start=$(date +%s.%N)
  timeout "$((limit + 20))" cbc "$dir/model.lp" sec "$limit" solve solu "$dir/cbc.sol" >"$dir/cbc.log" 2>&1 || true
  cbc=$(since "$start")
  if head -1 "$dir/cbc.sol" 2>/dev/null | grep -q '^Optimal'; then
    cbcstate=$(head -1 "$dir/cbc.sol" | sed 's/.*value *//; s/\..*//; s/ //g')
  else
    cbcstate=open
  fi
  rm -f "$dir/cbc.sol"
  start=$(date +%s.%N)
  timeout "$((limit + 20))" glpsol --lp "$dir/model.lp" --tmlim "$limit" -w "$dir/glpk.sol" >"$dir/glpk.log" 2>&1 || true
  glpk=$(since "$start")
  glpkstate=open
  if grep -q 'INTEGER OPTIMAL SOLUTION FOUND' "$dir/glpk.log"; then
    glpkstate=$(awk '$1 == "s" { print $6 }' "$dir/glpk.sol")
  fi
  printf '%-24s %10s %11.3f %10s %11.3f %10s %11.3f\n' "$name" "$cost/$state" "$own" "$cbcstate" "$cbc" "$glpkstate" "$glpk"
  echo "$own $cbc $glpk" >>"$dir/times"
done
awk '
  function median(a, n,   i, j, t) {
    for (i = 2; i <= n; i++) { t = a[i]; for (j = i - 1; j > 0 && a[j] > t; j--) a[j + 1] = a[j]; a[j + 1] = t }
    return n % 2 ? a[(n + 1) / 2] : (a[n / 2] + a[n / 2 + 1]) / 2
  }
  { own[NR] = $1; cbc[NR] = $2; glpk[NR] = $3; rc[NR] = $2 / $1; rg[NR] = $3 / $1 }
  END {
    printf "median time        cutting %.4f s, CBC %.3f s, GLPK %.3f s (an open run counts its limit)\n", median(own, NR), median(cbc, NR), median(glpk, NR)
    printf "median of ratios   CBC / cutting %.0f, GLPK / cutting %.0f, over %d instances\n", median(rc, NR), median(rg, NR), NR
  }' "$dir/times"
