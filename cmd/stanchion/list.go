package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"example.com/stanchion/barrier/report"
	"example.com/stanchion/internal/quantity"
)

func listCommand() *cobra.Command {
	list := &cobra.Command{
		Use:   "list COMMAND",
		Short: "list tubes, grades, schedules, coatings, corrosivity or checks",
		Long: `list prints the tables that the program carries: tubes, grades, schedules
(the loads of the codes), coatings (of zinc), corrosivity (what the air takes in
a year) and checks (the ids of the report). Every row of all but the last has
its source and how it is known: public (a public page was read), memory (known,
not looked up), derived (worked out from stated sources) or common-practice.

` + exitCodes,
		Example: `  stanchion list tubes --match "10219 48.3"     # exit 0
  stanchion list schedules --format json        # exit 0`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return errors.New("list what: tubes, grades, schedules, coatings, corrosivity or checks?")
			}
			return unknownCommand(cmd, args[0])
		},
		RunE:                       refused,
		DisableFlagsInUseLine:      true,
		SuggestionsMinimumDistance: 2,
	}
	for _, l := range []listing{
		{name: "tubes", short: "tubes that a definition can name, with their properties",
			example: `  stanchion list tubes --match "10255 dn40"   # exit 0
  stanchion list tubes --units US             # exit 0`,
			collect: tubes, names: tubeNames},
		{name: "grades", short: "grades that a definition can name, with their strengths",
			example: `  stanchion list grades --match S235          # exit 0`, collect: grades, names: gradeNames},
		{name: "schedules", short: "load schedules of the codes, by occupancy",
			example: `  stanchion list schedules --match "UK v"     # exit 0`, collect: schedules, names: scheduleNames},
		{name: "coatings", short: "coatings of zinc that a definition can name",
			example: `  stanchion list coatings --match 10240       # exit 0`, collect: coatings, names: coatingNames, plain: true},
		{name: "corrosivity", short: "categories of ISO 9223, with what air takes",
			example: `  stanchion list corrosivity                  # exit 0`, collect: corrosivity, names: corrosivityNames, plain: true},
		{name: "checks", short: "ids of the checks that a report can have",
			example: `  stanchion list checks --match post          # exit 0`, collect: checks, names: checkNames, plain: true},
	} {
		list.AddCommand(l.command())
	}
	return list
}

// catalogue is one table to list: the rows that hold all the words, and how the
// text shows them.
type catalogue struct {
	rows  any // a slice of rows with json tags
	sheet *sheet
}

// listing is the command for one catalogue.
type listing struct {
	name, short, example string
	collect              func(words []string, system quantity.System) catalogue
	names                func() []choice // that --match completes
	plain                bool            // has no quantities
}

func (l listing) command() *cobra.Command {
	var format, match, units string
	long := "list " + l.name + " prints the " + l.short + ".\n"
	if !l.plain {
		long += "The text holds 80 columns and has what a choice turns on; JSON has all there is\nof a row, in metric units.\n"
	}
	cmd := &cobra.Command{
		Use:     l.name,
		Short:   l.short,
		Long:    long + "\n" + exitCodes,
		Example: l.example,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 0 {
				return fmt.Errorf("list %s takes no further word, got %q: to search write --match %q", l.name, args[0], strings.Join(args, " "))
			}
			return knownFormat(format)
		},
		RunE: func(cmd *cobra.Command, _ []string) error {
			system, err := quantity.ParseSystem(units)
			if err != nil {
				return fmt.Errorf("--units: %w: write metric or US", err)
			}
			found := l.collect(strings.Fields(strings.ToLower(match)), system)
			if err := found.print(cmd.OutOrStdout(), format); err != nil {
				return wrong(fmt.Errorf("writing the list: %w", err))
			}
			if found.sheet.empty() {
				fmt.Fprintf(cmd.ErrOrStderr(), "stanchion: no row of %s has %q\n", l.name, match)
			}
			return nil
		},
	}
	addFormat(cmd, &format)
	cmd.Flags().StringVar(&match, "match", "", "only rows that have all these `WORDS`, in any order and case, a number whole")
	// It errs only for a flag that does not exist.
	_ = cmd.RegisterFlagCompletionFunc("match", completeNames(l.names))
	units = quantity.Metric.String()
	if !l.plain {
		cmd.Flags().StringVar(&units, "units", units, "`UNITS` of the text: metric or US")
		_ = cmd.RegisterFlagCompletionFunc("units", completeNames(systems))
	}
	return cmd
}

func systems() []choice {
	return []choice{{name: quantity.Metric.String()}, {name: quantity.US.String()}}
}

// listCaution stands on top of every list that people read.
const listCaution = "For a pre-check only: a qualified engineer must verify values and result;\nlocal code and licensed practice come first.\n\n"

func (c catalogue) print(w io.Writer, format string) error {
	if format == "json" {
		return report.JSONRows(w, c.rows)
	}
	if c.sheet.empty() {
		return nil
	}
	if _, err := io.WriteString(w, listCaution); err != nil {
		return err
	}
	return c.sheet.text(w)
}
