package main

import (
	"runtime/debug"
	"strings"
)

// version of the program; the changelog says what is in it.
const version = "unreleased"

// commit is set by a build that knows better than the toolchain: -ldflags "-X main.commit=…".
var commit string

// versionText is the version with the commit that the program was built from, and whether
// the tree held changes that were not committed.
func versionText() string {
	at := commit
	if at == "" {
		at = builtFrom(debug.ReadBuildInfo())
	}
	return version + " (" + at + ")"
}

// builtFrom is the commit that the toolchain has recorded.
func builtFrom(info *debug.BuildInfo, known bool) string {
	if !known {
		return "unknown commit"
	}
	set := map[string]string{}
	for _, s := range info.Settings {
		set[s.Key] = s.Value
	}
	revision := set["vcs.revision"]
	if revision == "" {
		return "unknown commit"
	}
	text := "commit " + revision
	if day, _, ok := strings.Cut(set["vcs.time"], "T"); ok {
		text += " of " + day
	}
	if set["vcs.modified"] == "true" {
		text += ", changed since"
	}
	return text
}
