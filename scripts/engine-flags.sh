#!/usr/bin/env bash
# Prints how the engine for browsers is compiled: functions are inlined only where that pays. Everywhere else the copies cost a
# tenth of what a page loads, and win nothing that can be measured. What is computed is the same.
set -euo pipefail
often=(
  # the machinery under all of it
  runtime internal/runtime/... internal/bytealg internal/abi sync sync/atomic
  math math/bits cmp slices sort container/heap strings strconv internal/strconv bytes unicode/utf8
  # what is asked a million times in a plan
  gelwright/settingout gelwright/cutting gelwright/cutting/lp gelwright/plane gelwright/mixing
  gelwright/cure gelwright/conduction gelwright/elementary gelwright/ode
  github.com/peterstace/simplefeatures/rtree github.com/peterstace/simplefeatures/geom
)
printf '%s' -gcflags=all=-l
printf ' %s=' "${often[@]/#/-gcflags=}"
echo
