package main

import (
	"errors"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"example.com/stanchion/barrier/report"
)

func schemaCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "schema SCHEMA",
		Short: "print the JSON Schema of a result or of a definition",
		Long: `schema prints a JSON Schema, draft 2020-12:

  result    of the JSON that stanchion check --format json writes: every field,
            what it means and its unit
  barrier   of the definition: every table and key, the units of each quantity
            and the words that a key takes

An editor that knows schemas for TOML completes a definition by the second and
marks a misspelt key or a unit of something else as it is typed. What it lets
through may still be refused by stanchion check, which knows what belongs
together.

` + exitCodes,
		Example: `  stanchion schema result     # exit 0
  stanchion schema barrier    # exit 0`,
		Args: func(_ *cobra.Command, args []string) error {
			names := report.SchemaNames()
			switch {
			case len(args) == 0:
				return errors.New("schema of what: " + orOf(names) + "?")
			case len(args) > 1:
				return fmt.Errorf("schema takes one name, got %d", len(args))
			case !slices.Contains(names, args[0]):
				return fmt.Errorf("no schema is called %q: write %s", args[0], orOf(names))
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := report.Schema(cmd.OutOrStdout(), args[0]); err != nil {
				return wrong(fmt.Errorf("writing the schema: %w", err))
			}
			return nil
		},
		ValidArgsFunction: func(_ *cobra.Command, args []string, typed string) ([]cobra.Completion, cobra.ShellCompDirective) {
			if len(args) > 0 {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return beginning(typed, choices(report.SchemaNames())), cobra.ShellCompDirectiveNoFileComp
		},
	}
}
