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
		Long: `version prints the version that the program was built from and the Go that
built it, to be quoted with a report.

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
	version := "(unknown)"
	if info != nil && info.Main.Version != "" {
		version = info.Main.Version
	}
	_, err := fmt.Fprintf(w, "stanchion %s\n%s %s/%s\n", version, runtime.Version(), runtime.GOOS, runtime.GOARCH)
	return err
}
