package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"example.com/stanchion/barrier/check"
	"example.com/stanchion/barrier/report"
	"example.com/stanchion/internal/quantity"
	"example.com/stanchion/loads"
	"example.com/stanchion/sections"
)

func listCommand() *cobra.Command {
	list := &cobra.Command{
		Use:   "list COMMAND",
		Short: "list tubes, grades, load schedules or checks",
		Long: `list prints the tables that the program carries: tubes, grades, schedules
(the loads of the codes) and checks (the ids of the report). Every row of the
first three has its source and how it is known: public (a public page was read),
memory (known, not looked up), derived (worked out from stated sources) or
common-practice.

` + exitCodes,
		Example: `  stanchion list tubes --match "10219 48.3"     # exit 0
  stanchion list schedules --format json        # exit 0`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return errors.New("list what: tubes, grades, schedules or checks?")
			}
			return unknownCommand(cmd, args[0])
		},
		RunE:                       refused,
		DisableFlagsInUseLine:      true,
		SuggestionsMinimumDistance: 2,
	}
	list.AddCommand(
		listing("tubes", "tubes that a definition can name, with their properties",
			`  stanchion list tubes --match "10255 dn40"   # exit 0`, tubes),
		listing("grades", "materials that a definition can name, with their strengths",
			`  stanchion list grades --match S235          # exit 0`, grades),
		listing("schedules", "load schedules of the codes, by occupancy",
			`  stanchion list schedules --match "UK v"     # exit 0`, schedules),
		listing("checks", "ids of the checks that a report can have",
			`  stanchion list checks --match post          # exit 0`, checks),
	)
	return list
}

// catalogue is one table to list: the rows that hold all the words, and how the
// text shows them.
type catalogue struct {
	rows  any // a slice of rows with json tags
	table *report.Table
	count int
}

// listing returns the command for one catalogue.
func listing(name, short, example string, collect func(words []string) catalogue) *cobra.Command {
	var format, match string
	cmd := &cobra.Command{
		Use:     name,
		Short:   short,
		Long:    "list " + name + " prints the " + short + ".\n\n" + exitCodes,
		Example: example,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 0 {
				return fmt.Errorf("list %s takes no further word, got %q: to search write --match %q", name, args[0], strings.Join(args, " "))
			}
			return knownFormat(format)
		},
		RunE: func(cmd *cobra.Command, _ []string) error {
			found := collect(strings.Fields(strings.ToLower(match)))
			if err := found.print(cmd.OutOrStdout(), format); err != nil {
				return wrong(fmt.Errorf("writing the list: %w", err))
			}
			if found.count == 0 {
				fmt.Fprintf(cmd.ErrOrStderr(), "stanchion: no row of %s has %q\n", name, match)
			}
			return nil
		},
	}
	addFormat(cmd, &format)
	cmd.Flags().StringVar(&match, "match", "", "only rows that have all these `WORDS`, in any order and case")
	return cmd
}

// listCaution stands on top of every list that people read.
const listCaution = "For a pre-check only: a qualified engineer must verify values and result;\nlocal code and licensed practice come first.\n\n"

func (c catalogue) print(w io.Writer, format string) error {
	if format == "json" {
		return report.JSONRows(w, c.rows)
	}
	if c.count == 0 {
		return nil
	}
	if _, err := io.WriteString(w, listCaution); err != nil {
		return err
	}
	return c.table.Text(w)
}

// matches reports whether the texts, together, have all the words.
func matches(words []string, texts ...string) bool {
	all := strings.ToLower(strings.Join(texts, "\n"))
	for _, word := range words {
		if !strings.Contains(all, word) {
			return false
		}
	}
	return true
}

func tubes(words []string) catalogue {
	rows := []sections.TubeRow{}
	table := report.NewTable(report.Words("name"), report.Numbers("od\nmm"), report.Numbers("wall\nmm"), report.Numbers("mass\nkg/m"),
		report.Numbers("area\nmm2"), report.Numbers("I\nmm4"), report.Numbers("Wel\nmm3"), report.Numbers("Wpl\nmm3"), report.Words("size known from"))
	for _, tube := range sections.Tubes() {
		r := tube.Row()
		if !matches(words, r.Name, r.Standard, r.Edition, r.Designation, r.Series, r.NominalSize, string(r.Material), r.Provenance) {
			continue
		}
		rows = append(rows, r)
		table.Add(r.Name, quantity.Fix(r.ODMM, 2), quantity.Fix(r.WallMM, 2), quantity.Fix(r.MassKgPerM, 2), quantity.Fix(r.AreaMM2, 1),
			quantity.Fix(r.IMM4, 0), quantity.Fix(r.WelMM3, 0), quantity.Fix(r.WplMM3, 0), r.Provenance)
	}
	return catalogue{rows, table, len(rows)}
}

func grades(words []string) catalogue {
	rows := []sections.GradeRow{}
	table := report.NewTable(report.Words("name"), report.Words("standard"), report.Words("wall"), report.Numbers("fy\nMPa"),
		report.Numbers("fu\nMPa"), report.Numbers("E\nMPa"), report.Words("known from"))
	for _, grade := range sections.Grades() {
		r := grade.Row()
		if !matches(words, r.Name, r.Standard, r.Edition, r.Form, string(r.Material), r.Use, r.Band, r.Provenance) {
			continue
		}
		rows = append(rows, r)
		table.Add(r.Name, r.Standard, r.Band, given(r.FyMPa, 0), given(r.FuMPa, 0), quantity.Fix(r.EMPa, 0), r.Provenance)
	}
	return catalogue{rows, table, len(rows)}
}

func schedules(words []string) catalogue {
	rows := []loads.Row{}
	table := report.NewTable(report.Words("name"), report.Numbers("line\nN/m"), report.Numbers("point\nN"), report.Numbers("point, N per\nm of spacing"),
		report.Numbers("area\nN/m2"), report.Numbers("height\nm"), report.Numbers("limit\nmm"), report.Words("known from"))
	for _, schedule := range loads.Schedules() {
		for _, r := range schedule.Rows() {
			if !matches(words, r.Name, r.Standard, r.Edition, r.Clause, r.Occupancy, r.Use, r.Family, r.Provenance) {
				continue
			}
			rows = append(rows, r)
			table.Add(r.Name, given(r.Line, 0), given(r.Point, 0), given(r.PointPerSpacing, 0), given(r.Area, 0),
				given(r.Height, 2), given(r.DeflectionMM, 0), r.Provenance)
			table.Note(r.Use)
		}
	}
	return catalogue{rows, table, len(rows)}
}

func checks(words []string) catalogue {
	rows := []check.CheckID{}
	table := report.NewTable(report.Words("id"), report.Words("what is checked"))
	for _, id := range check.CheckIDs() {
		if !matches(words, id.ID, id.Meaning) {
			continue
		}
		rows = append(rows, id)
		table.Add(id.ID, id.Meaning)
	}
	return catalogue{rows, table, len(rows)}
}

// given prints a value that a row may not have.
func given(v *float64, digits int) string {
	if v == nil {
		return "-"
	}
	return quantity.Fix(*v, digits)
}
