package main

import (
	"fmt"
	"io"
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"
)

func versionCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "print the version of the program and of Go",
		Long: `version prints the version that the program was built from, its commit where the
build recorded one, and the Go that built it, to be quoted with a report.

` + exitCodes,
		Example: `  stanchion version   # exit 0`,
		Args:    cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			info, _ := debug.ReadBuildInfo()
			if err := printVersion(cmd.OutOrStdout(), info); err != nil {
				return wrong(err)
			}
			return nil
		},
	}
}

// printVersion prints what the build recorded; info is nil when it recorded
// nothing.
func printVersion(w io.Writer, info *debug.BuildInfo) error {
	_, err := fmt.Fprintf(w, "stanchion %s\n%s%s %s/%s\n", version(info), commit(info), runtime.Version(), runtime.GOOS, runtime.GOARCH)
	return err
}

// version is the tag that the program was built from, or what Go writes for a commit without one.
func version(info *debug.BuildInfo) string {
	if info == nil || info.Main.Version == "" {
		return "(unknown)"
	}
	return info.Main.Version
}

// commit is a line on the commit that the program was built from, empty where the build recorded none.
func commit(info *debug.BuildInfo) string {
	revision := setting(info, "vcs.revision")
	if revision == "" {
		return ""
	}
	line := fmt.Sprintf("commit %s of %s", revision, setting(info, "vcs.time"))
	if setting(info, "vcs.modified") == "true" {
		line += ", files changed since"
	}
	return line + "\n"
}

// setting is what the build recorded under a key, empty for nothing.
func setting(info *debug.BuildInfo, key string) string {
	if info == nil {
		return ""
	}
	for _, s := range info.Settings {
		if s.Key == key {
			return s.Value
		}
	}
	return ""
}
