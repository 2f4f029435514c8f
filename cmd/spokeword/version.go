package main

import (
	"fmt"
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"
)

// release is set by -ldflags "-X main.release=…" where a release is built.
var release string

// version declares the command that tells what this is.
func (p *program) version() *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Tell the version",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			info, _ := debug.ReadBuildInfo()
			return p.print("spokeword %s, %s, %s/%s\n", versionOf(release, info), runtime.Version(), runtime.GOOS, runtime.GOARCH)
		},
	}
}

// versionOf returns the release, else the module's version, else the commit
// this was built from, else that none of these is known.
func versionOf(release string, info *debug.BuildInfo) string {
	if release != "" {
		return release
	}
	if info == nil {
		return "development"
	}
	if v := info.Main.Version; v != "" && v != "(devel)" {
		return v
	}
	commit, changed := "", ""
	for _, s := range info.Settings {
		switch {
		case s.Key == "vcs.revision":
			commit = s.Value
		case s.Key == "vcs.modified" && s.Value == "true":
			changed = " with changes"
		}
	}
	if commit == "" {
		return "development"
	}
	return "development " + commit[:min(12, len(commit))] + changed
}

// print writes to standard output.
func (p *program) print(format string, values ...any) error {
	if _, err := fmt.Fprintf(p.out, format, values...); err != nil {
		return fault{fmt.Errorf("write: %w", err)}
	}
	return nil
}
