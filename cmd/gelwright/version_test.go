package main

import (
	"runtime/debug"
	"strings"
	"testing"
)

func TestVersionNamesItsCommitOrSaysThatItIsUnknown(t *testing.T) {
	of := func(settings ...debug.BuildSetting) string {
		return builtFrom(&debug.BuildInfo{Settings: settings}, true)
	}
	for _, c := range []struct{ name, got, want string }{
		{"no build information", builtFrom(nil, false), "unknown commit"},
		{"built outside a repository", of(), "unknown commit"},
		{"a clean tree", of(debug.BuildSetting{Key: "vcs.revision", Value: "abc123"}, debug.BuildSetting{Key: "vcs.time", Value: "2026-11-29T07:00:00Z"},
			debug.BuildSetting{Key: "vcs.modified", Value: "false"}), "commit abc123 of 2026-11-29"},
		{"a changed tree", of(debug.BuildSetting{Key: "vcs.revision", Value: "abc123"}, debug.BuildSetting{Key: "vcs.modified", Value: "true"}),
			"commit abc123, changed since"},
	} {
		if c.got != c.want {
			t.Errorf("%s: %q, want %q", c.name, c.got, c.want)
		}
	}
	code, out, _ := call(t, "", "--version")
	if code != exitDone || !strings.HasPrefix(out, "gelwright ") || !strings.Contains(out, "commit") {
		t.Errorf("%d, %q", code, out)
	}
}
